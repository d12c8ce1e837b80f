"""Which solids can bound a ray at all: those that stand within so many zone radii of it."""

from __future__ import annotations

import numpy as np

from survey_app.ground.clearance_given import Pairs, Rays
from survey_app.ground.ray import RayIndex, near

__all__ = ["pairs_near"]


def pairs_near(index: RayIndex, rays: Rays, *, zones: float = 2.0, farther_m: float = 0.0) -> Pairs:
    r"""Return the pairs whose ratio can be below a number of zone radii.

    Parameters
    ----------
    index : RayIndex
        Of the solids that the clearances are asked for.
    rays : Rays
        A ray with NaN has no pairs.
    zones : float, default 2
        >= 0. [1]
    farther_m : float, default 0
        How much farther off on the plan a solid may stand and be taken all the same, >= 0. [m]

    Returns
    -------
    Pairs
        Every solid with a ratio below `zones`, and some with a greater one; the same for a ray and its reverse.

    Notes
    -----
    The first zone is widest at mid path, :math:`\sqrt{\lambda D} / 2`. A solid square to the ray at that distance is no
    farther from it on the plan, and the earth's lift moves nothing on the plan.
    """
    length_m = np.sqrt(np.sum((rays.end_m - rays.start_m) ** 2, axis=1))
    with np.errstate(invalid="ignore"):
        reach_m = zones * np.sqrt(rays.wavelength_m * length_m) / 2.0 + farther_m
    found = near(index, rays.start_m, rays.end_m, reach_m)
    return Pairs(found.ray.astype(np.int64), found.family.astype(np.int64), found.body.astype(np.int64))
