"""The solids of a site as the arrays that the loops over rays run on."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from survey_app.ground._arrays import FloatArray
from survey_app.ground.solids import NO_PLANE_M, PLANES, Prisms, Solids

__all__ = ["GRAZE_M", "PAD_M", "Packed", "packed"]

IntArray = NDArray[np.int64]

GRAZE_M = 1e-6
"""What a ray only touches this closely does not stand in its way. [m]"""
PAD_M = 1e-5
"""Every box round a body is larger by this, so that rounding never loses a body. [m]"""
_LINKS = 16
_LONG = 48


class Packed(NamedTuple):
    """Bodies in one row of numbers: prisms first, then uprights, then wires.

    Attributes
    ----------
    prisms, uprights, wires : int
        How many of each.
    corner : ndarray of float, shape (corners + rings, 2)
        Rings with their first corner repeated at the end. [m]
    chain, chain_box : ndarray of int, shape (chains, 2), ndarray of float, shape (chains, 4)
        Neighbouring edges: first and last row in `corner`; middle and half size of the box round them. A short outline
        is one chain to a ring, a long one is cut.
    first_chain : ndarray of int, shape (prisms + 1,)
        First chain of each prism, and the number of chains.
    plane, planes : ndarray of float, shape (prisms, 4, 3), ndarray of int, shape (prisms,)
        Top planes, those that bound something first, and how many these are.
    level : ndarray of bool, shape (prisms,)
        Whether a prism has one level top and reaches down into the ground.
    round : ndarray of float, shape (uprights, 6)
        x, y, foot, top, radius at the foot, radius at the top. [m]
    wire : ndarray of float, shape (wires, 6)
        x, y, height of one end, then of the other. [m]
    box : ndarray of float, shape (bodies, 8)
        Middle x and y, half width and depth with `PAD_M`, highest, lowest, x and y from which planes are counted. A
        wire is as high as -inf: it never hides anything. [m]
    thing : ndarray of int, shape (bodies,)
        Place in `Solids.ids`.
    """

    prisms: int
    uprights: int
    wires: int
    corner: FloatArray
    chain: IntArray
    chain_box: FloatArray
    first_chain: IntArray
    plane: FloatArray
    planes: IntArray
    level: NDArray[np.bool_]
    round: FloatArray
    wire: FloatArray
    box: FloatArray
    thing: IntArray


def packed(solids: Solids) -> Packed:
    """Return solids as `Packed` arrays of their own.

    Parameters
    ----------
    solids : Solids
        All coordinates finite.
    """
    prisms, uprights, wires = solids.prisms, solids.uprights, solids.wires
    corner, ring = _closed_rings(prisms)
    chain, chain_box, first_chain = _chains(prisms, corner, ring)
    plane, planes = _planes(prisms)
    post = np.column_stack(
        (
            uprights.centre_m.reshape(-1, 2),
            uprights.foot_m,
            uprights.top_m,
            uprights.radius_foot_m,
            uprights.radius_top_m,
        )
    )
    wire = np.hstack((wires.start_m.reshape(-1, 3), wires.end_m.reshape(-1, 3)))
    return Packed(
        prisms=len(prisms),
        uprights=len(uprights),
        wires=len(wires),
        corner=corner,
        chain=chain,
        chain_box=chain_box,
        first_chain=first_chain,
        plane=plane,
        planes=planes,
        level=(planes == 1) & (plane[:, 0, :2] == 0.0).all(axis=1) & (prisms.underside_m == -np.inf),
        round=np.ascontiguousarray(post, np.float64),
        wire=np.ascontiguousarray(wire, np.float64),
        box=np.concatenate((_prism_boxes(prisms, corner, ring), _upright_boxes(post), _wire_boxes(wire))),
        thing=_ints(np.concatenate((prisms.thing, uprights.thing, wires.thing))),
    )


def _ints(values: NDArray[np.integer]) -> IntArray:
    return np.array(values, np.int64)


def _closed_rings(prisms: Prisms) -> tuple[FloatArray, IntArray]:
    """Return all rings with their first corner repeated, and where each begins."""
    start, end = prisms.ring_start[:-1], prisms.ring_start[1:]
    rings = len(start)
    places = np.insert(np.arange(len(prisms.corners_m)), end, start) if rings else np.empty(0, np.int64)
    corner = np.array(prisms.corners_m, np.float64).reshape(-1, 2)[places]
    return np.ascontiguousarray(corner), _ints(prisms.ring_start + np.arange(rings + 1))


def _chains(prisms: Prisms, corner: FloatArray, ring: IntArray) -> tuple[IntArray, FloatArray, IntArray]:
    """Return chains of edges, their boxes, and the first chain of each prism."""
    chains: list[tuple[int, int]] = []
    first = [0]
    for one, last in zip(prisms.first_ring[:-1].tolist(), prisms.first_ring[1:].tolist(), strict=True):
        ends = [(int(ring[r]), int(ring[r + 1]) - 1) for r in range(one, last)]
        if sum(c1 - c0 for c0, c1 in ends) <= _LONG:
            chains += ends
        else:
            chains += [(c, min(c + _LINKS, c1)) for c0, c1 in ends for c in range(c0, c1, _LINKS)]
        first.append(len(chains))
    rows = np.array(chains, np.int64).reshape(-1, 2)
    if not len(rows):
        return rows, np.empty((0, 4)), np.array(first, np.int64)
    # a chain shares its last corner with the next, so both boxes take it in
    low, high = np.minimum.reduceat(corner, rows[:, 0]), np.maximum.reduceat(corner, rows[:, 0])
    low, high = np.minimum(low, corner[rows[:, 1]]), np.maximum(high, corner[rows[:, 1]])
    return rows, np.hstack(((low + high) / 2.0, (high - low) / 2.0 + PAD_M)), np.array(first, np.int64)


def _planes(prisms: Prisms) -> tuple[FloatArray, IntArray]:
    plane = np.array(prisms.planes, np.float64).reshape(-1, PLANES, 3)
    bounds = plane[:, :, 2] < NO_PLANE_M
    order = np.argsort(~bounds, axis=1, kind="stable")
    return np.take_along_axis(plane, order[:, :, None], axis=1), _ints(bounds.sum(axis=1))


def _prism_boxes(prisms: Prisms, corner: FloatArray, ring: IntArray) -> FloatArray:
    begin = ring[prisms.first_ring[:-1]]
    if not len(begin):
        return np.empty((0, 8))
    low, high = np.minimum.reduceat(corner, begin), np.maximum.reduceat(corner, begin)
    heights = np.column_stack((prisms.highest_m, prisms.underside_m))
    return np.hstack(((low + high) / 2.0, (high - low) / 2.0 + PAD_M, heights, corner[begin]))


def _upright_boxes(post: FloatArray) -> FloatArray:
    widest = post[:, 4:6].max(axis=1, initial=0.0) + PAD_M
    return np.column_stack((post[:, 0], post[:, 1], widest, widest, post[:, 3], post[:, 2], post[:, :2]))


def _wire_boxes(wire: FloatArray) -> FloatArray:
    half = np.abs(wire[:, 3:5] - wire[:, 0:2]) / 2.0 + PAD_M
    never = np.full(len(wire), -np.inf)
    lowest = np.minimum(wire[:, 2], wire[:, 5])
    return np.column_stack(((wire[:, 0:2] + wire[:, 3:5]) / 2.0, half, never, lowest, wire[:, 0:2]))
