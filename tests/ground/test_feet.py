"""What stands on the relief stands at its height; a foot that was written down stays."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from survey_app.assess.pipeline import assess
from survey_app.exchange.imported import ReliefWishes
from survey_app.exchange.relief_grid import import_grid
from survey_app.ground.place import Placed, place
from survey_app.ground.relief.opening import open_site
from survey_app.site import Design, Site, edits, write_site
from survey_app.site.mount import Mount
from survey_app.site.network import Camera
from survey_app.site.place import EdgePlace, GeoPoint, PlanePoint, PolePlace
from survey_app.site.relief import SpotHeight, SpotRelief
from survey_app.site.structure import Building, Mast, Obstacle, OverheadLine, Pole, TrafficArea, TreeStand
from survey_app.site.surroundings import Water
from tests.exchange.test_relief_grid import sample, wishes, yard

DAY = datetime.date(2026, 12, 1)
SLOPE = ((0.0, 0.0, 10.0), (100.0, 0.0, 20.0), (0.0, 100.0, 10.0), (100.0, 100.0, 20.0))
"""Rises to the right, one metre in ten; the ground at x is 10 + x / 10."""


def at(x_m: float, y_m: float) -> PlanePoint:
    return PlanePoint(x_m=x_m, y_m=y_m)


def box(x_m: float, y_m: float, w_m: float = 20.0, h_m: float = 10.0) -> tuple[PlanePoint, ...]:
    return at(x_m, y_m), at(x_m + w_m, y_m), at(x_m + w_m, y_m + h_m), at(x_m, y_m + h_m)


def slope() -> SpotRelief:
    return SpotRelief(kind="spots", points=tuple(SpotHeight(position=at(x, y), height_m=h) for x, y, h in SLOPE))


def placed(*structures: Any, relief: SpotRelief | None = None, **fields: Any) -> Placed:
    design = Design(name="Slope", as_of=DAY, structures=structures, relief=relief or slope(), **fields)
    return place(Site(design=design))


def test_building_on_a_slope_stands_on_its_lowest_corner_and_keeps_its_eaves() -> None:
    hall = Building(id="hall", kind="building", outline=box(30.0, 20.0), eaves_height_m=6.0)
    mount = Mount(
        id="m",
        structure="hall",
        place=EdgePlace(kind="edge", edge=1, along_m=5.0),
        height_m=-0.5,
        height_reference="eaves",
    )
    found = placed(hall, mounts=(mount,))
    assert found.feet_m["hall"] == pytest.approx(13.0)
    assert found.mounts["m"].foot_m == pytest.approx(13.0)
    assert found.mounts["m"].elevation_m == pytest.approx(13.0 + 6.0 - 0.5), "the eaves are level all round"


@pytest.mark.parametrize(
    ("structure", "foot_m"),
    [
        (Pole(id="s", kind="pole", position=at(40.0, 50.0)), 14.0),
        (Mast(id="s", kind="mast", position=at(41.5, 50.0)), 14.15),
        (Obstacle(id="s", kind="obstacle", outline=box(50.0, 50.0), height_m=3.0), 15.0),
        (TreeStand(id="s", kind="tree_stand", outline=box(50.0, 50.0)), 17.0),
        (TrafficArea(id="s", kind="traffic_area", outline=box(50.0, 50.0)), 17.0),
        (OverheadLine(id="s", kind="overhead_line", route=(at(20.0, 20.0), at(80.0, 90.0))), 12.0),
        (Pole(id="s", kind="pole", position=at(40.0, 50.0), base_m=3.25), 3.25),
        (Building(id="s", kind="building", outline=box(30.0, 20.0), base_m=0.0), 0.0),
    ],
    ids=lambda one: getattr(one, "kind", ""),
)
def test_foot_is_where_each_kind_stands_unless_it_is_written_down(structure: Any, foot_m: float) -> None:
    assert placed(structure).feet_m == {"s": pytest.approx(foot_m)}


def test_hollow_under_a_building_counts_though_no_corner_stands_in_it() -> None:
    pit = SpotHeight(position=at(40.0, 25.0), height_m=2.0)
    relief = SpotRelief(kind="spots", points=(*slope().points, pit))
    hall = Building(id="hall", kind="building", outline=box(30.0, 20.0))
    assert placed(hall, relief=relief).feet_m["hall"] == pytest.approx(2.0)


def test_camera_on_no_mount_stands_on_the_relief_and_water_keeps_its_level() -> None:
    camera = Camera(id="eye", gear="eye", position=at(60.0, 10.0), height_m=3.0)
    water = Water(id="pond", outline=box(70.0, 70.0), level_low_m=1.0, level_high_m=2.0)
    found = placed(cameras=(camera,), waters=(water,))
    assert found.cameras["eye"].foot_m == pytest.approx(16.0)
    assert found.cameras["eye"].elevation_m == pytest.approx(19.0)
    assert found.ground.heights_m(75.0, 75.0) == pytest.approx(17.5)


def test_height_over_the_site_datum_is_not_moved_by_the_relief() -> None:
    mount = Mount(id="m", structure="p", place=PolePlace(kind="pole"), height_m=21.0, height_reference="datum")
    found = placed(Pole(id="p", kind="pole", position=at(40.0, 50.0)), mounts=(mount,))
    assert (found.mounts["m"].foot_m, found.mounts["m"].elevation_m) == (pytest.approx(14.0), 21.0)


def test_without_a_relief_everything_stands_on_the_site_datum() -> None:
    pole, hall = (
        Pole(id="p", kind="pole", position=at(0.0, 0.0)),
        Building(id="b", kind="building", outline=box(0.0, 0.0)),
    )
    found = place(Site(design=Design(name="Flat", as_of=DAY, structures=(pole, hall))))
    assert found.feet_m == {"p": 0.0, "b": 0.0}
    assert found.ground.words == "assumed flat"


def test_outside_of_the_relief_nothing_is_guessed() -> None:
    found = placed(
        Pole(id="out", kind="pole", position=at(140.0, 50.0)),
        Building(id="half", kind="building", outline=box(90.0, 50.0)),
        Pole(id="written", kind="pole", position=at(140.0, 50.0), base_m=7.0),
    )
    assert np.isnan(found.feet_m["out"])
    assert np.isnan(found.feet_m["half"])
    assert found.feet_m["written"] == 7.0


def test_spot_heights_in_degrees_on_a_plan_without_an_anchor_make_no_ground_and_say_why() -> None:
    points = tuple(
        SpotHeight(position=GeoPoint(lat_deg=43.0 + n, lon_deg=-69.0 + n * n), height_m=1.0) for n in (0.0, 0.1, 0.2)
    )
    found = placed(Pole(id="p", kind="pole", position=at(0.0, 0.0)), relief=SpotRelief(kind="spots", points=points))
    assert np.isnan(found.feet_m["p"])
    assert "has no place on the plan" in found.ground.words


def test_radio_over_unknown_ground_is_left_out_and_the_finding_says_why() -> None:
    from tests.assess.test_awkward_sites import one_hop

    site = one_hop().site()
    near = tuple(
        SpotHeight(position=at(x, y), height_m=1.0)
        for x, y in ((-9000.0, -9000.0), (-8000.0, -9000.0), (-9000.0, -8000.0))
    )
    bare = [edits.change(site, one.id, base_m=None).after for one in site.design.structures][-1]
    for one in site.design.structures:
        bare = edits.change(bare, one.id, base_m=None).after
    found = assess(edits.set_relief(bare, SpotRelief(kind="spots", points=near)).after)
    rows = [row for row in found.findings if row.code == "no-place"]
    assert rows
    assert all(row.severity == "stop" for row in rows)
    assert all("The relief does not say how high" in row.message for row in rows)
    assert not found.hops
    cured = edits.set_relief(bare, None).after
    assert not [row for row in assess(cured).findings if row.code == "no-place"]


def test_relief_lifts_both_ends_of_a_hop_alike_and_changes_no_distance_on_level_ground() -> None:
    from tests.assess.test_awkward_sites import one_hop

    site = one_hop().site()
    for one in site.design.structures:
        site = edits.change(site, one.id, base_m=None).after
    far = ((-9000.0, -9000.0), (9000.0, -9000.0), (-9000.0, 9000.0), (9000.0, 9000.0))
    level = SpotRelief(kind="spots", points=tuple(SpotHeight(position=at(x, y), height_m=30.0) for x, y in far))
    before, after = assess(site), assess(edits.set_relief(site, level).after)
    for old, new in zip(before.radios, after.radios, strict=True):
        assert new.antenna_elevation_m == pytest.approx(old.antenna_elevation_m + 30.0)
        assert new.height_above_ground_m == pytest.approx(old.height_above_ground_m)
    for old, new in zip(before.hops, after.hops, strict=True):
        assert new.ends.station.tilt_deg == pytest.approx(old.ends.station.tilt_deg, abs=1e-4)
        assert new.ends.station.rx_level_dbm == pytest.approx(old.ends.station.rx_level_dbm, abs=1e-3)


def test_site_with_a_grid_opens_with_it_and_without_its_file_says_so(tmp_path: Path) -> None:
    site = yard(poles=((5.0, 5.0), (60.0, -20.0)))
    found = import_grid(sample(tmp_path / "hills.tif"), site, wishes())
    folder = tmp_path / "site"
    write_site(edits.set_relief(site, found.relief).after, folder)
    (folder / "assets").mkdir()
    asset = folder / "assets" / found.relief.file
    # the file under its name with other heights: nothing may be taken from it
    asset.write_bytes(found.data[:-1] + b"?")
    changed = place(open_site(folder))
    assert np.isnan(changed.feet_m["p0"])
    assert "not what was imported" in changed.ground.words
    asset.unlink()
    gone = place(open_site(folder))
    assert np.isnan(gone.feet_m["p0"])
    assert "missing" in gone.ground.words
    asset.write_bytes(found.data)
    whole = place(open_site(folder))
    assert np.isfinite(whole.feet_m["p0"])
    assert whole.feet_m["p0"] == whole.ground.heights_m(5.0, 5.0)
    assert (
        whole.ground is place(open_site(folder)).ground
        or whole.ground.words == "grid EPSG:26919 NAD83 / UTM zone 19N, hills.tif, heights over NAVD88"
    )


def test_no_offset_is_asked_for_where_the_elevation_of_the_datum_is_known(tmp_path: Path) -> None:
    found = import_grid(sample(tmp_path / "hills.tif"), yard(elevation_m=21.0), ReliefWishes(vertical_datum="NAVD88"))
    assert not any("--offset" in remark for remark in found.remarks)
    unknown = import_grid(sample(tmp_path / "hills.tif"), yard(), ReliefWishes(vertical_datum="NAVD88"))
    assert any("--offset -2" in remark for remark in unknown.remarks)
