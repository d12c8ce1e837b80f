"""What stands in the way of every hop."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from survey_app.assess.gather import HopArrays, RadioArrays
from survey_app.assess.in_the_way.asked import asked_of
from survey_app.assess.in_the_way.judgement import Judgement
from survey_app.assess.in_the_way.stand import pairs_near
from survey_app.assess.in_the_way.surroundings import Surroundings
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.obstruction import HopObstruction, Obstruction, obstruction_of_rows
from survey_app.ground.clearance import Rays
from survey_app.physics.free_space import wavelength_m

__all__ = ["obstructions"]

_NOMINAL_MHZ = 5500.0  # where no channel is chosen, so that at least what cuts the ray is known


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
    asked = asked_of(job, around, radios, hops, rays, now, grown)

    def make(stale: list[int]) -> Sequence[HopObstruction]:
        return Judgement(around, asked, rays, now, grown, stale).rows()

    return obstruction_of_rows(memo.each(stage, hops.ids, asked, make))
