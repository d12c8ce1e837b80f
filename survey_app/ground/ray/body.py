"""What a line meets in space: how far over a prism's top it passes, and between where it runs inside a body."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from survey_app.ground._arrays import FloatArray
from survey_app.ground.ray.line import Line
from survey_app.ground.ray.packed import GRAZE_M
from survey_app.physics.kernels import kernel

__all__ = [
    "disc_span",
    "in_prism",
    "in_upright",
    "in_upright_long",
    "kept_below",
    "least_over_m",
    "over_m",
    "wire_crossing",
]

IntArray = NDArray[np.int64]


@kernel
def _over_plane(plane: FloatArray, box: FloatArray, prism: int, n: int, line: Line) -> tuple[float, float]:
    """Return the line's height over a plane: at its lower end, and by how much it grows up to the other."""
    a, b = plane[prism, n, 0], plane[prism, n, 1]
    at = line.z - plane[prism, n, 2] - a * (line.x - box[prism, 6]) - b * (line.y - box[prism, 7])
    return at, line.dz - a * line.dx - b * line.dy


@kernel
def over_m(plane: FloatArray, planes: IntArray, box: FloatArray, prism: int, line: Line, part: float) -> float:
    """Return how far over the top of a prism a line passes; negative = under it. [m]"""
    highest = -np.inf
    for n in range(planes[prism]):
        at, growth = _over_plane(plane, box, prism, n, line)
        highest = max(highest, at + part * growth)
    return highest


@kernel
def least_over_m(
    plane: FloatArray, planes: IntArray, box: FloatArray, prism: int, line: Line, enter: float, leave: float
) -> float:
    """Return the least height over the top between two parts of a line. [m]

    The top is the lowest of its planes, so the height over it is the highest of straight lines: its least value lies at
    an end or where two of them meet.
    """
    least = min(over_m(plane, planes, box, prism, line, enter), over_m(plane, planes, box, prism, line, leave))
    for n in range(planes[prism]):
        at, growth = _over_plane(plane, box, prism, n, line)
        for m in range(n):
            at2, growth2 = _over_plane(plane, box, prism, m, line)
            if growth != growth2:
                part = (at2 - at) / (growth - growth2)
                if enter < part < leave:
                    least = min(least, over_m(plane, planes, box, prism, line, part))
    return least


@kernel
def kept_below(at: float, growth: float, enter: float, leave: float) -> tuple[float, float]:
    """Return where a straight line is negative between two parts; the first part is not less where it never is."""
    first, last = at + enter * growth, at + leave * growth
    if first >= 0.0:
        enter = -at / growth if last < 0.0 else leave
    elif last > 0.0:
        leave = -at / growth
    return enter, leave


@kernel
def in_prism(
    plane: FloatArray,
    planes: IntArray,
    box: FloatArray,
    prism: int,
    line: Line,
    enter: float,
    leave: float,
    less: float,
) -> tuple[float, float]:
    """Return between which parts a line, over the footprint from `enter` to `leave`, runs inside a prism.

    Parameters
    ----------
    plane, planes, box : ndarray
        See `Packed`.
    prism : int
        Its place.
    line : Line
        The line.
    enter, leave : float
        Parts of the line.
    less : float
        By how much the top is lower and the underside higher than they are. [m]

    Returns
    -------
    enter, leave : float
        `leave` is not greater where it runs nowhere inside.
    """
    for n in range(planes[prism]):
        at, growth = _over_plane(plane, box, prism, n, line)
        enter, leave = kept_below(at + less, growth, enter, leave)
        if enter >= leave:
            return enter, enter
    underside = box[prism, 5]
    if underside > -np.inf:
        enter, leave = kept_below(underside - line.z + less, -line.dz, enter, leave)
    return enter, leave


@kernel
def disc_span(x: float, y: float, radius: float, line: Line) -> tuple[float, float]:
    """Return between which parts a line runs over a disc on the plan; the same twice where it does not."""
    px, py = line.x - x, line.y - y
    plan2 = line.dx * line.dx + line.dy * line.dy
    if plan2 == 0.0:
        return (0.0, 1.0) if px * px + py * py < radius * radius else (0.0, 0.0)
    # from the foot of the centre on the line, where nothing is lost by subtraction
    foot = -(px * line.dx + py * line.dy) / plan2
    away = (line.dx * py - line.dy * px) / np.sqrt(plan2)
    half2 = radius * radius - away * away
    if half2 <= 0.0:
        return foot, foot
    half = np.sqrt(half2 / plan2)
    return foot - half, foot + half


@kernel
def in_upright(post: FloatArray, n: int, line: Line, enter: float, leave: float, less: float) -> tuple[float, float]:
    """Return between which parts a line runs inside a tapered round body; see `in_prism`.

    Inside is where the distance from the axis is less than the radius there, both squared: a quadratic in the part.
    """
    foot, top = post[n, 2], post[n, 3]
    enter, leave = kept_below(line.z - top + less, line.dz, enter, leave)
    enter, leave = kept_below(foot - line.z + less, -line.dz, enter, leave)
    if enter >= leave:
        return enter, enter
    taper = (post[n, 5] - post[n, 4]) / (top - foot)
    px, py = line.x - post[n, 0], line.y - post[n, 1]
    wide, growth = post[n, 4] - less + taper * (line.z - foot), taper * line.dz
    a = line.dx * line.dx + line.dy * line.dy - growth * growth
    b = px * line.dx + py * line.dy - wide * growth
    c = px * px + py * py - wide * wide
    root2 = b * b - a * c
    if root2 <= 0.0:
        # never on the surface: all inside or all outside
        return (enter, leave) if c + enter * (2.0 * b + enter * a) < 0.0 else (enter, enter)
    q = -(b + np.copysign(np.sqrt(root2), b))
    if a == 0.0:  # as steep as the taper: met once
        return (max(enter, c / q), leave) if b < 0.0 else (enter, min(leave, c / q))
    one, two = min(c / q, q / a), max(c / q, q / a)
    if a > 0.0:
        return max(enter, one), min(leave, two)
    # steeper than the taper: it leaves the surface on the side where the body grows wider
    return (max(enter, two), leave) if growth > 0.0 else (enter, min(leave, one))


@kernel
def in_upright_long(post: FloatArray, n: int, line: Line) -> bool:
    """Return whether a line runs inside a tapered round body over more than `GRAZE_M`."""
    enter, leave = disc_span(post[n, 0], post[n, 1], max(post[n, 4], post[n, 5]), line)
    enter, leave = in_upright(post, n, line, max(enter, 0.0), min(leave, 1.0), GRAZE_M)
    return (leave - enter) * line.long_m > GRAZE_M


@kernel
def wire_crossing(wire: FloatArray, n: int, line: Line) -> tuple[bool, float, float]:
    """Return whether a line crosses a wire on the plan, at which part, and how far over it. [m]"""
    ax, ay, bx, by = wire[n, 0] - line.x, wire[n, 1] - line.y, wire[n, 3] - line.x, wire[n, 4] - line.y
    va, vb = line.dx * ay - line.dy * ax, line.dx * by - line.dy * bx
    plan2 = line.dx * line.dx + line.dy * line.dy
    if plan2 == 0.0 or (va >= 0.0) == (vb >= 0.0):
        return False, 0.0, 0.0
    along = va / (va - vb)
    part = ((ax + along * (bx - ax)) * line.dx + (ay + along * (by - ay)) * line.dy) / plan2
    return True, part, line.z + part * line.dz - (wire[n, 2] + along * (wire[n, 5] - wire[n, 2]))
