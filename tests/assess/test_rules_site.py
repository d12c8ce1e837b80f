"""Design checks of aiming, bracket, sight, evidence, mounting, labels: each fires, its nearest miss does not, cures."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

import pytest

from survey_app.assess.rules import addressing, aiming, bracket, evidence, labels, mounting, sight
from survey_app.site.addressing import AddressPlan
from survey_app.site.edits import add_evidence, add_landmark, perform, set_address_plan, set_anchor
from survey_app.site.evidence import AcceptanceRow, Reading, Scan, ScanRow, Sight, WalkNote
from survey_app.site.gear_part import Body
from survey_app.site.mount import Pipe
from survey_app.site.place import Anchor, EdgePlace, GeoPoint, HeightKnown, PlanePoint, PointPlace
from survey_app.site.radio import Radio
from survey_app.site.site import Landmark, Site
from survey_app.site.thing import Permission
from tests.assess.rule_case import Case
from tests.assess.test_rules_radio import changed, new_type, own_type
from tests.plot import GRANTED, TAPE, WALK, Plot, catalogue, one_hop, sector

HOME = Anchor(lat_deg=43.55, lon_deg=-69.6)
ARCTIC = Anchor(lat_deg=75.0, lon_deg=-95.0)


def with_mount(key: str = "m-column", **fields: Any) -> Plot:
    plot = one_hop()
    plot.set("mounts", key, **fields)
    return plot


def no_anchor() -> Plot:
    return one_hop(anchor=None)


def anchored_here(site: Site) -> Site:
    return set_anchor(site, HOME).after


def narrow(*, mark: bool, **more: Any) -> Plot:
    plot = one_hop(gear="sheave-d29", ceiling=1.0, distance=400.0, **more)
    if not mark:
        plot.rows.pop("landmarks")
    return plot


def narrow_without_a_mark() -> Plot:
    return narrow(mark=False)


def narrow_with_a_mark() -> Plot:
    return narrow(mark=True)


def arctic() -> Plot:
    return narrow_anywhere(ARCTIC, "CA", 104, mark=False)


def arctic_with_a_mark() -> Plot:
    return narrow_anywhere(ARCTIC, "CA", 104, mark=True)


def narrow_anywhere(anchor: Anchor, region: str, channel: int, *, mark: bool, **more: Any) -> Plot:
    plot = one_hop(anchor=anchor, region=region, country=region, channel=channel, **more)
    if not mark:
        plot.rows.pop("landmarks")
    return plot


def far_future() -> Plot:
    return narrow_anywhere(HOME, "US", 157, mark=False, as_of=datetime.date(2031, 1, 1))


def last_year_of_the_model() -> Plot:
    return narrow_anywhere(HOME, "US", 157, mark=False, as_of=datetime.date(2029, 12, 1))


def note_a_mark(site: Site) -> Site:
    return add_landmark(site, Landmark(id="spire", position=PlanePoint(x_m=-800.0, y_m=500.0))).after


def guessed(distance: float) -> Plot:
    plot = sector(60.0, 90.0, 120.0, distance=distance)
    plot.set("mounts", "m2", height_known=HeightKnown(how="guessed"))
    return plot


def guessed_near() -> Plot:
    return guessed(110.0)


def guessed_far() -> Plot:
    return guessed(118.0)


def idle(*, with_hop: bool) -> Plot:
    plot = one_hop()
    plot.mount("m-idle", "column", 4.0, climb="climb-m-column")
    plot.add("radios", Radio(id="idle", role="station", gear="bowline-p19", mount="m-idle", power_ceiling_dbm=9.0))
    plot.wire("w-idle", "hitch-m-column", "idle", "a_to_b", length=4.0)
    if with_hop:
        plot.hop("H-idle", "A", "idle")
    return plot


def radio_without_a_hop() -> Plot:
    return idle(with_hop=False)


def radio_with_a_hop() -> Plot:
    return idle(with_hop=True)


def clamp_too_small() -> Plot:
    return with_mount(bracket="cleat-30")


def clamp_that_fits() -> Plot:
    return with_mount(bracket="cleat-50")


def tapered_in_a_round_clamp() -> Plot:
    plot = one_hop()
    plot.set("structures", "column", section="tapered", diameter_foot_mm=80.0)
    plot.set("mounts", "m-column", bracket="cleat-50")
    return plot


def steep(distance: float) -> Plot:
    """A hub 40 m up looks down to a near pole; the tower's clamp reaches 20 degrees."""
    plot = one_hop(distance=distance, ceiling=2.0)
    plot.set("structures", "office", eaves_height_m=40.0)
    plot.set("mounts", "m-office", bracket="cleat-50")
    plot.set("mounts", "m-column", bracket="cleat-50")
    plot.set("climbs", "climb-m-office", way="roof")
    return plot


def too_steep() -> Plot:
    return steep(95.0)


def nearly_too_steep() -> Plot:
    return steep(98.5)


def move_away(site: Site) -> Site:
    return perform(site, "move_by", {"thing_id": "column", "dx_m": 60.0, "dy_m": 0.0}).after


def dish_on_a_coarse_clamp(station_height: float) -> Plot:
    """A dish of 9.4 degrees on a clamp with steps of 5 degrees."""
    plot = one_hop(gear="sheave-d25", ceiling=2.0, distance=250.0)
    for mount in ("m-office", "m-column"):
        plot.set("mounts", mount, bracket="cleat-30")
    plot.set("mounts", "m-office", pipe=Pipe(diameter_mm=48.3, measured=True))
    plot.set("structures", "column", height_m=40.0, diameter_top_mm=60.0, diameter_foot_mm=60.0)
    plot.set("mounts", "m-column", height_m=station_height)
    plot.set("climbs", "climb-m-column", way="lift")
    return plot


def step_too_coarse() -> Plot:
    return dish_on_a_coarse_clamp(16.5)


def step_fine_enough() -> Plot:
    return dish_on_a_coarse_clamp(12.0)


def into_the_wall() -> Plot:
    """The east wall's mount hangs under the eaves, and its far end lies to the north-north-west."""
    plot = one_hop()
    plot.set("structures", "office", eaves_height_m=9.0)
    plot.set("mounts", "m-office", height_m=-3.0)
    plot.set("structures", "column", position=PlanePoint(x_m=-20.0, y_m=90.0))
    return plot


def past_the_corner() -> Plot:
    plot = into_the_wall()
    plot.set("mounts", "m-office", place=EdgePlace(kind="edge", edge=1, along_m=11.9))
    return plot


def to_another_wall(site: Site) -> Site:
    return perform(site, "slide", {"mount_id": "m-office", "along_m": 6.0, "edge": 2}).after


def sighted(*results: str) -> Callable[[], Plot]:
    def draw() -> Plot:
        plot = one_hop()
        plot.evidence["sights"] = []
        for n, result in enumerate(results):
            when = WALK + datetime.timedelta(days=n)
            plot.note("sights", Sight(at=when, by="walker", hop="H-S", result=result))  # type: ignore[arg-type]
        return plot

    draw.__name__ = "_then_".join(("sight", *results))
    return draw


def look_along(site: Site) -> Site:
    when = WALK + datetime.timedelta(days=9)
    return add_evidence(site, Sight(at=when, by="walker", hop="H-S", result="seen_with_lamp")).after


def scan(
    days_before: float, level: float = -92.0, busy: float | None = 4.0, mount: str = "m-office", channel: int = 157
) -> Scan:
    planned = datetime.datetime(2026, 12, 1, 12, 0, tzinfo=datetime.UTC)
    rows = (ScanRow(channel=channel, level_dbm=level, busy_percent=busy),)
    return Scan(at=planned - datetime.timedelta(days=days_before), by="walker", mount=mount, rows=rows)


def scanned(*scans: Scan, name: str) -> Callable[[], Plot]:
    def draw() -> Plot:
        plot = one_hop()
        plot.evidence["scans"] = list(scans)
        return plot

    draw.__name__ = name
    return draw


def two_cells_without_a_scan() -> Plot:
    from tests.assess.test_rules_radio import beside

    plot = beside(4.0, 44)
    plot.evidence["scans"] = []
    return plot


def two_cells_with_a_scan_each() -> Plot:
    from tests.assess.test_rules_radio import beside

    return beside(4.0, 44)


def listen(site: Site) -> Site:
    return add_evidence(site, scan(0.0)).after


def listen_everywhere(site: Site) -> Site:
    return add_evidence(site, scan(0.0), scan(0.0, mount="m-second", channel=44)).after


def read_with(revision: str) -> Plot:
    plot = one_hop()
    plot.note("readings", Reading(at=WALK, by="rigger", revision=revision, hop="H-S", end="station", level_dbm=-44.0))
    return plot


def read_with_an_old_sheet() -> Plot:
    return read_with("0")


def read_with_this_sheet() -> Plot:
    return read_with("A")


def accept_the_hop(site: Site) -> Site:
    when = WALK + datetime.timedelta(days=1)
    return add_evidence(site, AcceptanceRow(at=when, by="owner", subject="H-S", accepted=True)).after


def priced(*, walked: bool) -> Plot:
    plot = one_hop()
    plot.fields["currency"] = "EUR"
    plot.more_gear.append(type(p16 := catalogue().find("bowline-p16"))(**{**p16.__dict__, "price": 90.0}))
    plot.evidence["sights"] = []
    if walked:
        plot.note("walk_notes", WalkNote(at=WALK, by="walker", subject="m-column", words="stood under it"))
    return plot


def priced_from_the_desk() -> Plot:
    return priced(walked=False)


def priced_after_the_walk() -> Plot:
    return priced(walked=True)


def by_degrees(anchor: Anchor | None) -> Plot:
    plot = one_hop(anchor=anchor)
    spot = PointPlace(kind="point", position=GeoPoint(lat_deg=43.55005, lon_deg=-69.5985))
    plot.set("mounts", "m-column", place=spot)
    return plot


def by_degrees_without_an_anchor() -> Plot:
    return by_degrees(None)


def by_degrees_with_an_anchor() -> Plot:
    return by_degrees(HOME)


def not_asked() -> Plot:
    return with_mount(permission=Permission(state="not_asked"))


def refused() -> Plot:
    return with_mount(permission=Permission(state="refused"))


def not_needed() -> Plot:
    return with_mount(permission=Permission(state="not_needed"))


def walk_refused() -> Plot:
    return with_mount(usable="refused")


def usable_with_work() -> Plot:
    return with_mount(usable="with_work")


def drawn_over_the_tip() -> Plot:
    return with_mount(height_m=6.35)


def on_a_stub_over_the_tip() -> Plot:
    return with_mount(height_m=6.29)


def on_a_mast(height: float, *, guyed: bool = False) -> Plot:
    plot = one_hop()
    plot.drop("structures", "column")
    plot.mast("column", 140.3, 6.0, height=height, guyed=guyed)
    plot.set("mounts", "m-column", height_m=height - 0.5)
    return plot


def free_mast_over_3_m() -> Plot:
    return on_a_mast(3.2)


def free_mast_of_3_m() -> Plot:
    return on_a_mast(3.0)


def large_sails() -> Plot:
    """Two dishes of 0.43 square metres in the wind on one pole."""
    plot = one_hop(gear="sheave-d29", ceiling=1.0, distance=400.0)
    plot.mount("m-other", "column", 4.0, climb="climb-m-column")
    plot.add("radios", Radio(id="idle", role="station", gear="sheave-d29", mount="m-other"))
    plot.wire("w-idle", "hitch-m-column", "idle", "a_to_b", length=4.0)
    return plot


def one_sail() -> Plot:
    return one_hop(gear="sheave-d29", ceiling=1.0, distance=400.0)


def take_a_sail_down(site: Site) -> Site:
    return perform(site, "remove", {"thing_id": "idle", "cascade": True}).after


def rain(ingress: str) -> Plot:
    return own_type(one_hop(), "S", body=Body(ingress=ingress, temp_min_c=-30.0, temp_max_c=60.0))


def open_to_rain() -> Plot:
    return rain("IP53")


def splash_proof() -> Plot:
    return rain("IP44")


def cold(lowest: float) -> Plot:
    return own_type(one_hop(), "S", body=Body(ingress="IP66", temp_min_c=lowest, temp_max_c=60.0))


def too_cold() -> Plot:
    return cold(-19.0)


def just_cold_enough() -> Plot:
    return cold(-20.0)


def near_a_line() -> Plot:
    return with_mount(overhead_line_m=9.9)


def clear_of_the_line() -> Plot:
    return with_mount(overhead_line_m=10.0)


def high(height: float, way: str | None) -> Plot:
    plot = one_hop()
    plot.set("structures", "column", height_m=12.0)
    plot.set("mounts", "m-column", height_m=height, climb="climb-m-column" if way else None)
    if way:
        plot.set("climbs", "climb-m-column", way=way)
    return plot


def high_by_ladder() -> Plot:
    return high(9.1, "ladder")


def just_within_a_ladder() -> Plot:
    return high(9.0, "ladder")


def high_and_nothing_noted() -> Plot:
    return high(7.0, None)


def addresses(first: str, second: str) -> Plot:
    plot = one_hop()
    plot.set("radios", "A", address=first)
    plot.set("radios", "S", address=second)
    return plot


def one_address_twice() -> Plot:
    return addresses("10.0.0.7", "10.0.0.7")


def two_addresses() -> Plot:
    return addresses("10.0.0.7", "10.0.0.8")


def camera_has_a_radios_address() -> Plot:
    plot = addresses("10.0.0.7", "10.0.0.8")
    plot.set("cameras", "C1", address="10.0.0.7")
    return plot


def camera_has_its_own() -> Plot:
    plot = addresses("10.0.0.7", "10.0.0.8")
    plot.set("cameras", "C1", address="10.0.0.9")
    return plot


def planned(address: str = "", management: str = "10.0.0.0/24", video: str = "10.0.1.0/24") -> Callable[[], Plot]:
    def draw() -> Plot:
        plot = addresses("", address)
        plot.fields["addressing"] = AddressPlan(management=management, video=video, reserved=5)
        return plot

    return draw


def blocks_apart(site: Site) -> Site:
    return set_address_plan(site, management="10.0.0.0/24", video="10.0.1.0/24").after


def label_is_the_other_id() -> Plot:
    plot = one_hop()
    plot.set("radios", "A", label="s")
    return plot


def label_of_its_own() -> Plot:
    plot = one_hop()
    plot.set("radios", "A", label="s1")
    return plot


fresh = scanned(scan(30.0), name="scanned_30_days_before")
untested = scanned(name="never_scanned")
other_channel = scanned(scan(1.0, channel=165), name="scanned_another_channel")
aging = scanned(scan(31.0), name="scanned_31_days_before")
stale = scanned(scan(366.0), name="scanned_366_days_before")
loud = scanned(scan(1.0, -84.0), name="others_at_84_dbm")
busy = scanned(scan(1.0, -90.0, 20.0), name="busy_a_fifth_of_the_time")
quiet = scanned(scan(1.0, -85.0, 19.9), name="others_at_85_dbm")

CASES = (
    Case("unanchored", "warn", "site", no_anchor, one_hop, anchored_here),
    Case("north-unsure", "warn", "A", narrow_without_a_mark, narrow_with_a_mark, note_a_mark),
    Case("compass-weak", "warn", "site", arctic, arctic_with_a_mark, note_a_mark),
    Case("no-magnetic", "warn", "site", far_future, last_year_of_the_model, note_a_mark),
    Case("height-guessed-decides", "warn", "A", guessed_near, guessed_far, changed("m2", height_known=TAPE)),
    Case("nothing-to-aim-at", "warn", "idle", radio_without_a_hop, radio_with_a_hop),
    Case("bracket-cannot", "stop", "S", clamp_too_small, clamp_that_fits),
    Case("bracket-cannot", "stop", "S", tapered_in_a_round_clamp, clamp_that_fits),
    Case("bracket-cannot", "stop", "A", too_steep, nearly_too_steep, move_away),
    Case("bracket-cannot", "warn", "S", step_too_coarse, step_fine_enough),
    Case("bracket-cannot", "stop", "A", into_the_wall, past_the_corner, to_another_wall),
    Case("not-checked", "warn", "H-S", sighted(), sighted("seen"), look_along),
    Case("not-seen", "warn", "H-S", sighted("not_seen"), sighted("not_seen", "seen"), look_along),
    Case("scan-stale", "note", "A", untested, fresh, listen),
    Case("scan-stale", "note", "A", other_channel, fresh, listen),
    Case("scan-stale", "note", "A", aging, fresh, listen),
    Case("scan-stale", "warn", "A", stale, fresh, listen),
    Case("scan-stale", "note", "site", two_cells_without_a_scan, two_cells_with_a_scan_each, listen_everywhere),
    Case("channel-busy", "warn", "A", loud, quiet, listen),
    Case("channel-busy", "warn", "A", busy, quiet, listen),
    Case("stale-sheet", "warn", "H-S", read_with_an_old_sheet, read_with_this_sheet, accept_the_hop),
    Case("priced-unproven", "warn", "site", priced_from_the_desk, priced_after_the_walk, look_along),
    Case("no-place", "stop", "m-column", by_degrees_without_an_anchor, by_degrees_with_an_anchor, anchored_here),
    Case("permission-missing", "warn", "m-column", not_asked, not_needed, changed("m-column", permission=GRANTED)),
    Case("permission-missing", "stop", "m-column", refused, not_needed, changed("m-column", permission=GRANTED)),
    Case("mount-refused", "stop", "m-column", walk_refused, usable_with_work, changed("m-column", usable="usable")),
    Case("datum-mixed", "stop", "m-column", drawn_over_the_tip, on_a_stub_over_the_tip),
    Case("needs-engineer", "note", "column", free_mast_over_3_m, free_mast_of_3_m, changed("column", guyed=True)),
    Case("needs-engineer", "warn", "column", large_sails, one_sail, take_a_sail_down),
    Case("weather-unfit", "stop", "S", open_to_rain, splash_proof, new_type(body=Body(ingress="IP66"))),
    Case("weather-unfit", "warn", "S", too_cold, just_cold_enough, new_type(body=Body(ingress="IP66"))),
    Case(
        "overhead-line-near",
        "warn",
        "m-column",
        near_a_line,
        clear_of_the_line,
        changed("m-column", overhead_line_m=12.0),
    ),
    Case("lift-needed", "warn", "m-column", high_by_ladder, just_within_a_ladder),
    Case(
        "lift-needed",
        "note",
        "m-column",
        high_and_nothing_noted,
        just_within_a_ladder,
        changed("m-column", climb="climb-m-column"),
    ),
    Case("address-clash", "warn", "S", one_address_twice, two_addresses),
    Case("address-clash", "warn", "C1", camera_has_a_radios_address, camera_has_its_own),
    Case("address-outside", "warn", "S", planned(address="10.0.1.40"), planned(address="10.0.0.40")),
    Case("address-outside", "warn", "S", planned(address="10.0.0.5"), planned(address="10.0.0.6")),
    Case("address-outside", "warn", "S", planned(address="ten"), planned(address="")),
    Case(
        "addresses-short",
        "warn",
        "site",
        planned(management="10.0.0.0/29"),
        planned(management="10.0.0.0/28"),
        blocks_apart,
    ),
    Case("blocks-overlap", "warn", "site", planned(video="10.0.0.128/25"), planned(video="10.0.1.0/25"), blocks_apart),
    Case("label-clash", "warn", "A", label_is_the_other_id, label_of_its_own),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_rule_when_planted_fires(case: Case) -> None:
    case.fires()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_rule_when_nearly_planted_is_silent(case: Case) -> None:
    case.misses()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_cure_when_applied_removes_the_finding_and_adds_no_stop(case: Case) -> None:
    case.is_cured()


def test_every_code_of_these_modules_has_a_case() -> None:
    codes = {
        code for module in (aiming, bracket, sight, evidence, mounting, labels, addressing) for code in module.CODES
    }
    assert codes == {case.code for case in CASES}
