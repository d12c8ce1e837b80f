"""Symbols of constant size on paper, in millimetres round their anchor, drawn as if they looked to the top."""

from __future__ import annotations

import math

from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Disc, Path, Point, Symbol

__all__ = [
    "access_point",
    "arrow_head",
    "battery",
    "camera",
    "device",
    "flag",
    "head_end",
    "landmark",
    "level_mark",
    "mast",
    "mount",
    "north_arrow",
    "obstacle_cross",
    "pole",
    "relay",
    "station",
    "struck",
    "supply",
    "survey_note",
    "tree_star",
]


# parts that are the same every time are made once: a plan has thousands
_ACCESS_POINT = (Arc(Role.RADIO, (0, 0), 2.0), Disc(Role.RADIO_SOLID, (0, 0), 1.05))
_STATION = (
    Path(Role.RADIO, ((0, 1.6), (1.35, -1.1), (-1.35, -1.1)), closed=True),
    Disc(Role.RADIO_SOLID, (0, -0.2), 0.35),
)
_POLE = (Arc(Role.POLE, (0, 0), 1.1), Disc(Role.SOLID, (0, 0), 0.3))
_CAMERA = (
    Path(Role.CAMERA, ((-0.75, -1.5), (0.75, -1.5), (0.75, 0.7), (-0.75, 0.7)), closed=True),
    Path(Role.CAMERA_SOLID, ((-0.45, 0.7), (0.45, 0.7), (0.7, 1.5), (-0.7, 1.5)), closed=True),
)


def access_point(at: Point, subject: str = "") -> Symbol:
    """Ring and disc: the hub."""
    return Symbol("access point", at, _ACCESS_POINT, subject=subject)


def station(at: Point, bearing_deg: float, subject: str = "") -> Symbol:
    """Open arrowhead with a point; it points along its bearing."""
    return Symbol("station", at, _STATION, bearing_deg, subject)


def relay(at: Point, bearing_deg: float, subject: str = "") -> Symbol:
    """Ring with a solid arrowhead towards the head end."""
    head = Path(Role.RADIO_SOLID, ((0, 1.5), (1.3, -1.0), (-1.3, -1.0)), closed=True)
    return Symbol("relay", at, (Arc(Role.RADIO, (0, 0), 2.6), head), bearing_deg, subject)


def pole(at: Point, subject: str = "") -> Symbol:
    """Ring with point."""
    return Symbol("pole", at, _POLE, subject=subject)


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


def struck(at: Point, half_mm: float = 2.6, subject: str = "") -> Symbol:
    """Two strokes across what is removed."""
    h = half_mm
    strokes = tuple(Path(Role.STRUCK, ((d - h * 0.7, -h), (d + h * 0.7, h))) for d in (-0.7, 0.7))
    return Symbol("removed", at, strokes, subject=subject)


def camera(at: Point, bearing_deg: float, subject: str = "") -> Symbol:
    """Body and lens; it looks along its bearing."""
    return Symbol("camera", at, _CAMERA, bearing_deg, subject)


def head_end(at: Point, subject: str = "") -> Symbol:
    """Framed square, its inner square half filled."""
    frame = Path(Role.HEAD_END, ((-2.3, -2.3), (2.3, -2.3), (2.3, 2.3), (-2.3, 2.3)), closed=True)
    inner = Path(Role.FINE, ((-1.3, -1.3), (1.3, -1.3), (1.3, 1.3), (-1.3, 1.3)), closed=True)
    half = Path(Role.SOLID, ((-1.3, -1.3), (1.3, 1.3), (-1.3, 1.3)), closed=True)
    return Symbol("head end", at, (frame, inner, half), subject=subject)


def supply(at: Point, subject: str = "") -> Symbol:
    """Box with a diagonal, a wave over two bars."""
    wave = tuple((-1.7 + 0.14 * k, 1.1 + 0.4 * math.sin(k * math.pi / 5.0)) for k in range(11))
    return Symbol(
        "supply",
        at,
        (*_box(2.4, Role.SUPPLY), Path(Role.FINE, ((-2.4, -2.4), (2.4, 2.4))), Path(Role.FINE, wave), *_bars(0.3)),
        subject=subject,
    )


def battery(at: Point, subject: str = "") -> Symbol:
    """Box with two bars: a source of direct current."""
    return Symbol(
        "battery",
        at,
        (
            *_box(2.4, Role.SUPPLY),
            Path(Role.SUPPLY, ((-1.4, 0.5), (1.4, 0.5))),
            Path(Role.FINE, ((-0.8, -0.5), (0.8, -0.5))),
        ),
        subject=subject,
    )


def device(at: Point, ports: int, subject: str = "") -> Symbol:
    """Low box with a tick below for every port, at most six, and a line through its upper part."""
    parts: list[Path | Arc | Disc] = [
        Path(Role.DEVICE, ((-2.1, -0.9), (2.1, -0.9), (2.1, 1.3), (-2.1, 1.3)), closed=True),
        Path(Role.THIN, ((-2.1, 0.5), (2.1, 0.5))),
    ]
    count = max(1, min(ports, 6))
    for k in range(count):
        x = (k - (count - 1) / 2.0) * 0.7
        parts.append(Path(Role.FINE, ((x, -0.9), (x, -1.7))))
    return Symbol("device", at, tuple(parts), subject=subject)


def mount(at: Point, bearing_deg: float, verdict: str = "usable", subject: str = "") -> Symbol:
    """Diamond on a stalk; half filled where work is needed, struck where it was refused."""
    stalk = Path(Role.FINE, ((0.0, 0.0), (0.0, 1.4)))
    parts: list[Path | Arc | Disc] = [
        stalk,
        Path(Role.MOUNT, ((0.0, 1.4), (1.5, 2.9), (0.0, 4.4), (-1.5, 2.9)), closed=True),
    ]
    if verdict == "with_work":
        parts.append(Path(Role.SOLID, ((0.0, 1.4), (0.0, 4.4), (-1.5, 2.9)), closed=True))
    if verdict == "refused":
        parts += [Path(Role.STRUCK, ((d - 1.5, 1.3), (d + 1.5, 4.5))) for d in (-0.4, 0.4)]
    return Symbol("mount", at, tuple(parts), bearing_deg, subject)


def survey_note(at: Point, subject: str = "") -> Symbol:
    """Small cross."""
    return Symbol(
        "note",
        at,
        (Path(Role.SURVEY_NOTE, ((-1.0, 0.0), (1.0, 0.0))), Path(Role.SURVEY_NOTE, ((0.0, -1.0), (0.0, 1.0)))),
        subject=subject,
    )


def flag(at: Point, severity: str, *, accepted: bool = False, subject: str = "") -> Symbol:
    """Octagon of a stop, triangle of a warn, circle of a note; a bar under one that was accepted."""
    parts: list[Path | Arc | Disc]
    if severity == "stop":
        corners = tuple(_polar(22.5 + 45.0 * k, 2.6) for k in range(8))
        parts = [Path(Role.STOP, corners, closed=True)]
    elif severity == "warn":
        parts = [Path(Role.WARN, ((0.0, 3.2), (2.9, -2.0), (-2.9, -2.0)), closed=True)]
    else:
        parts = [Arc(Role.NOTE, (0.0, 0.0), 2.5)]
    if accepted:
        parts.append(Path(Role.SOLID, ((-2.4, -3.3), (2.4, -3.3), (2.4, -3.9), (-2.4, -3.9)), closed=True))
    return Symbol(severity, at, tuple(parts), subject=subject)


def _box(half: float, role: Role) -> tuple[Path, ...]:
    return (Path(role, ((-half, -half), (half, -half), (half, half), (-half, half)), closed=True),)


def _bars(x: float) -> tuple[Path, ...]:
    return tuple(Path(Role.FINE, ((x, y), (x + 1.6, y))) for y in (-1.0, -1.6))


def level_mark(at: Point, offset_mm: Point = (0.0, 0.0)) -> Symbol:
    """Open triangle on its point, before a height."""
    x, y = offset_mm
    return Symbol(
        "level mark", at, (Path(Role.FINE, ((x - 1.0, y + 0.85), (x + 1.0, y + 0.85), (x, y - 0.85)), closed=True),)
    )


def north_arrow(at: Point, declination_deg: float | None, size: float = 1.0) -> Symbol:
    """True north with a half filled head; magnetic north thin with half a barb, drawn at least 9° apart."""
    top, neck, wing, half = 12.5 * size, 8.2 * size, 7.4 * size, 1.2
    parts: list[Path | Arc | Disc] = [
        Path(Role.FINE, ((0, 0), (0, neck))),
        Path(Role.SOLID, ((0, top), (0, neck), (-half, wing)), closed=True),
        Path(Role.FINE, ((0, top), (half, wing), (0, neck)), closed=True),
    ]
    if declination_deg is not None:
        turn = math.copysign(max(9.0, min(abs(declination_deg), 60.0)), declination_deg)
        tip, barb = _polar(turn, 10.5 * size), _polar(turn, 7.8 * size)
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
