"""`reach`: the answer, its table, the three figures and why they shrink."""

from __future__ import annotations

import json
import re

import pytest

from tests.cli.process import Cli

PAIR = ("reach", "bowline-p18", "--margin", "15", "--rise", "0")


def test_answer_table_and_three_figures_are_printed(cli: Cli) -> None:
    out = cli(*PAIR, "--region", "US", "--mbps", "20", "--channel", "161").out
    assert "20 Mbit/s: 18.36 km (rate index 2)" in out
    assert len(re.findall(r"^ +[0-7] +", out, re.MULTILINE)) == 8
    for words in ("full rate", "several stations", "one small stream"):
        assert re.search(rf"^{words} +\d", out, re.MULTILINE)


def test_two_types_and_an_antenna_make_a_pair(cli: Cli) -> None:
    found = cli("reach", "becket-c", "bowline-p16", "--region", "EU", "--mbps", "8", "--as", "multipoint", "--antenna", "rove-o12", "--json")  # fmt: skip
    record = json.loads(found.out)
    assert record["gear"] == ["becket-c", "bowline-p16"]
    assert record["topologies"] == ["multipoint_hub", "client"]
    assert record["reach_m"] > 0


def test_serving_several_stations_shortens_the_reach_and_says_why(cli: Cli) -> None:
    one = json.loads(cli(*PAIR, "--region", "US", "--mbps", "20", "--channel", "161", "--json").out)
    many = json.loads(
        cli(*PAIR, "--region", "US", "--mbps", "20", "--channel", "161", "--as", "multipoint", "--json").out
    )
    assert many["reach_m"] < one["reach_m"] / 2
    assert "They shrink" in many["sentences"][0]
    assert "47 CFR 15.407(a)(3)(i)" in many["sentences"][0]


def test_rate_that_no_index_carries_is_answered_not_refused(cli: Cli) -> None:
    found = cli(*PAIR, "--region", "US", "--mbps", "2000")
    assert found.status == 0
    assert "not at any distance" in found.out


def test_channel_that_is_not_permitted_is_refused_with_those_that_are(cli: Cli) -> None:
    found = cli(*PAIR, "--region", "EU", "--mbps", "10", "--channel", "36")
    assert found.status == 2
    assert "100-116" in found.err


@pytest.mark.parametrize("region", ["AU", "CA", "EU", "UK", "US"])
def test_every_region_gives_an_answer(cli: Cli, region: str) -> None:
    assert cli(*PAIR, "--region", region, "--mbps", "10").status == 0
