"""The solids of a site laid out so that a ray finds what stands near it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from survey_app.ground.ray.cells import Cells, cells_of
from survey_app.ground.ray.neighbours import in_neighbourhoods
from survey_app.ground.ray.packed import Packed, packed
from survey_app.ground.solids import SolidKind, Solids

__all__ = ["RayIndex", "ray_index"]

IntArray = NDArray[np.int64]


@dataclass(frozen=True)
class RayIndex:
    """Solids with a lattice over them; made by `ray_index`, once for any number of rays.

    Attributes
    ----------
    solids : Solids
        What it was made of.
    packed : Packed
        The same as the loops take them, neighbours beside each other.
    cells : Cells
        Where they stand.
    kind : ndarray of int, shape (bodies,)
        `SolidKind` of every packed body: prisms, then uprights, then wires.
    place : ndarray of int, shape (bodies,)
        Where every packed body stands in the arrays of its own family in `solids`.
    """

    solids: Solids
    packed: Packed
    cells: Cells
    kind: IntArray
    place: IntArray

    def families_and_places(self, body: IntArray) -> tuple[NDArray[np.int8], IntArray]:
        """Return the `Family` of packed bodies, and their places in its arrays in `solids`."""
        prisms, uprights = self.packed.prisms, self.packed.uprights
        family = (body >= prisms).astype(np.int8)
        if len(self.place) > prisms:
            family += body >= prisms + uprights
        return family, self.place.take(body)

    def steps(self, rays: int, reach_m: float = 0.0) -> float:
        """Return at most how long rays take the interpreter, in its steps: each meets every edge, and a row of cells.

        Parameters
        ----------
        rays : int
            How many.
        reach_m : float
            How far beside them is looked; NaN = everywhere. [m]
        """
        edges = len(self.packed.corner) + 5 * len(self.packed.box)
        cells, every = self.cells, float(len(self.cells.top_m))
        met = (cells.columns + cells.rows) * (2.0 * reach_m / cells.size_m + 3.0)
        return float(rays) * (edges + (met if met < every else every) + 10)


def ray_index(solids: Solids) -> RayIndex:
    """Return the index of solids.

    Parameters
    ----------
    solids : Solids
        All coordinates finite.
    """
    ordered, place = in_neighbourhoods(solids)
    arrays = packed(ordered)
    kind = np.concatenate(
        (
            ordered.prisms.kind,
            np.full(len(ordered.uprights), SolidKind.UPRIGHT),
            np.full(len(ordered.wires), SolidKind.WIRE),
        )
    )
    return RayIndex(solids, arrays, cells_of(arrays), kind.astype(np.int64), place)
