"""`new`: an empty site that reads back."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from survey_app.site import read_site
from tests.cli.process import Cli


def test_new_site_reads_back_as_it_was_asked_for(cli: Cli, tmp_path: Path) -> None:
    found = cli("new", "Tide mill", "--at", "43 33 0 N, 69 36 0 W", "--region", "us", "--date", "2026-12-01", "-o", tmp_path / "mill")  # fmt: skip
    assert found.status == 0
    assert found.out == f"{tmp_path / 'mill' / 'site.json'}\n"
    assert "43.550000° N, 69.600000° W" in found.err
    design = read_site(tmp_path / "mill").design
    assert (design.name, design.region, design.as_of) == ("Tide mill", "US", datetime.date(2026, 12, 1))
    assert design.plane.anchor is not None
    assert (design.plane.anchor.lat_deg, design.plane.anchor.lon_deg) == (43.55, -69.6)


def test_site_without_a_region_can_be_checked_and_stops(cli: Cli, tmp_path: Path) -> None:
    made = cli("new", "Tide mill", "--at", "43.55,-69.6", "-o", tmp_path / "mill")
    assert "No region is chosen" in made.err
    found = cli("check", tmp_path / "mill")
    assert found.status == 1
    assert "region" in found.out


@pytest.mark.parametrize(
    ("name", "folder"), [("Tide Mill", "tide-mill"), ("Vågen 3", "vagen-3"), ("港", "site"), ("../up", "up")]
)
def test_folder_is_named_after_the_site(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, folder: str
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli("new", name, "--at", "43.55,-69.6", "--region", "US").status == 0
    assert [path.name for path in tmp_path.iterdir()] == [folder]
    assert read_site(folder).design.name == name


def test_empty_folder_is_taken(cli: Cli, tmp_path: Path) -> None:
    (tmp_path / "here").mkdir()
    assert cli("new", "x", "--at", "43.55,-69.6", "-o", tmp_path / "here").status == 0
