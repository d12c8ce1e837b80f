"""The line between two positions without a site."""

from __future__ import annotations

import datetime
import math

import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st

from survey_app.assess.aim_line import aim_line
from survey_app.assess.pipeline import assess
from survey_app.errors import UsageError
from survey_app.ground.parse import Position
from survey_app.site import read_site
from tests.cli.process import ROOT

DAY = datetime.date(2026, 12, 1)


@given(
    lat=st.floats(-80, 80), lon=st.floats(-180, 180), north=st.floats(-0.2, 0.2), east=st.floats(-0.2, 0.2),
    low=st.floats(0, 500), high=st.floats(0, 500),
)  # fmt: skip
def test_bearings_and_distance_agree_with_an_independent_library(
    lat: float, lon: float, north: float, east: float, low: float, high: float
) -> None:
    """geographiclib, an independent library: both ends, across the date line too."""
    there = (lat + north, (lon + east + 180) % 360 - 180)
    line = Geodesic.WGS84.Inverse(lat, lon, *there)
    if line["s12"] < 1.0:
        return
    found = aim_line(Position(lat, lon, low), Position(*there, high), frequency_mhz=5800.0, date=DAY)
    assert found.ground_distance_m == pytest.approx(line["s12"], abs=1e-6)
    for ours, theirs in ((found.start, line["azi1"]), (found.end, line["azi2"] + 180)):
        assert ours.bearing_true_deg is not None
        assert math.remainder(ours.bearing_true_deg - theirs, 360) == pytest.approx(0, abs=1e-6)


def test_hops_of_a_demo_site_are_the_same_without_the_site() -> None:
    site = read_site(ROOT / "demo_sites" / "boatyard")
    assessment = assess(site)
    radios = {row.id: row for row in assessment.radios}
    datum = site.design.plane.datum_elevation_m
    for hop in assessment.hops:
        here, there = radios[hop.access_point], radios[hop.station]
        ends = [Position(r.lat_deg or 0.0, r.lon_deg or 0.0, r.antenna_elevation_m + datum) for r in (here, there)]
        line = aim_line(*ends, frequency_mhz=hop.centre_mhz or 0.0, date=site.design.as_of)
        assert line.distance_m == pytest.approx(hop.distance_m, abs=1e-6)
        assert line.free_space_loss_db == pytest.approx(hop.free_space_loss_db, abs=1e-9)
        for ours, row in ((line.start, hop.ends.access_point), (line.end, hop.ends.station)):
            assert ours.bearing_true_deg == pytest.approx(row.bearing_true_deg, abs=1e-9)
            assert ours.tilt_deg == pytest.approx(row.tilt_deg, abs=1e-9)
            assert ours.bearing_magnetic_deg == pytest.approx(row.bearing_magnetic_deg, abs=0.01)


def test_swapping_the_ends_swaps_the_answers() -> None:
    one, other = Position(53.8, -4.6, 12.0), Position(53.81, -4.58, 40.0)
    there, back = (aim_line(*pair, frequency_mhz=5500.0, date=DAY) for pair in ((one, other), (other, one)))
    assert (there.start, there.end) == (back.end, back.start)
    assert there.distance_m == back.distance_m


def test_height_that_is_missing_and_one_spot_are_refused() -> None:
    with pytest.raises(UsageError, match="height"):
        aim_line(Position(1.0, 2.0), Position(1.0, 2.1, 5.0), frequency_mhz=5800.0, date=DAY)
    with pytest.raises(UsageError, match="one spot"):
        aim_line(Position(1.0, 2.0, 5.0), Position(1.0, 2.0, 5.0), frequency_mhz=5800.0, date=DAY)


@pytest.mark.parametrize("frequency_mhz", [0.0, -1.0, math.nan, math.inf])
def test_frequency_that_cannot_be_is_refused(frequency_mhz: float) -> None:
    with pytest.raises(UsageError, match="frequency"):
        aim_line(Position(1.0, 2.0, 5.0), Position(1.0, 2.1, 5.0), frequency_mhz=frequency_mhz, date=DAY)
