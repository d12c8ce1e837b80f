"""Clearance in three dimensions: how near solids come to rays, in metres and in first-zone radii.

The ratio of a hop is the least of its pairs. Both directions of a hop give the same bits, for every ray is worked out
from the same one of its ends.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.clearance_given import (
    Bodies,
    BoolArray,
    Lines,
    Pairs,
    Rays,
    Rounds,
    all_pairs,
    ordered_ends,
    own_array,
)
from survey_app.ground.clearance_prism import prism_clearance, room_for
from survey_app.ground.clearance_round import upright_clearance, wire_clearance
from survey_app.ground.clearance_zone import frame_of
from survey_app.ground.hull import Hulls, hull_of
from survey_app.ground.prism_edges import PrismEdges
from survey_app.ground.solids import IntArray
from survey_app.physics.geometry import EARTH_RADIUS_M, STANDARD_K
from survey_app.physics.kernels import kernel

__all__ = [
    "BRACKET_M",
    "Bodies",
    "Clearances",
    "Pairs",
    "Rays",
    "all_pairs",
    "clearances",
    "curvature_per_m",
    "worst_pairs",
]

BRACKET_M = 1.0
"""What lies nearer than this to an antenna, along the ray, is its own bracket and not judged."""


_STEPS_OF_PAIR, _STEPS_OF_EDGE, _STEPS_OF_UPRIGHT = 20.0, 40.0, 4000.0


class Ends(NamedTuple):
    """Rays as kernels take them, each from its first end, and what holds for all."""

    first: FloatArray
    last: FloatArray
    wavelength: FloatArray
    bracket: float
    curvature: float


@dataclass(frozen=True)
class Clearances:
    r"""What each solid does to each ray, pair by pair.

    Attributes
    ----------
    ratio : ndarray of float, shape (pairs,)
        Least clearance over the radius of the first zone at its place; negative where the ray runs through the solid;
        NaN where the solid does not stand beside the judged part of the ray, or the ray has none. [1]
    clearance_m : ndarray of float, shape (pairs,)
        Clearance at that place, square to the ray. [m]
    zone_m : ndarray of float, shape (pairs,)
        Radius of the first zone there. [m]
    from_start_m, from_end_m : ndarray of float, shape (pairs,)
        Place along the ray from either end. [m]
    clock_deg : ndarray of float, shape (pairs,)
        Side on which the solid lies, or to which a ray that runs through it must give way, looking from start to end:
        0 above, 90 right, 180 below, 270 left. [deg]
    place_m : ndarray of float, shape (pairs, 3)
        Point of the solid: x, y, height over the site datum. [m]
    part, corner : ndarray of int, shape (pairs,)
        `Part` of the solid, and the corner of its outline where the edge or wall begins, -1 = none.
    cut, holds_start, holds_end : ndarray of bool, shape (pairs,)
        The ray runs through the solid; an antenna is inside it.
    v_top, v_left, v_right, v_under : ndarray of float, shape (pairs,)
        Diffraction parameter of each edge of the solid taken as a screen: `sqrt(2) h / F1`, h the height of the edge
        past the ray, positive where it stands in the way. `v_under` is infinite for a solid that reaches the ground.
        NaN where the solid stays out of the first zone, and for wires. [1]

    Notes
    -----
    A point of a solid at `s` along the ray and `d` from it has the ratio `d / F1(s)`, with

    .. math:: F_1(s) = \sqrt{\lambda s (D - s) / D}

    ([P530]_, P.530-17 (2017), section 2.2); the least over the whole surface is exact. Where the ray runs through a
    solid, the ratio is minus the least bow `c` by which the ray must give way, `c F1(s)` at every `s`, over the top,
    level past the left or the right of its outline, or under its underside; for a thin solid that is the shift square
    to the ray. A ratio passes through zero without a step; below zero it may step where the ray begins to run through a
    second wing of one outline. A solid that goes down into the ground is judged as deep as the ray is long. The
    parameter v is that of [P526]_, P.526-15 (2019), sections 4.1 and 5.1.

    The earth's curve lifts everything by `s (D - s) / (2 k R)` against the ray. The lift is taken upright in the plane
    of the ray and without its part along the ray: that is less than 1 mm off below 3 km and 5 degrees of slope, or 1 km
    and 15 degrees.
    """

    ratio: FloatArray
    clearance_m: FloatArray
    zone_m: FloatArray
    from_start_m: FloatArray
    from_end_m: FloatArray
    clock_deg: FloatArray
    place_m: FloatArray
    part: IntArray
    corner: IntArray
    cut: BoolArray
    holds_start: BoolArray
    holds_end: BoolArray
    v_top: FloatArray
    v_left: FloatArray
    v_right: FloatArray
    v_under: FloatArray

    def __len__(self) -> int:
        return len(self.ratio)


def curvature_per_m(k: float) -> float:
    """Return the lift of the ground per square metre, `1 / (2 k R)`, for a factor of the earth's radius.

    Raises
    ------
    ValueError
        k is not above 0; infinity is a flat earth.
    """
    if not k > 0.0:
        raise ValueError(f"k is {k!r}, a factor above 0 is needed")
    return 1.0 / (2.0 * float(k) * EARTH_RADIUS_M)


def clearances(
    bodies: Bodies, rays: Rays, pairs: Pairs, *, k: float = STANDARD_K, bracket_m: float = BRACKET_M
) -> Clearances:
    """Return what solids do to rays.

    Parameters
    ----------
    bodies : Bodies
        The solids.
    rays : Rays
        A ray with NaN, or no longer than two brackets, has NaN in every pair.
    pairs : Pairs
        Which of them to judge against each other.
    k : float
        Factor of the earth's radius, > 0. [1]
    bracket_m : float
        What is left out at either end, along the ray, > 0. [m]

    Returns
    -------
    Clearances
        One row per pair, in the order of the pairs; a row does not depend on the others.

    Raises
    ------
    ValueError
        `k` or `bracket_m` is not above 0.
    """
    if not bracket_m > 0.0:
        raise ValueError(f"bracket_m is {bracket_m!r}, a length above 0 is needed")
    curvature = curvature_per_m(k)
    first, last, turned = ordered_ends(rays)
    out = np.full((len(pairs), 13), np.nan)
    marks = np.zeros((len(pairs), 5), np.int64)
    _judge.sized(_steps(bodies, pairs))(
        Ends(first, last, own_array(rays.wavelength_m, np.float64), float(bracket_m), curvature),
        own_array(pairs.ray, np.int64), own_array(pairs.family, np.int64), own_array(pairs.solid, np.int64),
        bodies.hulls, bodies.edges, bodies.rounds, bodies.lines, out, marks,
    )  # fmt: skip
    length_m = np.sqrt(np.sum((last - first) ** 2, axis=1))[pairs.ray]
    return _as_seen(out, marks, turned[pairs.ray], length_m)


def worst_pairs(found: Clearances, pairs: Pairs, rays: int) -> IntArray:
    """Return the pair with the least ratio of each ray, -1 where nothing bounds it.

    Parameters
    ----------
    found : Clearances
        What came out.
    pairs : Pairs
        The pairs that it was asked for.
    rays : int
        How many rays there are.

    Returns
    -------
    ndarray of int, shape (rays,)
        Of equal ratios the one of the first family and solid counts, whatever the order of the pairs.
    """
    order = np.lexsort((pairs.solid, pairs.family, found.ratio, pairs.ray))
    order = order[np.isfinite(found.ratio[order])]
    worst = np.full(rays, -1, np.int64)
    ray = pairs.ray[order]
    leads = np.r_[True, ray[1:] != ray[:-1]] if len(ray) else np.zeros(0, bool)
    worst[ray[leads]] = order[leads]
    return worst


def _steps(bodies: Bodies, pairs: Pairs) -> float:
    """Return how long pairs take the interpreter, in its steps."""
    prisms = pairs.solid[pairs.family == 0]
    edges = int((bodies.edges.first[prisms + 1] - bodies.edges.first[prisms]).sum())
    uprights = int(np.count_nonzero(pairs.family == 1))
    return _STEPS_OF_PAIR * len(pairs) + _STEPS_OF_EDGE * edges + _STEPS_OF_UPRIGHT * uprights


def _as_seen(out: FloatArray, marks: IntArray, turned: BoolArray, length_m: FloatArray) -> Clearances:
    """Return the rows as they are seen from the start of each ray."""
    s, rest = out[:, 3], length_m - out[:, 3]
    right = np.where(turned, -out[:, 4], out[:, 4])
    root_2 = np.sqrt(2.0)
    held = marks[:, 3:5].astype(bool)
    return Clearances(
        ratio=out[:, 0],
        clearance_m=out[:, 1],
        zone_m=out[:, 2],
        from_start_m=np.where(turned, rest, s),
        from_end_m=np.where(turned, s, rest),
        clock_deg=np.mod(np.degrees(np.arctan2(right, out[:, 5])), 360.0),
        place_m=out[:, 6:9],
        part=marks[:, 0],
        corner=marks[:, 1],
        cut=marks[:, 2].astype(bool),
        holds_start=np.where(turned, held[:, 1], held[:, 0]),
        holds_end=np.where(turned, held[:, 0], held[:, 1]),
        v_top=root_2 * out[:, 9],
        v_left=root_2 * np.where(turned, out[:, 11], out[:, 10]),
        v_right=root_2 * np.where(turned, out[:, 10], out[:, 11]),
        v_under=root_2 * out[:, 12],
    )


@kernel
def _judge(
    ends: Ends,
    pair_ray: IntArray,
    family: IntArray,
    solid: IntArray,
    hulls: Hulls,
    edges: PrismEdges,
    rounds: Rounds,
    lines: Lines,
    out: FloatArray,
    marks: IntArray,
) -> None:
    """Fill the rows of all pairs."""
    most = 1
    for n in range(len(hulls.first_corner) - 1):
        most = max(most, hulls.first_corner[n + 1] - hulls.first_corner[n])
    seen = room_for(most)
    for row in range(len(pair_ray)):
        ray, n = pair_ray[row], solid[row]
        a, b = ends.first[ray], ends.last[ray]
        dx, dy, dz = b[0] - a[0], b[1] - a[1], b[2] - a[2]
        length = math.sqrt(dx * dx + dy * dy + dz * dz)
        if not (length > 2.0 * ends.bracket and length < math.inf and ends.wavelength[ray] > 0.0):
            continue
        f = frame_of(a[0], a[1], a[2], b[0], b[1], b[2], ends.bracket, ends.curvature)
        zone = math.sqrt(ends.wavelength[ray] / length)
        if family[row] == 0:
            prism_clearance(
                f, zone, hull_of(hulls, n), edges, edges.first[n], edges.first[n + 1], seen, out[row], marks[row]
            )
        elif family[row] == 1:
            upright_clearance(
                f, zone, rounds.centre[n, 0], rounds.centre[n, 1], rounds.foot[n], rounds.top[n],
                rounds.radius_foot[n], rounds.radius_top[n], out[row], marks[row],
            )  # fmt: skip
        else:
            w, e = lines.start[n], lines.end[n]
            wire_clearance(f, zone, w[0], w[1], w[2], e[0], e[1], e[2], out[row], marks[row])
