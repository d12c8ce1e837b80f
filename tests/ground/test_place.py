"""Where the things of a site are."""

import datetime
import math

import numpy as np
import pytest

from survey_app.ground.geodesic import inverse
from survey_app.ground.place import place
from survey_app.site.mount import Mount
from survey_app.site.network import Camera, Device, Supply, Wire, WireEnd
from survey_app.site.place import Anchor, EdgePlace, GeoPoint, PlanePoint, PointPlace, PolePlace, RoofPlace
from survey_app.site.site import Design, Landmark, Note, Plane, Site
from survey_app.site.structure import Building, Mast, Obstacle, OverheadLine, Pole, Roof, TrafficArea, TreeStand
from survey_app.site.surroundings import Room, Wall, Water, Zone

ANCHOR = Anchor(lat_deg=43.55, lon_deg=-69.6)


def at(x_m, y_m):
    return PlanePoint(x_m=float(x_m), y_m=float(y_m))


def corners(*pairs):
    return tuple(at(x, y) for x, y in pairs)


HALL = corners((0, 0), (20, 0), (20, 10), (0, 10))


def hall(outline=HALL, **fields):
    return Building(id="hall", kind="building", outline=outline, base_m=2.0, eaves_height_m=5.0, **fields)


def pole(**fields):
    return Pole(
        id="pole", kind="pole", position=fields.pop("position", at(100, 50)), base_m=1.0, height_m=6.0, **fields
    )


def mount(structure, where, height_m=3.0, reference="ground", key="m"):
    return Mount(id=key, structure=structure, place=where, height_m=height_m, height_reference=reference)


def site(anchor=ANCHOR, **design):
    plane = Plane(anchor=anchor)
    return Site(design=Design(name="Yard", as_of=datetime.date(2026, 12, 1), plane=plane, **design))


def spot(structure, where, anchor=ANCHOR, **fields):
    found = place(site(anchor, structures=(structure,), mounts=(mount(structure.id, where, **fields),)))
    return found.mounts["m"]


@pytest.mark.parametrize("outline", [HALL, HALL[::-1]], ids=["counter-clockwise", "clockwise"])
def test_place_on_an_edge_stands_outside_whichever_way_the_corners_run(outline):
    sides = {}
    for edge in range(4):
        found = spot(hall(outline), EdgePlace(kind="edge", edge=edge, along_m=4.0, stand_off_m=0.5))
        sides[edge] = (round(found.x_m, 9), round(found.y_m, 9))
        inside = 0 < found.x_m < 20 and 0 < found.y_m < 10
        assert not inside
    if outline is HALL:
        assert sides == {0: (4.0, -0.5), 1: (20.5, 4.0), 2: (16.0, 10.5), 3: (-0.5, 6.0)}


def test_place_on_an_edge_far_from_the_origin_still_finds_its_outside():
    far = tuple(at(p.x_m + 9e5, p.y_m - 9e5) for p in HALL)
    found = spot(hall(far), EdgePlace(kind="edge", edge=0, along_m=4.0, stand_off_m=0.5), anchor=None)
    assert found.y_m == pytest.approx(-9e5 - 0.5, abs=1e-6)


@pytest.mark.parametrize(
    ("reference", "roof", "elevation_m"),
    [
        ("ground", Roof(), 2 + 3),
        ("eaves", Roof(), 2 + 5 + 3),
        ("roof", Roof(), 2 + 5 + 3),  # a flat roof lies at the eaves, whatever its parapet
        ("roof", Roof(parapet_height_m=1.0), 2 + 5 + 3),
        ("roof", Roof(kind="gable", ridge_height_m=8.0), 2 + 8 + 3),
        ("eaves", Roof(kind="gable", ridge_height_m=8.0), 2 + 5 + 3),
        ("datum", Roof(), 3),
    ],
)
def test_place_height_on_a_building_counts_from_its_reference(reference, roof, elevation_m):
    found = spot(hall(roof=roof), RoofPlace(kind="roof", position=at(5, 5)), reference=reference)
    assert (found.foot_m, found.elevation_m) == (2.0, elevation_m)


@pytest.mark.parametrize(
    ("structure", "reference", "elevation_m"),
    [
        (pole(), "ground", 1 + 3),
        (pole(), "roof", 1 + 6 + 3),
        (Mast(id="mast", kind="mast", position=at(0, 0), base_m=12.0, height_m=4.0), "roof", 12 + 4 + 3),
        (Obstacle(id="tank", kind="obstacle", outline=HALL, base_m=1.0, height_m=9.0), "roof", 1 + 9 + 3),
        (TreeStand(id="oak", kind="tree_stand", outline=HALL, crown_top_m=14.0), "eaves", 14 + 3),
        (TrafficArea(id="lane", kind="traffic_area", outline=HALL, base_m=0.5), "roof", 0.5 + 3),
    ],
)
def test_place_height_on_other_structures_counts_from_foot_or_top(structure, reference, elevation_m):
    found = spot(structure, PointPlace(kind="point", position=at(1, 1)), reference=reference)
    assert found.elevation_m == pytest.approx(elevation_m)


@pytest.mark.parametrize(
    ("side", "x_m", "y_m"), [(None, 100, 50), (0.0, 100, 50.4), (90.0, 100.4, 50), (225.0, 99.717157, 49.717157)]
)
def test_place_on_a_pole_stands_off_on_its_side(side, x_m, y_m):
    found = spot(pole(), PolePlace(kind="pole", side_plan_deg=side, stand_off_m=0.4))
    assert (found.x_m, found.y_m) == (pytest.approx(x_m, abs=1e-6), pytest.approx(y_m, abs=1e-6))
    assert (found.foot_m, found.elevation_m) == (1.0, 4.0)


def test_place_of_degrees_keeps_them_to_the_last_digit():
    written = GeoPoint(lat_deg=43.551234567890123, lon_deg=-69.598765432109876)
    found = place(
        site(
            structures=(hall(), pole(position=written)),
            mounts=(mount("hall", PointPlace(kind="point", position=written)),),
            landmarks=(Landmark(id="tower", position=written),),
            cameras=(Camera(id="cam", gear="c", mount="m"),),
        )
    )
    for key in ("m", "pole", "tower", "cam"):
        assert (found.points[key].lat_deg, found.points[key].lon_deg) == (written.lat_deg, written.lon_deg)
    line = inverse(43.55, -69.6, written.lat_deg, written.lon_deg)
    assert math.hypot(found.points["m"].x_m, found.points["m"].y_m) == pytest.approx(
        float(line.ground_distance_m), abs=1e-6
    )


def test_place_of_metres_gets_degrees_from_the_anchor_and_its_rotation():
    found = place(
        site(Anchor(lat_deg=43.55, lon_deg=-69.6, rotation_deg=90.0), structures=(pole(position=at(0, 100)),))
    )
    point = found.points["pole"]
    line = inverse(43.55, -69.6, point.lat_deg, point.lon_deg)
    # plan north looks east
    assert line.bearing_at_1_deg == pytest.approx(90.0, abs=1e-6)
    assert line.ground_distance_m == pytest.approx(100.0, abs=1e-6)
    assert (point.x_m, point.y_m) == (0.0, 100.0)


def test_place_without_an_anchor_has_no_degrees_for_metres_and_no_metres_for_degrees():
    written = GeoPoint(lat_deg=43.55, lon_deg=-69.6)
    found = place(site(None, structures=(pole(),), notes=(Note(id="n", position=written, words="?"),), mounts=()))
    assert found.plane is None
    assert found.points["pole"] == (100.0, 50.0, None, None)
    assert math.isnan(found.points["n"].x_m)
    assert (found.points["n"].lat_deg, found.points["n"].lon_deg) == (43.55, -69.6)


@pytest.mark.parametrize(
    ("structures", "where"),
    [
        ((), PointPlace(kind="point", position=at(0, 0))),
        ((hall(),), EdgePlace(kind="edge", edge=4, along_m=0.0)),
        ((hall(),), PolePlace(kind="pole")),
        ((pole(),), EdgePlace(kind="edge", edge=0, along_m=0.0)),
        ((hall(corners((0, 0), (0, 0), (5, 5), (0, 9))),), EdgePlace(kind="edge", edge=0, along_m=0.0)),
    ],
    ids=["no structure", "no such edge", "a wall is no pole", "a pole has no edge", "an edge without length"],
)
def test_place_of_a_mount_that_is_nowhere_leaves_it_out(structures, where):
    key = structures[0].id if structures else "gone"
    found = place(
        site(
            structures=structures,
            mounts=(mount(key, where),),
            cameras=(Camera(id="cam", gear="c", mount="m"),),
        )
    )
    assert "m" not in found.mounts
    assert "m" not in found.points
    assert "cam" not in found.cameras


def test_place_of_cameras_on_mounts_and_alone():
    found = place(
        site(
            structures=(pole(),),
            mounts=(mount("pole", PolePlace(kind="pole"), height_m=5.5),),
            cameras=(
                Camera(id="hung", gear="c", mount="m", height_m=4.0, position=at(-1, -1)),
                Camera(id="top", gear="c", mount="m", height_m=-0.0, height_reference="roof"),
                Camera(id="alone", gear="c", position=at(7, 8), height_m=4.0),
                Camera(id="nowhere", gear="c"),
            ),
            devices=(Device(id="box", gear="d", mount="m"), Device(id="rack", gear="d", position=at(1, 2))),
            supplies=(Supply(id="board", kind="mains", position=at(3, 4)),),
        )
    )
    assert (found.cameras["hung"].x_m, found.cameras["hung"].elevation_m) == (100.0, 5.0)
    assert found.cameras["top"].elevation_m == 7.0
    assert (found.cameras["alone"].y_m, found.cameras["alone"].elevation_m) == (8.0, 4.0)
    assert "nowhere" not in found.points
    assert (found.points["box"].x_m, found.points["rack"].y_m, found.points["board"].x_m) == (100.0, 2.0, 3.0)


def test_place_gives_every_outline_and_route_as_an_array():
    geographic = GeoPoint(lat_deg=43.551, lon_deg=-69.6)
    found = place(
        site(
            structures=(
                hall(),
                OverheadLine(id="line", kind="overhead_line", route=(at(0, 0), geographic)),
                pole(),
            ),
            waters=(Water(id="pond", outline=HALL),),
            zones=(Zone(id="fuel", purpose="hazard", outline=HALL),),
            rooms=(Room(id="room", structure="hall", outline=HALL),),
            walls=(Wall(id="wall", structure="hall", route=HALL[:2]),),
            wires=(
                Wire(id="w1", a=WireEnd(thing="a"), b=WireEnd(thing="b"), route=HALL[:3]),
                Wire(id="w2", a=WireEnd(thing="a"), b=WireEnd(thing="b")),
            ),
        )
    )
    shapes = {key: outline.shape for key, outline in found.outlines.items()}
    assert shapes == {
        "hall": (4, 2), "line": (2, 2), "pond": (4, 2), "fuel": (4, 2), "room": (4, 2), "wall": (2, 2), "w1": (3, 2)
    }  # fmt: skip
    assert found.outlines["hall"].tolist() == [[0, 0], [20, 0], [20, 10], [0, 10]]
    assert found.outlines["line"][1] == pytest.approx([0.0, 111.103], abs=1e-3)


def test_place_of_one_thing_does_not_depend_on_what_else_stands_on_the_site():
    random = np.random.default_rng(1)
    many = tuple(
        pole(position=at(*random.uniform(-900, 900, 2))).model_copy(update={"id": f"p{index}"}) for index in range(40)
    )
    together = place(site(structures=many)).points
    for index in (0, 17, 39):
        alone = place(site(structures=(many[index],))).points
        assert alone[f"p{index}"] == together[f"p{index}"]
