"""Ids and references of a site."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from survey_app.site import Site, check_references, check_touched
from survey_app.site.collection import COLLECTIONS, every_thing
from survey_app.site.edits.sharing import rebuilt, with_rows
from survey_app.site.reference_table import KINDS, REFERENCES, Reference, named, references_of, uses_of
from survey_app.site.shape import fields_of
from survey_app.site.site import Design
from tests.site.full_site import full_site
from tests.site.random_sites import sites


def _with_reference(site: Site, reference: Reference, value: str) -> tuple[Site, int, str]:
    """Return the site with one reference set to a value, and the number and id of the row that holds it."""
    rows = getattr(site.design, reference.holder)
    number = next(number for number, row in enumerate(rows) if named(row, reference))
    new = rebuilt(rows[number], "test", **{reference.path: (value,) if reference.many else value})
    return with_rows(site, "design", reference.holder, put={number: new}), number, new.id


def _place(reference: Reference, number: int) -> str:
    return f"design.{reference.holder}[{number}].{reference.path}{'[0]' if reference.many else ''}"


def test_full_site_is_sound_and_fills_every_reference() -> None:
    site = full_site()
    assert check_references(site) == ()
    for reference in REFERENCES:
        assert any(named(row, reference) for row in getattr(site.design, reference.holder)), reference
    for collection in COLLECTIONS:
        assert getattr(site.design, collection.name), collection.name


@pytest.mark.parametrize("reference", REFERENCES, ids=lambda one: f"{one.holder}.{one.path}")
def test_reference_when_nothing_has_the_id_is_a_fault_at_its_place(reference: Reference) -> None:
    site, number, row_id = _with_reference(full_site(), reference, "no-such-thing")
    faults = check_references(site)
    assert [fault.place for fault in faults] == [_place(reference, number)]
    assert f"'no-such-thing', {reference.words} is needed" in faults[0].sentence
    assert {fault.place for fault in check_touched(site, [row_id])} == {fault.place for fault in faults}


@pytest.mark.parametrize("reference", REFERENCES, ids=lambda one: f"{one.holder}.{one.path}")
def test_reference_when_it_names_another_kind_is_a_fault_at_its_place(reference: Reference) -> None:
    wrong = "tie" if KINDS[reference.kinds[0]].collection == "gear" else "note"
    site, number, row_id = _with_reference(full_site(), reference, wrong)
    faults = check_references(site)
    assert [fault.place for fault in faults] == [_place(reference, number)]
    assert f"'{wrong}' is a" in faults[0].sentence
    assert {fault.place for fault in check_touched(site, [row_id])} == {fault.place for fault in faults}


@pytest.mark.parametrize("reference", REFERENCES, ids=lambda one: f"{one.holder}.{one.path}")
def test_reference_when_its_target_goes_is_a_fault_also_for_the_touched_target(reference: Reference) -> None:
    site = full_site()
    target = next(one for row in getattr(site.design, reference.holder) for one in named(row, reference))
    name = next(
        KINDS[kind].collection
        for kind in reference.kinds
        if any(row.id == target for row in getattr(site.design, KINDS[kind].collection))
    )
    number = next(number for number, row in enumerate(getattr(site.design, name)) if row.id == target)
    after = with_rows(site, "design", name, drop={number})
    places = {fault.place for fault in check_references(after)}
    assert any(place.startswith(f"design.{reference.holder}[") for place in places)
    for before in (None, site):
        assert {fault.place for fault in check_touched(after, [target], before=before)} == places


def test_table_of_references_covers_every_field_that_holds_an_id() -> None:
    told = {(reference.holder, reference.path) for reference in REFERENCES}
    for collection in COLLECTIONS:
        for record in collection.records:
            for path in _id_paths(record, ""):
                if path != "id":
                    assert (collection.name, path) in told, f"{record.__name__}.{path}"


def _id_paths(record: Any, prefix: str) -> list[str]:
    paths = []
    for field in fields_of(record).values():
        pattern = (field.item_bounds if field.lists else field.bounds).get("pattern", "")
        if "{0,39}" in pattern:
            paths.append(prefix + field.name)
        for part in field.records.values():
            paths += _id_paths(part, f"{prefix}{field.name}.")
    return paths


def test_touched_radio_when_its_role_changes_breaks_its_hop() -> None:
    site = full_site()
    radio = rebuilt(site.design.radios[1], "test", role="access_point")
    after = with_rows(site, "design", "radios", put={1: radio})
    assert [fault.place for fault in check_touched(after, ["st"], before=site)] == ["design.hops[0].station"]


def test_touched_building_when_it_loses_a_corner_breaks_the_mount_on_its_last_edge() -> None:
    site = full_site()
    mount = rebuilt(site.design.mounts[0], "test", **{"place.edge": 3})
    site = with_rows(site, "design", "mounts", put={0: mount})
    office = rebuilt(site.design.structures[0], "test", outline=site.design.structures[0].outline[:3])
    after = with_rows(site, "design", "structures", put={0: office})
    assert [fault.place for fault in check_touched(after, ["office"], before=site)] == ["design.mounts[0].place.edge"]


def test_touched_id_when_it_is_there_twice_is_a_fault() -> None:
    site = full_site()
    note = site.design.notes[0]
    in_one = with_rows(site, "design", "notes", add=(note,))
    in_two = with_rows(site, "design", "photographs", add=(rebuilt(site.design.photographs[0], "test", id="note"),))
    twice = with_rows(site, "design", "gear", add=(site.design.gear[0],))
    for after, touched in ((in_one, "note"), (in_two, "note"), (twice, "panel")):
        assert len(check_references(after)) == 1
        assert check_touched(after, [touched], before=site) == check_references(after)


def test_gear_and_thing_when_they_share_an_id_are_no_fault() -> None:
    site = full_site()
    after = with_rows(site, "design", "notes", put={0: rebuilt(site.design.notes[0], "test", id="panel")})
    assert check_references(after) == check_touched(after, ["panel", "note"], before=site) == ()


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_touched_check_when_a_row_is_altered_at_random_agrees_with_the_whole_check(data: st.DataObject) -> None:
    site = data.draw(st.just(full_site()) | sites(with_evidence=False))
    things = [(collection, number, thing) for collection, number, thing in every_thing(site.design)]
    if not things:
        return
    collection, number, thing = data.draw(st.sampled_from(things))
    what = data.draw(st.sampled_from(["drop", "id", "refer"]))
    ids = [one.id for _, _, one in things]
    if what == "drop":
        after, touched = with_rows(site, "design", collection.name, drop={number}), {thing.id}
    elif what == "id":
        new = rebuilt(thing, "test", id=data.draw(st.sampled_from([*ids, "fresh"])))
        after = with_rows(site, "design", collection.name, put={number: new})
        touched = {thing.id, new.id}
    else:
        references = [one for one in references_of(collection.name) if named(thing, one)]
        if not references:
            return
        reference = data.draw(st.sampled_from(references))
        target = data.draw(st.sampled_from([*ids, "nothing", "panel"]))
        new = rebuilt(thing, "test", **{reference.path: (target,) if reference.many else target})
        after, touched = with_rows(site, "design", collection.name, put={number: new}), {thing.id}
    whole = {fault.place for fault in check_references(after)}
    for before in (None, site):
        assert {fault.place for fault in check_touched(after, touched, before=before)} == whole


def test_uses_of_a_structure_names_what_hangs_on_it() -> None:
    design: Design = full_site().design
    used = {use.row.id for use in uses_of(design, "structures", frozenset(["office"]))}
    assert used == {"store", "wall", "carts", "wall-mount", "roof-mount", "plug-1", "log-1", "board"}
