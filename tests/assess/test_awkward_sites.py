"""Sites that lack something or say something odd: a finding tells it, all the rest is assessed as ever."""

from __future__ import annotations

import datetime
from collections.abc import Callable

import pytest

from survey_app.assess.record import Assessment
from survey_app.site.edits import perform
from survey_app.site.place import Anchor, GeoPoint, PointPlace
from survey_app.site.thing import Permission
from tests.assess.rule_case import assessed, regions
from tests.laws import checked
from tests.plot import Plot, one_hop, sector


def said(found: Assessment) -> set[tuple[str, str, str]]:
    return {(row.severity, row.code, row.subject) for row in found.findings if row.code != "assumed-flat"}


def without_a_type(radio: str) -> Plot:
    """Give one radio a gear id that the site does not carry; a file with that is refused, a script may build it."""
    plot = sector(60.0, 90.0, 120.0)
    plot.set("radios", radio, gear="ghost")
    ids = plot.gear_ids
    plot.gear_ids = lambda: ids() - {"ghost"}  # type: ignore[method-assign]
    return plot


def test_station_without_a_type_takes_nothing_from_the_others() -> None:
    whole, holed = assessed(sector(60.0, 90.0, 120.0).site()), assessed(without_a_type("S2").site())
    assert ("warn", "levels-unknown", "H-S2") in said(holed)
    assert holed.hop("H-S2").ends.station.rx_level_dbm is None
    for key in ("H-S1", "H-S3"):
        assert holed.hop(key).ends.station.rx_level_dbm is not None
        assert holed.hop(key).ends.station.bearing_true_deg == whole.hop(key).ends.station.bearing_true_deg
    hub = holed.radio("A")
    assert hub.bearing_true_deg == pytest.approx(90.0, abs=0.01)
    assert hub.tx_power_auto_dbm is not None


def test_hub_without_a_type_leaves_bearings_and_says_so() -> None:
    found = assessed(without_a_type("A").site())
    assert {code for _, code, _ in said(found)} == {"levels-unknown"}
    assert found.cells[0].load_fraction is None
    assert found.cells[0].airtime_limit_fraction is None
    assert all(hop.ends.station.bearing_true_deg is not None for hop in found.hops)


def test_radio_on_a_mount_without_a_place_is_left_out_and_named() -> None:
    plot = sector(60.0, 90.0, 120.0, anchor=None)
    plot.set("mounts", "m2", place=PointPlace(kind="point", position=GeoPoint(lat_deg=43.55, lon_deg=-69.6)))
    found = assessed(plot.site())
    assert ("stop", "no-place", "m2") in said(found)
    assert [row.id for row in found.radios] == ["A", "S1", "S3"]
    assert all(hop.ends.station.rx_level_dbm is not None for hop in found.hops)


def test_hop_straight_up_has_no_level_and_says_why() -> None:
    plot = one_hop()
    plot.mount("m-low", "column", 2.0, climb="climb-m-column")
    plot.station("low", "m-low", "bowline-p16", "S")
    plot.set("radios", "S", role="access_point", channel=157)
    plot.drop("hops", "H-S")
    found = assessed(plot.site())
    (row,) = (row for row in found.findings if row.code == "levels-unknown")
    assert (row.severity, row.subject) == ("stop", "H-low")
    assert "straight above" in row.message


def changed(**fields: object) -> Callable[[], Plot]:
    return lambda: one_hop(**fields)  # type: ignore[arg-type]


def later_station() -> Plot:
    plot = sector(60.0, 90.0, 120.0, cameras=3)
    plot.set("radios", "S3", status="later")
    return plot


def no_head_end() -> Plot:
    plot = one_hop()
    plot.rows.pop("head_ends")
    return plot


def nothing_at_all() -> Plot:
    return Plot()


def no_landmark(**fields: object) -> Plot:
    plot = one_hop(**fields)  # type: ignore[arg-type]
    plot.rows.pop("landmarks")
    return plot


@pytest.mark.parametrize(
    ("draw", "code"),
    [
        (changed(anchor=None), "unanchored"),
        (lambda: no_landmark(as_of=datetime.date(2040, 1, 1)), "no-magnetic"),
        (lambda: no_landmark(as_of=datetime.date(2001, 1, 1)), "no-magnetic"),
        (lambda: no_landmark(anchor=Anchor(lat_deg=85.9, lon_deg=147.0)), "no-magnetic"),
        (changed(cameras=0), "carries-nothing"),
        (no_head_end, "no-way-home"),
        (changed(region=None), "region-unset"),
        (changed(region="ZZ", country=None), "region-unknown"),
        (changed(channel=None), "no-channel"),
        (changed(channel=400), "no-channel"),
        (changed(distance=30_000.0), "beyond-timing"),
        (changed(distance=0.01), "too-strong"),
    ],
)
def test_what_is_missing_is_said_by_its_finding(draw: Callable[[], Plot], code: str) -> None:
    assert code in {row.code for row in assessed(draw().site()).findings}


def test_magnetic_bearing_outside_the_model_is_refused_and_the_true_one_kept() -> None:
    row = assessed(one_hop(as_of=datetime.date(2040, 1, 1)).site()).radio("A")
    assert row.bearing_true_deg is not None
    assert row.bearing_magnetic_deg is None
    assert {reason.kind for reason in row.null_reasons if reason.field == "bearing_magnetic_deg"} == {"refused"}


def test_empty_site_has_no_finding_but_that_of_its_region() -> None:
    assert assessed(nothing_at_all().site()).findings == ()
    assert said(assessed(Plot(region=None, country=None).site())) == {("stop", "region-unset", "site")}


def test_later_things_count_for_nothing_until_asked_for() -> None:
    site = later_station().site()
    now, then = assessed(site), checked(site, regions=regions(), with_later=True)
    assert [row.id for row in now.radios] == ["A", "S1", "S2"]
    assert [row.id for row in then.radios] == ["A", "S1", "S2", "S3"]
    assert now.cells[0].load_fraction is not None
    assert then.cells[0].load_fraction is not None
    assert now.cells[0].load_fraction < then.cells[0].load_fraction
    assert ("warn", "cell-full", "A") not in said(now)
    assert ("warn", "cell-full", "A") in said(then)


def test_later_mount_takes_its_radio_along() -> None:
    plot = sector(60.0, 90.0)
    plot.set("mounts", "m2", status="later", permission=Permission(state="refused"))
    found = assessed(plot.site())
    assert [row.id for row in found.radios] == ["A", "S1"]
    assert "permission-missing" not in {row.code for row in found.findings}


def test_removed_hop_leaves_its_evidence_without_a_word() -> None:
    """Sight of a hop that is gone stays in the site and troubles nobody."""
    site = sector(60.0, 90.0).site()
    after = perform(site, "remove", {"thing_id": "H-S2"}).after
    assert len(after.evidence.sights) == 2
    assert "not-checked" not in {row.code for row in assessed(after).findings}
