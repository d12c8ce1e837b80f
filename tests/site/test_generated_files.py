"""Schema and guide pages that are made from the records."""

from __future__ import annotations

import functools
import json
import re
import runpy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from survey_app.site import Site, edits
from survey_app.site.collection import COLLECTIONS
from survey_app.site.file import site_to_bytes
from survey_app.site.guide import FIELDS_HEADING, PAGES
from survey_app.site.record import Record, unit_of
from survey_app.site.schema import json_schema
from survey_app.site.secrets import Secrets
from survey_app.site.shape import fields_of
from tests.site.full_site import full_site
from tests.site.random_sites import sites

ROOT = Path(__file__).resolve().parents[2]
FILES: dict[Path, str] = runpy.run_path(str(ROOT / "tests" / "tools" / "regenerate.py"))["generated_files"]()


def _records() -> list[type[Record]]:
    found: list[type[Record]] = []
    ahead: list[type[Record]] = [Site, Secrets]
    while ahead:
        record = ahead.pop()
        if record not in found:
            found.append(record)
            ahead += [part for field in fields_of(record).values() for part in field.records.values()]
    return found


RECORDS = _records()

# Numbers that count or number something, or are pure ratios whose name says of what: they have no unit.
PLAIN_NUMBERS = {
    "version",
    "edge",
    "storeys",
    "page",
    "order",
    "reserved",
    "viewers",
    "crew",
    "spare_radio_share",
    "feeder_count",
    "channel",
    "highest_mcs",
    "chosen_mcs",
    "radar_spare",
    "battery_count",
    "panel_count",
    "connectors",
    "chains",
    "streams",
    "channels",
    "bays",
    "count",
    "ports",
    "pack",
    "glands",
    "fixings",
    "void_count",
    "value",
    "limit",
    "price",
    "efficiency_one_station",
    "efficiency_many_stations",
    "efficiency_scheduled",
}


@pytest.mark.parametrize("file", FILES, ids=lambda one: one.name)
def test_generated_file_is_what_the_records_say(file: Path) -> None:
    assert file.read_text(encoding="utf-8") == FILES[file], "run `python tests/tools/regenerate.py`"


def test_every_kind_of_thing_has_a_page_and_every_page_words_by_hand() -> None:
    folder = ROOT / "resources" / "guide" / "things"
    assert {one.stem for one in folder.glob("*.md")} == set(PAGES)
    paged = {record for records in PAGES.values() for record in records}
    assert {record for collection in COLLECTIONS for record in collection.records} <= paged
    for page in PAGES:
        by_hand, _, fields = (folder / f"{page}.md").read_text(encoding="utf-8").partition(FIELDS_HEADING)
        assert by_hand.startswith("# ")
        assert len(by_hand) > 200, f"{page}: say what it is for and how to make one"
        assert "| field |" in fields


@pytest.mark.parametrize("page", sorted(set(PAGES) - {"site", "defaults", "gear", "accepted_finding"}))
def test_page_shows_a_row_as_it_stands_in_the_file(page: str) -> None:
    text = (ROOT / "resources" / "guide" / "things" / f"{page}.md").read_text(encoding="utf-8")
    (example,) = re.findall(r"```json\n(.*?)\n```", text.partition(FIELDS_HEADING)[0], re.DOTALL)
    row = PAGES[page][0].model_validate_json(example)
    assert json.loads(example).keys() <= type(row).model_fields.keys()


@pytest.mark.parametrize("record", RECORDS, ids=lambda one: one.__name__)
def test_every_field_says_what_it_means(record: type[Record]) -> None:
    assert record.__doc__
    for field in fields_of(record).values():
        assert field.meaning or field.name == "kind", f"{record.__name__}.{field.name}"
        assert not field.meaning.endswith("."), f"{record.__name__}.{field.name}"


@pytest.mark.parametrize("record", RECORDS, ids=lambda one: one.__name__)
def test_every_number_has_a_unit_or_counts_something(record: type[Record]) -> None:
    for field in fields_of(record).values():
        numeric = field.holds in ("number", "whole number") or (
            field.holds == "choice" and all(isinstance(choice, int) for choice in field.choices)
        )
        if numeric:
            assert (unit_of(field.name) is None) == (field.name in PLAIN_NUMBERS), f"{record.__name__}.{field.name}"
            assert field.unit == unit_of(field.name)


def test_list_of_plain_numbers_holds_nothing_that_is_gone() -> None:
    names = {field.name for record in RECORDS for field in fields_of(record).values()}
    assert names >= PLAIN_NUMBERS


def test_examples_in_the_guide_name_edits_that_exist() -> None:
    for file, text in FILES.items():
        if file.suffix == ".md":
            for name in re.findall(r"edits\.(\w+)", text):
                assert name in edits.__all__, f"{file.name}: edits.{name}"


@functools.cache
def _validator() -> Any:
    jsonschema = pytest.importorskip("jsonschema", reason="an independent reader of JSON Schema")
    schema = json_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def test_schema_accepts_what_is_written_and_refuses_what_is_not_a_site() -> None:
    validator = _validator()
    good = json.loads(site_to_bytes(full_site()))
    assert list(validator.iter_errors(good)) == []
    for path, value in (
        (("version",), 2),
        (("design", "mounts", 0, "height_m"), "six"),
        (("design", "mounts", 0, "height_m"), 1e9),
        (("design", "mounts", 0, "colour"), "red"),
        (("design", "structures", 0, "kind"), "castle"),
        (("design", "notes", 0, "id"), "a b"),
        (("design", "notes", 0, "position"), {"lat_deg": 5}),
    ):
        bad = json.loads(site_to_bytes(full_site()))
        place: Any = bad
        for step in path[:-1]:
            place = place[step]
        place[path[-1]] = value
        assert list(validator.iter_errors(bad)), path


@settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck))
@given(sites())
def test_schema_accepts_random_sites(site: Site) -> None:
    assert list(_validator().iter_errors(json.loads(site_to_bytes(site)))) == []
