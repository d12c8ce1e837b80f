"""What a gesture draws: rubber lines with their words, ghosts of old places, outlines in progress."""

from __future__ import annotations

import math
from collections.abc import Iterable

from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Path, Point, Shape, Symbol, Words
from survey_app.ground.straight import bearing_of, distance_of

__all__ = ["along", "beside", "ghost_outline", "ghost_point", "grip", "line", "ring"]

WORDS_MM = 12.0 / 4.0 * 0.76
"""Height of a capital of names and hop words: 12 px of the em. [mm]"""

_OFF_MM = 2.4


def line(a: Point, b: Point, role: Role = Role.RUBBER) -> tuple[Shape, ...]:
    """Return a line, or nothing where it has no length."""
    return (Path(role, (a, b)),) if a != b else ()


def along(a: Point, b: Point, text: str, *, below: bool = False, role: Role = Role.WORDS) -> tuple[Shape, ...]:
    """Return words along the middle of a line, above it or below, never on their head."""
    if not text or a == b:
        return ()
    turn_deg = (bearing_of(a, b) + 90.0) % 180.0 - 90.0
    # the line's own bearing is turned from up; words run to the right
    turn_deg = turn_deg - 90.0 if turn_deg > 0.0 else turn_deg + 90.0
    middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
    off_mm = -_OFF_MM if below else _OFF_MM
    return (Words(role, middle, text, WORDS_MM, (0.0, off_mm), turn_deg, align="middle", halo=True),)


def beside(at: Point, text: str, *, role: Role = Role.WORDS, bold: bool = False) -> tuple[Shape, ...]:
    """Return words to the right of a point."""
    return (Words(role, at, text, WORDS_MM, (3.2, 2.2), bold=bold, halo=True),) if text else ()


def ring(at: Point, role: Role = Role.HOVER, radius_mm: float = 2.8) -> Symbol:
    """Return a ring round a point."""
    return Symbol("ring", at, (Arc(role, (0.0, 0.0), radius_mm),))


def grip(at: Point, turn_deg: float = 0.0, side_mm: float = 1.5) -> Symbol:
    """Return a square grip of six pixels."""
    half = side_mm / 2.0
    square = Path(Role.GRIP, ((-half, -half), (half, -half), (half, half), (-half, half)), closed=True)
    return Symbol("grip", at, (square,), turn_deg)


def ghost_outline(points: Iterable[Point], *, closed: bool = True) -> tuple[Shape, ...]:
    """Return the dashed outline of an old place."""
    corners = tuple(points)
    return (Path(Role.GHOST, corners, closed=closed),) if len(corners) > 1 else ()


def ghost_point(at: Point) -> Symbol:
    """Return the dashed ring at an old place."""
    return Symbol("ghost", at, (Arc(Role.GHOST, (0.0, 0.0), 2.0),))


def right_angle(corner: Point, towards: Point, size_mm: float = 1.6) -> Symbol:
    """Return the mark of a right angle at a corner, opening towards a point."""
    mark = Path(Role.RUBBER, ((0.0, size_mm), (size_mm, size_mm), (size_mm, 0.0)))
    return Symbol("right angle", corner, (mark,), bearing_of(corner, towards))


def polar(at: Point, bearing_deg: float, distance_m: float) -> Point:
    """Return the point in a direction and distance from another."""
    turn = math.radians(bearing_deg)
    return at[0] + distance_m * math.sin(turn), at[1] + distance_m * math.cos(turn)


def is_long(a: Point, b: Point, px_per_m: float, least_px: float = 60.0) -> bool:
    """Whether a line is long enough on the screen to carry words."""
    return distance_of(a, b) * px_per_m >= least_px
