"""Where the things of a design are on the plane: what a relief has to reach."""

from __future__ import annotations

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.place import place
from survey_app.site.edits.sharing import with_fields
from survey_app.site.site import Site

__all__ = ["drawn_points"]


def drawn_points(site: Site) -> FloatArray:
    """Return all corners and points that are drawn, shape (points, 2); empty where nothing is. [m]

    Landmarks stand far away and need no ground, pictures and notes neither.
    """
    design = with_fields(site.design, relief=None, landmarks=(), notes=())
    placed = place(Site(design=design))
    rows = list(placed.outlines.values())
    rows += [np.array([[point.x_m, point.y_m]]) for point in placed.points.values()]
    points: FloatArray = np.concatenate([np.empty((0, 2)), *rows])
    found: FloatArray = points[np.isfinite(points).all(axis=1)]
    return found
