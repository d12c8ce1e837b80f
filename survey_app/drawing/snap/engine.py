"""Decides what the pointer means: corner, edge, direction, whole metres, all ranked together.

Every candidate costs *distance / reach + weight of its kind* (`result.WEIGHTS`); the cheapest that costs at most 1 is
caught. The kinds are fixed sets of the plane (points, circles of whole length, straight lines and where they cross), so
nothing depends on the way by which the pointer came.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from survey_app.drawing.shapes import Point
from survey_app.drawing.snap.candidate import Candidate, cost
from survey_app.drawing.snap.field import SnapField
from survey_app.drawing.snap.lines import Line, directions, meetings, near_edges, near_extensions
from survey_app.drawing.snap.marks import marks_of
from survey_app.drawing.snap.result import ROUND_LENGTH, WEIGHTS, Kind, Snap
from survey_app.drawing.snap.words import words_of

__all__ = ["snap"]

_UNDER_THE_POINTER = 0.3
# lines farther off than this many reaches lead to nothing that is caught
_LINES = 1.0 - WEIGHTS[Kind.FOOT]
# of a point on the locked direction where nothing is near: dear, so that a whole length or a crossing is preferred
_LOCKED = 0.9


def snap(
    field: SnapField,
    x_m: float,
    y_m: float,
    reach_m: float,
    anchor: Point | None = None,
    previous: Point | None = None,
    lock_angle: bool = False,
    grid_m: float | None = None,
    *,
    own: Sequence[Point] = (),
    step_m: float | None = 1.0,
    feet: bool = False,
) -> Snap:
    """Return what the pointer means.

    Parameters
    ----------
    field : SnapField
        What can be caught.
    x_m, y_m : float
        The pointer on the plane. [m]
    reach_m : float
        How far it reaches: some 10 px at the scale of the screen. [m]
    anchor : (x, y) or None
        The point drawn last, from which a line runs to the pointer; None = nothing is drawn yet. [m]
    previous : (x, y) or None
        The point before the anchor: the line likes to run straight on or square from there. [m]
    lock_angle : bool
        Keep to the nearest liked direction from the anchor, however far the pointer is off it. A corner right under
        the pointer (within 0.3 reach) is caught all the same.
    grid_m : float or None
        Pitch of a grid of whole coordinates; None = no grid. [m]
    own : sequence of (x, y)
        Corners of what is being drawn, the first one first. [m]
    step_m : float or None
        Lengths along the line from the anchor are rounded to this; None = never. [m]
    feet : bool
        Lengths in words in feet; give 0.3048 as `step_m` for whole feet.

    Returns
    -------
    Snap
        Never farther than `reach_m` from the pointer unless the angle is locked; the pointer itself where nothing is
        near.

    Examples
    --------
    >>> import numpy as np
    >>> from survey_app.drawing.snap.field import Outline, field_from
    >>> shed = np.array([(0.0, 0.0), (8.0, 0.0), (8.0, 5.0), (0.0, 5.0)])
    >>> field = field_from(["b1"], ["SHED"], [Outline(0, shed, closed=True)], [])
    >>> caught = snap(field, 8.2, 4.9, 1.0)
    >>> caught.at, caught.words, caught.part
    ((8.0, 5.0), 'corner of SHED', 'corner 2')
    >>> snap(field, 20.1, 2.6, 1.0, anchor=(8.0, 2.5)).words
    '90.0°, 12 m'
    """
    if not reach_m > 0:
        return Snap(x_m, y_m)
    pointer = (x_m, y_m)
    if lock_angle and anchor is not None:
        found = _locked(field, pointer, reach_m, anchor, previous, own, step_m)
    else:
        found = _free(field, pointer, reach_m, anchor, previous, own, step_m, grid_m)
    best = min((one for one in found if one.cost <= 1.0), key=lambda one: one.sort_key, default=None)
    if best is None:
        return Snap(x_m, y_m)
    owner = field.ids[best.owner] if best.owner >= 0 else ""
    return Snap(
        best.at[0],
        best.at[1],
        best.kind,
        words_of(best, field, feet=feet),
        marks_of(best, anchor, previous),
        owner,
        _part(best),
    )


def _part(best: Candidate) -> str:
    if best.owner < 0 or best.number < 0 or best.kind is Kind.POINT:
        return ""
    return f"corner {best.number}" if best.kind is Kind.CORNER else f"edge {best.number}"


def _free(
    field: SnapField,
    pointer: Point,
    reach_m: float,
    anchor: Point | None,
    previous: Point | None,
    own: Sequence[Point],
    step_m: float | None,
    grid_m: float | None,
) -> Iterator[Candidate]:
    yield from _corners(field, pointer, reach_m, own)
    yield from _points(field, pointer, reach_m)
    edges = near_edges(field, *pointer, reach_m * _LINES)
    lines = [*edges, *near_extensions(field, *pointer, reach_m * _LINES)]
    if anchor is not None:
        lines += _within(directions(anchor, previous), pointer, reach_m * _LINES)
        yield from _feet(edges, pointer, reach_m, anchor)
        if step_m:
            yield from _whole_length(pointer, reach_m, anchor, step_m)
    for line in lines:
        yield from _on_line(line, pointer, reach_m, step_m)
    for edge in edges:
        middle = edge.point(edge.high_m / 2.0)
        yield _candidate(Kind.MIDDLE, middle, pointer, reach_m, (edge,))
    yield from _crossings(lines, pointer, reach_m)
    # at the anchor itself every direction is as near as can be, and the grid no better
    if grid_m and pointer != anchor:
        at = (_rounded(pointer[0], grid_m), _rounded(pointer[1], grid_m))
        yield _candidate(Kind.GRID, at, pointer, reach_m)


def _locked(
    field: SnapField,
    pointer: Point,
    reach_m: float,
    anchor: Point,
    previous: Point | None,
    own: Sequence[Point],
    step_m: float | None,
) -> Iterator[Candidate]:
    """Yield what lies on the nearest liked direction, as seen from the pointer's foot on it."""
    under = [one for one in _corners(field, pointer, reach_m, own) if one.cost <= _UNDER_THE_POINTER]
    if under:
        yield from under
        return
    ray = max(directions(anchor, previous), key=lambda one: (one.along(pointer), -_order(one)))
    foot = ray.point(max(ray.along(pointer), 0.0))
    yield Candidate(ray.kind, foot, _LOCKED, lines=(ray,))
    yield from _whole_along(ray, ray.along(foot), foot, reach_m, step_m)
    others = [*near_edges(field, *foot, reach_m), *near_extensions(field, *foot, reach_m)]
    for other in others:
        yield from _crossings([ray, other], foot, reach_m)


def _order(line: Line) -> int:
    return (Kind.PARALLEL, Kind.RIGHT_ANGLE, Kind.ANGLE).index(line.kind)


def _candidate(
    kind: Kind, at: Point, pointer: Point, reach_m: float, lines: tuple[Line, ...] = (), less: float = 0.0
) -> Candidate:
    owner, number = (lines[0].owner, lines[0].number) if lines else (-1, -1)
    return Candidate(kind, at, cost(kind, at, pointer, reach_m, less), owner, number, lines)


def _corners(field: SnapField, pointer: Point, reach_m: float, own: Sequence[Point]) -> Iterator[Candidate]:
    for number, at in enumerate(own):
        yield Candidate(Kind.CORNER, at, cost(Kind.CORNER, at, pointer, reach_m), number=number)
    for row in _near(field.corners, pointer, reach_m):
        at = (float(field.corners[row, 0]), float(field.corners[row, 1]))
        owner, number = int(field.corner_owner[row]), int(field.corner_number[row])
        yield Candidate(Kind.CORNER, at, cost(Kind.CORNER, at, pointer, reach_m), owner, number)


def _points(field: SnapField, pointer: Point, reach_m: float) -> Iterator[Candidate]:
    for row in _near(field.points, pointer, reach_m):
        at = (float(field.points[row, 0]), float(field.points[row, 1]))
        yield Candidate(Kind.POINT, at, cost(Kind.POINT, at, pointer, reach_m), int(field.point_owner[row]))


def _near(points: np.ndarray, pointer: Point, reach_m: float) -> list[int]:
    """Return the rows within reach; where there are many, the nearest alone and what is as near."""
    some = np.flatnonzero(
        (np.abs(points[:, 0] - pointer[0]) <= reach_m) & (np.abs(points[:, 1] - pointer[1]) <= reach_m)
    )
    if not len(some):
        return []
    distance = np.hypot(points[some, 0] - pointer[0], points[some, 1] - pointer[1])
    return [int(row) for row in some[distance <= distance.min()]]


def _within(lines: list[Line], pointer: Point, reach_m: float) -> list[Line]:
    """Return the directions that come within reach of the pointer; near the anchor also those that lead away."""
    return [line for line in lines if math.dist(line.point(max(line.along(pointer), 0.0)), pointer) <= reach_m]


def _on_line(line: Line, pointer: Point, reach_m: float, step_m: float | None) -> Iterator[Candidate]:
    along_m = min(max(line.along(pointer), 0.0), line.high_m)
    # a direction without length is none
    if along_m > 0 or not line.is_direction:
        yield _candidate(line.kind, line.point(along_m), pointer, reach_m, (line,))
    yield from _whole_along(line, along_m, pointer, reach_m, step_m)


def _whole_along(
    line: Line, along_m: float, pointer: Point, reach_m: float, step_m: float | None
) -> Iterator[Candidate]:
    whole_m = max(_rounded(along_m, step_m), step_m) if step_m else 0.0
    if line.is_direction and whole_m > 0:
        at = line.point(whole_m)
        yield _candidate(line.kind, at, pointer, reach_m, (line,), ROUND_LENGTH)._replace(length_m=whole_m)


def _feet(edges: list[Line], pointer: Point, reach_m: float, anchor: Point) -> Iterator[Candidate]:
    for edge in edges:
        along_m = edge.along(anchor)
        foot = edge.point(along_m)
        off_m = math.hypot(foot[0] - anchor[0], foot[1] - anchor[1])
        # from a point on the edge itself nothing is square to it
        if 0.0 <= along_m <= edge.high_m and off_m > 1e-6:
            yield _candidate(Kind.FOOT, foot, pointer, reach_m, (edge,))


def _whole_length(pointer: Point, reach_m: float, anchor: Point, step_m: float) -> Iterator[Candidate]:
    dx, dy = pointer[0] - anchor[0], pointer[1] - anchor[1]
    length_m = math.hypot(dx, dy)
    whole_m = max(_rounded(length_m, step_m), step_m)
    if length_m > 0:
        at = (anchor[0] + dx / length_m * whole_m, anchor[1] + dy / length_m * whole_m)
        yield _candidate(Kind.METRES, at, pointer, reach_m)._replace(length_m=whole_m)


def _crossings(lines: list[Line], pointer: Point, reach_m: float) -> Iterator[Candidate]:
    for one, other, at in meetings(lines, pointer, reach_m):
        first, second = (other, one) if one.is_direction else (one, other)
        yield _candidate(Kind.CROSSING, at, pointer, reach_m, (first, second))


def _rounded(value: float, step: float) -> float:
    # a half always goes the same way, wherever on the plan it is
    return math.floor(value / step + 0.5) * step
