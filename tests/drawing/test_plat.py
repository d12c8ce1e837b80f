"""The plat of a site: true places, beam edges of the true pattern, states of hops, what leaves at which scale."""

from __future__ import annotations

import math

import numpy as np
import pytest

from survey_app.drawing.plat.plat import plat, plat_lines, things_shapes
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.tiers import LAYERS
from survey_app.drawing.plat.view import Wish
from survey_app.drawing.roles import PENS, Role
from survey_app.drawing.shapes import Path, Strokes, Symbol, Words
from survey_app.ground.place import place
from survey_app.physics.patterns.sector import sector_gain_dbi
from survey_app.site.edits.sharing import rebuilt, with_fields
from survey_app.site.place import PlanePoint
from tests.drawing.plat_sites import DEMOS, around, demo_scene, symbols, texts, view_of


def strokes(shapes, role: Role) -> list[Strokes]:
    return [shape for shape in shapes if isinstance(shape, Strokes) and shape.role is role]


def lines(shapes, role: Role) -> list[np.ndarray]:
    found = []
    for shape in strokes(shapes, role):
        found += np.split(shape.points, np.flatnonzero(~shape.joined)[:-1] + 1)
    return found


def bearing_deg(a, b) -> float:
    return math.degrees(math.atan2(b[0] - a[0], b[1] - a[1])) % 360.0


# -- wedges


def test_edges_of_a_wedge_lie_where_the_pattern_has_fallen_by_3_db():
    scene = demo_scene("boatyard")
    row = scene.radio_rows["A-P"]
    view = view_of(scene, 0.3, size_px=(1400, 1400))
    limits = [
        line for line in lines(plat_lines(scene, view, Wish()), Role.LIMIT)
        if math.dist(line[0], (row.x_m, row.y_m)) < 40.0
    ]  # fmt: skip
    assert len(limits) == 2
    for line in limits:
        off = math.remainder(bearing_deg(line[0], line[1]) - row.bearing_plan_deg, 360.0)
        # the beam's own elevation, so that only azimuth counts: built-in downtilt of 2°
        fall = sector_gain_dbi(20.0, 90.0, 4.0, 2.0, 0.0, -2.0) - sector_gain_dbi(20.0, 90.0, 4.0, 2.0, off, -2.0)
        assert float(fall) == pytest.approx(3.0, abs=0.01)
        assert math.dist(line[1], (row.x_m, row.y_m)) == pytest.approx(row.reach_m, rel=1e-6)


def test_arc_of_a_wedge_lies_where_the_wanted_rate_ends():
    scene = demo_scene("boatyard")
    row = scene.radio_rows["A-P"]
    view = view_of(scene, 0.3, size_px=(1400, 1400))
    arcs = [line for line in lines(plat_lines(scene, view, Wish()), Role.REACH) if len(line) > 6]
    radii = [np.hypot(line[:, 0] - row.x_m, line[:, 1] - row.y_m) for line in arcs]
    assert any(np.allclose(radius, row.reach_m, rtol=1e-9) for radius in radii)


def test_ticks_of_a_wedge_point_inward_and_stand_at_even_degrees():
    scene = demo_scene("boatyard")
    row = scene.radio_rows["A-P"]
    view = view_of(scene, 0.6, fx=0.6, fy=4.5, size_px=(2400, 1400))
    ticks = [line for line in lines(plat_lines(scene, view, Wish()), Role.REACH) if len(line) == 2]
    ticks = [t for t in ticks if abs(math.dist(t[0], (row.x_m, row.y_m)) - row.reach_m) < 1e-6]
    assert len(ticks) > 20
    for tick in ticks:
        bearing = bearing_deg((row.x_m, row.y_m), tick[0])
        assert abs(math.remainder(bearing, 2.0)) < 1e-6
        length_mm = math.dist(*tick) * view.mm_per_m
        assert math.dist(tick[1], (row.x_m, row.y_m)) < row.reach_m
        assert length_mm == pytest.approx(2.6 if abs(math.remainder(bearing, 10.0)) < 1e-6 else 1.3)


def test_ring_of_an_omni_has_ticks_outward_and_a_near_in_ring():
    scene = demo_scene("college")
    row = scene.radio_rows["A-O"]
    view = around(scene, (row.x_m, row.y_m), 0.5)
    shapes = plat_lines(scene, view, Wish())
    centre = (row.x_m, row.y_m)
    ticks = [t for t in lines(shapes, Role.REACH) if len(t) == 2]
    assert len(ticks) == 36
    assert all(math.dist(t[1], centre) > row.reach_m for t in ticks)
    near = lines(shapes, Role.NEAR_IN)
    assert near
    assert all(math.dist(p, centre) == pytest.approx(row.near_in_m) for line in near for p in line)


def test_point_to_point_ends_show_their_wedge_only_when_selected():
    scene = demo_scene("boatyard")
    view = around(scene, scene.radios["A-G"].at, 3.0)
    bare = plat_lines(scene, view, Wish())
    chosen = plat_lines(scene, view, Wish(selection=("A-G",)))
    assert len(lines(chosen, Role.AXIS)) == len(lines(bare, Role.AXIS)) + 1


def test_words_of_reach_and_bearing_stand_at_a_wedge():
    scene = demo_scene("college")
    row = scene.radio_rows["A-O"]
    words = texts(plat(scene, around(scene, (row.x_m, row.y_m), 0.5), Wish()))
    assert f"A-O ends {round(row.reach_m)} m at MCS {row.reach_mcs}" in words


# -- hops


def test_hop_runs_between_the_edges_of_its_symbols_along_the_true_line():
    scene = demo_scene("boatyard")
    view = around(scene, (100.0, 130.0), 3.0)
    a, b = scene.radios["A-P"].at, scene.radios["ST-W"].at
    found = [
        line for line in lines(plat_lines(scene, view, Wish()), Role.HOP)
        if math.dist(line[0], a) < 5.0 and math.dist(line[1], b) < 5.0
    ]  # fmt: skip
    assert len(found) == 1
    (start, end) = found[0]
    assert math.dist(start, a) * view.mm_per_m == pytest.approx(2.4, abs=1e-6)
    assert math.dist(end, b) * view.mm_per_m == pytest.approx(1.9, abs=1e-6)
    assert bearing_deg(start, end) == pytest.approx(bearing_deg(a, b), abs=1e-6)


def test_hop_carries_bearing_distance_and_tilt_as_assessed():
    scene = demo_scene("boatyard")
    words = texts(plat(scene, around(scene, (100.0, 130.0), 3.0), Wish()))
    row = scene.hop_rows["P-W"]
    end = row.ends.access_point
    assert f"{end.bearing_true_deg:.1f}° {row.distance_m:.1f} m" in words
    assert f"P-W {abs(end.tilt_deg):.1f}° down" in words


def test_hop_carries_level_and_rate_on_request():
    scene = demo_scene("boatyard")
    words = texts(plat(scene, around(scene, (100.0, 130.0), 3.0), Wish(hop_words="level")))
    row = scene.hop_rows["P-W"]
    level, mcs = row.ends.access_point.rx_level_dbm, row.directions.to_access_point.mcs
    assert f"P-W \N{MINUS SIGN}{abs(round(level))} dBm MCS {mcs}" in words


def test_lengths_are_written_in_feet_on_request():
    scene = demo_scene("boatyard")
    words = texts(plat(scene, around(scene, (100.0, 130.0), 3.0), Wish(feet=True)))
    row = scene.hop_rows["P-W"]
    assert f"{row.ends.access_point.bearing_true_deg:.1f}° {round(row.distance_m / 0.3048)} ft" in words


def test_hop_nobody_checked_is_hollow_and_says_so():
    scene = demo_scene("boatyard")
    assert scene.hop_rows["G"].sight_checked == "not_tried"
    view = around(scene, (-70.0, 18.0), 4.0)
    drawn = plat(scene, view, Wish())
    hollow = lines(drawn.shapes, Role.HOP_UNCHECKED)
    assert len(hollow) == 2
    apart = np.hypot(*(hollow[0][0] - hollow[1][0])) * view.mm_per_m
    assert apart == pytest.approx(0.9)
    assert "not checked" in texts(drawn)
    assert not any(text.startswith("G ") for text in texts(drawn))


def cut_scene(part: float) -> PlatScene:
    scene = demo_scene("boatyard")
    row = scene.hop_rows["P-W"]
    cut = type(row).model_construct(**{
        **{name: getattr(row, name) for name in type(row).model_fields},
        "line_of_sight": False, "cut_at_m": part * row.ground_distance_m,
    })  # fmt: skip
    return PlatScene(scene.site, scene.placed, scene.assessment, fresher={"P-W": cut})


@pytest.mark.parametrize("part", [0.3, 0.7])
def test_cut_hop_has_a_gap_with_bars_at_the_spot_and_is_dashed_beyond(part):
    scene = cut_scene(part)
    view = around(scene, (50.0, 120.0), 3.0)
    shapes = plat_lines(scene, view, Wish())
    (rest,) = lines(shapes, Role.HOP_REST)
    a, b = np.array(scene.radios["A-P"].at), np.array(scene.radios["ST-W"].at)
    spot = a + part * (b - a)
    assert np.hypot(*(rest[0] - spot)) * view.mm_per_m == pytest.approx(3.25, abs=1e-6)
    assert math.dist(rest[1], b) * view.mm_per_m == pytest.approx(1.9, abs=1e-6)
    bars = [line for line in lines(shapes, Role.HOP) if math.dist(*line) * view.mm_per_m == pytest.approx(3.2)]
    assert len(bars) == 2


def test_figures_that_are_not_yet_true_again_stand_in_brackets():
    scene = demo_scene("boatyard")
    stale = PlatScene(scene.site, scene.placed, scene.assessment, scene, stale=frozenset({"P-W"}))
    drawn = plat(stale, around(scene, (100.0, 130.0), 3.0), Wish())
    row = scene.hop_rows["P-W"]
    wanted = f"({row.ends.access_point.bearing_true_deg:.1f}° {row.distance_m:.1f} m)"
    (words,) = [s for s in drawn.shapes if isinstance(s, Words) and s.text == wanted]
    assert words.italic
    assert PENS[words.role].ink == "ink 2"


def test_without_assessment_hops_are_hollow_and_carry_no_figures():
    scene = demo_scene("boatyard")
    bare = PlatScene(scene.site, scene.placed, None)
    drawn = plat(bare, around(scene, (100.0, 130.0), 3.0), Wish())
    assert not lines(drawn.shapes, Role.HOP)
    assert lines(drawn.shapes, Role.HOP_UNCHECKED)
    assert not any("°" in text for text in texts(drawn))


# -- symbols


def test_station_points_along_its_beam_and_stands_at_its_true_place():
    scene = demo_scene("boatyard")
    row = scene.radio_rows["ST-W"]
    drawn = plat(scene, around(scene, (row.x_m, row.y_m), 9.0), Wish())
    (symbol,) = [s for s in symbols(drawn, "station") if s.subject == "ST-W"]
    assert symbol.at == pytest.approx((row.x_m, row.y_m))
    assert symbol.turn_deg == row.bearing_plan_deg


def test_boxes_and_supplies_leave_a_whole_site_unless_selected():
    scene = demo_scene("mill")
    names = ("device", "supply", "battery")

    def boxes(px_per_m: float, *chosen: str) -> set[str]:
        drawn = plat(scene, view_of(scene, px_per_m, size_px=(2000, 2000)), Wish(selection=chosen))
        return {one.subject for name in names for one in symbols(drawn, name)}

    assert "battery-trailer" in boxes(3.0)
    assert boxes(1.6) == set()
    assert boxes(1.6, "battery-trailer") == {"battery-trailer"}
    assert symbols(plat(scene, view_of(scene, 1.6, size_px=(2000, 2000)), Wish()), "head end")


def test_words_of_a_far_landmark_leave_its_arrow_alone():
    for name in DEMOS:
        scene = demo_scene(name)
        view = view_of(scene, 2.0)
        drawn = plat(scene, view, Wish())
        arrows = {one.subject: one.at for one in symbols(drawn, "to landmark")}
        for box in drawn.words_boxes:
            if box.kind == "landmarks" and box.id in arrows:
                across = abs(arrows[box.id][0] - box.x_m) * view.mm_per_m
                up = abs(arrows[box.id][1] - box.y_m) * view.mm_per_m
                assert across > box.half_width_mm or up > box.half_height_mm, (name, box.id)


def test_number_on_a_warn_is_dark_by_day_and_night():
    scene = demo_scene("college")
    drawn = plat(scene, view_of(scene, 0.35, size_px=(1400, 900)), Wish())
    number = {flagged.number for flagged in drawn.flags}
    warns = [s for s in drawn.shapes if isinstance(s, Words) and s.role is Role.WORDS_ON_WARN]
    assert warns
    assert {int(one.text) for one in warns} <= number
    assert PENS[Role.WORDS_ON_WARN].ink == "on warn"


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("px_per_m", [0.9, 2.5, 6.0])
def test_symbols_of_radios_do_not_hide_each_other_on_one_structure(name, px_per_m):
    scene = demo_scene(name)
    view = view_of(scene, px_per_m)
    spots = {spot.ids: spot for spot in scene.layout(view.mm_per_m, view.tier).radios.values()}
    ordered = list(spots.values())
    for k, one in enumerate(ordered):
        for two in ordered[k + 1 :]:
            if one.mark.structure == two.mark.structure and math.dist(one.true_at, two.true_at) < 0.5:
                assert math.dist(one.at, two.at) * view.mm_per_m >= 4.5


def test_radios_moved_apart_keep_a_leader_to_their_pole():
    scene = demo_scene("mill")
    view = around(scene, scene.radios["A-C2"].foot, 4.0)
    spot = scene.layout(view.mm_per_m, view.tier).radios["A-C2"]
    assert spot.moved
    drawn = plat_lines(scene, view, Wish())
    leaders = [s for s in drawn if getattr(s, "role", None) is Role.THIN and getattr(s, "points", None) is not None]
    assert any(tuple(s.points[-1]) == spot.at for s in leaders if not isinstance(s, Strokes))


def edited(scene: PlatScene, collection: str, thing_id: str, **changes) -> PlatScene:
    rows = tuple(
        rebuilt(row, "test", **changes) if row.id == thing_id else row for row in getattr(scene.site.design, collection)
    )
    site = with_fields(scene.site, design=with_fields(scene.site.design, **{collection: rows}))
    return PlatScene(site, place(site), scene.assessment, scene)


def test_relay_is_one_symbol_with_both_ids():
    # both are wired to the shed's switch
    made = edited(demo_scene("boatyard"), "radios", "A-P", mount="shed-west")
    assert made.relays == {"A-P": "ST-shed"}
    drawn = plat(made, around(made, made.radios["A-P"].at, 9.0), Wish())
    (symbol,) = symbols(drawn, "relay")
    assert symbol.turn_deg == made.radio_rows["ST-shed"].bearing_plan_deg
    assert "ST-shed A-P" in texts(drawn)


@pytest.mark.parametrize(
    ("status", "underlined", "struck", "dashed"),
    [("planned", 0, 0, 0), ("hung", 1, 0, 0), ("later", 0, 0, 1), ("removed", 0, 1, 0)],
)
def test_state_of_a_radio_is_seen_at_its_symbol(status, underlined, struck, dashed):
    made = edited(demo_scene("boatyard"), "radios", "ST-W", status=status)
    drawn = plat(made, around(made, made.radios["ST-W"].at, 9.0), Wish())
    of_it = [s for s in drawn.shapes if isinstance(s, Symbol) and s.subject == "ST-W"]
    assert sum(s.name == "removed" for s in of_it) == struck
    assert sum(any(p.role is Role.LATER for p in s.parts) for s in of_it) == dashed
    under = [s for s in drawn.shapes if isinstance(s, Path) and s.role is Role.HOP_THIN]
    assert len(under) == underlined


def test_camera_stands_off_its_pole_and_its_view_ends_at_the_target():
    scene = demo_scene("boatyard")
    camera = next(c for c in scene.site.design.cameras if c.id == "cam-gate-3")
    at = scene.point("cam-gate-3")
    view = around(scene, at, 9.0)
    spot = scene.layout(view.mm_per_m, view.tier).cameras["cam-gate-3"]
    assert math.dist(spot.at, at) * view.mm_per_m == pytest.approx(3.8, abs=1e-6)
    target = (camera.target.position.x_m, camera.target.position.y_m)
    far = lines(plat_lines(scene, view, Wish()), Role.VIEW_FAR)
    assert any(
        np.allclose(np.hypot(line[:, 0] - at[0], line[:, 1] - at[1]), math.dist(at, target))
        and abs(math.remainder(bearing_deg(at, line[0]) - bearing_deg(at, target), 360.0)) == pytest.approx(30.0)
        for line in far
    )


def test_selected_camera_says_width_and_pixels():
    scene = demo_scene("boatyard")
    view = around(scene, scene.point("cam-gate-3"), 9.0)
    words = texts(plat(scene, view, Wish(selection=("cam-gate-3",))))
    row = scene.camera_rows["cam-gate-3"]
    assert f"34.9 m wide, {round(row.px_per_m)} px/m" in words


def test_findings_stand_as_shapes_with_their_numbers_and_a_leader_to_the_spot():
    scene = demo_scene("boatyard")
    view = view_of(scene, 2.2)
    drawn = plat(scene, view, Wish())
    by_number = {flag.number: flag for flag in drawn.flags}
    x0, y0, x1, y1 = view.window_m
    seen = [(f, at) for f, at in scene.findings if x0 <= at[0] <= x1 and y0 <= at[1] <= y1]
    assert len(drawn.flags) == len(seen) >= 6
    for finding, at in seen:
        flag = by_number[finding.number]
        assert flag.spot == at
        assert 8.0 <= math.dist(flag.at, at) * view.mm_per_m <= 25.0
        (symbol,) = [s for s in drawn.shapes if isinstance(s, Symbol) and s.subject == finding.id]
        assert symbol.name == finding.severity
        assert symbol.at == flag.at


def test_landmark_outside_stands_at_the_edge_with_bearing_and_distance():
    scene = demo_scene("boatyard")
    drawn = plat(scene, view_of(scene, 2.2), Wish(selection=("ST-gate",)))
    turn = next(t for t in scene.radio_rows["ST-gate"].landmark_turns if t.landmark == "water-tower")
    words = texts(drawn)
    assert "WATER TOWER" in words
    assert f"from ST-gate {turn.bearing_true_deg:.1f}° {round(turn.distance_m)} m" in words
    assert len(symbols(drawn, "to landmark")) == 3


# -- scales and wishes


def kinds_seen(drawn) -> set[str]:
    return {s.name for s in drawn.shapes if isinstance(s, Symbol)}


@pytest.mark.parametrize(
    ("px_per_m", "gone", "there"),
    [
        (9.0, set(), {Role.VIEW, Role.WEDGE, Role.AXIS, Role.HOP, Role.HATCH}),
        (1.0, set(), {Role.VIEW, Role.WEDGE, Role.AXIS, Role.HOP, Role.HATCH}),
        (0.5, {Role.VIEW, Role.WIRE}, {Role.WEDGE, Role.AXIS, Role.HOP}),
        (0.2, {Role.VIEW, Role.WIRE, Role.WEDGE, Role.NEAR_IN, Role.RATE_ARC}, {Role.HOP, Role.LIMIT}),
    ],
)
def test_each_scale_shows_what_it_should(px_per_m, gone, there):
    scene = demo_scene("boatyard")
    drawn = plat(scene, around(scene, (135.0, 10.0), px_per_m), Wish())
    roles = {s.role for s in drawn.shapes if isinstance(s, Strokes)}
    assert there <= roles
    assert not gone & roles


def test_words_of_hops_shrink_to_the_distance_and_then_leave():
    scene = demo_scene("college")
    middle = texts(plat(scene, view_of(scene, 0.4), Wish()))
    assert "1\u2009892.3 m" in middle or "1\u2009892.4 m" in middle
    assert not any("down" in text for text in middle)
    far = texts(plat(scene, view_of(scene, 0.2), Wish()))
    assert not any(text.endswith(" m") and "from" not in text for text in far)


def test_radios_become_dots_far_out_but_the_selected_one():
    scene = demo_scene("college")
    view = view_of(scene, 0.2)
    drawn = plat(scene, view, Wish(selection=("ST-pump",)))
    assert [s.subject for s in symbols(drawn, "station")] == ["ST-pump"]
    dots = lines(drawn.shapes, Role.RADIO_SOLID)
    assert len(dots) == 11
    assert np.ptp(dots[0][:, 0]) * view.px_per_m == pytest.approx(5.0, rel=0.1)


def test_small_outline_becomes_a_dot_of_four_pixels():
    scene = demo_scene("boatyard")
    view = around(scene, (0.0, 0.0), 0.3)
    (dots,) = strokes(plat_lines(scene, view, Wish()), Role.SOLID)[:1]
    dot = np.split(dots.points, np.flatnonzero(~dots.joined)[:-1] + 1)[0]
    assert np.ptp(dot[:, 0]) * view.px_per_m == pytest.approx(4.0, rel=0.1)


@pytest.mark.parametrize(
    ("layer", "role"),
    [("water", Role.WATER), ("wedges", Role.WEDGE), ("views", Role.VIEW), ("buildings", Role.HATCH),
     ("obstacles", Role.ENVELOPE), ("overhead", Role.OVERHEAD_LINE), ("hops", Role.HOP), ("wires", Role.WIRE)],
)  # fmt: skip
def test_layer_that_is_switched_off_is_gone(layer, role):
    scene = demo_scene("boatyard")
    assert layer in LAYERS
    view = view_of(scene, 2.2)
    assert strokes(plat_lines(scene, view, Wish()), role)
    assert not strokes(plat_lines(scene, view, Wish(hidden=frozenset({layer}))), role)


@pytest.mark.parametrize(
    ("layer", "name"),
    [("radios", "station"), ("cameras", "camera"), ("landmarks", "to landmark"), ("notes", "note"), ("flags", "warn")],
)
def test_symbols_of_a_layer_that_is_switched_off_are_gone(layer, name):
    scene = demo_scene("boatyard")
    view = view_of(scene, 2.2)

    def count(wish: Wish) -> int:
        drawn = plat(scene, view, wish)
        return len(symbols(drawn, name)) if layer != "notes" else len(symbols(drawn, "note"))

    assert count(Wish(hidden=frozenset({layer}))) < count(Wish())


def test_lifted_pole_takes_along_all_that_hangs_on_it_and_the_overlay_draws_just_that():
    scene = demo_scene("boatyard")
    view = view_of(scene, 2.2)
    structure = scene.mounts["w"].structure
    lifted = plat(scene, view, Wish(lifted=frozenset({structure})))
    assert "ST-W" not in texts(lifted)
    assert not any(isinstance(s, Symbol) and s.subject in ("ST-W", structure) for s in lifted.shapes)
    over = things_shapes(scene, view, Wish(lifted=frozenset({structure})), frozenset({structure}))
    subjects = {s.subject for s in over if isinstance(s, Symbol) and s.subject}
    assert {"ST-W", structure} <= subjects
    assert "A-P" not in subjects
    assert len(lines(over, Role.HOP)) == 1
    assert any(isinstance(s, Words) and s.text == "ST-W" for s in over)


# -- sameness


def same(a, b) -> bool:
    if type(a) is not type(b):
        return False
    if isinstance(a, Strokes):
        return (
            a.role is b.role and a.filled == b.filled
            and np.array_equal(a.points, b.points) and np.array_equal(a.joined, b.joined)
        )  # fmt: skip
    return a == b


@pytest.mark.parametrize("name", DEMOS)
def test_same_view_gives_the_same_plat_also_from_a_fresh_scene(name):
    scene = demo_scene(name)
    view = view_of(scene, 1.3)
    one = plat(scene, view, Wish())
    two = plat(PlatScene(scene.site, scene.placed, scene.assessment), view, Wish())
    assert len(one.shapes) == len(two.shapes)
    assert all(same(a, b) for a, b in zip(one.shapes, two.shapes, strict=True))
    assert one.words_boxes == two.words_boxes


def test_scene_takes_from_the_one_before_what_did_not_change():
    before = demo_scene("boatyard")
    after = edited(before, "structures", "office", name="Harbour office")
    assert after.areas["office"] is not before.areas["office"]
    others = [key for key in before.areas if key != "office"]
    assert all(after.areas[key] is before.areas[key] for key in others)


def test_moved_building_is_drawn_anew_from_a_scene_made_before():
    before = demo_scene("boatyard")
    view = around(before, (10.0, 5.0), 9.0)
    plat_lines(before, view, Wish())
    outline = tuple(
        PlanePoint(x_m=p.x_m + 5.0, y_m=p.y_m)
        for s in before.site.design.structures
        if s.id == "office"
        for p in s.outline
    )
    after = edited(before, "structures", "office", outline=outline)
    fresh = PlatScene(after.site, after.placed, after.assessment)
    drawn, anew = plat_lines(after, view, Wish()), plat_lines(fresh, view, Wish())
    assert all(same(a, b) for a, b in zip(drawn, anew, strict=True))


def test_rates_are_nested_arcs_and_the_selected_radio_names_them():
    scene = demo_scene("college")
    row = scene.radio_rows["A-O"]
    view = around(scene, (row.x_m, row.y_m), 0.9)
    chosen = Wish(selection=("A-O",))
    radii = [math.dist(line[0], (row.x_m, row.y_m)) for line in lines(plat_lines(scene, view, chosen), Role.RATE_ARC)]
    ends = {arc.reach_m for arc in row.reach_arcs}
    assert radii
    assert all(min(abs(radius - end) for end in ends) < 1e-6 for radius in radii)
    arc = min((a for a in row.reach_arcs if a.reach_m > row.reach_m + 5.0), key=lambda a: a.reach_m)
    closer = around(scene, (row.x_m + arc.reach_m, row.y_m), 0.9)
    named = texts(plat(scene, closer, chosen))
    assert any(text.startswith("MCS ") for text in named)
    assert not any(text.startswith("MCS ") for text in texts(plat(scene, closer, Wish())))


@pytest.mark.parametrize("name", DEMOS)
def test_overlay_draws_a_pole_and_its_hops_exactly_where_the_plat_has_them(name):
    scene = demo_scene(name)
    view = view_of(scene, 2.2, size_px=(6000, 6000))
    whole = [s for s in plat_lines(scene, view, Wish()) if isinstance(s, Symbol) and s.subject]
    drawn = plat_lines(scene, view, Wish())
    whole_hops = [line for role in (Role.HOP, Role.HOP_UNCHECKED) for line in lines(drawn, role)]
    for structure in {mark.structure for mark in scene.radios.values()}:
        over = things_shapes(scene, view, Wish(), frozenset({structure}))
        radios = [s for s in over if isinstance(s, Symbol) and s.name in ("access point", "station", "relay", "camera")]
        assert radios
        assert all(symbol in whole for symbol in radios)
        for role in (Role.HOP, Role.HOP_UNCHECKED):
            for line in lines(over, role):
                assert min(abs(line - one).max() for one in whole_hops if one.shape == line.shape) < 1e-6
        assert not any(isinstance(s, Symbol) and s.name in ("stop", "warn") for s in over)
