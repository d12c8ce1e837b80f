"""A site is given the copies of gear types that it names but does not carry."""

from __future__ import annotations

import json
from typing import Any

import pytest

from survey_app.data import demo_sites_folder
from survey_app.gear.catalogue import load_catalogue
from survey_app.site.copies import missing_copies, with_copies
from survey_app.site.edits.gear import remove_gear
from survey_app.site.fault import FileFaultsError
from survey_app.site.file import read_site, site_from_bytes

TYPES = tuple(load_catalogue())


def boatyard_without(*kinds: str) -> bytes:
    """Return the boatyard without the types of some kinds, of all kinds where none is named."""
    tree: dict[str, Any] = json.loads((demo_sites_folder() / "boatyard" / "site.json").read_text(encoding="utf-8"))
    rows = tree["design"]["gear"]
    tree["design"]["gear"] = [row for row in rows if kinds and row["kind"] not in kinds]
    return json.dumps(tree).encode()


def test_site_that_carries_no_types_when_read_with_a_catalogue_has_a_copy_of_each() -> None:
    site = site_from_bytes(boatyard_without(), "site.json", types=TYPES)
    carried = {row.id: row for row in site.design.gear}
    for row in read_site(demo_sites_folder() / "boatyard").design.gear:
        assert carried[row.id] == load_catalogue().find(row.id)


def test_site_that_carries_no_types_when_read_alone_is_refused_and_says_where_the_copy_belongs() -> None:
    with pytest.raises(FileFaultsError) as caught:
        site_from_bytes(boatyard_without(), "site.json")
    sentences = {fault.place: fault.sentence for fault in caught.value.faults}
    words = "the site carries no copy of 'lens-b4', a camera type is needed in design.gear"
    assert sentences["design.cameras[0].gear"] == words


def test_copy_of_another_version_when_it_is_carried_stays() -> None:
    site = read_site(demo_sites_folder() / "boatyard")
    newer = [item.model_copy(update={"what": "another"}) for item in TYPES]
    after = with_copies(site, newer)
    assert after.design.gear[: len(site.design.gear)] == site.design.gear


def test_site_that_misses_nothing_stays_the_same_object() -> None:
    site = with_copies(read_site(demo_sites_folder() / "boatyard"), TYPES)
    assert with_copies(site, TYPES) is site


def test_small_part_of_ones_own_when_it_serves_a_rule_keeps_the_catalogues_out() -> None:
    site = read_site(demo_sites_folder() / "boatyard")
    plug = next(row for row in site.design.gear if row.kind == "sundry" and row.rule == "plug")
    bare = remove_gear(site, plug.id).after
    assert plug.id in {row.id for row in missing_copies(bare.design, TYPES)}
    own = with_copies(bare, (plug.model_copy(update={"id": "my-plug"}),))
    assert plug.id not in {row.id for row in missing_copies(own.design, TYPES)}


def test_name_that_no_catalogue_has_when_it_is_read_with_one_is_still_refused() -> None:
    data = boatyard_without().replace(b'"lens-b4"', b'"lens-none"')
    with pytest.raises(FileFaultsError, match="lens-none"):
        site_from_bytes(data, "site.json", types=TYPES)


def test_more_types_than_a_site_holds_when_they_are_taken_are_refused_in_a_sentence() -> None:
    clamp = next(item for item in TYPES if item.kind == "clamp")
    many = [clamp.model_copy(update={"id": f"clamp-{number}"}) for number in range(2001)]
    with pytest.raises(FileFaultsError, match="at most 2000"):
        site_from_bytes(boatyard_without("clamp"), "site.json", types=many)
