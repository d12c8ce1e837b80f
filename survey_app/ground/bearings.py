"""Bearings: reduced, compared, turned from one north to another and put in words.

All angles run clockwise, east and clockwise positive. ``T`` true bearing, ``M`` magnetic bearing, ``G`` grid bearing,
``D`` declination (from true north to magnetic north), ``g`` convergence (from true north to grid north):

.. math:: M = T - D \\qquad G = T - g
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from survey_app.ground._arrays import FloatArray, broadcast

__all__ = ["compass_point", "from_magnetic", "reduce_bearing", "to_grid_bearing", "to_magnetic", "turn", "turn_words"]

_POINTS = (
    *("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE"),
    *("S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"),
)


def reduce_bearing(bearing_deg: ArrayLike) -> FloatArray:
    """Bring a bearing into 0 to 360.

    Parameters
    ----------
    bearing_deg : array_like of float, shape (...)
        Any angle. [deg]

    Returns
    -------
    ndarray of float, shape (...)
        The same direction, 0 <= bearing < 360; NaN where the input is NaN or infinite. [deg]

    Examples
    --------
    >>> reduce_bearing([-10.0, 360.0, 725.5]).tolist()
    [350.0, 0.0, 5.5]
    """
    (angle,) = broadcast(bearing_deg)
    with np.errstate(invalid="ignore"):
        reduced = np.mod(angle, 360.0)
    # a tiny negative angle leaves exactly 360 behind, which is north all the same; adding zero drops a negative zero
    return np.where(reduced == 360.0, 0.0, reduced) + 0.0


def turn(from_deg: ArrayLike, to_deg: ArrayLike) -> FloatArray:
    """Smallest turn from one bearing to another.

    Parameters
    ----------
    from_deg, to_deg : array_like of float, broadcast together
        Two bearings from the same north. [deg]

    Returns
    -------
    ndarray of float, shape (...)
        Turn, positive to the right, -180 < turn <= 180; NaN where an input is NaN. [deg]

    Examples
    --------
    >>> turn([350.0, 10.0, 0.0], [10.0, 350.0, 180.0]).tolist()
    [20.0, -20.0, 180.0]
    """
    start, end = broadcast(from_deg, to_deg)
    # each bearing is reduced first, so that large angles lose nothing in the subtraction
    difference = reduce_bearing(reduce_bearing(end) - reduce_bearing(start))
    return np.where(difference > 180.0, difference - 360.0, difference) + 0.0


def to_magnetic(true_deg: ArrayLike, declination_deg: ArrayLike) -> FloatArray:
    """Magnetic bearing of a true bearing, ``M = T - D``.

    Parameters
    ----------
    true_deg : array_like of float
        True bearing. [deg]
    declination_deg : array_like of float, broadcast with `true_deg`
        Declination, east positive: a west declination is negative and makes the magnetic bearing larger. [deg]

    Returns
    -------
    ndarray of float, shape (...)
        Magnetic bearing, 0 <= M < 360; NaN where an input is NaN. [deg]

    Examples
    --------
    >>> round(float(to_magnetic(142.6, -14.6)), 6)
    157.2
    """
    true, declination = broadcast(true_deg, declination_deg)
    return reduce_bearing(true - declination)


def from_magnetic(magnetic_deg: ArrayLike, declination_deg: ArrayLike) -> FloatArray:
    """True bearing of a magnetic bearing, ``T = M + D``.

    Parameters
    ----------
    magnetic_deg : array_like of float
        Magnetic bearing. [deg]
    declination_deg : array_like of float, broadcast with `magnetic_deg`
        Declination, east positive. [deg]

    Returns
    -------
    ndarray of float, shape (...)
        True bearing, 0 <= T < 360; NaN where an input is NaN. [deg]

    Examples
    --------
    >>> round(float(from_magnetic(137.16, 7.51)), 6)
    144.67
    """
    magnetic, declination = broadcast(magnetic_deg, declination_deg)
    return reduce_bearing(magnetic + declination)


def to_grid_bearing(true_deg: ArrayLike, convergence_deg: ArrayLike) -> FloatArray:
    """Grid bearing of a true bearing, ``G = T - g``.

    Parameters
    ----------
    true_deg : array_like of float
        True bearing. [deg]
    convergence_deg : array_like of float, broadcast with `true_deg`
        Convergence from true north to grid north, clockwise positive. Some authorities publish it with the opposite
        sign. [deg]

    Returns
    -------
    ndarray of float, shape (...)
        Grid bearing, 0 <= G < 360; NaN where an input is NaN. [deg]

    Notes
    -----
    The arc-to-chord correction is left out: 0.0001 deg over 1.4 km, 0.002 deg over 20 km.

    Examples
    --------
    >>> round(float(to_grid_bearing(144.67, 0.96)), 6)
    143.71
    """
    true, convergence = broadcast(true_deg, convergence_deg)
    return reduce_bearing(true - convergence)


def compass_point(bearing_deg: float) -> str:
    """Name of the nearest of the sixteen compass points.

    Parameters
    ----------
    bearing_deg : float
        Bearing; the name belongs to the north that the bearing belongs to. [deg]

    Returns
    -------
    str
        ``"N"``, ``"NNE"``, ... ``"NNW"``; empty where the bearing is NaN.

    Examples
    --------
    >>> compass_point(315.0), compass_point(111.0), compass_point(359.0)
    ('NW', 'ESE', 'N')
    """
    bearing = float(reduce_bearing(bearing_deg))
    if math.isnan(bearing):
        return ""
    return _POINTS[math.floor(bearing / 22.5 + 0.5) % 16]


def turn_words(turn_deg: float, decimals: int = 1) -> str:
    """Turn in words, as a person says it.

    Parameters
    ----------
    turn_deg : float
        Turn, positive to the right. [deg]
    decimals : int, default 1
        Places after the point.

    Returns
    -------
    str
        ``"23.4° right"``, ``"5.0° left"``, ``"straight on"`` where it rounds to zero, ``"180.0° round"`` where it
        rounds to a half turn and the side is nothing to insist on; empty where the turn is NaN.

    Examples
    --------
    >>> turn_words(23.44), turn_words(-5.0), turn_words(-0.04)
    ('23.4° right', '5.0° left', 'straight on')
    """
    angle = float(turn(0.0, turn_deg))
    if math.isnan(angle):
        return ""
    size = f"{abs(angle):.{decimals}f}"
    if float(size) == 0.0:
        return "straight on"
    if float(size) == 180.0:
        return f"{size}° round"
    return f"{size}° {'right' if angle > 0 else 'left'}"
