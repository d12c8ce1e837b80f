"""An aimed radio's gain toward a direction, both planes, whatever its pattern."""

from __future__ import annotations

import numpy as np

from survey_app.assess.gather import IntArray, RadioArrays
from survey_app.physics import patterns
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.geometry import antenna_angles_deg, off_axis_deg

__all__ = ["OMNI", "gain_toward_dbi", "interfering_gain_dbi", "is_dish", "off_axis_of_beam_deg"]

OMNI = patterns.OMNI
_DISH_BEAM_DEG = 12.0


def _frame_deg(
    radios: RadioArrays,
    rows: IntArray,
    bearing_deg: FloatArray,
    elevation_deg: FloatArray,
    aim_deg: FloatArray,
    bracket_deg: FloatArray,
) -> tuple[FloatArray, FloatArray]:
    # an omni has no azimuth to aim: any bearing serves as its axis, and it hangs plumb
    round_about = radios.kind[rows] == OMNI
    axis = np.where(round_about, bearing_deg, aim_deg)
    return antenna_angles_deg(bearing_deg, elevation_deg, axis, bracket_deg)


def gain_toward_dbi(
    radios: RadioArrays,
    rows: IntArray,
    bearing_deg: FloatArray,
    elevation_deg: FloatArray,
    aim_deg: FloatArray,
    bracket_deg: FloatArray,
) -> FloatArray:
    """Return the gain of radios toward directions.

    Parameters
    ----------
    radios : RadioArrays
        All radios.
    rows : ndarray of int, shape (...)
        Which radio each direction belongs to.
    bearing_deg, elevation_deg : ndarray of float, broadcast with `rows`
        Direction, from the same north as the aim. [deg]
    aim_deg, bracket_deg : ndarray of float, broadcast with the rest
        Aim of the axis and bracket tilt (beam tilt plus electrical downtilt), down negative. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Gain; NaN where the radio's antenna is unknown. [dBi]
    """
    azimuth_off, elevation_off = _frame_deg(radios, rows, bearing_deg, elevation_deg, aim_deg, bracket_deg)
    return _gain_at_dbi(radios, rows, azimuth_off, elevation_off)


def _gain_at_dbi(radios: RadioArrays, rows: IntArray, azimuth_off: FloatArray, elevation_off: FloatArray) -> FloatArray:
    gain = patterns.gain_dbi(
        radios.kind[rows],
        radios.gain_dbi[rows],
        radios.azimuth_beamwidth_deg[rows],
        radios.elevation_beamwidth_deg[rows],
        radios.front_to_back_db[rows],
        radios.electrical_downtilt_deg[rows],
        azimuth_off,
        elevation_off,
    )
    for row in sorted(radios.tables.keys() & set(np.unique(rows).tolist())) if radios.tables else ():
        pattern = radios.tables[row]
        if pattern.azimuth_cut is None or pattern.elevation_cut is None:
            continue
        here = np.broadcast_to(rows == row, gain.shape)
        gain[here] = patterns.table_gain_dbi(
            pattern.gain_dbi,
            patterns.Cut.of(pattern.azimuth_cut.angle_deg, pattern.azimuth_cut.relative_db),
            patterns.Cut.of(pattern.elevation_cut.angle_deg, pattern.elevation_cut.relative_db),
            np.broadcast_to(azimuth_off, gain.shape)[here],
            np.broadcast_to(elevation_off, gain.shape)[here],
        )
    return gain


def interfering_gain_dbi(
    radios: RadioArrays, rows: IntArray, azimuth_off_deg: FloatArray, elevation_off_deg: FloatArray
) -> FloatArray:
    """Return the gain of radios toward directions in which they are not wanted.

    Parameters
    ----------
    radios : RadioArrays
        All radios.
    rows : ndarray of int, shape (...)
        Which radio each direction belongs to.
    azimuth_off_deg, elevation_off_deg : ndarray of float, broadcast with `rows`
        Direction in the antenna's own frame, see `physics.geometry.antenna_angles_along_deg`. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Gain; NaN where the radio's antenna is unknown. [dBi]

    Notes
    -----
    The main lobe with its front-to-back floor says too little of a dish's side lobes, so the greater of it and the
    envelope of [F699]_, F.699-8 (2018), recommends 2.2, counts. A round beam up to 12 degrees wide is taken for a dish.
    """
    wanted = _gain_at_dbi(radios, rows, azimuth_off_deg, elevation_off_deg)
    dish = is_dish(radios, rows)
    if not dish.any():
        return wanted
    upward = elevation_off_deg + radios.electrical_downtilt_deg[rows]
    envelope = patterns.envelope_gain_dbi(radios.gain_dbi[rows], off_axis_deg(azimuth_off_deg, upward))
    return np.where(dish, np.fmax(wanted, envelope), wanted)


def is_dish(radios: RadioArrays, rows: IntArray) -> BoolArray:
    """Return which radios count as dishes: beams that are narrow in both planes."""
    across, upright = radios.azimuth_beamwidth_deg[rows], radios.elevation_beamwidth_deg[rows]
    dishes: BoolArray = (radios.kind[rows] == patterns.LOBE) & (across <= _DISH_BEAM_DEG) & (upright <= _DISH_BEAM_DEG)
    return dishes


def off_axis_of_beam_deg(
    radios: RadioArrays,
    rows: IntArray,
    bearing_deg: FloatArray,
    elevation_deg: FloatArray,
    aim_deg: FloatArray,
    bracket_deg: FloatArray,
) -> tuple[FloatArray, FloatArray]:
    """Return how far a direction lies off the beam's axis: across (right positive), upright (up positive). [deg]"""
    azimuth_off, elevation_off = _frame_deg(radios, rows, bearing_deg, elevation_deg, aim_deg, bracket_deg)
    return azimuth_off, elevation_off + radios.electrical_downtilt_deg[rows]
