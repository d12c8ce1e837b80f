"""Bodies in such an order that what stands beside each other on the plan lies beside each other in memory."""

from __future__ import annotations

import dataclasses

import numpy as np
from numpy.typing import NDArray

from survey_app.ground._arrays import FloatArray
from survey_app.ground.solids import Prisms, Solids, Uprights, Wires

__all__ = ["in_neighbourhoods"]

IntArray = NDArray[np.int64]

_BITS = 16
_FEW = 512
"""So few bodies stay as they are: all of them are close at hand anyway."""


def in_neighbourhoods(solids: Solids) -> tuple[Solids, IntArray]:
    """Return solids with neighbours beside each other, and from where in its family each was taken.

    Parameters
    ----------
    solids : Solids
        All coordinates finite.

    Returns
    -------
    solids : Solids
        The same bodies; only their order differs.
    place : ndarray of int, shape (bodies,)
        Place of every body in the arrays of its family: prisms, then uprights, then wires.

    Notes
    -----
    The order is that of the bits of x and y taken by turns, [MORTON]_; bodies at one place keep their own order.
    """
    prisms, uprights, wires = solids.prisms, solids.uprights, solids.wires
    if len(prisms) + len(uprights) + len(wires) <= _FEW:
        return solids, np.concatenate([np.arange(len(one)) for one in (prisms, uprights, wires)]).astype(np.int64)
    order = (
        _along_curve(prisms.corners_m[prisms.ring_start[prisms.first_ring[:-1]]]),
        _along_curve(uprights.centre_m),
        _along_curve(wires.start_m[:, :2]),
    )
    found = dataclasses.replace(
        solids,
        prisms=_prisms(prisms, order[0]),
        uprights=Uprights(*(getattr(uprights, field.name)[order[1]] for field in dataclasses.fields(uprights))),
        wires=Wires(*(getattr(wires, field.name)[order[2]] for field in dataclasses.fields(wires))),
    )
    return found, np.concatenate(order)


def _along_curve(points_m: FloatArray) -> IntArray:
    """Return the places of points, shape (n, 2), in the order in which a curve through the plan meets them."""
    if not len(points_m):
        return np.empty(0, np.int64)
    low, high = points_m.min(axis=0), points_m.max(axis=0)
    # by rank, not by distance: one body far away does not press all others into one step
    steps = [np.searchsorted(np.sort(column), column) for column in points_m.T] if (high > low).any() else [0, 0]
    finest = max(len(points_m) - 1, 1)
    x, y = ((step * ((1 << _BITS) - 1)) // finest for step in steps)
    code = np.zeros(len(points_m), np.int64)
    for bit in range(_BITS):
        code |= (x >> bit & 1) << (2 * bit) | (y >> bit & 1) << (2 * bit + 1)
    return np.argsort(code, kind="stable").astype(np.int64)


def _prisms(prisms: Prisms, order: IntArray) -> Prisms:
    first, ring_of = _gathered(prisms.first_ring, order)
    start, corner_of = _gathered(prisms.ring_start, ring_of)
    return Prisms(
        prisms.corners_m[corner_of],
        start,
        first,
        prisms.underside_m[order],
        prisms.planes[order],
        prisms.highest_m[order],
        prisms.thing[order],
        prisms.kind[order],
    )


def _gathered(first: IntArray, order: IntArray) -> tuple[IntArray, IntArray]:
    """Return where runs begin once they stand in another order, and from where each of their members is taken."""
    length = np.diff(first)[order]
    begin = np.concatenate(([0], np.cumsum(length))).astype(np.int64)
    taken = np.arange(begin[-1]) + np.repeat(first[:-1][order] - begin[:-1], length)
    return begin, taken
