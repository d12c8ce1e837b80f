"""The hatched band inside a building's outline: its pitch tells the height."""

from __future__ import annotations

import math
from functools import lru_cache

from survey_app.drawing.shapes import Point

__all__ = ["BAND_MM", "hatch_band", "hatch_pitch_mm"]

BAND_MM = 2.0
"""Width of the band on paper. [mm]"""


def hatch_pitch_mm(height_m: float) -> float | None:
    """Return the pitch of the hatch for a building of this height; None under 4 m, which is not hatched.

    Examples
    --------
    >>> hatch_pitch_mm(3.6), hatch_pitch_mm(6.4), hatch_pitch_mm(11.2), hatch_pitch_mm(14.5)
    (None, 2.2, 1.4, 0.9)
    """
    if height_m < 4.0:
        return None
    if height_m <= 8.0:
        return 2.2
    return 1.4 if height_m <= 12.0 else 0.9


@lru_cache(maxsize=4096)
def hatch_band(outline: tuple[Point, ...], pitch_m: float, band_m: float) -> tuple[tuple[Point, Point], ...]:
    """Return the strokes of a 45° hatch in a band along the inside of an outline.

    The lines lie on one grid through the plane's origin, so that neighbours line up.

    Parameters
    ----------
    outline : tuple of (x, y)
        Corners. [m]
    pitch_m, band_m : float
        Distance between lines, measured across them, and width of the band. [m]

    Returns
    -------
    tuple of (point, point)
        Strokes; empty where the outline is no area.
    """
    import shapely

    area = shapely.Polygon(outline)
    if not area.is_valid:
        area = shapely.make_valid(area)
    if area.is_empty or area.area <= 0.0:
        return ()
    band = area.difference(area.buffer(-band_m, join_style="mitre"))
    x0, y0, x1, y1 = area.bounds
    # lines y = x + k * pitch * sqrt(2)
    spacing = pitch_m * math.sqrt(2.0)
    first, last = math.ceil((y0 - x1) / spacing), math.floor((y1 - x0) / spacing)
    lines = shapely.MultiLineString([[(x0, x0 + k * spacing), (x1, x1 + k * spacing)] for k in range(first, last + 1)])
    cut = lines.intersection(band)
    strokes: list[tuple[Point, Point]] = []
    for part in shapely.get_parts(cut):
        if part.geom_type == "LineString":
            ends = part.coords
            strokes.append(((ends[0][0], ends[0][1]), (ends[-1][0], ends[-1][1])))
    return tuple(strokes)
