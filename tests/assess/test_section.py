"""The path of a hop from the side: what is crossed where, ground, bulge, ray and zone."""

from __future__ import annotations

import numpy as np
import pytest

from survey_app.assess.pipeline import assess
from survey_app.assess.section import section_profile
from survey_app.data import demo_sites_folder
from survey_app.ground.place import place
from survey_app.site.edits import change, move_by
from survey_app.site.file import read_site


def _through_the_avenue():
    """Return the college with its avenue across the hop to the gate."""
    return move_by(read_site(demo_sites_folder() / "college"), "avenue", dx_m=20.0, dy_m=0.0).after


def _profile(name, hop_id, site=None):
    site = site or read_site(demo_sites_folder() / name)
    assessment = assess(site)
    radios = {row.id: row for row in assessment.radios}
    hop = next(row for row in assessment.hops if row.id == hop_id)
    return hop, section_profile(site.design, place(site), hop, radios[hop.access_point], radios[hop.station])


def test_ray_runs_straight_from_antenna_to_antenna_over_the_curved_ground():
    hop, profile = _profile("college", "H-gate")
    assert (profile.ray_m[0], profile.ray_m[-1]) == (26.0, 6.0)
    assert profile.length_m == hop.ground_distance_m
    straight = 26.0 - 20.0 * profile.distance_m / profile.length_m
    assert np.abs(profile.ray_m - straight).max() < 1e-9
    middle = profile.at(profile.bulge_m, profile.length_m / 2.0)
    assert middle == pytest.approx(profile.length_m**2 / (8.0 * 4.0 / 3.0 * 6_371_000.0), rel=1e-4)


def test_zone_in_the_middle_is_that_of_the_record():
    hop, profile = _profile("college", "H-gate")
    assert profile.at(profile.zone_radius_m, profile.length_m / 2.0) == pytest.approx(hop.fresnel_radius_m, rel=1e-4)


def test_avenue_is_crossed_where_it_stands_and_grows():
    _, profile = _profile("college", "H-gate", _through_the_avenue())
    avenue = next(one for one in profile.crossed if one.structure.id == "avenue")
    assert (avenue.enter_m, avenue.leave_m) == (pytest.approx(300.0, abs=1.0), pytest.approx(421.8, abs=0.5))
    assert (avenue.top_m, avenue.grown_top_m) == (11.0, 13.5)


def test_what_is_removed_or_comes_later_is_not_crossed():
    site = _through_the_avenue()
    for status in ("removed", "later"):
        changed = change(site, "avenue", status=status).after
        _, profile = _profile("college", "H-gate", changed)
        assert "avenue" not in {one.structure.id for one in profile.crossed}


def test_ground_goes_from_the_quay_to_the_foot_of_the_jetty_in_the_water():
    _, profile = _profile("boatyard", "P-C")
    (water,) = profile.waters
    jetty = next(one for one in profile.crossed if one.structure.id == "jetty-c")
    assert profile.ground_m[0] == 2.0
    assert jetty.base_m == 1.2 < water.level_m
    under = profile.ground_m[(profile.distance_m > water.enter_m) & (profile.distance_m < water.leave_m)]
    assert np.abs(under - jetty.base_m).max() < 1e-9


def test_mast_on_a_roof_leaves_the_ground_where_the_building_stands():
    _, profile = _profile("college", "H-gate")
    tower = next(one for one in profile.crossed if one.structure.id == "tower")
    assert tower.enter_m == 0.0
    assert profile.ground_m[0] == tower.base_m == 0.0


def test_unknown_channel_leaves_the_zone_unknown_and_the_rest_as_it_is():
    site = change(read_site(demo_sites_folder() / "college"), "A-O", channel=None).after
    hop, profile = _profile("college", "H-gate", site)
    assert hop.centre_mhz is None
    assert np.isnan(profile.zone_radius_m).all()
    assert np.isfinite(profile.ray_m).all()
