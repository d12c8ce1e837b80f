"""The sun."""

import datetime

import numpy as np
import pytest

from survey_app.ground.sun import daylight, sun_position


def test_sun_position_at_noon_in_the_north_is_south_and_in_the_south_north():
    noon = np.datetime64("2026-03-20T12:07", "ms")
    assert sun_position(50.0, 0.0, noon).azimuth_deg == pytest.approx(180.0, abs=1.0)
    assert sun_position(-50.0, 0.0, noon).azimuth_deg % 360 == pytest.approx(0.0, abs=1.0)


def test_sun_position_in_the_morning_is_east():
    sun = sun_position(43.55, -69.6, np.datetime64("2026-06-01T13:00"))
    assert 60.0 < sun.azimuth_deg < 120.0
    assert sun.elevation_deg > 20.0


def test_sun_position_is_lifted_most_at_the_horizon_and_not_overhead():
    times = np.datetime64("2026-03-20T00:00", "m") + np.arange(0, 1440, 2)
    sun = sun_position(0.0, 0.0, times)
    lift = sun.elevation_deg - sun.elevation_airless_deg
    at_horizon = np.abs(sun.elevation_airless_deg) < 0.3
    assert (lift[at_horizon] > 0.4).all()
    assert (lift[at_horizon] < 0.7).all()
    assert (np.abs(lift[sun.elevation_airless_deg > 80]) < 0.01).all()
    assert np.isfinite(lift).all()


def test_sun_position_takes_naive_datetimes_and_refuses_zones():
    naive = datetime.datetime(2026, 6, 1, 13, 0)
    at = sun_position(43.55, -69.6, naive)
    assert at.azimuth_deg == sun_position(43.55, -69.6, np.datetime64("2026-06-01T13:00")).azimuth_deg
    with pytest.raises(TypeError, match="time zone"):
        sun_position(43.55, -69.6, naive.replace(tzinfo=datetime.UTC))
    for wrong in ("2026-06-01", 2026.5, datetime.date(2026, 6, 1), None):
        with pytest.raises(TypeError):
            sun_position(43.55, -69.6, wrong)


def test_sun_position_without_a_time_or_a_place_is_nan():
    sun = sun_position([43.55, 91.0, 43.55], -69.6, np.array(["NaT", "2026-06-01", "2026-06-01"], "datetime64[ms]"))
    assert np.isnan(sun.azimuth_deg).tolist() == [True, True, False]


def test_daylight_beyond_the_polar_circle_is_all_or_nothing():
    summer = daylight([69.65, 90.0, -69.65], 18.95, datetime.date(2026, 6, 21))
    assert summer.hours.tolist() == [24.0, 24.0, 0.0]
    assert np.isnat(summer.sunrise_utc).all()
    winter = daylight(69.65, 18.95, datetime.date(2026, 12, 21))
    assert winter.hours == 0.0


def test_daylight_at_the_equator_is_twelve_hours_and_a_few_minutes():
    light = daylight(0.0, [0.0, 179.9, -179.9], datetime.date(2026, 9, 1))
    assert light.hours == pytest.approx([12.1, 12.1, 12.1], abs=0.05)
    # the day about the place's own noon: nearly a whole day lies between both sides of 180 degrees
    apart = (light.sunrise_utc[2] - light.sunrise_utc[1]) / np.timedelta64(1, "h")
    assert apart == pytest.approx(24.0, abs=0.1)


def test_daylight_of_no_place_is_not_known():
    light = daylight([np.nan, 91.0, 10.0], [0.0, 0.0, np.inf], datetime.date(2026, 9, 1))
    assert np.isnan(light.hours).all()
    assert np.isnat(light.sunset_utc).all()
