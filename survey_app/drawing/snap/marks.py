"""Shows by shape what was caught; sizes in millimetres of paper, so that they stay the same at every scale."""

from __future__ import annotations

import math
from collections.abc import Iterator

from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Path, Point, Shape, Symbol, Words
from survey_app.drawing.snap.candidate import Candidate
from survey_app.drawing.snap.lines import Line
from survey_app.drawing.snap.result import Kind

__all__ = ["marks_of"]

_SQUARE_MM = 0.9
_STROKE_MM = 1.5
_RING_MM = 1.7
_TICKS_MM = 2.2
_CORNER_MM = 1.6
_ARC_MM = 7.0
_LETTERS_MM = 2.2
_BESIDE_MM = 1.2


def marks_of(best: Candidate, anchor: Point | None, previous: Point | None) -> tuple[Shape, ...]:
    """Return the shapes of what was caught, guide lines below.

    A corner wears a small square, a point a ring, an edge a stroke across it, its middle a tick either side, a crossing
    both strokes; an extension is a dashed tail from its corner, a perpendicular a right-angle mark, a direction an arc
    from plan north with its degrees, a whole length a tick across the line, the grid an upright cross.
    """
    guides = [shape for line in best.lines for shape in _guide(line, best.at)]
    return (*guides, *_angle_marks(best, previous), *_sign(best, anchor))


def _guide(line: Line, at: Point) -> Iterator[Shape]:
    start = (line.x, line.y)
    if start != at and line.kind is Kind.EXTENSION:
        yield Path(Role.TRAIL, (start, at))
    elif start != at and line.is_direction:
        yield Path(Role.RUBBER, (start, at))


def _angle_marks(best: Candidate, previous: Point | None) -> Iterator[Shape]:
    for line in best.lines:
        start = (line.x, line.y)
        if line.kind is Kind.RIGHT_ANGLE and previous is not None:
            back = math.degrees(math.atan2(previous[0] - line.x, previous[1] - line.y))
            yield _right_angle(start, back, line.bearing_deg)
        elif line.kind is Kind.PARALLEL:
            for along_mm in (2.0, 2.8):
                yield _across(start, line.bearing_deg, along_mm)
        elif line.kind is Kind.ANGLE:
            yield from _arc(start, line.bearing_deg)


def _arc(at: Point, bearing_deg: float) -> Iterator[Shape]:
    if bearing_deg > 0:
        # the short way round, so that 345° is a small arc
        sweep = bearing_deg if bearing_deg <= 180.0 else bearing_deg - 360.0
        arc = Arc(Role.SNAP, (0.0, 0.0), _ARC_MM, 0.0 if sweep > 0 else bearing_deg, abs(sweep))
        yield Symbol("snap angle", at, (arc, Path(Role.SNAP, ((0.0, 0.0), (0.0, _ARC_MM + 1.0)))))
        # on the other side of plan north, where the line never is
        side = -1.0 if sweep > 0 else 1.0
        offset = (side * _BESIDE_MM, _ARC_MM / 2.0)
        align = "end" if sweep > 0 else "start"
        yield Words(Role.WORDS, at, f"{bearing_deg:.1f}°", _LETTERS_MM, offset, align=align, halo=True)


def _sign(best: Candidate, anchor: Point | None) -> Iterator[Shape]:
    at = best.at
    match best.kind:
        case Kind.CORNER:
            s = _SQUARE_MM
            yield Symbol("snap corner", at, (Path(Role.SNAP, ((-s, -s), (s, -s), (s, s), (-s, s)), closed=True),))
        case Kind.POINT:
            yield Symbol("snap point", at, (Arc(Role.SNAP, (0.0, 0.0), _RING_MM),))
        case Kind.MIDDLE:
            for along_mm in (-_TICKS_MM, _TICKS_MM):
                yield _across(at, best.lines[0].bearing_deg, along_mm)
        case Kind.CROSSING:
            for line in best.lines:
                yield _across(at, line.bearing_deg + 90.0)
        case Kind.FOOT if anchor is not None:
            towards = math.degrees(math.atan2(anchor[0] - at[0], anchor[1] - at[1]))
            yield Path(Role.RUBBER, (anchor, at))
            yield _right_angle(at, best.lines[0].bearing_deg, towards)
        case Kind.GRID:
            yield _across(at, 0.0)
            yield _across(at, 90.0)
        case Kind.METRES if anchor is not None:
            yield _across(at, math.degrees(math.atan2(at[0] - anchor[0], at[1] - anchor[1])))
        case Kind.EDGE | Kind.EXTENSION:
            yield _across(at, best.lines[0].bearing_deg)
        case _ if best.length_m is not None:
            yield _across(at, best.lines[0].bearing_deg)


def _across(at: Point, bearing_deg: float, along_mm: float = 0.0) -> Symbol:
    """Return a short stroke across a line of that bearing."""
    stroke = Path(Role.SNAP, ((-_STROKE_MM, along_mm), (_STROKE_MM, along_mm)))
    return Symbol("snap stroke", at, (stroke,), turn_deg=bearing_deg)


def _right_angle(at: Point, one_deg: float, other_deg: float) -> Symbol:
    """Return the mark of a right angle between two bearings."""
    a, b = ((_CORNER_MM * math.sin(r), _CORNER_MM * math.cos(r)) for r in map(math.radians, (one_deg, other_deg)))
    return Symbol("snap right angle", at, (Path(Role.SNAP, (a, (a[0] + b[0], a[1] + b[1]), b)),))
