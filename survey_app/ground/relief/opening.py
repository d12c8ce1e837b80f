"""Opens a site together with the file of its relief."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from survey_app.ground.relief.known import read_relief
from survey_app.site.file import read_site, site_folder
from survey_app.site.gear_type import GearType
from survey_app.site.site import Site

__all__ = ["open_site"]


def open_site(path: Path | str, *, types: Iterable[GearType] = ()) -> Site:
    """Read a site as `read_site` does, and the file of its relief, if it has one.

    A relief that cannot be read does not keep a site from opening: what stands on it has no height, and a finding says
    why.

    Parameters
    ----------
    path : Path or str
        The folder, `site.json` in it, or `alternatives/NAME.json`.
    types : iterable of GearType
        Gear types of which the site is given the copies that it misses.

    Raises
    ------
    UsageError
        There is no such file.
    FileFaultsError
        The file cannot be read as a site; `faults` holds all that is wrong with it.
    """
    site = read_site(path, types=types)
    read_relief(site.design, site_folder(path))
    return site
