"""What a radio does not see of its wedge or ring: its tint is taken away there, and a hatch is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from survey_app.drawing.plat.lines import Piece, segments
from survey_app.drawing.plat.records import Fan
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Strokes

__all__ = ["PITCH_MM", "fan_area", "hatch_of", "open_tint", "outlines", "shaded"]

Floats = NDArray[np.float64]
PITCH_MM = 3.0
"""Distance between lines of the hatch, measured across them. [mm]"""
_ARC_DEG = 1.0


def fan_area(fan: Fan) -> shapely.Geometry:
    """Return a wedge or ring as an area of the plan. [m]"""
    count = max(2, math.ceil(fan.sweep_deg / _ARC_DEG) + 1)
    turn = np.radians(fan.left_deg + np.linspace(0.0, fan.sweep_deg, count))
    arc = np.column_stack((fan.centre[0] + fan.reach_m * np.sin(turn), fan.centre[1] + fan.reach_m * np.cos(turn)))
    corners = arc if fan.is_ring else np.concatenate((np.array([fan.centre]), arc))
    return shapely.make_valid(shapely.Polygon(corners))


def shaded(fan: Fan, hidden: shapely.Geometry) -> shapely.Geometry:
    """Return the part of a wedge or ring that is not seen. [m]"""
    return shapely.intersection(fan_area(fan), hidden)


def open_tint(fan: Fan, hidden: shapely.Geometry) -> list[Floats]:
    """Return what is left of the tint as closed outlines without holes, shape (corners, 2) each. [m]"""
    rest = shapely.difference(fan_area(fan), hidden)
    return [shapely.get_coordinates(part.exterior) for part in _without_holes(rest)]


def outlines(area: shapely.Geometry) -> tuple[Strokes, ...]:
    """Return the edges of an area, holes included, in one piece; none where it is empty."""
    rings = shapely.get_parts(shapely.get_rings(area))
    if not len(rings):
        return ()
    points, ring = shapely.get_coordinates(rings, return_index=True)
    joined = np.append(ring[1:] == ring[:-1], False)
    return (Strokes(Role.COVERED, points, joined),)


def _without_holes(area: shapely.Geometry) -> Iterator[shapely.Polygon]:
    """Cut areas through the middle of their holes until none has one."""
    waiting = [part for part in shapely.get_parts(area) if isinstance(part, shapely.Polygon)]
    while waiting:
        part = waiting.pop()
        if not part.interiors:
            if not part.is_empty:
                yield part
            continue
        x0, y0, x1, y1 = part.bounds
        left, _, right, _ = part.interiors[0].bounds
        middle = (left + right) / 2.0
        for half in (shapely.box(x0, y0, middle, y1), shapely.box(middle, y0, x1, y1)):
            cut = shapely.get_parts(shapely.intersection(part, half))
            waiting += [one for one in cut if isinstance(one, shapely.Polygon)]


def hatch_of(area: shapely.Geometry, pitch_m: float) -> Piece:
    """Return the hatch of an area: lines that fall to the right by 45°, through a grid fixed to the plane.

    Parameters
    ----------
    area : shapely.Geometry
        [m]
    pitch_m : float
        Distance between lines, measured across them, > 0. [m]
    """
    if area.is_empty:
        return segments(np.empty((0, 2)), np.empty((0, 2)))
    x0, y0, x1, y1 = area.bounds
    step = pitch_m * math.sqrt(2.0)
    along = step * np.arange(math.ceil((x0 + y0) / step), math.floor((x1 + y1) / step) + 1)
    ends = np.empty((len(along), 2, 2))
    # a line keeps x + y: from the left edge of the bounds to the right one
    ends[:, 0] = np.column_stack((np.full(len(along), x0), along - x0))
    ends[:, 1] = np.column_stack((np.full(len(along), x1), along - x1))
    shapely.prepare(area)
    met = shapely.get_parts(shapely.intersection(shapely.linestrings(ends), area))
    lines = met[(shapely.get_type_id(met) == 1) & (shapely.length(met) > 0.0)]
    points = shapely.get_coordinates(lines)
    first = np.concatenate(([0], np.cumsum(shapely.get_num_coordinates(lines))))
    return segments(points[first[:-1]], points[first[1:] - 1])
