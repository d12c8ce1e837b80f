"""Distance and bearings between two points: on the ellipsoid, and on a plane that nobody has anchored."""

from __future__ import annotations

import warnings
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from survey_app.ground._arrays import FloatArray, broadcast
from survey_app.ground.bearings import reduce_bearing

if TYPE_CHECKING:
    from pyproj import Geod

__all__ = ["WGS84", "Ellipsoid", "GroundLine", "GroundPoint", "direct", "inverse", "plan_line"]


class Ellipsoid(NamedTuple):
    """An ellipsoid of revolution: half of its long axis [m], and one over its flattening."""

    semi_major_axis_m: float
    inverse_flattening: float


WGS84 = Ellipsoid(6378137.0, 298.257223563)


class GroundLine(NamedTuple):
    """The line between two points: its length on the ground, and at each end the bearing to the other end.

    Attributes
    ----------
    ground_distance_m : ndarray of float
        Length. [m]
    bearing_at_1_deg, bearing_at_2_deg : ndarray of float
        Bearing at point 1 to point 2, and at point 2 to point 1, 0 <= bearing < 360; NaN where the points are one.
        [deg]
    """

    ground_distance_m: FloatArray
    bearing_at_1_deg: FloatArray
    bearing_at_2_deg: FloatArray


class GroundPoint(NamedTuple):
    """The far end of a line: where it lies, and the true bearing there back to the start.

    Attributes
    ----------
    lat_deg, lon_deg : ndarray of float
        Geodetic latitude, and longitude from -180 to 180. [deg]
    bearing_back_deg : ndarray of float
        True bearing at this point to the start, 0 <= bearing < 360; NaN where the points are one. [deg]
    """

    lat_deg: FloatArray
    lon_deg: FloatArray
    bearing_back_deg: FloatArray


@lru_cache(maxsize=8)
def _solver(ellipsoid: Ellipsoid) -> Geod:
    with warnings.catch_warnings():
        # geodesics need none of PROJ's data files, so that their absence is no news here
        warnings.filterwarnings("ignore", message="Valid PROJ data directory not found", category=UserWarning)
        from pyproj import Geod

    return Geod(a=ellipsoid.semi_major_axis_m, rf=ellipsoid.inverse_flattening)


def inverse(
    lat1_deg: ArrayLike, lon1_deg: ArrayLike, lat2_deg: ArrayLike, lon2_deg: ArrayLike, *, ellipsoid: Ellipsoid = WGS84
) -> GroundLine:
    """Ground distance and true bearings between two points given by latitude and longitude.

    Parameters
    ----------
    lat1_deg, lat2_deg : array_like of float, broadcast together
        Geodetic latitude, -90 to 90. [deg]
    lon1_deg, lon2_deg : array_like of float, broadcast together
        Longitude, east positive; any turn of 360 is taken off. [deg]
    ellipsoid : Ellipsoid, default WGS 84
        The figure on which the coordinates stand.

    Returns
    -------
    GroundLine
        Shortest distance on the ellipsoid [m] and, at each end, the true bearing to the other [deg]. NaN where an input
        is NaN, infinite or beyond a pole.

    Notes
    -----
    The bearing at the far end is that end's own solution. It is not the first one plus 180: meridians converge, over
    20 km at 48 N by 0.14 deg. Swapping the points swaps the bearings and leaves the distance, to the last bit.
    At a pole the bearing counts from the meridian that the longitude names.

    The distance is the one at the ellipsoid; 1,650 m higher the span is 0.026 % longer.

    Method: [KARNEY2013]_, good to some nanometres over the whole ellipsoid.

    Examples
    --------
    >>> line = inverse(48.1, 11.55, 48.23, 11.74)
    >>> round(float(line.ground_distance_m), 3), round(float(line.bearing_at_1_deg), 4)
    (20216.534, 44.2847)
    >>> round(float(line.bearing_at_2_deg), 4)
    224.4263
    """
    lat1, lon1, lat2, lon2 = broadcast(lat1_deg, lon1_deg, lat2_deg, lon2_deg)
    solver = _solver(ellipsoid)
    forward, _, distance = _solve(solver, lat1, lon1, lat2, lon2)
    # solved once more from the far end: the solver's own back bearing can differ in its last bit, and then a hop would
    # not be the same seen from either side
    backward, _, _ = _solve(solver, lat2, lon2, lat1, lon1)
    apart = distance > 0
    return GroundLine(
        distance,
        reduce_bearing(np.where(apart, forward, np.nan)),
        reduce_bearing(np.where(apart, backward, np.nan)),
    )


def _solve(
    solver: Geod, lat1: FloatArray, lon1: FloatArray, lat2: FloatArray, lon2: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    answer = solver.inv(np.ravel(lon1), np.ravel(lat1), np.ravel(lon2), np.ravel(lat2))
    forward, back, distance = (np.asarray(part, dtype=np.float64).reshape(lat1.shape) for part in answer)
    return forward, back, distance


def direct(
    lat_deg: ArrayLike,
    lon_deg: ArrayLike,
    bearing_deg: ArrayLike,
    ground_distance_m: ArrayLike,
    *,
    ellipsoid: Ellipsoid = WGS84,
) -> GroundPoint:
    """Point reached along a true bearing over a ground distance.

    Parameters
    ----------
    lat_deg, lon_deg : array_like of float, broadcast together
        Start: geodetic latitude -90 to 90, longitude east positive. [deg]
    bearing_deg : array_like of float, broadcast with them
        True bearing at the start. [deg]
    ground_distance_m : array_like of float, broadcast with them
        Distance along the ellipsoid, >= 0. [m]
    ellipsoid : Ellipsoid, default WGS 84
        The figure on which the coordinates stand.

    Returns
    -------
    GroundPoint
        Latitude, longitude from -180 to 180 and the bearing back. [deg] NaN where an input is NaN, infinite, beyond a
        pole or a negative distance.

    Notes
    -----
    Method: [KARNEY2013]_.

    Examples
    --------
    >>> point = direct(51.5, -0.12, 37.960199, 50.8003)
    >>> round(float(point.lat_deg), 6), round(float(point.lon_deg), 6)
    (51.50036, -0.11955)
    """
    lat, lon, bearing, distance = broadcast(lat_deg, lon_deg, bearing_deg, ground_distance_m)
    length = np.where(distance >= 0, distance, np.nan)
    answer = _solver(ellipsoid).fwd(np.ravel(lon), np.ravel(lat), np.ravel(bearing), np.ravel(length))
    lon2, lat2, back = (np.asarray(part, dtype=np.float64).reshape(lat.shape) for part in answer)
    usable = np.isfinite(lat2) & np.isfinite(lon2) & np.isfinite(length)
    return GroundPoint(
        np.where(usable, lat2, np.nan),
        np.where(usable, lon2, np.nan),
        reduce_bearing(np.where(usable & (length > 0), back, np.nan)),
    )


def plan_line(x1_m: ArrayLike, y1_m: ArrayLike, x2_m: ArrayLike, y2_m: ArrayLike) -> GroundLine:
    """Distance and plan bearings between two points of the local plane.

    Parameters
    ----------
    x1_m, y1_m, x2_m, y2_m : array_like of float, broadcast together
        Plane coordinates, x right, y up. [m]

    Returns
    -------
    GroundLine
        Distance [m] and, at each end, the bearing to the other, clockwise from plan north [deg]. On a plane the two
        bearings are exactly opposite. NaN where an input is NaN.

    Examples
    --------
    >>> line = plan_line(0, 0, 30, -40)
    >>> float(line.ground_distance_m), round(float(line.bearing_at_1_deg), 3), round(float(line.bearing_at_2_deg), 3)
    (50.0, 143.13, 323.13)
    """
    x1, y1, x2, y2 = broadcast(x1_m, y1_m, x2_m, y2_m)
    dx, dy = x2 - x1, y2 - y1
    distance = np.asarray(np.hypot(dx, dy), dtype=np.float64)
    apart = distance > 0
    forward = np.where(apart, np.degrees(np.arctan2(dx, dy)), np.nan)
    backward = np.where(apart, np.degrees(np.arctan2(-dx, -dy)), np.nan)
    return GroundLine(distance, reduce_bearing(forward), reduce_bearing(backward))
