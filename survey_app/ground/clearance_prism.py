"""How near a prism comes to a ray, in zone radii: edges first, then what lies inside a wall or the top."""

from __future__ import annotations

import math

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.clearance_section import Seen, cut_at, over_and_under, sides
from survey_app.ground.clearance_zone import Frame, edge_minimum, plane_foot, to_frame, to_plan
from survey_app.ground.hull import Hull, crossings_at, inside_outline, top_at
from survey_app.ground.prism_edges import PrismEdges
from survey_app.ground.solids import IntArray
from survey_app.physics.kernels import kernel

__all__ = ["prism_clearance", "room_for"]


@kernel
def room_for(corners: int) -> Seen:
    """Return room for prisms of up to so many corners."""
    spans = 2 * corners + 4
    return Seen(
        np.empty(corners), np.empty(corners), np.empty(corners + 2),
        np.empty(spans), np.empty(spans), np.empty(spans), np.empty(spans),
    )  # fmt: skip


@kernel
def _holds(hull: Hull, x: float, y: float, z: float) -> bool:
    """Return whether a point is inside the prism."""
    return hull.underside < z < top_at(hull, x, y)[0] and inside_outline(hull, x, y)


@kernel
def _nearest_edge(f: Frame, edges: PrismEdges, begin: int, stop: int) -> tuple[float, float, float, float, int, int]:
    """Return the least squared ratio on the edges, its (s, p, q) without the lift, the part and the corner."""
    best, s, p, q, part, corner = math.inf, 0.0, 0.0, 0.0, 0, -1
    # lower than both ends by more than their distance nothing is nearest
    deep = min(f.az, f.az + f.sa * f.length) - f.length - 1.0
    for e in range(begin, stop):
        ends = edges.ends[e]
        s0, p0, q0 = to_frame(f, ends[0], ends[1], max(ends[2], min(deep, ends[5])))
        s1, p1, q1 = to_frame(f, ends[3], ends[4], ends[5])
        value, t = edge_minimum(f, s0, p0, q0, s1, p1, q1)
        if value < best:
            best, part, corner = value, edges.part[e], edges.corner[e]
            s, p, q = s0 + t * (s1 - s0), p0 + t * (p1 - p0), q0 + t * (q1 - q0)
    return best, s, p, q, part, corner


@kernel
def _nearest_wall(f: Frame, hull: Hull, seen: Seen, best: float) -> tuple[float, float, float, float, int]:
    """Return the least squared ratio inside a wall if it is less than `best`: (value, s, p, q, corner)."""
    s, p, q, corner = 0.0, 0.0, 0.0, -1
    for c in range(len(hull.after)):
        d = hull.after[c]
        dh, dp = seen.h[d] - seen.h[c], seen.p[d] - seen.p[c]
        square = dh * dh + dp * dp
        if square == 0.0:
            continue
        # normal (dp, -dh) on the plan, along the ray and to its right
        size = math.sqrt(square)
        along, right = dp / size, -dh / size
        gap = along * seen.h[c] + right * seen.p[c]
        for which in range(3):
            value, fs, fp, fq = plane_foot(f, gap, along * f.ca, right, -along * f.sa, which)
            if value < best:
                t = ((fs * f.ca - fq * f.sa - seen.h[c]) * dh + (fp - seen.p[c]) * dp) / square
                x, y, z = to_plan(f, fs, fp, fq)
                if 0.0 <= t <= 1.0 and hull.underside <= z <= top_at(hull, x, y)[0]:
                    best, s, p, q, corner = value, fs, fp, fq, c
    return best, s, p, q, corner


@kernel
def _nearest_face(f: Frame, hull: Hull, best: float) -> tuple[float, float, float, float, int]:
    """Return the least squared ratio inside the top or the underside if less than `best`: (value, s, p, q, part)."""
    s, p, q, part = 0.0, 0.0, 0.0, -1
    planes = len(hull.planes)
    for i in range(planes + 1):
        a, b, c = (
            (hull.planes[i, 0], hull.planes[i, 1], hull.planes[i, 2]) if i < planes else (0.0, 0.0, hull.underside)
        )
        if abs(c) == math.inf:
            continue
        size = math.sqrt(a * a + b * b + 1.0)
        nx, ny, nz = -a / size, -b / size, 1.0 / size
        gap = (c + a * (f.ax - hull.corners[0, 0]) + b * (f.ay - hull.corners[0, 1]) - f.az) / size
        level = nx * f.hx + ny * f.hy
        ns, np_, nq = level * f.ca + nz * f.sa, nx * f.hy - ny * f.hx, nz * f.ca - level * f.sa
        for which in range(3):
            value, fs, fp, fq = plane_foot(f, gap, ns, np_, nq, which)
            if value < best:
                x, y, z = to_plan(f, fs, fp, fq)
                top = top_at(hull, x, y)[0]
                if (z <= top + 1e-9 if i < planes else z < top) and inside_outline(hull, x, y):
                    best, s, p, q, part = value, fs, fp, fq, (4 if i < planes else 6)
    return best, s, p, q, part


@kernel
def _height_in_zone(f: Frame, x: float, y: float, z: float) -> float:
    """Return `q / sqrt(W)` of a point, with the lift; beyond the judged part the zone at its end is taken."""
    s, _, q = to_frame(f, x, y, z)
    s = min(max(s, f.lo), f.hi)
    w = s * (f.length - s)
    return (q + f.lift * w) / math.sqrt(w)


@kernel
def prism_clearance(
    f: Frame,
    zone: float,
    hull: Hull,
    edges: PrismEdges,
    begin: int,
    stop: int,
    seen: Seen,
    out: FloatArray,
    marks: IntArray,
) -> None:
    """Put what one prism does to one ray into a row of `out` and `marks`, whose columns `clearance` names."""
    fx, fy, fz = to_plan(f, f.length, 0.0, 0.0)
    marks[3], marks[4] = _holds(hull, f.ax, f.ay, f.az), _holds(hull, fx, fy, fz)
    for c in range(len(hull.after)):
        x, y = hull.corners[c, 0] - f.ax, hull.corners[c, 1] - f.ay
        seen.h[c], seen.p[c] = x * f.hx + y * f.hy, x * f.hy - y * f.hx
    if f.ca > 0.0:
        count = crossings_at(hull.after, seen.p, seen.h, 0.0, seen.met)
    else:
        count = 2 if inside_outline(hull, f.ax, f.ay) else 0
    cut_s = cut_at(f, hull, seen.met, count)
    if not math.isnan(cut_s):
        marks[2] = 1
        _cut_row(f, zone, hull, seen, count, cut_s, out, marks)
        return
    best, s, p, q, part, corner = _nearest_edge(f, edges, begin, stop)
    value, ws, wp, wq, wall = _nearest_wall(f, hull, seen, best)
    if wall >= 0:
        best, s, p, q, part, corner = value, ws, wp, wq, 5, wall
    value, ws, wp, wq, face = _nearest_face(f, hull, best)
    if face >= 0:
        best, s, p, q, part, corner = value, ws, wp, wq, face, -1
    if best == math.inf:
        return
    w = s * (f.length - s)
    root = math.sqrt(w)
    x, y, z = to_plan(f, s, p, q)
    out[0], out[1], out[2], out[3] = math.sqrt(best) / zone, math.sqrt(best * w), zone * root, s
    out[4], out[5], out[6], out[7], out[8] = p, q + f.lift * w, x, y, z
    marks[0], marks[1] = part, corner
    if out[0] < 1.0:
        low, _, _, high, _, _ = sides(f, hull, seen, s, p / root)
        out[10], out[11] = -low / zone, high / zone
        out[9] = _height_in_zone(f, x, y, top_at(hull, x, y)[0]) / zone
        out[12] = -_height_in_zone(f, x, y, hull.underside) / zone if hull.underside > -math.inf else math.inf


@kernel
def _edge_above(hull: Hull, seen: Seen, h: float) -> int:
    """Return the edge of the outline that the ray crosses on the plan at `h`; -1 where it crosses none there."""
    for c in range(len(hull.after)):
        d = hull.after[c]
        if (seen.p[c] >= 0.0) != (seen.p[d] >= 0.0):
            met = seen.h[c] + seen.p[c] / (seen.p[c] - seen.p[d]) * (seen.h[d] - seen.h[c])
            if abs(met - h) < 1e-6:
                return c
    return -1


@kernel
def _cut_row(
    f: Frame, zone: float, hull: Hull, seen: Seen, count: int, cut_s: float, out: FloatArray, marks: IntArray
) -> None:
    """Put the row of a prism that the ray runs through: the least of the ways round it, as a minus."""
    over, over_s, under, under_s = math.inf, cut_s, math.inf, cut_s
    if f.ca > 0.0:
        over, over_s, under, under_s = over_and_under(f, hull, seen.met, count)
    if hull.underside == -math.inf:
        under = math.inf
    low, low_s, low_edge, high, high_s, high_edge = sides(f, hull, seen, cut_s, 0.0)
    out[9], out[10], out[11], out[12] = over / zone, -low / zone, high / zone, under / zone
    way = min(min(over, under), min(-low, high))
    p, q = 0.0, 0.0
    marks[0], marks[1] = 4, -1
    if way == over:
        s, q = over_s, over
    elif way == under:
        s, q = under_s, -under
    elif way == high:
        s, p, marks[0], marks[1] = high_s, high, 5, high_edge
    else:
        s, p, marks[0], marks[1] = low_s, low, 5, low_edge
    w = s * (f.length - s)
    root = math.sqrt(w)
    out[0], out[1], out[2], out[3] = -way / zone, -way * root, zone * root, s
    out[4], out[5] = p * root, q * root
    out[6], out[7], out[8] = to_plan(f, s, out[4], out[5] - f.lift * w)
    if q != 0.0:
        edge = _edge_above(hull, seen, s * f.ca - (out[5] - f.lift * w) * f.sa)
        marks[1] = edge
        if q < 0.0:
            marks[0] = 3 if edge >= 0 else 6
        else:
            ridged = len(hull.planes) > 1 and hull.planes[1, 2] < math.inf and f.lo < s < f.hi
            marks[0] = 0 if edge >= 0 else (2 if ridged else 4)
