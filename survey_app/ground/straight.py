"""One straight line on the plan, drawn from a point to another: where it points and how long it is."""

from __future__ import annotations

import math

__all__ = ["bearing_of", "distance_of"]

Point = tuple[float, float]


def bearing_of(a: Point, b: Point) -> float:
    """Return the plan bearing from one point to another.

    Parameters
    ----------
    a, b : tuple of float
        Right and up on the plane. [m]

    Returns
    -------
    float
        Clockwise from plan north, 0 to under 360; 0 where both points are the same. [deg]

    Examples
    --------
    >>> bearing_of((0.0, 0.0), (5.0, 0.0)), bearing_of((0.0, 0.0), (0.0, -5.0))
    (90.0, 180.0)
    """
    bearing_deg = math.degrees(math.atan2(b[0] - a[0], b[1] - a[1])) % 360.0
    # a hair west of north is reduced to 360 itself
    return 0.0 if bearing_deg == 360.0 else bearing_deg


def distance_of(a: Point, b: Point) -> float:
    """Return the distance between two points of the plane. [m]

    Examples
    --------
    >>> distance_of((0.0, 0.0), (3.0, 4.0))
    5.0
    """
    return math.hypot(b[0] - a[0], b[1] - a[1])
