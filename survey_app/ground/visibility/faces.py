"""The faces of solids: upright walls, and lids (roof planes, undersides, level cuts) over an outline."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
import shapely

from survey_app.ground._arrays import FloatArray
from survey_app.ground.solids import PLANES, IntArray, Prisms, Uprights

__all__ = ["Block", "blocks_of", "lid", "screens", "walls"]


@dataclass(frozen=True)
class Block:
    """One prism.

    Attributes
    ----------
    area : shapely.Geometry
        Its outline, with holes. [m]
    rings : tuple of ndarray of float, shape (corners, 2)
        [m]
    underside_m : float
        -inf = down into the ground. [m]
    tops : ndarray of float, shape (planes, 3)
        Rows (a, b, c) of heights a x + b y + c over the site datum; the top is the lowest of them. [1, 1, m]
    thing : int
        Place in `Solids.ids`.
    """

    area: shapely.Geometry
    rings: tuple[FloatArray, ...]
    underside_m: float
    tops: FloatArray
    thing: int

    @property
    def is_plain(self) -> bool:
        """Whether it is one ring under one level top, down into the ground."""
        return (
            len(self.rings) == 1
            and len(self.tops) == 1
            and not self.tops[0, :2].any()
            and self.underside_m == -np.inf
            and isinstance(self.area, shapely.Polygon)
        )

    def top_m(self, points_m: FloatArray) -> FloatArray:
        """Return the height of the top over points, shape (..., 2). [m]"""
        heights = points_m[..., :1] * self.tops[:, 0] + points_m[..., 1:] * self.tops[:, 1] + self.tops[:, 2]
        return np.asarray(heights.min(axis=-1), np.float64)

    def holds(self, point_m: FloatArray) -> bool:
        """Return whether a point in space is strictly inside."""
        if not self.underside_m < point_m[2] < float(self.top_m(point_m[:2])):
            return False
        return bool(shapely.contains_properly(self.area, shapely.Point(point_m[:2])))


def blocks_of(prisms: Prisms, kept: IntArray) -> list[Block]:
    """Return some prisms as blocks.

    Parameters
    ----------
    prisms : Prisms
        All of a site.
    kept : ndarray of int
        Places of those that are wanted.
    """
    found = []
    for n in kept.tolist():
        start = prisms.ring_start[prisms.first_ring[n] : prisms.first_ring[n + 1] + 1].tolist()
        rings = tuple(prisms.corners_m[a:b] for a, b in itertools.pairwise(start))
        tops = prisms.planes[n].copy()
        tops[:, 2] -= tops[:, 0] * rings[0][0, 0] + tops[:, 1] * rings[0][0, 1]
        tops = tops[np.isfinite(tops[:, 2])]
        found.append(Block(_area(rings), rings, float(prisms.underside_m[n]), tops, int(prisms.thing[n])))
    return found


def _area(rings: tuple[FloatArray, ...]) -> shapely.Geometry:
    """Return what an odd number of rings encloses."""
    if len(rings) == 1:
        whole = shapely.Polygon(rings[0])
        return whole if whole.is_valid else shapely.make_valid(whole)
    area: shapely.Geometry = shapely.Polygon()
    for ring in rings:
        area = shapely.symmetric_difference(area, shapely.make_valid(shapely.Polygon(ring)))
    return area


def walls(block: Block, foot_m: float) -> FloatArray:
    """Return the upright faces of a block as trapezoids, shape (n, 4, 3). [m]

    Parameters
    ----------
    block : Block
        Its walls are cut where the roof breaks.
    foot_m : float
        How deep a wall goes that stands in the ground. [m]
    """
    here = np.concatenate(block.rings)
    there = np.concatenate([np.roll(ring, -1, axis=0) for ring in block.rings])
    if len(block.tops) > 1:
        here, there = _broken(here, there, block.tops)
    low = max(block.underside_m, foot_m)
    foot = np.full(len(here), low)
    top_here, top_there = block.top_m(here), block.top_m(there)
    # a roof that dips under the wall's foot leaves no wall there
    standing = np.maximum(top_here, top_there) > low
    sides = np.stack(
        [
            np.column_stack((here, foot)),
            np.column_stack((there, foot)),
            np.column_stack((there, np.maximum(top_there, low))),
            np.column_stack((here, np.maximum(top_here, low))),
        ],
        axis=1,
    )
    return sides[standing]


def _broken(here: FloatArray, there: FloatArray, tops: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Cut edges where two planes of the top are equally high over them."""
    starts, ends = [], []
    for a, b in zip(here, there, strict=True):
        at = tops[:, :2] @ a + tops[:, 2]
        grow = tops[:, :2] @ (b - a)
        parts = {0.0, 1.0}
        for n in range(len(tops)):
            for m in range(n):
                if grow[n] != grow[m]:
                    part = float((at[m] - at[n]) / (grow[n] - grow[m]))
                    if 0.0 < part < 1.0:
                        parts.add(part)
        along = np.array(sorted(parts))[:, None]
        points = (1.0 - along) * a + along * b
        starts.append(points[:-1])
        ends.append(points[1:])
    return np.concatenate(starts), np.concatenate(ends)


def lid(block: Block, plane: FloatArray, skip: int | None = None) -> tuple[FloatArray, FloatArray]:
    """Return the rectangle round an outline on a plane, and the half spaces under all planes of the top.

    Parameters
    ----------
    block : Block
        The outline and the top.
    plane : ndarray of float, shape (3,)
        Row (a, b, c), see `Block.tops`.
    skip : int, optional
        Which plane of the top the lid itself lies on.

    Returns
    -------
    corners : ndarray of float, shape (4, 3)
        [m]
    spaces : ndarray of float, shape (PLANES, 4)
        For `convex.cut`; rows that keep all stand for planes that there are not.
    """
    x0, y0, x1, y1 = block.area.bounds
    plan = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
    corners = np.column_stack((plan, plan @ plane[:2] + plane[2]))
    spaces = np.zeros((PLANES, 4))
    spaces[:, 3] = 1.0
    for n, top in enumerate(block.tops):
        if n != skip:
            spaces[n] = top[0], top[1], -1.0, top[2]
    return corners, spaces


def screens(uprights: Uprights, kept: IntArray, viewer_m: FloatArray) -> FloatArray:
    """Return poles and masts as upright strips across the line of sight, shape (n, 4, 3). [m]

    A strip stands on the axis and is as wide as the two tangents from the viewer are there; it is exact for a round
    body but for the cap between strip and front. A pole that the viewer is inside of gives none.

    Parameters
    ----------
    uprights : Uprights
        All of a site.
    kept : ndarray of int
        Places of those that are wanted.
    viewer_m : ndarray of float, shape (3,)
        [m]
    """
    away = uprights.centre_m[kept] - viewer_m[:2]
    distance = np.hypot(*away.T)
    radii = np.stack((uprights.radius_foot_m[kept], uprights.radius_top_m[kept]))
    outside = distance > radii.max(axis=0, initial=0.0)
    kept, away, distance, radii = kept[outside], away[outside], distance[outside], radii[:, outside]
    across = np.column_stack((-away[:, 1], away[:, 0])) / distance[:, None]
    half = radii * distance / np.sqrt(distance * distance - radii * radii)
    centre, foot, top = uprights.centre_m[kept], uprights.foot_m[kept], uprights.top_m[kept]
    at_foot, at_top = across * half[0][:, None], across * half[1][:, None]
    return np.stack(
        [
            np.column_stack((centre - at_foot, foot)),
            np.column_stack((centre + at_foot, foot)),
            np.column_stack((centre + at_top, top)),
            np.column_stack((centre - at_top, top)),
        ],
        axis=1,
    )
