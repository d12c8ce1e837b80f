"""What holds for every demo site and every alternative."""

from __future__ import annotations

import math
from itertools import pairwise

import networkx
import pytest

from survey_app.data import demo_sites_folder
from survey_app.gear import compare_with_catalogue, load_catalogue
from survey_app.site.file import read_site, site_to_bytes
from survey_app.site.place import PlanePoint
from survey_app.site.site import Design
from survey_app.spectrum.regions import load_regions
from tests.demo.hand import antenna, design_of, files


@pytest.fixture(params=files(), scope="module")
def file(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def design(file: str) -> Design:
    return design_of(file)


def test_the_demos_are_those_of_the_guide() -> None:
    assert files() == [
        "boatyard/alternatives/cured.json",
        "boatyard/site.json",
        "college/alternatives/cured.json",
        "college/alternatives/omni.json",
        "college/alternatives/sectors.json",
        "college/site.json",
        "mill/alternatives/cured.json",
        "mill/alternatives/doubled.json",
        "mill/alternatives/relay.json",
        "mill/site.json",
    ]


def test_file_stands_as_the_program_would_write_it(file: str) -> None:
    path = demo_sites_folder() / file
    assert site_to_bytes(read_site(path)) == path.read_bytes()


def test_site_says_that_it_is_an_invention(file: str, design: Design) -> None:
    assert design.invented
    story = (demo_sites_folder() / file.split("/")[0] / "README.md").read_text(encoding="utf-8")
    assert "Everything here is made up" in story
    assert file.split("/", 1)[1] in story


def test_region_and_country_are_known_to_the_rules(design: Design) -> None:
    assert design.region in load_regions().codes
    assert design.country is not None
    assert design.region is not None
    assert not load_regions().country_fault(design.region, design.country)


def test_copies_of_gear_are_those_of_the_catalogue(design: Design) -> None:
    assert compare_with_catalogue(design.gear, load_catalogue()) == ()


def test_every_load_has_a_chain_to_a_source(design: Design) -> None:
    feeds: dict[str, str] = {d.id: d.fed_from for d in design.devices if d.fed_from}
    for wire in design.wires:
        if wire.power != "none":
            giver, taker = (wire.a, wire.b) if wire.power == "a_to_b" else (wire.b, wire.a)
            assert taker.thing not in feeds
            feeds[taker.thing] = giver.thing
    sources = {s.id for s in design.supplies}
    assert {feeds[d.id] for d in design.devices if d.fed_from} & sources
    for load in (*design.radios, *design.cameras, *design.devices):
        at, steps = load.id, 0
        while at not in sources:
            at, steps = feeds[at], steps + 1
            assert steps < 10


def test_every_camera_reaches_the_recorder(design: Design) -> None:
    net = networkx.Graph([(w.a.thing, w.b.thing) for w in design.wires])
    net.add_edges_from((h.access_point, h.station) for h in design.hops)
    for camera in design.cameras:
        assert networkx.has_path(net, camera.id, design.head_ends[0].device)


def test_recorder_has_a_channel_for_every_camera(design: Design) -> None:
    gear = {g.id: g for g in design.gear}
    recorder = next(d for d in design.devices if d.id == design.head_ends[0].device)
    assert len(design.cameras) <= getattr(gear[recorder.gear], "channels")  # noqa: B009


def test_two_landmarks_allow_a_turn_at_every_outdoor_mount(design: Design) -> None:
    gear = {g.id: g for g in design.gear}
    for radio in design.radios:
        mount = next(m for m in design.mounts if m.id == radio.mount)
        if mount.environment == "indoors":
            continue
        pattern = getattr(gear[radio.antenna or radio.gear], "pattern")  # noqa: B009
        x, y, _ = antenna(design, mount.id)
        good = 0
        for landmark in design.landmarks:
            assert isinstance(landmark.position, PlanePoint)
            away = math.hypot(landmark.position.x_m - x, landmark.position.y_m - y)
            error = math.degrees(math.atan2(landmark.sigma_m, away))
            good += mount.id in landmark.seen_from and error <= pattern.azimuth_beamwidth_deg / 4
        assert good >= 2


def test_every_station_is_in_one_hop_and_every_hop_has_a_channel(design: Design) -> None:
    radios = {r.id: r for r in design.radios}
    assert sorted(h.station for h in design.hops) == sorted(r.id for r in design.radios if r.role == "station")
    for hop in design.hops:
        assert radios[hop.access_point].channel is not None
        assert radios[hop.station].channel is None


def test_radio_reaches_no_further_than_its_data_cable(design: Design) -> None:
    """The run on the plan and its drops stay under the 100 m of a data channel; straight legs by hand."""
    spots = {d.id: d.position for d in design.devices}
    spots |= {r.id: PlanePoint(x_m=antenna(design, r.mount)[0], y_m=antenna(design, r.mount)[1]) for r in design.radios}
    spots |= {c.id: c.position for c in design.cameras if c.position is not None}
    for wire in design.wires:
        if wire.medium != "copper" or wire.length_m is not None:
            continue
        points = [spots.get(wire.a.thing), *wire.route, spots.get(wire.b.thing)]
        plane = [p for p in points if isinstance(p, PlanePoint)]
        run = sum(math.hypot(q.x_m - p.x_m, q.y_m - p.y_m) for p, q in pairwise(plane))
        assert run + wire.drops_m < 100
