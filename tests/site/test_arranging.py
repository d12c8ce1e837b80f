"""Turn, align, distribute, move an edge."""

from __future__ import annotations

import itertools
import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.errors import UsageError
from survey_app.site import Design, Site, edits
from survey_app.site.edits.positions import own_positions
from survey_app.site.mount import Mount
from survey_app.site.place import EdgePlace, GeoPoint, PlanePoint, PolePlace
from survey_app.site.radio import AimByHand
from survey_app.site.structure import Building, Pole, Roof
from survey_app.site.surroundings import Zone
from tests.site.full_site import DAY, at, box, full_site
from tests.site.sound import sound, unshared

COORDINATE = st.floats(-2000.0, 2000.0).map(lambda value: round(value, 2))
POINT = st.builds(at, COORDINATE, COORDINATE)
ANGLE = st.floats(-720.0, 720.0)
QUICK = settings(max_examples=40, deadline=None)


def _flat(site: Site, *ids: str) -> list[float]:
    """Return all coordinates of things, and the bearings that turn with them."""
    found: list[float] = []
    for collection in ("structures", "rooms", "walls", "mounts", "devices", "notes", "waters", "zones"):
        for row in getattr(site.design, collection):
            if not ids or row.id in ids:
                found += [c for p in own_positions(row) if isinstance(p, PlanePoint) for c in (p.x_m, p.y_m)]
    return found


def _yard(*things: Any) -> Site:
    """Return a site of structures alone."""
    return Site(design=Design(name="Yard", as_of=DAY, structures=things))


def _pole(name: str, x_m: float, y_m: float) -> Pole:
    return Pole(kind="pole", id=name, position=at(x_m, y_m))


# -- turn


def test_rotate_of_a_building_turns_what_stands_on_it() -> None:
    site = full_site()
    edit = edits.rotate(site, ["office"], 90.0, at(0.0, 0.0))
    design = sound(edit).design
    assert edit.label == "Rotate Building Büro „Süd“ by 90.0°"
    # clockwise: what lay to the right lies below
    assert design.structures[0].outline == (at(0.0, 0.0), at(0.0, -18.0), at(10.0, -18.0), at(10.0, 0.0))
    assert design.structures[0].roof.ridge_plan_deg == 180.0
    assert design.rooms[0].outline[1] == at(0.0, -9.0)
    assert design.mounts[2].place.position == at(2.0, -2.0)
    assert design.mounts[0] is site.design.mounts[0]
    assert unshared(site, edit.after) == {
        "structures", "rooms", "walls", "served_areas", "mounts", "devices", "wires",
    }  # fmt: skip


def test_rotate_turns_sides_of_poles_and_aims_from_plan_north_and_leaves_those_from_true_north() -> None:
    site = edits.aim_by_hand(full_site(), "st", 350.0, north="plan").after
    edit = edits.rotate(site, ["gate-pole"], 15.0, at(-60.0, 12.5))
    design = sound(edit).design
    assert design.structures[1] is site.design.structures[1]
    assert design.mounts[1].place.side_plan_deg == 105.0
    assert design.radios[1].aim == AimByHand(bearing_deg=5.0, north="plan")
    turned = edits.rotate(site, ["office"], 15.0, at(0.0, 0.0)).after
    assert turned.design.radios[0].aim is site.design.radios[0].aim
    assert turned.design.radios[0].aim.north == "true"


def test_rotate_of_a_radio_turns_its_aim_alone() -> None:
    site = edits.aim_by_hand(full_site(), "st", 10.0, north="plan").after
    edit = edits.rotate(site, ["st"], -30.0, at(0.0, 0.0))
    assert (edit.label, unshared(site, sound(edit))) == ("Rotate Radio st by −30.0°", {"radios"})
    assert edit.after.design.radios[1].aim.bearing_deg == 340.0


@QUICK
@given(ANGLE, POINT)
def test_rotate_there_and_back_is_where_it_was(angle_deg: float, centre: PlanePoint) -> None:
    site = edits.aim_by_hand(Site(design=full_site().design), "st", 123.0, north="plan").after
    ids = ["office", "gate-pole", "lime", "crane", "note", "pond"]
    there = edits.remove(site, "lime-mount").after
    one = edits.rotate(there, ids, angle_deg, centre)
    back = edits.rotate(sound(one), ids, -angle_deg, centre).after
    assert _flat(back) == pytest.approx(_flat(there), abs=1e-9)
    sides = [mount.place.side_plan_deg for mount in back.design.mounts if isinstance(mount.place, PolePlace)]
    assert math.cos(math.radians(sides[0] - 90.0)) == pytest.approx(1.0, abs=1e-12)
    assert math.cos(math.radians(back.design.radios[1].aim.bearing_deg - 123.0)) == pytest.approx(1.0, abs=1e-12)


@QUICK
@given(ANGLE, POINT)
def test_rotate_keeps_all_distances(angle_deg: float, centre: PlanePoint) -> None:
    site = full_site()
    after = edits.rotate(site, ["pond"], angle_deg, centre).after
    old, new = site.design.waters[0].outline, after.design.waters[0].outline
    for n in range(4):
        assert _gap(new[n], new[n - 1]) == pytest.approx(_gap(old[n], old[n - 1]), abs=1e-9)
        assert _gap(new[n], centre) == pytest.approx(_gap(old[n], centre), abs=1e-9)


def _gap(a: Any, b: Any) -> float:
    return math.hypot(a.x_m - b.x_m, a.y_m - b.y_m)


@pytest.mark.parametrize(
    ("ids", "angle_deg", "words"),
    [
        (["hop"], 15.0, "nothing of it can be turned"),
        (["pond"], math.nan, "not an angle"),
        (["lime"], 15.0, "latitude and longitude and cannot be turned"),
    ],
)
def test_rotate_when_it_makes_no_sense_is_refused(ids: list[str], angle_deg: float, words: str) -> None:
    with pytest.raises(UsageError, match=words):
        edits.rotate(full_site(), ids, angle_deg, at(0.0, 0.0))


def test_rotate_by_a_whole_turn_changes_nothing() -> None:
    assert edits.rotate(full_site(), ["office"], 360.0, at(0.0, 0.0)).changes_nothing


# -- align and distribute

BOXES = st.lists(st.tuples(COORDINATE, COORDINATE, st.floats(1.0, 50.0), st.floats(1.0, 50.0)), min_size=2, max_size=6)
HOW = st.sampled_from(["left", "right", "top", "bottom", "middle_x", "middle_y"])


def _sheds(rows: list[tuple[float, float, float, float]]) -> Site:
    return _yard(*(Building(kind="building", id=f"b{n}", outline=box(*row)) for n, row in enumerate(rows)))


def _sides(site: Site) -> list[tuple[float, float, float, float]]:
    sides = []
    for row in site.design.structures:
        xs, ys = [p.x_m for p in own_positions(row)], [p.y_m for p in own_positions(row)]
        sides.append((min(xs), max(ys), max(xs), min(ys)))
    return sides


@QUICK
@given(BOXES, HOW)
def test_align_brings_sides_or_middles_in_line_and_done_twice_is_done_once(rows: Any, how: Any) -> None:
    site = _sheds(rows)
    ids = [row.id for row in site.design.structures]
    edit = edits.align(site, ids, how)
    old, new = _sides(site), _sides(sound(edit))
    value = {
        "left": lambda s: s[0],
        "top": lambda s: s[1],
        "right": lambda s: s[2],
        "bottom": lambda s: s[3],
        "middle_x": lambda s: (s[0] + s[2]) / 2.0,
        "middle_y": lambda s: (s[1] + s[3]) / 2.0,
    }[how]
    want = {"left": min, "bottom": min, "right": max, "top": max}.get(how)
    target = want(map(value, old)) if want else value((
        min(s[0] for s in old), max(s[1] for s in old), max(s[2] for s in old), min(s[3] for s in old),
    ))  # fmt: skip
    assert [value(s) for s in new] == pytest.approx([target] * len(new), abs=1e-8)
    # nothing moves the other way
    across = (1, 3) if how in ("left", "right", "middle_x") else (0, 2)
    assert [[s[n] for n in across] for s in new] == [[s[n] for n in across] for s in old]
    assert edits.align(edit.after, ids, how).changes_nothing


def test_align_takes_along_what_stands_on_it_and_passes_over_what_rides() -> None:
    site = full_site()
    ids = ["office", "gate-pole", "roof-mount", "wall-mount", "ap", "hop"]
    edit = edits.align(site, ids, "bottom")
    design = sound(edit).design
    assert edit.label == "Align lower sides of 2 things"
    assert design.structures[1].position == at(-60.0, 0.0)
    assert design.mounts is site.design.mounts
    left = edits.align(site, ids, "left").after.design
    assert left.structures[0].outline[0] == at(-60.0, 0.0)
    assert left.mounts[2].place.position == at(-58.0, 2.0)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda site: edits.align(site, ["office", "ap"], "left"), "two things or more .* needed, 1 are selected"),
        (lambda site: edits.align(site, ["office", "lime-mount"], "left"), "given by latitude and longitude"),
        (lambda site: edits.align(site, ["office", "pond"], "front"), "no way to align"),
        (lambda site: edits.distribute(site, ["office", "pond"], "x"), "three things or more"),
        (lambda site: edits.distribute(site, ["office", "pond", "note"], "z"), "no way to spread"),
    ],
)
def test_align_and_distribute_when_they_make_no_sense_are_refused(make: Any, words: str) -> None:
    with pytest.raises(UsageError, match=words):
        make(full_site())


@QUICK
@given(
    st.lists(st.tuples(COORDINATE, COORDINATE), min_size=3, max_size=6, unique=True),
    st.sampled_from(["x", "y", "line"]),
)
def test_distribute_spaces_evenly_and_leaves_the_outermost(points: Any, axis: Any) -> None:
    site = _yard(*(_pole(f"p{n}", *point) for n, point in enumerate(points)))
    ids = [row.id for row in site.design.structures]
    after = sound(edits.distribute(site, ids, axis))
    new = [(row.position.x_m, row.position.y_m) for row in after.design.structures]
    if axis == "line":
        longest = max(math.dist(p, q) for p in points for q in points)
        ends = next(pair for pair in itertools.permutations(points, 2) if math.dist(*pair) == longest)
        order = sorted(new, key=lambda p: math.dist(p, ends[0]))
        gaps = [math.dist(p, q) for p, q in itertools.pairwise(order)]
    else:
        along = "xy".index(axis)
        order = sorted(new, key=lambda p: p[along])
        gaps = [q[along] - p[along] for p, q in itertools.pairwise(order)]
        # the other coordinate stays
        assert [p[1 - along] for p in new] == [p[1 - along] for p in points]
    assert gaps == pytest.approx([sum(gaps) / len(gaps)] * len(gaps), abs=1e-6)
    assert sum(p in points for p in new) >= 2
    again = edits.distribute(after, ids, axis).after
    assert _flat(again) == pytest.approx(_flat(after), abs=1e-6)


# -- an edge


def _foot(site: Site, number: int) -> tuple[float, float]:
    """Return where a mount on an edge is along its wall."""
    mount = site.design.mounts[number]
    outline = site.design.structures[0].outline
    assert isinstance(mount.place, EdgePlace)
    a, b = outline[mount.place.edge], outline[(mount.place.edge + 1) % len(outline)]
    part = mount.place.along_m / _gap(a, b)
    return a.x_m + part * (b.x_m - a.x_m), a.y_m + part * (b.y_m - a.y_m)


def _shed_with_mounts(corners: list[tuple[float, float]]) -> Site:
    shed = Building(kind="building", id="shed", outline=tuple(at(*corner) for corner in corners), roof=Roof())
    mounts = tuple(
        Mount(id=f"m{n}", structure="shed", place=EdgePlace(kind="edge", edge=n, along_m=2.0), height_m=3.0)
        for n in range(len(corners))
    )
    return Site(design=Design(name="Yard", as_of=DAY, structures=(shed,), mounts=mounts))


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("edge", range(4))
@pytest.mark.parametrize("offset_m", [1.5, -1.5])
def test_move_edge_keeps_directions_and_mounts_on_the_neighbours(edge: int, offset_m: float, turned: bool) -> None:
    corners = [(0.0, 0.0), (12.0, 0.0), (12.0, 9.0), (0.0, 9.0)]
    if turned:
        corners = corners[::-1]
    site = _shed_with_mounts(corners)
    edit = edits.move_edge(site, "shed", edge, offset_m)
    after = sound(edit)
    assert edit.label == "Move edge of Building shed by 1.5 m"
    old, new = site.design.structures[0].outline, after.design.structures[0].outline
    moved = {edge, (edge + 1) % 4}
    assert [new[n] is old[n] or new[n] == old[n] for n in range(4)] == [n not in moved for n in range(4)]
    grown = (12.0 if edge % 2 else 9.0) + offset_m, (9.0 if edge % 2 else 12.0)
    area = abs(sum(p.x_m * q.y_m - q.x_m * p.y_m for p, q in zip(new, new[1:] + new[:1], strict=True))) / 2.0
    assert area == pytest.approx(grown[0] * grown[1])
    for number in range(4):
        if number != edge:
            assert _foot(after, number) == pytest.approx(_foot(site, number))
    assert _gap(at(*_foot(after, edge)), at(*_foot(site, edge))) == pytest.approx(1.5)


def test_move_edge_between_slanting_neighbours_runs_along_them() -> None:
    site = _shed_with_mounts([(0.0, 0.0), (12.0, 0.0), (8.0, 8.0), (4.0, 8.0)])
    outline = sound(edits.move_edge(site, "shed", 0, 2.0)).design.structures[0].outline
    assert [p.x_m for p in outline] == pytest.approx([-1.0, 13.0, 8.0, 4.0])
    assert [p.y_m for p in outline] == pytest.approx([-2.0, -2.0, 8.0, 8.0])


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 3), st.floats(0.001, 3.0), st.floats(0.0, 360.0))
def test_move_edge_out_and_in_is_where_it_was(edge: int, offset_m: float, turn_deg: float) -> None:
    site = _shed_with_mounts([(0.0, 0.0), (12.0, 0.0), (11.0, 9.0), (0.0, 10.0)])
    site = edits.rotate(site, ["shed"], turn_deg, at(3.0, 4.0)).after
    out = edits.move_edge(site, "shed", edge, offset_m).after
    back = edits.move_edge(out, "shed", edge, -offset_m).after
    assert _flat(back, "shed") == pytest.approx(_flat(site, "shed"), abs=1e-9)
    assert [m.place.along_m for m in back.design.mounts] == pytest.approx([2.0] * 4, abs=1e-9)


def test_move_edge_of_water_and_zone_moves_their_outline() -> None:
    outline = edits.move_edge(full_site(), "pond", 0, 5.0).after.design.waters[0].outline
    assert outline[:2] == (at(100.0, -5.0), at(150.0, -5.0))


@pytest.mark.parametrize(
    ("thing", "edge", "offset_m", "words"),
    [
        ("gate-pole", 0, 1.0, "has no outline"),
        ("office", 4, 1.0, "there is no edge 4, they are numbered 0 to 3"),
        ("office", 0, -12.0, "turn inside out"),
        ("office", 0, -5.0, "Mount wall-mount would be beside its wall"),
        ("far", 0, 1.0, "latitude and longitude"),
    ],
)
def test_move_edge_when_it_cannot_be_is_refused(thing: str, edge: int, offset_m: float, words: str) -> None:
    corners = tuple(GeoPoint(lat_deg=56.3 + n % 2 / 100, lon_deg=11.8 + n / 100) for n in range(3))
    site = edits.add_zone(full_site(), Zone(id="far", purpose="boundary", outline=corners)).after
    with pytest.raises(UsageError, match=words):
        edits.move_edge(site, thing, edge, offset_m)
