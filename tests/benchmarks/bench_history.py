"""The document in hand: what ten thousand steps hold, what one step costs, what keeping unsaved work costs."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from survey_app.session import Document
from survey_app.site import Design, Site, edits
from survey_app.site.file import site_to_bytes
from survey_app.site.structure import Pole
from tests.benchmarks.big_site import big_site
from tests.benchmarks.ratio import Ratio, best_of
from tests.session.test_history_memory import RUN

__all__ = ["measure"]

_STEPS = 200
_ROOT = Path(__file__).resolve().parents[2]


def measure() -> list[Ratio]:
    """Return the figures."""
    site = big_site(200, 9)
    with tempfile.TemporaryDirectory() as folder:
        return [_memory(), _step(site, Path(folder)), _keeping(site, Path(folder))]


def _memory() -> Ratio:
    command = [sys.executable, "-c", RUN]
    done = subprocess.run(command, capture_output=True, text=True, cwd=_ROOT, check=True)
    return Ratio(
        "10,000 steps at 2,000 structures, all undone", json.loads(done.stdout)["megabytes"], "MB", at_most=250
    )


def _step(site: Site, folder: Path) -> Ratio:
    """One step through the door, against the plain way: a row made anew and the design put through its constructor."""
    document = Document.new(site, state_folder=folder)
    rows = site.design.structures
    row = next(one for one in rows if isinstance(one, Pole))
    number = rows.index(row)
    turn = iter(range(10**9))

    def ours() -> None:
        for _ in range(_STEPS):
            height = 5.0 + next(turn) % 997 / 100
            edit = edits.change(document.site, row.id, height_m=height)
            document.apply(edit._replace(merge_key=""))

    def theirs() -> None:
        for _ in range(_STEPS):
            changed = Pole(**{**row.__dict__, "height_m": 5.0 + next(turn) % 997 / 100})
            Design(**{**site.design.__dict__, "structures": (*rows[:number], changed, *rows[number + 1 :])})

    our_s, their_s = best_of(ours, 3), best_of(theirs, 3)
    document.close()
    return Ratio(
        f"one step at {len(rows)} structures",
        our_s / their_s,
        "times the design put through its constructor",
        at_most=0.25,
        ours_s=our_s / _STEPS,
        reference_s=their_s / _STEPS,
    )


def _keeping(site: Site, folder: Path) -> Ratio:
    """Keeping unsaved work, against the same bytes made and forced to the disk."""
    document = Document.new(site, state_folder=folder)
    document.apply(edits.set_revision(document.site, "B"))

    def theirs() -> None:
        with (folder / "plain").open("wb") as file:
            file.write(site_to_bytes(site))
            file.flush()
            os.fsync(file.fileno())

    our_s, their_s = best_of(document.keep, 5), best_of(theirs, 5)
    assert not document.trouble
    document.close()
    return Ratio(
        "unsaved work kept",
        our_s / their_s,
        "times its bytes made and forced to the disk",
        at_most=2.0,
        ours_s=our_s,
        reference_s=their_s,
    )


if __name__ == "__main__":
    for result in measure():
        print(result.words())
