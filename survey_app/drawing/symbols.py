"""Symbols of constant size on paper, in millimetres round their anchor, drawn as if they looked to the top."""

from __future__ import annotations

import math

from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Disc, Path, Point, Symbol

__all__ = [
    "access_point",
    "arrow_head",
    "landmark",
    "level_mark",
    "mast",
    "north_arrow",
    "obstacle_cross",
    "pole",
    "relay",
    "station",
    "tree_star",
]


def access_point(at: Point, subject: str = "") -> Symbol:
    """Ring and disc: the hub."""
    return Symbol(
        "access point", at, (Arc(Role.RADIO, (0, 0), 2.0), Disc(Role.RADIO_SOLID, (0, 0), 1.05)), subject=subject
    )


def station(at: Point, bearing_deg: float, subject: str = "") -> Symbol:
    """Open arrowhead with a point; it points along its bearing."""
    head = Path(Role.RADIO, ((0, 1.6), (1.35, -1.1), (-1.35, -1.1)), closed=True)
    return Symbol("station", at, (head, Disc(Role.RADIO_SOLID, (0, -0.2), 0.35)), bearing_deg, subject)


def relay(at: Point, bearing_deg: float, subject: str = "") -> Symbol:
    """Ring with a solid arrowhead towards the head end."""
    head = Path(Role.RADIO_SOLID, ((0, 1.5), (1.3, -1.0), (-1.3, -1.0)), closed=True)
    return Symbol("relay", at, (Arc(Role.RADIO, (0, 0), 2.6), head), bearing_deg, subject)


def pole(at: Point, subject: str = "") -> Symbol:
    """Ring with point."""
    return Symbol("pole", at, (Arc(Role.POLE, (0, 0), 1.1), Disc(Role.SOLID, (0, 0), 0.3)), subject=subject)


def mast(at: Point, subject: str = "") -> Symbol:
    """Ring with point and three guys with bars."""
    parts: list[Path | Arc | Disc] = [Arc(Role.POLE, (0, 0), 1.3), Disc(Role.SOLID, (0, 0), 0.3)]
    for bearing in (0.0, 120.0, 240.0):
        inner, outer = _polar(bearing, 1.3), _polar(bearing, 2.6)
        across = _polar(bearing + 90.0, 0.7)
        parts.append(Path(Role.FINE, (inner, outer)))
        parts.append(
            Path(
                Role.FINE, ((outer[0] - across[0], outer[1] - across[1]), (outer[0] + across[0], outer[1] + across[1]))
            )
        )
    return Symbol("mast", at, tuple(parts), subject=subject)


def landmark(at: Point, subject: str = "") -> Symbol:
    """Ring, point and four ticks."""
    ticks = tuple(Path(Role.LANDMARK, (_polar(b, 1.5), _polar(b, 2.4))) for b in (0.0, 90.0, 180.0, 270.0))
    return Symbol(
        "landmark", at, (Arc(Role.LANDMARK, (0, 0), 1.5), Disc(Role.SOLID, (0, 0), 0.35), *ticks), subject=subject
    )


def tree_star(at: Point) -> Symbol:
    """Three short strokes crossing: a crown inside a stand."""
    strokes = tuple(Path(Role.TREE_STAR, (_polar(b, 0.8), _polar(b + 180.0, 0.8))) for b in (30.0, 90.0, 150.0))
    return Symbol("tree", at, strokes)


def obstacle_cross(at: Point) -> Symbol:
    """Small box with both diagonals, for an obstacle too small to be drawn to scale."""
    box = Path(Role.OBSTACLE, ((-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)), closed=True)
    return Symbol(
        "obstacle", at, (box, Path(Role.FINE, ((-0.9, -0.9), (0.9, 0.9))), Path(Role.FINE, ((-0.9, 0.9), (0.9, -0.9))))
    )


def level_mark(at: Point, offset_mm: Point = (0.0, 0.0)) -> Symbol:
    """Open triangle on its point, before a height."""
    x, y = offset_mm
    return Symbol(
        "level mark", at, (Path(Role.FINE, ((x - 1.0, y + 0.85), (x + 1.0, y + 0.85), (x, y - 0.85)), closed=True),)
    )


def north_arrow(at: Point, declination_deg: float | None) -> Symbol:
    """True north with a half filled head; magnetic north thin with half a barb, drawn at least 9° apart."""
    parts: list[Path | Arc | Disc] = [
        Path(Role.FINE, ((0, 0), (0, 9))),
        Path(Role.SOLID, ((0, 12.5), (0, 8.2), (-1.2, 7.4)), closed=True),
        Path(Role.FINE, ((0, 12.5), (1.2, 7.4), (0, 8.2)), closed=True),
    ]
    if declination_deg is not None:
        turn = math.copysign(max(abs(declination_deg), 9.0), declination_deg)
        turn = max(-60.0, min(60.0, turn))
        tip, barb = _polar(turn, 10.5), _polar(turn, 7.8)
        side = _polar(turn + math.copysign(90.0, turn), 0.9)
        parts.append(Path(Role.THIN, ((0, 0), tip, (barb[0] + side[0], barb[1] + side[1]))))
    return Symbol("north", at, tuple(parts))


def arrow_head(tip: Point, bearing_deg: float, length: float, half_width: float, role: Role = Role.AIM_HEAD) -> Path:
    """Filled triangle whose tip points along a bearing; same unit as `tip`."""
    back = _polar(bearing_deg + 180.0, length)
    side = _polar(bearing_deg + 90.0, half_width)
    x, y = tip[0] + back[0], tip[1] + back[1]
    return Path(role, (tip, (x + side[0], y + side[1]), (x - side[0], y - side[1])), closed=True)


def _polar(bearing_deg: float, radius: float) -> Point:
    turn = math.radians(bearing_deg)
    return radius * math.sin(turn), radius * math.cos(turn)
