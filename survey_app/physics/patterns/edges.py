"""Edges of a beam: where the gain has fallen by so many decibels."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.patterns.kinds import gain_dbi
from survey_app.physics.patterns.side_lobes import SideLobes
from survey_app.physics.patterns.tilt import frame_elevation_deg

__all__ = ["azimuth_edge_deg", "elevation_edges_deg", "half_power_azimuth_deg"]

_ROUNDS, _PARTS = 14, 16  # 180 deg divided so often is less than the last bit of a degree


def half_power_azimuth_deg(
    kind: ArrayLike,
    peak_dbi: ArrayLike,
    azimuth_beamwidth_deg: ArrayLike,
    elevation_beamwidth_deg: ArrayLike,
    front_to_back_db: ArrayLike,
) -> FloatArray:
    """Azimuth off the axis at which the gain has fallen by 3 dB: half the width of a wedge.

    Parameters
    ----------
    kind : array_like of int, shape (...)
        `OMNI`, `SECTOR`, `LOBE` or `ENVELOPE`.
    peak_dbi : array_like of float, broadcast with the rest
        Gain in the direction of the beam; the edge of `ENVELOPE` depends on it. [dBi]
    azimuth_beamwidth_deg, elevation_beamwidth_deg : array_like of float, broadcast with the rest
        Full 3 dB beamwidths. [deg]
    front_to_back_db : array_like of float, broadcast with the rest
        How far the level behind lies below the peak. [dB]

    Returns
    -------
    ndarray of float, broadcast shape
        Angle to either side; NaN for an omni, which has no such edge. [deg]

    Raises
    ------
    UsageError
        `kind` is not made of whole numbers.

    Notes
    -----
    See `azimuth_edge_deg`.

    Examples
    --------
    >>> from survey_app.physics.patterns import SECTOR
    >>> round(float(half_power_azimuth_deg(SECTOR, 17, 90, 7, 28)), 6)
    45.0
    """
    return azimuth_edge_deg(
        kind, 3.0, peak_dbi, azimuth_beamwidth_deg, elevation_beamwidth_deg, front_to_back_db, side_lobes="peak"
    )


def azimuth_edge_deg(
    kind: ArrayLike,
    fall_db: ArrayLike,
    peak_dbi: ArrayLike,
    azimuth_beamwidth_deg: ArrayLike,
    elevation_beamwidth_deg: ArrayLike,
    front_to_back_db: ArrayLike,
    *,
    side_lobes: SideLobes = "peak",
) -> FloatArray:
    """Azimuth off the axis at which the gain has fallen by a given number of decibels.

    Parameters
    ----------
    kind : array_like of int, shape (...)
        `OMNI`, `SECTOR`, `LOBE` or `ENVELOPE`.
    fall_db : array_like of float, broadcast with the rest
        Fall below the peak, > 0. [dB]
    peak_dbi : array_like of float, broadcast with the rest
        Gain in the direction of the beam; the edge of `ENVELOPE` depends on it. [dBi]
    azimuth_beamwidth_deg, elevation_beamwidth_deg : array_like of float, broadcast with the rest
        Full 3 dB beamwidths. [deg]
    front_to_back_db : array_like of float, broadcast with the rest
        How far the level behind lies below the peak. [dB]
    side_lobes : {"peak", "average"}, default "peak"
        Envelope of the side lobes, or their mean.

    Returns
    -------
    ndarray of float, broadcast shape
        Smallest angle to either side, in the cut through the beam, at which the gain has fallen by `fall_db` or more;
        NaN where it never does or an input is NaN or outside its range. [deg]

    Raises
    ------
    UsageError
        `kind` is not made of whole numbers.
    UnknownNameError
        `side_lobes` is another word.

    Notes
    -----
    The pattern of the kind, searched by a fixed number of divisions: all patterns fall from the axis outward.

    Examples
    --------
    >>> from survey_app.physics.patterns import LOBE
    >>> round(float(azimuth_edge_deg(LOBE, 6, 16, 27, 27, 25)), 3)
    19.092
    """

    level_dbi = float_array(peak_dbi)
    level_dbi = nan_unless(np.isfinite(level_dbi), level_dbi)

    def fallen_db(off_deg: FloatArray) -> FloatArray:
        widths_deg = azimuth_beamwidth_deg, elevation_beamwidth_deg
        gains_dbi = gain_dbi(kind, level_dbi, *widths_deg, front_to_back_db, 0.0, off_deg, 0.0, side_lobes=side_lobes)
        return level_dbi - gains_dbi

    return _edge_deg(fallen_db, fall_db, 180.0)


def elevation_edges_deg(
    kind: ArrayLike,
    fall_db: ArrayLike,
    peak_dbi: ArrayLike,
    azimuth_beamwidth_deg: ArrayLike,
    elevation_beamwidth_deg: ArrayLike,
    front_to_back_db: ArrayLike,
    electrical_downtilt_deg: ArrayLike = 0.0,
    *,
    side_lobes: SideLobes = "peak",
) -> tuple[FloatArray, FloatArray]:
    """Elevations below and above the beam at which the gain has fallen by a given number of decibels.

    Parameters
    ----------
    kind : array_like of int, shape (...)
        `OMNI`, `SECTOR`, `LOBE` or `ENVELOPE`.
    fall_db : array_like of float, broadcast with the rest
        Fall below the peak, > 0. [dB]
    peak_dbi : array_like of float, broadcast with the rest
        Gain in the direction of the beam; the edge of `ENVELOPE` depends on it. [dBi]
    azimuth_beamwidth_deg, elevation_beamwidth_deg : array_like of float, broadcast with the rest
        Full 3 dB beamwidths. [deg]
    front_to_back_db : array_like of float, broadcast with the rest
        How far the level behind lies below the peak. [dB]
    electrical_downtilt_deg : array_like of float, broadcast with the rest, default 0
        Built-in tilt of the beam, down positive. [deg]
    side_lobes : {"peak", "average"}, default "peak"
        Envelope of the side lobes, or their mean.

    Returns
    -------
    lower_deg, upper_deg : ndarray of float, broadcast shape
        Angles above the antenna's mechanical plane at azimuth 0, nearest to the beam, at which the gain has fallen by
        `fall_db` or more; NaN where it never does between the beam and nadir or zenith, or an input is NaN or outside
        its range. [deg]

    Raises
    ------
    UsageError
        `kind` is not made of whole numbers.
    UnknownNameError
        `side_lobes` is another word.

    Notes
    -----
    The pattern of the kind, searched by a fixed number of divisions: all patterns fall from the beam outward.

    Examples
    --------
    >>> from survey_app.physics.patterns import OMNI
    >>> lower_deg, upper_deg = elevation_edges_deg(OMNI, 3, 12, 360, 6.8, np.nan)
    >>> round(float(lower_deg), 3), round(float(upper_deg), 3)
    (-3.4, 3.4)
    """

    level_dbi = float_array(peak_dbi)
    level_dbi = nan_unless(np.isfinite(level_dbi), level_dbi)

    def fallen_db(off_deg: FloatArray) -> FloatArray:
        widths_deg = azimuth_beamwidth_deg, elevation_beamwidth_deg
        gains_dbi = gain_dbi(kind, level_dbi, *widths_deg, front_to_back_db, 0.0, 0.0, off_deg, side_lobes=side_lobes)
        return level_dbi - gains_dbi

    edge_deg = _edge_deg(fallen_db, fall_db, 90.0)
    return (
        frame_elevation_deg(0.0 - edge_deg, electrical_downtilt_deg),
        frame_elevation_deg(edge_deg, electrical_downtilt_deg),
    )


def _edge_deg(fallen_db: Callable[[FloatArray], FloatArray], fall_db: ArrayLike, end_deg: float) -> FloatArray:
    """Return the smallest angle from 0 to the end at which the fall is reached, NaN where it is not."""
    wanted_db = float_array(fall_db)
    wanted_db = nan_unless(wanted_db > 0.0, wanted_db)
    ever = fallen_db(float_array(end_deg)) >= wanted_db
    inner_deg, outer_deg = np.zeros(ever.shape), np.full(ever.shape, end_deg)
    part = np.arange(_PARTS + 1.0).reshape(-1, *([1] * ever.ndim)) / _PARTS
    for _ in range(_ROUNDS):
        steps_deg = inner_deg + (outer_deg - inner_deg) * part
        reached = fallen_db(steps_deg[1:]) >= wanted_db
        reached[-1] = True  # as found before, or it never is
        first = np.argmax(reached, axis=0)[None]
        inner_deg, outer_deg = (np.take_along_axis(steps_deg, first + more, axis=0)[0] for more in (0, 1))
    return nan_unless(ever, outer_deg)
