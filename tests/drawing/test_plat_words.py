"""Words of the plat: none covers a symbol, a hop, a flag or other words, whatever the window."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.drawing.labels import Box, Placer
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.plat.hits import bounds
from survey_app.drawing.plat.hops import shown_hops
from survey_app.drawing.plat.plat import Plat, plat
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.shapes import Symbol, Words
from tests.drawing.plat_sites import DEMOS, around, demo_scene, texts, view_of

RADII_MM = {"access point": 2.0, "station": 1.1, "relay": 2.6, "pole": 1.1, "camera": 0.7, "head end": 2.3, "stop": 2.4,
            "warn": 1.9, "note": 0.9, "landmark": 1.5, "supply": 2.3, "battery": 2.3}  # fmt: skip
"""What surely belongs to a symbol: the largest circle inside it."""


def box_of(shape: Words, view: PlatView) -> Box:
    x, y = ((shape.at[k] - view.window_m[k]) * view.mm_per_m for k in (0, 1))
    width = letters_width_mm(shape.text, shape.height_mm)
    shift = {"start": width / 2.0, "middle": 0.0, "end": -width / 2.0}[shape.align]
    turn = -math.radians(shape.turn_deg)
    return Box(
        x + shift * math.cos(turn), y + shift * math.sin(turn), width / 2.0 - 0.05, shape.height_mm / 2.0 - 0.05, turn
    )


def letters(drawn: Plat, view: PlatView) -> list[tuple[Words, Box]]:
    # an E belongs to its overhead line, a number to its flag
    return [(s, box_of(s, view)) for s in drawn.shapes if isinstance(s, Words) and s.halo]


def check_clear(scene: PlatScene, view: PlatView, wish: Wish) -> int:
    drawn = plat(scene, view, wish)
    written = letters(drawn, view)
    for (one, a), (two, b) in combinations(written, 2):
        assert not a.touches(b), (one.text, two.text)
    x0, y0, _, _ = view.window_m
    mm = view.mm_per_m
    symbols = [s for s in drawn.shapes if isinstance(s, Symbol) and s.name in RADII_MM]
    for words, box in written:
        for symbol in symbols:
            half = RADII_MM[symbol.name] * 0.7
            assert not box.touches(Box((symbol.at[0] - x0) * mm, (symbol.at[1] - y0) * mm, half, half)), (
                words.text,
                symbol.name,
                symbol.subject,
            )
    hops = shown_hops(scene, scene.layout(mm, view.tier), view, wish)
    for a, b in zip(hops.a.tolist(), hops.b.tolist(), strict=True):
        ax, ay, bx, by = (a[0] - x0) * mm, (a[1] - y0) * mm, (b[0] - x0) * mm, (b[1] - y0) * mm
        line = Box((ax + bx) / 2, (ay + by) / 2, math.hypot(bx - ax, by - ay) / 2, 0.2, math.atan2(by - ay, bx - ax))
        assert not any(box.touches(line) for _, box in written)
    width, height = (view.window_m[2] - x0) * mm, (view.window_m[3] - y0) * mm
    for words, box in written:
        assert box.reach_x <= box.x <= width - box.reach_x, words.text
        assert box.reach_y <= box.y <= height - box.reach_y, words.text
        assert abs(words.turn_deg) <= 90.0 + 1e-9
    return len(written)


@pytest.mark.parametrize("name", DEMOS)
@settings(max_examples=14, deadline=None)
@given(
    scale=st.floats(-1.0, 1.2),
    fx=st.floats(0.0, 1.0),
    fy=st.floats(0.0, 1.0),
    pick=st.integers(0, 8),
    words=st.sampled_from(("bearing", "level")),
    feet=st.booleans(),
)
def test_no_words_cover_anything_they_must_not(name, scale, fx, fy, pick, words, feet):
    scene = demo_scene(name)
    selection = (list(scene.radios)[pick % len(scene.radios)], list(scene.hops)[pick % len(scene.hops)])
    check_clear(scene, view_of(scene, 10.0**scale, fx, fy), Wish(selection=selection, hop_words=words, feet=feet))


@pytest.mark.parametrize("name", DEMOS)
def test_whole_site_carries_its_words(name):
    scene = demo_scene(name)
    x0, y0, x1, y1 = bounds(scene)
    px_per_m = 0.9 * min(1000.0 / (x1 - x0), 600.0 / (y1 - y0))
    assert check_clear(scene, view_of(scene, px_per_m), Wish()) > 12


def test_words_boxes_are_where_the_words_are():
    scene = demo_scene("boatyard")
    view = view_of(scene, 2.2)
    drawn = plat(scene, view, Wish())
    for words, box in letters(drawn, view):
        x_m, y_m = view.window_m[0] + box.x / view.mm_per_m, view.window_m[1] + box.y / view.mm_per_m
        assert any(
            math.dist((x_m, y_m), (b.x_m, b.y_m)) * view.mm_per_m <= math.hypot(b.half_width_mm, b.half_height_mm)
            for b in drawn.words_boxes
        ), words.text


def test_selected_hop_keeps_its_words_at_every_scale():
    scene = demo_scene("college")
    row = scene.hop_rows["T-pump"]
    wanted = f"{row.ends.access_point.bearing_true_deg:.1f}°"
    bare = texts(plat(scene, view_of(scene, 0.2, size_px=(1000, 700)), Wish()))
    chosen = texts(plat(scene, view_of(scene, 0.2, size_px=(1000, 700)), Wish(selection=("T-pump",))))
    assert not any(text.startswith(wanted) for text in bare)
    assert any(text.startswith(wanted) for text in chosen)


def test_name_of_a_building_stands_inside_only_clear_of_its_hatch():
    scene = demo_scene("boatyard")
    area = scene.areas["hoist-shed"]
    view = around(scene, (80.0, 50.0), 9.0)
    drawn = plat(scene, view, Wish())
    (words,) = [s for s in drawn.shapes if isinstance(s, Words) and s.text == "HOIST SHED"]
    box = box_of(words, view)
    ring = [((x - view.window_m[0]) * view.mm_per_m, (y - view.window_m[1]) * view.mm_per_m) for x, y in area.corners]
    band = Placer(1e4, 1e4)
    for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
        band.take_line((a[0] + 100, a[1] + 100), (b[0] + 100, b[1] + 100), 2.0)
    assert band.free(Box(box.x + 100, box.y + 100, box.half_width, box.half_height))


# -- the placer by cells decides as one that looks at everything


class Plain:
    """Looks at every box there is."""

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height, self.taken, self.soft = width, height, [], []

    def free(self, box: Box, outlines: bool) -> bool:
        inside = (
            box.reach_x + 0.6 <= box.x <= self.width - box.reach_x - 0.6
            and box.reach_y + 0.6 <= box.y <= self.height - box.reach_y - 0.6
        )
        return inside and not any(box.touches(o) for o in self.taken + (self.soft if outlines else []))


boxes = st.builds(
    Box, st.floats(-20, 220), st.floats(-20, 140), st.floats(0.3, 60.0), st.floats(0.3, 6.0), st.floats(-4.0, 4.0)
)


@settings(max_examples=150, deadline=None)
@given(taken=st.lists(boxes, max_size=25), asked=st.lists(boxes, min_size=1, max_size=10))
def test_cells_find_what_a_look_at_everything_finds(taken, asked):
    plain, placer = Plain(200.0, 120.0), Placer(200.0, 120.0)
    for box in taken:
        plain.taken.append(box)
        placer.take(box)
    for box in asked:
        assert placer.free(box) == plain.free(box, False)


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("size_px", [(1178.0, 496.0), (878.0, 496.0), (2100.0, 1100.0)])
def test_every_radio_has_its_id_on_the_whole_plan(name, size_px):
    """Flags used to crowd the ids out where the whole site was shown in a small window."""
    scene = demo_scene(name)
    x0, y0, x1, y1 = bounds(scene)
    px_per_m = min(size_px[0] / (x1 - x0 + 100.0), size_px[1] / (y1 - y0 + 100.0))
    view = view_of(scene, px_per_m, size_px=size_px)
    drawn = plat(scene, view, Wish())
    spots = scene.layout(view.mm_per_m, view.tier).radios.values()
    written = texts(drawn)
    missing = [spot.label for spot in spots if spot.label not in written]
    # where several stand on one roof, some may have to give way
    assert len(missing) <= len(spots) // 8, missing
    check_clear(scene, view, Wish())
    at = {spot.label: scene_mm(view, spot.at) for spot in spots}
    for words, box in letters(drawn, view):
        if words.text in at:
            own = min(away(box, at[words.text]), 4.0)
            assert [label for label, other in at.items() if away(box, other) < own - 0.01] == []


def scene_mm(view: PlatView, at: tuple[float, float]) -> tuple[float, float]:
    return (at[0] - view.window_m[0]) * view.mm_per_m, (at[1] - view.window_m[1]) * view.mm_per_m


def away(box: Box, at: tuple[float, float]) -> float:
    dx, dy = abs(at[0] - box.x) - box.half_width, abs(at[1] - box.y) - box.half_height
    return math.hypot(max(dx, 0.0), max(dy, 0.0))


def test_words_stand_clear_of_the_grips_of_a_selected_hop():
    scene = demo_scene("boatyard")
    view = view_of(scene, 1.0, size_px=(878.0, 496.0))
    drawn = plat(scene, view, Wish(selection=("G",)))
    hop = scene.hops["G"]
    spots = scene.layout(view.mm_per_m, view.tier).radios
    grips = [
        Box((spots[end].at[0] - view.window_m[0]) * view.mm_per_m + dx, y + dy, 0.75, 0.75)
        for end in (hop.access_point.id, hop.station.id)
        for y in [(spots[end].at[1] - view.window_m[1]) * view.mm_per_m]
        for dx in (-3.75, 3.75)
        for dy in (-3.75, 3.75)
    ]
    ids = [box for words, box in letters(drawn, view) if words.text in {spot.label for spot in spots.values()}]
    assert len(ids) > 8
    assert [box for box in ids if any(box.touches(grip) for grip in grips)] == []


def test_no_words_stand_where_scale_bar_and_north_arrow_are():
    scene = demo_scene("mill")
    view = view_of(scene, 0.5, fx=0.8, fy=0.9)
    kept = ((60.0, 60.0, 50.0, 40.0),)
    x, y, half_width, half_height = kept[0]
    room = Box(x, y, half_width, half_height)

    def within(wish):
        return [words.text for words, box in letters(plat(scene, view, wish), view) if box.touches(room)]

    assert within(Wish())
    assert within(Wish(kept_free=kept)) == []


@pytest.mark.parametrize("feet", [False, True])
def test_each_selected_hop_of_a_small_plan_keeps_bearing_distance_and_tilt(feet):
    """Beside the line where there is no room along it; of the others all but one in the thick of it keep their id."""
    scene = demo_scene("boatyard")
    view = view_of(scene, 1.0, size_px=(1178.0, 496.0))
    for hop, row in scene.hop_rows.items():
        chosen = texts(plat(scene, view, Wish(selection=(hop,), feet=feet)))
        wanted = f"{row.ends.access_point.bearing_true_deg:.1f}° "
        assert any(text.startswith(wanted) for text in chosen), hop
    drawn = plat(scene, view, Wish(feet=feet))
    assert set(scene.hop_rows) - {box.id for box in drawn.words_boxes} <= {"U"}
