"""Power limits and radar duties of Europe, Britain, Canada and Australia against what was seen of their rules."""

from __future__ import annotations

import pytest

from survey_app.spectrum import load_regions, power_limits, resolve
from survey_app.spectrum.rules import Place

REGIONS = load_regions()

# region, centre, place, power control, EIRP in dBm, tolerance, source
EIRP = [
    ("EU", 5200.0, "indoor", True, 23.0, 0.0),  # [EN301893] V2.2.1 sub-band 1; [ECCDEC0408] 2004 decides 2, 200 mW
    ("EU", 5200.0, "indoor", False, 23.0, 0.0),  # [EN301893] V2.2.1 sub-band 1
    ("EU", 5300.0, "indoor", True, 23.0, 0.0),  # [EN301893] V2.2.1 sub-band 2
    ("EU", 5300.0, "indoor", False, 20.0, 0.0),  # [EN301893] V2.2.1 sub-band 2
    ("EU", 5500.0, "outdoor", True, 30.0, 0.0),  # [ECCDEC0408] 2004 decides 3, 1 W
    ("EU", 5500.0, "outdoor", False, 27.0, 0.0),  # [ECCDEC0408] 2004 decides 4, 3 dB less
    ("EU", 5745.0, "outdoor", True, 13.98, 0.0),  # [REC7003] Annex 1, 25 mW
    ("EU", 2437.0, "outdoor", True, 20.0, 0.0),  # [EN300328], 100 mW in [REGDB] 2026.05.30
    ("UK", 5200.0, "indoor", True, 23.01, 0.0),  # [IR2030] by [REGDB] 2026.05.30
    ("UK", 5500.0, "outdoor", False, 26.98, 0.0),  # [IR2030] by [REGDB] 2026.05.30
    ("UK", 5785.0, "indoor", True, 23.01, 0.0),  # [IR2030], 200 mW
    ("CA", 5200.0, "indoor", True, 23.01, 0.0),  # [RSS247] Issue 4, 7.3.1.2, 200 mW
    ("CA", 5300.0, "outdoor", True, 30.0, 0.0),  # [RSS247] Issue 4, 7.3.2.2, 1000 mW
    ("CA", 5500.0, "outdoor", True, 30.0, 0.0),  # [RSS247] Issue 4, 7.3.3.2, 1000 mW
    ("CA", 2437.0, "outdoor", True, 36.02, 0.0),  # [RSS247] Issue 4, 6.3.2, 4000 mW
    ("AU", 5200.0, "indoor", True, 23.01, 0.0),  # [LIPD2025] Table 8 item 10, 200 mW
    ("AU", 5300.0, "indoor", False, 20.0, 0.0),  # [LIPD2025] Table 8 item 11, 100 mW
    ("AU", 5300.0, "indoor", True, 23.01, 0.0),  # [LIPD2025] Table 8 item 11, 200 mW
    ("AU", 5500.0, "outdoor", False, 26.99, 0.011),  # [LIPD2025] Table 8 item 12(a), 500 mW
    ("AU", 5500.0, "outdoor", True, 30.0, 0.0),  # [LIPD2025] Table 8 item 12(a), 1000 mW
    ("AU", 5680.0, "outdoor", False, 26.99, 0.011),  # [LIPD2025] Table 8 item 12(b), 500 mW
    ("AU", 5785.0, "outdoor", True, 36.02, 0.0),  # [LIPD2025] Table 8 item 9, 4000 mW
    ("AU", 5865.0, "outdoor", True, 13.98, 0.0),  # [LIPD2025] Table 1 item 22, 25 mW
    ("AU", 2437.0, "outdoor", True, 36.02, 0.0),  # [LIPD2025] Table 8, 4000 mW
]


@pytest.mark.parametrize(("region", "centre", "place", "control", "eirp_dbm", "tolerance"), EIRP)
@pytest.mark.parametrize("gain_dbi", [12.0, 19.0, 25.0])
def test_eirp_limit_matches_for_every_antenna(
    region: str, centre: float, place: Place, control: bool, eirp_dbm: float, tolerance: float, gain_dbi: float
) -> None:
    rules = resolve(REGIONS.find(region), place, "point_to_point", centre, 20.0, control)
    found = float(power_limits([rules], gain_dbi).limit_eirp_dbm[0])
    assert found == pytest.approx(eirp_dbm, abs=tolerance + 1e-9)


def test_canada_gives_one_watt_conducted_at_the_top_of_the_band() -> None:
    # [RSS247] Issue 4, 7.3.4.3, 1000 mW; the 36.02 dBm EIRP of [REGDB] 2026.05.30 follows with 6 dBi
    limits = power_limits([resolve(REGIONS.find("CA"), "outdoor", "multipoint_hub", 5785.0, 20.0, True)], [6.0])
    assert float(limits.limit_conducted_dbm[0]) == pytest.approx(30.0)
    assert float(limits.limit_eirp_dbm[0]) == pytest.approx(36.02, abs=0.03)


# region, band, figure with and without power control in mW/MHz; [ECCDEC0408] 2004 decides 2 and 3, [EN301893] V2.2.1
DENSITY = [("eu.5150", 10.0, 10.0), ("eu.5250", 10.0, 5.0), ("eu.5470", 50.0, 25.0)]


@pytest.mark.parametrize(("row_id", "with_control_mw", "without_mw"), DENSITY)
def test_density_matches(row_id: str, with_control_mw: float, without_mw: float) -> None:
    row = REGIONS.find("EU").row(row_id)
    assert row is not None
    density = row.limits.density
    assert density is not None
    lower = density.dbm if density.without_control_dbm is None else density.without_control_dbm
    assert (density.kind, density.per_mhz) == ("eirp", 1.0)
    assert 10 ** (density.dbm / 10) == pytest.approx(with_control_mw, rel=0.01)
    assert 10 ** (lower / 10) == pytest.approx(without_mw, rel=0.01)


# region, centre, width, wait in s; [EN301893] V2.2.1 Table D.1: 60 s, 600 s where the channel touches 5600-5650 MHz
WAIT = [
    ("EU", 5500.0, 20.0, 60),
    ("EU", 5580.0, 20.0, 60),
    ("EU", 5600.0, 20.0, 600),
    ("EU", 5620.0, 20.0, 600),
    ("EU", 5640.0, 20.0, 600),
    ("EU", 5660.0, 20.0, 60),
    ("EU", 5595.0, 20.0, 600),
    ("EU", 5655.0, 20.0, 600),
    ("EU", 5590.0, 40.0, 600),
    ("EU", 5630.0, 40.0, 600),
    ("EU", 5550.0, 40.0, 60),
    ("EU", 5670.0, 40.0, 60),
    ("EU", 5610.0, 80.0, 600),
    ("EU", 5530.0, 80.0, 60),
    ("UK", 5620.0, 20.0, 600),
    ("CA", 5620.0, 20.0, 60),  # [RSS247] Issue 4 opened 5600-5650 MHz
    ("US", 5620.0, 20.0, 60),  # [CFR15407] text of 2024-02-06, (h)(2)(ii)
    ("AU", 5580.0, 20.0, 60),
    ("EU", 5745.0, 20.0, 0),  # [REC7003] Annex 1: no radar duty
    ("US", 5745.0, 20.0, 0),
    ("US", 5720.0, 20.0, 60),  # touches 5470-5725 MHz
]


@pytest.mark.parametrize(("region", "centre", "width", "wait_s"), WAIT)
def test_radar_check_lasts_as_long_as_the_rule_says(region: str, centre: float, width: float, wait_s: int) -> None:
    rules = resolve(REGIONS.find(region), "outdoor", "multipoint_hub", centre, width, True)
    assert rules is not None
    assert rules.radar_wait_s == wait_s
    assert rules.radar_duty == (wait_s > 0)


@pytest.mark.parametrize(("centre", "outage_s"), [(5500.0, 70), (5620.0, 610)])
def test_radar_event_silences_a_hop_for_move_and_check(centre: float, outage_s: int) -> None:
    # [EN301893] V2.2.1 Table D.1: 10 s to move, 60 or 600 s to check, 30 minutes barred
    rules = resolve(REGIONS.find("EU"), "outdoor", "point_to_point", centre, 20.0, True)
    assert rules is not None
    assert (rules.radar_outage_s, rules.non_occupancy_min) == (outage_s, 30)


# region, centre, place: not permitted there
CLOSED = [
    ("EU", 5180.0, "outdoor"),  # [EN301893] with (EU) 2022/179: not on fixed outdoor infrastructure
    ("EU", 5260.0, "outdoor"),  # [ECCDEC0408] 2004 decides 2: indoors
    ("UK", 5180.0, "outdoor"),  # [IR2030] by [REGDB] 2026.05.30
    ("UK", 5785.0, "outdoor"),  # licence exempt indoors only
    ("CA", 5180.0, "outdoor"),  # [RSS247] Issue 4, 7.3.1.2
    ("AU", 5180.0, "outdoor"),  # [LIPD2025] Table 8 item 10
    ("AU", 5620.0, "outdoor"),  # [REGDB] 2026.05.30: nothing between 5600 and 5650 MHz
    ("EU", 5885.0, "indoor"),  # above 5875 MHz
]


@pytest.mark.parametrize(("region", "centre", "place"), CLOSED)
def test_closed_band_is_not_permitted(region: str, centre: float, place: Place) -> None:
    assert resolve(REGIONS.find(region), place, "multipoint_hub", centre, 20.0, True) is None


def test_canada_has_5600_to_5650_mhz_open() -> None:
    # [RSS247] Issue 4 of 24 July 2025 removed the prohibition
    assert resolve(REGIONS.find("CA"), "outdoor", "multipoint_hub", 5620.0, 20.0, True) is not None


# The public table, [REGDB] 2026.05.30: countries, low, high, EIRP in dBm, indoors only, radar duty. It assumes no power
# control. Canada's and Australia's last rows are EIRP as well.
REGDB = [
    ("CA", 5150, 5250, 23.01, True, False),
    ("CA", 5250, 5350, 26.98, False, True),
    ("CA", 5470, 5725, 26.98, False, True),
    ("CA", 5735, 5850, 36.02, False, False),
    ("CA", 2400, 2483.5, 36.02, False, False),
    ("GB", 5150, 5250, 23.01, True, False),
    ("GB", 5250, 5350, 20.0, True, True),
    ("GB", 5470, 5730, 26.98, False, True),
    ("GB", 5735, 5850, 23.01, True, False),
    ("GB", 2400, 2483.5, 20.0, False, False),
    *(
        (country, *row)
        for country in ("DE", "FR", "IT", "ES", "NL", "IE")
        for row in (
            (5150, 5250, 23.01, True, False),
            (5250, 5350, 20.0, True, True),
            (5470, 5725, 26.98, False, True),
            (5725, 5875, 13.97, False, False),
            (2400, 2483.5, 20.0, False, False),
        )
    ),
    ("AU", 5150, 5250, 23.01, True, False),
    ("AU", 5250, 5350, 20.0, True, True),
    ("AU", 5470, 5600, 26.98, False, True),
    ("AU", 5650, 5725, 26.98, False, True),
    ("AU", 5735, 5850, 36.02, False, False),
    ("AU", 5850, 5875, 13.97, False, False),
    ("AU", 2400, 2483.5, 36.02, False, False),
]


@pytest.mark.parametrize(("country", "low", "high", "eirp_dbm", "indoors", "radar"), REGDB)
def test_rows_agree_with_the_public_table(
    country: str, low: float, high: float, eirp_dbm: float, indoors: bool, radar: bool
) -> None:
    (region,) = REGIONS.of_country(country)
    for centre in {low + 10.0, (low + high) / 2, high - 10.0}:
        outdoors = resolve(region, "outdoor", "client", centre, 20.0, False)
        assert (outdoors is None) == indoors
        rules = resolve(region, "indoor", "client", centre, 20.0, False)
        assert rules is not None
        assert rules.radar_duty == radar
        # 6 dBi: the gain at which a conducted limit and its EIRP meet
        assert float(power_limits([rules], 6.0).limit_eirp_dbm[0]) == pytest.approx(eirp_dbm, abs=0.035)


# What nobody could verify is there, switched off: row, EIRP in dBm; [EN302502] V2.1.1 (4000 mW), [IR2007] from memory
UNVERIFIED = [("EU", "eu.5725.bfwa", 36.0), ("UK", "uk.5725.fwa", 36.0)]


@pytest.mark.parametrize(("region", "row_id", "eirp_dbm"), UNVERIFIED)
def test_fixed_wireless_access_at_5_8_ghz_ships_switched_off(region: str, row_id: str, eirp_dbm: float) -> None:
    row = REGIONS.find(region).row(row_id)
    assert row is not None
    assert row.limits.eirp_dbm == pytest.approx(eirp_dbm)
    assert not row.usable
    assert row.why_not_usable.endswith(".")


def test_fixed_wireless_access_gives_half_the_power_to_half_the_width() -> None:
    # [EN302502] V2.1.1: 4000 mW in 20 MHz, 2000 mW in 10 MHz
    row = REGIONS.find("EU").row("eu.5725.bfwa")
    assert row is not None
    density = row.limits.density
    assert density is not None
    assert 10 ** (density.dbm / 10) * 10 == pytest.approx(2000, rel=0.01)
    assert 10 ** (density.dbm / 10) * 20 == pytest.approx(4000, rel=0.01)
