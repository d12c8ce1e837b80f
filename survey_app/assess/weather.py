"""Rain and the first Fresnel zone of every hop, for the whole planned year."""

from __future__ import annotations

import numpy as np

from survey_app.assess.budget import Direction
from survey_app.assess.gather import HopArrays
from survey_app.assess.geometry import HopGeometry
from survey_app.assess.job import Job
from survey_app.physics import rain
from survey_app.physics.arrays import FloatArray
from survey_app.physics.free_space import wavelength_m

__all__ = ["fresnel_and_rain"]

_PERCENT = 0.01
_METHOD_BEGINS_M = 5000.0  # the fading method of P.530 is for longer paths; shorter ones keep a fixed margin


def fresnel_and_rain(
    job: Job, hops: HopArrays, where: HopGeometry, up: Direction, down: Direction
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return mid-path radius of the first Fresnel zone, rain loss and availability of all hops.

    Returns
    -------
    fresnel_radius_m : ndarray of float, shape (hops,)
        Radius at the middle of the path. [m]
    rain_db : ndarray of float, shape (hops,)
        Loss exceeded 0.01 % of the year at the site's rain rate; stands outside the clear-air level. [dB]
    availability_percent : ndarray of float, shape (hops,)
        100 less the time that rain exceeds the margin at the needed rate; NaN below the method's range. [%]
    """
    rate = np.full(len(hops.ids), job.defaults.rain_rate_mm_per_hour)
    rain_db = rain.rain_attenuation_db(where.distance_m, hops.centre_mhz, rate, _PERCENT)
    margin = np.minimum(up.margin_needed_db, down.margin_needed_db)
    exceeded = rain.rain_exceeded_percent(margin, where.distance_m, hops.centre_mhz, rate)
    long_enough = where.distance_m >= _METHOD_BEGINS_M
    radius = np.sqrt(wavelength_m(hops.centre_mhz) * where.distance_m) / 2.0
    return radius, rain_db, np.where(long_enough, 100.0 - exceeded, np.nan)
