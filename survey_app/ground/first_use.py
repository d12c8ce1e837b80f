"""Getting the compiled loops of this floor ready ahead of time: whether they are, and making them so."""

from __future__ import annotations

import functools

import numpy as np

from survey_app.ground.clearance import Bodies, Rays, all_pairs, clearances
from survey_app.ground.clearance_ground import ground_clearances
from survey_app.ground.ray import blocked, crossings, near, ray_index, usable
from survey_app.ground.relief.lattice import Lattice
from survey_app.ground.relief.surface import Surface
from survey_app.ground.relief.triangles import triangulated
from survey_app.ground.solids import NO_PLANE_M, Prisms, SolidKind, Solids, Uprights, Wires
from survey_app.physics.bullington import ragged_bullington_parameter
from survey_app.physics.kernels import Kernel, needed, prepare

__all__ = ["geometry_is_ready", "prepare_geometry"]

_START_M, _END_M = np.array([[-5.0, 5.0, 6.0]]), np.array([[15.0, 5.0, 7.0]])
_RING_M = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])


def geometry_is_ready() -> bool:
    """Return whether rays, clearances and relief can be asked without compiling anything, however many they are."""
    return all(one.is_ready() for one in _kernels())


def prepare_geometry() -> None:
    """Compile, or read back, all loops over rays, clearances and relief; from any thread, at any time.

    The first time on a computer this takes a processor for some seconds; other threads go on in between.
    """
    prepare(_rays, _relief)


@functools.cache
def _kernels() -> tuple[Kernel[..., object], ...]:
    return needed(_rays, _relief)


def _solids() -> Solids:
    """Return one body of each kind."""
    none, one = np.full((1, 4, 3), [0.0, 0.0, NO_PLANE_M]), np.zeros(1, np.int64)
    none[0, 0] = 0.0, 0.0, 5.0
    block = Prisms(
        corners_m=_RING_M,
        ring_start=np.array([0, 4]),
        first_ring=np.array([0, 1]),
        underside_m=np.array([-np.inf]),
        planes=none,
        highest_m=np.array([5.0]),
        thing=one,
        kind=np.array([int(SolidKind.BUILDING)]),
    )
    short = np.array([0.1])
    post = Uprights(np.array([[-50.0, 5.0]]), np.zeros(1), short, short, short, one)
    return Solids(("example",), block, post, Wires(_START_M, _END_M, one))


def _rays() -> None:
    solids = _solids()
    index, rays = ray_index(solids), Rays(_START_M, _END_M, np.array([0.05]))
    usable(_START_M, _END_M)
    blocked(index, _START_M, _END_M)
    crossings(index, _START_M, _END_M)
    near(index, _START_M, _END_M, 1.0)
    clearances(Bodies.of(solids), rays, all_pairs(1, solids))


def _relief() -> None:
    rays = Rays(_START_M, _END_M, np.array([0.05]))
    steps = np.array([[0.1, 0.0, 1.0], [0.0, 0.1, 0.0]])
    spots = np.array([[-9.0, -9.0], [30.0, -9.0], [0.0, 30.0]])
    grounds: tuple[Surface, ...] = (
        Lattice(np.zeros((3, 3)), steps, "example", 0.0),
        triangulated(spots, np.zeros(3), "example", 0.0),
    )
    for ground in grounds:
        ground.extremes_m([_RING_M])
        ground_clearances(ground, rays)
    ragged_bullington_parameter([10.0], [10.0], [1.0], [0, 1], [6.0], [7.0], [5500.0])
