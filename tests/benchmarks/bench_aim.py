"""Speed of `survey-app aim`, whole process, against a bare interpreter that imports numpy."""

from __future__ import annotations

import subprocess
import sys

from tests.benchmarks.ratio import Ratio, best_of

__all__ = ["measure"]

_AIM = [
    sys.executable, "-c", "from survey_app.cli import main; main()", "aim",
    "--from", "43.55,-69.6,8.2", "--to", "43.5503,-69.6017,8.0",
    "--mhz", "5785", "--date", "2026-12-01",
]  # fmt: skip


def measure() -> list[Ratio]:
    """Return the ratio of the command."""
    ours = best_of(lambda: subprocess.run(_AIM, check=True, capture_output=True), 7)
    theirs = best_of(lambda: subprocess.run([sys.executable, "-c", "import numpy"], check=True), 7)
    return [
        Ratio(
            "survey-app aim, whole process",
            ours / theirs,
            "times python -c 'import numpy'",
            at_most=4.0,
            ours_s=ours,
            reference_s=theirs,
        )
    ]


if __name__ == "__main__":
    for row in measure():
        print(row.words())
