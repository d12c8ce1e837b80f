"""What clearances are asked of: rays, solids, and which of them to hold against each other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from survey_app.ground._arrays import FloatArray
from survey_app.ground.hull import Hulls, hulls_of
from survey_app.ground.prism_edges import PrismEdges, edges_of
from survey_app.ground.solids import IntArray, Solids

__all__ = ["Bodies", "BoolArray", "Lines", "Pairs", "Rays", "Rounds", "all_pairs", "ordered_ends", "own_array"]

BoolArray = NDArray[np.bool_]


@dataclass(frozen=True)
class Rays:
    """Straight rays between antennas.

    Attributes
    ----------
    start_m, end_m : ndarray of float, shape (rays, 3)
        x, y, height over the site datum. [m]
    wavelength_m : ndarray of float, shape (rays,)
        > 0. [m]
    """

    start_m: FloatArray
    end_m: FloatArray
    wavelength_m: FloatArray

    def __len__(self) -> int:
        return len(self.wavelength_m)


@dataclass(frozen=True)
class Pairs:
    """Which solid is judged against which ray.

    Attributes
    ----------
    ray : ndarray of int, shape (pairs,)
        Place in `Rays`.
    family : ndarray of int, shape (pairs,)
        `survey_app.ground.ray.Family`.
    solid : ndarray of int, shape (pairs,)
        Place in the array of its family.
    """

    ray: IntArray
    family: IntArray
    solid: IntArray

    def __len__(self) -> int:
        return len(self.ray)


class Rounds(NamedTuple):
    """Uprights as kernels take them."""

    centre: FloatArray
    foot: FloatArray
    top: FloatArray
    radius_foot: FloatArray
    radius_top: FloatArray


class Lines(NamedTuple):
    """Wires as kernels take them."""

    start: FloatArray
    end: FloatArray


@dataclass(frozen=True)
class Bodies:
    """Solids with their edges, worked out once for many rays.

    Attributes
    ----------
    solids : Solids
    hulls, edges, rounds, lines
        Arrays of their own for kernels.
    """

    solids: Solids
    hulls: Hulls
    edges: PrismEdges
    rounds: Rounds
    lines: Lines

    @classmethod
    def of(cls, solids: Solids) -> Bodies:
        """Return the bodies of solids."""
        hulls, uprights, wires = hulls_of(solids.prisms), solids.uprights, solids.wires
        rounds = Rounds(
            *(
                own_array(array, np.float64)
                for array in (
                    uprights.centre_m, uprights.foot_m, uprights.top_m, uprights.radius_foot_m, uprights.radius_top_m
                )
            )
        )  # fmt: skip
        return cls(
            solids,
            hulls,
            edges_of(hulls),
            rounds,
            Lines(own_array(wires.start_m, np.float64), own_array(wires.end_m, np.float64)),
        )


def all_pairs(rays: int, solids: Solids) -> Pairs:
    """Return every solid against every ray: for few of both, and to hold a quicker choice against."""
    counts = (len(solids.prisms), len(solids.uprights), len(solids.wires))
    family = np.repeat(np.arange(3), counts)
    solid = np.concatenate([np.arange(count) for count in counts])
    return Pairs(
        np.repeat(np.arange(rays), len(solid)),
        np.tile(family, rays).astype(np.int64),
        np.tile(solid, rays).astype(np.int64),
    )


def ordered_ends(rays: Rays) -> tuple[FloatArray, FloatArray, BoolArray]:
    """Return the ends of rays in an order that both directions share, and which rays are turned round by it.

    Of both ends the one that is less by x, then y, then height comes first.

    Parameters
    ----------
    rays : Rays
        Rays either way round.

    Returns
    -------
    first, last : ndarray of float, shape (rays, 3)
        [m]
    turned : ndarray of bool, shape (rays,)
    """
    turned = np.zeros(len(rays), bool)
    level = np.ones(len(rays), bool)
    for axis in range(3):
        turned |= level & (rays.end_m[:, axis] < rays.start_m[:, axis])
        level &= rays.end_m[:, axis] == rays.start_m[:, axis]
    first = np.where(turned[:, None], rays.end_m, rays.start_m)
    return first, np.where(turned[:, None], rays.start_m, rays.end_m), turned


def own_array(array: NDArray[Any], dtype: type[Any]) -> NDArray[Any]:
    """Return an array in one piece that a kernel may be given: one kind of arguments only."""
    array = np.ascontiguousarray(array, dtype)
    return array if array.flags.writeable else array.copy()
