"""Clearance of rays over the ground, in metres and in first-zone radii."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.clearance import BRACKET_M, curvature_per_m
from survey_app.ground.clearance_given import Rays, ordered_ends
from survey_app.ground.relief.surface import Surface
from survey_app.ground.solids import IntArray
from survey_app.physics.geometry import STANDARD_K
from survey_app.physics.kernels import kernel

__all__ = ["GroundClearances", "ground_clearances"]


_STEPS_OF_PIECE = 40.0


@dataclass(frozen=True)
class GroundClearances:
    """How near the ground comes to each ray.

    Attributes
    ----------
    ratio : ndarray of float, shape (rays,)
        Least clearance over the radius of the first zone at its place, negative where the ground is higher than the
        ray; NaN where any of the ground or of the ray is not known, or the ray has no judged part or stands upright.
        [1]
    clearance_m : ndarray of float, shape (rays,)
        Clearance at that place, square to the ray: upright clearance times the cosine of the ray's slope. [m]
    zone_m : ndarray of float, shape (rays,)
        Radius of the first zone there. [m]
    from_start_m, from_end_m : ndarray of float, shape (rays,)
        Place along the ray from either end. [m]
    ground_m : ndarray of float, shape (rays,)
        Ground there, over the site datum, without the earth's bulge. [m]
    """

    ratio: FloatArray
    clearance_m: FloatArray
    zone_m: FloatArray
    from_start_m: FloatArray
    from_end_m: FloatArray
    ground_m: FloatArray

    def __len__(self) -> int:
        return len(self.ratio)


def ground_clearances(
    ground: Surface, rays: Rays, *, k: float = STANDARD_K, bracket_m: float = BRACKET_M
) -> GroundClearances:
    r"""Return how near the ground comes to rays.

    Parameters
    ----------
    ground : Surface
        The relief.
    rays : Rays
        Rays; both directions of one give the same bits.
    k : float
        Factor of the earth's radius, > 0. [1]
    bracket_m : float
        What is left out at either end, along the ray, > 0. [m]

    Returns
    -------
    GroundClearances

    Raises
    ------
    ValueError
        `k` or `bracket_m` is not above 0.

    Notes
    -----
    With `t` from 0 to 1 along the ray, the clearance over one piece of the profile, ground bowed like a parabola and
    earth's bulge included, is a quadratic `g(t)`, and its ratio to the zone is `g / sqrt(t (1 - t))` but for a factor.
    That is stationary where `2 g' t (1 - t) = g (1 - 2 t)`, a cubic, whose roots are all found.
    """
    if not bracket_m > 0.0:
        raise ValueError(f"bracket_m is {bracket_m!r}, a length above 0 is needed")
    curvature = curvature_per_m(k)
    first, last, turned = ordered_ends(rays)
    profiles = ground.profiles(first[:, :2], last[:, :2])
    out = np.full((len(rays), 5), np.nan)
    wavelength_m = np.array(rays.wavelength_m, np.float64)
    _over_ground.sized(_STEPS_OF_PIECE * (len(profiles.part) + len(rays)))(
        first,
        last,
        wavelength_m,
        float(bracket_m),
        curvature,
        np.array(profiles.first, np.int64),
        np.array(profiles.part, np.float64),
        np.array(profiles.height_m, np.float64),
        np.array(profiles.bow_m, np.float64),
        out,
    )
    length_m = np.sqrt(np.sum((last - first) ** 2, axis=1))
    s, rest = out[:, 3], length_m - out[:, 3]
    return GroundClearances(
        out[:, 0], out[:, 1], out[:, 2], np.where(turned, rest, s), np.where(turned, s, rest), out[:, 4]
    )


@kernel
def _turns(c0: float, c1: float, c2: float, c3: float, low: float, high: float, found: FloatArray) -> int:
    """Put into `found` the places between `low` and `high` where a cubic changes its sign; return how many."""
    stops = np.empty(4)
    stops[0] = low
    count = 1
    # between the extremes of the cubic it runs one way
    square = c2 * c2 - 3.0 * c3 * c1
    if square > 0.0:
        bigger = -(c2 + math.copysign(math.sqrt(square), c2))
        one = bigger / (3.0 * c3) if c3 != 0.0 else low
        other = c1 / bigger if bigger != 0.0 else low
        if min(one, other) > low and min(one, other) < high:
            stops[count] = min(one, other)
            count += 1
        if max(one, other) > low and max(one, other) < high:
            stops[count] = max(one, other)
            count += 1
    stops[count] = high
    roots = 0
    for n in range(count):
        a, b = stops[n], stops[n + 1]
        at_a, at_b = ((c3 * a + c2) * a + c1) * a + c0, ((c3 * b + c2) * b + c1) * b + c0
        if (at_a > 0.0) == (at_b > 0.0):
            continue
        for _ in range(60):
            middle = 0.5 * (a + b)
            if (((c3 * middle + c2) * middle + c1) * middle + c0 > 0.0) == (at_a > 0.0):
                a = middle
            else:
                b = middle
        found[roots] = 0.5 * (a + b)
        roots += 1
    return roots


@kernel
def _over_ground(
    first: FloatArray,
    last: FloatArray,
    wavelength: FloatArray,
    bracket: float,
    curvature: float,
    line: IntArray,
    part: FloatArray,
    height: FloatArray,
    bow: FloatArray,
    out: FloatArray,
) -> None:
    """Fill ratio, clearance, zone, place and ground of every ray."""
    found = np.empty(5)
    for ray in range(len(first)):
        dx, dy, rise = last[ray, 0] - first[ray, 0], last[ray, 1] - first[ray, 1], last[ray, 2] - first[ray, 2]
        level = math.sqrt(dx * dx + dy * dy)
        length = math.sqrt(dx * dx + dy * dy + rise * rise)
        if not (2.0 * bracket < length < math.inf and wavelength[ray] > 0.0 and level > 1e-9 * length):
            continue
        cosine, bulge = level / length, curvature * level * level
        zone = math.sqrt(wavelength[ray] * length)
        lo, hi = bracket / length, 1.0 - bracket / length
        best, where, gap, ground = math.inf, math.nan, math.nan, math.nan
        known = True
        for n in range(line[ray], line[ray + 1] - 1):
            t0, t1 = part[n], part[n + 1]
            a, b = max(t0, lo), min(t1, hi)
            if not a <= b or t0 >= t1:
                continue
            if math.isnan(height[n]) or math.isnan(height[n + 1]) or math.isnan(bow[n]):
                known = False
                break
            # ground as a quadratic of t: through both points, bowed by 4 b s (1 - s)
            w = t1 - t0
            g2 = -4.0 * bow[n] / (w * w)
            g1 = (height[n + 1] - height[n]) / w - g2 * (t0 + t1)
            g0 = height[n] - (g1 + g2 * t0) * t0
            # ray less ground less bulge, square to the ray
            q0, q1 = (first[ray, 2] - g0) * cosine, (rise - g1 - bulge) * cosine
            q2 = (bulge - g2) * cosine
            # 2 q' (t - t^2) - q (1 - 2 t)
            count = _turns(-q0, q1 + 2.0 * q0, 3.0 * q2, -2.0 * q2, a, b, found)
            found[count], found[count + 1] = a, b
            for m in range(count + 2):
                t = found[m]
                value = (q0 + (q1 + q2 * t) * t) / math.sqrt(t * (1.0 - t))
                if value < best:
                    best, where, gap = value, t, q0 + (q1 + q2 * t) * t
                    ground = g0 + (g1 + g2 * t) * t
        if known and best < math.inf:
            out[ray, 0], out[ray, 1] = best / zone, gap
            out[ray, 2] = zone * math.sqrt(where * (1.0 - where))
            out[ray, 3], out[ray, 4] = where * length, ground
