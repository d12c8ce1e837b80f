"""Duplicate, copy and paste, add several things in one step."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.errors import InputError, SurveyError, UsageError
from survey_app.site import Design, Site, edits
from survey_app.site.collection import COLLECTIONS, every_thing
from survey_app.site.edits.copying import Naming
from survey_app.site.edits.positions import own_positions
from survey_app.site.fragment import fragment_from_text
from survey_app.site.mount import Mount
from survey_app.site.new import new_site
from survey_app.site.place import EdgePlace, PlanePoint, PolePlace
from survey_app.site.radio import Radio
from survey_app.site.structure import Pole
from tests.site.full_site import DAY, GEAR, at, full_site
from tests.site.sound import sound, unshared

METRES = st.integers(-500, 500).map(float)
YARD = ["office", "gate-pole", "hop", "w1", "w2", "board", "end", "note", "pond"]


def _by_id(site: Site) -> dict[str, Any]:
    return {thing.id: thing for _, _, thing in every_thing(site.design)}


# -- duplicate


def test_duplicate_of_a_pole_takes_along_what_hangs_on_it() -> None:
    site = full_site()
    edit = edits.duplicate(site, ["gate-pole"], 10.0, -2.0)
    new = _by_id(sound(edit))
    assert edit.label == "Duplicate Pole gate-pole"
    assert edit.touched == ("gate-pole-2", "gate-mount-2", "eye-3", "st-3", "plug-3")
    assert new["gate-pole-2"].position == at(-50.0, 10.5)
    assert new["gate-mount-2"].structure == "gate-pole-2"
    assert (new["st-3"].mount, new["eye-3"].mount, new["plug-3"].mount) == ("gate-mount-2",) * 3
    # what it looks at comes along, and what feeds it still does
    assert new["eye-3"].target.position == at(-45.0, 10.0)
    assert new["plug-3"].fed_from == "plug-1"
    # the hop and the wire have their other ends elsewhere
    assert not unshared(site, edit.after) & {"hops", "wires"}


def test_duplicate_takes_hops_and_wires_between_copied_things_alone() -> None:
    site = full_site()
    edit = edits.duplicate(site, ["gate-pole", "office", "solar"], 200.0, 0.0)
    new = _by_id(sound(edit))
    # the ids end in no figure: they go on with 2
    assert (new["hop-2"].access_point, new["hop-2"].station) == ("ap-2", "st-3")
    assert (new["w4"].a.thing, new["w4"].b.thing) == ("plug-3", "ap-2")
    assert new["w4"].route == (at(201.0, 1.0), at(217.0, 4.0))
    assert {"w5", "w6"} & set(new) == {"w5"}
    assert new["door-2"].wall == "wall-2"
    # where the video arrives is asked for, not assumed
    assert "end-2" not in new


def test_copy_carries_nothing_that_was_noted_of_the_one_unit() -> None:
    site = edits.change(full_site(), "st", serial="X1", address="10.0.0.7", label="S1", status="hung").after
    site = edits.change(site, "gate-mount", overhead_line_m=12.0, photo="gate.jpg").after
    new = _by_id(edits.duplicate(site, ["gate-pole"], 1.0, 1.0).after)
    copy = new["st-3"]
    assert (copy.serial, copy.address, copy.label, copy.status) == ("", "", "", "planned")
    mount = new["gate-mount-2"]
    assert (mount.overhead_line_m, mount.photo, mount.permission.state) == (None, "", "not_asked")
    assert mount.pipe == _by_id(site)["gate-mount"].pipe


@settings(max_examples=30, deadline=None)
@given(METRES, METRES, st.lists(st.sampled_from(YARD), min_size=1, unique=True))
def test_duplicate_leaves_the_originals_the_same_objects(dx_m: float, dy_m: float, ids: list[str]) -> None:
    site = full_site()
    if not set(ids) - {"hop", "w1", "w2"}:
        with pytest.raises(UsageError, match="without what it joins"):
            edits.duplicate(site, ids, dx_m, dy_m)
        return
    edit = edits.duplicate(site, ids, dx_m, dy_m)
    after = sound(edit)
    for collection in COLLECTIONS:
        old, new = getattr(site.design, collection.name), getattr(after.design, collection.name)
        assert all(a is b for a, b in zip(old, new, strict=False))
        assert len(new) >= len(old)
    assert not set(edit.touched) & set(_by_id(site))


def test_duplicate_along_a_line_puts_the_last_copy_at_its_end() -> None:
    site = full_site()
    edit = edits.duplicate_along(site, ["gate-pole"], at(-60.0, 12.5), at(-30.0, 0.5), 3)
    feet = [row.position for row in sound(edit).design.structures if isinstance(row, Pole)]
    assert edit.label == "Duplicate Pole gate-pole 3 times along a line"
    assert feet == [at(-60.0, 12.5), at(-50.0, 8.5), at(-40.0, 4.5), at(-30.0, 0.5)]
    with pytest.raises(UsageError, match="0 copies are asked for"):
        edits.duplicate_along(site, ["gate-pole"], at(0.0, 0.0), at(1.0, 0.0), 0)


def test_duplicate_of_a_hop_alone_or_of_degrees_by_metres_is_refused() -> None:
    with pytest.raises(UsageError, match="Duplicate hop: hop cannot be copied without what it joins"):
        edits.duplicate(full_site(), ["hop"], 1.0, 1.0)
    with pytest.raises(UsageError, match="latitude and longitude"):
        edits.duplicate(full_site(), ["lime"], 1.0, 1.0)


@pytest.mark.parametrize(
    ("old", "ids", "new"),
    [
        ("P3", ["P3"], "P4"),
        ("P3", ["P3", "P4", "P5"], "P6"),
        ("gate", ["gate"], "gate-2"),
        ("gate-2", ["gate", "gate-2"], "gate-3"),
        ("x" * 40, ["x" * 40], "x" * 39 + "2"),
    ],
)
def test_fresh_ids_go_on_from_the_old_one(old: str, ids: list[str], new: str) -> None:
    poles = tuple(Pole(kind="pole", id=one, position=at(0.0, 0.0)) for one in ids)
    site = Site(design=Design(name="Yard", as_of=DAY, structures=poles))
    assert Naming(site).fresh_id(old) == new
    assert Naming(site, keep=True).fresh_id("free7") == "free7"


def test_fresh_names_go_on_too_and_evidence_keeps_its_ids() -> None:
    site = edits.change(full_site(), "gate-pole", name="Pole 3").after
    new = _by_id(edits.duplicate(site, ["gate-pole"], 1.0, 1.0).after)
    assert new["gate-pole-2"].name == "Pole 4"
    assert new["gate-mount-2"].name == ""
    # evidence speaks of 'gone-hop', which is no more
    assert Naming(site, keep=True).fresh_id("gone-hop") == "gone-hop-2"


# -- copy and paste


def _shape(site: Site, ids: Any, dx_m: float = 0.0, dy_m: float = 0.0) -> list[tuple[float, float]]:
    things = _by_id(site)
    return [
        (round(p.x_m + dx_m, 9), round(p.y_m + dy_m, 9))
        for one in ids
        if one in things
        for p in own_positions(things[one])
        if isinstance(p, PlanePoint)
    ]


@settings(max_examples=20, deadline=None)
@given(METRES, METRES)
def test_paste_into_another_site_has_the_same_shape_ids_and_gear(dx_m: float, dy_m: float) -> None:
    site = full_site()
    text = edits.copy_things(site, ["office", "gate-pole", "solar", "pond", "note"])
    other = new_site("Elsewhere", as_of=DAY)
    edit = edits.paste(other, text, dx_m=dx_m, dy_m=dy_m)
    after = sound(edit)
    names = [one for one in edit.touched if one in _by_id(site)]
    assert names == list(_by_id(after))
    assert _shape(after, names) == _shape(site, names, dx_m, dy_m)
    assert {"hop", "w1", "w3", "roof-mount", "door"} <= set(names)
    assert {row.id for row in after.design.gear} == {
        "panel", "bare", "omni", "tail", "line", "plug", "log", "eye", "cell", "sun", "case", "cleat", "arm",
    }  # fmt: skip
    # the way up was not copied; the board is in the office and came along
    things = _by_id(after)
    assert (things["gate-mount"].climb, things["plug-1"].fed_from) == (None, "board")
    assert edits.paste(other, edits.copy_things(site, ["gate-pole"])).after.design.devices[0].fed_from is None


def test_paste_into_the_same_site_takes_fresh_ids_and_shares_its_gear() -> None:
    site = full_site()
    text = edits.copy_things(site, ["gate-pole"])
    edit = edits.paste(site, text, at=at(0.0, 0.0))
    after = sound(edit)
    assert edit.label == "Paste 5 things"
    assert after.design.gear is site.design.gear
    assert _by_id(after)["gate-pole-2"].position == at(0.0, 0.5)
    again = edits.paste(after, text, at=at(0.0, 0.0))
    assert "gate-pole-3" in again.touched


def test_paste_where_the_site_has_another_version_of_the_gear_uses_its_own() -> None:
    site = full_site()
    text = edits.copy_things(site, ["gate-pole"])
    panel = GEAR[0]
    newer = type(panel)(**{**panel.__dict__, "noise_figure_db": 5.0})
    edit = edits.paste(edits.take_newer_gear(site, newer).after, text)
    assert sound(edit).design.gear[0] is newer
    assert edit.remarks == ("the site's own version of the gear type 'panel' is used",)
    clash = edits.add_gear(new_site("Yard", as_of=DAY), type(GEAR[4])(**{**GEAR[4].__dict__, "id": "panel"})).after
    with pytest.raises(UsageError, match="'panel' is of the kind radio there and feeder here"):
        edits.paste(clash, text)


def test_paste_of_a_picture_says_that_its_file_is_missing() -> None:
    text = edits.copy_things(full_site(), ["sheet", "photo"])
    remarks = edits.paste(new_site("Yard", as_of=DAY), text).remarks
    assert [one.split(" of ")[0] for one in remarks] == ["the file 'gate/west.jpg'", "the file 'sheet.pdf'"]


@pytest.mark.parametrize(
    ("ids", "words"),
    [
        ([], "nothing is selected"),
        (["hop"], "without what it joins"),
        (["st"], "'st' belongs to 'gate-mount', which is not copied; select 'gate-mount' too"),
        (["gate-mount"], "'gate-mount' belongs to 'gate-pole', which is not copied"),
    ],
)
def test_copy_when_something_is_missing_names_it(ids: list[str], words: str) -> None:
    with pytest.raises(UsageError, match=words):
        edits.copy_things(full_site(), ids)


def test_copy_of_degrees_can_be_pasted_in_place_or_converted_by_who_knows_the_earth() -> None:
    site = full_site()
    text = edits.copy_things(site, ["lime"])
    assert not edits.paste(site, text).changes_nothing
    with pytest.raises(UsageError, match="latitude and longitude"):
        edits.paste(site, text, dx_m=1.0)
    flat = edits.copy_things(site, ["lime"], convert=lambda p: p if isinstance(p, PlanePoint) else at(7.0, 8.0))
    pasted = _by_id(edits.paste(site, flat, dx_m=1.0).after)
    assert pasted["lime-mount-2"].place.position == at(8.0, 8.0)


def _tree() -> dict[str, Any]:
    tree: dict[str, Any] = json.loads(edits.copy_things(full_site(), ["gate-pole"]))
    return tree


def _changed(path: list[Any], value: Any) -> str:
    tree = place = _tree()
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    return json.dumps(tree)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "holds no part of a site"),
        ("12 metres of cable", "holds no part of a site"),
        ('"survey-fragment"', "holds no part of a site"),
        ('{"format": "survey-fragment"', "ends in the middle"),
        ('{"format": "survey-fragment", "version": 1}', "reference: is missing"),
        ('{"format": "survey-fragment", "version": 7}', "copied by a newer version"),
        ("[" * 100_000 + '"survey-fragment"', "deep one in another"),
        ('{"format": "survey-fragment", "version": 1, "version": 1}', "stands twice"),
        ('{"format": "survey-fragment", "x": "\ud800"}', "half a character"),
        ("survey-fragment" * 1_100_000, "larger than any part"),
        (_changed(["version"], "1"), "version: "),
        (_changed(["design", "structures", 0, "position", "x_m"], 1e99), "too large, at most 1e\\+06 m"),
        (_changed(["design", "structures", 0, "position", "x_m"], "__import__('os')"), "is text, a number in metres"),
        (_changed(["design", "structures", 0, "colour"], "red"), "no such field is known"),
        (_changed(["design", "mounts", 0, "structure"], "elsewhere"), "nothing here has the id 'elsewhere'"),
        (_changed(["design", "gear"], []), "carries no copy of"),
        (_changed(["design", "mounts", 0, "photo"], "../../etc/passwd"), "leaves the folder"),
        (_changed(["design", "structures", 0, "id"], "gate-mount"), "already that of"),
    ],
)  # fmt: skip
def test_hostile_clipboard_gets_one_sentence(text: str, words: str) -> None:
    site = full_site()
    with pytest.raises(InputError, match=words) as error:
        edits.paste(site, text)
    assert "\n" not in error.value.sentence()
    assert error.value.sentence().startswith("clipboard")


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_text_with_a_piece_cut_out_or_doubled_is_read_or_refused(data: st.DataObject) -> None:
    text = edits.copy_things(full_site(), ["gate-pole"])
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(start + 60, len(text))))
    broken = text[:start] + data.draw(st.sampled_from(["", text[start:end] * 2, "0", '"'])) + text[end:]
    try:
        edit = edits.paste(full_site(), broken)
    except SurveyError:
        return
    sound(edit)


def test_fragment_says_what_it_is() -> None:
    fragment = fragment_from_text(edits.copy_things(full_site(), ["gate-pole"]))
    assert (fragment.format, fragment.version, fragment.reference) == ("survey-fragment", 1, at(-60.0, 12.0))
    assert fragment.design.accepted == ()
    assert fragment.design.plane.anchor is None


# -- several things in one step


def test_hang_radio_makes_mount_radio_and_copy_of_its_type_in_one_step() -> None:
    site = edits.add_structure(new_site("Yard", as_of=DAY), Pole(kind="pole", id="P1", position=at(0.0, 0.0))).after
    edit = edits.hang_radio(site, GEAR[0], "P1", PolePlace(kind="pole"), 5.5, "station", types=GEAR)
    after = sound(edit)
    assert edit.label == "Hang Radio S1 on Pole P1"
    (mount,), (radio,) = after.design.mounts, after.design.radios
    assert (mount.id, mount.structure, mount.height_m) == ("M1", "P1", 5.5)
    assert (radio.id, radio.mount, radio.gear, radio.role) == ("S1", "M1", "panel", "station")
    # the type itself, and what a site needs to choose clamps and count parts from
    assert {"panel", "cleat", "arm", "tie", "cap"} <= {row.id for row in after.design.gear}
    more = edits.hang_radio(after, GEAR[0], "P1", PolePlace(kind="pole"), 5.0, "access_point", mount="M1")
    assert (more.label, more.touched) == ("Hang Radio A1 on Mount M1", ("A1",))


def test_hang_radio_in_a_place_that_is_none_is_refused() -> None:
    with pytest.raises(UsageError, match="a place on an edge needs a building"):
        edits.hang_radio(full_site(), GEAR[0], "gate-pole", EdgePlace(kind="edge", edge=0, along_m=1.0), 5.0, "station")
    with pytest.raises(UsageError, match="did you mean 'antenna'"):
        edits.hang_radio(
            full_site(), GEAR[0], "gate-pole", PolePlace(kind="pole"), 5.0, "station", radio={"antena": "omni"}
        )


def test_add_with_names_itself_by_the_first_and_refuses_what_is_taken() -> None:
    site = full_site()
    pole = Pole(kind="pole", id="P9", position=at(1.0, 1.0))
    mount = Mount(id="M9", structure="P9", place=PolePlace(kind="pole"), height_m=4.0)
    radio = Radio(id="S9", role="station", gear="panel", mount="M9")
    edit = edits.add_with(site, [pole, mount, radio])
    assert (edit.label, edit.touched) == ("Add Pole P9 and 2 more", ("P9", "M9", "S9"))
    assert unshared(site, sound(edit)) == {"structures", "mounts", "radios"}
    assert edits.add_with(site, []).changes_nothing
    assert edits.add_with(site, [pole], label="Draw pole").label == "Draw pole"
    with pytest.raises(UsageError, match="already that of"):
        edits.add_with(site, [pole, pole])
    with pytest.raises(UsageError, match="removed thing with evidence"):
        edits.add_with(site, [Pole(kind="pole", id="gone-hop", position=at(0.0, 0.0))])
    with pytest.raises(UsageError, match="nothing here has the id 'P9'"):
        edits.add_with(site, [mount])


def test_change_all_sets_one_figure_of_several_things() -> None:
    site = full_site()
    edit = edits.change_all(site, ["gate-mount", "roof-mount"], height_m=3.0)
    assert edit.label == "Set height of 2 things"
    assert [mount.height_m for mount in sound(edit).design.mounts] == [-0.5, 3.0, 3.0, 4.0]
    assert edit.after.design.mounts[0] is site.design.mounts[0]
    with pytest.raises(UsageError, match="no such field"):
        edits.change_all(site, ["gate-mount", "note"], height_m=3.0)
    with pytest.raises(UsageError, match="use rename"):
        edits.change_all(site, ["gate-mount"], id="x")
