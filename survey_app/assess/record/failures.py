"""What fails when one thing fails."""

from __future__ import annotations

from typing import Literal

from survey_app.site.record import Record

__all__ = ["FailureRow"]


class FailureRow(Record):
    """One thing that fails, and the cameras that feel it; a thing whose failure no camera feels has no row.

    `dark` are the cameras whose video comes home no longer; `without_power` those of them that stand still too, so that
    they do not record by themselves; `moved` those that come home another way; `slower` those whose video
    crosses a cell or wire that is then fuller than the site allows. `recorded_hours` is how long the least lucky dark
    camera records by itself. `fullest` is the cell or wire that is fullest of all that carry more than before.
    """

    subject: str
    kind: Literal["radio", "hop", "wire", "device", "supply", "mount"]
    dark: tuple[str, ...]
    without_power: tuple[str, ...]
    unrecorded: tuple[str, ...]
    moved: tuple[str, ...]
    slower: tuple[str, ...]
    recorded_hours: float | None
    fullest: str | None
    load_fraction: float | None
    severity: Literal["warn", "note"] | None
