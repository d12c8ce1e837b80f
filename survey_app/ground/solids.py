"""What can stand in a ray, as arrays: upright prisms under slanting tops, round uprights, wires.

The three kinds stay apart because each is met exactly in its own way: a prism by the edges of its outline and the
planes of its top, a pole by its circle, a wire by the nearest point of its run.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from survey_app.ground._arrays import FloatArray

__all__ = ["NO_PLANE_M", "PLANES", "Prisms", "SolidKind", "Solids", "Uprights", "Wires"]

IntArray = NDArray[np.int64]
PLANES = 4
"""How many planes bound the top of a prism from above."""
NO_PLANE_M = float(np.inf)
"""Height of a plane that bounds nothing."""


class SolidKind(IntEnum):
    """What a solid is to a ray."""

    BUILDING = 0
    PARAPET = 1
    UPRIGHT = 2
    TREES = 3
    OBSTACLE = 4
    TRAFFIC = 5
    WIRE = 6


@dataclass(frozen=True)
class Prisms:
    """Upright prisms: inside an odd number of rings on the plan, over the underside, under every plane of the top.

    Attributes
    ----------
    corners_m : ndarray of float, shape (corners, 2)
        Corners of all rings, ring after ring; the last corner of a ring joins its first. Finite. [m]
    ring_start : ndarray of int, shape (rings + 1,)
        First corner of each ring, and the number of corners.
    first_ring : ndarray of int, shape (prisms + 1,)
        First ring of each prism, and the number of rings.
    underside_m : ndarray of float, shape (prisms,)
        Level underside over the site datum; -inf = down into the ground. [m]
    planes : ndarray of float, shape (prisms, 4, 3)
        Top as planes `c + a (x - x0) + b (y - y0)`, rows (a, b, c), c over the site datum, (x0, y0) the prism's first
        corner; the top is the lowest of them; `c = inf` where a plane bounds nothing, one at least is finite. [1, 1, m]
    highest_m : ndarray of float, shape (prisms,)
        Highest point of the top, over the site datum. [m]
    thing : ndarray of int, shape (prisms,)
        Place in `Solids.ids`.
    kind : ndarray of int, shape (prisms,)
        `SolidKind`.
    """

    corners_m: FloatArray
    ring_start: IntArray
    first_ring: IntArray
    underside_m: FloatArray
    planes: FloatArray
    highest_m: FloatArray
    thing: IntArray
    kind: IntArray

    def __len__(self) -> int:
        return len(self.thing)


@dataclass(frozen=True)
class Uprights:
    """Poles and masts: upright round bodies, straight from the foot's radius to the top's.

    Attributes
    ----------
    centre_m : ndarray of float, shape (uprights, 2)
        Axis on the plan. [m]
    foot_m, top_m : ndarray of float, shape (uprights,)
        Over the site datum, top > foot. [m]
    radius_foot_m, radius_top_m : ndarray of float, shape (uprights,)
        > 0. [m]
    thing : ndarray of int, shape (uprights,)
        Place in `Solids.ids`.
    """

    centre_m: FloatArray
    foot_m: FloatArray
    top_m: FloatArray
    radius_foot_m: FloatArray
    radius_top_m: FloatArray
    thing: IntArray

    def __len__(self) -> int:
        return len(self.thing)


@dataclass(frozen=True)
class Wires:
    """Overhead lines: straight pieces at the height of the lowest wire; what hangs higher is not known.

    Attributes
    ----------
    start_m, end_m : ndarray of float, shape (pieces, 3)
        Ends of each piece: x, y, height over the site datum. [m]
    thing : ndarray of int, shape (pieces,)
        Place in `Solids.ids`.
    """

    start_m: FloatArray
    end_m: FloatArray
    thing: IntArray

    def __len__(self) -> int:
        return len(self.thing)


@dataclass(frozen=True)
class Solids:
    """Everything of a site that can stand in a ray.

    Attributes
    ----------
    ids : tuple of str
        Ids of the structures; one may give several solids (a roof and its parapet).
    prisms : Prisms
    uprights : Uprights
    wires : Wires
    """

    ids: tuple[str, ...]
    prisms: Prisms
    uprights: Uprights
    wires: Wires
