"""The sun against an independent library of astronomy."""

from __future__ import annotations

import datetime

import numpy as np
import pytest

from survey_app.ground.bearings import turn
from survey_app.ground.sun import daylight, sun_position


@pytest.fixture
def airless():
    """Azimuth and elevation of the sun without the air, by the other library, without the network."""
    pytest.importorskip("astropy")
    import astropy.units as u
    from astropy.coordinates import AltAz, EarthLocation, get_sun
    from astropy.time import Time
    from astropy.utils import iers

    def sky(lat, lon, time):
        when = Time(time)
        where = EarthLocation.from_geodetic(np.asarray(lon) * u.deg, np.asarray(lat) * u.deg)
        seen = get_sun(when).transform_to(AltAz(obstime=when, location=where))
        return seen.az.deg, seen.alt.deg

    with iers.conf.set_temp("auto_download", False), iers.conf.set_temp("auto_max_age", None):
        yield sky


def test_sun_position_over_the_globe_agrees_with_an_independent_library(airless):
    # [NOAASOLAR] claims some hundredths of a degree; tolerance 0.02 deg on the sky
    random = np.random.default_rng(3)
    lat, lon = random.uniform(-85, 85, 400), random.uniform(-180, 180, 400)
    milliseconds = random.uniform(0, 2.8 * 365.25 * 86400e3, 400).astype("timedelta64[ms]")
    time = np.datetime64("2024-01-01", "ms") + milliseconds
    sun = sun_position(lat, lon, time)
    azimuth, elevation = airless(lat, lon, time)
    assert np.abs(sun.elevation_airless_deg - elevation).max() < 0.02
    across = turn(sun.azimuth_deg, azimuth) * np.cos(np.radians(elevation))
    assert np.abs(across).max() < 0.02


@pytest.mark.parametrize(
    ("lat", "lon", "date"),
    [
        (56.3, 11.8, datetime.date(2026, 12, 21)),
        (43.55, -69.6, datetime.date(2026, 6, 1)),
        (-33.9, 151.2, datetime.date(2026, 3, 1)),
        (65.0, 20.0, datetime.date(2026, 6, 20)),
        (-17.8, 179.97, datetime.date(2026, 5, 5)),
        (0.0, -180.0, datetime.date(2026, 9, 23)),
    ],
)
def test_daylight_starts_and_ends_with_the_upper_edge_on_the_horizon(airless, lat, lon, date):
    # [NOAASOLAR]: 0.833 deg below the horizon without the air
    light = daylight(lat, lon, date)
    for moment in (light.sunrise_utc, light.sunset_utc):
        _, elevation = airless(lat, lon, moment)
        assert elevation == pytest.approx(-0.833, abs=0.02)
    assert light.sunrise_utc < light.sunset_utc
