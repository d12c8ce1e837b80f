"""Coverage of several radios, of a radio indoors, and from where a far end is seen over a relief."""

from __future__ import annotations

import functools
import math

import numpy as np
import pytest
import shapely

from survey_app import open_site
from survey_app.assess.coverage import coverage, covered_together, far_end_of, places_that_see, what_stands
from survey_app.assess.coverage.shadow import radio_shadows
from survey_app.assess.job import Job
from survey_app.assess.numbers import numbers
from survey_app.data import demo_sites_folder
from survey_app.ground.relief.profiles import least_clearance
from survey_app.site.edits.sharing import with_fields
from survey_app.site.place import PlanePoint
from survey_app.site.relief import SpotHeight, SpotRelief
from survey_app.site.site import Site
from survey_app.spectrum.regions import load_regions
from tests.plot import Plot


@functools.cache
def demo(name: str) -> Site:
    return open_site(demo_sites_folder() / name)


@functools.cache
def boatyard():
    return covered_together(demo("boatyard"), ("A-G", "A-U"))


def test_together_has_the_union_of_each_and_the_best_of_each_for_every_mount() -> None:
    job, rules = Job(demo("boatyard")), load_regions()
    alone = {key: coverage(job, key, regions=rules) for key in ("A-G", "A-U")}
    found = boatyard()
    for share in found.rates:
        union = shapely.union_all([one.at_rate(share.rate_mbps) for one in alone.values()])
        assert share.seen_m2 == pytest.approx(float(union.area), rel=1e-9)
        assert share.seen_m2 <= share.reached_m2
    for one in found.mounts:
        offers = {
            key: next((m for m in each.mounts if m.mount == one.mount.mount), None) for key, each in alone.items()
        }
        served = {key: mount for key, mount in offers.items() if mount is not None and mount.served}
        assert one.mount.served == bool(served)
        if served:
            assert one.mount.rate_mbps == max(mount.rate_mbps or 0.0 for mount in served.values())
            assert set(one.also) == set(served) - {one.radio}


def test_a_yard_is_served_in_the_part_that_lies_in_the_union() -> None:
    found = boatyard()
    for one in found.areas:
        yard = shapely.Polygon(Job(demo("boatyard")).placed.outlines[one.id])
        part = 100.0 * found.rates[-1].seen.intersection(yard).area / yard.area
        assert one.percent == pytest.approx(part)
        assert one.rate_mbps == found.rates[-1].rate_mbps
        better = [share for share in found.rates if share.seen.intersection(yard).area >= 0.95 * yard.area]
        assert one.everywhere_mbps == (better[0].rate_mbps if better else None)
    assert {one.id for one in found.areas} == {"hoist-lane", "laid-up", "lorry-lane"}


def test_a_higher_far_end_is_hidden_less() -> None:
    site = demo("boatyard")
    areas = [radio_shadows(site, {"A-U": 300.0}, over_ground_m=height)["A-U"].area for height in (2.0, 6.0, 12.0)]
    assert areas[0] > areas[1] > areas[2]
    low, high = (covered_together(site, ("A-U",), over_ground_m=height) for height in (2.0, 8.0))
    assert low.heights_m == (2.0,)
    assert low.rates[-1].seen_m2 / low.rates[-1].reached_m2 < high.rates[-1].seen_m2 / high.rates[-1].reached_m2


def test_what_cannot_be_covered_is_said_and_the_rest_is_worked_out() -> None:
    told: list[tuple[int, int]] = []
    found = covered_together(demo("mill"), ("nobody", "A-C2"), progress=lambda done, of: told.append((done, of)))
    assert found.radios == ("A-C2",)
    assert len(found.refused) == 1
    assert "nobody" in found.refused[0]
    assert told == [(0, 2), (1, 2)]


class Stop(Exception):  # noqa: N818 - no error: the hand calls it off
    """Called off."""


def test_work_that_is_called_off_ends() -> None:
    def stop(done: int, _of: int) -> None:
        if done == 1:
            raise Stop

    with pytest.raises(Stop):
        covered_together(demo("mill"), ("A-C1", "A-C2"), progress=stop)


def test_indoors_the_mount_has_the_level_of_its_hop_and_the_rates_lie_in_the_hall() -> None:
    site = demo("mill")
    job = Job(site)
    covered = coverage(job, "A-I")
    found = numbers(job, load_regions())
    hop = found.hops.row["I"]
    level = found.powers.aiming_dbm[found.radios.row["A-I"]] + found.path.path_gain_db[hop]
    cart = next(one for one in covered.mounts if one.mount == "cart")
    assert cart.through == ("wall-12",)
    assert cart.served
    # the hop's own walls are counted by the same formulas, the cart being aimed at the radio here
    assert cart.level_dbm == pytest.approx(float(level), abs=0.5)
    building = shapely.Polygon(job.placed.outlines[job.mounts[job.radios["A-I"].mount].structure])
    for one in covered.rates:
        assert one.reached.difference(building.buffer(1e-6)).area < 1e-6
        assert one.seen.difference(one.reached.buffer(covered.sight.step_m)).area < 1.0
    fast, slow = covered.rates[1], covered.rates[-1]
    assert 0.0 < fast.seen_m2 < slow.seen_m2 <= building.area
    assert fast.seen_m2 < fast.reached_m2


def test_without_its_walls_a_hall_is_seen_whole() -> None:
    site = demo("mill")
    walls = site.design.walls
    bare = with_fields(site, design=with_fields(site.design, walls=(), openings=(), rooms=()))
    covered = coverage(Job(bare), "A-I")
    assert walls
    assert covered.sight.hidden.area < 0.01 * covered.sight.seen.area
    for one in covered.rates:
        assert one.seen_m2 == pytest.approx(one.reached_m2, rel=0.02)


def ridge_site(crest_m: float) -> Site:
    plot = Plot()
    plot.pole("west", 0.0, 0.0, 12.5)
    plot.pole("east", 200.0, 0.0, 9.0)
    plot.mount("m-west", "west", 12.0)
    plot.mount("m-east", "east", 5.0)
    plot.access_point("A", "m-west", "bowline-p16", 149)
    plot.station("S", "m-east", "bowline-p16", "A")
    plot.office("home", 150.0, -40.0, 5.0)
    rows = [
        (x, y, crest_m if 80.0 <= x <= 100.0 else 10.0)
        for x in (-400.0, 79.0, 80.0, 100.0, 101.0, 400.0)
        for y in (-400.0, 400.0)
    ]
    spots = tuple(SpotHeight(position=PlanePoint(x_m=x, y_m=y), height_m=z) for x, y, z in rows)
    site = plot.site()
    return with_fields(site, design=with_fields(site.design, relief=SpotRelief(kind="spots", points=spots)))


def test_over_a_ridge_a_pole_wants_the_height_of_similar_triangles() -> None:
    site = ridge_site(16.0)
    job = Job(site)
    edges, poles = places_that_see(job, what_stands(job), np.array([0.0, 0.0, 14.0]))
    east = next(one for one in poles if one.structure == "east")
    # from 14 m over the near edge of the crest, 80 m away and 16 m high, to 199.7 m: it rises by 2 m in 80 m
    assert east.least_m == pytest.approx(14.0 + 2.0 * 199.7 / 80.0 - 10.0, abs=0.02)
    home = [run for one in edges if one.structure == "home" for run in one.runs]
    ground = job.placed.ground
    for one in edges:
        ring = job.placed.outlines[one.structure]
        start, end = ring[one.edge], ring[(one.edge + 1) % len(ring)]
        along = (end - start) / one.length_m
        outward = 1.0 if shapely.is_ccw(shapely.LinearRing(ring)) else -1.0
        start = start + 0.3 * outward * np.array([along[1], -along[0]])
        for run in one.runs:
            spot = (start + along * run.start_m)[None]
            profile = ground.profiles(spot, np.zeros((1, 2)))
            over, _ = least_clearance(profile, np.array([run.least_at_start_m + 1e-3]), np.array([14.0]))
            assert over[0] > -0.01
    assert home


def test_a_ridge_too_high_for_the_pole_hides_it() -> None:
    job = Job(ridge_site(19.0))
    _, poles = places_that_see(job, what_stands(job), np.array([0.0, 0.0, 14.0]))
    assert next(one for one in poles if one.structure == "east").least_m is None


def test_only_the_structures_that_are_asked_about_are_looked_at() -> None:
    job = Job(ridge_site(16.0))
    edges, poles = places_that_see(job, what_stands(job), np.array([0.0, 0.0, 14.0]), structures={"home"})
    assert {one.structure for one in edges} == {"home"}
    assert not poles


def test_the_far_end_of_an_indoor_radio_is_its_station() -> None:
    job = Job(demo("mill"))
    far = far_end_of(job, "A-I")
    assert far.gear == job.radios[job.far_ends("A-I")[0]].gear
    assert math.isclose(far.over_ground_m, 1.5)
