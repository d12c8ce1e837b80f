"""Laws that every assessment keeps, whatever the site: held after each `assess` of a test."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from functools import cache
from typing import Any

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment, HopRow, RadioRow
from survey_app.assess.rules import CODES
from survey_app.data import shared_folder
from survey_app.site.site import Site

__all__ = ["assert_laws", "checked"]

TOLERANCE = {"db": 1e-9, "deg": 1e-9, "fraction": 1e-12, "mbps": 1e-9}


def checked(site: Site, **more: Any) -> Assessment:
    """Assess a site and hold the laws against what comes out."""
    found = assess(site, **more)
    assert_laws(site, found)
    return found


def assert_laws(site: Site, assessment: Assessment) -> None:
    """Hold every law against an assessment."""
    for law in (
        _radios_and_hops_name_each_other,
        _budget_terms_add_up,
        _path_is_the_same_both_ways,
        _airtime_sums,
        _magnetic_is_true_less_declination,
        _bracket_is_tilt_and_electrical_downtilt,
        _power_stays_inside_law_unit_and_ceiling,
        _findings_are_numbered,
        _nulls_have_a_reason,
        _tally_is_the_sum_of_its_parts,
        _nothing_leaks,
    ):
        law(site, assessment)


def _ends(hop: HopRow) -> tuple[tuple[str, Any, Any], ...]:
    """Return sender, receiving end and direction, both ways."""
    return (
        (hop.station, hop.ends.access_point, hop.directions.to_access_point),
        (hop.access_point, hop.ends.station, hop.directions.to_station),
    )


def _radios_and_hops_name_each_other(site: Site, found: Assessment) -> None:
    radios = {row.id: row for row in found.radios}
    stations = [hop.station for hop in found.hops]
    assert len(set(stations)) == len(stations), "a station is in two hops"
    for hop in found.hops:
        a, s = radios[hop.access_point], radios[hop.station]
        assert (a.role, s.role) == ("access_point", "station")
        assert hop.id in a.hops
        assert s.hops == (hop.id,)
        assert hop.station in a.far_ends
        assert s.far_ends == (hop.access_point,)
        assert (hop.ends.access_point.radio, hop.ends.station.radio) == (hop.access_point, hop.station)
        assert a.cell == s.cell == hop.cell
        assert a.channel == s.channel == hop.channel
    for cell in found.cells:
        assert set(cell.hops) == {hop.id for hop in found.hops if hop.cell == cell.id}
        assert set(cell.stations) == {hop.station for hop in found.hops if hop.cell == cell.id}


def _path_gain_db(hop: HopRow, radios: dict[str, RadioRow]) -> float | None:
    parts = (
        hop.ends.access_point.gain_toward_far_end_dbi,
        hop.ends.station.gain_toward_far_end_dbi,
        hop.free_space_loss_db,
        hop.gas_loss_db,
        hop.diffraction_loss_db,
        hop.foliage_loss_db,
        hop.wall_loss_db,
    )
    if any(part is None for part in parts):
        return None
    gain_a, gain_s, *lost = (float(part) for part in parts if part is not None)
    feeders = radios[hop.access_point].feeder_loss_db + radios[hop.station].feeder_loss_db
    return gain_a + gain_s - sum(lost) - feeders - hop.ends.station.polarisation_loss_db


def _budget_terms_add_up(site: Site, found: Assessment) -> None:
    radios = {row.id: row for row in found.radios}
    for hop in found.hops:
        path = _path_gain_db(hop, radios)
        for sender, end, direction in _ends(hop):
            row = radios[sender]
            if path is None or row.tx_power_auto_dbm is None:
                assert end.rx_level_dbm is None
                continue
            assert math.isclose(end.rx_level_dbm, row.tx_power_auto_dbm + path, abs_tol=TOLERANCE["db"])
            assert math.isclose(end.expected_reading_dbm, row.tx_power_total_dbm + path, abs_tol=TOLERANCE["db"])
            if direction.snr_db is not None:
                level = direction.tx_power_total_dbm + path
                noise = direction.noise_dbm + direction.interference_rise_db
                assert math.isclose(direction.snr_db, level - noise, abs_tol=TOLERANCE["db"])


def _path_is_the_same_both_ways(site: Site, found: Assessment) -> None:
    radios = {row.id: row for row in found.radios}
    for hop in found.hops:
        lost = [
            radios[sender].tx_power_auto_dbm - end.rx_level_dbm
            for sender, end, _ in _ends(hop)
            if end.rx_level_dbm is not None
        ]
        # one way only where the other sender may not send at all
        allowed = sum(radios[key].tx_power_auto_dbm is not None for key in (hop.access_point, hop.station))
        assert len(lost) in (0, allowed)
        if len(lost) == 2:
            assert math.isclose(lost[0], lost[1], abs_tol=TOLERANCE["db"])


def _airtime_sums(site: Site, found: Assessment) -> None:
    hops = {hop.id: hop for hop in found.hops}
    for cell in found.cells:
        directions = [row for key in cell.hops for _, _, row in _ends(hops[key])]
        asked = sum(row.demand_mbps for row in directions)
        assert math.isclose(cell.demand_mbps, asked, abs_tol=TOLERANCE["mbps"])
        if cell.airtime_used_fraction is None or cell.airtime_limit_fraction is None:
            continue
        used = sum(row.demand_mbps / row.phy_rate_mbps for row in directions if row.demand_mbps > 0.0)
        used += cell.multicast_fraction
        assert math.isclose(cell.airtime_used_fraction, used, abs_tol=TOLERANCE["fraction"])
        load = used / cell.airtime_limit_fraction
        assert math.isclose(cell.load_fraction, load, abs_tol=TOLERANCE["fraction"] * 10)
        if used > 0.0:
            shares = {
                hops[key].station: sum(r.demand_mbps / r.phy_rate_mbps for _, _, r in _ends(hops[key]) if r.demand_mbps)
                for key in cell.hops
            }
            assert math.isclose(max(shares.values()), cell.heaviest_share_fraction * used, abs_tol=1e-9)
            assert math.isclose(shares[cell.heaviest_station], max(shares.values()), abs_tol=1e-12)


def _turned(one: float, other: float) -> float:
    return abs((one - other + 180.0) % 360.0 - 180.0)


def _magnetic_is_true_less_declination(site: Site, found: Assessment) -> None:
    declination = {row.id: row.declination_deg for row in found.radios}
    rows = [(row.id, row.bearing_true_deg, row.bearing_magnetic_deg) for row in found.radios]
    for hop in found.hops:
        ends = (hop.ends.access_point, hop.ends.station)
        rows += [(end.radio, end.bearing_true_deg, end.bearing_magnetic_deg) for end in ends]
    for radio, true, magnetic in rows:
        for bearing in (true, magnetic):
            assert bearing is None or 0.0 <= bearing < 360.0
        if magnetic is not None:
            assert true is not None
            assert _turned(magnetic, true - declination[radio]) < TOLERANCE["deg"]
        else:
            assert true is None or declination[radio] is None


def _bracket_is_tilt_and_electrical_downtilt(site: Site, found: Assessment) -> None:
    for row in found.radios:
        if row.bracket_tilt_deg is not None:
            assert row.tilt_deg is not None
            assert row.electrical_downtilt_deg is not None
            assert math.isclose(
                row.bracket_tilt_deg, row.tilt_deg + row.electrical_downtilt_deg, abs_tol=TOLERANCE["deg"]
            )


def _power_stays_inside_law_unit_and_ceiling(site: Site, found: Assessment) -> None:
    radios = {radio.id: radio for radio in site.design.radios}
    gear = {item.id: item for item in site.design.gear}
    for row in found.radios:
        kind, ceiling = gear.get(row.gear), radios[row.id].power_ceiling_dbm
        if kind is None or kind.kind != "radio":
            continue
        for power in (row.tx_power_total_dbm, row.tx_power_auto_dbm, row.tx_power_full_dbm):
            if power is None or power <= kind.power_floor_dbm:
                continue  # a unit cannot send less than its floor; where that is too much there is a finding
            assert power <= max(kind.power_per_mcs_dbm) + TOLERANCE["db"]
            assert ceiling is None or power <= ceiling + TOLERANCE["db"]
            assert row.conducted_limit_dbm is None or power <= row.conducted_limit_dbm + TOLERANCE["db"]


@cache
def _sources() -> frozenset[str]:
    text = (shared_folder() / "references.md").read_text(encoding="utf-8")
    return frozenset(re.findall(r"^- \[([A-Z0-9]+)\]", text, re.MULTILINE))


def _findings_are_numbered(site: Site, found: Assessment) -> None:
    rank = {"stop": 0, "warn": 1, "note": 2}
    assert [row.number for row in found.findings] == list(range(1, len(found.findings) + 1))
    assert [rank[row.severity] for row in found.findings] == sorted(rank[row.severity] for row in found.findings)
    assert len({row.id for row in found.findings}) == len(found.findings)
    for row in found.findings:
        assert row.code in CODES, row.code
        assert row.source in _sources(), row.source
        assert row.cures, f"{row.code} has no cure"
        assert row.message.endswith((".", "?", ")")), row.message
        assert len(row.message) <= 500, row.message
        assert "nan" not in row.message.lower().split(), row.message
        assert "None" not in row.message, row.message


def _rows(found: Assessment) -> Iterator[Any]:
    for rows in (found.radios, found.hops, found.cells, found.cameras, found.wires, found.supplies):
        yield from rows


def _ends_of(row: Any) -> list[Any]:
    """Return the ends of a hop: a reason of a hop may be about a field of both of them."""
    return [row.ends.access_point, row.ends.station] if isinstance(row, HopRow) else []


def _nulls_have_a_reason(site: Site, found: Assessment) -> None:
    """Every reason names a field that is null, has a sentence; and what is unknown is also said by a finding."""
    said = {key for row in found.findings for key in (row.subject, row.second_subject, *row.concerns)}
    for row in _rows(found):
        reasons = {reason.field: reason for reason in row.null_reasons}
        for field, reason in reasons.items():
            holders = [row] if field in type(row).model_fields else _ends_of(row)
            assert holders, f"{type(row).__name__} has no field {field}"
            for holder in holders:
                assert getattr(holder, field) is None, f"{field} of {row.id} has a value and a reason to be null"
            assert reason.sentence.strip(), field
    # levels and aims are what a sheet is for: where one is unknown, a finding says why
    for hop in found.hops:
        if hop.ends.station.rx_level_dbm is None:
            assert said & {hop.id, hop.access_point, hop.station, hop.cell, "site"}, (
                f"nothing says why {hop.id} is null"
            )
    for radio in found.radios:
        if radio.conducted_limit_dbm is None:
            assert said & {radio.id, radio.cell, "site", *radio.hops}, f"nothing says why {radio.id} has no limit"


def _tally_is_the_sum_of_its_parts(site: Site, found: Assessment) -> None:
    for row in found.tally:
        assert math.isclose(sum(part.quantity for part in row.parts), row.need, abs_tol=1e-9), row.what
        assert row.order >= 0.0


def _nothing_leaks(site: Site, found: Assessment) -> None:
    text = found.model_dump_json()
    for number in re.findall(r"(?<![\w\"])(?:NaN|-?Infinity)(?![\w\"])", text):
        raise AssertionError(number)
    json.loads(text, parse_constant=lambda name: (_ for _ in ()).throw(AssertionError(name)))
