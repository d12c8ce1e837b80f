"""Areas where a value on a grid is high enough, as outlines through the exact crossing values."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import shapely

from survey_app.ground._arrays import FloatArray

__all__ = ["area_above"]


def area_above(
    across: FloatArray,
    up: FloatArray,
    values: FloatArray,
    mapped: Callable[[FloatArray], FloatArray] | None = None,
) -> shapely.Geometry:
    """Return where values between the points of a grid are positive.

    Parameters
    ----------
    across : ndarray of float, shape (columns,)
        Where the columns stand, rising.
    up : ndarray of float, shape (rows,)
        Where the rows stand, rising.
    values : ndarray of float, shape (rows, columns)
        NaN = not known: no area there.
    mapped : callable, optional
        Takes corners of the outlines, shape (n, 2), to where they lie on the plan.

    Returns
    -------
    shapely.Geometry
        Marching squares, values taken linear along the lines of the grid.

    Examples
    --------
    >>> area_above(np.arange(3.0), np.arange(3.0), np.array([[-1, 0, 1], [-1, 0, 1], [-1, 0, 1.0]])).area
    2.0
    """
    from contourpy import FillType, contour_generator

    if min(values.shape) < 2 or not np.isfinite(values).any():
        return shapely.Polygon()
    field = np.ma.masked_invalid(values)
    generator = contour_generator(across, up, field, fill_type=FillType.OuterOffset)
    found = []
    for points, offsets in zip(*generator.filled(0.0, np.inf), strict=True):
        corners = points if mapped is None else mapped(points)
        rings = [corners[a:b] for a, b in zip(offsets[:-1].tolist(), offsets[1:].tolist(), strict=True)]
        area = shapely.Polygon(rings[0], rings[1:])
        found.append(area if area.is_valid else shapely.make_valid(area))
    parts = [part for part in shapely.get_parts(found) if isinstance(part, shapely.Polygon)]
    # outlines of one field lie apart or touch in single points
    return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)
