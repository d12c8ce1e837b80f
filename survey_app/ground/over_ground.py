"""How near the ground comes to rays: in metres and in first-zone radii."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.clearance import BRACKET_M, Rays, curvature_per_m
from survey_app.ground.relief.profiles import Profiles
from survey_app.physics.kernels import kernel

__all__ = ["GroundClearances", "ground_clearances"]


@dataclass(frozen=True)
class GroundClearances:
    """Where the ground comes nearest to each ray, shape (rays,) each.

    Attributes
    ----------
    ratio : ndarray of float
        Clearance square to the ray over the radius of the first zone at its place; negative where the ground is
        higher; NaN where any of the ground under the ray, or the ray, is not known. [1]
    clearance_m : ndarray of float
        That clearance. [m]
    from_start_m, from_end_m : ndarray of float
        Its place along the ray from either end. [m]
    """

    ratio: FloatArray
    clearance_m: FloatArray
    from_start_m: FloatArray
    from_end_m: FloatArray


def ground_clearances(
    profiles: Profiles, rays: Rays, *, k: float = 4.0 / 3.0, bracket_m: float = BRACKET_M
) -> GroundClearances:
    r"""Return how near the ground comes to rays.

    Parameters
    ----------
    profiles : Profiles
        Ground under the rays, from start to end.
    rays : Rays
        The rays.
    k : float
        Factor of the earth's radius, > 0. [1]
    bracket_m : float
        What is left out at either end, along the ray, > 0. [m]

    Notes
    -----
    Between two points of a profile the height of the ray over the ground and the earth's curve is a parabola
    :math:`N(t) = \alpha + \beta t + \gamma t^2` of the part `t` of the length, and the zone's radius is
    :math:`F_1 = \sqrt{\lambda D t (1 - t)}` ([P530]_, P.530-17 (2017), section 2.2). Their quotient turns where

    .. math:: -2 \gamma t^3 + 3 \gamma t^2 + (\beta + 2 \alpha) t - \alpha = 0,

    so that its least value is found at a root, or at an end of the piece: nothing is sampled. Upright clearance is
    turned square to the ray by the cosine of its slope.
    """
    if not bracket_m > 0.0:
        raise ValueError(f"bracket_m is {bracket_m!r}, a length above 0 is needed")
    out = np.full((len(rays), 3), np.nan)
    _judge(
        np.ascontiguousarray(rays.start_m, np.float64), np.ascontiguousarray(rays.end_m, np.float64),
        np.ascontiguousarray(rays.wavelength_m, np.float64), profiles.first, profiles.part, profiles.height_m,
        profiles.bow_m, curvature_per_m(k), bracket_m, out,
    )  # fmt: skip
    length_m = np.sqrt(np.sum((rays.end_m - rays.start_m) ** 2, axis=1))
    return GroundClearances(out[:, 0], out[:, 1], out[:, 2] * length_m, (1.0 - out[:, 2]) * length_m)


@kernel
def _judge(start, end, wavelength, first, part, height, bow, curvature, bracket, out):  # type: ignore[no-untyped-def]
    for n in range(len(wavelength)):
        dx, dy, dz = end[n, 0] - start[n, 0], end[n, 1] - start[n, 1], end[n, 2] - start[n, 2]
        plan = np.sqrt(dx * dx + dy * dy)
        length = np.sqrt(dx * dx + dy * dy + dz * dz)
        if not (length > 2.0 * bracket and plan > 0.0 and wavelength[n] > 0.0):
            continue
        low, high = bracket / length, 1.0 - bracket / length
        lift = curvature * plan * plan
        best = np.inf
        at = 0.0
        clear = np.nan
        known = True
        for i in range(first[n], first[n + 1] - 1):
            a, b = part[i], part[i + 1]
            if not (np.isfinite(height[i]) and np.isfinite(height[i + 1]) and np.isfinite(bow[i])):
                known = False
                break
            if not b > a:
                continue
            # the ground over the piece as a polynomial of t
            w = b - a
            rise = (height[i + 1] - height[i]) / w
            arch = 4.0 * bow[i] / (w * w)
            # h(t) = h_i + rise (t - a) + arch (t - a)(b - t); the bulge is lift t (1 - t)
            alpha = start[n, 2] - (height[i] - rise * a - arch * a * b)
            beta = dz - (rise + arch * (a + b)) - lift
            gamma = arch + lift
            begin, stop = max(a, low), min(b, high)
            if begin > stop:
                continue
            tries = np.array([begin, stop, -1.0, -1.0, -1.0])
            _turns(alpha, beta, gamma, begin, stop, tries)
            for m in range(5):
                t = tries[m]
                if not (t >= begin and t <= stop):
                    continue
                over = (alpha + beta * t + gamma * t * t) * plan / length
                ratio = over / np.sqrt(wavelength[n] * length * t * (1.0 - t))
                if ratio < best:
                    best, at, clear = ratio, t, over
        if known and np.isfinite(best):
            out[n, 0], out[n, 1], out[n, 2] = best, clear, at


@kernel
def _slope(alpha, beta, gamma, t):  # type: ignore[no-untyped-def]
    return ((-2.0 * gamma * t + 3.0 * gamma) * t + beta + 2.0 * alpha) * t - alpha


@kernel
def _turns(alpha, beta, gamma, begin, stop, tries):  # type: ignore[no-untyped-def]
    """Put the roots of the cubic between begin and stop into tries[2:5]: between its own turning points it is monotone."""
    # the derivative -6 gamma t² + 6 gamma t + beta + 2 alpha
    cuts = np.array([begin, stop, stop, stop])
    count = 1
    if gamma != 0.0:
        under = 0.25 + (beta + 2.0 * alpha) / (6.0 * gamma)
        if under > 0.0:
            for turn in (0.5 - np.sqrt(under), 0.5 + np.sqrt(under)):
                if turn > begin and turn < stop:
                    cuts[count] = turn
                    count += 1
    cuts[count] = stop
    for m in range(count):
        a, b = cuts[m], cuts[m + 1]
        fa, fb = _slope(alpha, beta, gamma, a), _slope(alpha, beta, gamma, b)
        if fa == 0.0 or fb == 0.0 or (fa > 0.0) == (fb > 0.0):
            continue
        for _ in range(80):
            middle = 0.5 * (a + b)
            if middle == a or middle == b:
                break
            fm = _slope(alpha, beta, gamma, middle)
            if (fm > 0.0) == (fa > 0.0):
                a = middle
            else:
                b = middle
        tries[2 + m] = 0.5 * (a + b)
