r"""The first zone as a measure: where a straight edge, a plane or a point comes nearest to a ray in zone radii.

Everything happens in the frame of one ray: `s` along it from its first end, `p` level and to the right of it, `q` square
to both and upwards. The first zone at `s` has the radius `F1 = sqrt(L W / D)`, `W = s (D - s)`, where `L` is the
wavelength and `D` the length, so the ratio of a point is `sqrt(p**2 + q**2) / sqrt(W)` but for one factor of the ray.
The set of points below a ratio is an ellipsoid, so the ratio has one least value on every convex body, and on every
straight edge.

The earth's curve lifts what stands on it by `s (D - s) / (2 k R)` against the straight ray: `beta W` along `q`.

A frame is the tuple `(ax, ay, az, hx, hy, ca, sa, D, lo, hi, beta)`: first end, level direction, cosine and sine of the
slope, length, the part that is judged, lift.
"""

from __future__ import annotations

import math

from survey_app.physics.kernels import kernel

__all__ = ["edge_minimum", "edge_reach", "frame_of", "plane_foot", "to_frame", "to_plan"]

PASSES = 4
"""How often the lift is laid anew as a tangent at the place found; each pass gains about five digits."""


@kernel
def frame_of(ax, ay, az, bx, by, bz, bracket_m, curvature):  # type: ignore[no-untyped-def]
    """Return the frame of a ray from a to b; `curvature` is 1 / (2 k R), in 1/m."""
    dx, dy, dz = bx - ax, by - ay, bz - az
    level = math.sqrt(dx * dx + dy * dy)
    length = math.sqrt(dx * dx + dy * dy + dz * dz)
    if level > 1e-9 * length:
        hx, hy, ca, sa = dx / level, dy / level, level / length, dz / length
    else:
        # straight up or down: any level direction serves
        hx, hy, ca, sa = 0.0, 1.0, 0.0, math.copysign(1.0, dz)
    return ax, ay, az, hx, hy, ca, sa, length, bracket_m, length - bracket_m, curvature * ca * ca * ca


@kernel
def to_frame(f, x, y, z):  # type: ignore[no-untyped-def]
    """Return (s, p, q) of a point, without the lift."""
    x, y, z = x - f[0], y - f[1], z - f[2]
    h = x * f[3] + y * f[4]
    return h * f[5] + z * f[6], x * f[4] - y * f[3], z * f[5] - h * f[6]


@kernel
def to_plan(f, s, p, q):  # type: ignore[no-untyped-def]
    """Return (x, y, z) of a point of the frame, without the lift."""
    h = s * f[5] - q * f[6]
    return f[0] + h * f[3] + p * f[4], f[1] + h * f[4] - p * f[3], f[2] + s * f[6] + q * f[5]


@kernel
def _square(f, s, p, q):  # type: ignore[no-untyped-def]
    w = s * (f[7] - s)
    q = q + f[10] * w
    return (p * p + q * q) / w


@kernel
def edge_minimum(f, s0, p0, q0, s1, p1, q1):  # type: ignore[no-untyped-def]
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
    lift, `q` becomes `q + beta W`; `W` in it is replaced by its tangent at the place found, and the quadratic is
    solved again: where that comes to rest, the exact derivative is zero.
    """
    ds, dp, dq = s1 - s0, p1 - p0, q1 - q0
    first, last = 0.0, 1.0
    lo, hi, length, beta = f[8], f[9], f[7], f[10]
    if ds == 0.0:
        if s0 < lo or s0 > hi:
            return math.inf, 0.0
    else:
        at_lo, at_hi = (lo - s0) / ds, (hi - s0) / ds
        first, last = max(0.0, min(at_lo, at_hi)), min(1.0, max(at_lo, at_hi))
        if first > last:
            return math.inf, 0.0
    best, where = math.inf, first
    for end in range(2):
        t = first if end == 0 else last
        value = _square(f, min(max(s0 + ds * t, lo), hi), p0 + dp * t, q0 + dq * t)
        if value < best:
            best, where = value, t
    w0, w1, w2 = s0 * (length - s0), ds * (length - 2.0 * s0), -ds * ds
    tangent = where if beta == 0.0 else 0.5 * (first + last)
    for _ in range(1 if beta == 0.0 else PASSES):
        slope = beta * (w1 + 2.0 * w2 * tangent)
        a0, a1 = q0 + beta * (w0 - w2 * tangent * tangent), dq + slope
        n0, n1, n2 = p0 * p0 + a0 * a0, 2.0 * (p0 * dp + a0 * a1), dp * dp + a1 * a1
        a, b, c = n2 * w1 - n1 * w2, n2 * w0 - n0 * w2, n1 * w0 - n0 * w1
        root = b * b - a * c
        if root < 0.0:
            break
        bigger = -(b + math.copysign(math.sqrt(root), b))
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
        if found < best:
            best, where = found, tangent
        if found == math.inf:
            break
    return best, where


@kernel
def edge_reach(f, s0, v0, s1, v1, lift):  # type: ignore[no-untyped-def]
    r"""Return the greatest and the least `(v + lift W) / sqrt(W)` on a straight edge, each with its `s`.

    Notes
    -----
    With `v = a + b s` the derivative is zero where `b s D + 2 a s - a D + lift W (D - 2 s) = 0`. Without the lift that is
    one place, `s = a D / (2 a + b D)`; with it, Newton's rule starts from there and from the middle.
    (-inf, 0, inf, 0) where no part of the edge is judged.
    """
    lo, hi, length = f[8], f[9], f[7]
    if max(s0, s1) < lo or min(s0, s1) > hi:
        return -math.inf, 0.0, math.inf, 0.0
    first, last = max(lo, min(s0, s1)), min(hi, max(s0, s1))
    most, most_s, least, least_s = -math.inf, 0.0, math.inf, 0.0
    if s0 == s1:
        low, high = min(v0, v1), max(v0, v1)
        w = first * (length - first)
        return (high + lift * w) / math.sqrt(w), first, (low + lift * w) / math.sqrt(w), first
    b = (v1 - v0) / (s1 - s0)
    a = v0 - b * s0
    for start in range(4):
        if start == 0:
            s = first
        elif start == 1:
            s = last
        else:
            under = 2.0 * a + b * length
            s = a * length / under if start == 2 and under != 0.0 else 0.5 * (first + last)
            if lift != 0.0:
                for _ in range(6):
                    w, dw = s * (length - s), length - 2.0 * s
                    value = (b * length + 2.0 * a) * s - a * length + lift * w * dw
                    slope = b * length + 2.0 * a + lift * (dw * dw - 2.0 * w)
                    s = s - value / slope if slope != 0.0 else s
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
def plane_foot(f, c, ns, np_, nq, which):  # type: ignore[no-untyped-def]
    r"""Return the point of a plane nearest to the ray in zone radii: (squared ratio, s, p, q), `q` without the lift.

    The plane is `ns s + np p + nq q = c`. `which` 0 asks for the place of the least ratio, 1 and 2 for the two ends of
    the judged part. The first value is infinite where the plane crosses the ray in the judged part, or stands square
    to it.

    Notes
    -----
    At `s` the foot of the perpendicular lies at `|c - ns s| / sqrt(np**2 + nq**2)`. Its ratio `|a + b s| / sqrt(W)` has
    the derivative `b s D + 2 a s - a D` over something positive: least at `s = a D / (2 a + b D)`.
    """
    lo, hi, length, beta = f[8], f[9], f[7], f[10]
    square = np_ * np_ + nq * nq
    if square < 1e-24:
        return math.inf, 0.0, 0.0, 0.0
    s = lo if which == 1 else (hi if which == 2 else 0.5 * (lo + hi))
    for _ in range(PASSES if which == 0 else 1):
        # lift as a tangent at s: q + beta (W(s0) + W'(s0) (s - s0))
        dw = length - 2.0 * s
        a = c + nq * beta * (s * (length - s) - dw * s)
        b = nq * beta * dw - ns
        at_lo, at_hi = a + b * lo, a + b * hi
        if at_lo == 0.0 or at_hi == 0.0 or (at_lo > 0.0) != (at_hi > 0.0):
            return math.inf, 0.0, 0.0, 0.0
        if which == 0:
            under = 2.0 * a + b * length
            s = a * length / under if under != 0.0 else s
            s = min(max(s, lo), hi)
    w = s * (length - s)
    gap = c + nq * beta * w - ns * s
    p, q = gap * np_ / square, gap * nq / square
    return (p * p + q * q) / w, s, p, q - beta * w
