"""The ground of a design: the one place that decides how high it is anywhere."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from survey_app.errors import SurveyError
from survey_app.ground.plane import Plane
from survey_app.ground.relief.surface import LevelGround, Surface
from survey_app.ground.ring import ring_on_plane
from survey_app.site.relief import GridRelief, Relief, SpotRelief
from survey_app.site.site import Defaults, Design

if TYPE_CHECKING:
    from survey_app.ground.relief.raster import Raster

__all__ = ["ASSUMED_FLAT", "UNIT_M", "surface_of"]

ASSUMED_FLAT = LevelGround(0.0, "assumed flat")
"""The ground of a site that says nothing of it."""

UNIT_M = {"metre": 1.0, "foot": 0.3048, "us_survey_foot": 1200.0 / 3937.0}
"""Length of the units in which a file may have its heights. [m]"""

_MOST_KEPT = 4
_SIGMAS = ("tape", "rangefinder", "counted", "guessed", "drawing", "survey")


class _Made(NamedTuple):
    """A surface with what it was made from: the very record, the plane, figures of judgement, and the file's grid."""

    relief: Relief
    plane: Plane | None
    judged: tuple[float, ...]
    grid: Raster | None
    surface: Surface


_LOCK = threading.Lock()
_MADE: list[_Made] = []


def surface_of(design: Design) -> Surface:
    """Return the ground of a design.

    Flat at the height of the site datum where the design has no relief. What the relief does not say is not known: NaN
    outside of the spot heights or the grid, and everywhere where it cannot be used at all, and `words` says why.

    Parameters
    ----------
    design : Design
        The file of a grid must have been read, see `known.read_relief`.

    Examples
    --------
    >>> import datetime
    >>> flat = surface_of(Design(name="Yard", as_of=datetime.date(2026, 12, 1)))
    >>> flat.words, float(flat.heights_m(3.0, 4.0))
    ('assumed flat', 0.0)
    """
    relief = design.relief
    if relief is None:
        return ASSUMED_FLAT
    anchor = design.plane.anchor
    plane = Plane(anchor.lat_deg, anchor.lon_deg, anchor.rotation_deg) if anchor else None
    judged = tuple(getattr(design.defaults, f"{how}_sigma_m") for how in _SIGMAS)
    grid: Raster | None = None
    if isinstance(relief, GridRelief):
        from survey_app.ground.relief.known import known_grid

        found = known_grid(relief.file)
        if isinstance(found, str):
            return LevelGround(float("nan"), found)
        grid = found
    with _LOCK:
        for made in _MADE:
            if made.relief is relief and made.grid is grid and (made.plane, made.judged) == (plane, judged):
                return made.surface
        surface = _made(relief, plane, design.defaults, grid)
        _MADE.append(_Made(relief, plane, judged, grid, surface))
        del _MADE[:-_MOST_KEPT]
    return surface


def _made(relief: Relief, plane: Plane | None, defaults: Defaults, grid: Raster | None) -> Surface:
    try:
        if isinstance(relief, SpotRelief):
            return _spots(relief, plane, defaults)
        assert grid is not None
        return _grid(relief, plane, grid)
    except SurveyError as error:
        # a fault of the design, not of the program: nothing is known of the ground, and a finding says why
        return LevelGround(float("nan"), error.sentence())


def _spots(relief: SpotRelief, plane: Plane | None, defaults: Defaults) -> Surface:
    from survey_app.ground.relief.triangles import triangulated

    points = ring_on_plane(plane, [point.position for point in relief.points])
    heights = np.array([point.height_m for point in relief.points])
    sigmas = [
        point.known.sigma_m if point.known.sigma_m is not None else getattr(defaults, f"{point.known.how}_sigma_m")
        for point in relief.points
    ]
    # between points no height is better known than at the worst of them
    return triangulated(points, heights, _words(relief, f"{len(points)} spot heights"), max(sigmas))


def _grid(relief: GridRelief, plane: Plane | None, grid: Raster) -> Surface:
    from survey_app.ground.relief.placing import lattice_on
    from survey_app.ground.relief.raster import Raster

    rows = grid.rows * UNIT_M[relief.height_unit] + relief.datum_offset_m
    over_datum = Raster(np.ascontiguousarray(rows), grid.to_reference, grid.reference)
    return lattice_on(plane, over_datum, _words(relief, f"grid {relief.grid}"), relief.sigma_m)


def _words(relief: Relief, what: str) -> str:
    dated = f" of {relief.dated.isoformat()}" if relief.dated is not None else ""
    return f"{what}{f', {relief.source}' if relief.source else ''}{dated}, heights over {relief.vertical_datum}"
