r"""The first zone as a measure: where a straight edge, a plane or a point comes nearest to a ray in zone radii.

Everything happens in the frame of one ray: `s` along it from its first end, `p` level and to the right of it, `q`
square to both and upwards. The first zone at `s` has the radius `F1 = sqrt(L W / D)`, `W = s (D - s)`, where `L` is the
wavelength and `D` the length, so the ratio of a point is `sqrt(p**2 + q**2) / sqrt(W)` but for one factor of the ray.
The set of points below a ratio is an ellipsoid, so the ratio has one least value on every convex body, and on every
straight edge.

The earth's curve lifts what stands on it by `s (D - s) / (2 k R)` against the straight ray: by `lift W` along `q`.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from survey_app.physics.kernels import kernel

__all__ = ["Frame", "edge_minimum", "edge_reach", "frame_of", "plane_foot", "to_frame", "to_plan"]

PASSES = 4
"""How often the lift is laid anew as a tangent at the place found; each pass gains about five digits."""


class Frame(NamedTuple):
    """One ray: first end, level direction, cosine and sine of its slope, length, judged part, lift over W."""

    ax: float
    ay: float
    az: float
    hx: float
    hy: float
    ca: float
    sa: float
    length: float
    lo: float
    hi: float
    lift: float


@kernel
def frame_of(
    ax: float, ay: float, az: float, bx: float, by: float, bz: float, bracket_m: float, curvature: float
) -> Frame:
    """Return the frame of a ray from a to b; `curvature` is 1 / (2 k R), in 1/m."""
    dx, dy, dz = bx - ax, by - ay, bz - az
    level = math.sqrt(dx * dx + dy * dy)
    length = math.sqrt(dx * dx + dy * dy + dz * dz)
    if level > 1e-9 * length:
        hx, hy, ca, sa = dx / level, dy / level, level / length, dz / length
    else:
        # straight up or down: any level direction serves
        hx, hy, ca, sa = 0.0, 1.0, 0.0, math.copysign(1.0, dz)
    return Frame(ax, ay, az, hx, hy, ca, sa, length, bracket_m, length - bracket_m, curvature * ca * ca * ca)


@kernel
def to_frame(f: Frame, x: float, y: float, z: float) -> tuple[float, float, float]:
    """Return (s, p, q) of a point, without the lift."""
    x, y, z = x - f.ax, y - f.ay, z - f.az
    h = x * f.hx + y * f.hy
    return h * f.ca + z * f.sa, x * f.hy - y * f.hx, z * f.ca - h * f.sa


@kernel
def to_plan(f: Frame, s: float, p: float, q: float) -> tuple[float, float, float]:
    """Return (x, y, z) of a point of the frame, without the lift."""
    h = s * f.ca - q * f.sa
    return f.ax + h * f.hx + p * f.hy, f.ay + h * f.hy - p * f.hx, f.az + s * f.sa + q * f.ca


@kernel
def _square(f: Frame, s: float, p: float, q: float) -> float:
    w = s * (f.length - s)
    q = q + f.lift * w
    return (p * p + q * q) / w


@kernel
def edge_minimum(f: Frame, s0: float, p0: float, q0: float, s1: float, p1: float, q1: float) -> tuple[float, float]:
    r"""Return the least squared ratio on a straight edge, and the part of the edge where it is; infinity outside.

    Notes
    -----
    Along the edge, `t` from 0 to 1, let

    .. math:: N(t) = p^2 + q^2 = n_0 + n_1 t + n_2 t^2, \qquad W(t) = s (D - s) = w_0 + w_1 t + w_2 t^2 .

    The ratio's square is `N / W` but for a factor, and it is stationary where `N' W - N W' = 0`:

    .. math:: (n_1 + 2 n_2 t)(w_0 + w_1 t + w_2 t^2) - (n_0 + n_1 t + n_2 t^2)(w_1 + 2 w_2 t) = 0 .

    The cubic terms `2 n_2 w_2 - 2 n_2 w_2` cancel, which leaves a quadratic

    .. math:: (n_2 w_1 - n_1 w_2) t^2 + 2 (n_2 w_0 - n_0 w_2) t + (n_1 w_0 - n_0 w_1) = 0 .

    One of its roots is the least value, the other lies outside the ends of the ray or is a greatest value. With the
    lift, `q` becomes `q + lift W`; `W` in it is replaced by its tangent at the place found, and the quadratic is
    solved again: where that comes to rest, the exact derivative is zero.
    """
    ds, dp, dq = s1 - s0, p1 - p0, q1 - q0
    first, last = 0.0, 1.0
    if ds == 0.0:
        if s0 < f.lo or s0 > f.hi:
            return math.inf, 0.0
    else:
        at_lo, at_hi = (f.lo - s0) / ds, (f.hi - s0) / ds
        first, last = max(0.0, min(at_lo, at_hi)), min(1.0, max(at_lo, at_hi))
        if first > last:
            return math.inf, 0.0
    best, where = math.inf, first
    for end in range(2):
        t = first if end == 0 else last
        value = _square(f, min(max(s0 + ds * t, f.lo), f.hi), p0 + dp * t, q0 + dq * t)
        if value < best:
            best, where = value, t
    w0, w1, w2 = s0 * (f.length - s0), ds * (f.length - 2.0 * s0), -ds * ds
    tangent = 0.5 * (first + last)
    for _ in range(1 if f.lift == 0.0 else PASSES):
        a0 = q0 + f.lift * (w0 - w2 * tangent * tangent)
        a1 = dq + f.lift * (w1 + 2.0 * w2 * tangent)
        n0, n1, n2 = p0 * p0 + a0 * a0, 2.0 * (p0 * dp + a0 * a1), dp * dp + a1 * a1
        a, b, c = n2 * w1 - n1 * w2, n2 * w0 - n0 * w2, n1 * w0 - n0 * w1
        square = b * b - a * c
        if square < 0.0:
            break
        bigger = -(b + math.copysign(math.sqrt(square), b))
        found = math.inf
        for which in range(2):
            over, under = (bigger, a) if which == 0 else (c, bigger)
            if under == 0.0:
                continue
            t = over / under
            if not first <= t <= last:
                continue
            value = _square(f, s0 + ds * t, p0 + dp * t, q0 + dq * t)
            if value < found:
                found, tangent = value, t
        if found == math.inf:
            break
        if found < best:
            best, where = found, tangent
    return best, where


@kernel
def edge_reach(f: Frame, s0: float, v0: float, s1: float, v1: float, lift: float) -> tuple[float, float, float, float]:
    r"""Return the greatest and the least `(v + lift W) / sqrt(W)` on a straight edge, each with its `s`.

    Notes
    -----
    With `v = a + b s` the derivative is zero where `b s D + 2 a s - a D + lift W (D - 2 s) = 0`. Without the lift that
    is one place, `s = a D / (2 a + b D)`; with it, Newton's rule starts from there and from the middle.
    (-inf, 0, inf, 0) where no part of the edge is judged.
    """
    if max(s0, s1) < f.lo or min(s0, s1) > f.hi:
        return -math.inf, 0.0, math.inf, 0.0
    first, last, length = max(f.lo, min(s0, s1)), min(f.hi, max(s0, s1)), f.length
    if s0 == s1:
        w = s0 * (length - s0)
        return (max(v0, v1) + lift * w) / math.sqrt(w), s0, (min(v0, v1) + lift * w) / math.sqrt(w), s0
    b = (v1 - v0) / (s1 - s0)
    a = v0 - b * s0
    most, most_s, least, least_s = -math.inf, 0.0, math.inf, 0.0
    for start in range(4 if lift != 0.0 else 3):
        if start < 2:
            s = first if start == 0 else last
        else:
            under = 2.0 * a + b * length
            s = a * length / under if start == 2 and under != 0.0 else 0.5 * (first + last)
            for _ in range(6 if lift != 0.0 else 0):
                w, dw = s * (length - s), length - 2.0 * s
                slope = under + lift * (dw * dw - 2.0 * w)
                s = s - (under * s - a * length + lift * w * dw) / slope if slope != 0.0 else s
            if not first < s < last:
                continue
        # the ends keep the values that they were given
        line = v0 if s == s0 else (v1 if s == s1 else a + b * s)
        w = s * (length - s)
        value = (line + lift * w) / math.sqrt(w)
        if value > most:
            most, most_s = value, s
        if value < least:
            least, least_s = value, s
    return most, most_s, least, least_s


@kernel
def plane_foot(f: Frame, c: float, ns: float, np_: float, nq: float, which: int) -> tuple[float, float, float, float]:
    r"""Return the point of a plane nearest to the ray in zone radii: (squared ratio, s, p, q), `q` without the lift.

    The plane is `ns s + np p + nq q = c`. `which` 0 asks for the place of the least ratio, 1 and 2 for the two ends of
    the judged part. The first value is infinite where the plane crosses the ray in the judged part, or stands square
    to it.

    Notes
    -----
    At `s` the foot of the perpendicular lies at `|c - ns s| / sqrt(np**2 + nq**2)`. Its ratio `|a + b s| / sqrt(W)` has
    the derivative `b s D + 2 a s - a D` over something positive: least at `s = a D / (2 a + b D)`.
    """
    square = np_ * np_ + nq * nq
    if square < 1e-24:
        return math.inf, 0.0, 0.0, 0.0
    s = f.lo if which == 1 else (f.hi if which == 2 else 0.5 * f.length)
    for _ in range(PASSES if which == 0 else 1):
        # lift as a tangent at s: W(s0) + W'(s0) (s - s0)
        dw = f.length - 2.0 * s
        a = c + nq * f.lift * (s * (f.length - s) - dw * s)
        b = nq * f.lift * dw - ns
        at_lo, at_hi = a + b * f.lo, a + b * f.hi
        if at_lo == 0.0 or at_hi == 0.0 or (at_lo > 0.0) != (at_hi > 0.0):
            return math.inf, 0.0, 0.0, 0.0
        if which == 0:
            under = 2.0 * a + b * f.length
            s = a * f.length / under if under != 0.0 else s
            s = min(max(s, f.lo), f.hi)
    w = s * (f.length - s)
    gap = c + nq * f.lift * w - ns * s
    p, q = gap * np_ / square, gap * nq / square
    return (p * p + q * q) / w, s, p, q - f.lift * w
