"""The assessment of the demo sites, held against values that were worked by hand before it was written.

Levels are free space with the aiming power; hand values are rounded, so the tolerances are theirs.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.data import demo_sites_folder
from survey_app.site.file import read_site

with (Path(__file__).parent / "site_expectations.csv").open(encoding="utf-8", newline="") as stream:
    ROWS = list(csv.DictReader(stream))


@cache
def assessed(file: str) -> Assessment:
    return assess(read_site(demo_sites_folder() / file))


@pytest.mark.parametrize("row", ROWS, ids=[f"{r['file']}-{r['id'] or r['row']}-{r['field']}" for r in ROWS])
def test_assessment_equals_the_hand_value(row: dict[str, str]) -> None:
    rows: Any = getattr(assessed(row["file"]), row["row"])
    value: Any = next(r for r in rows if r.id == row["id"]) if row["id"] else rows
    for part in row["field"].split("."):
        value = getattr(value, part)
    assert value == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize(
    "file",
    [
        "boatyard/site.json",
        "boatyard/alternatives/cured.json",
        "college/alternatives/sectors.json",
        "college/alternatives/cured.json",
        "mill/alternatives/cured.json",
    ],
)
def test_site_that_can_be_built_has_no_stop(file: str) -> None:
    assert [f"{f.code} {f.subject}" for f in assessed(file).findings if f.severity == "stop"] == []


def test_only_the_gate_of_the_boatyard_was_not_looked_at() -> None:
    for file, expected in (("boatyard/site.json", ["G"]), ("boatyard/alternatives/cured.json", [])):
        assert [f.subject for f in assessed(file).findings if f.code == "not-checked"] == expected


def test_one_cell_for_eighteen_cameras_is_full() -> None:
    for file in ("college/site.json", "college/alternatives/omni.json"):
        found = {(f.code, f.severity, f.subject) for f in assessed(file).findings}
        assert ("cell-full", "stop", "A-O") in found
        assert {f.subject for f in assessed(file).findings if f.code == "over-the-heads"} == {"H-parlour", "H-yard"}


def test_mill_is_stopped_by_channel_and_by_its_column() -> None:
    stops = {(f.code, f.subject) for f in assessed("mill/site.json").findings if f.severity == "stop"}
    assert {("band-not-outdoors", "A-T"), ("deaf-neighbour", "ST-C1")} <= stops
