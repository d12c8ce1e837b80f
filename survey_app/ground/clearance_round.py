"""How near a pole, a mast or a wire comes to a ray, in zone radii."""

from __future__ import annotations

import math

from survey_app.ground._arrays import FloatArray
from survey_app.ground.clearance_zone import Frame, edge_minimum, to_frame, to_plan
from survey_app.ground.solids import IntArray
from survey_app.physics.kernels import kernel

__all__ = ["upright_clearance", "wire_clearance"]

GOLDEN = 0.6180339887498949
STEPS = 44
"""Golden cuts of an interval: leaves 1e-9 of it, and the square of that in a least value."""


@kernel
def _disc(f: Frame, hc: float, pc: float, radius: float, z: float) -> tuple[float, float, float]:
    """Return the least squared ratio on a level disc at height `z` over the ray's first end: (value, s, p).

    At each `h` the nearest point of the chord is known; along `h` the value falls and then rises.
    """
    ca, sa = f.ca, f.sa
    low, high = hc - radius, hc + radius
    if ca > 0.0:
        low, high = max(low, (f.lo - z * sa) / ca), min(high, (f.hi - z * sa) / ca)
    elif not f.lo <= z * sa <= f.hi:
        return math.inf, hc, pc
    if low > high:
        return math.inf, hc, pc
    a, b = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_a, at_b = _chord(f, hc, pc, radius, z, a), _chord(f, hc, pc, radius, z, b)
    for _ in range(STEPS):
        if at_a <= at_b:
            high, b, at_b = b, a, at_a
            a = high - GOLDEN * (high - low)
            at_a = _chord(f, hc, pc, radius, z, a)
        else:
            low, a, at_a = a, b, at_b
            b = low + GOLDEN * (high - low)
            at_b = _chord(f, hc, pc, radius, z, b)
    h = a if at_a <= at_b else b
    half = math.sqrt(max(0.0, radius * radius - (h - hc) * (h - hc)))
    p = math.copysign(max(0.0, abs(pc) - half), pc)
    s = min(max(h * ca + z * sa, f.lo), f.hi)
    return min(at_a, at_b), s, p


@kernel
def _chord(f: Frame, hc: float, pc: float, radius: float, z: float, h: float) -> float:
    half = math.sqrt(max(0.0, radius * radius - (h - hc) * (h - hc)))
    p = max(0.0, abs(pc) - half)
    s = min(max(h * f.ca + z * f.sa, f.lo), f.hi)
    w = s * (f.length - s)
    q = z * f.ca - h * f.sa + f.lift * w
    return (p * p + q * q) / w


@kernel
def _height_range(
    f: Frame, hc: float, foot: float, top: float, radius_foot: float, radius_top: float
) -> tuple[float, float]:
    """Return the heights at which some of the body lies beside the judged part of the ray."""
    ca, sa = f.ca, f.sa
    low, high = foot, top
    taper = (radius_top - radius_foot) / (top - foot)
    # far side of the disc past the first limit, near side before the last one: both linear in height
    for end in range(2):
        sign = 1.0 if end == 0 else -1.0
        limit = f.lo if end == 0 else f.hi
        rise = sign * sa + taper * ca
        at_foot = sign * (hc * ca + foot * sa - limit) + radius_foot * ca
        if rise == 0.0:
            if at_foot < 0.0:
                return 1.0, 0.0
        elif rise > 0.0:
            low = max(low, foot - at_foot / rise)
        else:
            high = min(high, foot - at_foot / rise)
    return low, high


@kernel
def _is_cut(f: Frame, hc: float, pc: float, foot: float, top: float, radius_foot: float, radius_top: float) -> bool:
    """Return whether the judged part of the ray runs inside the body, taken with its lift at the axis."""
    ca, sa = f.ca, f.sa
    low, high = f.lo, f.hi
    if sa != 0.0:
        at_foot, at_top = foot / sa, top / sa
        low, high = max(low, min(at_foot, at_top)), min(high, max(at_foot, at_top))
    elif not foot < 0.0 < top:
        return False
    if low >= high:
        return False
    taper = (radius_top - radius_foot) / (top - foot)
    # (h - hc)^2 + pc^2 < (r0 + r1 s)^2 along the ray
    r0, r1 = radius_foot - taper * foot, taper * sa
    a, b, c = ca * ca - r1 * r1, -(hc * ca + r0 * r1), hc * hc + pc * pc - r0 * r0
    if a <= 0.0:
        # a ray steeper than the side of the body: its inside is tried at the ends and the turning point
        turn = min(max(-b / a, low), high) if a < 0.0 else low
        inside = min(
            min(a * low * low + 2.0 * b * low + c, a * high * high + 2.0 * b * high + c),
            a * turn * turn + 2.0 * b * turn + c,
        )
        return inside < 0.0
    root = b * b - a * c
    if root <= 0.0:
        return False
    return max(low, (-b - math.sqrt(root)) / a) < min(high, (-b + math.sqrt(root)) / a)


@kernel
def upright_clearance(
    f: Frame,
    zone: float,
    x: float,
    y: float,
    foot: float,
    top: float,
    radius_foot: float,
    radius_top: float,
    out: FloatArray,
    marks: IntArray,
) -> None:
    """Put what one upright does to one ray into a row of `out` and `marks`.

    Notes
    -----
    The body is convex and the ratio has one least value on it, so it falls and then rises with the height of a level
    slice, and within a slice with the place along the ray: two golden searches, one in the other. A body that the ray
    runs through is cleared over its top or past its round side at the ray's own height, the zone taken at its axis.
    """
    ca, length, beta = f.ca, f.length, f.lift
    x, y = x - f.ax, y - f.ay
    hc, pc = x * f.hx + y * f.hy, x * f.hy - y * f.hx
    foot, top = foot - f.az, top - f.az
    taper = (radius_top - radius_foot) / (top - foot)
    marks[0], marks[1] = 7, -1
    for end in range(2):
        h, z = (0.0, 0.0) if end == 0 else (length * ca, length * f.sa)
        radius = radius_foot + taper * (z - foot)
        marks[3 + end] = foot < z < top and (hc - h) * (hc - h) + pc * pc < radius * radius
    level_s = min(max(hc / ca if ca > 0.0 else 0.5 * length, f.lo), f.hi)
    w = level_s * (length - level_s)
    lift = beta * w / ca if ca > 0.0 else 0.0
    if _is_cut(f, hc, pc, foot + lift, top + lift, radius_foot, radius_top):
        marks[2] = 1
        _upright_cut(f, zone, hc, pc, foot + lift, top + lift, radius_foot, radius_top, level_s, out)
        out[6], out[7], out[8] = to_plan(f, out[3], out[4], out[5] - beta * w)
        return
    low, high = _height_range(f, hc, foot, top, radius_foot, radius_top)
    if low > high:
        return
    a, b = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_a = _disc(f, hc, pc, radius_foot + taper * (a - foot), a)[0]
    at_b = _disc(f, hc, pc, radius_foot + taper * (b - foot), b)[0]
    for _ in range(STEPS):
        if at_a <= at_b:
            high, b, at_b = b, a, at_a
            a = high - GOLDEN * (high - low)
            at_a = _disc(f, hc, pc, radius_foot + taper * (a - foot), a)[0]
        else:
            low, a, at_a = a, b, at_b
            b = low + GOLDEN * (high - low)
            at_b = _disc(f, hc, pc, radius_foot + taper * (b - foot), b)[0]
    z = a if at_a <= at_b else b
    best, s, p = _disc(f, hc, pc, radius_foot + taper * (z - foot), z)
    # a least value at the top or the foot is taken there and not a billionth beside it
    for end in range(2):
        zt, rt = (top, radius_top) if end == 0 else (foot, radius_foot)
        value, st, pt = _disc(f, hc, pc, rt, zt)
        if value <= best:
            best, s, p, z = value, st, pt, zt
    if best == math.inf:
        return
    w = s * (length - s)
    h = (s - z * f.sa) / ca if ca > 0.0 else hc
    q = z * ca - h * f.sa
    out[0], out[1], out[2], out[3] = math.sqrt(best) / zone, math.sqrt(best * w), zone * math.sqrt(w), s
    out[4], out[5] = p, q + beta * w
    out[6], out[7], out[8] = to_plan(f, s, p, q)
    if out[0] < 1.0:
        _upright_reach(f, zone, hc, pc, foot + lift, top + lift, radius_foot, radius_top, level_s, out)


@kernel
def _upright_reach(
    f: Frame,
    zone: float,
    hc: float,
    pc: float,
    foot: float,
    top: float,
    radius_foot: float,
    radius_top: float,
    level_s: float,
    out: FloatArray,
) -> None:
    """Put the reach over, left, right and under in zone radii, taken at the axis and at the ray's own height there."""
    root = math.sqrt(level_s * (f.length - level_s))
    level = min(max(level_s * f.sa, foot), top)
    radius = radius_foot + (radius_top - radius_foot) * (level - foot) / (top - foot)
    out[9] = (top * f.ca - hc * f.sa) / (root * zone)
    out[10], out[11] = (radius - pc) / (root * zone), (radius + pc) / (root * zone)
    out[12] = math.inf


@kernel
def _upright_cut(
    f: Frame,
    zone: float,
    hc: float,
    pc: float,
    foot: float,
    top: float,
    radius_foot: float,
    radius_top: float,
    level_s: float,
    out: FloatArray,
) -> None:
    _upright_reach(f, zone, hc, pc, foot, top, radius_foot, radius_top, level_s, out)
    reach = zone * math.sqrt(level_s * (f.length - level_s))
    way = max(0.0, min(out[9] if f.ca > 0.0 else math.inf, min(out[10], out[11])))
    out[0], out[1], out[2], out[3] = -way, -way * reach, reach, level_s
    out[4], out[5] = 0.0, 0.0
    if way == out[9]:
        out[5] = way * reach
    elif way == out[11]:
        out[4] = way * reach
    else:
        out[4] = -way * reach


@kernel
def wire_clearance(
    f: Frame,
    zone: float,
    x0: float,
    y0: float,
    z0: float,
    x1: float,
    y1: float,
    z1: float,
    out: FloatArray,
    marks: IntArray,
) -> None:
    """Put what one wire does to one ray into a row of `out` and `marks`; a wire is never run through."""
    marks[0], marks[1] = 8, -1
    s0, p0, q0 = to_frame(f, x0, y0, z0)
    s1, p1, q1 = to_frame(f, x1, y1, z1)
    best, t = edge_minimum(f, s0, p0, q0, s1, p1, q1)
    if best == math.inf:
        return
    s = min(max(s0 + t * (s1 - s0), f.lo), f.hi)
    p, q = p0 + t * (p1 - p0), q0 + t * (q1 - q0)
    w = s * (f.length - s)
    out[0], out[1], out[2], out[3] = math.sqrt(best) / zone, math.sqrt(best * w), zone * math.sqrt(w), s
    out[4], out[5] = p, q + f.lift * w
    out[6], out[7], out[8] = to_plan(f, s, p, q)
