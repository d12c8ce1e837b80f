"""The local plane of a site against latitude and longitude.

The plane is azimuthal equidistant about its anchor: distance and direction *from the anchor* are those on the
ellipsoid. Elsewhere plan north leaves true north by ``dlon * sin(lat)``, 0.0075 deg one kilometre off the anchor at
40 N, 0.15 deg at 20 km. So plot in the plane, and take every printed bearing from the geodesic.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UsageError
from survey_app.ground._arrays import FloatArray, broadcast
from survey_app.ground.bearings import reduce_bearing, turn
from survey_app.ground.geodesic import WGS84, direct, inverse, plan_line

__all__ = ["Plane", "plan_bearing", "to_geographic", "to_plane", "true_bearing"]

# Half of a meridian: beyond it a distance and a direction from the anchor name a point that nearer ones name too.
_REACH_M = 20_003_931.0
# Half the length of the short line whose direction stands for a direction at a point.
_STEP_M = 5.0


@dataclass(frozen=True, slots=True)
class Plane:
    """Where a site's plane touches the earth, and how it is turned.

    Parameters
    ----------
    lat_deg, lon_deg : float
        Anchor on WGS 84; latitude -90 to 90, longitude east positive, -180 to 180. [deg]
    rotation_deg : float, default 0
        True bearing of plan north at the anchor, clockwise positive: 30 means that the top of the plan looks 30 degrees
        east of true north. [deg]
    x_m, y_m : float, default 0
        Plane coordinates of the anchor. [m]

    Raises
    ------
    UsageError
        A value is not a finite number or lies outside its range.

    Examples
    --------
    >>> Plane(43.55, -69.6, rotation_deg=30.0).rotation_deg
    30.0
    """

    lat_deg: float
    lon_deg: float
    rotation_deg: float = 0.0
    x_m: float = 0.0
    y_m: float = 0.0

    def __post_init__(self) -> None:
        for name, limit in (("lat_deg", 90.0), ("lon_deg", 180.0), ("rotation_deg", 360.0), ("x_m", 1e7), ("y_m", 1e7)):
            value = getattr(self, name)
            if not (math.isfinite(value) and abs(value) <= limit):
                raise UsageError(f"{value} is not a number from {-limit:g} to {limit:g}", where=f"plane.{name}")


def to_plane(plane: Plane, lat_deg: ArrayLike, lon_deg: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Plane coordinates of points given by latitude and longitude.

    Parameters
    ----------
    plane : Plane
        The anchored plane.
    lat_deg, lon_deg : array_like of float, broadcast together
        WGS 84 latitude -90 to 90, and longitude. [deg]

    Returns
    -------
    x_m, y_m : ndarray of float, shape (...)
        Right and up on the plan; NaN where an input is NaN or beyond a pole. [m]

    Notes
    -----
    Azimuthal equidistant projection, [SNYDER1987]_ section 25, with the ellipsoid's own geodesics [KARNEY2013]_.
    Distances between two points 5 / 20 km off the anchor are wrong by less than 0.5 mm / 23 mm.

    Examples
    --------
    >>> x_m, y_m = to_plane(Plane(43.55, -69.6), 43.551, -69.6)
    >>> round(float(x_m), 3), round(float(y_m), 3)
    (0.0, 111.103)
    """
    line = inverse(plane.lat_deg, plane.lon_deg, lat_deg, lon_deg, ellipsoid=WGS84)
    at_anchor = line.ground_distance_m == 0
    angle = np.radians(np.where(at_anchor, 0.0, line.bearing_at_1_deg - plane.rotation_deg))
    x = plane.x_m + line.ground_distance_m * np.sin(angle)
    y = plane.y_m + line.ground_distance_m * np.cos(angle)
    return x, y


def to_geographic(plane: Plane, x_m: ArrayLike, y_m: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Latitude and longitude of points of the plane.

    Parameters
    ----------
    plane : Plane
        The anchored plane.
    x_m, y_m : array_like of float, broadcast together
        Plane coordinates. [m]

    Returns
    -------
    lat_deg, lon_deg : ndarray of float, shape (...)
        WGS 84 latitude, and longitude from -180 to 180; NaN where an input is NaN or further off the anchor than half
        round the earth. [deg]

    Notes
    -----
    Inverse of :func:`to_plane`, to some nanometres.

    Examples
    --------
    >>> lat_deg, lon_deg = to_geographic(Plane(43.55, -69.6, rotation_deg=90.0), 0.0, 100.0)
    >>> round(float(lat_deg), 6), round(float(lon_deg), 6)
    (43.55, -69.598763)
    """
    line = plan_line(plane.x_m, plane.y_m, x_m, y_m)
    at_anchor = line.ground_distance_m == 0
    bearing = np.where(at_anchor, 0.0, line.bearing_at_1_deg + plane.rotation_deg)
    length = np.where(line.ground_distance_m <= _REACH_M, line.ground_distance_m, np.nan)
    point = direct(plane.lat_deg, plane.lon_deg, bearing, length, ellipsoid=WGS84)
    return point.lat_deg, point.lon_deg


def true_bearing(plane: Plane, x_m: ArrayLike, y_m: ArrayLike, bearing_plan_deg: ArrayLike) -> FloatArray:
    """True bearing of a direction that is drawn on the plan.

    Parameters
    ----------
    plane : Plane
        The anchored plane.
    x_m, y_m : array_like of float, broadcast together
        Where the direction is drawn. [m]
    bearing_plan_deg : array_like of float, broadcast with them
        Bearing from plan north. [deg]

    Returns
    -------
    ndarray of float, shape (...)
        True bearing at that point, 0 <= bearing < 360; NaN where an input is NaN. [deg]

    Notes
    -----
    Plan bearing + rotation at the anchor; elsewhere the convergence of the meridians comes in. The direction is that of
    a line of 10 m about the point, good to 1e-6 deg.

    Examples
    --------
    >>> round(float(true_bearing(Plane(43.55, -69.6, rotation_deg=30.0), 0.0, 0.0, 350.0)), 6)
    20.0
    """
    x, y, bearing = broadcast(x_m, y_m, bearing_plan_deg)
    dx, dy = _STEP_M * np.sin(np.radians(bearing)), _STEP_M * np.cos(np.radians(bearing))
    lat1, lon1 = to_geographic(plane, x - dx, y - dy)
    lat2, lon2 = to_geographic(plane, x + dx, y + dy)
    line = inverse(lat1, lon1, lat2, lon2)
    # the two ends look at each other along one geodesic: the direction in its middle is the mean of both
    ahead = reduce_bearing(line.bearing_at_2_deg + 180.0)
    return reduce_bearing(line.bearing_at_1_deg + turn(line.bearing_at_1_deg, ahead) / 2.0)


def plan_bearing(plane: Plane, x_m: ArrayLike, y_m: ArrayLike, bearing_true_deg: ArrayLike) -> FloatArray:
    """Direction on the plan of a true bearing.

    Parameters
    ----------
    plane : Plane
        The anchored plane.
    x_m, y_m : array_like of float, broadcast together
        Where the direction is drawn. [m]
    bearing_true_deg : array_like of float, broadcast with them
        Bearing from true north at that point. [deg]

    Returns
    -------
    ndarray of float, shape (...)
        Bearing from plan north, 0 <= bearing < 360; NaN where an input is NaN. [deg]

    Notes
    -----
    Inverse of :func:`true_bearing`, by a line of 10 m about the point, good to 1e-6 deg.

    Examples
    --------
    >>> round(float(plan_bearing(Plane(43.55, -69.6, rotation_deg=30.0), 0.0, 0.0, 20.0)), 6)
    350.0
    """
    x, y, bearing = broadcast(x_m, y_m, bearing_true_deg)
    lat, lon = to_geographic(plane, x, y)
    behind = direct(lat, lon, bearing + 180.0, _STEP_M)
    ahead = direct(lat, lon, bearing, _STEP_M)
    x1, y1 = to_plane(plane, behind.lat_deg, behind.lon_deg)
    x2, y2 = to_plane(plane, ahead.lat_deg, ahead.lon_deg)
    return plan_line(x1, y1, x2, y2).bearing_at_1_deg
