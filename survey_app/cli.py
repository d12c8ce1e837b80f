"""The command line; no engineering."""

from __future__ import annotations

__all__ = ["main"]


def main() -> None:
    """Run the command line."""
    raise SystemExit(0)
