"""Chances of every hop: that its zone is free, that its level holds, and what to measure first."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey_app.assess.chances.drawn import Course, drawn_upright
from survey_app.assess.chances.one import Nearest, OneHop, Solid, chance_of
from survey_app.assess.chances.unknowns import unknowns_of
from survey_app.assess.gather import HopArrays, RadioArrays
from survey_app.assess.in_the_way import (
    PASSING,
    FootToFoot,
    Stand,
    Surroundings,
    ground_at_ends,
    of_solids,
    pairs_near,
)
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.obstruction import Obstruction
from survey_app.ground.clearance import BRACKET_M, Pairs, Rays, clearances
from survey_app.ground.clearance_ground import GroundClearances, ground_clearances
from survey_app.ground.relief.surface import LevelGround, Surface
from survey_app.ground.solids import SolidKind
from survey_app.physics.arrays import FloatArray
from survey_app.physics.free_space import wavelength_m
from survey_app.physics.geometry import STANDARD_K
from survey_app.site.mount import Mount
from survey_app.site.structure import Structure

__all__ = ["HopChance", "Level", "chances"]


@dataclass(frozen=True, slots=True)
class HopChance:
    """What is likely of one hop.

    Attributes
    ----------
    clear_percent : float
        Probability that the site's part of the first zone is free; NaN where no channel is chosen. [%]
    level_percent : float
        Probability that the level holds the needed rate at full legal power, in the worse direction; NaN where the
        margin is not known. [%]
    best_measurement : str
        The measurement on site that would make the clearance most certain, in words; empty where none would.
    """

    clear_percent: float
    level_percent: float
    best_measurement: str


@dataclass(frozen=True)
class Level:
    """What the level of every hop has in hand, shape (hops,) each.

    Attributes
    ----------
    margin_db : ndarray of float
        Margin at the needed rate at full legal power, the worse direction; NaN = not known. [dB]
    sigma_db : ndarray of float
        Standard deviation of the level by everything but what stands in the way. [dB]
    """

    margin_db: FloatArray
    sigma_db: FloatArray


def chances(
    job: Job,
    around: Surroundings,
    radios: RadioArrays,
    hops: HopArrays,
    way: Obstruction,
    level: Level,
    memo: Fresh,
) -> tuple[HopChance, ...]:
    """Return what is likely of every hop.

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
    level : Level
        What the levels have in hand.
    memo : Fresh
        What is known from an earlier value of the site; every hop is worked out by itself.

    Returns
    -------
    tuple of HopChance
        By the hops' rows.

    Notes
    -----
    Judged is what stands there for good, trees in leaf after the site's years of growth. Heights, feet, places and
    growth are drawn 257 times, see `normal_draws`, and the exact clearance is taken of every draw; poles are taken at
    their axis, and the ground where it is nearest. What four standard deviations cannot bring to the limit is not
    drawn: a hop with nothing else near it has 100 %, one with something that stays in the way 0 %, and the level then
    has the loss of the hop as it is drawn. Against 100,000 random draws the percentages are 3 points off at most, near
    0 and 100 % half of that.
    """
    if not len(hops.ids):
        return ()
    asked = AskedChances(job, around, radios, hops, way, level)
    names = list(hops.ids)
    return tuple(memo.each("chances", names, asked.given(), asked.make))


class AskedChances:
    """Hops whose chances are wanted, with what stands near each."""

    def __init__(
        self,
        job: Job,
        around: Surroundings,
        radios: RadioArrays,
        hops: HopArrays,
        way: Obstruction,
        level: Level,
    ) -> None:
        self.job, self.around, self.hops, self.way, self.level = job, around, hops, way, level
        spots = np.column_stack((radios.x_m, radios.y_m, radios.elevation_m))
        self.start_m, self.end_m = spots[hops.access_point], spots[hops.station]
        self.known = np.isfinite(hops.centre_mhz)
        self.wavelength_m = wavelength_m(np.where(self.known, hops.centre_mhz, np.nan))
        self.feet_m: list[float] = []
        if isinstance(around.ground, LevelGround):
            self.feet_m = ground_at_ends(job, around, radios)
        rays = Rays(self.start_m, self.end_m, np.where(self.known, self.wavelength_m, 0.05))
        self.now, self.grown = (pairs_near(stand, rays) for stand in (around.now, around.grown))

    def _ends(self, n: int) -> tuple[tuple[Mount, Mount], tuple[Structure, Structure]]:
        job, hop = self.job, self.job.hops[self.hops.ids[n]]
        a, s = (job.mounts[job.radios[key].mount] for key in (hop.access_point, hop.station))
        return (a, s), (job.structures[a.structure], job.structures[s.structure])

    def _feet(self, n: int) -> tuple[float, float]:
        if not self.feet_m:
            return math.nan, math.nan
        return self.feet_m[self.hops.access_point[n]], self.feet_m[self.hops.station[n]]

    def given(self) -> list[tuple[object, ...]]:
        """Return everything that the answer for each hop depends on."""
        near: list[dict[str, None]] = [{} for _ in self.hops.ids]
        for stand, pairs in ((self.around.now, self.now), (self.around.grown, self.grown)):
            ids, things = stand.standing.solids.ids, of_solids(stand.thing, pairs)
            for ray, thing in zip(pairs.ray.tolist(), things.tolist(), strict=True):
                near[ray][ids[thing]] = None
        self.near = [tuple(self.around.structures[key] for key in sorted(row)) for row in near]
        feet_m, placed = self.job.placed.feet_m, self.job.placed.mounts
        found: list[tuple[object, ...]] = []
        for n in range(len(self.hops.ids)):
            mounts, carriers = self._ends(n)
            found.append(
                (
                    tuple(self.start_m[n].tolist()), tuple(self.end_m[n].tolist()), float(self.wavelength_m[n]),
                    tuple((one, feet_m[one.id]) for one in self.near[n]), mounts, carriers,
                    tuple(placed[mount.id].foot_m for mount in mounts), self.around.ground, self._feet(n),
                    self.job.defaults, self.way.hops[n], float(self.level.margin_db[n]), float(self.level.sigma_db[n]),
                )
            )  # fmt: skip
        return found

    def _ground(self, stale: Sequence[int]) -> Surface:
        if not isinstance(self.around.ground, LevelGround):
            return self.around.ground
        known: dict[tuple[float, float], float] = {}
        for n in stale:
            for at, foot in zip((self.start_m[n], self.end_m[n]), self._feet(n), strict=True):
                known[float(at[0]), float(at[1])] = foot
        return FootToFoot.of(known)

    def make(self, stale: list[int]) -> list[HopChance]:
        """Return the chances of some hops, each worked out by itself."""
        return [
            HopChance(*chance_of(hop)) if self.known[n] else HopChance(math.nan, math.nan, "")
            for n, hop in zip(stale, self.hops_of(stale), strict=True)
        ]

    def hops_of(self, rows: list[int]) -> list[OneHop]:
        """Return some hops with all that their chances follow from."""
        chosen = Rays(*(part[rows] for part in (self.start_m, self.end_m, self.wavelength_m)))
        ground = ground_clearances(self._ground(rows), chosen, k=STANDARD_K)
        solids: dict[int, list[Solid]] = {n: [] for n in rows}
        self._put(solids, self.around.now, self.now, trees=False)
        self._put(solids, self.around.grown, self.grown, trees=True)
        return [self._one(n, solids[n], _nearest_ground(ground, m)) for m, n in enumerate(rows)]

    def _put(self, solids: dict[int, list[Solid]], stand: Stand, pairs: Pairs, *, trees: bool) -> None:
        """Put what stands near for good to each hop; trees as they will be stand in for those of this year."""
        wanted = np.zeros(len(self.hops.ids), bool)
        wanted[list(solids)] = self.known[list(solids)]
        kind, thing = of_solids(stand.kind, pairs), of_solids(stand.thing, pairs)
        keep = wanted[pairs.ray] & ~np.isin(kind, PASSING)
        if not trees:
            keep &= kind != SolidKind.TREES
        ids = stand.standing.solids.ids
        flat, upright = np.flatnonzero(keep & (pairs.family == 0)), np.flatnonzero(keep & (pairs.family == 1))
        mine = Pairs(pairs.ray[flat], pairs.family[flat], pairs.solid[flat])
        found = clearances(stand.bodies, Rays(self.start_m, self.end_m, self.wavelength_m), mine, k=STANDARD_K)
        counts = np.isfinite(found.ratio) & ~(found.holds_start | found.holds_end)
        for m in np.flatnonzero(counts).tolist():
            at = Nearest(
                *(float(part[m]) for part in (found.ratio, found.zone_m, found.from_start_m, found.from_end_m))
            )
            screen = float(found.v_top[m]), float(found.v_left[m]), float(found.v_right[m])
            row = flat[m]
            solid = Solid(ids[thing[row]], stand.bodies, 0, int(pairs.solid[row]), bool(trees), at, screen)
            solids[int(pairs.ray[row])].append(solid)
        self._put_uprights(solids, stand, Pairs(pairs.ray[upright], pairs.family[upright], pairs.solid[upright]))

    def _put_uprights(self, solids: dict[int, list[Solid]], stand: Stand, pairs: Pairs) -> None:
        course = Course(self.start_m[pairs.ray], self.end_m[pairs.ray], self.wavelength_m[pairs.ray])
        found = drawn_upright(course, np.zeros(len(pairs)), stand.bodies, pairs.solid, BRACKET_M)
        at, ids, things = found.screens, stand.standing.solids.ids, of_solids(stand.thing, pairs)
        length_m = at.from_start_m + at.from_end_m
        zone_m = np.sqrt(
            course.wavelength_m * at.from_start_m * at.from_end_m / np.where(length_m > 0.0, length_m, 1.0)
        )
        columns = (found.ratio, zone_m, at.from_start_m, at.from_end_m, at.top, at.left, at.right)
        table = np.array(columns).T
        for m in np.flatnonzero(np.isfinite(found.ratio)).tolist():
            row = table[m].tolist()
            key, place = ids[things[m]], int(pairs.solid[m])
            one = Solid(key, stand.bodies, 1, place, False, Nearest(*row[:4]), (row[4], row[5], row[6]))
            solids[int(pairs.ray[m])].append(one)

    def _one(self, n: int, solids: list[Solid], ground: Nearest) -> OneHop:
        mounts, carriers = self._ends(n)
        a, s = (self.job.placed.mounts[one.id] for one in mounts)
        over_foot_m = a.elevation_m - a.foot_m, s.elevation_m - s.foot_m
        return OneHop(
            start_m=self.start_m[n],
            end_m=self.end_m[n],
            wavelength_m=float(self.wavelength_m[n]),
            frequency_mhz=float(self.hops.centre_mhz[n]),
            free=self.job.defaults.free_zone_fraction,
            tape_m=self.job.defaults.tape_sigma_m,
            unknowns=unknowns_of(mounts, carriers, over_foot_m, self.near[n], self.job.defaults),
            carriers=(carriers[0].id, carriers[1].id),
            ground=ground,
            solids=tuple(solids),
            way=self.way.hops[n],
            margin_db=float(self.level.margin_db[n]),
            sigma_db=float(self.level.sigma_db[n]),
        )


def _nearest_ground(found: GroundClearances, m: int) -> Nearest:
    ratio = float(found.ratio[m])
    if not math.isfinite(ratio):
        return Nearest(math.inf, math.nan, math.nan, math.nan)
    return Nearest(ratio, float(found.zone_m[m]), float(found.from_start_m[m]), float(found.from_end_m[m]))
