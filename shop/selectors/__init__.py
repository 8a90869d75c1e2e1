"""Reads: what joins, filters or sums. Nothing here writes."""
