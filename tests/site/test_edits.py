"""Edits: what they change, what they share, what they refuse."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

import pytest

from survey_app.errors import UnknownNameError, UsageError
from survey_app.site import Site, checksum, edits
from survey_app.site.collection import COLLECTIONS
from survey_app.site.edits import Edit
from survey_app.site.edits.naming import field_words
from survey_app.site.evidence import Reading, Scan, Sight
from survey_app.site.file import site_to_bytes
from survey_app.site.mount import Climb, Mount
from survey_app.site.network import Camera, Device, HeadEnd, Supply, Wire, WireEnd
from survey_app.site.place import Anchor, EdgePlace, GeoPoint, PlanePoint, PolePlace
from survey_app.site.plan_picture import ControlPoint, PlanPicture
from survey_app.site.radio import AimByHand, Hop, Radio
from survey_app.site.reference_table import REFERENCES, named
from survey_app.site.site import AcceptedFinding, Design, Landmark, Note, Photograph
from survey_app.site.structure import Pole, TrafficArea
from survey_app.site.surroundings import Opening, Room, ServedArea, Wall, Water, Zone
from tests.site.full_site import DAY, GEAR, MOMENT, at, box, full_site
from tests.site.sound import sound, unshared

NEW: list[tuple[Callable[..., Edit], Any, str]] = [
    (edits.add_structure, Pole(kind="pole", id="new", position=at(1.0, 2.0)), "Add Pole new"),
    (edits.add_water, Water(id="new", outline=box(0.0, 0.0, 1.0, 1.0)), "Add Water new"),
    (edits.add_zone, Zone(id="new", purpose="keep_out", outline=box(0.0, 0.0, 1.0, 1.0)), "Add Zone new"),
    (edits.add_room, Room(id="new", structure="office", outline=box(0.0, 0.0, 1.0, 1.0)), "Add Room new"),
    (edits.add_wall, Wall(id="new", structure="office", route=(at(0.0, 0.0), at(1.0, 0.0))), "Add Wall new"),
    (
        edits.add_served_area,
        ServedArea(id="new", structure="office", outline=box(0.0, 0.0, 1.0, 1.0)),
        "Add Served area new",
    ),
    (edits.add_opening, Opening(id="new", wall="wall", along_m=1.0, width_m=1.0), "Add Opening new"),
    (edits.add_climb, Climb(id="new"), "Add Climb new"),
    (
        edits.add_mount,
        Mount(id="new", name="North wall", structure="gate-pole", place=PolePlace(kind="pole"), height_m=5.0),
        "Add Mount North wall",
    ),
    (edits.add_camera, Camera(id="new", gear="eye", mount="gate-mount"), "Add Camera new"),
    (edits.add_radio, Radio(id="new", role="station", gear="panel", mount="gate-mount"), "Add Radio new"),
    (edits.add_hop, Hop(id="new", access_point="ap", station="st-2"), "Add Hop new"),
    (edits.add_device, Device(id="new", gear="plug"), "Add Device new"),
    (edits.add_wire, Wire(id="new", a=WireEnd(thing="ap"), b=WireEnd(thing="end")), "Add Wire new"),
    (edits.add_supply, Supply(id="new", kind="mains"), "Add Supply new"),
    (edits.add_head_end, HeadEnd(id="new", device="log-1"), "Add Head end new"),
    (edits.add_landmark, Landmark(id="new", position=at(9.0, 9.0)), "Add Landmark new"),
    (edits.add_note, Note(id="new", position=at(9.0, 9.0), words="look"), "Add Note new"),
    (edits.add_photograph, Photograph(id="new", file="new.jpg"), "Add Photograph new"),
    (
        edits.add_plan_picture,
        PlanPicture(
            id="new",
            file="new.png",
            width_px=10,
            height_px=10,
            control_points=(
                ControlPoint(x_px=0.0, y_px=0.0, position=at(0.0, 0.0)),
                ControlPoint(x_px=9.0, y_px=0.0, position=at(9.0, 0.0)),
            ),
        ),
        "Add Plan picture new",
    ),
]


@pytest.mark.parametrize(("add", "thing", "label"), NEW, ids=[case[2] for case in NEW])
def test_add_puts_the_thing_at_the_end_and_shares_the_rest(add: Any, thing: Any, label: str) -> None:
    site = full_site()
    edit = add(site, thing)
    name = next(collection.name for collection in COLLECTIONS if type(thing) in collection.records)
    old, new = getattr(site.design, name), getattr(sound(edit).design, name)
    assert (edit.label, edit.touched) == (label, ("new",))
    assert unshared(site, edit.after) == {name}
    assert edit.after.evidence is site.evidence
    assert new[-1] is thing
    assert all(before is after for before, after in zip(old, new[:-1], strict=True))


def test_every_kind_of_thing_has_an_edit_that_adds_it() -> None:
    assert {collection.name for collection in COLLECTIONS} == {
        next(one.name for one in COLLECTIONS if type(thing) in one.records) for _, thing, _ in NEW
    }


@pytest.mark.parametrize(
    ("thing", "words"),
    [
        (Note(id="photo", position=at(0.0, 0.0), words=""), "already that of"),
        (Hop(id="gone-hop", access_point="ap", station="st-2"), "removed thing with evidence"),
        (Hop(id="new", access_point="ap", station="st"), "already in hop 'hop'"),
        (Hop(id="new", access_point="st", station="st-2"), "'st' is a station, an access point is needed"),
        (Radio(id="new", role="station", gear="panel", mount="gate"), "nothing here has the id 'gate'"),
        (Mount(id="new", structure="office", place=PolePlace(kind="pole"), height_m=1.0), "needs a pole or mast"),
    ],
)
def test_add_when_the_document_would_break_is_refused(thing: Any, words: str) -> None:
    with pytest.raises(UsageError, match=words) as error:
        edits.add(full_site(), thing)
    assert error.value.exit_status == 2


def test_change_sets_one_field_and_keeps_every_other_row() -> None:
    site = full_site()
    edit = edits.change(site, "gate-mount", height_m=5.5)
    after = sound(edit)
    assert edit.label == "Set height of Mount gate-mount"
    assert unshared(site, after) == {"mounts"}
    assert [before is behind for before, behind in zip(site.design.mounts, after.design.mounts, strict=True)] == [
        True,
        False,
        True,
        True,
    ]
    assert after.design.mounts[1].height_m == 5.5
    assert after.design.mounts[1].place is site.design.mounts[1].place


def test_change_of_a_part_by_dotted_name_keeps_its_other_fields() -> None:
    after = sound(edits.change(full_site(), "eye-1", **{"stream.rate_mbps": 6.0}))
    stream = after.design.cameras[0].stream
    assert (stream.rate_mbps, stream.mode, stream.night_factor) == (6.0, "variable", 1.3)


def test_change_when_nothing_changes_returns_the_same_site() -> None:
    site = full_site()
    edit = edits.change(site, "gate-mount", height_m=6.0)
    assert edit.after is site
    assert edit.changes_nothing
    assert edit.touched == ()


@pytest.mark.parametrize(
    ("thing", "fields", "words"),
    [
        ("gate-mount", {"height_m": "six"}, "'six' is text, a number in metres is needed"),
        ("gate-mount", {"height_m": float("nan")}, "not a finite number"),
        ("gate-mount", {"height_m": 1e9}, "at most 1000 m"),
        ("gate-mount", {"hight_m": 5.0}, "did you mean 'height_m'"),
        ("gate-mount", {"structure": "gone"}, "nothing here has the id 'gone'"),
        ("gate-mount", {"structure": "office"}, "needs a pole or mast"),
        ("gate-mount", {"id": "other"}, "use rename"),
        ("gate-mount", {"pipe.diameter_mm": -1.0}, "at least 1 mm"),
        ("wall-mount", {"pipe.diameter_mm": 60.0}, "no such part"),
        ("st", {"role": "access_point"}, "a station is needed"),
        ("office", {"outline": box(0.0, 0.0, 1.0, 1.0)[:2]}, "at least 3 items"),
        ("office", {"kind": "pole"}, "is not one of building"),
    ],
)
def test_change_when_a_value_is_refused_says_why_and_leaves_the_site(
    thing: str, fields: dict[str, Any], words: str
) -> None:
    site = full_site()
    before = site_to_bytes(site)
    with pytest.raises(UsageError, match=words):
        edits.change(site, thing, **fields)
    assert site_to_bytes(site) == before


def test_change_when_the_thing_is_not_known_offers_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match="did you mean 'gate-mount'"):
        edits.change(full_site(), "gate-mont", height_m=5.0)


def test_change_when_the_building_loses_an_edge_that_a_mount_needs_is_refused() -> None:
    site = edits.slide(full_site(), "wall-mount", 2.0, edge=3).after
    with pytest.raises(UsageError, match="edges 0 to 2, not 3"):
        edits.change(site, "office", outline=box(0.0, 0.0, 18.0, 10.0)[:3])


def test_replace_turns_a_structure_into_another_kind_where_nothing_speaks_against_it() -> None:
    site = full_site()
    lane = TrafficArea(kind="traffic_area", id="crane", outline=box(0.0, 0.0, 2.0, 2.0))
    assert sound(edits.replace(site, lane)).design.structures[4] is lane
    with pytest.raises(UsageError, match="needs a pole or mast"):
        edits.replace(site, TrafficArea(kind="traffic_area", id="gate-pole", outline=box(0.0, 0.0, 2.0, 2.0)))
    with pytest.raises(UsageError, match="a structure cannot become a note"):
        edits.replace(site, Note(id="crane", position=at(0.0, 0.0), words=""))


def _names(site: Site) -> list[str]:
    """Return every id that a row of the design names, with repetitions."""
    return [one for use in REFERENCES for row in getattr(site.design, use.holder) for one in named(row, use)]


@pytest.mark.parametrize("collection", COLLECTIONS, ids=lambda one: one.name)
def test_rename_takes_every_reference_along(collection: Any) -> None:
    site = Site(design=full_site().design)
    for thing in getattr(site.design, collection.name):
        after = sound(edits.rename(site, thing.id, "renamed"))
        assert _names(after) == ["renamed" if one == thing.id else one for one in _names(site)]
        assert edits.rename(after, "renamed", thing.id).after == site


def test_rename_when_evidence_speaks_of_the_id_is_refused() -> None:
    site = full_site()
    with pytest.raises(UsageError, match="evidence is never rewritten"):
        edits.rename(site, "hop", "hop-2")
    with pytest.raises(UsageError, match="removed thing with evidence"):
        edits.rename(site, "note", "gone-hop")
    with pytest.raises(UsageError, match="is not an id"):
        edits.rename(site, "note", "a note")
    with pytest.raises(UsageError, match="already that of"):
        edits.rename(site, "note", "photo")


def test_remove_when_something_hangs_on_it_names_it_and_refuses() -> None:
    site = full_site()
    with pytest.raises(UsageError, match=r"radio st, .*would go along"):
        edits.remove(site, "gate-mount")
    assert edits.hanging_on(site, "gate-mount") == (
        "camera eye-1",
        "radio st",
        "device plug-2",
        "hop hop",
        "wire w3",
    )


def test_remove_with_cascade_takes_all_along_clears_the_rest_and_keeps_evidence() -> None:
    site = full_site()
    edit = edits.remove(site, "gate-pole", cascade=True)
    after = sound(edit)
    gone = {"gate-pole", "gate-mount", "eye-1", "st", "plug-2", "hop", "w3"}
    old = {thing.id for one in COLLECTIONS for thing in getattr(site.design, one.name)}
    new = {thing.id for one in COLLECTIONS for thing in getattr(after.design, one.name)}
    assert old - new == gone
    assert after.design.landmarks[0].seen_from == ("wall-mount",)
    assert after.design.photographs[0].mount is None
    assert after.evidence is site.evidence
    assert set(edit.touched) == gone | {"spire", "photo"}
    assert "mount gate-mount goes along" in edit.remarks
    assert "landmark spire loses its seen from" in edit.remarks
    assert "the evidence of hop is kept" in edit.remarks
    assert unshared(site, after) == {
        "structures",
        "mounts",
        "cameras",
        "radios",
        "hops",
        "devices",
        "wires",
        "landmarks",
        "photographs",
    }


def test_remove_of_several_together_needs_no_cascade() -> None:
    site = full_site()
    edit = edits.remove(site, "gate-pole", "gate-mount", "eye-1", "st", "plug-2", "hop", "w3")
    assert edit.label == "Remove 7 things"
    assert edit.after == edits.remove(site, "gate-pole", cascade=True).after


def test_remove_of_a_climb_leaves_the_mounts_without_it() -> None:
    edit = edits.remove(full_site(), "ladder")
    assert [mount.climb for mount in sound(edit).design.mounts] == [None] * 4
    assert edit.remarks == ("mount wall-mount loses its climb", "mount gate-mount loses its climb")


@pytest.mark.parametrize("collection", COLLECTIONS, ids=lambda one: one.name)
def test_remove_with_cascade_of_anything_leaves_a_sound_site(collection: Any) -> None:
    site = full_site()
    for thing in getattr(site.design, collection.name):
        sound(edits.remove(site, thing.id, cascade=True))


def test_move_by_takes_a_building_with_what_stands_on_it() -> None:
    site = full_site()
    edit = edits.move_by(site, "office", dx_m=10.0, dy_m=-5.0)
    design = sound(edit).design
    assert design.structures[0].outline == box(10.0, -5.0, 18.0, 10.0)
    assert design.structures[0].holes == (box(15.0, -2.0, 2.0, 2.0),)
    assert design.rooms[0].outline == box(10.0, -5.0, 9.0, 10.0)
    assert design.walls[0].route == (at(19.0, -5.0), at(19.0, 5.0))
    assert design.mounts[2].place.position == at(12.0, -3.0)
    assert design.mounts[0] is site.design.mounts[0]
    assert design.devices[1].position == at(11.0, -4.0)
    assert unshared(site, edit.after) == {
        "structures", "rooms", "walls", "served_areas", "mounts", "devices", "wires",
    }  # fmt: skip
    back = edits.move_by(edit.after, "office", dx_m=-10.0, dy_m=5.0).after
    assert back == site


def test_move_by_of_a_camera_moves_it_and_not_what_it_looks_at() -> None:
    site = full_site()
    after = edits.move_by(site, "eye-1", "eye-2", "note", dx_m=1.0, dy_m=1.0).after
    assert after.design.cameras[0] is site.design.cameras[0]
    assert after.design.cameras[1].position == at(4.0, 5.0)
    assert after.design.notes[0].position == at(1.0, -2.0)


def test_move_when_positions_are_geographic_needs_a_shift_that_knows_them() -> None:
    site = edits.move_to(full_site(), "note", GeoPoint(lat_deg=56.0, lon_deg=11.0)).after
    with pytest.raises(UsageError, match="latitude and longitude"):
        edits.move_by(site, "note", dx_m=1.0, dy_m=1.0)

    def north(position: Any) -> Any:
        return GeoPoint(lat_deg=position.lat_deg + 0.001, lon_deg=position.lon_deg)

    assert edits.move(site, ["note"], north).after.design.notes[0].position.lat_deg == pytest.approx(56.001)


def test_move_to_sets_the_point_of_things_that_have_one() -> None:
    site = full_site()
    assert edits.move_to(site, "gate-pole", at(5.0, 5.0)).after.design.structures[1].position == at(5.0, 5.0)
    assert edits.move_to(site, "roof-mount", at(3.0, 3.0)).after.design.mounts[2].place.position == at(3.0, 3.0)
    with pytest.raises(UsageError, match="does not stand at one point"):
        edits.move_to(site, "office", at(0.0, 0.0))


def test_slide_moves_a_mount_along_its_wall() -> None:
    site = full_site()
    place = edits.slide(site, "wall-mount", 7.5).after.design.mounts[0].place
    assert place == EdgePlace(kind="edge", edge=1, along_m=7.5)
    with pytest.raises(UsageError, match="not a mount on an edge"):
        edits.slide(site, "gate-mount", 1.0)


def _with_edge_mount(edge: int, along_m: float) -> Site:
    site = Site(design=full_site().design)
    return edits.slide(site, "wall-mount", along_m, edge=edge).after


def _foot(site: Site) -> tuple[float, float]:
    """Return where the mount on the wall is: along its edge from the edge's first corner."""
    place, outline = site.design.mounts[0].place, site.design.structures[0].outline
    start, end = outline[place.edge], outline[(place.edge + 1) % len(outline)]
    length = ((end.x_m - start.x_m) ** 2 + (end.y_m - start.y_m) ** 2) ** 0.5
    part = place.along_m / length
    return start.x_m + part * (end.x_m - start.x_m), start.y_m + part * (end.y_m - start.y_m)


@pytest.mark.parametrize("edge", range(4))
@pytest.mark.parametrize("before", range(5))
@pytest.mark.parametrize("along_m", [2.0, 8.0])
def test_insert_corner_on_the_line_of_an_edge_leaves_every_mount_where_it_is(
    edge: int, before: int, along_m: float
) -> None:
    site = _with_edge_mount(edge, along_m)
    outline = site.design.structures[0].outline
    start, end = outline[before - 1], outline[before % 4]
    middle = at((start.x_m + end.x_m) / 2, (start.y_m + end.y_m) / 2)
    after = sound(edits.insert_corner(site, "office", before, middle))
    assert len(after.design.structures[0].outline) == 5
    assert _foot(after) == pytest.approx(_foot(site))


@pytest.mark.parametrize("edge", range(5))
@pytest.mark.parametrize("corner", range(5))
def test_remove_corner_leaves_mounts_on_other_edges_and_refuses_where_one_is_on_it(edge: int, corner: int) -> None:
    site = edits.insert_corner(Site(design=full_site().design), "office", 2, at(20.0, 5.0)).after
    site = edits.slide(site, "wall-mount", 2.0, edge=edge).after
    if corner in (edge, (edge + 1) % 5):
        with pytest.raises(UsageError, match="move the mount first"):
            edits.remove_corner(site, "office", corner)
    else:
        assert _foot(sound(edits.remove_corner(site, "office", corner))) == pytest.approx(_foot(site))


def test_corners_when_there_are_none_or_too_few_are_refused() -> None:
    site = full_site()
    with pytest.raises(UsageError, match="has no corners"):
        edits.move_corner(site, "gate-pole", 0, at(0.0, 0.0))
    with pytest.raises(UsageError, match="numbered 0 to 3"):
        edits.move_corner(site, "pond", 4, at(0.0, 0.0))
    three = edits.remove_corner(site, "pond", 0).after
    with pytest.raises(UsageError, match="at least 3 items"):
        edits.remove_corner(three, "pond", 0)
    moved = edits.move_corner(site, "pond", 1, at(1.0, 2.0)).after.design.waters[0]
    assert moved.outline[1] == at(1.0, 2.0)


def test_radio_edits_set_what_they_say() -> None:
    site = full_site()
    assert edits.set_channel(site, "ap", 124, 40).after.design.radios[0].channel == 124
    with pytest.raises(UsageError, match="follows the channel of its access point"):
        edits.set_channel(site, "st", 124)
    with pytest.raises(UsageError, match="not a radio"):
        edits.set_channel(site, "note", 124)
    with pytest.raises(UsageError, match="not one of 5, 10, 20, 40, 80, 160"):
        edits.set_channel(site, "ap", 124, 30)
    power = edits.set_power(site, "st", 12.0, "fixed").after.design.radios[1]
    assert (power.power_ceiling_dbm, power.power_mode) == (12.0, "fixed")
    aim = edits.aim_by_hand(site, "st", 365.0, tilt_deg=-2.0).after.design.radios[1].aim
    assert aim == AimByHand(bearing_deg=5.0, tilt_deg=-2.0)
    assert edits.aim_computed(site, "ap").after.design.radios[0].aim is None
    assert edits.hang(site, "st", "roof-mount").after.design.radios[1].mount == "roof-mount"
    camera = edits.hang(site, "eye-2", "roof-mount").after.design.cameras[1]
    assert (camera.mount, camera.position) == ("roof-mount", None)
    with pytest.raises(UsageError, match="nothing here has the id"):
        edits.hang(site, "st", "no-mount")


def test_join_and_wire_find_their_ids() -> None:
    site = full_site()
    edit = edits.join(site, "ap", "st-2")
    assert (edit.label, sound(edit).design.hops[-1].id) == ("Join ap and st-2", "H1")
    with pytest.raises(UsageError, match="not in the role access point"):
        edits.join(site, "st", "st-2")
    wired = edits.wire(site, "log-1", "eye-2", "line").after
    assert edits.wire(wired, "log-1", "ap").after.design.wires[-1].id == "W2"


def test_fresh_id_passes_over_things_and_over_evidence_of_what_is_gone() -> None:
    site = full_site()
    reading = Reading(at=MOMENT, by="me", hop="H1", end="station")
    joined = edits.join(site, "ap", "st-2").after
    noted = edits.add_evidence(joined, reading).after
    removed = edits.remove(noted, "H1").after
    assert edits.fresh_id(removed, "H") == "H2"
    assert edits.join(removed, "ap", "st-2").after.design.hops[-1].id == "H2"


def test_gear_edits_add_change_and_drop_copies() -> None:
    site = full_site()
    panel = site.design.gear[0]
    assert edits.add_gear(site, panel).after is site
    better = type(panel)(**{**panel.__dict__, "noise_figure_db": 5.0, "pattern": site.design.gear[3].pattern})
    with pytest.raises(UsageError, match="another version"):
        edits.add_gear(site, better)
    edit = edits.take_newer_gear(site, better)
    assert "noise_figure_db: 6.0 -> 5.0" in edit.remarks
    assert "pattern.gain_dbi: 16.0 -> 12.0" in edit.remarks
    assert sound(edit).design.gear[0] is better
    assert unshared(site, edit.after) == {"gear"}
    with pytest.raises(UsageError, match="of this type"):
        edits.remove_gear(site, "panel")
    assert len(edits.remove_gear(site, "tie").after.design.gear) == len(GEAR) - 1
    unused = edits.drop_unused_gear(site)
    assert set(unused.touched) == {"panel-b", "mast-6", "cap", "tie"}
    assert edits.drop_unused_gear(sound(unused)).changes_nothing
    with pytest.raises(UnknownNameError, match="did you mean 'panel'"):
        edits.remove_gear(site, "pannel")


def test_replace_gear_type_over_all_drops_the_old_copy() -> None:
    site = full_site()
    edit = edits.replace_gear_type(site, "panel", "panel-b")
    after = sound(edit)
    assert [radio.gear for radio in after.design.radios] == ["bare", "panel-b", "panel-b"]
    assert "panel" not in {row.id for row in after.design.gear}
    assert edit.touched == ("st", "st-2", "panel")
    assert edit.remarks == ("2 things changed",)


def test_replace_gear_type_over_chosen_keeps_the_old_copy() -> None:
    site = full_site()
    after = sound(edits.replace_gear_type(site, "panel", "panel-b", ("st",)))
    assert [radio.gear for radio in after.design.radios] == ["bare", "panel-b", "panel"]
    assert after.design.gear is site.design.gear
    with pytest.raises(UnknownNameError, match="'ap' does not use"):
        edits.replace_gear_type(site, "panel", "panel-b", ("ap",))
    with pytest.raises(UsageError, match="of the kind radio"):
        edits.replace_gear_type(site, "panel", "omni")


def test_replace_gear_type_when_the_new_unit_has_no_connectors_clears_antenna_and_feeder() -> None:
    edit = edits.replace_gear_type(full_site(), "bare", "panel")
    radio = sound(edit).design.radios[0]
    assert (radio.gear, radio.antenna, radio.feeder) == ("panel", None, None)
    assert "radio ap loses its antenna and feeder, the new unit has no connectors" in edit.remarks


def test_site_wide_edits_set_what_they_say_and_share_every_collection() -> None:
    site = full_site()
    cases = [
        edits.set_region(site, "GB", "GB"),
        edits.set_as_of(site, datetime.date(2027, 3, 1)),
        edits.set_revision(site, "B"),
        edits.set_anchor(site, Anchor(lat_deg=1.0, lon_deg=2.0)),
        edits.set_defaults(site, crew=3, margin_near_db=9.0),
        edits.change_design(site, name="Other", paper="letter"),
    ]
    rows = {collection.name for collection in COLLECTIONS} | {"gear", "accepted"}
    for edit in cases:
        assert not unshared(site, sound(edit)) & rows
    assert cases[0].after.design.region == "GB"
    assert cases[4].after.design.defaults.crew == 3
    assert cases[4].label == "Set crew and margin near of the site"
    assert edits.set_region(site, "EU", "DK").changes_nothing
    for fields, words in (
        ({"mounts": ()}, "collection"),
        ({"region": "eu"}, "not a region"),
        ({"colour": 1}, "no such field"),
        ({"revision": ""}, "too short"),
    ):
        with pytest.raises(UsageError, match=words):
            edits.change_design(site, **fields)
    with pytest.raises(UsageError, match="at least 2"):
        edits.set_defaults(site, crew=1)


def test_status_and_acceptance_edits() -> None:
    site = full_site()
    after = sound(edits.set_status(site, "ap", "hop", status="later", later_date=DAY))
    assert (after.design.radios[0].status, after.design.hops[0].later_date) == ("later", DAY)
    row = AcceptedFinding(finding="not-checked:hop", reason="other", by="you", on=DAY, severity="warn")
    again = edits.accept_finding(site, row).after
    assert again.design.accepted == (row,)
    assert edits.withdraw_acceptance(again, "not-checked:hop").after.design.accepted == ()
    with pytest.raises(UnknownNameError, match="not accepted"):
        edits.withdraw_acceptance(site, "other")


def test_evidence_is_added_at_the_end_and_does_not_change_the_checksum() -> None:
    site = full_site()
    sight = Sight(at=MOMENT, by="me", hop="hop", result="seen")
    scan = Scan(at=MOMENT, by="me", mount="gate-mount")
    edit = edits.add_evidence(site, sight, scan)
    after = sound(edit)
    assert after.design is site.design
    assert after.evidence.sights == (*site.evidence.sights, sight)
    assert after.evidence.readings is site.evidence.readings
    assert checksum(after.design) == checksum(site.design)
    assert edits.add_evidence(site, sight).label == "Note sight of hop"
    # of a thing that is gone, once there is evidence of it
    assert edits.add_evidence(site, Reading(at=MOMENT, by="me", hop="gone-hop", end="station")).after.evidence
    with pytest.raises(UnknownNameError, match="did you mean 'hop'"):
        edits.add_evidence(site, Sight(at=MOMENT, by="me", hop="hopp", result="seen"))
    with pytest.raises(UsageError, match="no evidence"):
        edits.add_evidence(site)


@pytest.mark.parametrize(
    ("name", "arguments"),
    [
        ("aim_by_hand", {"radio_id": "st", "bearing_deg": 12.5}),
        ("aim_computed", {"radio_id": "ap"}),
        ("change", {"thing_id": "gate-mount", "height_m": 5.0, "permission.state": "granted"}),
        ("change_design", {"name": "Other"}),
        ("drop_unused_gear", {}),
        ("hang", {"thing_id": "st", "mount_id": "roof-mount"}),
        ("join", {"access_point": "ap", "station": "st-2"}),
        ("move_by", {"thing_id": "office", "dx_m": 1.0, "dy_m": 2.0}),
        ("remove", {"thing_id": "office", "cascade": True}),
        ("remove_corner", {"thing_id": "pond", "corner": 1}),
        ("remove_gear", {"gear_id": "tie"}),
        ("rename", {"old_id": "note", "new_id": "note-2"}),
        ("replace_gear_type", {"old_id": "panel", "new_id": "panel-b"}),
        ("set_as_of", {"as_of": "2027-01-01"}),
        ("set_channel", {"radio_id": "ap", "channel": 124, "width_mhz": 20}),
        ("set_defaults", {"crew": 3}),
        ("set_height", {"thing_id": "wall-mount", "height_m": 4.0, "reference": "ground"}),
        ("set_power", {"radio_id": "ap", "ceiling_dbm": 12.0}),
        ("set_region", {"region": "GB"}),
        ("set_revision", {"revision": "C"}),
        ("set_status", {"thing_id": "ap", "status": "later", "later_date": "2027-01-01"}),
        ("slide", {"mount_id": "wall-mount", "along_m": 1.0}),
        ("wire", {"a": "log-1", "b": "ap"}),
        ("withdraw_acceptance", {"finding": "not-checked:hop"}),
    ],
)
def test_named_edit_with_plain_arguments_changes_the_site(name: str, arguments: dict[str, Any]) -> None:
    edit = edits.perform(full_site(), name, arguments)
    assert not edit.changes_nothing
    sound(edit)


def test_named_edit_when_name_or_arguments_are_wrong_is_refused() -> None:
    site = full_site()
    with pytest.raises(UnknownNameError, match="did you mean 'set_channel'"):
        edits.perform(site, "set_chanel", {})
    with pytest.raises(UsageError, match="does not take these arguments"):
        edits.perform(site, "set_channel", {"radio": "ap", "channel": 100})
    with pytest.raises(UsageError, match="not a date"):
        edits.perform(site, "set_as_of", {"as_of": "1.1.2027"})
    with pytest.raises(UsageError, match="is text"):
        edits.perform(site, "set_height", {"thing_id": "wall-mount", "height_m": "4"})


def test_field_words_leave_the_units_out() -> None:
    assert field_words(["power_ceiling_dbm", "as_of", "name"]) == "power ceiling, as of and name"
    assert field_words([]) == "nothing"


def test_collections_when_full_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    site = full_site()
    many = tuple(Landmark(id=f"l{number}", position=PlanePoint(x_m=0.0, y_m=0.0)) for number in range(1000))
    full = Site(design=Design(**{**site.design.__dict__, "landmarks": many}))
    with pytest.raises(UsageError, match="at most 1000 landmarks"):
        edits.add_landmark(full, Landmark(id="one-more", position=at(0.0, 0.0)))
