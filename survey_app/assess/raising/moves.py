"""Ways in which an end of a hop can be moved out of what stands in the way, and how far each may go."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from survey_app.assess.job import Job
from survey_app.assess.mount_rows import top_of
from survey_app.physics.arrays import FloatArray
from survey_app.site.mount import Mount
from survey_app.site.place import EdgePlace
from survey_app.site.radio import Hop
from survey_app.site.structure import Building, Mast, Obstacle, Pole

__all__ = ["HIGHEST_M", "UNDER_TOP_M", "End", "Move", "moves_of", "tidy_m", "written_m"]

End = Literal["access_point", "station", "both"]

HIGHEST_M = 30.0
"""Nothing is raised higher than this over the foot of what carries it."""
UNDER_TOP_M = 0.3
"""A clamp ends this far under the top of its pole; common practice."""
_OVER_ROOF_M = 3.0  # a free mast over 3 m wants an engineer


@dataclass(frozen=True)
class Move:
    """One way to move the ends of a hop: at `u` metres they are at their place plus `u` times their direction.

    Attributes
    ----------
    end : {"access_point", "station", "both"}
        What moves.
    way : {"up", "along"}
        Upwards, or along the edge of the building that carries it.
    mounts : tuple of str
        What is moved, one mount or two.
    direction_m : tuple of two (x, y, height)
        Of the access point's end and of the station's, for a metre of the move; zeros where it stays.
    within_m : float
        How far it goes without another structure to carry it. [m]
    most_m : float
        How far it goes at all. [m]
    """

    end: End
    way: Literal["up", "along"]
    mounts: tuple[str, ...]
    direction_m: tuple[tuple[float, float, float], tuple[float, float, float]]
    within_m: float
    most_m: float

    def at(self, start_m: FloatArray, end_m: FloatArray, by_m: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return where both ends are.

        Parameters
        ----------
        start_m, end_m : ndarray of float, shape (3,)
            Their places: x, y, height over the site datum. [m]
        by_m : ndarray of float, shape (n,)
            How far they are moved. [m]

        Returns
        -------
        tuple of two ndarray of float, shape (n, 3)
            [m]
        """
        steps = by_m[:, None]
        first, last = (np.array(one) for one in self.direction_m)
        return start_m + steps * first, end_m + steps * last


_STAYS = (0.0, 0.0, 0.0)
_UP = (0.0, 0.0, 1.0)


def moves_of(job: Job, hop: Hop) -> tuple[Move, ...]:
    """Return the ways in which the ends of a hop can be moved.

    Parameters
    ----------
    job : Job
        The indexed site.
    hop : Hop
        One whose radios are present.

    Returns
    -------
    tuple of Move
        Up: either end, both by the same; then along its edge, forth and back, for each end that hangs on an edge.

    Notes
    -----
    An end on a pole or mast goes up to 0.3 m under its top, and beyond that with a longer one; on a building up to 3 m
    over its roof, above which a free mast wants an engineer; nothing goes higher than 30 m over the foot. An end that
    is beyond already, or indoors, stays where it is.
    """
    mounts = tuple(job.mounts[job.radios[key].mount] for key in (hop.access_point, hop.station))
    reach = [_reach_m(job, mount) for mount in mounts]
    moves = [
        Move("access_point", "up", (mounts[0].id,), (_UP, _STAYS), *reach[0]),
        Move("station", "up", (mounts[1].id,), (_STAYS, _UP), *reach[1]),
    ]
    if mounts[0].id != mounts[1].id:
        least = (min(reach[0][0], reach[1][0]), min(reach[0][1], reach[1][1]))
        moves.append(Move("both", "up", (mounts[0].id, mounts[1].id), (_UP, _UP), *least))
        for n, end in enumerate(("access_point", "station")):
            moves += _along(job, mounts[n], "access_point" if end == "access_point" else "station")
    return tuple(moves)


def _reach_m(job: Job, mount: Mount) -> tuple[float, float]:
    """Return how far a mount can go up on what carries it, and at all."""
    if mount.environment == "indoors":
        return 0.0, 0.0
    spot, structure = job.placed.mounts[mount.id], job.structures.get(mount.structure)
    over_foot_m = spot.elevation_m - spot.foot_m
    most_m = max(0.0, HIGHEST_M - over_foot_m)
    if isinstance(structure, Pole | Mast):
        return min(most_m, max(0.0, structure.height_m - UNDER_TOP_M - over_foot_m)), most_m
    top_m = top_of(structure)
    if isinstance(structure, Building) and top_m is not None:
        within_m = max(0.0, top_m + _OVER_ROOF_M - over_foot_m)
    elif isinstance(structure, Obstacle):
        within_m = max(0.0, structure.height_m - over_foot_m)
    else:
        within_m = 0.0
    within_m = min(within_m, most_m)
    return within_m, within_m


def _along(job: Job, mount: Mount, end: Literal["access_point", "station"]) -> list[Move]:
    """Return the moves of a mount along its edge: forth, then back."""
    place = mount.place
    if not isinstance(place, EdgePlace):
        return []
    corners = job.placed.outlines[mount.structure]
    here, there = corners[place.edge], corners[(place.edge + 1) % len(corners)]
    length_m = math.dist(here, there)
    x, y = ((there - here) / length_m).tolist()
    found = []
    for sign, most_m in ((1.0, length_m - place.along_m), (-1.0, place.along_m)):
        if most_m > 0.0:
            ahead = (sign * x, sign * y, 0.0)
            directions = (ahead, _STAYS) if end == "access_point" else (_STAYS, ahead)
            found.append(Move(end, "along", (mount.id,), directions, most_m, most_m))
    return found


def written_m(job: Job, mount_id: str, move: Move, by_m: float) -> float:
    """Return what is written of a mount after a move: its height over its own reference, or its distance along. [m]

    Parameters
    ----------
    job : Job
        The indexed site.
    mount_id : str
        One of the mounts that are moved.
    move : Move
        The move.
    by_m : float
        How far. [m]
    """
    mount = job.mounts[mount_id]
    if move.way == "up":
        return tidy_m(mount.height_m + by_m)
    assert isinstance(mount.place, EdgePlace)
    corners = job.placed.outlines[mount.structure]
    ahead = corners[(mount.place.edge + 1) % len(corners)] - corners[mount.place.edge]
    x, y, _ = move.direction_m[0] if move.end == "access_point" else move.direction_m[1]
    return tidy_m(mount.place.along_m + (by_m if x * ahead[0] + y * ahead[1] > 0.0 else -by_m))


def tidy_m(value: float) -> float:
    """Return a length without the dust of the last digits where it is a whole millimetre. [m]"""
    whole = round(value, 3)
    return whole if abs(whole - value) < 1e-9 else value
