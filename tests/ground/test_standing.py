import dataclasses
import datetime
import math
from pathlib import Path

import numpy as np
import pytest
import shapely

from survey_app import open_site
from survey_app.ground.clearance import Bodies, all_pairs, clearances
from survey_app.ground.clearance_pairs import pairs_near
from survey_app.ground.hull import hull_of, hulls_of, top_at
from survey_app.ground.place import place
from survey_app.ground.prism_edges import Part, edges_of
from survey_app.ground.ray import ray_index
from survey_app.ground.solids import SolidKind
from survey_app.ground.standing import PieceMemo, Season, standing
from survey_app.site.place import GeoPoint, PlanePoint
from survey_app.site.site import Design, Site
from survey_app.site.structure import Building, Mast, Obstacle, OverheadLine, Pole, Roof, TrafficArea, TreeStand
from tests.ground.made_solids import rays

FOLDER = Path(__file__).resolve().parents[2]
OBLONG = ((0, 0), (20, 0), (20, 8), (0, 8))


def points(*corners):
    return tuple(PlanePoint(x_m=x, y_m=y) for x, y in corners)


def house(corners=OBLONG, **fields):
    given = {"id": "house", "kind": "building", "outline": points(*corners), "base_m": 2.0, "eaves_height_m": 5.0}
    return Building(**(given | fields))


def tree(**fields):
    given = {"id": "tree", "kind": "tree_stand", "outline": points(*OBLONG), "base_m": 1.0}
    return TreeStand(**(given | {"crown_base_m": 2.0, "crown_top_m": 10.0} | fields))


def stood(*structures, season=None, **options):
    design = Design(name="Yard", as_of=datetime.date(2026, 12, 1), structures=structures)
    return standing(structures, place(Site(design=design)), season, **options)


def top(found, n, x, y):
    return top_at(hull_of(hulls_of(found.solids.prisms), n), float(x), float(y))[0]


def rings(found, n):
    blocks = found.solids.prisms
    return [
        blocks.corners_m[blocks.ring_start[r] : blocks.ring_start[r + 1]]
        for r in range(blocks.first_ring[n], blocks.first_ring[n + 1])
    ]


def test_flat_roof_and_its_parapet_are_two_solids_of_one_thing():
    found = stood(house(roof=Roof(parapet_height_m=0.8)))
    blocks = found.solids.prisms
    assert found.solids.ids == ("house",)
    assert blocks.thing.tolist() == [0, 0]
    assert blocks.kind.tolist() == [SolidKind.BUILDING, SolidKind.PARAPET]
    assert blocks.highest_m.tolist() == pytest.approx([7.0, 7.8])
    assert (blocks.underside_m == -math.inf).all()
    outer, inner = rings(found, 1)
    assert shapely.Polygon(outer, [inner]).area == pytest.approx(20 * 8 - 19.4 * 7.4)


def test_parapet_runs_round_a_courtyard_too():
    court = points((8, 3), (12, 3), (12, 5), (8, 5))
    found = stood(house(holes=(court,), roof=Roof(parapet_height_m=0.8)))
    assert len(rings(found, 0)) == 2
    strip = shapely.Polygon()
    for ring in rings(found, 1):
        strip = strip.symmetric_difference(shapely.Polygon(ring))
    assert strip.covers(shapely.Point(7.9, 4))
    assert not strip.covers(shapely.Point(7.5, 4))
    assert not strip.covers(shapely.Point(10, 4))


def test_building_narrower_than_two_parapets_is_all_parapet():
    found = stood(house(((0, 0), (9, 0), (9, 0.5), (0, 0.5)), roof=Roof(parapet_height_m=1.0)))
    assert shapely.Polygon(rings(found, 1)[0]).area == pytest.approx(4.5)


def test_gable_rises_from_both_eaves_to_a_ridge_along_its_bearing():
    found = stood(house(roof=Roof(kind="gable", ridge_height_m=7.0, ridge_plan_deg=90.0)))
    assert [top(found, 0, *at) for at in ((5, 0), (5, 8), (0, 4), (20, 4), (5, 2))] == pytest.approx([7, 7, 9, 9, 8])
    assert found.solids.prisms.highest_m[0] == pytest.approx(9.0)
    edges = edges_of(hulls_of(found.solids.prisms))
    (ridge,) = edges.ends[edges.part == Part.RIDGE]
    assert sorted([ridge[:3].tolist(), ridge[3:].tolist()]) == [pytest.approx([0, 4, 9]), pytest.approx([20, 4, 9])]


def test_hip_has_one_pitch_on_four_sides_and_a_shorter_ridge():
    found = stood(house(roof=Roof(kind="hip", ridge_height_m=7.0, ridge_plan_deg=90.0)))
    assert [top(found, 0, *at) for at in ((0, 4), (20, 4), (10, 0), (4, 4), (16, 4))] == pytest.approx([7, 7, 7, 9, 9])
    edges = edges_of(hulls_of(found.solids.prisms))
    level = [row for row in edges.ends[edges.part == Part.RIDGE] if row[2] == pytest.approx(row[5])]
    assert sorted(row[0] for row in np.vstack(level).reshape(-1, 3)) == pytest.approx([4, 16])


def test_roof_of_one_slope_is_high_to_the_right_of_its_bearing():
    found = stood(house(roof=Roof(kind="shed", ridge_height_m=8.0, ridge_plan_deg=90.0)))
    assert [top(found, 0, *at) for at in ((5, 0), (5, 8), (5, 4))] == pytest.approx([10, 7, 8.5])


def test_ridge_without_a_bearing_lies_along_the_longer_side():
    turn = math.radians(30)
    corners = [(x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)) for x, y in OBLONG]
    found = stood(house(corners, roof=Roof(kind="gable", ridge_height_m=7.0)))
    middle = np.mean(corners, axis=0)
    along = np.array([math.cos(turn), math.sin(turn)])
    assert top(found, 0, *(middle + 9 * along)) == pytest.approx(9.0)


@pytest.mark.parametrize(
    ("roof", "words"),
    [
        (Roof(kind="gable", ridge_plan_deg=90.0), "not known"),
        (Roof(kind="hip", ridge_height_m=5.0, ridge_plan_deg=90.0), "not above its eaves"),
    ],
)
def test_roof_without_a_usable_ridge_counts_flat_and_says_so(roof, words):
    found = stood(house(roof=roof))
    assert top(found, 0, 10, 4) == pytest.approx(7.0)
    (fault,) = found.faults
    assert words in fault.sentence
    assert (fault.thing, fault.left_out) == ("house", False)


def test_poles_have_the_circle_round_their_section():
    square = Mast(id="mast", kind="mast", position=PlanePoint(x_m=1, y_m=2), base_m=3.0, height_m=9.0, section="square",
                  diameter_top_mm=100, diameter_foot_mm=200)  # fmt: skip
    pole = Pole(id="pole", kind="pole", position=PlanePoint(x_m=5, y_m=2), base_m=0.0, height_m=6.0)
    up = stood(square, pole).solids.uprights
    assert up.foot_m.tolist() == [3.0, 0.0]
    assert up.top_m.tolist() == [12.0, 6.0]
    assert up.radius_top_m == pytest.approx([0.05 * math.sqrt(2), 0.0445])
    assert up.radius_foot_m == pytest.approx([0.1 * math.sqrt(2), 0.0445])


def test_trees_begin_at_their_crowns_and_grow_up_and_outward():
    now, later = stood(tree()), stood(tree(), season=Season(years=4))
    assert now.solids.prisms.underside_m[0] == 3.0
    assert now.solids.prisms.highest_m[0] == 11.0
    assert later.solids.prisms.highest_m[0] == pytest.approx(13.0)
    grown = shapely.Polygon(rings(later, 0)[0])
    exact = 20 * 8 + 56 * 1.0 + math.pi
    assert exact - 2 * math.pi * 0.005 <= grown.area <= exact
    assert grown.bounds == pytest.approx((-1, -1, 21, 9))


def test_only_trees_that_lose_their_leaves_are_bare():
    pair = tree(), tree(id="pine", leaf="evergreen")
    assert stood(*pair, season=Season(leaf="bare")).bare == ("tree",)
    assert stood(*pair).bare == ()
    assert len(stood(*pair, season=Season(leaf="bare")).solids.prisms) == 2


def test_crane_reaches_out_by_its_swing_and_traffic_is_as_high_as_what_passes():
    crane = Obstacle(
        id="crane", kind="obstacle", outline=points(*OBLONG), base_m=0.0, height_m=20.0, swing_radius_m=30.0
    )
    lane = TrafficArea(id="lane", kind="traffic_area", outline=points(*OBLONG), base_m=1.0, envelope_height_m=4.5)
    found = stood(crane, lane)
    reach = shapely.Polygon(rings(found, 0)[0])
    assert reach.bounds == pytest.approx((-30, -30, 50, 38))
    assert reach.exterior.distance(shapely.Point(0, 0)) == pytest.approx(30.0, abs=0.005)
    assert found.solids.prisms.highest_m.tolist() == [20.0, 5.5]
    assert found.solids.prisms.kind.tolist() == [SolidKind.OBSTACLE, SolidKind.TRAFFIC]


def test_overhead_line_of_unknown_height_is_named_and_stands_in_no_ray():
    run = points((0, 0), (50, 0), (50, 0), (90, 10))
    low = OverheadLine(id="low", kind="overhead_line", route=run, base_m=1.0, height_m=8.0)
    unknown = OverheadLine(id="unknown", kind="overhead_line", route=run, base_m=1.0)
    found = stood(low, unknown)
    assert found.unknown == ("unknown",)
    assert found.solids.ids == ("low",)
    assert found.solids.wires.start_m.tolist() == [[0, 0, 9], [50, 0, 9]]


def test_what_is_removed_or_comes_later_is_left_out():
    gone, later = house(id="gone", status="removed"), house(id="later", status="later")
    assert stood(gone, later).solids.ids == ()
    assert stood(gone, later, with_later=True).solids.ids == ("later",)


@pytest.mark.parametrize(
    ("corners", "words", "left_out"),
    [
        (((0, 0), (9, 9), (9, 0), (0, 9)), "crosses or touches itself", False),
        (((0, 0), (9, 0), (9, 0), (9, 9)), "twice in a row", False),
        (((0, 0), (9, 0), (0, 0)), "fewer than three", True),
        (((0, 0), (9, 0), (0, 0), (9, 0)), "fewer than three", True),
        (((0, 0), (4, 4), (9, 9)), "lie on one line", True),
    ],
)
def test_bad_outlines_are_said_in_a_sentence_and_never_raised(corners, words, left_out):
    found = stood(house(corners))
    assert any(words in fault.sentence for fault in found.faults)
    assert all(fault.left_out == left_out and fault.thing == "house" for fault in found.faults)
    assert len(found.solids.prisms) == (0 if left_out else 1)


def test_courtyard_outside_its_building_is_left_out_and_said():
    found = stood(house(holes=(points((30, 3), (34, 3), (34, 5)), points((5, 3), (8, 3), (8, 5)))))
    assert len(rings(found, 0)) == 2
    assert ["reaches outside" in fault.sentence for fault in found.faults] == [True]


def test_corners_in_degrees_without_an_anchor_are_said():
    lost = house(outline=(GeoPoint(lat_deg=50, lon_deg=7), *points((5, 0), (5, 5))))
    pole = Pole(id="pole", kind="pole", position=GeoPoint(lat_deg=50, lon_deg=7))
    found = stood(lost, pole)
    assert {fault.thing for fault in found.faults if "no anchor" in fault.sentence} == {"house", "pole"}
    assert found.solids.ids == ()


def test_crowns_that_begin_above_their_top_are_said():
    (fault,) = stood(tree(crown_base_m=12.0)).faults
    assert fault.left_out
    assert "crowns" in fault.sentence


def test_ten_thousand_corners_are_one_building_and_one_clearance():
    angle = np.linspace(0, 2 * np.pi, 10_000, endpoint=False)
    found = stood(house([(50 + 20 * math.cos(a), 25 + 20 * math.sin(a)) for a in angle]))
    assert not found.faults
    there = rays([0, 0, 4, 100, 0, 4], [0, 20, 4, 100, 20, 4])
    row = clearances(Bodies.of(found.solids), there, all_pairs(2, found.solids))
    assert row.clearance_m[0] == pytest.approx(5.0)
    assert row.cut[1]


def test_moving_one_pole_rebuilds_one_piece_and_gives_what_a_fresh_start_gives():
    row = [house(id=f"house-{n}") for n in range(5)]
    pole = Pole(id="pole", kind="pole", position=PlanePoint(x_m=1, y_m=2))
    moved = Pole(id="pole", kind="pole", position=PlanePoint(x_m=3, y_m=2))
    memo = PieceMemo()
    stood(*row, pole, memo=memo)
    before = {thing: kept[2] for thing, kept in memo.pieces.items()}
    found = stood(*row, moved, memo=memo)
    assert [thing for thing, kept in memo.pieces.items() if kept[2] is not before[thing]] == ["pole"]
    fresh = stood(*row, moved)
    for part in ("prisms", "uprights"):
        for name, array in vars(getattr(fresh.solids, part)).items():
            np.testing.assert_array_equal(getattr(getattr(found.solids, part), name), array)
    stood(*row, memo=memo)
    assert "pole" not in memo.pieces


def test_memo_follows_the_years_for_trees_alone():
    memo = PieceMemo()
    stood(tree(), house(), memo=memo)
    trees, houses = memo.pieces["tree"][2], memo.pieces["house"][2]
    structures = memo.pieces["tree"][0], memo.pieces["house"][0]
    found = stood(*structures, season=Season(years=10), memo=memo)
    assert memo.pieces["tree"][2] is not trees
    assert memo.pieces["house"][2] is houses
    assert found.solids.prisms.highest_m[0] == pytest.approx(16.0)


# what the hand reckoning of the demos says; 5.8 GHz band
DEMO_WORDS = [
    ("boatyard", "S-B", "paint-shed", 0.65, 0.56),
    ("boatyard", "S-A", "hoist-lane", 0.25, 0.26),
    ("boatyard", "G", "lorry-lane", 0.71, 1.07),
    ("boatyard", "G", "tree", 2.32, 1.72),
]


@pytest.mark.parametrize(("site_name", "hop", "thing", "metres", "ratio"), DEMO_WORDS)
def test_demo_hops_have_the_clearances_worked_by_hand(site_name, hop, thing, metres, ratio):
    site = open_site(FOLDER / "demo_sites" / site_name)
    placed, radios = place(site), {radio.id: radio for radio in site.design.radios}
    (one,) = (row for row in site.design.hops if row.id == hop)
    ends = [placed.mounts[radios[end].mount] for end in (one.access_point, one.station)]
    found = standing(site.design.structures, placed)
    there = rays(
        [value for end in ends for value in (end.x_m, end.y_m, end.elevation_m)], wavelength_m=299.792458 / 5745
    )
    pairs = pairs_near(ray_index(found.solids), there, zones=3.0)
    row = clearances(Bodies.of(found.solids), there, pairs)
    owners = (found.solids.prisms.thing, found.solids.uprights.thing, found.solids.wires.thing)
    names = [found.solids.ids[owners[f][n]] for f, n in zip(pairs.family, pairs.solid, strict=True)]
    at = names.index(thing)
    assert row.clearance_m[at] == pytest.approx(metres, abs=0.01)
    assert row.ratio[at] == pytest.approx(ratio, abs=0.02)


def test_what_stands_on_ground_that_nobody_knows_is_said_and_stands_in_no_ray():
    things = house(), tree()
    design = Design(name="Yard", as_of=datetime.date(2026, 12, 1), structures=things)
    placed = dataclasses.replace(place(Site(design=design)), feet_m={"house": math.nan, "tree": 1.0})
    found = standing(things, placed)
    assert found.solids.ids == ("tree",)
    assert [(fault.thing, fault.left_out) for fault in found.faults] == [("house", True)]
    assert "relief" in found.faults[0].sentence
