"""Solids made by hand or by chance, and the same as triangles for a ray tracer."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from survey_app.ground.solids import NO_PLANE_M, PLANES, Prisms, SolidKind, Solids, Uprights, Wires

__all__ = ["Prism", "sight_lines", "solids", "town", "triangles"]

FloatArray = NDArray[np.float64]
Prism = tuple[Sequence[ArrayLike], Sequence[tuple[float, float, float]], float]
"""Rings, planes (a, b, c) counted from the first corner, underside."""


def solids(
    prisms: Sequence[Prism] = (),
    uprights: Sequence[tuple[float, float, float, float, float, float]] = (),
    wires: Sequence[tuple[float, float, float, float, float, float]] = (),
) -> Solids:
    """Return solids, each a thing of its own; an upright is x, y, foot, top, radius at foot, radius at top."""
    rings = [np.asarray(ring, float).reshape(-1, 2) for one in prisms for ring in one[0]]
    planes = np.zeros((len(prisms), PLANES, 3))
    planes[:, :, 2] = NO_PLANE_M
    highest = np.empty(len(prisms))
    for n, (outline, tops, _) in enumerate(prisms):
        planes[n, : len(tops)] = tops
        corners = np.asarray(outline[0], float)
        away = corners - corners[0]
        # the lowest plane is highest no higher than the highest of any one of them
        highest[n] = min(max(c + a * x + b * y for x, y in away) for a, b, c in tops)
    post = np.asarray(uprights, float).reshape(-1, 6)
    wire = np.asarray(wires, float).reshape(-1, 6)
    things = np.arange(len(prisms) + len(post) + len(wire))
    parts = np.split(things, [len(prisms), len(prisms) + len(post)])
    return Solids(
        tuple(f"t{n}" for n in things),
        Prisms(
            np.concatenate(rings) if rings else np.empty((0, 2)),
            np.insert(np.cumsum([len(ring) for ring in rings], dtype=np.int64), 0, 0),
            np.insert(np.cumsum([len(one[0]) for one in prisms], dtype=np.int64), 0, 0),
            np.array([one[2] for one in prisms], float),
            planes,
            highest,
            parts[0],
            np.full(len(prisms), SolidKind.BUILDING, np.int64),
        ),
        Uprights(post[:, :2], post[:, 2], post[:, 3], post[:, 4], post[:, 5], parts[1]),
        Wires(wire[:, :3], wire[:, 3:], parts[2]),
    )


def town(count: int, side_m: float = 2000.0, seed: int = 1) -> tuple[list[FloatArray], FloatArray]:
    """Return outlines of four to eight corners, 12 to 36 m across, and their tops, from a seed."""
    rng = np.random.default_rng(seed)
    rings = []
    for _ in range(count):
        corners = int(rng.integers(4, 9))
        turn = (np.arange(corners) + rng.uniform(0.1, 0.9, corners)) / corners * 2.0 * np.pi
        middle = rng.uniform(0.0, side_m, 2)
        rings.append(middle + rng.uniform(6.0, 18.0) * np.column_stack((np.cos(turn), np.sin(turn))))
    return rings, rng.uniform(4.0, 20.0, count)


def sight_lines(
    points: int, low_m: float, high_m: float, side_m: float = 2000.0, seed: int = 2
) -> tuple[FloatArray, FloatArray]:
    """Return the ends of all lines between points at heights between two, from a seed."""
    rng = np.random.default_rng(seed)
    at = np.column_stack((rng.uniform(0.0, side_m, (points, 2)), rng.uniform(low_m, high_m, points)))
    one, other = np.triu_indices(points, 1)
    return at[one], at[other]


def triangles(outlines: Sequence[shapely.Polygon], tops_m: ArrayLike, underside_m: float = -100.0) -> FloatArray:
    """Return walls and level lids of outlines as triangles, shape (n, 3, 3)."""
    found = []
    for outline, top in zip(outlines, np.asarray(tops_m, float).tolist(), strict=True):
        for ring in (outline.exterior, *outline.interiors):
            at = shapely.get_coordinates(ring)
            a, b = at[:-1], at[1:]
            low, high = np.full(len(a), underside_m), np.full(len(a), top)
            al, bl, bh, ah = (np.column_stack(pair) for pair in ((a, low), (b, low), (b, high), (a, high)))
            found += [np.stack((al, bl, bh), axis=1), np.stack((al, bh, ah), axis=1)]
        lid = shapely.get_coordinates(shapely.constrained_delaunay_triangles(outline)).reshape(-1, 4, 2)[:, :3]
        found += [np.dstack((lid, np.full(lid.shape[:2], height))) for height in (underside_m, top)]
    return np.concatenate(found)
