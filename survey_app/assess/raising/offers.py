"""Moves of one mount that clear a hop and foul nothing else that hangs there: what a cure offers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from survey_app.assess.gather import HopArrays, RadioArrays
from survey_app.assess.in_the_way import Surroundings
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.obstruction import HopObstruction, Obstruction
from survey_app.assess.raising.hops import RaisedHops
from survey_app.assess.raising.moves import Move
from survey_app.assess.raising.search import clear_stretch_m

__all__ = ["Offer", "offers"]

_MOST_LIFT_M = 8.0
_GRIDS_M = (0.1, 0.01, 0.001)  # written as round as the clear stretch lets it be


@dataclass(frozen=True, slots=True)
class Offer:
    """A move that clears a hop.

    Attributes
    ----------
    way : {"up", "along"}
        Upwards, or along the edge that carries it.
    mounts : tuple of str
        What is moved: one, or both ends where neither alone is enough.
    by_m : float
        How far, each. [m]
    to_m : tuple of float
        The new height of each over its own reference, or its new distance along the edge. [m]
    clears : tuple of str
        The hops that it clears.
    pole_m : float or None
        Length of the pole or mast that it takes, where that is longer than the one that stands. [m]
    """

    way: Literal["up", "along"]
    mounts: tuple[str, ...]
    by_m: float
    to_m: tuple[float, ...]
    clears: tuple[str, ...]
    pole_m: float | None


def offers(
    job: Job,
    around: Surroundings,
    radios: RadioArrays,
    hops: HopArrays,
    way: Obstruction,
    memo: Fresh,
    *,
    over_traffic: bool,
) -> dict[str, tuple[Offer, ...]]:
    """Return the moves that clear each hop which is not clear; hops that are clear are not asked about.

    Parameters
    ----------
    job : Job
        The indexed site.
    around : Surroundings
        What stands round the hops.
    radios, hops : RadioArrays, HopArrays
        The site as arrays.
    way : Obstruction
        What stands in the way of every hop.
    memo : Fresh
        What is known from an earlier value of the site.
    over_traffic : bool
        Count lanes and yards as high as what passes there, and ask about the hops that this is too near to.

    Returns
    -------
    dict of str to tuple of Offer
        By the hop's id. The one that clears most hops comes first, then the shortest; what takes a longer pole comes
        after all that do not, and both ends are moved only where neither alone clears it.
    """
    free = job.defaults.free_zone_fraction
    asked = [n for n, row in enumerate(way.hops) if _is_near(row, free, over_traffic=over_traffic)]
    if not asked:
        return {}
    known = _Offered(job, RaisedHops(job, around, radios, hops), hops, over_traffic=over_traffic)
    names = [hops.ids[n] for n in asked]

    def make(stale: list[int]) -> Sequence[tuple[Offer, ...]]:
        return [known.of(asked[m]) for m in stale]

    stage = "offers over traffic" if over_traffic else "offers"
    return dict(zip(names, memo.each(stage, names, [known.given(n) for n in asked], make), strict=True))


def _is_near(row: HopObstruction, free: float, *, over_traffic: bool) -> bool:
    """Return whether something is too near to a ray, NaN being nothing."""
    if over_traffic:
        lanes = (one for one in row.obstacles if one.kind == "traffic")
        return any(one.clearance_m < 0.0 if one.ratio is None else one.ratio < free for one in lanes)
    return row.cut_by is not None or row.ratio < free or row.ratio_grown < free


class _Offered:
    """Hops with what else hangs on their mounts."""

    def __init__(self, job: Job, raised: RaisedHops, hops: HopArrays, *, over_traffic: bool) -> None:
        self._job, self._raised, self._hops, self._over_traffic = job, raised, hops, over_traffic
        self._stretches: dict[tuple[object, ...], tuple[float, float]] = {}
        self._of_mount: dict[str, list[int]] = {}
        for n, key in enumerate(hops.ids):
            hop = job.hops[key]
            for mount in {job.radios[radio].mount for radio in (hop.access_point, hop.station)}:
                self._of_mount.setdefault(mount, []).append(n)

    def _siblings(self, n: int) -> list[int]:
        hop = self._job.hops[self._hops.ids[n]]
        mounts = (self._job.radios[radio].mount for radio in (hop.access_point, hop.station))
        return sorted({other for mount in mounts for other in self._of_mount[mount]} - {n})

    def given(self, n: int) -> tuple[object, ...]:
        """Return everything that the answer for a hop depends on."""
        return tuple(
            (self._hops.ids[k], *self._raised.given(k, over_traffic=self._over_traffic))
            for k in (n, *self._siblings(n))
        )

    def of(self, n: int) -> tuple[Offer, ...]:
        """Return the moves that clear one hop."""
        moves = self._raised.moves(n)
        found = [offer for move in moves if move.end != "both" and (offer := self._offer(n, move)) is not None]
        found.sort(key=lambda one: (one.pole_m is not None, -len(one.clears), one.by_m))
        kept: dict[tuple[str, tuple[str, ...]], Offer] = {}
        for one in found:
            kept.setdefault((one.way, one.mounts), one)  # the better way along an edge
        if all(one.pole_m is not None for one in found):
            both = (self._both(n, move) for move in moves if move.end == "both")
            return (*kept.values(), *(one for one in both if one is not None))
        return tuple(kept.values())

    def _stretch_m(self, n: int, move: Move) -> tuple[float, float]:
        """Return from where to where along a move a hop is clear."""
        key = n, move.mounts[0], move.way, _goes(move)
        if key not in self._stretches:
            sight = self._raised.sight(n, over_traffic=self._over_traffic)
            self._stretches[key] = clear_stretch_m(sight, move, self._job.defaults.free_zone_fraction)
        return self._stretches[key]

    def _others(self, n: int, move: Move) -> list[tuple[int, tuple[float, float]]]:
        """Return the other hops of the mount that is moved, with their clear stretches."""
        found = []
        for k in self._of_mount[move.mounts[0]]:
            same = (one for one in self._raised.moves(k) if one.mounts == move.mounts and one.way == move.way)
            twin = next((one for one in same if _goes(one) == _goes(move)), None)
            if k != n and twin is not None:
                found.append((k, self._stretch_m(k, twin)))
        return found

    def _offer(self, n: int, move: Move) -> Offer | None:
        by_m, until_m = self._stretch_m(n, move)
        if not by_m > 0.0 or (move.way == "up" and by_m > _MOST_LIFT_M):
            return None
        others = self._others(n, move)
        until_m = min((until_m, *(high for _, (low, high) in others if low == 0.0)))
        clears = [n]
        for k, (low, high) in sorted(others, key=lambda one: one[1]):
            if low > 0.0 and max(low, by_m) <= min(high, until_m):
                by_m, until_m = max(low, by_m), min(high, until_m)
                clears.append(k)
        if by_m > until_m:
            return None  # it would put something in the way of another hop
        by_m, to_m = self._written(move, by_m, until_m)
        pole_m = self._raised.pole_m(move, by_m)
        return Offer(move.way, move.mounts, by_m, (to_m,), tuple(self._hops.ids[k] for k in sorted(clears)), pole_m)

    def _written(self, move: Move, by_m: float, until_m: float) -> tuple[float, float]:
        """Return the move to the next round figure that is still clear, and that figure."""
        old = self._raised.to_m(move.mounts[0], move, 0.0)
        rises = self._raised.to_m(move.mounts[0], move, by_m) > old
        for grid_m in _GRIDS_M:
            new = old + by_m if rises else old - by_m
            to_m = round((math.ceil if rises else math.floor)(new / grid_m) * grid_m, 3)
            if by_m <= abs(to_m - old) <= until_m:
                return abs(to_m - old), to_m
        return by_m, self._raised.to_m(move.mounts[0], move, by_m)

    def _both(self, n: int, move: Move) -> Offer | None:
        one = self._raised.raising(n, move, over_traffic=self._over_traffic)
        if one.by_m is None or not 0.0 < one.by_m <= _MOST_LIFT_M:
            return None
        return Offer("up", one.mounts, one.by_m, one.to_m, (one.hop,), one.pole_m)


def _goes(move: Move) -> tuple[float, float, float]:
    """Return which way the end that moves goes."""
    first, last = move.direction_m
    return first if any(first) else last
