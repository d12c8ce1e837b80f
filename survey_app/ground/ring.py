"""A ring of positions on the plane, whichever way they were written."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.plane import Plane, to_plane
from survey_app.site.place import GeoPoint, Position

__all__ = ["ring_on_plane"]


def ring_on_plane(plane: Plane | None, ring: Sequence[Position]) -> FloatArray:
    """Return the corners of a ring.

    Parameters
    ----------
    plane : Plane or None
        The anchored plane; without it a corner in degrees is NaN.
    ring : sequence of Position
        Corners in order.

    Returns
    -------
    ndarray of float, shape (corners, 2)
        [m]
    """
    points = np.full((len(ring), 2), np.nan)
    degrees = [n for n, corner in enumerate(ring) if isinstance(corner, GeoPoint)]
    for n, corner in enumerate(ring):
        if not isinstance(corner, GeoPoint):
            points[n] = corner.x_m, corner.y_m
    if degrees and plane is not None:
        written = [corner for corner in ring if isinstance(corner, GeoPoint)]
        x_m, y_m = to_plane(plane, [one.lat_deg for one in written], [one.lon_deg for one in written])
        points[degrees] = np.column_stack((x_m, y_m))
    return points
