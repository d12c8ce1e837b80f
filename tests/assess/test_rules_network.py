"""Design checks of supply, network and video: each fires, its nearest miss does not, its cure removes it."""

from __future__ import annotations

import functools
import random
from collections.abc import Callable
from dataclasses import dataclass

import pytest

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment, Finding
from survey_app.assess.rules import CODES, network, supply, video
from survey_app.data import resources_folder
from survey_app.site.edits import perform
from survey_app.site.gear_part import PowerInput
from survey_app.site.network import CameraTarget, Stream
from survey_app.site.place import EdgePlace, PlanePoint
from survey_app.site.site import Site
from tests.assess.network_site import Sketch, yard
from tests.assess.rule_case import apply_cure, catalogue

Draw = Callable[[], Sketch]


@dataclass(frozen=True)
class Case:
    """One rule: how its fault is planted, what comes next to it, and whether a cure is an edit."""

    code: str
    severity: str
    subject: str
    planted: Draw
    near: Draw
    cured_by_edit: bool = True


def _with(base: Draw, change: Callable[[Sketch], object]) -> Draw:
    def draw() -> Sketch:
        sketch = base()
        change(sketch)
        return sketch

    return draw


def _one() -> Sketch:
    return yard(1)


def _unfed(sketch: Sketch) -> None:
    sketch.supply("spare", structure="column")
    sketch.change("devices", "feed", fed_from=None)


def _shed(sketch: Sketch, **more: object) -> None:
    """A second building with a switch of its own, wired to the office."""
    sketch.building("shed", 40.0, 0.0, 50.0, 10.0)
    sketch.supply("shed-board", structure="shed")
    sketch.device(
        "shed-switch", "switch-mains", structure="shed", fed_from="shed-board", position=PlanePoint(x_m=45.0, y_m=5.0)
    )
    sketch.wire("w-shed", "core", "shed-switch", **{"length_m": 40.0, **more})  # type: ignore[arg-type]


def _battery(sketch: Sketch, **more: object) -> None:
    fields = {"battery": "cell", "battery_count": 6, "panel": "sun180", "panel_count": 1, "sun_hours_per_day": 3.0}
    sketch.supply("sun", "solar", volts_v=12.8, structure="column", **{**fields, **more})  # type: ignore[arg-type]
    for number in (1, 2):
        sketch.device(f"solar-plug{number}", "plug12d", fed_from="sun", structure="column")
        sketch.radio(f"X{number}", "sta", "m-column")
        sketch.wire(f"w-X{number}", f"solar-plug{number}", f"X{number}", "a_to_b", length_m=4.0)


def _second_ring(sketch: Sketch) -> None:
    """A second switch at the column, wired twice to the first; neither has loop protection."""
    sketch.device("hitch2", "switch-pole", mount="m-column", environment="outdoors", enclosure="box50", fed_from="feed")
    sketch.change("devices", "feed", gear="feed54")
    sketch.wire("w-ring1", "hitch", "hitch2", outdoors=False, gear=None, length_m=1.0)
    sketch.wire("w-ring2", "hitch", "hitch2", outdoors=False, gear=None, length_m=1.0)


def _relay(sketch: Sketch, *, isolation: bool) -> None:
    """An access point of its own on a hill pole between two stations."""
    sketch.pole("hill", 80.0, 60.0)
    sketch.mount("m-hill", "hill", 5.5)
    sketch.mount("m-far", "far", 5.5)
    sketch.pole("far", 160.0, 60.0)
    sketch.supply("hill-board", structure="hill")
    sketch.supply("far-board", structure="far")
    sketch.supply("office-board", structure="office")
    sketch.mount("m-roof", "office", 6.0, place=sketch.things["mounts"][0].place, pipe=sketch.things["mounts"][0].pipe)
    for key, role, mount, board, structure in (
        ("R", "ap", "m-hill", "hill-board", "hill"),
        ("N", "sta", "m-roof", "office-board", "office"),
        ("F", "sta", "m-far", "far-board", "far"),
    ):
        more = {"channel": 149, "isolation": isolation} if role == "ap" else {}
        sketch.radio(key, role, mount, power_ceiling_dbm=15.0, **more)
        indoors = structure == "office"
        sketch.device(
            f"plug-{key}",
            "plug24w",
            structure=structure,
            fed_from=board,
            environment="indoors" if indoors else "outdoors",
        )
        sketch.wire(f"w-{key}", f"plug-{key}", key, "a_to_b", length_m=10.0)
    sketch.hop("R-N", "R", "N")
    sketch.hop("R-F", "R", "F")
    sketch.wire("w-core-N", "core", "plug-N", outdoors=False, gear=None, length_m=2.0)
    sketch.camera("Z", gear="c24", mount="m-far")
    sketch.wire("w-Z", "F", "Z", "a_to_b", length_m=2.0, protectors="none")


def _many(count: int, rate: float = 1.0, hours: float = 0.0) -> Draw:
    """Cameras in the office, straight on the core switches; they load no hop."""

    def draw() -> Sketch:
        sketch = yard(0)
        per_switch = 4
        for first in range(0, count, per_switch):
            name = f"sw{first}"
            sketch.device(name, "switch-mains", structure="office", fed_from="board")
            sketch.wire(
                f"w-{name}", "core" if first == 0 else f"sw{first - per_switch}", name, outdoors=False, gear=None
            )
            for number in range(first, min(first + per_switch, count)):
                sketch.camera(f"D{number}", stream=Stream(rate_mbps=rate), edge_recording_hours=hours)
                sketch.wire(f"w-D{number}", name, f"D{number}", "a_to_b", outdoors=False, length_m=10.0)
        return sketch

    return draw


def _behind_the_hop(count: int, hours: float) -> Draw:
    def draw() -> Sketch:
        sketch = yard(0)
        sketch.device("mains-sw", "switch-mains", structure="column", fed_from="lamp")
        sketch.device("mains-sw2", "switch-mains", structure="column", fed_from="lamp")
        sketch.wire("w-m1", "hitch", "mains-sw", outdoors=False, gear=None)
        sketch.wire("w-m2", "mains-sw", "mains-sw2", outdoors=False, gear=None)
        for number in range(count):
            switch = "mains-sw" if number < 4 else "mains-sw2"
            sketch.camera(f"D{number}", mount="m-column", stream=Stream(rate_mbps=1.0), edge_recording_hours=hours)
            sketch.wire(f"w-D{number}", switch, f"D{number}", "a_to_b", length_m=4.0)
        return sketch

    return draw


def _looking(purpose: str, angle: float) -> Callable[[Sketch], None]:
    """The first camera looks at something 40 m away."""

    def change(sketch: Sketch) -> None:
        target = CameraTarget(position=PlanePoint(x_m=150.0, y_m=40.0), width_m=10.0)
        sketch.change("cameras", "C1", purpose=purpose, target=target, angle_of_view_deg=angle)

    return change


def _stream(**fields: object) -> Callable[[Sketch], None]:
    return lambda sketch: sketch.change("cameras", "C1", stream=Stream(**fields))  # type: ignore[arg-type]


def _slow(gear: str, camera: str = "p25") -> Draw:
    """A steerable camera behind a switch of its own."""

    def draw() -> Sketch:
        sketch = yard(0)
        sketch.device("between", gear, structure="column", fed_from="lamp")
        sketch.wire("w-between", "hitch", "between", outdoors=False, gear=None)
        sketch.camera("C1", gear=camera, mount="m-column")
        sketch.device("plug-C1", "plug48", structure="column", fed_from="lamp")
        sketch.wire("w-plug-C1", "between", "plug-C1", outdoors=False, gear=None)
        sketch.wire("w-C1", "plug-C1", "C1", "a_to_b", length_m=4.0)
        return sketch

    return draw


def _zone(purpose: str, x0: float, x1: float) -> Draw:
    return _with(_one, lambda sketch: sketch.zone("area", purpose, x0, -3.0, x1, 3.0))


def _uplink(viewers: int) -> Draw:
    return _with(_one, lambda sketch: sketch.change("head_ends", "home", uplink_mbps=2.0, viewers=viewers))


def _days(wanted: float, **more: object) -> Draw:
    return _with(_one, lambda sketch: sketch.change("head_ends", "home", days_wanted_days=wanted, **more))


def _loaded(rate: float) -> Draw:
    return _with(_one, _stream(rate_mbps=rate))


CASES = [
    Case("no-power-there", "stop", "m-column", _with(_one, _unfed), _with(_one, lambda s: s.supply("spare"))),
    Case(
        "no-power-there",
        "stop",
        "lamp",
        _with(_one, lambda s: s.change("supplies", "lamp", switched_at_night="dead_by_day")),
        _one,
    ),
    Case(
        "no-volts",
        "stop",
        "A",
        _with(_one, lambda s: s.change("wires", "w-A", gear="c26", length_m=70.0)),
        _with(_one, lambda s: s.change("wires", "w-A", gear="c24s", length_m=56.0)),
    ),
    Case(
        "no-volts",
        "warn",
        "A",
        _with(_one, lambda s: s.change("wires", "w-A", length_m=80.0)),
        _with(_one, lambda s: s.change("wires", "w-A", length_m=56.0)),
    ),
    Case("wrong-supply", "stop", "A", _with(_one, lambda s: s.change("devices", "plug", gear="plug48")), _one),
    Case(
        "wrong-supply",
        "stop",
        "A",
        _with(
            _one,
            lambda s: (s.camera("Z", gear="c24", mount="m-office"), s.wire("w-Z", "A", "Z", "a_to_b", length_m=4.0)),
        ),
        _with(
            _one,
            lambda s: (
                s.change("devices", "plug", gear="plug24w"),
                s.camera("Z", gear="c24", mount="m-office"),
                s.wire("w-Z", "A", "Z", "a_to_b", length_m=4.0),
            ),
        ),
    ),
    Case(
        "wrong-supply",
        "stop",
        "hitch",
        _with(lambda: yard(3), lambda s: [s.change("cameras", f"C{n}", gear="p25") for n in (1, 2, 3)]),
        _with(lambda: yard(3), lambda s: [s.change("cameras", f"C{n}", gear="p25") for n in (1,)]),
        cured_by_edit=False,
    ),
    Case(
        "fed-twice",
        "note",
        "S",
        _with(_one, lambda s: s.wire("w-S2", "hitch", "S", "a_to_b", length_m=4.0)),
        _with(_one, lambda s: s.wire("w-S2", "hitch", "S", length_m=4.0)),
        cured_by_edit=False,
    ),
    Case(
        "wet-injector",
        "stop",
        "plug",
        _with(_one, lambda s: s.change("devices", "plug", environment="outdoors")),
        _with(_one, lambda s: s.change("devices", "plug", environment="sheltered")),
    ),
    Case(
        "hot-box",
        "note",
        "plug",
        _with(_one, lambda s: s.change("devices", "plug", environment="outdoors", enclosure="box50")),
        _with(_one, lambda s: s.change("devices", "plug", environment="indoors", enclosure="box50")),
        cured_by_edit=False,
    ),
    Case(
        "metal-between-buildings",
        "warn",
        "w-shed",
        _with(_one, _shed),
        _with(_one, lambda s: _shed(s, medium="fibre", gear="f2")),
    ),
    Case(
        "cable-too-long",
        "stop",
        "w-shed",
        _with(_one, lambda s: _shed(s, length_m=97.0)),
        _with(_one, lambda s: _shed(s, length_m=95.0)),
    ),
    Case(
        "length-unknown",
        "warn",
        "w-A",
        _with(_one, lambda s: s.change("wires", "w-A", length_m=None)),
        _with(
            _one,
            lambda s: (
                s.change("wires", "w-A", length_m=None),
                s.change("devices", "plug", position=PlanePoint(x_m=10.0, y_m=5.0)),
            ),
        ),
        cured_by_edit=False,
    ),
    Case(
        "battery-short",
        "warn",
        "sun",
        _with(_one, lambda s: _battery(s, battery_count=1, panel_count=3)),
        _with(_one, lambda s: _battery(s, panel_count=3)),
    ),
    Case("wind-engineer", "warn", "sun", _with(_one, _battery), _with(_one, lambda s: _battery(s, panel=None)), False),
    Case(
        "no-way-home",
        "stop",
        "Z",
        _with(_one, lambda s: s.camera("Z", mount="m-column")),
        _one,
    ),
    Case(
        "no-way-home",
        "stop",
        "hitch",
        _with(_one, _second_ring),
        _with(_with(_one, _second_ring), lambda s: s.drop("wires", "w-ring2")),
    ),
    Case(
        "no-way-home",
        "stop",
        "w-between",
        _with(_slow("slow-switch"), _stream(rate_mbps=12.0)),
        _slow("switch-mains"),
        False,
    ),
    Case(
        "port-thin",
        "warn",
        "w-between",
        _with(_slow("slow-switch"), _stream(rate_mbps=6.5)),
        _with(_slow("slow-switch"), _stream(rate_mbps=5.5)),
        False,
    ),
    Case(
        "no-through-bridge",
        "stop",
        "S",
        _with(lambda: yard(2), lambda s: s.change("radios", "S", gear="one-at-a-time")),
        _with(lambda: yard(1), lambda s: s.change("radios", "S", gear="one-at-a-time")),
    ),
    Case(
        "isolation-kills-relay",
        "stop",
        "R",
        _with(_one, lambda s: _relay(s, isolation=True)),
        _with(_one, lambda s: _relay(s, isolation=False)),
    ),
    Case("recorder-full", "warn", "home", _many(17), _many(16)),
    Case("recorder-full", "warn", "home", _many(14, 10.0), _many(13, 10.0)),
    Case("growth", "note", "home", _many(16), _many(15), False),
    Case("days-short", "warn", "home", _days(30.0, disks_tb=1.0), _days(14.0, disks_tb=1.0)),
    Case("uplink-thin", "warn", "home", _uplink(3), _uplink(2)),
    Case("single-point", "note", "A-S", _behind_the_hop(8, 0.0), _behind_the_hop(8, 24.0), False),
    Case("growth", "note", "A", _loaded(18.0), _loaded(4.0), False),
    Case("hazard-zone", "stop", "column", _zone("hazard", 148.0, 152.0), _zone("hazard", 160.0, 170.0), False),
    Case("hazard-zone", "note", "column", _zone("hazard", 153.0, 158.0), _zone("hazard", 156.0, 160.0), False),
    Case("keep-out-zone", "warn", "column", _zone("keep_out", 148.0, 152.0), _zone("keep_out", 151.0, 155.0), False),
    Case(
        "films-beyond",
        "note",
        "C1",
        _with(_zone("boundary", -10.0, 200.0), _looking("monitor", 30.0)),
        _with(_with(_one, _looking("monitor", 30.0)), lambda s: s.zone("area", "boundary", -10.0, -10.0, 200.0, 50.0)),
        False,
    ),
    Case(
        "nobody-knows-rate",
        "warn",
        "C1",
        _with(_one, _stream(mode="variable", rate_mbps=2.0)),
        _with(_one, _stream(mode="capped", rate_mbps=2.0)),
    ),
    Case(
        "sees-too-little",
        "warn",
        "C1",
        _with(_one, _looking("recognise", 60.0)),
        _with(_one, _looking("recognise", 28.0)),
        False,
    ),
    Case(
        "sees-too-little", "warn", "C1", _with(_one, _looking("observe", 80.0)), _with(_one, _looking("observe", 50.0))
    ),
    Case("multicast-flood", "warn", "A", _with(_one, _stream(multicast=True)), _one),
    Case("late-picture", "warn", "C1", _slow("slow-switch"), _slow("slow-switch", "b4"), False),
    Case("late-picture", "warn", "C1", _slow("slow-switch"), _slow("switch-mains"), False),
]

IDS = [f"{number}-{case.code}-{case.severity}" for number, case in enumerate(CASES)]


def found(assessment: Assessment, case: Case) -> Finding | None:
    return next((f for f in assessment.findings if f.code == case.code and f.subject == case.subject), None)


@functools.lru_cache(maxsize=256)
def planted(case: Case) -> tuple[Site, Assessment]:
    """Return the site with the fault and its assessment: the fault that fires is the one that is cured."""
    site = case.planted().site()
    return site, assess(site)


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_rule_fires_where_its_fault_is_planted(case):
    finding = found(planted(case)[1], case)
    assert finding is not None
    assert finding.severity == case.severity
    assert finding.cures
    assert finding.message.endswith(".")
    assert finding.message.count(". ") <= 1


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_rule_is_silent_next_to_its_fault(case):
    finding = found(assess(case.near().site()), case)
    assert finding is None or finding.severity != case.severity


CURED = [pytest.param(case, id=key) for key, case in zip(IDS, CASES, strict=True) if case.cured_by_edit]


@pytest.mark.parametrize("case", CURED)
def test_cure_applied_as_an_edit_removes_the_finding_and_brings_no_stop(case):
    site, before = planted(case)
    finding = found(before, case)
    assert finding is not None
    cure = next(row for row in finding.cures if row.edit is not None)
    arguments = {row.name: row.value for row in cure.arguments}
    after = assess(perform(site, cure.edit, arguments).after)
    assert found(after, case) is None
    stops = {row.id for row in before.findings if row.severity == "stop"}
    assert {row.id for row in after.findings if row.severity == "stop"} <= stops


def test_wet_device_of_a_site_without_any_box_is_offered_one_of_the_catalogue():
    site = _with(_one, lambda s: s.change("devices", "plug", environment="outdoors"))().site()
    for boxed in [device.id for device in site.design.devices if device.enclosure is not None]:
        site = perform(site, "change", {"thing_id": boxed, "enclosure": None}).after
    for box in [item.id for item in site.design.gear if item.kind == "enclosure"]:
        site = perform(site, "remove_gear", {"gear_id": box}).after
    finding = next(row for row in assess(site).findings if row.id == "wet-injector:plug")
    cure = next(row for row in finding.cures if row.edit is not None)
    offered = catalogue().find(str({row.name: row.value for row in cure.arguments}["enclosure"]))
    assert offered.name in cure.text
    assert "wet-injector:plug" not in {row.id for row in assess(apply_cure(site, cure)).findings}


def test_every_code_of_these_rules_is_planted_once():
    own = {*supply.CODES, *network.CODES, *video.CODES}
    assert own <= set(CODES)
    assert own - {"cable-instead"} == {case.code for case in CASES}


def test_a_short_hop_on_one_building_is_better_a_cable():
    sketch = yard(1)
    first = sketch.things["mounts"][0]
    corner = EdgePlace(kind="edge", edge=2, along_m=15.0)
    sketch.mount("m-office2", "office", 6.0, place=corner, pipe=first.pipe)
    sketch.radio("X", "sta", "m-office2", power_ceiling_dbm=10.0)
    sketch.hop("A-X", "A", "X")
    codes = {(f.code, f.subject) for f in assess(sketch.site()).findings}
    assert ("cable-instead", "A-X") in codes
    assert ("cable-instead", "A-S") not in codes


def test_the_plain_yard_has_no_finding_of_these_rules():
    own = {*supply.CODES, *network.CODES, *video.CODES}
    for cameras in (1, 2, 4):
        assert not [f for f in assess(yard(cameras).site()).findings if f.code in own]


def test_deleting_a_board_brings_one_finding_and_putting_it_back_the_same_assessment():
    whole = yard(2)
    site = whole.site()
    before = assess(site)
    edit = perform(site, "remove", {"thing_id": "lamp"})
    dark = assess(edit.after)
    new = {f.id for f in dark.findings} - {f.id for f in before.findings}
    assert new == {"no-power-there:m-column"}
    assert assess(edit.before) == before


def test_a_load_that_will_not_start_says_so_and_not_a_voltage():
    sketch = Sketch()
    sketch.pole("trailer", 0.0, 0.0)
    sketch.pole("home-pole", 0.0, 100.0)
    sketch.mount("m", "trailer")
    sketch.supply("cells", "battery", battery="cell", battery_count=9, volts_v=12.0)
    sketch.radio("R", "sta", "m")
    sketch.wire("w", "cells", "R", "a_to_b", length_m=41.0, protectors="none", extra_ohm=0.2)
    finding = next(f for f in assess(sketch.site()).findings if f.code == "no-volts")
    assert finding.severity == "stop"
    assert "will not start" in finding.message
    assert finding.limit == pytest.approx(7.08, abs=0.005)


def test_every_code_has_a_page_that_names_its_severities():
    for code in {*supply.CODES, *network.CODES, *video.CODES}:
        page = (resources_folder() / "guide" / "findings" / f"{code}.md").read_text(encoding="utf-8")
        title, blank, head = page.splitlines()[:3]
        assert title == f"# {CODES[code]}"
        assert blank == ""
        assert head.startswith(f"`{code}`: ")
        for case in CASES:
            assert case.code != code or case.severity in head


def codes_of(sketch: Sketch) -> set[tuple[str, str, str]]:
    return {(f.code, f.severity, f.subject) for f in assess(sketch.site()).findings}


def test_a_voltage_near_the_least_is_no_fault_where_the_cable_takes_little_of_the_room():
    # 24 V less 5 % is 22.8 V; a unit that takes 21 V and more is near its least on any cable
    sketch = yard(1)
    narrow = PowerInput(scheme="passive", volts_min_v=21.0, volts_max_v=28.0, pairs="4,5+ 7,8-")
    sketch.gear = tuple(
        item.__class__(**{**dict(item), "power_inputs": (narrow,)}) if item.id == "p16" else item
        for item in sketch.gear
    )
    sketch.change("wires", "w-A", length_m=2.0)
    assert ("no-volts", "warn", "A") not in codes_of(sketch)
    sketch.change("wires", "w-A", length_m=30.0)
    assert ("no-volts", "warn", "A") in codes_of(sketch)


@pytest.mark.parametrize(("amp_hours", "fires"), [(30.0, False), (20.0, True)])
def test_a_battery_that_people_change_has_to_last_a_day(amp_hours, fires):
    # two radios of 8 W over converters of 0.88: 436 Wh a day; 12.8 V x 0.8 x 0.95 gives 9.73 Wh an ampere-hour
    sketch = yard(1)
    _battery(sketch, battery_count=1, panel=None, panel_count=0)
    sketch.gear = tuple(
        item.__class__(**{**dict(item), "capacity_ah": amp_hours * 1.55}) if item.id == "cell" else item
        for item in sketch.gear
    )
    assert (("battery-short", "warn", "sun") in codes_of(sketch)) is fires


def good_design(seed: int) -> Sketch:
    """A yard drawn so that every rule of supply and network is kept."""
    rng = random.Random(seed)
    sketch = yard(rng.randint(1, 4))
    sketch.change("wires", "w-A", length_m=float(rng.randint(5, 55)))
    for wire in list(sketch.things["wires"]):
        if wire.id.startswith("w-C") and wire.id != "w-core":
            sketch.change("wires", wire.id, length_m=float(rng.randint(2, 40)))
    for camera in list(sketch.things["cameras"]):
        rate = float(rng.choice((2.0, 3.0, 4.0)))
        sketch.change("cameras", camera.id, stream=Stream(rate_mbps=rate), edge_recording_hours=24.0)
    sketch.change("head_ends", "home", days_wanted_days=float(rng.randint(7, 60)))
    if rng.random() < 0.5:
        _shed(sketch, medium="fibre", gear="f2")
    if rng.random() < 0.5:
        sketch.camera("X", gear="c24", mount="m-office")
        sketch.change("devices", "plug", gear="plug24w")
        sketch.change("wires", "w-A", length_m=float(rng.randint(5, 20)))
        sketch.wire("w-X", "A", "X", "a_to_b", length_m=float(rng.randint(2, 15)))
    return sketch


@pytest.mark.parametrize("seed", range(40))
def test_a_good_design_gets_no_stop_and_no_warning_of_these_rules(seed):
    own = {*supply.CODES, *network.CODES, *video.CODES}
    loud = [f for f in assess(good_design(seed).site()).findings if f.code in own and f.severity != "note"]
    assert loud == []
