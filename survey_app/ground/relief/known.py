"""Grids of heights that have been read, by the name that is made from their content.

A site names the file of its relief by a digest of what is in it. So what a name means never changes, and a site stays a
plain value: whoever opens a site's folder lets its file be read here, and `surface_of` finds it by its name.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from pathlib import Path

from survey_app.errors import InputError, SurveyError
from survey_app.ground.relief.raster import Raster, RasterFile
from survey_app.site.asset import asset_path, content_name
from survey_app.site.relief import GridRelief
from survey_app.site.site import Design

__all__ = ["known_grid", "read_relief"]

_MOST_KEPT = 4
_MOST_BYTES = 400 * 2**20
_LOCK = threading.Lock()
_KNOWN: OrderedDict[str, Raster | str] = OrderedDict()


def read_relief(design: Design, folder: Path) -> str | None:
    """Let the grid of a site's relief be read, if it has one that is not known yet.

    Parameters
    ----------
    design : Design
        The design that names it.
    folder : Path
        The folder that holds the site's `assets/`.

    Returns
    -------
    str or None
        Why it cannot be read, one sentence; None where there is nothing to read or all is well. The design stays
        usable: what stands on the relief has no height.
    """
    relief = design.relief
    if not isinstance(relief, GridRelief):
        return None
    with _LOCK:
        found = _KNOWN.get(relief.file)
        if not isinstance(found, Raster):
            found = _read(relief.file, folder)
            _KNOWN[relief.file] = found
        _KNOWN.move_to_end(relief.file)
        while len(_KNOWN) > _MOST_KEPT:
            _KNOWN.popitem(last=False)
    return found if isinstance(found, str) else None


def known_grid(name: str) -> Raster | str:
    """Return the grid that a name means, or one sentence why there is none."""
    with _LOCK:
        return _KNOWN.get(name, f"The relief's file {name} has not been read.")


def _read(name: str, folder: Path) -> Raster | str:
    try:
        path = asset_path(folder, name)
        data = _bytes(path)
        if content_name(data, path.suffix) != name:
            raise InputError("its content is not what was imported", where=str(path), remedy="import the relief again")
        with RasterFile(path) as file:
            if file.rows < 2 or file.columns < 2:
                raise InputError("it has no area", where=str(path), remedy="import the relief again")
            return file.read()
    except SurveyError as error:
        return error.sentence()


def _bytes(path: Path) -> bytes:
    try:
        if not path.is_file():
            raise InputError("the relief's file is missing", where=str(path), remedy="import the relief again")
        if path.stat().st_size > _MOST_BYTES:
            raise InputError(f"is larger than {_MOST_BYTES // 2**20} MiB", where=str(path), remedy="import less of it")
        return path.read_bytes()
    except OSError as error:
        if isinstance(error, InputError):
            raise
        raise InputError(f"cannot be read ({(error.strerror or str(error)).lower()})", where=str(path)) from error
