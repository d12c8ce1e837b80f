"""What stands in the zone of a hop, as screens, and what they cost."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from survey_app.assess.in_the_way.held import Held
from survey_app.assess.in_the_way.stand import PASSING
from survey_app.ground.clearance_ground import GroundClearances
from survey_app.ground.solids import SolidKind
from survey_app.physics.arrays import FloatArray
from survey_app.physics.diffraction import clearance_parameter
from survey_app.physics.diffraction_method import obstacle_loss_db

__all__ = ["NO_SCREEN", "Screen", "diffraction_db", "screens_of"]

NO_SCREEN = (int(SolidKind.TREES), *PASSING)
"""Kinds of solids over which nothing is bent: crowns have a loss of their own, what passes is no lasting one."""


class Screen(NamedTuple):
    """An obstacle as a screen: v over the top, past left and right, distance to either end."""

    top: float
    left: float
    right: float
    from_start_m: float
    from_end_m: float


def screens_of(held: Held, ray: int, ground: GroundClearances, m: int) -> list[Screen]:
    """Return the obstacles of a hop as screens, the ground last.

    A building and its parapet are one obstacle: over the higher top, past the outer sides.

    Parameters
    ----------
    held : Held
        What stands near.
    ray : int
        The hop there.
    ground : GroundClearances
        What was found of the ground.
    m : int
        The hop there.
    """
    found = held.found
    screens: dict[str, Screen] = {}
    for pair in held.of(ray).tolist():
        if held.kind[pair] in NO_SCREEN or not math.isfinite(found.v_top[pair]):
            continue
        key = held.ids[held.thing[pair]]
        new = Screen(
            float(found.v_top[pair]), float(found.v_left[pair]), float(found.v_right[pair]),
            float(found.from_start_m[pair]), float(found.from_end_m[pair]),
        )  # fmt: skip
        known = screens.get(key)
        screens[key] = new if known is None else _outer(known, new)
    rows = list(screens.values())
    ratio = float(ground.ratio[m])
    if math.isfinite(ratio):
        length_m = float(ground.from_start_m[m] + ground.from_end_m[m])
        at_m = min(max(float(ground.from_start_m[m]), 1.0), length_m - 1.0)
        rows.append(Screen(float(clearance_parameter(ratio)), math.inf, math.inf, at_m, length_m - at_m))
    return rows


def _outer(one: Screen, other: Screen) -> Screen:
    """Return two screens as one, where the first stands."""
    return Screen(
        max(one.top, other.top), max(one.left, other.left), max(one.right, other.right),
        one.from_start_m, one.from_end_m,
    )  # fmt: skip


def diffraction_db(hops: Sequence[Sequence[Screen]], frequency_mhz: FloatArray) -> tuple[FloatArray, Any]:
    """Return the loss over and round the screens of each hop, and the method of each.

    Parameters
    ----------
    hops : sequence of sequences of Screen
        The obstacles of every hop.
    frequency_mhz : ndarray of float, shape (hops,)
        [MHz]

    Returns
    -------
    tuple of ndarray of float and of int, shape (hops,) each
        [dB]; see `diffraction_method`.
    """
    table = np.array([row for screens in hops for row in screens], dtype=float).reshape(-1, 5)
    offsets = np.cumsum([0, *(len(screens) for screens in hops)])
    return obstacle_loss_db(
        table[:, 0], table[:, 1], table[:, 2], 0.0, table[:, 3], table[:, 4], offsets, frequency_mhz
    )
