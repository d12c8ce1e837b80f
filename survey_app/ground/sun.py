"""Where the sun stands: to aim by it at a stated minute, and how long a day has light."""

from __future__ import annotations

import datetime
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.ground._arrays import FloatArray, broadcast
from survey_app.ground.bearings import reduce_bearing

__all__ = ["Daylight", "SunPosition", "daylight", "sun_position"]

TimeArray = NDArray[np.datetime64]

# Half the sun's disc and the refraction at the horizon.  [NOAASOLAR]
_HORIZON_DEG = -0.833
_DAYS_IN_CENTURY = 36525.0
_J2000 = np.datetime64("2000-01-01T12:00:00", "ms")
_MINUTES_IN_DAY = 1440.0


class SunPosition(NamedTuple):
    """Where the sun stands in the sky.

    Attributes
    ----------
    azimuth_deg : ndarray of float
        True bearing of the sun, 0 <= azimuth < 360. [deg]
    elevation_deg : ndarray of float
        Angle over the horizon as it is seen, lifted by the air. [deg]
    elevation_airless_deg : ndarray of float
        The same without the air. [deg]
    """

    azimuth_deg: FloatArray
    elevation_deg: FloatArray
    elevation_airless_deg: FloatArray


class Daylight(NamedTuple):
    """The light of one date.

    Attributes
    ----------
    sunrise_utc, sunset_utc : ndarray of datetime64
        When the sun's upper edge crosses a free horizon, UTC; NaT where it does not.
    hours : ndarray of float
        From sunrise to sunset; 24 where the sun does not set, 0 where it does not rise. [h]
    """

    sunrise_utc: TimeArray
    sunset_utc: TimeArray
    hours: FloatArray


def sun_position(lat_deg: ArrayLike, lon_deg: ArrayLike, time_utc: ArrayLike) -> SunPosition:
    """Azimuth and elevation of the sun.

    Parameters
    ----------
    lat_deg, lon_deg : array_like of float, broadcast together
        Latitude -90 to 90, and longitude, east positive. [deg]
    time_utc : array_like of datetime64 or naive datetime, broadcast with them
        Instant in UTC.

    Returns
    -------
    SunPosition
        NaN where an input is NaN, NaT or outside its range.

    Raises
    ------
    TypeError
        `time_utc` is no time, or has a time zone of its own.

    Notes
    -----
    The formulas of [NOAASOLAR]_ after [MEEUS1998]_ chapter 25, with the azimuth taken from sine and cosine, so that it
    is sharp near the meridian too. Good to 0.02 deg between the years 1900 and 2100; near the zenith and at the
    poles an azimuth means little.

    Examples
    --------
    >>> sun = sun_position(51.5, -0.12, np.datetime64("2026-06-21T12:00"))
    >>> round(float(sun.azimuth_deg), 1), round(float(sun.elevation_deg), 1)
    (178.9, 61.9)
    """
    time = _times(time_utc)
    lat, lon, minutes, century = broadcast(lat_deg, lon_deg, *_day_parts(time))
    lat = np.where(np.abs(lat) <= 90, lat, np.nan)
    declination_deg, equation_of_time_min = _sun(century)
    hour_angle = np.radians(reduce_bearing((minutes + equation_of_time_min) / 4.0 + lon) - 180.0)
    phi, delta = np.radians(lat), np.radians(declination_deg)
    east = -np.cos(delta) * np.sin(hour_angle)
    north = np.sin(delta) * np.cos(phi) - np.cos(delta) * np.sin(phi) * np.cos(hour_angle)
    up = np.sin(delta) * np.sin(phi) + np.cos(delta) * np.cos(phi) * np.cos(hour_angle)
    elevation_deg = np.degrees(np.arctan2(up, np.hypot(east, north)))
    azimuth_deg = reduce_bearing(np.degrees(np.arctan2(east, north)))
    return SunPosition(azimuth_deg, elevation_deg + _refraction(elevation_deg), elevation_deg)


def daylight(lat_deg: ArrayLike, lon_deg: ArrayLike, date: datetime.date) -> Daylight:
    """Sunrise, sunset and hours of light on one date.

    Parameters
    ----------
    lat_deg, lon_deg : array_like of float, broadcast together
        Latitude -90 to 90, and longitude, east positive. [deg]
    date : datetime.date
        The date at the place: the day about its own solar noon.

    Returns
    -------
    Daylight
        Sunrise and sunset in UTC, and the hours between; NaT and NaN where an input is NaN or outside its range.

    Notes
    -----
    The sun's upper edge on a free horizon, 0.833 deg below it without the air, [NOAASOLAR]_; iterated, since the sun
    moves while the day passes. Good to a minute up to 72 deg of latitude, ten minutes nearer to a pole.

    Examples
    --------
    >>> light = daylight(56.3, 11.8, datetime.date(2026, 12, 21))
    >>> str(light.sunrise_utc)[:16], round(float(light.hours), 1)
    ('2026-12-21T07:44', 6.9)
    """
    lat, lon = broadcast(lat_deg, lon_deg)
    lat = np.where((np.abs(lat) <= 90) & np.isfinite(lon), lat, np.nan)
    lon = reduce_bearing(lon + 180.0) - 180.0
    noon = np.datetime64(date, "D").astype("datetime64[ms]")
    century_at_zero_h = float((noon - _J2000) / np.timedelta64(1, "D")) / _DAYS_IN_CENTURY
    phi = np.radians(lat)

    def moment_min(side: float) -> tuple[FloatArray, FloatArray]:
        """Minutes of UTC at which the sun crosses the horizon, and the cosine of its hour angle there."""
        minutes = 720.0 - 4.0 * lon
        cosine = np.full(lat.shape, np.nan)
        for _ in range(4):
            declination_deg, equation_of_time_min = _sun(
                century_at_zero_h + minutes / _MINUTES_IN_DAY / _DAYS_IN_CENTURY
            )
            delta = np.radians(declination_deg)
            with np.errstate(divide="ignore", invalid="ignore"):
                cosine = (np.sin(np.radians(_HORIZON_DEG)) - np.sin(phi) * np.sin(delta)) / (
                    np.cos(phi) * np.cos(delta)
                )
            angle_deg = np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0)))
            minutes = 720.0 - 4.0 * lon - equation_of_time_min + side * 4.0 * angle_deg
        return minutes, cosine

    rise_min, rise_cosine = moment_min(-1.0)
    set_min, set_cosine = moment_min(+1.0)
    crosses = (np.abs(rise_cosine) <= 1) & (np.abs(set_cosine) <= 1)
    hours = np.where(crosses, (set_min - rise_min) / 60.0, np.where(rise_cosine < 0, 24.0, 0.0))
    return Daylight(
        _instants(noon, np.where(crosses, rise_min, np.nan)),
        _instants(noon, np.where(crosses, set_min, np.nan)),
        np.where(np.isnan(rise_cosine), np.nan, hours),
    )


def _times(time_utc: ArrayLike) -> TimeArray:
    """Return instants; a time zone inside them would be dropped in silence by numpy."""
    array = np.asarray(time_utc)
    if array.dtype.kind == "O":
        for instant in array.flat:
            if not isinstance(instant, datetime.datetime) or instant.tzinfo is not None:
                raise TypeError(f"expected an instant in UTC without a time zone, got {instant!r}")
    elif array.dtype.kind != "M":
        raise TypeError(f"expected instants, got {array.dtype}")
    return array.astype("datetime64[ms]")


def _day_parts(time: TimeArray) -> tuple[FloatArray, FloatArray]:
    """Minutes since midnight UTC, and centuries since the start of 2000."""
    minutes = (time - time.astype("datetime64[D]")) / np.timedelta64(1, "m")
    century = (time - _J2000) / np.timedelta64(1, "D") / _DAYS_IN_CENTURY
    return np.asarray(minutes, dtype=np.float64), np.asarray(century, dtype=np.float64)


def _instants(day: np.datetime64, minutes: FloatArray) -> TimeArray:
    known = np.isfinite(minutes)
    steps = np.round(np.where(known, minutes, 0.0) * 60_000.0).astype("timedelta64[ms]")
    return np.where(known, day + steps, np.datetime64("NaT", "ms"))


def _sun(century: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Declination of the sun [deg] and equation of time [min]; coefficients of [NOAASOLAR]."""
    t = np.asarray(century, dtype=np.float64)
    mean_longitude_deg = reduce_bearing(280.46646 + t * (36000.76983 + t * 0.0003032))
    mean_anomaly = np.radians(357.52911 + t * (35999.05029 - 0.0001537 * t))
    eccentricity = 0.016708634 - t * (0.000042037 + 0.0000001267 * t)
    centre_deg = (
        np.sin(mean_anomaly) * (1.914602 - t * (0.004817 + 0.000014 * t))
        + np.sin(2 * mean_anomaly) * (0.019993 - 0.000101 * t)
        + np.sin(3 * mean_anomaly) * 0.000289
    )
    node = np.radians(125.04 - 1934.136 * t)
    longitude = np.radians(mean_longitude_deg + centre_deg - 0.00569 - 0.00478 * np.sin(node))
    obliquity_deg = 23.0 + (26.0 + (21.448 - t * (46.815 + t * (0.00059 - t * 0.001813))) / 60.0) / 60.0
    obliquity = np.radians(obliquity_deg + 0.00256 * np.cos(node))
    declination_deg = np.degrees(np.arcsin(np.sin(obliquity) * np.sin(longitude)))
    y = np.square(np.tan(obliquity / 2.0))
    double_longitude = 2.0 * np.radians(mean_longitude_deg)
    equation = (
        y * np.sin(double_longitude)
        - 2.0 * eccentricity * np.sin(mean_anomaly)
        + 4.0 * eccentricity * y * np.sin(mean_anomaly) * np.cos(double_longitude)
        - 0.5 * np.square(y) * np.sin(2.0 * double_longitude)
        - 1.25 * np.square(eccentricity) * np.sin(2.0 * mean_anomaly)
    )
    return declination_deg, 4.0 * np.degrees(equation)


def _refraction(elevation_deg: FloatArray) -> FloatArray:
    """Lift of the sun by the air in its usual state [deg]; formula of [NOAASOLAR]."""
    height = np.clip(elevation_deg, -89.0, 89.0)
    tangent = np.tan(np.radians(height))
    with np.errstate(divide="ignore", invalid="ignore"):
        high = 58.1 / tangent - 0.07 / np.power(tangent, 3) + 0.000086 / np.power(tangent, 5)
        below = -20.772 / tangent
    low = 1735.0 + height * (-518.2 + height * (103.4 + height * (-12.79 + height * 0.711)))
    seconds = np.select([height > 85.0, height > 5.0, height > -0.575], [0.0 * height, high, low], default=below)
    return seconds / 3600.0
