"""What lies under a point of the plat, what lies in a rectangle, how far a site reaches."""

from __future__ import annotations

import math

import pytest

from survey_app.drawing.plat.hits import bounds, hits, within
from survey_app.drawing.plat.plat import plat
from survey_app.drawing.plat.tiers import tier_of
from survey_app.drawing.plat.view import Wish
from tests.drawing.plat_sites import DEMOS, around, demo_scene, view_of


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("px_per_m", [0.5, 2.5, 9.0])
def test_every_radio_and_camera_is_found_under_its_symbol(name, px_per_m):
    scene = demo_scene(name)
    view = view_of(scene, px_per_m, size_px=(8000, 8000))
    layout = scene.layout(view.mm_per_m, view.tier)
    for one, spot in layout.radios.items():
        found = hits(scene, None, view, *spot.at, 4.0)
        assert any(hit.id == one and hit.kind == "radios" and hit.part == "symbol" for hit in found)
    for one, camera in layout.cameras.items():
        assert any(hit.id == one for hit in hits(scene, None, view, *camera.at, 4.0))


def test_radio_lies_over_the_pole_and_the_hop_that_ends_there():
    scene = demo_scene("boatyard")
    view = around(scene, scene.radios["ST-W"].at, 4.0)
    kinds = [hit.kind for hit in hits(scene, None, view, *scene.radios["ST-W"].at, 4.0)]
    assert kinds[0] == "radios"
    assert "structures" in kinds


def test_hop_is_found_along_its_line_and_not_beside_it():
    scene = demo_scene("boatyard")
    view = around(scene, (50.0, 120.0), 4.0)
    (x0, y0), (x1, y1) = scene.radios["A-P"].at, scene.radios["ST-W"].at
    x, y = x0 + 0.4 * (x1 - x0), y0 + 0.4 * (y1 - y0)
    length = math.hypot(x1 - x0, y1 - y0)
    nx, ny = -(y1 - y0) / length, (x1 - x0) / length
    for off_px, is_found in ((0.0, True), (3.0, True), (7.0, False)):
        found = hits(scene, None, view, x + nx * off_px / 4.0, y + ny * off_px / 4.0, 4.0)
        assert any(hit.id == "P-W" for hit in found) is is_found


def test_corner_edge_and_inside_of_an_outline_are_told_apart():
    scene = demo_scene("boatyard")
    ring = scene.areas["hoist-shed"].corners
    view = around(scene, ring[0], 9.0)

    def part(x: float, y: float) -> str:
        found = [hit for hit in hits(scene, None, view, x, y, 4.0) if hit.id == "hoist-shed"]
        return found[0].part if found else ""

    assert part(*ring[2]) == "corner 2"
    (xa, ya), (xb, yb) = ring[1], ring[2]
    assert part(xa + 0.37 * (xb - xa), ya + 0.37 * (yb - ya)) == "edge 1"
    assert part(sum(p[0] for p in ring) / len(ring), sum(p[1] for p in ring) / len(ring)) == "area"
    assert part(ring[0][0] - 40.0, ring[0][1] - 40.0) == ""


def test_flags_and_words_are_found_where_they_were_drawn():
    scene = demo_scene("boatyard")
    view = view_of(scene, 2.2)
    drawn = plat(scene, view, Wish())
    for flag in drawn.flags:
        first = hits(scene, drawn, view, *flag.at, 4.0)[0]
        assert (first.kind, first.id) == ("findings", flag.finding)
    for box in drawn.words_boxes:
        found = hits(scene, drawn, view, box.x_m, box.y_m, 4.0)
        assert any(hit.id == box.id for hit in found), box


def test_hidden_and_lifted_things_are_not_found():
    scene = demo_scene("boatyard")
    at = scene.radios["ST-W"].at
    view = around(scene, at, 4.0)
    assert all(hit.kind != "radios" for hit in hits(scene, None, view, *at, 4.0, Wish(hidden=frozenset({"radios"}))))
    pole = scene.mounts["w"].structure
    left = {hit.id for hit in hits(scene, None, view, *at, 4.0, Wish(lifted=frozenset({pole})))}
    assert not left & {pole, "ST-W", "P-W"}


def test_rectangle_holds_what_is_wholly_inside_or_what_it_touches():
    scene = demo_scene("boatyard")
    x0, y0, x1, y1 = scene.areas["hoist-shed"].bounds
    whole = within(scene, x1 + 1.0, y1 + 1.0, x0 - 1.0, y0 - 1.0)
    assert "hoist-shed" in whole
    half = (x0 - 1.0, y0 - 1.0, (x0 + x1) / 2.0, y1 + 1.0)
    assert "hoist-shed" not in within(scene, *half)
    assert "hoist-shed" in within(scene, *half, touching=True)
    # a hop that only crosses the rectangle
    (ax, ay), (bx, by) = scene.hops["P-W"].access_point.at, scene.hops["P-W"].station.at
    x, y = (ax + bx) / 2.0, (ay + by) / 2.0
    assert "P-W" not in within(scene, x - 1, y - 1, x + 1, y + 1)
    assert "P-W" in within(scene, x - 1, y - 1, x + 1, y + 1, touching=True)


def test_bounds_of_a_site_hold_all_but_far_landmarks_and_water():
    scene = demo_scene("boatyard")
    x0, y0, x1, y1 = bounds(scene)
    for radio in scene.radios.values():
        assert x0 <= radio.at[0] <= x1
        assert y0 <= radio.at[1] <= y1
    assert scene.point("water-tower")[0] < x0
    assert bounds(scene, ["water-tower"]) == (*scene.point("water-tower"), *scene.point("water-tower"))
    assert bounds(scene, []) is None


def test_steps_of_scale_change_late_by_ten_per_cent():
    assert tier_of(2.1, before=1) == 1
    assert tier_of(1.9, before=1) == 1
    assert tier_of(1.79, before=1) == 2
    assert tier_of(2.1, before=2) == 2
    assert tier_of(2.21, before=2) == 1
