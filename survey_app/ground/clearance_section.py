r"""A prism that a ray runs through: whether it does, and how far the ray would have to give way.

A ray that gives way is bowed out like its first zone: at `s` by `c F1(s)`, to one side alone. The least `c` that
takes it off the whole prism is the ratio, with a minus sign; where it then touches, `c F1` are the metres. There are
four ways: over the top, level round the left or the right of the outline, and under a prism that has an underside.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.clearance_zone import Frame, edge_reach
from survey_app.ground.hull import Hull, crossings_at, in_order, top_at
from survey_app.physics.kernels import kernel

__all__ = ["Seen", "cut_at", "over_and_under", "sides"]


class Seen(NamedTuple):
    """Corners of a prism as the ray sees them, level along it and to its right, and room to work in.

    Attributes
    ----------
    h, p : ndarray of float, shape (corners,)
    met : ndarray of float
        Where the ray crosses the outline on the plan, along it; then anything.
    least, most, least_s, most_s : ndarray of float
        Reach of each edge to the left and to the right, and its place along the ray.
    """

    h: FloatArray
    p: FloatArray
    met: FloatArray
    least: FloatArray
    most: FloatArray
    least_s: FloatArray
    most_s: FloatArray


@kernel
def _span_above(a: float, b: float, lift: float, length: float, low: float, high: float) -> tuple[float, float]:
    """Return the part of [low, high] where `a + b s + lift s (length - s) > 0`, with `lift >= 0`."""
    if lift * length * length < 1e-15:
        if b == 0.0:
            return (low, high) if a > 0.0 else (low, low)
        root = -a / b
        return (max(low, root), high) if b > 0.0 else (low, min(high, root))
    # concave: above zero between its roots
    half = 0.5 * (b + lift * length)
    square = half * half + lift * a
    if square <= 0.0:
        return low, low
    bigger = half + math.copysign(math.sqrt(square), half)
    first, second = bigger / lift, -a / bigger
    return max(low, min(first, second)), min(high, max(first, second))


@kernel
def cut_at(f: Frame, hull: Hull, met: FloatArray, count: int) -> float:
    """Return a place along the ray inside the prism, whose outline it crosses at `met`; NaN where it runs clear."""
    lift = f.lift / f.ca if f.ca > 0.0 else 0.0
    for k in range(0, count - 1, 2):
        low, high = f.lo, f.hi
        if f.ca > 0.0:
            low, high = max(low, met[k] / f.ca), min(high, met[k + 1] / f.ca)
        for i in range(len(hull.planes)):
            if hull.planes[i, 2] < math.inf and low < high:
                pa, pb, pc = hull.planes[i, 0], hull.planes[i, 1], hull.planes[i, 2]
                a = pa * (f.ax - hull.corners[0, 0]) + pb * (f.ay - hull.corners[0, 1]) + pc - f.az
                low, high = _span_above(a, (pa * f.hx + pb * f.hy) * f.ca - f.sa, lift, f.length, low, high)
        if low < high:
            if hull.underside == -math.inf:
                return 0.5 * (low + high)
            # height over a lifted underside is greatest at an end
            at_low = f.az + f.sa * low - hull.underside - lift * low * (f.length - low)
            at_high = f.az + f.sa * high - hull.underside - lift * high * (f.length - high)
            if at_low > 0.0 or at_high > 0.0:
                return low if at_low > at_high else high
    return math.nan


@kernel
def _stops(f: Frame, hull: Hull, start: float, end: float, stops: FloatArray) -> int:
    """Put into `stops`, in order, both ends of a run over the plan and where two planes are equally high between."""
    stops[0], stops[1] = start, end
    total, planes = 2, hull.planes
    x, y = f.ax - hull.corners[0, 0], f.ay - hull.corners[0, 1]
    for i in range(len(planes)):
        for j in range(i):
            if planes[i, 2] == math.inf or planes[j, 2] == math.inf:
                continue
            da, db, dc = planes[i, 0] - planes[j, 0], planes[i, 1] - planes[j, 1], planes[i, 2] - planes[j, 2]
            slope = da * f.hx + db * f.hy
            if slope != 0.0:
                h = -(da * x + db * y + dc) / slope
                if start < h < end:
                    stops[total] = h
                    total += 1
    in_order(stops, total)
    return total


@kernel
def over_and_under(f: Frame, hull: Hull, met: FloatArray, count: int) -> tuple[float, float, float, float]:
    """Return how far, over sqrt(W), a ray must bow up and down in its upright plane: (over, its s, under, its s)."""
    over, over_s, under, under_s = -math.inf, 0.0, -math.inf, 0.0
    stops = np.empty(len(hull.planes) * len(hull.planes) + 2)
    for k in range(0, count - 1, 2):
        total = _stops(f, hull, met[k], met[k + 1], stops)
        for v in range(total - 1):
            h0, h1 = stops[v], stops[v + 1]
            z0 = top_at(hull, f.ax + h0 * f.hx, f.ay + h0 * f.hy)[0] - f.az
            z1 = top_at(hull, f.ax + h1 * f.hx, f.ay + h1 * f.hy)[0] - f.az
            most, at, _, _ = edge_reach(
                f, h0 * f.ca + z0 * f.sa, z0 * f.ca - h0 * f.sa, h1 * f.ca + z1 * f.sa, z1 * f.ca - h1 * f.sa, f.lift
            )
            if most > over:
                over, over_s = most, at
        if hull.underside > -math.inf:
            h0, h1, z = met[k], met[k + 1], hull.underside - f.az
            _, _, least, at = edge_reach(
                f, h0 * f.ca + z * f.sa, z * f.ca - h0 * f.sa, h1 * f.ca + z * f.sa, z * f.ca - h1 * f.sa, f.lift
            )
            if -least > under:
                under, under_s = -least, at
    return over, over_s, under, under_s


@kernel
def sides(
    f: Frame, hull: Hull, seen: Seen, level_s: float, middle: float
) -> tuple[float, float, int, float, float, int]:
    """Return how far the outline reaches to both sides of a place `middle` inside it, as `p / sqrt(W)`.

    What hangs together with `middle` counts, cut off at the ends of the judged part. Returned are the lowest reach, its
    place along the ray, the edge that has it (-1 at an end of the judged part), and the same of the highest. `level_s`
    is taken for the place along a ray that stands upright.
    """
    least, most, least_s, most_s = seen.least, seen.most, seen.least_s, seen.most_s
    edges = len(hull.after)
    for c in range(edges):
        d = hull.after[c]
        s0, s1 = (seen.h[c] / f.ca, seen.h[d] / f.ca) if f.ca > 0.0 else (level_s, level_s)
        most[c], most_s[c], least[c], least_s[c] = edge_reach(f, s0, seen.p[c], s1, seen.p[d], 0.0)
    total = edges
    for end in range(2 if f.ca > 0.0 else 0):
        s = f.lo if end == 0 else f.hi
        root = math.sqrt(s * (f.length - s))
        count = crossings_at(hull.after, seen.h, seen.p, s * f.ca, seen.met)
        for k in range(0, count - 1, 2):
            least[total], most[total] = seen.met[k] / root, seen.met[k + 1] / root
            least_s[total], most_s[total] = s, s
            total += 1
    low, high, low_s, high_s, low_edge, high_edge = middle, middle, level_s, level_s, -1, -1
    grown = True
    while grown:
        grown = False
        for k in range(total):
            if least[k] > high + 1e-9 or most[k] < low - 1e-9:
                continue
            edge = k if k < edges else -1
            if least[k] < low:
                low, low_s, low_edge, grown = least[k], least_s[k], edge, True
            if most[k] > high:
                high, high_s, high_edge, grown = most[k], most_s[k], edge, True
    return low, low_s, low_edge, high, high_s, high_edge
