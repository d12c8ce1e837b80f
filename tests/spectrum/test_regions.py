"""Finding regions, countries, and a user's own region files."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from survey_app.data import shared_folder
from survey_app.errors import InputError, UnknownNameError
from survey_app.spectrum import (
    channels_in_words,
    load_regions,
    power_limits,
    resolve,
    user_regions_folder,
    valid_channels,
    why_not,
)

REGIONS = load_regions()


def _own_row(name: str, low: int, high: int, **changes: Any) -> dict[str, Any]:
    row = {
        "id": name,
        "low_mhz": low,
        "high_mhz": high,
        "place": "both",
        "topologies": ["multipoint_hub", "point_to_point", "client"],
        "limits": {"eirp_dbm": 33},
        "power_control_required": False,
        "radar": None,
        "channels": [],
        "licence": "exempt",
        "document": "Rules of the Isle of Elsewhere",
        "section": "4.2",
        "edition": "second printing",
        "date": "2025-03",
        "verified": True,
        "provenance": "printed",
        "note": "",
    }
    return {**row, **changes}


def _own_region(rows: list[dict[str, Any]], code: str = "ELSE", **changes: Any) -> dict[str, Any]:
    region = {
        "format": "spectrum-region",
        "version": 1,
        "region": code,
        "name": "Isle of Elsewhere",
        "authority": "Harbour master",
        "edition": "2026-10",
        "countries": [{"code": "ZZ", "name": "Elsewhere"}],
        "rows": rows,
    }
    return {**region, **changes}


def _three_rows() -> list[dict[str, Any]]:
    return [
        _own_row("low", 5100, 5200, place="indoor", channels=[{"width_mhz": 20, "channels": [24, 28]}]),
        _own_row(
            "middle",
            5300,
            5500,
            limits={"conducted_dbm": 24, "free_gain_dbi": 8, "backoff_db_per_db": 0.5},
            radar={"check_s": 90, "move_s": 5, "non_occupancy_min": 20},
            channels=[{"width_mhz": 40, "channels": [70, 78, 86]}],
        ),
        _own_row("top", 5700, 5800, topologies=["point_to_point"], limits={"eirp_dbm": 40}, licence="registered"),
    ]


def _save(folder: Path, content: dict[str, Any], name: str = "else.json") -> None:
    (folder / name).write_text(json.dumps(content), encoding="utf-8")


def test_made_up_region_of_three_rows_in_a_users_folder_works(tmp_path: Path) -> None:
    _save(tmp_path, _own_region(_three_rows()))
    regions = load_regions(tmp_path)
    region = regions.find("else")
    assert regions.own == ("ELSE",)
    assert regions.codes[-1] == "ELSE"
    assert [found.region for found in regions.of_country("zz")] == ["ELSE"]
    assert valid_channels(region, "indoor", "client", 20) == (24, 28)
    assert valid_channels(region, "outdoor", "client", 20) == ()
    assert channels_in_words(valid_channels(region, "outdoor", "client", 40), 40) == "70-86"
    rules = resolve(region, "outdoor", "multipoint_hub", 5350.0, 40.0, True)
    assert rules is not None
    assert (rules.radar_wait_s, rules.radar_outage_s, rules.non_occupancy_min) == (90, 95, 20)
    limits = power_limits([rules], 16.0)
    assert float(limits.limit_conducted_dbm[0]) == pytest.approx(24 - 0.5 * 8)
    assert "less 1 dB for every 2 dB of gain over 8 dBi (Rules of the Isle of Elsewhere 4.2" in rules.sentence
    licensed = resolve(region, "outdoor", "point_to_point", 5750.0, 20.0, True)
    assert licensed is not None
    assert licensed.needs_licence
    assert resolve(region, "outdoor", "client", 5750.0, 20.0, True) is None


def test_row_set_to_not_verified_is_switched_off_with_a_sentence(tmp_path: Path) -> None:
    rows = _three_rows()
    rows[1]["verified"] = False
    _save(tmp_path, _own_region(rows))
    refusal = why_not(load_regions(tmp_path).find("ELSE"), "outdoor", "client", 5350.0, 40.0, True)
    assert refusal is not None
    assert refusal.kind == "not_used"
    assert "nobody has verified" in refusal.sentence


def test_own_file_with_a_shipped_code_is_refused(tmp_path: Path) -> None:
    _save(tmp_path, _own_region(_three_rows(), code="US"), name="mine.json")
    with pytest.raises(InputError, match=r"mine\.json, field region: the region code US is already used by us\.json"):
        load_regions(tmp_path)


def test_own_file_with_another_name_of_a_shipped_region_is_refused(tmp_path: Path) -> None:
    _save(tmp_path, _own_region(_three_rows(), also_called=["GB"]))
    with pytest.raises(InputError, match="GB is already used"):
        load_regions(tmp_path)


def test_own_region_of_a_known_country_comes_after_the_shipped_one(tmp_path: Path) -> None:
    _save(tmp_path, _own_region(_three_rows(), code="UKFWA", countries=[{"code": "GB", "name": "United Kingdom"}]))
    assert [region.region for region in load_regions(tmp_path).of_country("GB")] == ["UK", "UKFWA"]


def test_folder_that_does_not_exist_holds_no_regions(tmp_path: Path) -> None:
    assert load_regions(tmp_path / "none") == REGIONS


def test_every_shipped_file_is_named_after_its_region() -> None:
    names = sorted(path.stem.upper() for path in (shared_folder() / "spectrum").glob("*.json"))
    assert names == sorted(REGIONS.codes) == ["AU", "CA", "EU", "UK", "US"]


@pytest.mark.parametrize(
    ("country", "region"),
    [("DK", "EU"), ("DE", "EU"), ("NO", "EU"), ("GB", "UK"), ("US", "US"), ("CA", "CA"), ("AU", "AU")],
)
def test_country_leads_to_its_region(country: str, region: str) -> None:
    assert [found.region for found in REGIONS.of_country(country)] == [region]
    assert REGIONS.country_fault(region, country) == ""


def test_country_without_rules_is_said() -> None:
    assert REGIONS.of_country("CH") == ()
    assert "No radio rules are known for the country CH" in REGIONS.country_fault("EU", "CH")


def test_country_of_another_region_is_said() -> None:
    assert REGIONS.country_fault("US", "DK") == "The rules of US do not hold in DK; those of EU do."


def test_country_hint_says_that_gb_is_the_region_uk() -> None:
    country = REGIONS.find("UK").country("GB")
    assert country is not None
    assert "UK" in country.hint


def test_unknown_region_offers_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match="did you mean US"):
        REGIONS.find("USA")
    with pytest.raises(UnknownNameError, match="known regions: AU, CA, EU, UK, US"):
        REGIONS.find("MOON")


def test_regions_are_the_same_value_each_time_they_are_read() -> None:
    assert load_regions() == REGIONS


def test_folder_of_the_user_need_not_exist(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setenv("HOME", str(tmp_path))
    assert not user_regions_folder().exists()
    assert load_regions(user_regions_folder()).own == ()
