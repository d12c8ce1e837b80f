"""The hops that are judged anew: what stands in the way of each, from what stands near it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from survey_app.assess.in_the_way.asked import Asked
from survey_app.assess.in_the_way.foot_to_foot import FootToFoot
from survey_app.assess.in_the_way.held import Held
from survey_app.assess.in_the_way.near_rows import near_rows, side_of
from survey_app.assess.in_the_way.passage import Passage
from survey_app.assess.in_the_way.screens import NO_SCREEN, diffraction_db, screens_of
from survey_app.assess.in_the_way.stand import PASSING
from survey_app.assess.in_the_way.surroundings import Surroundings
from survey_app.assess.indoors import Indoors, Inside, indoors_of
from survey_app.assess.obstruction import NOWHERE, HopObstruction, NearPlace
from survey_app.assess.through_walls import Ray, ThroughWalls, through_walls
from survey_app.ground.clearance import Pairs, Rays
from survey_app.ground.clearance_ground import GroundClearances, ground_clearances
from survey_app.ground.relief.surface import LevelGround, Surface
from survey_app.ground.shell import shell_of
from survey_app.ground.solids import SolidKind
from survey_app.physics.diffraction_method import METHODS, NONE, UNKNOWN
from survey_app.physics.foliage_range import foliage_loss_range_db
from survey_app.physics.free_space import SPEED_OF_LIGHT_M_PER_S
from survey_app.physics.geometry import STANDARD_K
from survey_app.site.structure import Building, TreeStand

__all__ = ["Judgement"]

_GROUND = "ground"


class Judgement:
    """The hops that are to be judged anew; each answer is worked out by itself and does not depend on the others."""

    def __init__(
        self, around: Surroundings, asked: Sequence[Asked], rays: Rays, now: Pairs, grown: Pairs, stale: Sequence[int]
    ) -> None:
        self.around, self.asked, self.rays, self.stale = around, asked, rays, stale
        wanted = np.zeros(len(rays), bool)
        wanted[list(stale)] = True
        low_k = asked[stale[0]].low_k
        self.now = Held(around.now, rays, now, wanted, STANDARD_K)
        self.low = Held(around.now, rays, now, wanted, low_k)
        self.grown = Held(around.grown, rays, grown, wanted, STANDARD_K)
        chosen = Rays(*(part[list(stale)] for part in (rays.start_m, rays.end_m, rays.wavelength_m)))
        self.passage = Passage(around.now, [asked[n] for n in stale], chosen)
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
        hops = range(len(self.stale))
        screens = [screens_of(self.now, self.stale[m], self.ground, m) for m in hops]
        loss_db, method = diffraction_db(screens, self.frequency_mhz)
        depth_m = np.array([self.passage.in_crowns_m(m) for m in hops])
        foliage = foliage_loss_range_db(depth_m, self.frequency_mhz, in_leaf=True)
        foliage_ends = foliage.low_db.tolist(), foliage.high_db.tolist()
        figures = zip(loss_db.tolist(), method.tolist(), depth_m.tolist(), *foliage_ends, strict=True)
        return [self._row(m, *row) for m, row in enumerate(figures)]

    def _nearest(self, rows: Held, m: int, leave_out: Callable[[int, str], bool]) -> NearPlace:
        """Return what comes nearest of what is not left out, by kind and id."""
        pair = rows.nearest(self.stale[m], leave_out)
        if pair is None:
            return NOWHERE
        return NearPlace(
            float(rows.found.ratio[pair]),
            float(rows.found.from_start_m[pair]) * float(self.along[m]),
            float(rows.found.clearance_m[pair]),
            side_of(float(rows.found.clock_deg[pair])),
            rows.ids[rows.thing[pair]],
        )

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
        still = _worse(self._nearest(self.now, m, lambda kind, _: kind in NO_SCREEN), ground)
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
            obstacles=near_rows(
                self.now, self.stale[m], self.passage.spans_m(m), one.carriers, float(self.along[m]), known=known
            ),
            ground=ground if known else ground._replace(ratio=math.nan),
            grown=trees if known else trees._replace(ratio=math.nan),
            inside=self.now.inside(self.stale[m]),
        )

    def _through(self, m: int) -> ThroughWalls:
        """Return what the ray goes through in the buildings that its ends are inside of."""
        one = self.asked[self.stale[m]]
        start, end = ([self._indoors_of(key, one) for key in sorted(held)] for held in self.now.holders(self.stale[m]))
        ray = Ray(one.start_m, one.end_m, one.centre_mhz, one.width_mhz)
        return through_walls(ray, [one for one in start if one], [one for one in end if one])

    def _indoors_of(self, key: str, one: Asked) -> Indoors | None:
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
        held = self.now.things_held(self.stale[m])
        rows = [
            row for row in self.passage.rows(m, lambda kind: kind not in PASSING) if self.passage.thing(row) not in held
        ]
        at = [(float(self.passage.found.inside_from[row]), self.passage.thing(row)) for row in rows]
        ground = self.ground
        if math.isfinite(ground.clearance_m[m]) and ground.clearance_m[m] < 0.0:
            at.append((float(ground.from_start_m[m]) / math.dist(one.start_m, one.end_m), _GROUND))
        length_m = math.dist(one.start_m[:2], one.end_m[:2])
        places = [(part * length_m, key) for part, key in at] + [(wall.place_m, wall.thing) for wall in through.walls]
        return min(places) if places else (math.nan, None)


def _flat_part(one: Asked) -> float:
    """Return metres along the ground for a metre along the ray."""
    length_m = math.dist(one.start_m, one.end_m)
    return math.dist(one.start_m[:2], one.end_m[:2]) / length_m if length_m > 0.0 else math.nan


def _worse(one: NearPlace, other: NearPlace) -> NearPlace:
    """Return the one that comes nearer; what does not come near at all is the better."""
    if math.isnan(one.ratio) or (other.ratio < one.ratio):
        return other
    return one
