"""Channel plans of sites: what the search decides is what the assessment then finds."""

from __future__ import annotations

import datetime
import functools

import pytest

from survey_app.assess.pipeline import assess
from survey_app.data import demo_sites_folder
from survey_app.errors import UsageError
from survey_app.propose.channels import Patience, Proposal, propose_channels
from survey_app.site.edits import lock_channel, set_channel, set_status
from survey_app.site.evidence import Scan, ScanRow
from survey_app.site.file import read_site
from survey_app.site.new import new_site
from survey_app.site.site import Site
from survey_app.spectrum.regions import Regions, load_regions

_LONG = Patience(seconds=300.0)


@functools.cache
def regions() -> Regions:
    return load_regions()


@functools.cache
def farm() -> Site:
    return read_site(demo_sites_folder() / "college" / "alternatives" / "sectors.json")


@functools.cache
def plan_of_the_farm() -> Proposal:
    return propose_channels(farm(), regions(), _LONG)


def test_plan_of_the_farm_is_what_the_assessment_finds() -> None:
    edit, plan = plan_of_the_farm()
    found = assess(edit.after, regions())
    margins = [
        way.margin_with_interference_db
        for hop in found.hops
        for way in (hop.directions.to_access_point, hop.directions.to_station)
    ]
    # the common aims of sectors are searched anew with their new channels
    assert min(margin for margin in margins if margin is not None) == pytest.approx(plan.worst_margin_db, abs=0.1)
    assert plan.worst_margin_db is not None
    assert plan.worst_margin_before_db is not None
    assert plan.worst_margin_db > plan.worst_margin_before_db + 5.0
    assert plan.margin_gap_db == 0.0
    assert not [one for one in found.findings if one.severity == "stop"]


def test_plan_changes_access_points_alone_in_one_step() -> None:
    edit, plan = plan_of_the_farm()
    changed = {row.cell for row in plan.cells if row.changed}
    assert set(edit.touched) >= changed
    before = {radio.id: radio for radio in farm().design.radios}
    for radio in edit.after.design.radios:
        assert (radio is before[radio.id]) == (radio.id not in edit.touched)
    assert edit.before is farm()


def test_radar_channels_have_a_spare_apart_and_say_what_an_event_costs() -> None:
    edit, plan = plan_of_the_farm()
    radios = {radio.id: radio for radio in edit.after.design.radios}
    on_radar = [row for row in plan.cells if row.radar_outage_unchecked_s is not None]
    assert [row for row in on_radar if row.radar_spare is not None]
    for row in on_radar:
        if row.radar_spare is None:
            assert "without a spare of its width" in row.why
            continue
        assert radios[row.cell].radar_spare == row.radar_spare
        assert abs(row.radar_spare - row.channel) * 5 >= row.width_mhz
        assert row.radar_outage_s is not None
        assert row.radar_outage_unchecked_s is not None
        assert row.radar_outage_s < row.radar_outage_unchecked_s
        assert "Radar channel" in row.why


def test_plan_says_where_wider_would_not_be_better() -> None:
    assert any("20 MHz keeps more" in row.why for row in plan_of_the_farm().plan.cells if row.width_mhz == 20)


def test_locked_cell_keeps_its_channel() -> None:
    site = lock_channel(farm(), "A-R").after
    plan = propose_channels(site, regions(), _LONG, equals=0).plan
    row = next(row for row in plan.cells if row.cell == "A-R")
    assert (row.channel, row.changed, row.why[:7]) == (112, False, "Locked.")


def test_what_runs_is_left_alone_unless_it_starves_a_hop() -> None:
    site = farm()
    for key in ("A-1", "A-2", "A-3"):
        site = set_status(site, key, status="existing").after
    plan = propose_channels(site, regions(), _LONG, equals=0).plan
    assert plan.running_changes == 0
    # two running cells on one channel leave nothing: one of them goes, no more
    bad = set_channel(site, "A-2", 100).after
    mended = propose_channels(bad, regions(), _LONG, equals=0).plan
    assert mended.running_changes == 1
    held = propose_channels(bad, regions(), _LONG, most_changes=0, equals=0).plan
    assert held.running_changes == 0
    assert held.worst_margin_db is not None
    assert mended.worst_margin_db is not None
    assert held.worst_margin_db < 3.0 < mended.worst_margin_db


def test_loud_neighbour_in_a_scan_is_kept_clear_of() -> None:
    before = next(row for row in plan_of_the_farm().plan.cells if row.cell == "A-R")
    mount = next(radio.mount for radio in farm().design.radios if radio.id == "A-R")
    rows = tuple(ScanRow(channel=before.channel + n, level_dbm=-55.0) for n in (-6, -2, 2, 6))
    scan = Scan(at=datetime.datetime(2026, 11, 25, 9, tzinfo=datetime.UTC), by="T. Walker", mount=mount, rows=rows)
    evidence = farm().evidence.model_copy(update={"scans": (*farm().evidence.scans, scan)})
    site = farm().model_copy(update={"evidence": evidence})
    plan = propose_channels(site, regions(), _LONG, equals=0).plan
    after = next(row for row in plan.cells if row.cell == "A-R")
    assert abs(after.channel - before.channel) * 5 >= (after.width_mhz + before.width_mhz) / 2
    heard = {hop.id: hop.directions.to_access_point for hop in assess(site, regions()).hops}
    alone = {hop.id: hop.directions.to_access_point for hop in assess(farm(), regions()).hops}
    for key, way in heard.items():
        if way.sinr_db is not None and alone[key].sinr_db is not None:
            assert way.sinr_db <= alone[key].sinr_db + 1e-9  # type: ignore[operator]


def test_site_without_cells_is_refused() -> None:
    with pytest.raises(UsageError, match="no cell"):
        propose_channels(new_site("Yard", as_of=datetime.date(2026, 12, 1)), regions())
