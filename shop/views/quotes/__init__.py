"""The Counter: quotes listed, built up, compared, offered and revised."""
