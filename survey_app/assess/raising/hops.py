"""The least moves that clear the hops which are not clear."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from survey_app.assess.gather import HopArrays, RadioArrays, gather_hops, gather_radios, radios_at
from survey_app.assess.in_the_way import (
    PASSING,
    FootToFoot,
    Stand,
    Surroundings,
    ground_at_ends,
    of_solids,
    pairs_near,
    surroundings_of,
)
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.raising.moves import UNDER_TOP_M, Move, moves_of, tidy_m, written_m
from survey_app.assess.raising.raising import Raising
from survey_app.assess.raising.search import Sight, least_move_m
from survey_app.errors import UnknownNameError
from survey_app.ground.clearance import Bodies, Pairs, Rays
from survey_app.ground.clearance_given import BoolArray
from survey_app.ground.relief.surface import LevelGround, Surface
from survey_app.ground.solids import SolidKind
from survey_app.physics.arrays import FloatArray
from survey_app.physics.free_space import wavelength_m
from survey_app.site.site import Site
from survey_app.site.structure import Mast, Pole, Structure

__all__ = ["RaisedHops", "how_high"]

_NOMINAL_MHZ = 5500.0
_STEP_M = 0.001
_WIDE_ZONES = 1.5
_POLE_STEP_M = 0.5


def how_high(site: Site, hop_id: str, *, over_traffic: bool = False) -> tuple[Raising, ...]:
    """Return how far each end of a hop must be moved for the hop to be clear.

    Parameters
    ----------
    site : Site
        The document.
    hop_id : str
        Id of the hop.
    over_traffic : bool, default False
        Count lanes and yards as high as what passes there.

    Returns
    -------
    tuple of Raising
        One for each way in which an end can be moved, see `moves_of`; 0 m where the hop is clear.

    Raises
    ------
    UnknownNameError
        The site has no such hop, or one of its radios is not there.

    Notes
    -----
    Clear is a hop whose ray and whose part of the first Fresnel zone, the site's `free_zone_fraction`, are free of
    everything that stands there for good, trees in leaf and after the site's years of growth.
    """
    job = Job(site)
    if hop_id not in job.hops:
        raise UnknownNameError(f"the site has no hop '{hop_id}' between two radios that are there", where="how high")
    radios = radios_at(gather_radios(job, job.placed), job, job.placed)
    hops = gather_hops(job, radios)
    around = surroundings_of(job, Fresh())
    return RaisedHops(job, around, radios, hops).of(hops.row[hop_id], over_traffic=over_traffic)


class RaisedHops:
    """Hops whose least moves are wanted."""

    def __init__(self, job: Job, around: Surroundings, radios: RadioArrays, hops: HopArrays) -> None:
        self.job, self.around, self.hops = job, around, hops
        spots = np.column_stack((radios.x_m, radios.y_m, radios.elevation_m))
        self.start_m, self.end_m = spots[hops.access_point], spots[hops.station]
        known = np.where(np.isfinite(hops.centre_mhz), hops.centre_mhz, _NOMINAL_MHZ)
        self.wavelength_m = wavelength_m(known)
        level = isinstance(around.ground, LevelGround)
        self.feet_m = ground_at_ends(job, around, radios) if level else [math.nan] * len(spots)
        self._known_moves: dict[int, tuple[Move, ...]] = {}
        self._known_near: dict[tuple[bool, int], Pairs] = {}

    def moves(self, n: int) -> tuple[Move, ...]:
        """Return the ways in which the ends of a hop can be moved."""
        if n not in self._known_moves:
            self._known_moves[n] = moves_of(self.job, self.job.hops[self.hops.ids[n]])
        return self._known_moves[n]

    def _near(self, stand: Stand, n: int) -> Pairs:
        """Return what may come near the ray wherever it is moved."""
        key = stand is self.around.now, n
        if key not in self._known_near:
            self._known_near[key] = self._found_near(stand, n, self.moves(n))
        return self._known_near[key]

    def _found_near(self, stand: Stand, n: int, moves: Sequence[Move]) -> Pairs:
        ray = Rays(self.start_m[n : n + 1], self.end_m[n : n + 1], self.wavelength_m[n : n + 1])
        along = max((move.most_m for move in moves if move.way == "along"), default=0.0)
        return pairs_near(stand, ray, along + _WIDE_ZONES)

    def _structures(self, n: int) -> tuple[tuple[Structure, float], ...]:
        found = set()
        for stand in (self.around.now, self.around.grown):
            things = of_solids(stand.thing, self._near(stand, n))
            found |= {stand.standing.solids.ids[thing] for thing in things.tolist()}
        feet_m = self.job.placed.feet_m
        return tuple((self.around.structures[key], feet_m[key]) for key in sorted(found))

    def given(self, n: int, *, over_traffic: bool) -> tuple[object, ...]:
        """Return everything that the answer for a hop depends on."""
        moves, hop = self.moves(n), self.job.hops[self.hops.ids[n]]
        mounts = [self.job.mounts[self.job.radios[key].mount] for key in (hop.access_point, hop.station)]
        carriers = tuple(self.job.structures[mount.structure] for mount in mounts)
        return (
            tuple(self.start_m[n].tolist()), tuple(self.end_m[n].tolist()), float(self.wavelength_m[n]), moves,
            tuple(mounts), carriers, self._structures(n), self.around.ground, self._feet(n),
            self.job.defaults, over_traffic,
        )  # fmt: skip

    def _feet(self, n: int) -> tuple[float, float]:
        return self.feet_m[self.hops.access_point[n]], self.feet_m[self.hops.station[n]]

    def _ground(self, n: int, start_m: FloatArray, end_m: FloatArray) -> Surface:
        if not isinstance(self.around.ground, LevelGround):
            return self.around.ground
        feet = self._feet(n)
        known = dict.fromkeys(map(tuple, start_m[:, :2].tolist()), feet[0])
        known.update(dict.fromkeys(map(tuple, end_m[:, :2].tolist()), feet[1]))
        return FootToFoot.of(known)

    def of(self, n: int, *, over_traffic: bool) -> tuple[Raising, ...]:
        """Return the least moves of one hop."""
        return _shorter_along(tuple(self.raising(n, move, over_traffic=over_traffic) for move in self.moves(n)))

    def sight(self, n: int, *, over_traffic: bool = False) -> Sight:
        """Return one hop's ray and everything that it is held against."""
        sets = (
            self._counted(self.around.now, n, over_traffic=over_traffic),
            self._counted(self.around.grown, n, over_traffic=over_traffic),
        )
        return Sight(
            self.start_m[n], self.end_m[n], float(self.wavelength_m[n]), sets, lambda a, b: self._ground(n, a, b)
        )

    def _counted(self, stand: Stand, n: int, *, over_traffic: bool) -> tuple[Bodies, Pairs, BoolArray]:
        pairs = self._near(stand, n)
        left_out = PASSING[1:] if over_traffic else PASSING
        kind = of_solids(stand.kind, pairs)
        keep = ~np.isin(kind, left_out)
        walled = kind[keep] == SolidKind.BUILDING
        return stand.bodies, Pairs(pairs.ray[keep], pairs.family[keep], pairs.solid[keep]), walled

    def raising(self, n: int, move: Move, *, over_traffic: bool) -> Raising:
        """Return the least move of one kind for a hop."""
        sight = self.sight(n, over_traffic=over_traffic)
        free = self.job.defaults.free_zone_fraction
        by_m = least_move_m(sight, move, free)
        found = not math.isnan(by_m)
        ratio = math.inf
        if found:
            by_m = self._rounded(sight, move, by_m, free)
            ratio = float(sight.ratios(move, np.array([by_m])).min())
        return Raising(
            hop=self.hops.ids[n],
            end=move.end,
            way=move.way,
            mounts=move.mounts,
            by_m=tidy_m(by_m) if found else None,
            to_m=tuple(self.to_m(key, move, by_m) for key in move.mounts) if found else (),
            ratio=ratio if ratio < math.inf else None,
            within_m=move.within_m,
            pole_m=self.pole_m(move, by_m) if found else None,
            over_traffic=over_traffic,
            reason="" if found else self._no_way(n, move),
        )

    def _rounded(self, sight: Sight, move: Move, by_m: float, free: float) -> float:
        """Return the move to the next whole millimetre of what is written, where that is as clear."""
        if by_m == 0.0:
            return 0.0
        old = self.to_m(move.mounts[0], move, 0.0)
        new = self.to_m(move.mounts[0], move, by_m)
        whole = (math.ceil(new / _STEP_M - 1e-6) if new > old else math.floor(new / _STEP_M + 1e-6)) * _STEP_M
        fits = abs(round(whole, 3) - old)
        clear = fits <= move.most_m and bool((sight.ratios(move, np.array([fits])) >= free).all())
        return fits if clear else by_m

    def _no_way(self, n: int, move: Move) -> str:
        hop = self.job.hops[self.hops.ids[n]]
        mounts = [self.job.mounts[self.job.radios[key].mount] for key in (hop.access_point, hop.station)]
        indoors = [mount.id for mount in mounts if mount.environment == "indoors"]
        if indoors:
            which = f"{' and '.join(indoors)} {'is' if len(indoors) == 1 else 'are'} indoors"
            return f"{which}: the hop goes through walls at any height."
        if move.most_m <= 0.0:
            return "It is as high as what carries it allows." if move.way == "up" else "There is no more edge."
        where = "up to" if move.way == "up" else "along its edge up to"
        return f"No move {where} {move.most_m:.1f} m clears it."

    def to_m(self, mount_id: str, move: Move, by_m: float) -> float:
        """Return what is written of a mount after a move."""
        return written_m(self.job, mount_id, move, by_m)

    def pole_m(self, move: Move, by_m: float) -> float | None:
        """Return the longer pole that a move takes, to half a metre."""
        longest = 0.0
        for mount_id in move.mounts:
            mount = self.job.mounts[mount_id]
            structure, spot = self.job.structures.get(mount.structure), self.job.placed.mounts[mount_id]
            if move.way != "up" or not isinstance(structure, Pole | Mast):
                continue
            need_m = spot.elevation_m - spot.foot_m + by_m + UNDER_TOP_M
            beyond_already = spot.elevation_m - spot.foot_m + UNDER_TOP_M > structure.height_m + 1e-9
            if by_m > 0.0 and need_m > structure.height_m + 1e-9 and not (beyond_already and by_m <= move.within_m):
                longest = max(longest, math.ceil(need_m / _POLE_STEP_M - 1e-9) * _POLE_STEP_M)
        return longest or None


def _shorter_along(found: tuple[Raising, ...]) -> tuple[Raising, ...]:
    """Keep of both ways along an edge the shorter one that clears, or the first where none does."""
    kept: list[Raising] = []
    for one in found:
        if kept and kept[-1].way == "along" and one.way == "along" and kept[-1].end == one.end:
            before = kept[-1]
            if one.by_m is not None and (before.by_m is None or one.by_m < before.by_m):
                kept[-1] = one
        else:
            kept.append(one)
    return tuple(kept)
