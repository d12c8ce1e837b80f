"""The solids of a site laid out so that a ray finds what stands near it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from survey_app.ground.ray.cells import Cells, cells_of
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
        The same as the loops take them.
    cells : Cells
        Where they stand.
    kind : ndarray of int, shape (bodies,)
        `SolidKind` of every body: prisms, then uprights, then wires.
    """

    solids: Solids
    packed: Packed
    cells: Cells
    kind: IntArray

    def steps(self, rays: int) -> float:
        """Return at most how long rays take the interpreter, in its steps: each meets every edge and every cell."""
        edges = len(self.packed.corner) + 5 * len(self.packed.box)
        return float(rays) * (edges + len(self.cells.top_m) + 10)


def ray_index(solids: Solids) -> RayIndex:
    """Return the index of solids.

    Parameters
    ----------
    solids : Solids
        All coordinates finite.
    """
    arrays = packed(solids)
    kind = np.concatenate(
        (
            solids.prisms.kind,
            np.full(len(solids.uprights), SolidKind.UPRIGHT),
            np.full(len(solids.wires), SolidKind.WIRE),
        )
    )
    return RayIndex(solids, arrays, cells_of(arrays), kind.astype(np.int64))
