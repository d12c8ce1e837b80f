"""Indoors from floor to floor: median loss by the form that counts floors."""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless

__all__ = ["FloorBuilding", "FloorCoefficients", "floor_coefficients", "indoor_floors_loss_db"]

FloorBuilding = Literal["apartment", "house", "office"]


class FloorCoefficients(NamedTuple):
    """Coefficients of the form that counts floors.

    Attributes
    ----------
    exponent : float
        Distance power loss coefficient N; NaN where none is published. [1]
    floor_loss_db : float
        Loss Lf of the floors between; 0 on one floor, NaN where none is published for so many. [dB]
    """

    exponent: float
    floor_loss_db: float


# [P1238]_, P.1238-7 (2012) to -9, section 3.1, Tables 2 and 3: N, then Lf of one, two ... floors. The losses of
# apartments and houses, and that the row of 5.8 GHz is the one of offices, are from memory ([MEMORY]_).
_BY_FLOOR: Final = {
    (5.2, "apartment"): (30.0, (13.0,)),
    (5.2, "house"): (28.0, (7.0,)),
    (5.2, "office"): (31.0, (16.0,)),
    (5.8, "office"): (24.0, (22.0, 28.0)),
}
_FIVE_GHZ = (4.9, 6.0)  # how far from 5.2 and 5.8 GHz the rows are used here: common practice


def floor_coefficients(building: FloorBuilding, frequency_mhz: float, floors: int) -> FloorCoefficients:
    """Return the coefficients of the form that counts floors, near 5 GHz.

    Parameters
    ----------
    building : {"apartment", "house", "office"}
        Kind of building.
    frequency_mhz : float
        Carrier frequency, 4900 to 6000; the nearer of the rows of 5.2 and 5.8 GHz is taken. [MHz]
    floors : int
        Floors between the two places, >= 0.

    Returns
    -------
    FloorCoefficients
        NaN where nothing is published: dwellings nearer to 5.8 GHz, more floors than the row has, another frequency.

    Raises
    ------
    ValueError
        `building` is none of the three, or `floors` is negative.

    Notes
    -----
    Source: [P1238]_, P.1238-7 (2012) to -9 (2017), section 3.1, Tables 2 and 3. From memory, to be verified
    ([MEMORY]_): the floor losses of dwellings, and that the row of 5.8 GHz is that of offices.

    Examples
    --------
    >>> floor_coefficients("office", 5220, 1)
    FloorCoefficients(exponent=31.0, floor_loss_db=16.0)
    """
    if building not in ("apartment", "house", "office"):
        raise ValueError(f"building is {building!r}, 'apartment', 'house' or 'office' is needed")
    if floors < 0:
        raise ValueError(f"{floors} floors are given, none or more are needed")
    f_ghz = frequency_mhz / 1000.0
    if not _FIVE_GHZ[0] <= f_ghz <= _FIVE_GHZ[1]:
        return FloorCoefficients(float("nan"), float("nan"))
    exponent, losses_db = _BY_FLOOR.get((5.2 if f_ghz < 5.5 else 5.8, building), (float("nan"), ()))
    if floors == 0:
        return FloorCoefficients(exponent, 0.0)
    return FloorCoefficients(exponent, losses_db[floors - 1] if floors <= len(losses_db) else float("nan"))


def indoor_floors_loss_db(
    distance_m: ArrayLike, frequency_mhz: ArrayLike, exponent: ArrayLike, floor_loss_db: ArrayLike = 0.0
) -> FloatArray:
    r"""Median loss in a building with floors between, by the older form.

    Parameters
    ----------
    distance_m : array_like of float, shape (...)
        Straight distance, >= 1. [m]
    frequency_mhz : array_like of float, broadcast with the rest
        Carrier frequency, 900 to 100,000. [MHz]
    exponent : array_like of float, broadcast with the rest
        Distance power loss coefficient N, > 0 (`floor_coefficients`). [1]
    floor_loss_db : array_like of float, broadcast with the rest, default 0
        Loss Lf of all floors between, >= 0. [dB]

    Returns
    -------
    ndarray of float, broadcast shape
        Median loss, free space included; NaN where an input is NaN or outside its range. [dB]

    Notes
    -----
    .. math:: L = 20 \log_{10} f + N \log_{10} d + L_f - 28

    with f in MHz and d in m. Walls of a floor are in N: nothing is added for a wall.
    Source: [P1238]_, P.1238-7 (2012) to -9 (2017), section 3.1, equation 1.

    Examples
    --------
    >>> round(float(indoor_floors_loss_db(20, 5200, 31, 16)), 2)
    102.65
    """
    d, f_mhz = float_array(distance_m), float_array(frequency_mhz)
    n, floor_db = float_array(exponent), float_array(floor_loss_db)
    d = nan_unless((d >= 1.0) & (d < np.inf), d)
    f_mhz = nan_unless((f_mhz >= 900.0) & (f_mhz <= 100_000.0), f_mhz)
    n = nan_unless((n > 0.0) & (n < np.inf), n)
    floor_db = nan_unless((floor_db >= 0.0) & (floor_db < np.inf), floor_db)
    return 20.0 * np.log10(f_mhz) + n * np.log10(d) + floor_db - 28.0
