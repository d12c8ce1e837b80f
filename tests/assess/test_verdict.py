"""Whether a level that was read is right: in the unit's own convention, for its power state, by the sheet's figures."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from survey_app.assess.pipeline import assess
from survey_app.assess.record import HopRow
from survey_app.assess.verdict import judge_reading, shown_limits
from survey_app.data import demo_sites_folder
from survey_app.site.evidence import Reading
from survey_app.site.file import read_site

AT = datetime.datetime(2026, 12, 3, 10, 0, tzinfo=datetime.UTC)


@pytest.fixture(scope="module")
def hop() -> HopRow:
    return assess(read_site(demo_sites_folder() / "boatyard")).hop("G")


def reading(**fields: Any) -> Reading:
    return Reading(at=AT, by="A. Reader", hop="G", end="station", **fields)


def with_end(hop: HopRow, **fields: Any) -> HopRow:
    end = hop.ends.station.model_copy(update=fields)
    return hop.model_copy(update={"ends": hop.ends.model_copy(update={"station": end})})


def test_each_word_stands_from_its_limit_on(hop):
    limits = shown_limits(hop.ends.station)
    assert limits is not None
    cases = {
        limits.good_high_dbm + 1: "too strong",
        limits.good_high_dbm: "good",
        limits.good_low_dbm: "good",
        limits.good_low_dbm - 1: "low",
        limits.low_dbm: "low",
        limits.low_dbm - 1: "not accepted",
        limits.wrong_dbm: "not accepted",
        limits.wrong_dbm - 1: "wrong path",
    }
    assert {level: judge_reading(hop, reading(level_dbm=level)).word for level in cases} == cases


def test_sentence_says_what_was_read_expected_and_good_and_what_to_do(hop):
    limits = shown_limits(hop.ends.station)
    assert limits is not None
    said = judge_reading(hop, reading(level_dbm=limits.low_dbm)).sentence
    assert said.startswith(f"{limits.low_dbm:.0f} dBm at ST-gate is low: {limits.expected_dbm:.0f} dBm is expected")
    assert f"{limits.good_low_dbm:.0f} to {limits.good_high_dbm:.0f} dBm is good" in said
    assert said.endswith("look at clearance, cable and tilt.")


def test_limits_follow_what_the_units_own_display_shows(hop):
    end = hop.ends.station
    before = shown_limits(with_end(hop, expected_as_shown_dbm=end.window.expected_dbm).ends.station)
    after = shown_limits(with_end(hop, expected_as_shown_dbm=end.window.expected_dbm - 3.0).ends.station)
    assert before is not None
    assert after is not None
    assert [b - a for a, b in zip(after, before, strict=True)] == [3.0] * 5


def test_automatic_power_is_judged_by_its_own_window(hop):
    end = hop.ends.station
    weaker = end.window.model_copy(
        update={
            name: getattr(end.window, name) - 12.0
            for name in ("expected_dbm", "good_low_dbm", "good_high_dbm", "low_dbm")
        }
    )
    changed = with_end(hop, window_auto=weaker)
    level = shown_limits(changed.ends.station, automatic=True).expected_dbm
    assert judge_reading(changed, reading(level_dbm=level, power_mode="automatic")).word == "good"
    assert judge_reading(changed, reading(level_dbm=level, power_mode="fixed")).word != "good"


def test_chains_alone_are_added_up_and_their_difference_is_said(hop):
    combined = shown_limits(with_end(hop, expected_as_shown_dbm=None).ends.station)
    shown = with_end(hop, expected_as_shown_dbm=None)
    each = combined.expected_dbm - 3.0
    even = judge_reading(shown, reading(level_per_chain_dbm=(each, each)))
    assert even.word == "good"
    assert even.sentence.startswith(f"{combined.expected_dbm:.0f} dBm")
    assert "chains" not in even.sentence
    assert "chains" not in judge_reading(shown, reading(level_per_chain_dbm=(each, each - 3.0))).sentence
    assert "Its chains differ by 4 dB" in judge_reading(shown, reading(level_per_chain_dbm=(each, each - 4.0))).sentence


def test_without_a_level_or_an_expectation_it_says_so(hop):
    assert judge_reading(hop, reading(rate_mbps=130.0)) == ("", "No level was read: there is nothing to judge.")
    found = judge_reading(with_end(hop, window=None), reading(level_dbm=-50.0))
    assert found.word == ""
    assert "no level is expected there" in found.sentence
