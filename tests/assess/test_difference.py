"""What an edit changed is told in figures: limits, rates, findings, sheets."""

from __future__ import annotations

import datetime

import pytest

from survey_app.assess.difference import difference
from survey_app.data import demo_sites_folder
from survey_app.gear.catalogue import load_catalogue
from survey_app.site import edits
from survey_app.site.file import read_site
from survey_app.site.mount import Mount
from survey_app.site.place import Anchor, PlanePoint, PolePlace
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Design, Plane, Site
from survey_app.site.structure import Pole
from tests.laws import checked

PLACES = {"hub": (0.0, 0.0), "one": (300.0, 10.0), "two": (280.0, 90.0), "three": (270.0, -60.0)}


def two_poles(stations: tuple[str, ...], gear: tuple[str, str] = ("bowline-p19", "bowline-p19")) -> Site:
    """Return a hub and stations on poles of their own; `gear` is that of the hub and of the stations."""
    things = ("hub", *stations)
    return Site(
        design=Design(
            name="Two poles and one more",
            as_of=datetime.date(2026, 12, 1),
            invented=True,
            region="US",
            plane=Plane(anchor=Anchor(lat_deg=43.55, lon_deg=-69.6)),
            structures=tuple(
                Pole(kind="pole", id=f"pole-{k}", position=PlanePoint(x_m=PLACES[k][0], y_m=PLACES[k][1]))
                for k in things
            ),
            mounts=tuple(
                Mount(id=f"mount-{k}", structure=f"pole-{k}", place=PolePlace(kind="pole"), height_m=5.5)
                for k in things
            ),
            radios=tuple(
                Radio(
                    id=k,
                    role="access_point" if k == "hub" else "station",
                    gear=gear[0] if k == "hub" else gear[1],
                    mount=f"mount-{k}",
                    channel=157 if k == "hub" else None,
                )
                for k in things
            ),
            hops=tuple(Hop(id=f"hop-{k}", access_point="hub", station=k) for k in stations),
            gear=load_catalogue().copies_for(sorted(set(gear))),
        )
    )


def test_second_station_turns_a_point_to_point_unit_into_a_hub_and_the_report_says_so() -> None:
    """47 CFR 15.407(a)(3)(i): 30 dBm and any gain point to point, 1 dB less for each dB over 6 dBi to several stations."""
    before = checked(two_poles(("one",)))
    after = checked(two_poles(("one", "two")))
    hub = {row.id: row for row in before.radios}["hub"], {row.id: row for row in after.radios}["hub"]
    assert (hub[0].topology, hub[0].eirp_limit_dbm) == ("point_to_point", pytest.approx(49.0))
    assert (hub[1].topology, hub[1].eirp_limit_dbm) == ("multipoint_hub", pytest.approx(36.0))
    told = difference(before, after)
    fell = {row.id: row for row in told.limits_fell}
    assert (fell["hub"].before, fell["hub"].after) == (pytest.approx(49.0), pytest.approx(36.0))
    assert "15.407" in fell["hub"].why
    assert any(line.startswith("hub: power limit falls from 49.0 to 36.0 dBm EIRP") for line in told.sentences)
    assert {"hub", "one", "two"} <= set(told.sheets_to_reprint)
    assert {"two", "hop-two", "mount-two"} <= set(told.added)


def test_same_site_has_no_difference() -> None:
    found = checked(read_site(demo_sites_folder() / "boatyard"))
    told = difference(found, found)
    assert told.sentences == ()
    assert (told.added, told.removed) == ((), ())


def test_difference_is_told_the_other_way_round_with_new_and_gone_exchanged() -> None:
    site = read_site(demo_sites_folder() / "boatyard")
    moved = edits.set_channel(site, "A-P", 36).after
    here, there = checked(site), checked(moved)
    forth, back = difference(here, there), difference(there, here)
    assert [row.id for row in forth.new_findings] == [row.id for row in back.gone_findings]
    assert [row.id for row in forth.gone_findings] == [row.id for row in back.new_findings]
    assert "A-P" in forth.sheets_to_reprint
    assert "A-G" not in {row.id for row in forth.limits_fell}


def test_station_whose_hub_may_not_send_gets_a_new_sheet_and_is_held() -> None:
    """A stop of the cell stands on the pages of its stations too."""
    found = checked(edits.set_channel(two_poles(("one", "two")), "hub", 177).after)
    (stop,) = (row for row in found.findings if row.code == "band-not-outdoors")
    assert stop.concerns == ("one", "two")
    assert all(stop.stands_on_page_of({key}) for key in ("hub", "one", "two"))
    assert not stop.stands_on_page_of({"mount-one"})
