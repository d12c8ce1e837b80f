"""`aim`: what it understands, what it prints, what it refuses."""

from __future__ import annotations

import json
import re

import pytest

from tests.cli.process import Cli

ENDS = ("--from", "43.55,-69.6,16", "--to", "43.551,-69.598,8", "--date", "2026-12-01")
PLACES = (
    "43.55,-69.6,16",
    "43.55, -69.6, 16 m",
    "43 33 0 N, 69 36 0 W, 16",
    "43°33'00\"N, 69°36'00\"W, 16",
    "N 43 33.0, W 69 36.0, 52.493438 ft",
)


def test_json_has_both_ends_and_the_line(cli: Cli) -> None:
    record = json.loads(cli("aim", *ENDS, "--json").out)
    assert set(record) >= {"from", "to", "distance_m", "ground_distance_m", "declination_deg", "free_space_loss_db"}
    for end in ("from", "to"):
        assert set(record[end]) >= {"bearing_true_deg", "bearing_magnetic_deg", "tilt_deg"}
    assert record["from"]["bearing_magnetic_deg"] == pytest.approx(record["from"]["bearing_true_deg"] + 14.62, abs=0.01)
    assert record["from"]["tilt_deg"] < 0 < record["to"]["tilt_deg"]


@pytest.mark.parametrize("text", PLACES)
def test_every_way_of_writing_a_place_means_the_same(cli: Cli, text: str) -> None:
    one = json.loads(cli("aim", *ENDS, "--json").out)
    other = json.loads(cli("aim", "--from", text, *ENDS[2:], "--json").out)
    assert other["from"] == pytest.approx(one["from"], abs=1e-6)


def test_what_was_understood_is_printed_back(cli: Cli) -> None:
    out = cli("aim", *ENDS).out
    assert "43.550000° N, 69.600000° W, 16 m" in out
    assert "2026-12-01" in out
    assert "5800 MHz" in out


def test_printed_magnetic_is_printed_true_less_printed_declination(cli: Cli) -> None:
    for lon in range(-180, 180, 23):
        out = cli("aim", "--from", f"43.55,{lon},5", "--to", f"43.553,{lon + 0.004},9", "--date", "2027-03-01").out
        for line in re.findall(r"^(?:from|to) +[\d.]+° +[\d.]+° .*$", out, re.MULTILINE):
            true, magnetic, declination = re.findall(r"([\d.]+)°", line)[:3]
            sign = 1 if "° E" in line else -1
            apart = (float(true) - sign * float(declination) - float(magnetic) + 180) % 360 - 180
            assert apart == pytest.approx(0, abs=1e-6)


def test_date_outside_the_model_gives_null_and_a_sentence(cli: Cli) -> None:
    found = cli("aim", *ENDS[:4], "--date", "2031-01-01", "--json")
    record = json.loads(found.out)
    assert found.status == 0
    assert record["declination_deg"] is None
    assert record["from"]["bearing_magnetic_deg"] is None
    assert record["from"]["bearing_true_deg"] is not None
    assert "WMM-2025" in record["sentences"][0]
    assert "WMM-2025" in found.err


def test_near_the_magnetic_pole_no_compass_is_offered(cli: Cli) -> None:
    found = cli("aim", "--from", "86,140,5", "--to", "86.001,140,5", "--date", "2026-12-01", "--json")
    assert json.loads(found.out)["declination_deg"] is None
    assert "landmark" in found.err


def test_ends_above_each_other_have_no_bearing(cli: Cli) -> None:
    record = json.loads(cli("aim", "--from", "43.55,-69.6,2", "--to", "43.55,-69.6,12", "--json").out)
    assert record["from"]["bearing_true_deg"] is None
    assert (record["from"]["tilt_deg"], record["to"]["tilt_deg"]) == (90.0, -90.0)
    assert record["distance_m"] == pytest.approx(10.0)


def test_southern_and_eastern_places_may_begin_with_a_minus(cli: Cli) -> None:
    assert cli("aim", "--from", "-33.86,151.2,30", "--to", "-33.87,151.21,20").status == 0
