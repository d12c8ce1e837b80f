"""A relief from a file, whichever kind of file it is."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from survey_app.errors import UsageError

if TYPE_CHECKING:
    from survey_app.exchange.imported import ImportedRelief, ReliefWishes
    from survey_app.site.site import Site

__all__ = ["GRID_SUFFIXES", "TABLE_SUFFIXES", "import_relief"]

GRID_SUFFIXES = (".tif", ".tiff", ".asc")
"""Grids of heights."""
TABLE_SUFFIXES = (".csv",)
"""Tables of spot heights."""


def import_relief(file: Path, site: Site, wishes: ReliefWishes) -> ImportedRelief:
    """Read the relief that a file holds, by its type.

    Parameters
    ----------
    file : Path
        The file.
    site : Site
        What is drawn says how much of a grid is taken.
    wishes : ReliefWishes
        What the file does not say itself.

    Raises
    ------
    UsageError, InputError
        Nothing is known of such files, or it cannot be read as one.
    """
    kind = file.suffix.lower()
    if kind in GRID_SUFFIXES:
        from survey_app.exchange.relief_grid import import_grid

        return import_grid(file, site, wishes)
    if kind in TABLE_SUFFIXES:
        from survey_app.exchange.spot_heights import import_spots

        return import_spots(file, site, wishes)
    raise UsageError(
        "nothing is known that a file of this type holds",
        where=str(file),
        remedy=f"{', '.join((*GRID_SUFFIXES, *TABLE_SUFFIXES))} are read",
    )
