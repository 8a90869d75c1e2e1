"""Writes: one use case each, keyword-only, in one transaction, with an event row."""
