"""What stands round the hops of a site, and the ground under them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import RadioArrays
from survey_app.assess.in_the_way.stand import Stand, of_solids, pairs_near
from survey_app.assess.indoors import Inside, inside_by_building
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.ground.clearance import Pairs, Rays
from survey_app.ground.ray.near import near
from survey_app.ground.relief.of_design import surface_of
from survey_app.ground.relief.surface import Surface
from survey_app.ground.standing import OutlineFault, PieceMemo, Season, standing
from survey_app.physics.arrays import FloatArray
from survey_app.physics.free_space import SPEED_OF_LIGHT_M_PER_S
from survey_app.site.structure import Building, Obstacle, Structure, TreeStand

__all__ = ["Surroundings", "ground_at_ends", "surroundings_of", "things_near"]

_LOWEST_MHZ = 2400.0


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
        inside=inside_by_building(
            design.rooms, design.walls, design.openings, job.placed.outlines, with_later=job.with_later
        ),
    )


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
