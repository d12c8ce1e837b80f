"""Copies of things on the system's clipboard."""
