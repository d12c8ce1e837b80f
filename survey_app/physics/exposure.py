"""Exposure: how near to an antenna somebody may come while it sends."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray
from survey_app.physics.decibels import dbm_to_mw
from survey_app.physics.domains import at_least_one, not_negative, positive

__all__ = [
    "EXPOSURE_LIMITS_W_M2",
    "GROUND_REFLECTION_FACTOR",
    "LEAST_DISTANCE_M",
    "exposure_distance_m",
    "keep_out_m",
    "power_density_w_m2",
]

#: Power density for the whole body by (rule, who): [CFR11310]_, table 1 (1 and 5 mW/cm2); [ICNIRP]_, 2020, table 5.
EXPOSURE_LIMITS_W_M2: Final = {
    ("47 CFR 1.1310", "public"): 10.0,
    ("47 CFR 1.1310", "occupational"): 50.0,
    ("ICNIRP 2020", "public"): 10.0,
    ("ICNIRP 2020", "occupational"): 50.0,
}

#: Worst reflection from the ground: field times 1.6, [OET65]_ from memory.
GROUND_REFLECTION_FACTOR: Final = 2.56

#: Distance below which no sheet goes, whatever the formula says. [PRACTICE]_.
LEAST_DISTANCE_M: Final = 0.20


def power_density_w_m2(eirp_dbm: ArrayLike, distance_m: ArrayLike, reflection_factor: ArrayLike = 1.0) -> FloatArray:
    r"""Power density on the axis of an antenna.

    Parameters
    ----------
    eirp_dbm : array_like of float, shape (...)
        Equivalent isotropic radiated power, sending all the time. [dBm]
    distance_m : array_like of float, broadcast with it
        Distance from the antenna, > 0. [m]
    reflection_factor : array_like of float, broadcast with it, default 1
        1 in free space, 2.56 with the worst reflection from the ground; >= 1.

    Returns
    -------
    ndarray of float, broadcast shape
        Power density; NaN where an input is NaN or out of domain. [W/m2]

    Notes
    -----
    .. math:: S = k P / (4 \pi R^2)

    Far-field formula; it overstates close to a panel. Source: [OET65]_, edition 97-01, section 2.

    Examples
    --------
    >>> round(float(power_density_w_m2(36, 1.0)), 3)
    0.317
    """
    area_m2 = 4.0 * np.pi * np.square(positive(distance_m))
    return at_least_one(reflection_factor) * dbm_to_mw(eirp_dbm) / 1000.0 / area_m2


def exposure_distance_m(eirp_dbm: ArrayLike, limit_w_m2: ArrayLike, reflection_factor: ArrayLike = 1.0) -> FloatArray:
    r"""Distance on the axis at which a limit is met.

    Parameters
    ----------
    eirp_dbm : array_like of float, shape (...)
        Equivalent isotropic radiated power, sending all the time. [dBm]
    limit_w_m2 : array_like of float, broadcast with it
        Power density that is allowed, > 0, see `EXPOSURE_LIMITS_W_M2`. [W/m2]
    reflection_factor : array_like of float, broadcast with it, default 1
        1 in free space, 2.56 with the worst reflection from the ground; >= 1.

    Returns
    -------
    ndarray of float, broadcast shape
        Distance; NaN where an input is NaN or out of domain. [m]

    Notes
    -----
    .. math:: R = \sqrt{k P / (4 \pi S)}

    Source: [OET65]_, edition 97-01, section 2, solved for the distance.

    Examples
    --------
    >>> round(float(exposure_distance_m(36, 10)), 3)
    0.178
    """
    power_w = at_least_one(reflection_factor) * dbm_to_mw(eirp_dbm) / 1000.0
    return np.sqrt(power_w / (4.0 * np.pi * positive(limit_w_m2)))


def keep_out_m(
    eirp_dbm: ArrayLike,
    limit_w_m2: ArrayLike,
    reflection_factor: ArrayLike = GROUND_REFLECTION_FACTOR,
    manual_m: ArrayLike = 0.0,
) -> FloatArray:
    """Distance that a sheet states: the largest of the formula, 0.20 m and the distance in the unit's own manual.

    Parameters
    ----------
    eirp_dbm, limit_w_m2 : array_like of float, broadcast together
        As in `exposure_distance_m`.
    reflection_factor : array_like of float, broadcast with them, default 2.56
        As in `exposure_distance_m`.
    manual_m : array_like of float, broadcast with them, default 0
        Distance in the manual; 0 where it gives none. [m]

    Returns
    -------
    ndarray of float, broadcast shape
        Distance, >= 0.20; NaN where an input is NaN or out of domain. [m]

    Notes
    -----
    The floor is common practice, [PRACTICE]_.

    Examples
    --------
    >>> keep_out_m([30, 47], 10).round(2)
    array([0.2 , 1.01])
    """
    computed = exposure_distance_m(eirp_dbm, limit_w_m2, reflection_factor)
    return np.maximum(np.maximum(computed, LEAST_DISTANCE_M), not_negative(manual_m))
