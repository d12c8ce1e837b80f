"""Run all benchmarks, or those that are named, and print their ratios: `python -m tests.benchmarks.run [NAME …]`."""

from __future__ import annotations

import importlib
import sys

_ALL = (
    "assess",
    "live",
    "sheets",
    "aim",
    "history",
    "snap",
    "start",
    "canvas",
    "bullington",
    "rays",
    "visibility",
    "network",
)


def main() -> int:
    """Print every ratio; the exit status says whether a bar was missed."""
    names = sys.argv[1:] or _ALL
    missed = 0
    for name in names:
        for row in importlib.import_module(f"tests.benchmarks.bench_{name}").measure():
            print(row.words(), flush=True)
            missed += row.passed is False
    return int(missed > 0)


if __name__ == "__main__":
    raise SystemExit(main())
