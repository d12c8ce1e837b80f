"""Indoors on one floor: median loss and its spread by the kind of place, walls and furniture included."""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless

__all__ = ["IndoorPlace", "indoor_loss_db", "indoor_sigma_db"]

IndoorPlace = Literal["office", "corridor", "industrial"]


class _Row(NamedTuple):
    """Coefficients of one kind of place, with the ranges in which they were measured."""

    alpha: float
    beta: float
    gamma: float
    sigma_db: float
    frequency_ghz: tuple[float, float]
    distance_m: tuple[float, float]


# [P1238]_, P.1238-11 (2021), section 3.1, Table 2, by place and line of sight.
_PLACES: Final = {
    ("office", True): _Row(1.46, 34.62, 2.03, 3.76, (0.3, 83.5), (2.0, 27.0)),
    ("office", False): _Row(2.46, 29.53, 2.38, 5.04, (0.3, 82.0), (4.0, 30.0)),
    ("corridor", True): _Row(1.63, 28.12, 2.25, 4.07, (0.3, 83.5), (2.0, 160.0)),
    ("corridor", False): _Row(2.77, 29.27, 2.48, 7.63, (0.625, 83.5), (4.0, 94.0)),
    ("industrial", True): _Row(2.31, 24.52, 2.06, 2.69, (0.625, 70.28), (2.0, 101.0)),
    ("industrial", False): _Row(3.79, 21.01, 1.34, 9.05, (0.625, 70.28), (5.0, 108.0)),
}


def indoor_loss_db(
    distance_m: ArrayLike, frequency_mhz: ArrayLike, place: IndoorPlace, line_of_sight: bool
) -> FloatArray:
    r"""Median loss between two places on one floor of a kind of building.

    Parameters
    ----------
    distance_m : array_like of float, shape (...)
        Straight distance, within the range in which the place was measured (2 to 27 m for an office in sight). [m]
    frequency_mhz : array_like of float, broadcast with `distance_m`
        Carrier frequency, within the range in which the place was measured (at least 625 to 70,280). [MHz]
    place : {"office", "corridor", "industrial"}
        Kind of building.
    line_of_sight : bool
        Whether the places see each other.

    Returns
    -------
    ndarray of float, broadcast shape
        Median loss between isotropic antennas, free space included; NaN where an input is NaN or outside its range.
        [dB]

    Raises
    ------
    ValueError
        `place` is none of the three.

    Notes
    -----
    .. math:: L = 10 \alpha \log_{10} d + \beta + 10 \gamma \log_{10} f

    with d in m and f in GHz. Walls and furniture of such places are in the coefficients: nothing is added for a wall.
    Source: [P1238]_, P.1238-11 (2021), section 3.1, equation 1, Table 2.

    Examples
    --------
    >>> round(float(indoor_loss_db(20, 5500, "office", False)), 2)
    79.16
    """
    row = _row(place, line_of_sight)
    d, f_ghz = float_array(distance_m), float_array(frequency_mhz) / 1000.0
    d = nan_unless((d >= row.distance_m[0]) & (d <= row.distance_m[1]), d)
    f_ghz = nan_unless((f_ghz >= row.frequency_ghz[0]) & (f_ghz <= row.frequency_ghz[1]), f_ghz)
    return 10.0 * row.alpha * np.log10(d) + row.beta + 10.0 * row.gamma * np.log10(f_ghz)


def indoor_sigma_db(place: IndoorPlace, line_of_sight: bool) -> float:
    """Standard deviation of the loss round `indoor_loss_db`, from place to place.

    Parameters
    ----------
    place : {"office", "corridor", "industrial"}
        Kind of building.
    line_of_sight : bool
        Whether the places see each other.

    Returns
    -------
    float
        [dB]

    Raises
    ------
    ValueError
        `place` is none of the three.

    Notes
    -----
    Source: [P1238]_, P.1238-11 (2021), section 3.1, Table 2.

    Examples
    --------
    >>> indoor_sigma_db("industrial", False)
    9.05
    """
    return _row(place, line_of_sight).sigma_db


def _row(place: IndoorPlace, line_of_sight: bool) -> _Row:
    row = _PLACES.get((place, bool(line_of_sight)))
    if row is None:
        raise ValueError(f"place is {place!r}, 'office', 'corridor' or 'industrial' is needed")
    return row
