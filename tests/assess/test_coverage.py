"""What a radio covers, held against the house's own assessment of a far end that really stands there."""

from __future__ import annotations

import functools
import itertools
import math

import numpy as np
import pytest
import shapely

from survey_app import open_site
from survey_app.assess.coverage import (
    FarEnd,
    best_of,
    coverage,
    far_end_of,
    places_that_see,
    share_percent,
    what_stands,
)
from survey_app.assess.coverage.levels import path_gain_db, spare_db
from survey_app.assess.coverage.pair import pair_of
from survey_app.assess.job import Job
from survey_app.assess.numbers import numbers
from survey_app.data import demo_sites_folder
from survey_app.errors import UsageError
from survey_app.ground.ray import blocked, ray_index
from survey_app.site.edits.sharing import rebuilt, with_fields, with_rows
from survey_app.site.place import PlanePoint, PointPlace
from survey_app.site.radio import AimByHand
from survey_app.site.relief import SpotHeight, SpotRelief
from survey_app.site.site import Site
from survey_app.site.structure import Building
from survey_app.spectrum.regions import Regions, load_regions
from tests.plot import Plot, catalogue, one_hop


@functools.cache
def demo(name: str) -> Job:
    return Job(open_site(demo_sites_folder() / name))


@functools.cache
def rules() -> Regions:
    return load_regions()


def changed(site: Site, name: str, key: str, **fields: object) -> Site:
    rows = getattr(site.design, name)
    return with_rows(
        site, "design", name, put={n: rebuilt(row, key, **fields) for n, row in enumerate(rows) if row.id == key}
    )


def held(job: Job, radio_id: str) -> Job:
    """The same site, the radio's aim fixed by hand where it is and all powers full."""
    found = numbers(job, rules())
    site, row = job.site, found.radios.row[radio_id]
    if np.isfinite(found.aims.bearing_deg[row]):
        aim = AimByHand(
            bearing_deg=float(found.aims.bearing_deg[row]) % 360.0, tilt_deg=float(found.aims.tilt_deg[row])
        )
        site = changed(site, "radios", radio_id, aim=aim)
    for radio in job.radios:
        site = changed(site, "radios", radio, power_mode="fixed")
    return Job(site)


CASES = [("boatyard", "A-P", "ST-C", 400.0), ("college", "A-O", "ST-yard", 900.0), ("boatyard", "A-S", "ST-B", 300.0)]


@pytest.mark.parametrize(("name", "radio_id", "station", "radius_m"), CASES)
def test_a_far_end_at_any_point_has_the_level_and_the_rate_that_coverage_says(
    name: str, radio_id: str, station: str, radius_m: float
) -> None:
    job = held(demo(name), radio_id)
    far = FarEnd(job.radios[station].gear, 6.0)
    covered = coverage(job, radio_id, far, radius_m=radius_m)
    pair = pair_of(job, rules(), radio_id, far)
    eye = pair.eye_m
    made = np.random.default_rng(7)
    mount = job.radios[station].mount
    inside = {one.mcs: 0 for one in covered.rates}
    for _ in range(6):
        away, turn = radius_m * math.sqrt(made.uniform(0.001, 1.0)), made.uniform(0.0, 2.0 * math.pi)
        at = (eye[0] + away * math.sin(turn), eye[1] + away * math.cos(turn))
        place = PointPlace(kind="point", position=PlanePoint(x_m=at[0], y_m=at[1]))
        # every structure of these sites stands on the level of the datum
        moved = Job(changed(job.site, "mounts", mount, place=place, height_m=6.0, height_reference="datum"))
        found = numbers(moved, rules())
        hop = next(n for n, key in enumerate(found.hops.ids) if moved.hops[key].station == station)
        gain, distance = path_gain_db(pair, np.array([[*at, 6.0]]))
        # what stands in the way is the business of sight, not of pattern and budget
        in_the_way = float(found.path.obstruction_loss_db[hop])
        assert gain[0] == pytest.approx(float(found.path.path_gain_db[hop]) + in_the_way, abs=0.1)
        least = np.minimum(found.up.margin_table_db[hop], found.down.margin_table_db[hop]) + in_the_way
        wanted = float(found.hops.wanted_margin_db[hop])
        for one in covered.rates:
            spare = float(spare_db(pair, gain, pair.wanted_db(distance), one.mcs)[0])
            assert spare == pytest.approx(float(least[one.mcs]) - wanted, abs=0.1)
            if abs(spare) > 0.1:
                assert one.reached.contains(shapely.Point(at)) == (spare > 0.0)
                inside[one.mcs] += spare > 0.0
    assert any(0 < count < 6 for count in inside.values())


@pytest.mark.parametrize(("name", "radio_id", "station", "radius_m"), CASES)
def test_a_mount_has_the_level_of_its_hop(name: str, radio_id: str, station: str, radius_m: float) -> None:
    job = held(demo(name), radio_id)
    covered = coverage(job, radio_id, radius_m=50.0)
    found = numbers(job, rules())
    hop = next(n for n, key in enumerate(found.hops.ids) if job.hops[key].station == station)
    level = found.powers.aiming_dbm[found.radios.row[radio_id]] + found.path.path_gain_db[hop]
    level = level + found.path.obstruction_loss_db[hop]
    mount = next(one for one in covered.mounts if one.mount == job.radios[station].mount)
    assert mount.level_dbm == pytest.approx(float(level), abs=0.1)
    assert mount.distance_m == pytest.approx(float(found.where.distance_m[hop]), abs=1e-3)
    assert mount.served


def test_areas_of_better_rates_lie_in_those_of_worse_ones() -> None:
    rates = coverage(demo("college"), "A-O", radius_m=900.0).rates
    assert [one.rate_mbps for one in rates] == sorted((one.rate_mbps for one in rates), reverse=True)
    for better, worse in itertools.pairwise(rates):
        assert better.reached.difference(worse.reached.buffer(0.01)).area < 1.0
        assert better.seen_m2 <= better.reached_m2
        assert better.seen_m2 <= worse.seen_m2 + 1.0


def test_under_a_high_omni_there_is_a_ring_that_its_beam_passes_over() -> None:
    covered = coverage(demo("college"), "A-O", FarEnd("bowline-p18", 2.0), radius_m=900.0)
    best = next(one for one in covered.rates if one.reached_m2 > 0.0)
    at = demo("college").placed.mounts["tower-top"]
    # the beam passes over a ring; nearer still, next to no distance is lost
    assert not best.reached.contains(shapely.Point(at.x_m, at.y_m + 150.0))
    # due north, where the halves of the circle were joined, it is one ring
    assert best.reached.contains(shapely.Point(at.x_m, at.y_m + 350.0))
    ring = max(shapely.get_parts(best.reached), key=lambda part: float(part.area))
    assert len(ring.interiors) == 1
    assert ring.area > 0.9 * best.reached.area


def plot_of(eaves: float = 8.0) -> Plot:
    """A sector-like panel 12 m up at the origin, a station east, and a hall between at 40 to 60 m."""
    plot = Plot()
    plot.pole("west", 0.0, 0.0, 12.5)
    plot.pole("east", 120.0, 0.0, 6.5)
    plot.mount("m-west", "west", 12.0)
    plot.mount("m-east", "east", 3.0)
    plot.access_point("A", "m-west", "bowline-p16", 149)
    plot.station("S", "m-east", "bowline-p16", "A")
    plot.office("hall", 40.0, -6.0, eaves)
    return plot


def test_the_wall_of_a_hall_hides_what_similar_triangles_say() -> None:
    job = Job(plot_of().site())
    covered = coverage(job, "A", FarEnd("bowline-p16", 2.0), radius_m=300.0)
    # 12 m over ground, far roof edge 60 m away and 8 m high, far end 2 m: hidden up to 60 * 10 / 4 = 150 m
    assert not covered.sight.seen.contains(shapely.Point(149.0, 3.0))
    assert covered.sight.seen.contains(shapely.Point(151.0, 3.0))
    east = next(one for one in covered.mounts if one.mount == "m-east")
    # at 120 m the line over the roof is at 12 - 4 * 120 / 60 = 4 m: 3 m is under it
    assert east.seen is False
    assert not east.served
    higher = Job(changed(job.site, "mounts", "m-east", height_m=4.1))
    assert next(one for one in coverage(higher, "A").mounts if one.mount == "m-east").served


def test_another_building_never_enlarges_what_is_seen() -> None:
    plot = plot_of()
    before = coverage(Job(plot.site()), "A", radius_m=250.0)
    plot.office("shed", 80.0, 20.0, 5.0)
    after = coverage(Job(plot.site()), "A", radius_m=250.0)
    for less, more in zip(after.rates, before.rates, strict=True):
        assert less.seen.difference(more.seen.buffer(1e-6)).area < 1e-6
    assert after.rates[0].seen_m2 < before.rates[0].seen_m2


def test_the_default_far_end_is_the_station_that_the_cell_has() -> None:
    job = Job(plot_of().site())
    assert far_end_of(job, "A") == FarEnd("bowline-p16", pytest.approx(3.0))
    assert coverage(job, "A", radius_m=100.0).far_end.gear == "bowline-p16"


def test_a_stronger_far_end_reaches_farther() -> None:
    job = Job(plot_of().site())
    near = coverage(job, "A", FarEnd("bowline-p16", 3.0), radius_m=2000.0)
    far = coverage(job, "A", FarEnd("bowline-p19", 3.0), gear=catalogue().find("bowline-p19"), radius_m=2000.0)
    assert far.rates[0].reached_m2 > near.rates[0].reached_m2


def test_a_radio_without_a_far_end_covers_for_a_unit_like_itself() -> None:
    plot = plot_of()
    plot.drop("hops", "H-S")
    plot.drop("radios", "S")
    job = Job(plot.site())
    with pytest.raises(UsageError, match="no aim"):
        coverage(job, "A")
    aimed = Job(changed(job.site, "radios", "A", aim=AimByHand(bearing_deg=90.0, north="plan", tilt_deg=0.0)))
    covered = coverage(aimed, "A", radius_m=400.0)
    assert covered.far_end.gear == "bowline-p16"
    assert covered.rates[0].reached.contains(shapely.Point(200.0, 0.0))
    assert [one.mount for one in covered.mounts] == ["m-east"]


def test_a_set_covers_at_least_what_each_of_it_does() -> None:
    job = demo("boatyard")
    pair = [coverage(job, key, radius_m=300.0) for key in ("A-P", "A-S")]
    together = best_of(pair)
    for rate, area in together:
        for each in pair:
            assert each.at_rate(rate).difference(area).area < 1e-6
    yard = shapely.box(60.0, 60.0, 180.0, 180.0)
    rate = together[3][0]
    shares = [share_percent([one], yard, rate) for one in pair]
    both = share_percent(pair, yard, rate)
    assert max(shares) - 1e-9 <= both <= min(100.0, sum(shares) + 1e-9)
    assert 0.0 < both < 100.0


def test_what_cannot_be_told_is_refused_in_a_sentence() -> None:
    job = Job(plot_of().site())
    with pytest.raises(UsageError, match="no radio"):
        coverage(job, "nobody")
    with pytest.raises(UsageError, match="no radio type"):
        coverage(job, "A", FarEnd("nothing-like-it", 3.0))
    with pytest.raises(UsageError, match="out of range"):
        coverage(job, "A", radius_m=0.0)
    with pytest.raises(UsageError, match="without size"):
        share_percent([coverage(job, "A", radius_m=50.0)], shapely.LineString([(0, 0), (1, 1)]), 10.0)
    with pytest.raises(UsageError, match="in no building"):
        coverage(Job(changed(job.site, "mounts", "m-west", environment="indoors")), "A")
    with pytest.raises(UsageError, match="channel"):
        coverage(Job(changed(job.site, "radios", "A", channel=None)), "A")


def test_places_that_see_a_far_end_need_the_height_over_the_hall_between() -> None:
    plot = plot_of()
    plot.office("home", 100.0, -6.0, 3.0)
    job = Job(plot.site())
    edges, poles = places_that_see(job, what_stands(job), np.array([0.0, 0.0, 12.0]), stand_off_m=0.3)
    # the west wall of the home looks at the point over the hall: 12 - 4 * 99.7 / 60
    west = next(one for one in edges if (one.structure, one.edge) == ("home", 3))
    middle = next(run for run in west.runs if run.start_m < 6.0 < run.end_m)
    part = (6.0 - middle.start_m) / (middle.end_m - middle.start_m)
    least = (1.0 - part) * middle.least_at_start_m + part * middle.least_at_end_m
    assert least == pytest.approx(12.0 - 4.0 * 99.7 / 60.0)
    assert west.best is not None
    east = next(one for one in poles if one.structure == "east")
    assert east.least_m == pytest.approx(12.0 - 4.0 * 119.7 / 60.0, abs=1e-3)


@pytest.mark.parametrize("name", ["boatyard", "mill"])
def test_just_over_the_least_height_the_ray_is_free_and_just_under_it_is_not(name: str) -> None:
    job = demo(name)
    around = what_stands(job)
    point = np.array([35.0, 80.0, 6.0])
    edges, _ = places_that_see(job, around, point)
    index, made = ray_index(around.solids), np.random.default_rng(1)
    over, under = [], []
    for one in edges:
        building = job.structures[one.structure]
        assert isinstance(building, Building)
        ring = job.placed.outlines[one.structure]
        start, end = ring[one.edge], ring[(one.edge + 1) % len(ring)]
        along = (end - start) / one.length_m
        outward = 1.0 if shapely.is_ccw(shapely.LinearRing(ring)) else -1.0
        start = start + 0.3 * outward * np.array([along[1], -along[0]])
        for run in one.runs:
            part = made.uniform(0.05, 0.95)
            spot = start + along * (run.start_m + part * (run.end_m - run.start_m))
            least = (1.0 - part) * run.least_at_start_m + part * run.least_at_end_m
            over.append((*spot, least + 1e-3))
            if least > one.eaves_m + 2e-3:
                under.append((*spot, least - 1e-3))
    kinds = [kind for kind in range(7) if kind not in (5, 6)]
    assert not blocked(index, np.broadcast_to(point, (len(over), 3)), np.array(over), kinds=kinds).any()
    assert blocked(index, np.broadcast_to(point, (len(under), 3)), np.array(under), kinds=kinds).all()
    assert over
    assert under


def test_one_hop_of_the_plot_is_served() -> None:
    job = Job(one_hop().site())
    radio = next(iter(job.radios))
    assert any(one.served for one in coverage(job, radio).mounts)


def test_over_a_relief_the_ridge_hides_and_heights_count_from_the_ground() -> None:
    plot = Plot()
    plot.pole("west", 0.0, 0.0, 12.5)
    plot.pole("east", 200.0, 0.0, 6.5)
    plot.mount("m-west", "west", 12.0)
    plot.mount("m-east", "east", 5.0)
    plot.access_point("A", "m-west", "bowline-p16", 149)
    plot.station("S", "m-east", "bowline-p16", "A")
    # level ground at 10 m, across it a ridge of 22 m at 80 to 100 m
    rows = [
        (x, y, 22.0 if 80.0 <= x <= 100.0 else 10.0)
        for x in (-400.0, 79.0, 80.0, 100.0, 101.0, 400.0)
        for y in (-400.0, 400.0)
    ]
    spots = tuple(SpotHeight(position=PlanePoint(x_m=x, y_m=y), height_m=z) for x, y, z in rows)
    site = plot.site()
    job = Job(with_fields(site, design=with_fields(site.design, relief=SpotRelief(kind="spots", points=spots))))
    covered = coverage(job, "A", FarEnd("bowline-p16", 2.0), radius_m=220.0)
    assert covered.sight.step_m == 1.0
    # the eye at 22 m looks along the ridge's top: all behind it is hidden
    assert not covered.sight.seen.contains(shapely.Point(150.0, 5.0))
    assert covered.sight.seen.contains(shapely.Point(60.0, 5.0))
    assert covered.sight.seen.contains(shapely.Point(90.0, 5.0))
    east = next(one for one in covered.mounts if one.mount == "m-east")
    assert east.seen is False
    # the far end is reckoned over the ground of its own place
    assert covered.rates[-1].reached.contains(shapely.Point(150.0, 5.0))
    assert covered.rates[-1].seen_m2 < covered.rates[-1].reached_m2
