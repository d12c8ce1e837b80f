"""How high the feet of structures stand: as written, else on the relief."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.relief.surface import LevelGround, Surface
from survey_app.site.structure import Mast, Pole, Structure, TrafficArea, TreeStand

__all__ = ["feet"]


def feet(
    structures: Sequence[Structure],
    ground: Surface,
    outlines: Mapping[str, FloatArray],
    points: Mapping[str, tuple[float, float]],
) -> dict[str, float]:
    """Return the foot of every structure over the site datum.

    Parameters
    ----------
    structures : sequence of Structure
        The structures; one with a height of its foot keeps it.
    ground : Surface
        The relief.
    outlines : mapping of str to ndarray of float, shape (corners, 2)
        Outlines and routes on the plane, by id. [m]
    points : mapping of str to (x, y)
        Feet of poles and masts on the plane, by id. [m]

    Returns
    -------
    dict of str to float
        By id; NaN where the relief does not say it. [m]

    Notes
    -----
    A pole or mast stands on the ground at its point. A building and a ground obstacle stand on the lowest ground inside
    their outline, so that their eaves and tops, which are level, keep their height over it. Trees and traffic follow
    the ground: the highest inside counts, so that what stands uphill is not overlooked. An overhead line hangs over the
    lowest ground along its route, since only its lowest wire is recorded.
    """
    found = {one.id: one.base_m for one in structures if one.base_m is not None}
    open_ = [one for one in structures if one.base_m is None]
    if isinstance(ground, LevelGround):
        found.update((one.id, ground.height_m) for one in open_)
    else:
        upright = [one.id for one in open_ if isinstance(one, Pole | Mast)]
        at = np.array([points[key] for key in upright], np.float64).reshape(-1, 2)
        found.update(zip(upright, ground.heights_m(*at.T).tolist(), strict=True))
        wide = [one for one in open_ if not isinstance(one, Pole | Mast)]
        extremes = ground.extremes_m([outlines[one.id] for one in wide]).tolist()
        for one, (low_m, high_m) in zip(wide, extremes, strict=True):
            found[one.id] = high_m if isinstance(one, TreeStand | TrafficArea) else low_m
    return {one.id: found[one.id] for one in structures}
