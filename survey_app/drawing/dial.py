"""Small compass roses of a mounting sheet: a bearing, the side of a pole, where the stations of an omni stand."""

from __future__ import annotations

import math
from collections.abc import Sequence

from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Drawing, Path, Point, Shape, Words
from survey_app.drawing.symbols import arrow_head

__all__ = ["compass_dial", "rose_of_stations", "side_glyph"]


def compass_dial(bearing_deg: float, north: str = "N") -> Drawing:
    """Return a rose of 7 mm radius with the bearing as an arrow.

    Parameters
    ----------
    bearing_deg : float
        Clockwise from the north that `north` names. [deg]
    north : str
        Letters over the top: "N", "MN" or "PN".

    Returns
    -------
    Drawing
        18 by 20 mm, one millimetre for a metre.
    """
    tail, tip = _polar(bearing_deg + 180.0, 5.4), _polar(bearing_deg, 6.2)
    neck = _polar(bearing_deg, 3.2)
    shapes: list[Shape] = [
        Arc(Role.FINE, (0.0, 0.0), 7.0),
        *_ticks(7.0, 1.6, 30),
        Path(Role.AIM, (tail, neck)),
        arrow_head(tip, bearing_deg, 4.2, 1.7),
        Words(Role.WORDS, (0.0, 8.9), north, 1.8, bold=True, align="middle"),
    ]
    return Drawing(tuple(shapes), (-9.0, -8.5, 9.0, 11.5), 1.0)


def rose_of_stations(stations: Sequence[tuple[str, float]], radius_mm: float = 13.0) -> Drawing:
    """Return a rose with a ray to each station of an all-round antenna.

    Parameters
    ----------
    stations : sequence of (label, bearing_deg)
        Labels are left out where they would touch.
    radius_mm : float
        Radius of the ring. [mm]
    """
    shapes: list[Shape] = [Arc(Role.FINE, (0.0, 0.0), radius_mm), *_ticks(radius_mm, -1.4, 30)]
    shapes.append(Words(Role.WORDS, (0.0, radius_mm + 3.0), "N", 1.8, bold=True, align="middle"))
    taken: list[float] = [0.0]
    for label, bearing in sorted(stations, key=lambda row: row[1]):
        neck, tip = _polar(bearing, radius_mm - 3.0), _polar(bearing, radius_mm)
        shapes.append(Path(Role.HOP, ((0.0, 0.0), neck)))
        shapes.append(arrow_head(tip, bearing, 3.4, 1.2))
        if all(abs((bearing - other + 180.0) % 360.0 - 180.0) > 14.0 for other in taken):
            taken.append(bearing)
            side = math.sin(math.radians(bearing))
            align = "start" if side > 0.3 else "end" if side < -0.3 else "middle"
            shapes.append(Words(Role.WORDS, _polar(bearing, radius_mm + 3.2), label, 2.5, bold=True, align=align))
    half_width, half_height = radius_mm + 22.0, radius_mm + 6.0
    return Drawing(tuple(shapes), (-half_width, -half_height, half_width, half_height), 1.0)


def side_glyph(side_deg: float) -> Drawing:
    """Return a pole from above with the unit on one side, and north.

    Parameters
    ----------
    side_deg : float
        Bearing from the pole's axis to the unit, clockwise from the north of the sheet. [deg]

    Returns
    -------
    Drawing
        12 by 11 mm, one millimetre for a metre.
    """
    out, across = _polar(side_deg, 1.0), _polar(side_deg + 90.0, 1.7)
    inner, outer = 3.2, 4.4
    plate = tuple(
        (out[0] * r + across[0] * s, out[1] * r + across[1] * s)
        for r, s in ((inner, -1), (inner, 1), (outer, 1), (outer, -1))
    )
    letter_x = -4.6 if 10.0 < side_deg % 360.0 < 150.0 else 4.6
    shapes: tuple[Shape, ...] = (
        Arc(Role.BUILDING, (0.0, 0.0), 2.0),
        Path(Role.AIM, ((out[0] * 2.0, out[1] * 2.0), (out[0] * 3.3, out[1] * 3.3))),
        Path(Role.SOLID, plate, closed=True),
        Path(Role.FINE, ((letter_x, -0.6), (letter_x, 2.4))),
        arrow_head((letter_x, 3.2), 0.0, 1.6, 0.6),
        Words(Role.WORDS, (letter_x, 4.6), "N", 1.8, bold=True, align="middle"),
    )
    return Drawing(shapes, (-6.0, -5.0, 6.0, 6.0), 1.0)


def _ticks(radius: float, inward: float, step_deg: int) -> list[Path]:
    return [Path(Role.FINE, (_polar(b, radius), _polar(b, radius - inward))) for b in range(0, 360, step_deg)]


def _polar(bearing_deg: float, radius: float) -> Point:
    turn = math.radians(bearing_deg)
    return radius * math.sin(turn), radius * math.cos(turn)
