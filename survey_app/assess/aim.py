"""Where each radio looks: straight at its one far end, or the common aim that makes the smallest margin largest."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.gain import OMNI, gain_toward_dbi
from survey_app.assess.gather import RadioArrays
from survey_app.physics.arrays import FloatArray

__all__ = ["Fan", "common_aim"]

_ZOOM = 0.25  # each pass looks at a quarter of the last window, in both planes
_PASSES = 9  # a first window of 360 degrees ends below 0.001 degree
_ACROSS, _UPRIGHT = 25, 13


@dataclass(frozen=True)
class Fan:
    """The far ends of one radio.

    Attributes
    ----------
    radio : int
        Row of the radio.
    bearing_deg, elevation_deg : ndarray of float, shape (k,)
        Direction to each far end. [deg]
    margin_without_gain_db : ndarray of float, shape (k,)
        Margin at the needed rate in the worse direction, without this radio's gain. [dB]
    """

    radio: int
    bearing_deg: FloatArray
    elevation_deg: FloatArray
    margin_without_gain_db: FloatArray


def common_aim(radios: RadioArrays, fan: Fan) -> tuple[float, float]:
    """Return the aim that makes the smallest margin over a fan of far ends largest.

    Parameters
    ----------
    radios : RadioArrays
        All radios.
    fan : Fan
        The far ends; at least one.

    Returns
    -------
    bearing_deg, tilt_deg : float
        Aim of the beam's axis; the bearing is NaN for an omni, which hangs plumb. Of equal aims the one with the lower
        bearing, then the higher tilt. [deg]

    Notes
    -----
    Max-min over both planes at once, not the mean of the bearings: a weak far end draws the beam towards itself. The
    search narrows a window round the best aim of a grid, first over all bearings, so that no far end is missed; inside
    the main lobe the smallest margin has one summit, since the loss of every pattern here grows with the angle.
    """
    row = fan.radio
    downtilt = float(radios.electrical_downtilt_deg[row])
    if radios.kind[row] == OMNI:
        return np.nan, -downtilt
    if len(fan.bearing_deg) == 1:
        return float(fan.bearing_deg[0]), float(fan.elevation_deg[0])
    if np.isnan(fan.margin_without_gain_db).any() or np.isnan(radios.gain_dbi[row]):
        return np.nan, np.nan
    beam = float(radios.azimuth_beamwidth_deg[row])
    low, high = float(fan.elevation_deg.min()), float(fan.elevation_deg.max())
    tilts = np.linspace(low, high, _UPRIGHT if high > low else 1)
    bearings = np.arange(0.0, 360.0, max(beam / 12.0, 0.25))
    # the far ends' own bearings belong to the first grid: a narrow beam may fit only one of them
    bearings = np.unique(np.concatenate([bearings, fan.bearing_deg]))
    best = _best(radios, fan, bearings, tilts, downtilt)
    half_across = max(beam / 12.0, 0.25) * 1.5
    half_upright = (high - low) / (_UPRIGHT - 1) * 1.5 if high > low else 0.0
    for _ in range(_PASSES):
        bearings = best[0] + np.linspace(-half_across, half_across, _ACROSS)
        tilts = best[1] + np.linspace(-half_upright, half_upright, _UPRIGHT if half_upright > 0.0 else 1)
        best = _best(radios, fan, bearings, np.clip(tilts, low, high), downtilt)
        half_across *= _ZOOM
        half_upright *= _ZOOM
    return float(np.remainder(best[0], 360.0)), best[1]


def _best(
    radios: RadioArrays, fan: Fan, bearings: FloatArray, tilts: FloatArray, downtilt: float
) -> tuple[float, float]:
    """Return the best of a grid of aims, as (bearing, tilt)."""
    shape = (len(bearings), len(tilts), len(fan.bearing_deg))
    aim = np.broadcast_to(bearings[:, None, None], shape)
    bracket = np.broadcast_to(tilts[None, :, None] + downtilt, shape)
    toward = np.broadcast_to(fan.bearing_deg, shape)
    upward = np.broadcast_to(fan.elevation_deg, shape)
    rows = np.full(shape, fan.radio, dtype=np.intp)
    smallest = (fan.margin_without_gain_db + gain_toward_dbi(radios, rows, toward, upward, aim, bracket)).min(axis=2)
    # aims that tie to a billionth of a decibel are equal: the first is taken, bearings rising, tilts from the top
    flipped = smallest[:, ::-1]
    first = int(np.argmax((flipped >= flipped.max() - 1e-9).ravel()))
    across, upright = divmod(first, len(tilts))
    return float(bearings[across]), float(tilts[len(tilts) - 1 - upright])
