"""The pole that an antenna is drawn inside of: it is carried by it and looks past it."""

from __future__ import annotations

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.solids import IntArray, Uprights

__all__ = ["carriers"]


def carriers(uprights: Uprights, points_m: FloatArray) -> IntArray:
    """Return the pole or mast round whose axis each point lies, as a place in `Solids.ids`; -1 = none.

    An antenna whose side of the pole nobody noted is drawn on its axis; that pole is then no obstacle to it.

    Parameters
    ----------
    uprights : Uprights
        All of a site.
    points_m : ndarray of float, shape (n, 3)
        [m]
    """
    if not len(uprights):
        return np.full(len(points_m), -1, np.int64)
    away = np.hypot(*(points_m[:, None, :2] - uprights.centre_m).transpose(2, 0, 1))
    inside = away <= np.maximum(uprights.radius_foot_m, uprights.radius_top_m)
    nearest = np.argmin(np.where(inside, away, np.inf), axis=1)
    return np.where(inside.any(axis=1), uprights.thing[nearest], -1).astype(np.int64)
