"""Solids made by hand and by chance, and the plain way to measure them, for the tests of this room."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
import shapely

from survey_app.ground.clearance import Rays
from survey_app.ground.solids import Prisms, SolidKind, Solids, Uprights, Wires

INF = math.inf
EARTH_M = 6_371_000.0


def box(x0: float, y0: float, x1: float, y1: float) -> np.ndarray:
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], float)


def level(height_m: float) -> np.ndarray:
    return tops((0.0, 0.0, height_m))


def tops(*planes: tuple[float, float, float]) -> np.ndarray:
    table = np.zeros((4, 3))
    table[:, 2] = INF
    table[: len(planes)] = planes
    return table


def prisms(*items: tuple[Sequence[np.ndarray], float, np.ndarray]) -> Prisms:
    """Prisms of (rings, underside, planes)."""
    rings = [ring for one in items for ring in one[0]]
    return Prisms(
        corners_m=np.concatenate(rings) if rings else np.empty((0, 2)),
        ring_start=np.cumsum([0, *(len(ring) for ring in rings)]),
        first_ring=np.cumsum([0, *(len(one[0]) for one in items)]),
        underside_m=np.array([one[1] for one in items], float),
        planes=np.array([one[2] for one in items], float).reshape(-1, 4, 3),
        highest_m=np.full(len(items), INF),
        thing=np.arange(len(items)),
        kind=np.full(len(items), int(SolidKind.BUILDING)),
    )


def uprights(*rows: tuple[float, float, float, float, float, float]) -> Uprights:
    """Uprights of (x, y, foot, top, radius at the foot, radius at the top)."""
    table = np.array(rows, float).reshape(-1, 6)
    return Uprights(table[:, :2], *table[:, 2:].T, thing=np.arange(len(table)))


def wires(*runs: Sequence[float]) -> Wires:
    """Wires of (x, y, z, x, y, z)."""
    table = np.array(runs, float).reshape(-1, 6)
    return Wires(table[:, :3], table[:, 3:], np.arange(len(table)))


def solids(blocks: Prisms | None = None, rounds: Uprights | None = None, lines: Wires | None = None) -> Solids:
    found = blocks or prisms(), rounds or uprights(), lines or wires()
    return Solids(tuple(f"thing-{n}" for n in range(max(map(len, found)))), *found)


def rays(*rows: Sequence[float], wavelength_m: float = 0.052) -> Rays:
    """Rays of (x, y, z, x, y, z)."""
    table = np.array(rows, float).reshape(-1, 6)
    return Rays(table[:, :3].copy(), table[:, 3:].copy(), np.full(len(table), wavelength_m))


def top_of(planes: np.ndarray, first: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Height of a prism's top at points of the plan."""
    x, y = (points - first).T
    return np.min([a * x + b * y + c for a, b, c in planes if c < INF], axis=0)


class Ray:
    """One ray, measured with plain vectors."""

    def __init__(self, ends: Rays, n: int = 0, k: float = INF) -> None:
        self.start, self.end = ends.start_m[n], ends.end_m[n]
        self.wavelength_m, self.k = ends.wavelength_m[n], k
        self.length_m = float(np.linalg.norm(self.end - self.start))
        self.along = (self.end - self.start) / self.length_m
        self.right = np.cross(self.along, [0.0, 0.0, 1.0])
        self.right = self.right / np.linalg.norm(self.right) if np.linalg.norm(self.right) > 1e-9 else None
        self.up = None if self.right is None else np.cross(self.right, self.along)

    def lift_m(self, s: np.ndarray) -> np.ndarray:
        level = np.linalg.norm(self.along[:2])
        return level**2 * s * (self.length_m - s) / (2.0 * self.k * EARTH_M)

    def zone_m(self, s: np.ndarray) -> np.ndarray:
        return np.sqrt(self.wavelength_m * s * (self.length_m - s) / self.length_m)

    def ratios(self, points: np.ndarray, bracket_m: float = 1.0) -> np.ndarray:
        """Ratios of points; infinite outside the judged part."""
        away = points - self.start
        s = away @ self.along
        judged = (s >= bracket_m - 1e-9) & (s <= self.length_m - bracket_m + 1e-9)
        s = np.clip(s, bracket_m, self.length_m - bracket_m)
        lifted = away + self.lift_m(s)[:, None] * np.array([0.0, 0.0, 1.0])
        square = lifted - (lifted @ self.along)[:, None] * self.along
        return np.where(judged, np.linalg.norm(square, axis=1) / self.zone_m(s), INF)


def zoomed(value, low, high, steps: int = 9, grid: int = 33) -> float:
    """Least value over a box of two numbers, by looking ever closer round the best place of a grid."""
    low, high = np.array(low, float), np.array(high, float)
    best = INF
    a, b = low.copy(), high.copy()
    for _ in range(steps):
        u, v = np.meshgrid(np.linspace(a[0], b[0], grid), np.linspace(a[1], b[1], grid), indexing="ij")
        found = value(u.ravel(), v.ravel())
        at = int(np.argmin(found))
        best = min(best, float(found[at]))
        here = np.array([u.ravel()[at], v.ravel()[at]])
        reach = (b - a) * 4.0 / grid
        a, b = np.maximum(low, here - reach), np.minimum(high, here + reach)
    return best


def least_on_prism(ray: Ray, rings: Sequence[np.ndarray], underside: float, planes: np.ndarray) -> float:
    """Least ratio on the surface of a prism, by looking ever closer; the plain way."""
    first = rings[0][0]
    floor = underside if underside > -INF else min(ray.start[2], ray.end[2]) - ray.length_m - 1.0
    best = INF
    for ring in rings:
        for here, there in zip(ring, np.roll(ring, -1, axis=0), strict=True):

            def on_wall(t, part, here=here, there=there):
                plan = here + t[:, None] * (there - here)
                top = top_of(planes, first, plan)
                low = np.minimum(floor, top)
                return ray.ratios(np.column_stack((plan, low + part * (top - low))))

            best = min(best, zoomed(on_wall, (0, 0), (1, 1)))
    area = shapely.Polygon()
    for ring in rings:
        area = area.symmetric_difference(shapely.Polygon(ring))

    def on_top(x, y):
        plan = np.column_stack((x, y))
        found = ray.ratios(np.column_stack((plan, top_of(planes, first, plan))))
        return np.where(shapely.contains_xy(area, x, y), found, INF)

    def on_underside(x, y):
        found = ray.ratios(np.column_stack((x, y, np.full(len(x), underside))))
        return np.where(shapely.contains_xy(area, x, y), found, INF)

    x0, y0, x1, y1 = area.bounds
    best = min(best, zoomed(on_top, (x0, y0), (x1, y1)))
    return min(best, zoomed(on_underside, (x0, y0), (x1, y1))) if underside > -INF else best


def least_on_upright(ray: Ray, row: Sequence[float]) -> float:
    """Least ratio on the surface of an upright, by looking ever closer."""
    x, y, foot, top, radius_foot, radius_top = row

    def on_side(angle, part):
        radius = radius_foot + part * (radius_top - radius_foot)
        height = foot + part * (top - foot)
        return ray.ratios(np.column_stack((x + radius * np.cos(angle), y + radius * np.sin(angle), height)))

    def on_tip(angle, part):
        radius = part * radius_top
        return ray.ratios(
            np.column_stack((x + radius * np.cos(angle), y + radius * np.sin(angle), np.full(len(angle), top)))
        )

    quarters = np.linspace(0.0, 2.0 * np.pi, 5)
    halves = list(itertools.pairwise(quarters))
    return min(min(zoomed(on_side, (a, 0), (b, 1)), zoomed(on_tip, (a, 0), (b, 1))) for a, b in halves)
