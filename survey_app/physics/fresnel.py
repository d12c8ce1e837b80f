"""The Fresnel zones of a path: how much room a ray wants round itself."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.free_space import wavelength_m

__all__ = ["fresnel_zone_radius_m"]


def fresnel_zone_radius_m(
    distance_1_m: ArrayLike, distance_2_m: ArrayLike, frequency_mhz: ArrayLike, zone: int = 1
) -> FloatArray:
    r"""Radius of a Fresnel zone at points of a path.

    Parameters
    ----------
    distance_1_m, distance_2_m : array_like of float, broadcast together
        Distance from the point to either antenna, >= 0, not both 0. [m]
    frequency_mhz : array_like of float, broadcast with the distances
        Carrier frequency, > 0. [MHz]
    zone : int, default 1
        Number of the zone, >= 1.

    Returns
    -------
    ndarray of float, broadcast shape
        Radius across the path, 0 at an antenna; NaN where an input is NaN or outside its range. [m]

    Raises
    ------
    ValueError
        `zone` is not a positive integer.

    Notes
    -----
    .. math:: r_n = \sqrt{\frac{n \lambda d_1 d_2}{d_1 + d_2}}

    Holds where the radius is small against both distances; within a few wavelengths of an antenna it is too small.
    Source: [P530]_, P.530-17 (2017), section 2.2.

    Examples
    --------
    >>> round(float(fresnel_zone_radius_m(500, 500, 5800)), 3)
    3.595
    """
    if isinstance(zone, bool) or not isinstance(zone, int) or zone < 1:
        raise ValueError(f"zone is {zone!r}, a whole number from 1 is needed")
    distance_1_m, distance_2_m = float_array(distance_1_m), float_array(distance_2_m)
    distance_1_m = nan_unless((distance_1_m >= 0.0) & np.isfinite(distance_1_m), distance_1_m)
    distance_2_m = nan_unless((distance_2_m >= 0.0) & np.isfinite(distance_2_m), distance_2_m)
    with np.errstate(over="ignore"):
        whole_m = distance_1_m + distance_2_m
        product_m2 = distance_1_m * distance_2_m
    whole_m = nan_unless((whole_m > 0.0) & np.isfinite(product_m2), whole_m)
    # One product of the distances, so that both directions of a path give the same bits.
    return np.sqrt(zone * wavelength_m(frequency_mhz) * product_m2 / whole_m)
