"""What is wrong with a file, place by place, in one report."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from survey_app.errors import InputError

__all__ = ["MOST_FAULTS", "Fault", "FileFaultsError"]

MOST_FAULTS = 1000
"""A report holds at most so many faults: nobody reads more, and a hostile file could have millions."""


class Fault(NamedTuple):
    """One fault of a file or a document."""

    place: str
    """Where: `design.mounts[3].height_m`, or `line 12, column 7`."""
    sentence: str
    """What is wrong and what is needed, as one clause without a full stop."""


class FileFaultsError(InputError):
    """A file that cannot be read as what it should be: its sentence tells the first fault and counts the rest.

    Parameters
    ----------
    source : str
        The file, as the user named it.
    faults : sequence of Fault
        All that was found, at least one.
    remedy : str or None
        What to do about the first one.

    Examples
    --------
    >>> error = FileFaultsError("site.json", [Fault("design.name", "is missing"), Fault("design.as_of", "is missing")])
    >>> str(error), len(error.faults)
    ('site.json, design.name: is missing (the first of 2 faults).', 2)
    """

    def __init__(self, source: str, faults: Sequence[Fault], *, remedy: str | None = None) -> None:
        self.source = source
        self.faults = tuple(faults[:MOST_FAULTS])
        first = self.faults[0]
        count = f"{MOST_FAULTS} faults or more" if len(faults) >= MOST_FAULTS else f"{len(faults)} faults"
        many = "" if len(faults) == 1 else f" (the first of {count})"
        where = f"{source}, {first.place}" if first.place else source
        super().__init__(first.sentence + many, where=where, remedy=remedy)
