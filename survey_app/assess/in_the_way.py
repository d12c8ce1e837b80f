"""What stands in the way of every hop: clearances of all solids and of the ground, and what they cost."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from survey_app.assess.gather import HopArrays, RadioArrays
from survey_app.assess.indoors import Indoors, Inside, indoors_of, inside_by_building
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.obstruction import NOWHERE, HopObstruction, NearPlace, Obstruction, obstruction_of_rows
from survey_app.assess.record import ObstacleKind, ObstacleRow, Side
from survey_app.assess.through_walls import Ray, ThroughWalls, through_walls
from survey_app.ground import clearance_pairs
from survey_app.ground.clearance import BRACKET_M, Bodies, Clearances, Pairs, Rays, clearances
from survey_app.ground.clearance_ground import GroundClearances, ground_clearances
from survey_app.ground.ray.crossings import crossings
from survey_app.ground.ray.index import RayIndex, ray_index
from survey_app.ground.ray.near import near
from survey_app.ground.relief.of_design import surface_of
from survey_app.ground.relief.profiles import Profiles, level_profiles
from survey_app.ground.relief.surface import LevelGround, Surface
from survey_app.ground.shell import shell_of
from survey_app.ground.solids import SolidKind
from survey_app.ground.standing import OutlineFault, PieceMemo, Season, Standing, standing
from survey_app.physics.arrays import FloatArray
from survey_app.physics.diffraction import clearance_parameter
from survey_app.physics.diffraction_method import METHODS, NONE, UNKNOWN, obstacle_loss_db
from survey_app.physics.foliage_range import foliage_loss_range_db
from survey_app.physics.free_space import SPEED_OF_LIGHT_M_PER_S, wavelength_m
from survey_app.site.structure import Building, Obstacle, Structure, TreeStand

__all__ = [
    "PASSING",
    "FootToFoot",
    "Stand",
    "Surroundings",
    "ground_at_ends",
    "obstructions",
    "of_solids",
    "pairs_near",
    "surroundings_of",
    "things_near",
]

STANDARD_K = 4.0 / 3.0
_LOOKED_AT_ZONES = 3.0  # what stays farther off than this many zone radii is not worth a line
_SHOWN = 8
_LOWEST_MHZ = 2400.0
_NOMINAL_MHZ = 5500.0  # where no channel is chosen, so that at least what cuts the ray is known
_KINDS: Mapping[int, ObstacleKind] = {
    SolidKind.BUILDING: "building",
    SolidKind.PARAPET: "parapet",
    SolidKind.UPRIGHT: "upright",
    SolidKind.TREES: "trees",
    SolidKind.OBSTACLE: "obstacle",
    SolidKind.TRAFFIC: "traffic",
    SolidKind.WIRE: "wire",
}
_SIDES: tuple[Side, ...] = ("over", "right", "under", "left")


@dataclass(frozen=True)
class Stand:
    """What stands in one season, ready to be held against rays."""

    standing: Standing
    bodies: Bodies
    index: RayIndex

    @classmethod
    def of(cls, standing: Standing) -> Stand:
        """Return a season's solids."""
        return cls(standing, Bodies.of(standing.solids), ray_index(standing.solids))

    @cached_property
    def thing(self) -> tuple[np.ndarray, ...]:
        """Place of the thing of each solid, by family."""
        solids = self.standing.solids
        return solids.prisms.thing, solids.uprights.thing, solids.wires.thing

    @cached_property
    def kind(self) -> tuple[np.ndarray, ...]:
        """Kind of each solid, by family."""
        solids = self.standing.solids
        return (
            solids.prisms.kind,
            np.full(len(solids.uprights), int(SolidKind.UPRIGHT)),
            np.full(len(solids.wires), int(SolidKind.WIRE)),
        )


@dataclass(frozen=True)
class Surroundings:
    """What stands round the hops of a site, now and grown, and the ground.

    Attributes
    ----------
    structures : mapping of str to Structure
        Those that are there, by id.
    now, grown : Stand
        All of them in leaf; the trees alone after the site's years of growth.
    ground : Surface
        The relief, or flat ground.
    inside : mapping of str to Inside
        What divides the buildings in which anything is drawn.
    """

    structures: Mapping[str, Structure]
    now: Stand
    grown: Stand
    ground: Surface
    inside: Mapping[str, Inside]

    @property
    def faults(self) -> tuple[OutlineFault, ...]:
        """What could not be taken as it was drawn."""
        return self.now.standing.faults


def surroundings_of(job: Job, memo: Fresh) -> Surroundings:
    """Return what stands round the hops of a site."""
    design = job.design
    years = job.defaults.growth_years
    now = standing(design.structures, job.placed, with_later=job.with_later, memo=memo.held("solids now", PieceMemo))
    trees = [one for one in design.structures if isinstance(one, TreeStand)]
    grown = standing(
        trees, job.placed, Season(years=years), with_later=job.with_later, memo=memo.held("solids grown", PieceMemo)
    )
    return Surroundings(
        structures=job.structures,
        now=Stand.of(now),
        grown=Stand.of(grown),
        ground=surface_of(design),
        inside=inside_by_building(design.rooms, design.walls, design.openings, job.placed.outlines),
    )


@dataclass(frozen=True)
class _Asked:
    """One hop as it is asked about: everything that its answer depends on.

    Attributes
    ----------
    start_m, end_m : (x, y, height)
        Antenna of the access point and of the station. [m]
    wavelength_m : float
        NaN where no channel is chosen. [m]
    centre_mhz, width_mhz : float
        Channel; the centre is NaN where none is chosen. [MHz]
    near : tuple of (Structure, float)
        What stands near, and its foot over the datum.
    inside : tuple of Inside
        What divides the buildings among them.
    carriers : tuple of str
        Structures that carry an end.
    ground : Surface
        The relief.
    feet_m : (float, float)
        Ground at both ends where the relief is flat. [m]
    low_k, years, free : float
        The site's figures of judgement.
    """

    start_m: tuple[float, float, float]
    end_m: tuple[float, float, float]
    wavelength_m: float
    centre_mhz: float
    width_mhz: float
    near: tuple[tuple[Structure, float], ...]
    inside: tuple[Inside, ...]
    carriers: tuple[str, str]
    ground: Surface
    feet_m: tuple[float, float]
    low_k: float
    years: float


def obstructions(
    job: Job,
    around: Surroundings,
    radios: RadioArrays,
    hops: HopArrays,
    memo: Fresh,
    *,
    stage: str = "obstruction",
) -> Obstruction:
    """Return what stands in the way of every hop.

    Parameters
    ----------
    job : Job
        The indexed site.
    around : Surroundings
        What stands round the hops.
    radios, hops : RadioArrays, HopArrays
        The site as arrays.
    memo : Fresh
        What is known from an earlier value of the site; a hop is known by what stands near it.
    stage : str
        Name under which the memo keeps the answers.
    """
    if not len(hops.ids):
        return obstruction_of_rows(())
    spots = np.column_stack((radios.x_m, radios.y_m, radios.elevation_m))
    start, end = spots[hops.access_point], spots[hops.station]
    rays = Rays(start, end, wavelength_m(np.where(np.isfinite(hops.centre_mhz), hops.centre_mhz, _NOMINAL_MHZ)))
    now, grown = pairs_near(around.now, rays), pairs_near(around.grown, rays)
    asked = _asked(job, around, radios, hops, rays, now, grown)

    def make(stale: list[int]) -> Sequence[HopObstruction]:
        return _Judgement(around, asked, rays, now, grown, stale).rows()

    return obstruction_of_rows(memo.each(stage, hops.ids, asked, make))


def things_near(around: Surroundings, start_m: FloatArray, end_m: FloatArray) -> set[str]:
    """Return the structures that may count for rays, at any frequency of the bands.

    Parameters
    ----------
    around : Surroundings
        What stands round the hops.
    start_m, end_m : ndarray of float, shape (rays, 3)
        x, y, height over the site datum. [m]
    """
    rays = Rays(start_m, end_m, np.full(len(start_m), SPEED_OF_LIGHT_M_PER_S / (_LOWEST_MHZ * 1e6)))
    found: set[str] = set()
    for stand in (around.now, around.grown):
        ids = stand.standing.solids.ids
        found |= {ids[thing] for thing in np.unique(of_solids(stand.thing, pairs_near(stand, rays))).tolist()}
    return found


def pairs_near(stand: Stand, rays: Rays, farther_m: float = 0.0) -> Pairs:
    """Return what stands so near to each ray that it may count, or that much farther off on the plan."""
    return clearance_pairs.pairs_near(stand.index, rays, zones=_LOOKED_AT_ZONES, farther_m=farther_m)


def _asked(
    job: Job,
    around: Surroundings,
    radios: RadioArrays,
    hops: HopArrays,
    rays: Rays,
    now: Pairs,
    grown: Pairs,
) -> list[_Asked]:
    near: list[dict[str, None]] = [{} for _ in range(len(rays))]
    for stand, pairs in ((around.now, now), (around.grown, grown)):
        ids, things = stand.standing.solids.ids, of_solids(stand.thing, pairs)
        for ray, thing in zip(pairs.ray.tolist(), things.tolist(), strict=True):
            near[ray][ids[thing]] = None
    feet_m = job.placed.feet_m
    carrier = [job.mounts[job.radios[key].mount].structure for key in radios.ids]
    low = ground_at_ends(job, around, radios) if isinstance(around.ground, LevelGround) else None
    known = np.isfinite(hops.centre_mhz)
    found = []
    for n, ends in enumerate(zip(hops.access_point.tolist(), hops.station.tolist(), strict=True)):
        a, s = ends
        found.append(
            _Asked(
                start_m=tuple(rays.start_m[n].tolist()),
                end_m=tuple(rays.end_m[n].tolist()),
                wavelength_m=float(rays.wavelength_m[n]) if known[n] else math.nan,
                centre_mhz=float(hops.centre_mhz[n]),
                width_mhz=float(hops.width_mhz[n]),
                near=tuple((around.structures[key], feet_m[key]) for key in sorted(near[n])),
                inside=tuple(around.inside[key] for key in sorted(near[n]) if key in around.inside),
                carriers=(carrier[a], carrier[s]),
                ground=around.ground,
                feet_m=(low[a], low[s]) if low is not None else (math.nan, math.nan),
                low_k=job.defaults.low_k,
                years=job.defaults.growth_years,
            )
        )
    return found


def of_solids(values: tuple[np.ndarray, ...], pairs: Pairs) -> np.ndarray:
    """Return what belongs to the solid of each pair."""
    found = np.zeros(len(pairs), np.int64)
    for family, row in enumerate(values):
        here = pairs.family == family
        found[here] = row[pairs.solid[here]]
    return found


def ground_at_ends(job: Job, around: Surroundings, radios: RadioArrays) -> list[float]:
    """Return the flat ground under every radio: the foot of what carries it, or of what that stands on."""
    spots = np.column_stack((radios.x_m, radios.y_m, radios.elevation_m))
    under = near(around.now.index, spots, spots, 0.0)
    feet_m = job.placed.feet_m
    ids, things = (
        around.now.standing.solids.ids,
        of_solids(around.now.thing, Pairs(under.ray, under.family.astype(np.int64), under.body)),
    )
    low = [feet_m[job.mounts[job.radios[key].mount].structure] for key in radios.ids]
    for radio, thing in zip(under.ray.tolist(), things.tolist(), strict=True):
        if isinstance(around.structures[ids[thing]], Building | Obstacle):
            low[radio] = min(low[radio], feet_m[ids[thing]])
    return low


class _Rows:
    """Pairs of some rays with what was found of them, sorted by ray and then by ratio."""

    def __init__(self, stand: Stand, rays: Rays, pairs: Pairs, wanted: np.ndarray, k: float) -> None:
        mine = np.flatnonzero(wanted[pairs.ray])
        self.pairs = Pairs(pairs.ray[mine], pairs.family[mine], pairs.solid[mine])
        self.found: Clearances = clearances(stand.bodies, rays, self.pairs, k=k)
        self.kind = of_solids(stand.kind, self.pairs)
        self.thing = of_solids(stand.thing, self.pairs)
        self.ids = stand.standing.solids.ids
        # an antenna inside a building looks through its walls, one on a pole's axis past it: neither is in the way
        held = self.found.holds_start | self.found.holds_end
        self.counts = np.isfinite(self.found.ratio) & ~held
        order = np.lexsort((self.pairs.solid, self.pairs.family, self.found.ratio, self.pairs.ray))
        self.order = order[self.counts[order]]
        self.first = np.searchsorted(self.pairs.ray[self.order], np.arange(len(rays) + 1))

    def of(self, ray: int) -> np.ndarray:
        """Return the pairs of a ray that count, the nearest first."""
        return self.order[self.first[ray] : self.first[ray + 1]]


_CLOSED = (int(SolidKind.BUILDING), int(SolidKind.PARAPET), int(SolidKind.OBSTACLE))
PASSING = (int(SolidKind.TRAFFIC), int(SolidKind.WIRE))
_NO_SCREEN = (int(SolidKind.TREES), *PASSING)
_GROUND = "ground"


@dataclass(frozen=True)
class FootToFoot(LevelGround):
    """Ground that nobody measured: straight from the foot of one end to that of the other.

    Attributes
    ----------
    feet_m : mapping of (x, y) to float
        Ground under every end. [m]
    """

    feet_m: Mapping[tuple[float, float], float] = field(default_factory=dict)

    @classmethod
    def of(cls, feet_m: Mapping[tuple[float, float], float]) -> FootToFoot:
        """Return the ground between such feet."""
        return cls(math.nan, "straight between the feet", feet_m)

    def profiles(self, start_m: FloatArray, end_m: FloatArray) -> Profiles:
        """Return the ground under lines."""
        ends = zip(map(tuple, start_m.tolist()), map(tuple, end_m.tolist()), strict=True)
        heights = np.array([(self.feet_m[a], self.feet_m[b]) for a, b in ends], np.float64).reshape(-1)
        found = level_profiles(len(start_m), 0.0)
        return Profiles(found.first, found.part, heights, np.where(np.isfinite(heights), 0.0, np.nan))


class _Judgement:
    """The hops that are to be judged anew; each answer is worked out by itself and does not depend on the others."""

    def __init__(
        self, around: Surroundings, asked: Sequence[_Asked], rays: Rays, now: Pairs, grown: Pairs, stale: Sequence[int]
    ) -> None:
        self.around, self.asked, self.rays, self.stale = around, asked, rays, stale
        wanted = np.zeros(len(rays), bool)
        wanted[list(stale)] = True
        low_k = asked[stale[0]].low_k
        self.now = _Rows(around.now, rays, now, wanted, STANDARD_K)
        self.low = _Rows(around.now, rays, now, wanted, low_k)
        self.grown = _Rows(around.grown, rays, grown, wanted, STANDARD_K)
        chosen = Rays(*(part[list(stale)] for part in (rays.start_m, rays.end_m, rays.wavelength_m)))
        self.crossed = crossings(around.now.index, chosen.start_m, chosen.end_m)
        ground = self._ground(chosen)
        self.ground = ground_clearances(ground, chosen, k=STANDARD_K)
        self.ground_low = ground_clearances(ground, chosen, k=low_k)
        self.frequency_mhz = np.array([SPEED_OF_LIGHT_M_PER_S / 1e6 / asked[n].wavelength_m for n in stale])
        self.along = np.array([_flat_part(asked[n]) for n in stale])
        self.indoors: dict[str, Indoors | None] = {}

    def _ground(self, chosen: Rays) -> Surface:
        """Return the relief; where there is none, ground that runs straight from foot to foot."""
        if not isinstance(self.around.ground, LevelGround):
            return self.around.ground
        ends = np.stack((chosen.start_m[:, :2], chosen.end_m[:, :2]), axis=1).reshape(-1, 2)
        feet_m = [foot for n in self.stale for foot in self.asked[n].feet_m]
        known = {(x, y): foot for (x, y), foot in zip(ends.tolist(), feet_m, strict=True)}
        return FootToFoot.of(known)

    def rows(self) -> list[HopObstruction]:
        """Return one answer per hop, in the order asked."""
        screens = [self._screens(m) for m in range(len(self.stale))]
        loss_db, method = self._diffraction(screens)
        depth_m = np.array([self._depth_m(m) for m in range(len(self.stale))])
        foliage = foliage_loss_range_db(depth_m, self.frequency_mhz, in_leaf=True)
        foliage_ends = foliage.low_db.tolist(), foliage.high_db.tolist()
        figures = zip(loss_db.tolist(), method.tolist(), depth_m.tolist(), *foliage_ends, strict=True)
        return [self._row(m, *row) for m, row in enumerate(figures)]

    def _screens(self, m: int) -> dict[str, tuple[float, float, float, float, float]]:
        """Return the obstacles of a hop as screens: v over the top, past left and right, distance to either end.

        A building and its parapet are one obstacle: over the higher top, past the outer sides.
        """
        rows, found = self.now, self.now.found
        screens: dict[str, tuple[float, float, float, float, float]] = {}
        for pair in rows.of(self.stale[m]).tolist():
            if rows.kind[pair] in _NO_SCREEN or not math.isfinite(found.v_top[pair]):
                continue
            key = rows.ids[rows.thing[pair]]
            new = (
                float(found.v_top[pair]), float(found.v_left[pair]), float(found.v_right[pair]),
                float(found.from_start_m[pair]), float(found.from_end_m[pair]),
            )  # fmt: skip
            known = screens.get(key)
            screens[key] = new if known is None else (*map(max, known[:3], new[:3]), *known[3:])  # type: ignore[assignment]
        ratio = float(self.ground.ratio[m])
        if math.isfinite(ratio):
            length = float(self.ground.from_start_m[m] + self.ground.from_end_m[m])
            at = min(max(float(self.ground.from_start_m[m]), 1.0), length - 1.0)
            screens[_GROUND] = (float(clearance_parameter(ratio)), math.inf, math.inf, at, length - at)
        return screens

    def _diffraction(
        self, screens: list[dict[str, tuple[float, float, float, float, float]]]
    ) -> tuple[FloatArray, Any]:
        table = np.array([row for hop in screens for row in hop.values()], dtype=float).reshape(-1, 5)
        offsets = np.cumsum([0, *(len(hop) for hop in screens)])
        return obstacle_loss_db(
            table[:, 0], table[:, 1], table[:, 2], 0.0, table[:, 3], table[:, 4], offsets, self.frequency_mhz
        )

    def _depth_m(self, m: int) -> float:
        """Return the length of the ray inside crowns."""
        spans = sorted(
            (float(self.crossed.inside_from[row]), float(self.crossed.inside_to[row]))
            for row in self._crossed(m, lambda kind: kind == SolidKind.TREES)
        )
        total, reached = 0.0, 0.0
        for begin, end in spans:
            total += max(0.0, end - max(begin, reached))
            reached = max(reached, end)
        one = self.asked[self.stale[m]]
        return total * math.dist(one.start_m, one.end_m)

    def _crossed(self, m: int, wanted: Callable[[int], bool]) -> list[int]:
        """Return the rows of what the ray runs through beyond its own brackets, of some kinds."""
        found, kind, one = self.crossed, self.around.now.kind, self.asked[self.stale[m]]
        bracket = BRACKET_M / math.dist(one.start_m, one.end_m)
        rows = range(int(found.start[m]), int(found.start[m + 1]))
        return [
            row
            for row in rows
            if found.inside_to[row] > bracket
            and found.inside_from[row] < 1.0 - bracket
            and wanted(int(kind[found.family[row]][found.body[row]]))
        ]

    def _nearest(self, rows: _Rows, m: int, leave_out: Callable[[int, str], bool]) -> NearPlace:
        """Return what comes nearest of what is not left out, by kind and id."""
        for pair in rows.of(self.stale[m]).tolist():
            key = rows.ids[rows.thing[pair]]
            if not leave_out(int(rows.kind[pair]), key):
                return NearPlace(
                    float(rows.found.ratio[pair]),
                    float(rows.found.from_start_m[pair]) * float(self.along[m]),
                    float(rows.found.clearance_m[pair]),
                    _side(float(rows.found.clock_deg[pair])),
                    key,
                )
        return NOWHERE

    def _over_ground(self, found: GroundClearances, m: int) -> NearPlace:
        ratio = float(found.ratio[m])
        if not math.isfinite(ratio):
            return NOWHERE
        place_m = float(found.from_start_m[m]) * float(self.along[m])
        return NearPlace(ratio, place_m, float(found.clearance_m[m]), "under", _GROUND)

    def _row(
        self, m: int, loss_db: float, method: int, depth_m: float, low_db: float, high_db: float
    ) -> HopObstruction:
        one = self.asked[self.stale[m]]
        bare_trees = {s.id for s, _ in one.near if isinstance(s, TreeStand) and s.leaf == "deciduous"}
        ground = self._over_ground(self.ground, m)
        now = _worse(self._nearest(self.now, m, lambda kind, _: kind in PASSING), ground)
        bare = _worse(self._nearest(self.now, m, lambda kind, key: kind in PASSING or key in bare_trees), ground)
        moving = _worse(self._nearest(self.now, m, lambda kind, _: kind == SolidKind.WIRE), ground)
        still = _worse(self._nearest(self.now, m, lambda kind, _: kind in _NO_SCREEN), ground)
        trees = self._nearest(self.grown, m, lambda _kind, _key: False)
        grown = _worse(trees, still)
        low = _worse(self._nearest(self.low, m, lambda kind, _: kind in PASSING), self._over_ground(self.ground_low, m))
        through = self._through(m)
        cut_at_m, cut_by = self._cut(m, through)
        known = math.isfinite(one.wavelength_m)
        return HopObstruction(
            diffraction_db=loss_db if known else math.nan,
            method="" if method in (NONE, UNKNOWN) else METHODS[method],
            foliage_low_db=low_db,
            foliage_high_db=high_db,
            foliage_depth_m=depth_m,
            through=through,
            ratio=now.ratio if known else math.nan,
            place_m=now.place_m,
            clearance_m=now.clearance_m,
            side=now.side,
            obstacle=now.obstacle,
            cut_at_m=cut_at_m,
            cut_by=cut_by,
            ratio_bare=bare.ratio if known else math.nan,
            ratio_grown=grown.ratio if known else math.nan,
            ratio_low_k=low.ratio if known else math.nan,
            ratio_moving=moving.ratio if known else math.nan,
            obstacles=self._obstacles(m, known=known),
            ground=ground if known else ground._replace(ratio=math.nan),
            grown=trees if known else trees._replace(ratio=math.nan),
            inside=self._inside(m),
        )

    def _through(self, m: int) -> ThroughWalls:
        """Return what the ray goes through in the buildings that its ends are inside of."""
        one = self.asked[self.stale[m]]
        start, end = ([self._indoors_of(key, one) for key in sorted(held)] for held in self._holders(m))
        ray = Ray(one.start_m, one.end_m, one.centre_mhz, one.width_mhz)
        return through_walls(ray, [one for one in start if one], [one for one in end if one])

    def _indoors_of(self, key: str, one: _Asked) -> Indoors | None:
        """Return a building from within, worked out once."""
        if key not in self.indoors:
            building, foot_m = next((s, foot_m) for s, foot_m in one.near if s.id == key)
            shell = shell_of(self.around.now.standing.solids, key)
            within = self.around.inside.get(key, Inside())
            known = isinstance(building, Building) and shell is not None
            self.indoors[key] = indoors_of(building, foot_m, shell, within) if known else None  # type: ignore[arg-type]
        return self.indoors[key]

    def _cut(self, m: int, through: ThroughWalls) -> tuple[float, str | None]:
        """Return where the ray first enters something that stands there for good, and what that is."""
        one = self.asked[self.stale[m]]
        held = self._held(m)
        rows = [
            row
            for row in self._crossed(m, lambda kind: kind not in PASSING)
            if self.now.ids[self.crossed.thing[row]] not in held
        ]
        at = [(float(self.crossed.inside_from[row]), self.now.ids[self.crossed.thing[row]]) for row in rows]
        ground = self.ground
        if math.isfinite(ground.clearance_m[m]) and ground.clearance_m[m] < 0.0:
            at.append((float(ground.from_start_m[m]) / math.dist(one.start_m, one.end_m), _GROUND))
        length_m = math.dist(one.start_m[:2], one.end_m[:2])
        places = [(part * length_m, key) for part, key in at] + [(wall.place_m, wall.thing) for wall in through.walls]
        return min(places) if places else (math.nan, None)

    def _inside(self, m: int) -> tuple[str | None, str | None]:
        """Return the building or obstacle that the first end is inside of, and the one that the other is."""
        rows, ray = self.now, self.stale[m]
        solid = np.isin(rows.kind, _CLOSED) & (rows.pairs.ray == ray)
        held = (solid & rows.found.holds_start, solid & rows.found.holds_end)
        first, last = (min((rows.ids[n] for n in rows.thing[one].tolist()), default=None) for one in held)
        return first, last

    def _held(self, m: int) -> set[str]:
        """Return the things that an end is inside of."""
        rows, ray = self.now, self.stale[m]
        mine = np.flatnonzero((rows.pairs.ray == ray) & (rows.found.holds_start | rows.found.holds_end))
        return {rows.ids[rows.thing[pair]] for pair in mine.tolist()}

    def _holders(self, m: int) -> tuple[set[str], set[str]]:
        """Return the buildings that the access point and the station are inside of."""
        rows, found = self.now, self.now.found
        mine = (rows.pairs.ray == self.stale[m]) & (rows.kind == int(SolidKind.BUILDING))
        ends = (np.flatnonzero(mine & held).tolist() for held in (found.holds_start, found.holds_end))
        start, end = ({rows.ids[rows.thing[pair]] for pair in pairs} for pairs in ends)
        return start, end

    def _obstacles(self, m: int, *, known: bool) -> tuple[ObstacleRow, ...]:
        """Return what comes nearest, each thing once, by rising ratio."""
        rows, one = self.now, self.asked[self.stale[m]]
        length_m = math.dist(one.start_m[:2], one.end_m[:2])
        spans: dict[str, tuple[float, float]] = {}
        for row in range(int(self.crossed.start[m]), int(self.crossed.start[m + 1])):
            key = rows.ids[self.crossed.thing[row]]
            enter, leave = float(self.crossed.enter[row]) * length_m, float(self.crossed.leave[row]) * length_m
            held = spans.get(key, (enter, leave))
            spans[key] = min(held[0], enter), max(held[1], leave)
        found: dict[str, ObstacleRow] = {}
        for pair in rows.of(self.stale[m]).tolist():
            key, ratio = rows.ids[rows.thing[pair]], float(rows.found.ratio[pair])
            if key in found or ratio > _LOOKED_AT_ZONES or len(found) == _SHOWN:
                continue
            span = spans.get(key)
            found[key] = ObstacleRow(
                thing=key,
                kind=_KINDS[int(rows.kind[pair])],
                own=key in one.carriers,
                place_m=float(rows.found.from_start_m[pair]) * float(self.along[m]),
                clearance_m=float(rows.found.clearance_m[pair]),
                ratio=ratio if known else None,
                side=_side(float(rows.found.clock_deg[pair])),
                enter_m=span[0] if span is not None else None,
                leave_m=span[1] if span is not None else None,
            )
        return tuple(found.values())


def _flat_part(one: _Asked) -> float:
    """Return metres along the ground for a metre along the ray."""
    length_m = math.dist(one.start_m, one.end_m)
    return math.dist(one.start_m[:2], one.end_m[:2]) / length_m if length_m > 0.0 else math.nan


def _side(clock_deg: float) -> Side:
    return _SIDES[int(((clock_deg + 45.0) % 360.0) // 90.0)]


def _worse(one: NearPlace, other: NearPlace) -> NearPlace:
    """Return the one that comes nearer; what does not come near at all is the better."""
    if math.isnan(one.ratio) or (other.ratio < one.ratio):
        return other
    return one
