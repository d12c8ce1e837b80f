"""Reach of a pair: laws, limits and refusals."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.assess.pair_reach import Unit, pair_reach, range_at_margin_m
from survey_app.errors import UsageError
from survey_app.gear import load_catalogue
from survey_app.site.gear_type import AntennaType, RadioType
from survey_app.spectrum import load_regions

CATALOGUE = load_catalogue()
REGIONS = load_regions()


def unit(name: str, antenna: str | None = None) -> Unit:
    gear = CATALOGUE.find(name)
    assert isinstance(gear, RadioType)
    if antenna is None:
        assert gear.pattern is not None
        return Unit(gear, gear.pattern)
    found = CATALOGUE.find(antenna)
    assert isinstance(found, AntennaType)
    return Unit(gear, found.pattern)


def units() -> list[Unit]:
    radios = [item for item in CATALOGUE.of_kind("radio") if isinstance(item, RadioType)]
    own = [Unit(item, item.pattern) for item in radios if item.pattern is not None]
    antennas = [item.pattern for item in CATALOGUE.of_kind("antenna") if isinstance(item, AntennaType)]
    return own + [Unit(item, pattern) for item in radios if item.pattern is None for pattern in antennas]


@pytest.mark.parametrize("region", REGIONS.codes)
def test_every_pair_of_the_catalogue_has_an_answer_inside_the_limits(region: str) -> None:
    for here, there in itertools.combinations_with_replacement(units(), 2):
        for several in (False, True):
            try:
                found = pair_reach(here, there, REGIONS.find(region), wanted_mbps=8.0, several_stations=several)
            except UsageError:
                continue
            for rate in found.rates:
                for sent, limit in zip(rate.sent_dbm, found.conducted_limit_dbm, strict=True):
                    assert sent <= limit + 1e-9
            reaches = [rate.reach_m for rate in found.rates]
            assert reaches == sorted(reaches, reverse=True)


def test_swapping_the_ends_of_a_point_to_point_pair_changes_nothing_but_the_names() -> None:
    here, there = unit("bowline-p16"), unit("sheave-d25")
    one, other = (
        pair_reach(*pair, REGIONS.find("US"), wanted_mbps=20.0, channel=161) for pair in ((here, there), (there, here))
    )
    assert one.reach_m == other.reach_m
    assert one.conducted_limit_dbm == other.conducted_limit_dbm[::-1]
    assert [rate.reach_m for rate in one.rates] == [rate.reach_m for rate in other.rates]


def test_weaker_sender_decides() -> None:
    """A dish hears a weak panel as far as the panel hears the dish's own limit: the one with less power counts."""
    hub, panel = unit("becket-c", "rove-o12"), unit("bowline-p16")
    found = pair_reach(hub, panel, REGIONS.find("EU"), wanted_mbps=8.0, several_stations=True)
    assert found.conducted_limit_dbm[1] < found.conducted_limit_dbm[0]
    assert {rate.weaker for rate in found.rates} == {"station"}


def test_alike_ends_say_that_both_decide() -> None:
    found = pair_reach(unit("bowline-p18"), unit("bowline-p18"), REGIONS.find("US"), wanted_mbps=8.0)
    assert {rate.weaker for rate in found.rates} == {"both"}


def test_more_margin_more_noise_or_more_width_reach_less() -> None:
    pair = (unit("bowline-p19"), unit("bowline-p19"), REGIONS.find("US"))
    plain = pair_reach(*pair, wanted_mbps=10.0, margin_db=10.0, rise_db=0.0, channel=161).rates[4].reach_m
    assert pair_reach(*pair, wanted_mbps=10.0, margin_db=16.0, rise_db=0.0, channel=161).rates[4].reach_m < plain
    assert pair_reach(*pair, wanted_mbps=10.0, margin_db=10.0, rise_db=6.0, channel=161).rates[4].reach_m < plain
    wide = pair_reach(*pair, wanted_mbps=10.0, margin_db=10.0, rise_db=0.0, width_mhz=40)
    assert wide.rates[4].reach_m < plain
    assert wide.rates[4].link_rate_mbps > 2 * 78.0 * 0.99


@given(level=st.floats(60.0, 160.0), more=st.floats(0.0, 20.0))
def test_default_margin_never_reaches_less_with_more_level(level: float, more: float) -> None:
    one, other = (float(range_at_margin_m(value, 5600.0, None)) for value in (level, level + more))
    assert other >= one


def test_default_margin_is_ten_to_a_kilometre_and_fifteen_beyond() -> None:
    level = np.linspace(80.0, 150.0, 200)
    found = range_at_margin_m(level, 5600.0, None)
    near, far = range_at_margin_m(level, 5600.0, 10.0), range_at_margin_m(level, 5600.0, 15.0)
    np.testing.assert_array_equal(found[near <= 1000.0], near[near <= 1000.0])
    np.testing.assert_array_equal(found[far >= 1000.0], far[far >= 1000.0])
    np.testing.assert_array_equal(found[(near > 1000.0) & (far < 1000.0)], 1000.0)


def test_indoor_pair_is_judged_indoors() -> None:
    found = pair_reach(unit("becket-i5"), unit("becket-i5"), REGIONS.find("EU"), wanted_mbps=10.0, channel=36)
    assert "indoor" in found.limit_sentences[0].lower() or found.channel == 36
    with pytest.raises(UsageError, match="channel 36"):
        pair_reach(unit("bowline-p16"), unit("bowline-p16"), REGIONS.find("EU"), wanted_mbps=10.0, channel=36)


def test_limit_below_the_floor_of_a_unit_leaves_no_rate() -> None:
    dish = unit("sheave-d29")
    quiet = Unit(dish.gear.model_validate(dish.gear.model_dump() | {"power_floor_dbm": 5.0}), dish.pattern)
    found = pair_reach(quiet, quiet, REGIONS.find("EU"), wanted_mbps=5.0)
    assert found.conducted_limit_dbm[0] < 5.0
    assert found.rates == ()
    assert found.reach_m is None


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"wanted_mbps": 0.0}, "cannot be carried"),
        ({"wanted_mbps": float("nan")}, "cannot be carried"),
        ({"width_mhz": 80}, "80 MHz"),
        ({"margin_db": -1.0}, "margin"),
        ({"rise_db": 61.0}, "rise"),
        ({"channel": 14}, "channel 14"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(changes: dict[str, float], words: str) -> None:
    arguments = {"wanted_mbps": 5.0} | changes
    with pytest.raises(UsageError, match=words):
        pair_reach(unit("bowline-p16"), unit("bowline-p16"), REGIONS.find("CA"), **arguments)
