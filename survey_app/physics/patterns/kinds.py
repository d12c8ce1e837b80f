"""Antennas of several kinds in one batch."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UsageError
from survey_app.physics.arrays import FloatArray, float_array
from survey_app.physics.geometry import off_axis_deg
from survey_app.physics.patterns.envelope import envelope_gain_dbi
from survey_app.physics.patterns.lobe import lobe_gain_dbi
from survey_app.physics.patterns.omni import omni_gain_dbi
from survey_app.physics.patterns.sector import sector_gain_dbi
from survey_app.physics.patterns.side_lobes import SideLobes, takes_peaks
from survey_app.physics.patterns.tilt import beam_elevation_deg

__all__ = ["ENVELOPE", "LOBE", "OMNI", "SECTOR", "gain_dbi"]

OMNI, SECTOR, LOBE, ENVELOPE = 0, 1, 2, 3
"""Codes of the kinds: omnidirectional, sector, panel or dish as a wanted link sees it, dish as an interferer."""

_CODES = (OMNI, SECTOR, LOBE, ENVELOPE)


def gain_dbi(
    kind: ArrayLike,
    peak_dbi: ArrayLike,
    azimuth_beamwidth_deg: ArrayLike,
    elevation_beamwidth_deg: ArrayLike,
    front_to_back_db: ArrayLike,
    electrical_downtilt_deg: ArrayLike,
    azimuth_off_deg: ArrayLike,
    elevation_off_deg: ArrayLike,
    *,
    side_lobes: SideLobes = "peak",
) -> FloatArray:
    """Gain of antennas of any kind, each element by its own kind.

    Parameters
    ----------
    kind : array_like of int, shape (...)
        `OMNI`, `SECTOR`, `LOBE` or `ENVELOPE`.
    peak_dbi : array_like of float, broadcast with the rest
        Gain in the direction of the beam. [dBi]
    azimuth_beamwidth_deg : array_like of float, broadcast with the rest
        Full 3 dB beamwidth in azimuth; `SECTOR` and `LOBE` use it. [deg]
    elevation_beamwidth_deg : array_like of float, broadcast with the rest
        Full 3 dB beamwidth in elevation; all but `ENVELOPE` use it. [deg]
    front_to_back_db : array_like of float, broadcast with the rest
        How far the level behind lies below the peak; `LOBE` uses it. [dB]
    electrical_downtilt_deg : array_like of float, broadcast with the rest
        Built-in tilt of the beam, down positive. [deg]
    azimuth_off_deg : array_like of float, broadcast with the rest
        Angle off the mechanical axis in azimuth, clockwise positive; `OMNI` does not use it. [deg]
    elevation_off_deg : array_like of float, broadcast with the rest
        Angle above the antenna's mechanical plane, up positive, -90 to 90. [deg]
    side_lobes : {"peak", "average"}, default "peak"
        Envelope of the side lobes, or their mean, for `OMNI` and `SECTOR`.

    Returns
    -------
    ndarray of float, broadcast shape
        Gain, `peak_dbi` at azimuth 0 and elevation -`electrical_downtilt_deg`; NaN where the kind is unknown or an
        input that the kind uses is NaN or outside its range. [dBi]

    Raises
    ------
    UsageError
        `kind` is not made of whole numbers.
    UnknownNameError
        `side_lobes` is another word.

    Notes
    -----
    See `omni_gain_dbi`, `sector_gain_dbi`, `lobe_gain_dbi` and `envelope_gain_dbi` for the formulas and their sources.

    Examples
    --------
    >>> gain_dbi([OMNI, LOBE], [12, 16], [360, 27], [6.8, 27], [np.nan, 25], 0, [123, 13.5], [-3.4, 0])
    array([ 9., 13.])
    """
    takes_peaks(side_lobes)
    kinds = np.asarray(kind)
    if not np.issubdtype(kinds.dtype, np.integer):
        raise UsageError("the kind of an antenna is not a whole number", remedy="use OMNI, SECTOR, LOBE or ENVELOPE")
    values = (
        peak_dbi,
        azimuth_beamwidth_deg,
        elevation_beamwidth_deg,
        front_to_back_db,
        electrical_downtilt_deg,
        azimuth_off_deg,
        elevation_off_deg,
    )
    given = [float_array(value) for value in values]
    first = int(kinds.flat[0]) if kinds.size else -1
    if first in _CODES and bool((kinds == first).all()):
        # as small as they are: what is the same for all directions is worked out once
        gains_dbi = float_array(_gain_of_kind_dbi(first, given, side_lobes))
        shape = np.broadcast_shapes(kinds.shape, *(one.shape for one in given))
        return gains_dbi if gains_dbi.shape == shape else np.broadcast_to(gains_dbi, shape).copy()
    kinds, *columns = np.broadcast_arrays(kinds, *given)
    gains_dbi = np.full(kinds.shape, np.nan)
    for code in _CODES:
        here = kinds == code
        if here.any():
            gains_dbi[here] = _gain_of_kind_dbi(code, [column[here] for column in columns], side_lobes)
    return gains_dbi


def _gain_of_kind_dbi(code: int, columns: list[FloatArray], side_lobes: SideLobes) -> FloatArray:
    """Return the gain of antennas of one kind; the columns are those of `gain_dbi`."""
    peak_dbi, width_h_deg, width_v_deg, floor_db, tilt_deg, azimuth_deg, elevation_deg = columns
    if code == OMNI:
        return omni_gain_dbi(peak_dbi, width_v_deg, tilt_deg, elevation_deg, side_lobes=side_lobes)
    if code == SECTOR:
        return sector_gain_dbi(
            peak_dbi, width_h_deg, width_v_deg, tilt_deg, azimuth_deg, elevation_deg, side_lobes=side_lobes
        )
    if code == LOBE:
        return lobe_gain_dbi(peak_dbi, width_h_deg, width_v_deg, floor_db, tilt_deg, azimuth_deg, elevation_deg)
    return envelope_gain_dbi(peak_dbi, off_axis_deg(azimuth_deg, beam_elevation_deg(elevation_deg, tilt_deg)))
