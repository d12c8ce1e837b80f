"""Numbers that the plan is drawn from: edges of beams, arcs of reach, views of cameras."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment, CameraRow, RadioRow
from survey_app.physics.patterns import gain_dbi, table_gain_dbi
from survey_app.physics.patterns.kinds import LOBE, OMNI, SECTOR
from survey_app.physics.patterns.table import Cut as Levels
from survey_app.site import read_site
from survey_app.site.edits.sharing import rebuilt
from survey_app.site.gear_part import Cut, Pattern
from survey_app.site.gear_type import RadioType
from survey_app.site.network import Camera, CameraTarget
from survey_app.site.place import PlanePoint
from survey_app.site.site import Site
from tests.benchmarks.big_site import big_site

DEMO_SITES = Path(__file__).resolve().parents[2] / "demo_sites"


def changed(row, /, **fields: Any):
    return rebuilt(row, "here", **fields)


KINDS = {"omni": OMNI, "sector": SECTOR, "lobe": LOBE}


@pytest.fixture(scope="module")
def college() -> tuple[Site, Assessment]:
    site = read_site(DEMO_SITES / "college")
    return site, assess(site)


def _pattern(site: Site, row: RadioRow) -> Pattern:
    found = next(item for item in site.design.gear if item.id == (row.antenna or row.gear))
    assert found.pattern is not None
    return found.pattern


def test_gain_at_either_edge_of_a_beam_lies_three_decibels_under_its_peak(college: tuple[Site, Assessment]) -> None:
    site, found = college
    kinds = set()
    for row in found.radios:
        pattern = _pattern(site, row)
        kinds.add(pattern.model)
        if pattern.model == "omni":
            assert row.edge_left_deg is row.edge_right_deg is None
            assert {"edge_left_deg", "edge_right_deg"} <= {reason.field for reason in row.null_reasons}
            continue
        for edge in (row.edge_left_deg, row.edge_right_deg):
            gain = gain_dbi(
                KINDS[pattern.model], pattern.gain_dbi, pattern.azimuth_beamwidth_deg, pattern.elevation_beamwidth_deg,
                pattern.front_to_back_db, 0.0, edge, 0.0,
            )  # fmt: skip
            assert float(gain) == pytest.approx(pattern.gain_dbi - 3.0, abs=1e-9)
        assert row.edge_left_deg < 0.0 < row.edge_right_deg
    assert {"omni", "lobe"} <= kinds


def test_edges_of_a_measured_beam_are_those_of_its_own_cut() -> None:
    """A beam that leans to the right has its edges at unlike angles, read from the table."""
    site = big_site(1, 1)
    panel = next(item for item in site.design.gear if item.id == "bowline-p16")
    assert isinstance(panel, RadioType)
    assert panel.pattern is not None
    across = Cut(angle_deg=(-180.0, -10.0, 0.0, 5.0, 20.0, 90.0), relative_db=(-30.0, -6.0, -1.0, 0.0, -4.0, -30.0))
    upright = Cut(angle_deg=(-90.0, -10.0, 0.0, 10.0, 90.0), relative_db=(-30.0, -3.0, 0.0, -3.0, -30.0))
    leaning = changed(panel, pattern=changed(panel.pattern, model="table", azimuth_cut=across, elevation_cut=upright))
    gear = tuple(leaning if item is panel else item for item in site.design.gear)
    row = assess(Site(design=changed(site.design, gear=gear))).radio("radio-s0-0")
    assert (row.edge_left_deg, row.edge_right_deg) == (pytest.approx(-4.0), pytest.approx(16.25))
    cuts = Levels.of(across.angle_deg, across.relative_db), Levels.of(upright.angle_deg, upright.relative_db)
    for edge in (row.edge_left_deg, row.edge_right_deg):
        assert float(table_gain_dbi(16.0, *cuts, edge, 0.0)) == pytest.approx(13.0)


def test_arcs_fall_outward_and_one_of_them_is_the_reach(college: tuple[Site, Assessment]) -> None:
    arcs = 0
    for row in college[1].radios:
        if row.reach_m is None:
            continue
        rates = [arc.phy_rate_mbps for arc in row.reach_arcs]
        assert rates == sorted(rates, reverse=True)
        assert len({arc.mcs for arc in row.reach_arcs}) == len(row.reach_arcs)
        assert all(math.isfinite(arc.reach_m) and arc.reach_m > 0.0 for arc in row.reach_arcs)
        same = [arc for arc in row.reach_arcs if arc.mcs == row.reach_mcs]
        # where all far ends need one rate, the planned reach is one of the arcs
        assert [(arc.phy_rate_mbps, arc.reach_m) for arc in same] == [(row.reach_rate_mbps, row.reach_m)]
        arcs += len(row.reach_arcs)
    assert arcs > 50


def test_arc_is_where_a_station_would_just_keep_the_margin() -> None:
    """Put the far end at the arc, on the axis: the margin at that rate, at full power, is the wanted one."""
    site = big_site(1, 1)
    design = changed(site.design, hops=(changed(site.design.hops[0], wanted_margin_db=20.0),))
    arc = assess(Site(design=design)).radio("radio-a0").reach_arcs[0]
    foot = next(item for item in design.structures if item.id == "pole-s0-0")
    x_m, y_m = foot.position.x_m, foot.position.y_m
    out = arc.reach_m / math.hypot(x_m, y_m)
    moved = changed(foot, position=PlanePoint(x_m=x_m * out, y_m=y_m * out))
    hop = changed(design.hops[0], chosen_mcs=arc.mcs)
    radios = tuple(changed(radio, power_mode="fixed") for radio in design.radios)
    structures = tuple(moved if item is foot else item for item in design.structures)
    there = assess(Site(design=changed(design, structures=structures, hops=(hop,), radios=radios))).hops[0]
    margins = [way.margin_at_chosen_rate_db for way in (there.directions.to_access_point, there.directions.to_station)]
    # the mast is some metres taller than the panel's: a slant distance, and a little gas on the way
    assert min(margins) == pytest.approx(20.0, abs=0.02)


def test_radio_without_a_hop_has_no_arcs() -> None:
    site = big_site(1, 1)
    alone = assess(Site(design=changed(site.design, hops=())))
    assert {row.reach_arcs for row in alone.radios} == {()}
    assert alone.radio("radio-a0").edge_right_deg is not None


def _camera(**fields: object) -> CameraRow:
    """Return the row of a camera at the origin, 5 m up, as drawn."""
    site = big_site(1, 1)
    camera = Camera.model_validate(
        {"id": "eye", "gear": "lens-b4", "position": PlanePoint(x_m=0.0, y_m=0.0), "height_m": 5.0, **fields}
    )
    return next(row for row in assess(Site(design=changed(site.design, cameras=(camera,)))).cameras if row.id == "eye")


def test_view_points_at_its_target_and_is_as_wide_as_its_angle_there() -> None:
    target = CameraTarget(position=PlanePoint(x_m=30.0, y_m=-30.0), width_m=10.0, height_m=1.0)
    row = _camera(target=target, angle_of_view_deg=90.0)
    assert row.view_bearing_plan_deg == pytest.approx(135.0)
    assert row.angle_of_view_deg == 90.0
    assert row.view_width_m == pytest.approx(2.0 * math.sqrt(1800.0 + 16.0))


def test_open_angle_of_view_is_the_one_that_shows_the_scene() -> None:
    # wider than the narrowest of the lens: it is set to the scene
    target = CameraTarget(position=PlanePoint(x_m=0.0, y_m=20.0), width_m=30.0, height_m=5.0)
    row = _camera(target=target)
    assert row.view_bearing_plan_deg == 0.0
    assert row.view_width_m is not None
    assert row.angle_of_view_deg == pytest.approx(math.degrees(2.0 * math.atan2(row.view_width_m, 40.0)))


def test_camera_without_a_target_says_why_it_has_no_view() -> None:
    row = _camera()
    assert row.view_bearing_plan_deg is row.angle_of_view_deg is row.view_width_m is None
    assert {"view_bearing_plan_deg", "angle_of_view_deg", "view_width_m"} <= {r.field for r in row.null_reasons}
    assert _camera(angle_of_view_deg=40.0).angle_of_view_deg == 40.0


def test_camera_above_its_target_looks_in_no_direction() -> None:
    row = _camera(target=CameraTarget(position=PlanePoint(x_m=0.0, y_m=0.0), width_m=3.0))
    assert row.view_bearing_plan_deg is None
    assert row.angle_of_view_deg is not None
    assert [r.kind for r in row.null_reasons if r.field == "view_bearing_plan_deg"] == ["not_applicable"]
