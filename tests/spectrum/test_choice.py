"""Channels to choose from, and the ones to offer instead of a bad one."""

from __future__ import annotations

import math

import pytest

from survey_app.spectrum import (
    centre_mhz,
    channels_in_words,
    load_regions,
    most_eirp_dbm,
    other_channels,
    resolve,
    valid_channels,
)
from survey_app.spectrum.rules import Place

REGIONS = load_regions()
EU, US, UK = (REGIONS.find(code) for code in ("EU", "US", "UK"))


@pytest.mark.parametrize(
    ("region", "place", "width", "words"),
    [
        ("EU", "outdoor", 20, "100-140, 149-173"),
        ("EU", "indoor", 20, "36-64, 100-140, 149-173"),
        ("EU", "outdoor", 40, "102-134, 151-167"),
        ("UK", "outdoor", 20, "100-144"),
        ("US", "outdoor", 20, "36-64, 100-144, 149-165"),
        ("US", "outdoor", 80, "42-58, 106-138, 155"),
        ("CA", "outdoor", 20, "52-64, 100-144, 149-165"),
        ("AU", "outdoor", 20, "100-116, 132-144, 149-165, 173"),
        ("AU", "outdoor", 40, "102-110, 134-142, 151-159"),
    ],
)
def test_valid_channels_of_a_region(region: str, place: Place, width: int, words: str) -> None:
    assert channels_in_words(valid_channels(REGIONS.find(region), place, "multipoint_hub", width), width) == words


def test_valid_channels_are_all_permitted() -> None:
    for region in REGIONS.regions:
        for width in (20, 40, 80):
            for number in valid_channels(region, "outdoor", "client", width):
                assert resolve(region, "outdoor", "client", float(centre_mhz(number)), width, True) is not None


def test_other_channels_outdoors_in_europe_leave_out_the_slow_and_the_weak() -> None:
    assert channels_in_words(other_channels(EU, "outdoor", "point_to_point", 20)) == "100-116, 132-140"
    slow = other_channels(EU, "outdoor", "point_to_point", 20, longest_wait_s=600)
    assert channels_in_words(slow) == "100-140"
    weak = other_channels(EU, "outdoor", "point_to_point", 20, least_eirp_dbm=0.0)
    assert channels_in_words(weak) == "100-116, 132-140, 149-173"


def test_other_channels_outdoors_in_britain_match_the_edge_of_5730_mhz() -> None:
    assert channels_in_words(other_channels(UK, "outdoor", "multipoint_hub", 20)) == "100-116, 132-144"


def test_other_channels_without_a_radar_check_can_be_asked_for() -> None:
    assert channels_in_words(other_channels(US, "outdoor", "client", 20, longest_wait_s=0)) == "36-48, 149-165"


def test_channels_of_the_low_band_are_kept_apart() -> None:
    assert valid_channels(US, "outdoor", "client", 20, band="2.4 GHz") == (1, 6, 11)
    assert all(number > 14 for number in valid_channels(US, "outdoor", "client", 20))


def test_most_eirp_is_infinite_where_only_conducted_power_is_limited() -> None:
    link = resolve(US, "outdoor", "point_to_point", 5785.0, 20.0, True)
    low = resolve(EU, "outdoor", "client", 5500.0, 20.0, False)
    assert link is not None
    assert low is not None
    assert most_eirp_dbm(link) == math.inf
    assert most_eirp_dbm(low) == 27.0
