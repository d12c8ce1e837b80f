"""Design checks of law, unit, level, beam, neighbours, air: each fires, its nearest miss does not, its cure cures."""

from __future__ import annotations

from typing import Any

import pytest

from survey_app.assess.rules import air, beam, legal, level, neighbours, same_channel, unit
from survey_app.site.edits import add_gear, change, perform
from survey_app.site.edits.sharing import with_rows
from survey_app.site.gear_part import Pattern
from survey_app.site.radio import AimByHand
from survey_app.site.site import Site
from tests.assess.rule_case import Case
from tests.assess.test_at_rest import two_hops_beside
from tests.plot import Plot, catalogue, one_hop, sector

# --- drawing --------------------------------------------------------------------------------------------------------


def own_type(plot: Plot, radio: str, **more: Any) -> Plot:
    """Give a radio a type of its own that differs from the catalogue's in some fields."""
    found = catalogue().find(next(row for row in plot.rows["radios"] if row.id == radio).gear)
    key = f"own-{radio.lower()}"
    plot.more_gear.append(type(found)(**{**found.__dict__, "id": key, "name": f"Own {radio}", **more}))
    plot.set("radios", radio, gear=key)
    return plot


def pattern(radio: str, **more: Any) -> Pattern:
    """Return the pattern of a catalogue type with some fields changed."""
    found = catalogue().find(radio).pattern  # type: ignore[union-attr]
    assert found is not None
    return Pattern(**{**found.__dict__, **more})


def new_type(**fields: Any) -> Any:
    """Return work on site that gives the types of the site's own other figures."""

    def mend(site: Site) -> Site:
        gear = site.design.gear
        put = {n: type(row)(**{**row.__dict__, **fields}) for n, row in enumerate(gear) if row.id.startswith("own-")}
        return with_rows(site, "design", "gear", put=put)

    return mend


def changed(thing: str, **fields: Any) -> Any:
    """Return work on site that changes a thing."""
    return lambda site: change(site, thing, **fields).after


def with_region(region: str | None, country: str | None, channel: int | None = 157, **more: Any) -> Plot:
    return one_hop(region=region, country=country, channel=channel, **more)


def with_radio(key: str, **fields: Any) -> Plot:
    plot = one_hop()
    plot.set("radios", key, **fields)
    return plot


def with_hop(**fields: Any) -> Plot:
    plot = one_hop()
    plot.set("hops", "H-S", **fields)
    return plot


def no_region() -> Plot:
    return with_region(None, "US")


def region_zz() -> Plot:
    return with_region("ZZ", "US")


def british_yard_by_american_rules() -> Plot:
    return with_region("US", "GB", 104)


def british_yard() -> Plot:
    return with_region("UK", "GB", 104)


def british_yard_by_its_other_name() -> Plot:
    return with_region("GB", "GB", 104)


def no_channel() -> Plot:
    return one_hop(channel=None)


def no_such_channel() -> Plot:
    return one_hop(channel=300)


def channel_36_outdoors() -> Plot:
    return with_region("EU", "DK", 36)


def channel_36_indoors() -> Plot:
    plot = with_region("EU", "DK", 36)
    for mount in ("m-office", "m-column"):
        plot.set("mounts", mount, environment="indoors")
    return plot


def closed_band() -> Plot:
    return with_region("AU", "AU", 124)


def beside_the_closed_band() -> Plot:
    return with_region("AU", "AU", 132)


def wants_registration() -> Plot:
    return with_region("FJORD", None, 157)


def wants_none() -> Plot:
    return with_region("FJORD", None, 104)


def hub_at_20_dbm() -> Plot:
    return sector(60.0, 90.0, 120.0, ceiling=17.0)


def hub_at_its_limit() -> Plot:
    return sector(60.0, 90.0, 120.0, ceiling=16.0)


def too_wide() -> Plot:
    plot = one_hop(channel=155)
    plot.set("radios", "A", width_mhz=80)
    return plot


def wide_enough() -> Plot:
    plot = one_hop(channel=159)
    plot.set("radios", "A", width_mhz=40)
    return plot


def tunes_too_little() -> Plot:
    return own_type(one_hop(channel=165), "S", tunes_high_mhz=5834.9)


def tunes_just_enough() -> Plot:
    return own_type(one_hop(channel=165), "S", tunes_high_mhz=5835.0)


def not_certified_for_radar() -> Plot:
    return own_type(one_hop(channel=104), "S", radar_certified=False)


def certified_for_radar() -> Plot:
    return own_type(one_hop(channel=104), "S", radar_certified=True)


def certified_elsewhere() -> Plot:
    return own_type(one_hop(), "S", certified_regions=("EU",))


def certified_here() -> Plot:
    return own_type(one_hop(), "S", certified_regions=("EU", "US"))


def without_antenna() -> Plot:
    return with_radio("A", gear="becket-c")


def with_antenna() -> Plot:
    return with_radio("A", gear="becket-c", antenna="clove-a17", feeder="tail-1")


def rate_beyond_the_units() -> Plot:
    return with_hop(chosen_mcs=8)


def highest_common_rate() -> Plot:
    return with_hop(chosen_mcs=7)


def radar_and_no_memory() -> Plot:
    plot = one_hop(channel=104)
    plot.set("cameras", "C1", edge_recording_hours=0.0)
    return plot


def radar_and_memory() -> Plot:
    return one_hop(channel=104)


def radar_and_spare() -> Plot:
    plot = radar_and_no_memory()
    plot.set("radios", "A", radar_spare=116)
    return plot


def radar_word_missing() -> Plot:
    return own_type(one_hop(channel=104), "A", radar_certified=None)


def beyond_timing() -> Plot:
    return own_type(one_hop(), "S", ack_distance_m=131.9)


def within_timing() -> Plot:
    return own_type(one_hop(), "S", ack_distance_m=132.1)


def wants_more_margin() -> Plot:
    return with_hop(wanted_margin_db=45.0)


def has_just_enough_margin() -> Plot:
    return with_hop(wanted_margin_db=43.7)


def margin_gone() -> Plot:
    return one_hop(distance=11000.0, gear="bowline-p16", ceiling=12.0)


def long_hop() -> Plot:
    return one_hop(distance=11000.0, gear="sheave-d25", ceiling=20.0)


def near_and_loud() -> Plot:
    plot = one_hop(distance=60.0, ceiling=10.0)
    plot.set("radios", "A", power_ceiling_dbm=17.0)
    return plot


def second_cell_across(channel: int, far: float = 420.0) -> Plot:
    """Draw a second hub on a pole far behind the station of the first, which looks the same way back."""
    plot = one_hop()
    plot.pole("behind", far, 6.0)
    plot.mount("m-behind", "behind", 5.5)
    plot.access_point("B", "m-behind", "bowline-p16", channel, power_ceiling_dbm=12.0)
    plot.cabinet("m-behind", "behind", "B", "bowline-p16")
    plot.pole("before", far - 160.0, 6.0)
    plot.mount("m-before", "before", 5.5)
    plot.station("T", "m-before", "bowline-p16", "B", power_ceiling_dbm=12.0)
    plot.cabinet("m-before", "before", "T", "bowline-p16")
    plot.camera("C-T", "m-before")
    return plot


def second_cell_on_the_channel() -> Plot:
    return second_cell_across(157)


def second_cell_elsewhere() -> Plot:
    return second_cell_across(165)


def near_and_deafening() -> Plot:
    plot = one_hop(distance=60.0, ceiling=10.0)
    plot.set("radios", "A", power_ceiling_dbm=24.0)
    return plot


def near_and_bearable() -> Plot:
    plot = one_hop(distance=60.0, ceiling=10.0)
    plot.set("radios", "A", power_ceiling_dbm=16.0)
    return plot


def at_the_floor() -> Plot:
    return one_hop(distance=40.0, ceiling=6.0)


def above_the_floor() -> Plot:
    return one_hop(distance=90.0, ceiling=6.0)


def aimed_beside(turn: float) -> Plot:
    plot = one_hop()
    # the station looks back along plan west, which is true west at the anchor
    plot.set("radios", "S", aim=AimByHand(bearing_deg=270.0 + turn, north="plan", tilt_deg=0.2))
    return plot


def aimed_14_beside() -> Plot:
    return aimed_beside(14.0)


def aimed_13_beside() -> Plot:
    return aimed_beside(13.0)


def omni(height: float, over_near: float) -> Plot:
    """An omni on a pole, one station far away and one close by."""
    plot = Plot()
    plot.office()
    plot.head_end()
    plot.pole("tall", 40.0, 6.0, height=height + 1.0, diameter=89.0)
    plot.mount("m-tall", "tall", height)
    plot.set("climbs", "climb-m-tall", way="lift")
    plot.landmark("tower", 900.0, 700.0)
    more = {"antenna": "rove-o12", "feeder": "tail-1"}
    plot.access_point("A", "m-tall", "becket-c", 157, power_ceiling_dbm=18.0, **more)
    plot.cabinet("m-tall", "tall", "A", "becket-c")
    for n, distance in enumerate((300.0, over_near), start=1):
        plot.pole(f"column{n}", 40.0 + distance, 6.0)
        plot.mount(f"m{n}", f"column{n}", 5.5)
        plot.station(f"S{n}", f"m{n}", "bowline-p16", "A", power_ceiling_dbm=12.0)
        plot.cabinet(f"m{n}", f"column{n}", f"S{n}", "bowline-p16")
    return plot


def omni_over_the_heads() -> Plot:
    return omni(20.0, 40.0)


def omni_low() -> Plot:
    return omni(8.0, 40.0)


def omni_a_little_high() -> Plot:
    return omni(13.5, 40.0)


def unlike() -> Plot:
    return own_type(one_hop(), "S", pattern=pattern("bowline-p16", polarisation="slant"))


def alike() -> Plot:
    return own_type(one_hop(), "S", pattern=pattern("bowline-p16", gain_dbi=15.0))


def lone_and_turned(turn: float) -> Plot:
    plot = one_hop()
    for key in ("A", "S"):
        own_type(plot, key, pattern=pattern("bowline-p16", polarisation="v"))
    plot.set("radios", "S", rotation_deg=turn)
    return plot


def lone_and_turned_far() -> Plot:
    return lone_and_turned(65.0)


def lone_and_turned_a_little() -> Plot:
    return lone_and_turned(15.0)


def beside(apart: float, channel: int) -> Plot:
    """A second hop from a mount beside the first, on the same wall."""
    plot = one_hop()
    plot.wall_mount("m-second", "office", 1, 6.0 + apart)
    plot.pole("column2", 140.0, 36.0)
    plot.mount("m-column2", "column2", 5.5)
    plot.access_point("B", "m-second", "bowline-p16", channel, power_ceiling_dbm=14.0)
    plot.station("T", "m-column2", "bowline-p16", "B", power_ceiling_dbm=14.0)
    plot.feed_indoors("B", "bowline-p16")
    plot.cabinet("m-column2", "column2", "T", "bowline-p16")
    plot.camera("D1", "m-column2")
    return plot


def same_channel_beside() -> Plot:
    return beside(0.5, 157)


def three_widths_beside() -> Plot:
    return beside(0.5, 44)


def on_one_spot() -> Plot:
    return beside(0.0, 44)


def a_hand_apart() -> Plot:
    return beside(0.1, 44)


def busy_cell(cameras: int) -> Plot:
    return sector(60.0, 90.0, 120.0, cameras=cameras)


def cell_with_three_cameras_each() -> Plot:
    return busy_cell(3)


def cell_with_two_cameras_each() -> Plot:
    return busy_cell(2)


def cell_at_its_lowest_rate() -> Plot:
    plot = busy_cell(2)
    plot.set("radios", "A", highest_mcs=0)
    return plot


def no_cameras() -> Plot:
    return one_hop(cameras=0)


def one_camera() -> Plot:
    return one_hop(cameras=1)


def one_idle_station() -> Plot:
    plot = sector(60.0, 90.0)
    plot.drop("cameras", "C2-1")
    plot.drop("wires", "w-C2-1")
    return plot


def every_station_has_a_camera() -> Plot:
    return sector(60.0, 90.0)


def old_cipher() -> Plot:
    return with_radio("S", protection="wpa_tkip")


def unknown_cipher() -> Plot:
    return with_radio("S", protection="unknown")


def good_cipher() -> Plot:
    return with_radio("S", protection="wpa2_enterprise")


def no_lights() -> Plot:
    return own_type(one_hop(), "S", lights_dbm=())


def no_lights_but_a_page() -> Plot:
    plot = no_lights()
    plot.set("radios", "S", shows_level_at="the access point's list")
    return plot


# --- on site --------------------------------------------------------------------------------------------------------


def take_the_hop_out(site: Site) -> Site:
    return perform(site, "remove", {"thing_id": "H-S2"}).after


def lower_the_hub(site: Site) -> Site:
    return perform(site, "set_height", {"thing_id": "m-tall", "height_m": 8.0}).after


def hang_farther(site: Site) -> Site:
    return perform(site, "move_by", {"thing_id": "column", "dx_m": 60.0, "dy_m": 0.0}).after


def give_a_dish(site: Site) -> Site:
    site = add_gear(site, catalogue().find("sheave-d25")).after
    for radio in ("A", "S"):
        site = change(site, radio, gear="sheave-d25", power_ceiling_dbm=20.0).after
    return site


def two_hops_far() -> Plot:
    return two_hops_beside(ahead=800.0)


CASES = (
    Case("region-unset", "stop", "site", no_region, one_hop),
    Case("region-unknown", "stop", "site", region_zz, british_yard_by_its_other_name),
    Case("country-elsewhere", "stop", "site", british_yard_by_american_rules, british_yard),
    Case("no-channel", "stop", "A", no_channel, one_hop),
    Case("no-channel", "stop", "A", no_such_channel, one_hop),
    Case("band-not-outdoors", "stop", "A", channel_36_outdoors, channel_36_indoors),
    Case("no-rule-known", "stop", "A", closed_band, beside_the_closed_band),
    Case("licence-needed", "note", "A", wants_registration, wants_none),
    Case("over-limit", "stop", "A", hub_at_20_dbm, hub_at_its_limit),
    Case("unit-cannot", "stop", "A", too_wide, wide_enough),
    Case("unit-cannot", "stop", "A", tunes_too_little, tunes_just_enough),
    Case("unit-cannot", "stop", "A", not_certified_for_radar, certified_for_radar),
    Case("unit-cannot", "stop", "S", certified_elsewhere, certified_here, new_type(certified_regions=("US",))),
    Case(
        "unit-cannot",
        "stop",
        "A",
        without_antenna,
        with_antenna,
        lambda _: with_antenna().site(),
    ),
    Case("unit-cannot", "stop", "H-S", rate_beyond_the_units, highest_common_rate),
    Case("radar-wait", "warn", "A", radar_and_no_memory, radar_and_memory),
    Case("radar-wait", "warn", "A", radar_and_no_memory, radar_and_spare, changed("A", radar_spare=116)),
    Case("certificate-not-noted", "warn", "A", radar_word_missing, radar_and_memory, new_type(radar_certified=True)),
    Case("beyond-timing", "stop", "H-S", beyond_timing, within_timing, new_type(ack_distance_m=15000.0)),
    Case("levels-unknown", "warn", "H-S", without_antenna, with_antenna, lambda _: with_antenna().site()),
    Case("thin-margin", "warn", "H-S", wants_more_margin, has_just_enough_margin),
    Case("thin-margin", "stop", "H-S", margin_gone, long_hop, give_a_dish),
    Case("too-strong", "warn", "H-S", near_and_loud, near_and_bearable, second="S"),
    Case("too-strong", "stop", "H-S", near_and_deafening, near_and_bearable, second="S"),
    Case("floor-reached", "note", "H-S", at_the_floor, above_the_floor, hang_farther, second="A"),
    Case("outside-beam", "warn", "H-S", aimed_14_beside, aimed_13_beside),
    Case("over-the-heads", "warn", "H-S2", omni_over_the_heads, omni_low, lower_the_hub),
    Case("over-the-heads", "note", "H-S2", omni_a_little_high, omni_low, lower_the_hub),
    Case("mixed-slant", "note", "H-S", unlike, alike, new_type(pattern=pattern("bowline-p16"))),
    Case("mixed-slant", "warn", "H-S", lone_and_turned_far, lone_and_turned_a_little),
    Case("one-spot", "stop", "B", on_one_spot, a_hand_apart),
    Case("deaf-neighbour", "stop", "A", same_channel_beside, three_widths_beside),
    Case("power-restless", "warn", "A0", two_hops_beside, two_hops_far),
    Case("same-channel-heard", "warn", "A", second_cell_on_the_channel, second_cell_elsewhere),
    Case("cell-full", "warn", "A", cell_with_three_cameras_each, cell_with_two_cameras_each),
    Case(
        "cell-full",
        "stop",
        "A",
        cell_at_its_lowest_rate,
        cell_with_two_cameras_each,
        changed("A", highest_mcs=None),
    ),
    Case("carries-nothing", "note", "site", no_cameras, one_camera, lambda _: one_camera().site()),
    Case("carries-nothing", "note", "H-S2", one_idle_station, every_station_has_a_camera, take_the_hop_out),
    Case("weak-protection", "warn", "S", old_cipher, good_cipher),
    Case("weak-protection", "note", "S", unknown_cipher, good_cipher),
    Case("nobody-can-read", "note", "S", no_lights, no_lights_but_a_page, changed("S", shows_level_at="list of A")),
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
    codes = {code for module in (legal, unit, level, beam, neighbours, same_channel, air) for code in module.CODES}
    assert codes == {case.code for case in CASES}
