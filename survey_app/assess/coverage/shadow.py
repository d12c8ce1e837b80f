"""What radios do not see round them out to the end of their reach: the shadows on the plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
import shapely

from survey_app.assess.coverage.around import STANDING_KINDS, what_stands
from survey_app.assess.coverage.pair import far_end_of
from survey_app.assess.job import Job
from survey_app.ground.visibility.seen import what_is_seen
from survey_app.physics.geometry import STANDARD_K
from survey_app.site.site import Site

__all__ = ["radio_shadows"]


def radio_shadows(
    site: Site,
    reach_m: Mapping[str, float],
    *,
    over_ground_m: float | None = None,
    with_later: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> dict[str, shapely.Geometry]:
    """Return what radios do not see of far ends as high over the ground as their lowest one, or as is asked for.

    Parameters
    ----------
    site : Site
        The document.
    reach_m : mapping of str to float
        Radios, and how far each is looked for. [m]
    over_ground_m : float or None
        Height of far ends over the ground, >= 0; None = that of each radio's lowest. [m]
    with_later : bool
        Count things with status `later` as present.
    progress : callable or None
        Told how many radios are done, of how many; what it raises ends the work.

    Returns
    -------
    dict of str to shapely.Geometry
        Hidden area of the plan, by radio; a radio that hangs indoors or has no place is left out, for there walls
        decide. Where the ground is not known nothing is said to be hidden.
    """
    job = Job(site, with_later)
    around = what_stands(job)
    found = {}
    for n, (radio_id, radius_m) in enumerate(reach_m.items()):
        if progress is not None:
            progress(n, len(reach_m))
        radio = job.radios.get(radio_id)
        if radio is None or job.mounts[radio.mount].environment == "indoors" or not radius_m > 0.0:
            continue
        spot = job.placed.mounts[radio.mount]
        eye = np.array([spot.x_m, spot.y_m, spot.elevation_m])
        over_m = over_ground_m if over_ground_m is not None else far_end_of(job, radio_id).over_ground_m
        sight = what_is_seen(around.solids, around.ground, eye, over_m, radius_m, kinds=STANDING_KINDS, k=STANDARD_K)
        found[radio_id] = sight.hidden
    return found
