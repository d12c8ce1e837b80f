"""Lines that a point can lie on: edges, their extensions, directions from the point drawn last."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from survey_app.drawing.shapes import Point
from survey_app.drawing.snap.field import Floats, Ints, SnapField
from survey_app.drawing.snap.result import Kind

__all__ = ["EXTENSION_REACHES", "Line", "directions", "meetings", "near_edges", "near_extensions"]

EXTENSION_REACHES = 20.0
"""An extension is caught up to so many reaches beyond the end of its edge."""
ANGLE_STEP_DEG = 15.0
_MOST = 12
_PARALLEL = 1e-6
_SLACK_M = 1e-9


class Line(NamedTuple):
    """A straight piece: from `(x, y)` along the unit vector `(ux, uy)`, between two lengths."""

    kind: Kind
    x: float
    y: float
    ux: float
    uy: float
    high_m: float
    """It begins at 0 and ends here; infinite for a direction."""
    owner: int = -1
    number: int = -1
    """Edge of the owner."""

    def along(self, at: Point) -> float:
        """Return how far along the line the foot of a point lies. [m]"""
        return (at[0] - self.x) * self.ux + (at[1] - self.y) * self.uy

    def point(self, along_m: float) -> Point:
        """Return the point so far along."""
        return self.x + along_m * self.ux, self.y + along_m * self.uy

    @property
    def is_direction(self) -> bool:
        """Whether it starts at the point drawn last and has no end."""
        return math.isinf(self.high_m)

    @property
    def bearing_deg(self) -> float:
        """Plan bearing, 0 <= bearing < 360. [deg]"""
        return math.degrees(math.atan2(self.ux, self.uy)) % 360.0


def _nearest(distance_m: Floats, reach_m: float) -> Ints:
    within = np.flatnonzero(distance_m <= reach_m)
    if len(within) <= _MOST:
        return within
    order = np.argsort(distance_m[within], kind="stable")
    return within[order[:_MOST]]


def near_edges(field: SnapField, x_m: float, y_m: float, reach_m: float) -> list[Line]:
    """Return the edges that come within reach of a point, the nearest dozen."""
    left, bottom, right, top = (field.edge_boxes[:, n] for n in range(4))
    # boxes first: they cost a comparison each, and leave a handful of two thousand outlines
    some = np.flatnonzero(
        (left <= x_m + reach_m) & (right >= x_m - reach_m) & (bottom <= y_m + reach_m) & (top >= y_m - reach_m)
    )
    x0, y0, x1, y1 = field.edges[some].T
    length = np.hypot(x1 - x0, y1 - y0)
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    along = np.clip((x_m - x0) * ux + (y_m - y0) * uy, 0.0, length)
    distance = np.hypot(x0 + along * ux - x_m, y0 + along * uy - y_m)
    return [
        Line(
            Kind.EDGE, float(x0[n]), float(y0[n]), float(ux[n]), float(uy[n]), float(length[n]), *_owner(field, some[n])
        )
        for n in _nearest(distance, reach_m)
    ]


def near_extensions(field: SnapField, x_m: float, y_m: float, reach_m: float) -> list[Line]:
    """Return the extensions of edges beyond their ends that come within reach of a point, the nearest dozen."""
    far_m = EXTENSION_REACHES * reach_m
    lines: list[tuple[float, Line]] = []
    for end in (0, 2):
        x, y = field.edges[:, end], field.edges[:, end + 1]
        some = np.flatnonzero((np.abs(x - x_m) <= far_m + reach_m) & (np.abs(y - y_m) <= far_m + reach_m))
        x, y = x[some], y[some]
        ux, uy = x - field.edges[some, 2 - end], y - field.edges[some, 3 - end]
        length = np.hypot(ux, uy)
        ux, uy = ux / length, uy / length
        along = (x_m - x) * ux + (y_m - y) * uy
        distance = np.where((along > 0) & (along <= far_m), np.abs((x_m - x) * uy - (y_m - y) * ux), np.inf)
        lines += [
            (
                float(distance[n]),
                Line(
                    Kind.EXTENSION, float(x[n]), float(y[n]), float(ux[n]), float(uy[n]), far_m, *_owner(field, some[n])
                ),
            )
            for n in _nearest(distance, reach_m)
        ]
    lines.sort(key=lambda pair: (pair[0], field.ids[pair[1].owner], pair[1].number))
    return [line for _, line in lines[:_MOST]]


def _owner(field: SnapField, edge: np.int64) -> tuple[int, int]:
    return int(field.edge_owner[edge]), int(field.edge_number[edge])


def _steps() -> Iterator[tuple[float, float]]:
    for step in range(round(360.0 / ANGLE_STEP_DEG)):
        # exact at the four quarters: a line that looks upright is upright
        quarter, rest = divmod(step * ANGLE_STEP_DEG, 90.0)
        s, c = math.sin(math.radians(rest)), math.cos(math.radians(rest))
        yield ((s, c), (c, -s), (-s, -c), (-c, s))[int(quarter)]


_STEPS = tuple(_steps())


def directions(anchor: Point, previous: Point | None) -> list[Line]:
    """Return the directions that a line from the anchor likes: straight on and square to the segment before, every 15°.

    Parameters
    ----------
    anchor : (x, y)
        Where the line begins. [m]
    previous : (x, y) or None
        Where the segment that ended at the anchor began; None = there is none. [m]
    """
    x, y = anchor
    steps = [Line(Kind.ANGLE, x, y, ux, uy, math.inf) for ux, uy in _STEPS]
    if previous is None or previous == anchor:
        return steps
    length_m = math.hypot(x - previous[0], y - previous[1])
    ux, uy = (x - previous[0]) / length_m, (y - previous[1]) / length_m
    lines = [
        Line(Kind.PARALLEL, x, y, ux, uy, math.inf),
        Line(Kind.RIGHT_ANGLE, x, y, uy, -ux, math.inf),
        Line(Kind.RIGHT_ANGLE, x, y, -uy, ux, math.inf),
    ]
    turns = math.atan2(ux, uy) / math.radians(ANGLE_STEP_DEG)
    whole = round(turns)
    if abs(turns - whole) < _PARALLEL:
        # named by the segment before, not once more by their degrees
        quarter = len(steps) // 4
        named = {(whole + n * quarter) % len(steps) for n in (0, 1, -1)}
        steps = [step for n, step in enumerate(steps) if n not in named]
    return lines + steps


def meetings(lines: Sequence[Line], pointer: Point, reach_m: float) -> Iterator[tuple[Line, Line, Point]]:
    """Yield the two lines whose crossing is nearest to the pointer, with all that cross as near, and where.

    Nothing beyond the reach; two directions cross at their start, which is no crossing.
    """
    if len(lines) < 2:
        return
    x, y, ux, uy, high = np.array([line[1:6] for line in lines]).T
    one, other = np.triu_indices(len(lines), 1)
    across = ux[one] * uy[other] - uy[one] * ux[other]
    keep = (np.abs(across) >= _PARALLEL) & (np.isfinite(high[one]) | np.isfinite(high[other]))
    one, other, across = one[keep], other[keep], across[keep]
    dx, dy = x[other] - x[one], y[other] - y[one]
    first, second = (dx * uy[other] - dy * ux[other]) / across, (dx * uy[one] - dy * ux[one]) / across
    px, py = x[one] + first * ux[one], y[one] + first * uy[one]
    on = (first >= -_SLACK_M) & (first <= high[one] + _SLACK_M) & (second >= -_SLACK_M)
    on &= second <= high[other] + _SLACK_M
    distance = np.where(on, np.hypot(px - pointer[0], py - pointer[1]), np.inf)
    nearest = min(float(distance.min(initial=np.inf)), reach_m)
    for n in np.flatnonzero(distance <= nearest + _SLACK_M):
        yield lines[one[n]], lines[other[n]], (float(px[n]), float(py[n]))
