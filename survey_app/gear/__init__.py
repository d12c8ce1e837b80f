"""The catalogue: files, look-up, checks."""
