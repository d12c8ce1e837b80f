"""The section on its sheet: where heights and distances lie, what is drawn and said, at every size."""

from __future__ import annotations

import math
from functools import lru_cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.assess.pipeline import assess
from survey_app.data import demo_sites_folder
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.section import route_drawing, route_scene, section_scene, section_sheet
from survey_app.drawing.section.lengths import FEET, METRES
from survey_app.drawing.shapes import Path, Symbol, Words
from survey_app.ground.place import place
from survey_app.site.collection import every_thing
from survey_app.site.edits import change_design, move_by
from survey_app.site.file import read_site


@lru_cache(maxsize=8)
def _assessed(name, units="metric"):
    site = change_design(read_site(demo_sites_folder() / name), units=units).after
    if name == "college":
        site = move_by(site, "avenue", dx_m=20.0, dy_m=0.0).after  # across the hop to the gate
    return site, assess(site), place(site)


@lru_cache(maxsize=64)
def _scene(name, hop_id, units="metric"):
    site, assessment, placed = _assessed(name, units)
    radios = {row.id: row for row in assessment.radios}
    hop = next(row for row in assessment.hops if row.id == hop_id)
    return section_scene(site.design, placed, hop, radios[hop.access_point], radios[hop.station])


HOPS = [("college", "H-gate"), ("boatyard", "S-B"), ("boatyard", "P-C"), ("mill", "I"), ("college", "H-parlour")]


def _words(drawing):
    return [shape for shape in drawing.shapes if isinstance(shape, Words)]


@given(st.sampled_from(HOPS), st.floats(110, 640), st.floats(40, 160))
@settings(max_examples=25, deadline=None)
def test_every_line_stays_on_its_sheet_and_the_plot_inside_it(hop, width, height):
    sheet = section_sheet(_scene(*hop), width, height)
    frame = sheet.frame
    assert 0.0 < frame.left_mm < frame.right_mm <= width + 12.0
    for shape in sheet.drawing.shapes:
        if isinstance(shape, Path):
            for x, y in shape.points:
                assert -0.01 <= x <= max(width, frame.right_mm + 3.0) + 0.01, shape.role
                assert -0.01 <= y <= max(height, frame.top_mm) + 0.01, shape.role


@given(st.sampled_from(HOPS), st.floats(240, 640), st.floats(46, 160))
@settings(max_examples=20, deadline=None)
def test_letters_never_overlap_and_never_leave_the_sheet(hop, width, height):
    drawing = section_sheet(_scene(*hop), width, height).drawing
    boxes = []
    for words in _words(drawing):
        if abs(words.turn_deg) > 0.01:
            continue
        wide = letters_width_mm(words.text, words.height_mm)
        left = words.at[0] - {"start": 0.0, "middle": wide / 2.0, "end": wide}[words.align]
        assert left >= -0.01, words.text
        assert left + wide <= width + 0.5, words.text
        boxes.append(
            (left, words.at[1] - words.height_mm / 2.0, left + wide, words.at[1] + words.height_mm / 2.0, words.text)
        )
    for n, a in enumerate(boxes):
        for b in boxes[:n]:
            apart = a[0] >= b[2] - 0.05 or b[0] >= a[2] - 0.05 or a[1] >= b[3] - 0.05 or b[1] >= a[3] - 0.05
            assert apart, (a[4], b[4])


@pytest.mark.parametrize("hop", HOPS, ids=lambda hop: hop[1])
def test_antennas_stand_at_their_height_on_the_axis_that_is_lettered(hop):
    scene = _scene(*hop)
    sheet = section_sheet(scene, 310.0, 64.5)
    ends = [
        shape
        for shape in sheet.drawing.shapes
        if isinstance(shape, Symbol) and shape.name in ("access point", "station")
    ]
    assert [end.at for end in ends] == [
        sheet.frame.at(0.0, scene.start.elevation_m),
        sheet.frame.at(scene.profile.length_m, scene.end.elevation_m),
    ]
    ticks = {}
    for words in _words(sheet.drawing):
        if (
            words.align == "end"
            and words.at[0] < sheet.frame.left_mm
            and words.text.replace("−", "").replace(".", "").isdigit()
        ):
            ticks[float(words.text.replace("−", "-"))] = words.at[1]
    assert len(ticks) >= 2
    for height, y in ticks.items():
        assert y == pytest.approx(sheet.frame.y(height), abs=1e-6)


def test_pointer_on_the_sheet_reads_the_distance_under_it():
    sheet = section_sheet(_scene("college", "H-gate"), 310.0, 64.5)
    for distance in (0.0, 123.4, 600.0):
        assert sheet.frame.distance_m(sheet.frame.x(distance)) == pytest.approx(distance)
    assert sheet.frame.distance_m(-50.0) == 0.0
    assert sheet.frame.distance_m(900.0) == sheet.frame.scene.profile.length_m


def test_exaggeration_is_a_round_figure_and_said():
    sheet = section_sheet(_scene("college", "H-gate"), 310.0, 64.5)
    frame = sheet.frame
    assert frame.height_mm_per_m / frame.mm_per_m == pytest.approx(frame.exaggeration)
    assert any(f"heights × {frame.exaggeration:g}" in words.text for words in _words(sheet.drawing))


def test_spot_of_a_distance_lies_on_the_hop_of_the_plan():
    scene = _scene("boatyard", "S-B")
    x, y = scene.spot_m(scene.profile.length_m / 2.0)
    assert x == pytest.approx((scene.start_at[0] + scene.end_at[0]) / 2.0)
    assert y == pytest.approx((scene.start_at[1] + scene.end_at[1]) / 2.0)


def test_what_stands_on_the_line_is_named_with_its_height_and_not_judged():
    words = [one.text for one in _words(section_sheet(_scene("college", "H-gate"), 310.0, 64.5).drawing)]
    assert "LIME AVENUE 11.0 m high, 13.5 in 2031" in words
    assert any("obstacles drawn, not checked" in text for text in words)
    assert not any("clear" in text.lower() for text in words)


def test_hop_that_nobody_saw_is_hollow_and_a_seen_one_solid():
    unseen = [
        shape.role
        for shape in section_sheet(_scene("college", "H-gate"), 310.0, 64.5).drawing.shapes
        if isinstance(shape, Path)
    ]
    seen = [
        shape.role
        for shape in section_sheet(_scene("boatyard", "S-B"), 310.0, 64.5).drawing.shapes
        if isinstance(shape, Path)
    ]
    assert (unseen.count(Role.HOP_UNCHECKED), unseen.count(Role.RAY)) == (2, 0)
    assert (seen.count(Role.HOP_UNCHECKED), seen.count(Role.RAY)) == (0, 1)


def test_band_of_figures_stands_there_only_with_room_and_adds_up():
    low = [one.text for one in _words(section_sheet(_scene("college", "H-gate"), 310.0, 64.5).drawing)]
    high = [one.text for one in _words(section_sheet(_scene("college", "H-gate"), 310.0, 120.0).drawing)]
    assert "ray, m" not in low
    for head in ("distance, m", "ground and bulge, m", "top of obstacle, m", "ray, m", "first zone radius, m"):
        assert head in high
    assert "360.9" in high  # middle of the avenue
    assert "14.8" in high  # the ray over it: 26 - 20 * 360.9 / 642.8


def test_site_in_feet_has_feet_everywhere():
    words = [one.text for one in _words(section_sheet(_scene("college", "H-gate", "feet"), 310.0, 120.0).drawing)]
    assert "ray, ft" in words
    assert any(text.startswith("H-gate 2") and " ft " in text for text in words)
    assert not any(text.endswith(" m") or ", m" in text for text in words)


def test_hop_that_looks_one_way_is_read_from_the_access_point():
    assert _scene("boatyard", "S-B").subtitle == "A-S to ST-B, looking north-east"


@given(st.floats(1e-3, 1e5), st.sampled_from([METRES, FEET]))
def test_step_of_ticks_is_round_and_not_too_small(least, lengths):
    step = lengths.step(least) / lengths.unit_m
    mantissa = step / 10.0 ** math.floor(math.log10(step) + 1e-9)
    assert round(mantissa, 6) in (1.0, 2.0, 5.0)
    assert step * lengths.unit_m >= least * (1 - 1e-6)
    assert step * lengths.unit_m < least * 2.6


def _route(name, camera):
    site, assessment, _ = _assessed(name)
    things = {thing.id: thing for _, _, thing in every_thing(site.design)}
    row = next(one for one in assessment.routes if one.camera == camera)
    return row, route_scene(
        site.design, things, row,
        {one.id: one for one in assessment.hops}, {one.id: one for one in assessment.radios}, {one.id: one for one in assessment.wires},
    )  # fmt: skip


def test_route_shows_every_leg_in_order_with_its_load_and_the_narrowest():
    row, scene = _route("boatyard", "cam-a-1")
    assert [leg.id for leg in scene.legs] == [leg.id for leg in row.legs]
    assert [leg.id for leg in scene.legs if leg.is_narrowest] == [row.bottleneck_leg] == ["S-A"]
    words = [one.text for one in _words(route_drawing(scene, 400.0, 64.5))]
    assert "8.5 of 58 Mbit/s" in words
    assert words.count("narrowest") == 1
    assert words.index("w-cam-a-1") < words.index("S-A") < words.index("U")


def test_camera_without_a_way_is_said_in_words():
    row, _ = _route("boatyard", "cam-a-1")
    site, _, _ = _assessed("boatyard")
    lost = row.model_copy(update={"legs": (), "head_end": None})
    scene = route_scene(site.design, {}, lost, {}, {}, {})
    assert any("no way to a head end" in one.text for one in _words(route_drawing(scene, 300.0, 60.0)))
