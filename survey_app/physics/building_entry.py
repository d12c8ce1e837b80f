"""Building entry: what a whole building takes from a signal that comes from outside, by probability."""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.loss_range import LossRange

__all__ = ["BuildingKind", "building_entry_loss_db", "building_entry_range_db"]

BuildingKind = Literal["traditional", "efficient"]
"""Efficient: metallised glass, foil-backed panels; traditional: everything else."""


class _Row(NamedTuple):
    r: float
    s: float
    t: float
    u: float
    v: float
    w: float
    x: float
    y: float
    z: float


# [P2109]_, P.2109-1 (2019), Table 1.
_COEFFICIENTS: Final = {
    "traditional": _Row(12.64, 3.72, 0.96, 9.6, 2.0, 9.1, -3.0, 4.5, -2.0),
    "efficient": _Row(28.19, -3.00, 8.48, 13.5, 3.8, 27.8, -2.9, 9.4, -2.1),
}
_LOWEST_GHZ, _HIGHEST_GHZ = 0.08, 100.0  # [P2109]_, P.2109-1 (2019), section 3
_PER_DEGREE_DB = 0.212  # [P2109]_, P.2109-1 (2019), equation 10
_FLOOR_DB = -3.0  # [P2109]_, P.2109-1 (2019), equation 4


def building_entry_loss_db(
    frequency_mhz: ArrayLike,
    kind: BuildingKind,
    probability: ArrayLike = 0.5,
    elevation_deg: ArrayLike = 0.0,
) -> FloatArray:
    r"""Building entry loss that is not exceeded with a probability.

    Parameters
    ----------
    frequency_mhz : array_like of float, shape (...)
        Carrier frequency, 80 to 100,000. [MHz]
    kind : {"traditional", "efficient"}
        See `BuildingKind`.
    probability : array_like of float, broadcast with the rest, default 0.5
        Share of places in buildings of this kind that lose no more, above 0 and below 1. [1]
    elevation_deg : array_like of float, broadcast with the rest, default 0
        Elevation angle of the path at the building's front, -90 to 90. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Loss between the field outside and the median field inside; may be below 0 for low probabilities. NaN where an
        input is NaN or outside its range. [dB]

    Raises
    ------
    ValueError
        `kind` is neither.

    Notes
    -----
    .. math:: L = 10 \log_{10} (10^{A/10} + 10^{B/10} + 10^{C/10})

    with A and B normal in the probability and C = -3 dB. A statistic of all rooms of all buildings of a kind: for one
    wall that is known, `wall_loss` says more. Source: [P2109]_, P.2109-1 (2019), section 3, equations 1 to 10, Table 1.

    Examples
    --------
    >>> round(float(building_entry_loss_db(5500, "traditional")), 2)
    16.48
    """
    from scipy.special import ndtri  # loads slowly, and few sites ask for it

    if kind not in _COEFFICIENTS:
        raise ValueError(f"kind is {kind!r}, 'traditional' or 'efficient' is needed")
    row = _COEFFICIENTS[kind]
    f_ghz, share, elevation_deg = (
        float_array(frequency_mhz) / 1000.0,
        float_array(probability),
        float_array(elevation_deg),
    )
    log_f = np.log10(nan_unless((f_ghz >= _LOWEST_GHZ) & (f_ghz <= _HIGHEST_GHZ), f_ghz))
    steep_deg = np.abs(nan_unless(np.abs(elevation_deg) <= 90.0, elevation_deg))
    quantile = float_array(ndtri(nan_unless((share > 0.0) & (share < 1.0), share)))
    mean_1_db = row.r + row.s * log_f + row.t * np.square(log_f) + _PER_DEGREE_DB * steep_deg
    mean_2_db = row.w + row.x * log_f
    a_db = quantile * (row.u + row.v * log_f) + mean_1_db
    b_db = quantile * (row.y + row.z * log_f) + mean_2_db
    total: FloatArray = np.power(10.0, a_db / 10.0) + np.power(10.0, b_db / 10.0) + np.power(10.0, _FLOOR_DB / 10.0)
    return 10.0 * np.log10(total)


def building_entry_range_db(frequency_mhz: ArrayLike, kind: BuildingKind, elevation_deg: ArrayLike = 0.0) -> LossRange:
    """Building entry loss as a range.

    Parameters
    ----------
    frequency_mhz : array_like of float, shape (...)
        Carrier frequency, 80 to 100,000. [MHz]
    kind : {"traditional", "efficient"}
        See `BuildingKind`.
    elevation_deg : array_like of float, broadcast with `frequency_mhz`, default 0
        Elevation angle of the path at the building's front, -90 to 90. [deg]

    Returns
    -------
    LossRange
        Loss not exceeded at 5, 50 and 95 % of places. [dB]

    Notes
    -----
    Source: [P2109]_, P.2109-1 (2019), section 3.

    Examples
    --------
    >>> [round(float(value), 1) for value in building_entry_range_db(5500, "traditional")]
    [4.2, 16.5, 34.2]
    """
    low_db, likely_db, high_db = (
        building_entry_loss_db(frequency_mhz, kind, share, elevation_deg) for share in (0.05, 0.5, 0.95)
    )
    return LossRange(low_db, likely_db, high_db)
