"""What stands in the way of every hop, as arrays; what is not known is NaN."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from survey_app.assess.record import ObstacleRow, Side
from survey_app.assess.through_walls import NO_WALLS, ThroughWalls
from survey_app.physics.arrays import FloatArray

__all__ = ["NOTHING_KNOWN", "NOWHERE", "HopObstruction", "NearPlace", "Obstruction", "obstruction_of_rows"]


class NearPlace(NamedTuple):
    """Where something comes nearest to a ray; NaN and None where nothing does.

    Attributes
    ----------
    ratio : float
        Clearance over the radius of the first Fresnel zone there. [1]
    place_m, clearance_m : float
        Where, and how many metres. [m]
    side : str or None
        Where it lies, seen from the access point.
    obstacle : str or None
        Id of the structure, or `ground`.
    """

    ratio: float
    place_m: float
    clearance_m: float
    side: Side | None
    obstacle: str | None


NOWHERE = NearPlace(math.nan, math.nan, math.nan, None, None)
"""Nothing comes near."""


@dataclass(frozen=True, slots=True)
class HopObstruction:
    """What stands in the way of one hop; distances count from the access point along the ground.

    Attributes
    ----------
    diffraction_db : float
        Loss over and round what stands in the zone for good, trees left out. [dB]
    method : str
        How that loss was found, in words.
    foliage_low_db, foliage_high_db : float
        Least and greatest loss by the crowns that the ray runs through, in leaf; 0 where it runs through none. [dB]
    foliage_depth_m : float
        Length of the ray inside crowns. [m]
    through : ThroughWalls
        What it goes through inside buildings and at their outside, and what that takes.
    ratio : float
        Smallest clearance over the radius of the first Fresnel zone there, in leaf, now, without traffic. [1]
    place_m, clearance_m : float
        Where, and how many metres. [m]
    side : str or None
        Where the obstacle lies, seen from the access point.
    obstacle : str or None
        Id of the structure, or `ground`.
    cut_at_m : float
        Where the ray first enters something that stands there for good; NaN = nowhere. [m]
    cut_by : str or None
        What it enters.
    ratio_bare, ratio_grown, ratio_low_k, ratio_moving : float
        The ratio without deciduous crowns; with the growth of the site's years; with the site's low k; with traffic.
    obstacles : tuple of ObstacleRow
        What comes nearest, by rising ratio.
    ground : NearPlace
        Where the ground comes nearest; straight from foot to foot where there is no relief.
    grown : NearPlace
        Where a crown comes nearest once it has grown for the site's years.
    inside : tuple of (str or None, str or None)
        Building or obstacle that the antenna of the access point and that of the station is inside of.
    """

    diffraction_db: float
    method: str
    foliage_low_db: float
    foliage_high_db: float
    foliage_depth_m: float
    through: ThroughWalls
    ratio: float
    place_m: float
    clearance_m: float
    side: Side | None
    obstacle: str | None
    cut_at_m: float
    cut_by: str | None
    ratio_bare: float
    ratio_grown: float
    ratio_low_k: float
    ratio_moving: float
    obstacles: tuple[ObstacleRow, ...]
    ground: NearPlace = NOWHERE
    grown: NearPlace = NOWHERE
    inside: tuple[str | None, str | None] = (None, None)


NOTHING_KNOWN = HopObstruction(
    diffraction_db=0.0, method="", foliage_low_db=0.0, foliage_high_db=0.0, foliage_depth_m=0.0,
    through=NO_WALLS, ratio=math.nan, place_m=math.nan, clearance_m=math.nan,
    side=None, obstacle=None, cut_at_m=math.nan, cut_by=None, ratio_bare=math.nan, ratio_grown=math.nan,
    ratio_low_k=math.nan, ratio_moving=math.nan, obstacles=(),
)  # fmt: skip
"""The way of a hop that nobody has judged yet: its level is that of a free one."""


@dataclass(frozen=True)
class Obstruction:
    """What stands in the way of all hops.

    Attributes
    ----------
    hops : tuple of HopObstruction
        By the hops' rows.
    loss_db : ndarray of float, shape (hops,)
        What the budget loses by it: diffraction, the greatest loss by foliage, the likely one by walls. [dB]
    """

    hops: tuple[HopObstruction, ...]
    loss_db: FloatArray


def obstruction_of_rows(rows: Sequence[HopObstruction]) -> Obstruction:
    """Return rows as one, with the loss that the budget takes."""
    loss_db = [row.diffraction_db + row.foliage_high_db + row.through.likely_db for row in rows]
    return Obstruction(tuple(rows), np.array(loss_db, dtype=np.float64))
