"""Outlines and routes of a site as the plan draws them: one record per thing, kept as long as the thing is the same."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from survey_app.ground.along_run import stretch_of
from survey_app.site.site import Design
from survey_app.site.structure import Building, Mast, Obstacle, OverheadLine, Pole, TrafficArea, TreeStand
from survey_app.site.thing import Thing

__all__ = ["Area", "areas_of", "distance_to_line", "holds", "inside", "middle_of"]

Floats = NDArray[np.float64]
Bounds = tuple[float, float, float, float]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Area:
    """An outline, or a route where `closed` is False.

    Attributes
    ----------
    id, collection, kind, name, status : str
        Of the thing; `kind` is the structure's kind, or `water`, `zone`, `boundary`, `room`, `wall`, `opening`,
        `served_area`.
    ring : ndarray of float, shape (n, 2)
        Corners without the first repeated. [m]
    height_m : float or None
        Height that is written at it, over its foot. [m]
    bounds : (x_min, y_min, x_max, y_max)
        With its swing. [m]
    record : Thing
        The thing itself.
    swing_m : float or None
        Radius that a moving part sweeps. [m]
    corners : tuple of (x, y)
        The corners of `ring` once more, for work on few of them. [m]
    """

    id: str
    collection: str
    kind: str
    name: str
    status: str
    ring: Floats
    closed: bool
    height_m: float | None
    bounds: Bounds
    record: Thing
    swing_m: float | None = None
    corners: tuple[Point, ...] = ()

    @property
    def extent_m(self) -> float:
        """The longer side of its bounds. [m]"""
        return max(self.bounds[2] - self.bounds[0], self.bounds[3] - self.bounds[1])

    def meets(self, window: Bounds) -> bool:
        """Whether its bounds meet a window."""
        b = self.bounds
        return b[0] <= window[2] and b[2] >= window[0] and b[1] <= window[3] and b[3] >= window[1]


def areas_of(design: Design, outlines: dict[str, Floats], before: dict[str, Area]) -> dict[str, Area]:
    """Return the outlines and routes of a design; those whose thing is the same object are taken from `before`."""
    found: dict[str, Area] = {}
    for collection in ("waters", "zones", "structures", "rooms", "walls", "served_areas"):
        for thing in getattr(design, collection):
            if isinstance(thing, Pole | Mast):
                continue
            old = before.get(thing.id)
            if old is not None and old.record is thing:
                found[thing.id] = old
                continue
            ring = outlines.get(thing.id)
            if ring is not None and np.isfinite(ring).all():
                found[thing.id] = _area(collection, thing, ring)
    for opening in design.openings:
        run = outlines.get(opening.wall)
        if run is None or not np.isfinite(run).all():
            continue
        ring = stretch_of(run, opening.along_m - opening.width_m / 2.0, opening.along_m + opening.width_m / 2.0)
        old = before.get(opening.id)
        if old is not None and old.record is opening and np.array_equal(old.ring, ring):
            found[opening.id] = old
        elif len(ring):
            found[opening.id] = _area("openings", opening, ring)
    return found


def _area(collection: str, thing: Thing, ring: Floats) -> Area:
    kind, height_m, swing_m = collection.removesuffix("s"), None, None
    if isinstance(thing, Building):
        ridge_m = thing.roof.ridge_height_m
        kind, height_m = thing.kind, thing.eaves_height_m if ridge_m is None else ridge_m
    elif isinstance(thing, TreeStand):
        kind, height_m = thing.kind, thing.crown_top_m
    elif isinstance(thing, Obstacle):
        kind, height_m, swing_m = thing.kind, thing.height_m, thing.swing_radius_m
    elif isinstance(thing, TrafficArea):
        kind, height_m = thing.kind, thing.envelope_height_m
    elif isinstance(thing, OverheadLine):
        kind, height_m = thing.kind, thing.height_m
    elif kind == "zone" and getattr(thing, "purpose", "") == "boundary":
        kind = "boundary"
    closed = kind not in ("overhead_line", "wall", "opening")
    (x0, y0), (x1, y1) = ring.min(axis=0), ring.max(axis=0)
    if swing_m is not None:
        x, y = (x0 + x1) / 2.0, (y0 + y1) / 2.0
        x0, y0, x1, y1 = min(x0, x - swing_m), min(y0, y - swing_m), max(x1, x + swing_m), max(y1, y + swing_m)
    bounds = (float(x0), float(y0), float(x1), float(y1))
    return Area(
        thing.id,
        collection,
        kind,
        thing.name,
        thing.status,
        ring,
        closed,
        height_m,
        bounds,
        thing,
        swing_m,
        _corners(ring),
    )


def _corners(ring: Floats) -> tuple[Point, ...]:
    return tuple((x, y) for x, y in ring.tolist())


def holds(area: Area, x: float, y: float) -> bool:
    """Whether a point lies inside an area: as `inside`, quicker for outlines of few corners."""
    if len(area.corners) > 40:
        return inside(area.ring, x, y)
    odd = False
    xa, ya = area.corners[-1]
    for xb, yb in area.corners:
        if (ya > y) != (yb > y) and xa + (y - ya) / (yb - ya) * (xb - xa) > x:
            odd = not odd
        xa, ya = xb, yb
    return odd


def middle_of(ring: Floats) -> tuple[float, float]:
    """Return the middle of an area: its centroid where that lies inside, else a point that does. [m]"""
    x, y = (ring - ring[0]).T
    cross = x * np.roll(y, -1) - np.roll(x, -1) * y
    area = float(cross.sum()) / 2.0
    if abs(area) < 1e-9:
        middle = ring.mean(axis=0)
        return float(middle[0]), float(middle[1])
    cx = float(((x + np.roll(x, -1)) * cross).sum()) / (6.0 * area) + float(ring[0, 0])
    cy = float(((y + np.roll(y, -1)) * cross).sum()) / (6.0 * area) + float(ring[0, 1])
    return (cx, cy) if inside(ring, cx, cy) else _inner_point(ring, cy)


def _inner_point(ring: Floats, y: float) -> tuple[float, float]:
    """Return the middle of the longest stretch of a level line inside an area."""
    x0, y0 = ring.T
    x1, y1 = np.roll(x0, -1), np.roll(y0, -1)
    crossed = (y0 > y) != (y1 > y)
    if not crossed.any():
        return float(ring[0, 0]), float(ring[0, 1])
    xs = np.sort(x0[crossed] + (y - y0[crossed]) / (y1[crossed] - y0[crossed]) * (x1[crossed] - x0[crossed]))
    lengths = xs[1::2] - xs[::2]
    k = int(np.argmax(lengths)) * 2
    return float(xs[k] + xs[k + 1]) / 2.0, y


def inside(ring: Floats, x: float, y: float) -> bool:
    """Whether a point lies inside an outline (even-odd)."""
    x0, y0 = ring.T
    x1, y1 = np.roll(x0, -1), np.roll(y0, -1)
    crossed = (y0 > y) != (y1 > y)
    if not crossed.any():
        return False
    at = x0[crossed] + (y - y0[crossed]) / (y1[crossed] - y0[crossed]) * (x1[crossed] - x0[crossed])
    return bool(np.count_nonzero(at > x) % 2)


def distance_to_line(ring: Floats, closed: bool, x: float, y: float) -> tuple[float, int]:
    """Return the distance of a point from an outline or route, and the number of its nearest edge. [m]"""
    a = ring if closed else ring[:-1]
    b = np.roll(ring, -1, axis=0) if closed else ring[1:]
    if len(a) == 0:
        return math.hypot(x - float(ring[0, 0]), y - float(ring[0, 1])), 0
    along = b - a
    squared = np.maximum((along * along).sum(axis=1), 1e-300)
    part = np.clip(((x - a[:, 0]) * along[:, 0] + (y - a[:, 1]) * along[:, 1]) / squared, 0.0, 1.0)
    gap = np.hypot(a[:, 0] + part * along[:, 0] - x, a[:, 1] + part * along[:, 1] - y)
    nearest = int(np.argmin(gap))
    return float(gap[nearest]), nearest
