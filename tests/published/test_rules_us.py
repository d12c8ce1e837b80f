"""Power limits of the United States against the text of the rules and worked cases of its arithmetic."""

from __future__ import annotations

import pytest

from survey_app.spectrum import elevation_limit_dbm, load_regions, power_limits, resolve, topology_of
from survey_app.spectrum.rules import BandRow, Region, Topology

US = load_regions().find("US")

CENTRE_MHZ = {
    ("unii1", 20): 5180.0,
    ("unii1", 40): 5190.0,
    ("unii1", 80): 5210.0,
    ("unii2a", 20): 5260.0,
    ("unii2a", 40): 5270.0,
    ("unii2a", 80): 5290.0,
    ("unii2c", 20): 5500.0,
    ("unii2c", 40): 5510.0,
    ("unii2c", 80): 5530.0,
    ("unii3", 20): 5745.0,
    ("unii3", 40): 5755.0,
    ("unii3", 80): 5775.0,
    ("24", 20): 2437.0,
}
TOPOLOGY: dict[str, Topology] = {"ptp": "point_to_point", "ptmp": "multipoint_hub", "client": "client"}

# Rule arithmetic worked by hand for a radio of 27 dBm with power control, [CFR15407] text of 2024-02-06 (a)(1)-(3) and
# [CFR15247] text of mid-2020 (b), (c): band, use, gain, limit of conducted power, power set, EIRP; the same at 20, 40
# and 80 MHz (2.4 GHz: 20 MHz only).
WORKED = [
    ("unii1", "ptp", 13, 30.0, 27.0, 40.0),
    ("unii1", "ptp", 19, 30.0, 27.0, 46.0),
    ("unii1", "ptp", 23, 30.0, 27.0, 50.0),
    ("unii1", "ptp", 25, 28.0, 27.0, 52.0),
    ("unii1", "ptmp", 13, 23.0, 23.0, 36.0),
    ("unii1", "ptmp", 19, 17.0, 17.0, 36.0),
    ("unii1", "ptmp", 23, 13.0, 13.0, 36.0),
    ("unii1", "ptmp", 25, 11.0, 11.0, 36.0),
    ("unii1", "client", 13, 16.98, 16.98, 29.98),
    ("unii1", "client", 19, 10.98, 10.98, 29.98),
    ("unii1", "client", 23, 6.98, 6.98, 29.98),
    ("unii1", "client", 25, 4.98, 4.98, 29.98),
    ("unii2a", "ptp", 13, 16.98, 16.98, 29.98),
    ("unii2a", "ptp", 19, 10.98, 10.98, 29.98),
    ("unii2a", "ptp", 23, 6.98, 6.98, 29.98),
    ("unii2a", "ptp", 25, 4.98, 4.98, 29.98),
    ("unii2a", "ptmp", 13, 16.98, 16.98, 29.98),
    ("unii2a", "ptmp", 19, 10.98, 10.98, 29.98),
    ("unii2a", "ptmp", 23, 6.98, 6.98, 29.98),
    ("unii2a", "ptmp", 25, 4.98, 4.98, 29.98),
    ("unii2c", "ptp", 13, 16.98, 16.98, 29.98),
    ("unii2c", "ptp", 19, 10.98, 10.98, 29.98),
    ("unii2c", "ptp", 23, 6.98, 6.98, 29.98),
    ("unii2c", "ptp", 25, 4.98, 4.98, 29.98),
    ("unii2c", "ptmp", 13, 16.98, 16.98, 29.98),
    ("unii2c", "ptmp", 19, 10.98, 10.98, 29.98),
    ("unii2c", "ptmp", 23, 6.98, 6.98, 29.98),
    ("unii2c", "ptmp", 25, 4.98, 4.98, 29.98),
    ("unii3", "ptp", 13, 30.0, 27.0, 40.0),
    ("unii3", "ptp", 19, 30.0, 27.0, 46.0),
    ("unii3", "ptp", 23, 30.0, 27.0, 50.0),
    ("unii3", "ptp", 25, 30.0, 27.0, 52.0),
    ("unii3", "ptmp", 13, 23.0, 23.0, 36.0),
    ("unii3", "ptmp", 19, 17.0, 17.0, 36.0),
    ("unii3", "ptmp", 23, 13.0, 13.0, 36.0),
    ("unii3", "ptmp", 25, 11.0, 11.0, 36.0),
    ("24", "ptp", 13, 27.67, 27.0, 40.0),
    ("24", "ptp", 19, 25.67, 25.67, 44.67),
    ("24", "ptp", 23, 24.33, 24.33, 47.33),
    ("24", "ptp", 25, 23.67, 23.67, 48.67),
    ("24", "ptmp", 13, 23.0, 23.0, 36.0),
    ("24", "ptmp", 19, 17.0, 17.0, 36.0),
    ("24", "ptmp", 23, 13.0, 13.0, 36.0),
    ("24", "ptmp", 25, 11.0, 11.0, 36.0),
]
CASES = [
    pytest.param(*case, width, id=f"{case[0]}-{case[1]}-{case[2]}dBi-{width}MHz")
    for case in WORKED
    for width in (20, 40, 80)
    if (case[0], width) in CENTRE_MHZ
]


@pytest.mark.parametrize(("band", "use", "gain_dbi", "limit_dbm", "set_dbm", "eirp_dbm", "width"), CASES)
def test_power_limit_of_a_worked_case_matches(
    band: str, use: str, gain_dbi: float, limit_dbm: float, set_dbm: float, eirp_dbm: float, width: int
) -> None:
    rules = resolve(US, "outdoor", TOPOLOGY[use], CENTRE_MHZ[band, width], width, True)
    assert rules is not None
    limits = power_limits([rules], gain_dbi)
    power_dbm = min(27.0, float(limits.limit_conducted_dbm[0]))
    assert float(limits.limit_conducted_dbm[0]) == pytest.approx(limit_dbm, abs=0.03)
    assert power_dbm == pytest.approx(set_dbm, abs=0.03)
    assert power_dbm + gain_dbi == pytest.approx(eirp_dbm, abs=0.03)


# id, centre, nominal width, width the density is summed over, expected conducted limit; gain 6 dBi
# [CFR15407] text of 2024-02-06: (a)(2) lesser of 250 mW and 11 dBm + 10 log B; (a)(1) 17 dBm in any MHz
DENSITY = [
    ("unii2-10MHz", 5260.0, 10.0, 10.0, 21.0),
    ("unii2-17.8MHz", 5260.0, 20.0, 17.8, 23.5),
    ("unii1-10MHz", 5180.0, 10.0, 10.0, 27.0),
]


@pytest.mark.parametrize(("name", "centre", "width", "summed", "expected"), DENSITY, ids=[row[0] for row in DENSITY])
def test_density_limits_a_narrow_channel(
    name: str, centre: float, width: float, summed: float, expected: float
) -> None:
    rules = resolve(US, "outdoor", "multipoint_hub", centre, width, True)
    limits = power_limits([rules], 6.0, density_width_mhz=summed)
    assert float(limits.limit_conducted_dbm[0]) == pytest.approx(expected, abs=0.01)
    assert limits.binding[0] == "density"


def _row(region: Region, row_id: str) -> BandRow:
    row = region.row(row_id)
    assert row is not None
    return row


def _mw(level_dbm: float | None) -> float:
    assert level_dbm is not None
    return 10 ** (level_dbm / 10)


# What the text prints: row, figure, expected, tolerance; [CFR15407] text of 2024-02-06 unless the id says 15.247
PRINTED = [
    ("us.unii1.hub", "conducted_mw", 1000.0, 0.0),  # (a)(1)(i)-(ii)
    ("us.unii1.hub", "free_gain", 6.0, 0.0),
    ("us.unii1.hub", "density", 17.0, 0.0),
    ("us.unii1.ptp", "free_gain", 23.0, 0.0),  # (a)(1)(iii)
    ("us.unii1.client", "conducted_mw", 250.0, 0.1),  # (a)(1)(iv)
    ("us.unii1.client", "density", 11.0, 0.0),
    ("us.unii2a", "conducted_mw", 250.0, 0.1),  # (a)(2)
    ("us.unii2a", "density", 11.0, 0.0),
    ("us.unii2a", "free_gain", 6.0, 0.0),
    ("us.unii2c", "conducted_mw", 250.0, 0.1),
    ("us.unii3.multipoint", "conducted_mw", 1000.0, 0.0),  # (a)(3)(i)
    ("us.unii3.multipoint", "density", 30.0, 0.0),
    ("us.unii3.multipoint", "density_khz", 500.0, 0.0),
    ("us.unii3.multipoint", "free_gain", 6.0, 0.0),
    ("us.unii4.hub", "eirp", 36.0, 0.0),  # (a)(3)(ii)
    ("us.unii4.hub", "density", 20.0, 0.0),
    ("us.unii4.client", "eirp", 30.0, 0.0),  # (a)(3)(iii)
    ("us.unii4.client", "density", 14.0, 0.0),
    ("us.6g.standard.low", "eirp", 36.0, 0.0),  # (a)(4)
    ("us.6g.standard.low", "density", 23.0, 0.0),
    ("us.6g.indoor", "eirp", 30.0, 0.0),  # (a)(5)
    ("us.6g.indoor", "density", 5.0, 0.0),
    ("us.24.multipoint", "conducted_mw", 1000.0, 0.0),  # 15.247(b)(3)
    ("us.24.multipoint", "free_gain", 6.0, 0.0),  # 15.247(b)(4)
    ("us.24.ptp", "slope", 1 / 3, 1e-4),  # 15.247(c)(1)(i)
    ("us.24.ptp", "density", 8.0, 0.0),  # 15.247(e)
    ("us.24.ptp", "density_khz", 3.0, 1e-9),
]


@pytest.mark.parametrize(("row_id", "figure", "expected", "tolerance"), PRINTED)
def test_row_says_what_the_text_prints(row_id: str, figure: str, expected: float, tolerance: float) -> None:
    limits = _row(US, row_id).limits
    found = {
        "conducted_mw": lambda: _mw(limits.conducted_dbm),
        "free_gain": lambda: limits.free_gain_dbi,
        "slope": lambda: limits.backoff_db_per_db,
        "eirp": lambda: limits.eirp_dbm,
        "density": lambda: limits.density and limits.density.dbm,
        "density_khz": lambda: limits.density and limits.density.per_mhz * 1000,
    }[figure]()
    assert found == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize("row_id", ["us.unii2a", "us.unii2c"])
def test_radar_duty_matches_the_text(row_id: str) -> None:
    # [CFR15407] text of 2024-02-06, (h)(2)(ii) 60 s, (iii) 10 s, (iv) 30 minutes
    radar = _row(US, row_id).radar
    assert radar is not None
    assert (radar.check_s, radar.move_s, radar.non_occupancy_min) == (60, 10, 30)
    assert radar.longer == ()


@pytest.mark.parametrize("row_id", ["us.unii2a", "us.unii2c"])
def test_without_power_control_the_eirp_stays_below_500_mw(row_id: str) -> None:
    # [CFR15407] text of 2024-02-06, (h)(1): power control is not needed below 500 mW
    eirp_mw = _mw(_row(US, row_id).limits.eirp_without_control_dbm)
    assert 498.0 < eirp_mw < 500.0


@pytest.mark.parametrize(("elevation_deg", "limit_mw"), [(31, 125.0), (60, 125.0), (90, 125.0)])
def test_outdoor_hub_in_the_lowest_band_is_held_to_125_mw_above_30_degrees(
    elevation_deg: float, limit_mw: float
) -> None:
    # [CFR15407] text of 2024-02-06, (a)(1)(i)
    rules = resolve(US, "outdoor", "multipoint_hub", 5180.0, 20.0, True)
    assert rules is not None
    assert 10 ** (float(elevation_limit_dbm(rules, elevation_deg, 36.0)) / 10) == pytest.approx(limit_mw, rel=0.01)


def test_second_station_lowers_a_panel_of_19_dbi_from_49_to_36_dbm() -> None:
    # [CFR15407] text of 2024-02-06, (a)(3)(i): the relief leaves out point-to-multipoint systems
    eirp_dbm = [
        float(
            power_limits(
                [resolve(US, "outdoor", topology_of("access_point", stations), 5785.0, 20.0, True)], 19.0
            ).limit_eirp_dbm[0]
        )
        for stations in (1, 2)
    ]
    assert eirp_dbm == [pytest.approx(49.0, abs=0.01), pytest.approx(36.0, abs=0.01)]


# The public table, [REGDB] 2026.05.30, US: low, high, level. It holds conducted-like or client figures: never above
# what the rows give a client with a 6 dBi antenna, and below it by no more than that gain and rounding.
REGDB_US = [
    (5150.0, 5250.0, 23.0),
    (5250.0, 5350.0, 24.0),
    (5470.0, 5725.0, 24.0),
    (5725.0, 5850.0, 30.0),
    (2400.0, 2472.0, 30.0),
]


@pytest.mark.parametrize(("low", "high", "level_dbm"), REGDB_US)
def test_client_with_6_dbi_lies_within_the_gain_of_the_public_table(low: float, high: float, level_dbm: float) -> None:
    centre = (low + high) / 2
    for width in (20.0, 40.0):
        limits = power_limits([resolve(US, "outdoor", "client", centre, width, False)], 6.0)
        assert level_dbm - 0.05 <= float(limits.limit_eirp_dbm[0]) <= level_dbm + 7.0


# Radios of a first job outdoors, common practice, no source: channel, topology, power, gain
BOATYARD = [
    (157, "point_to_point", 19.0, 16.0),
    (149, "multipoint_hub", 17.0, 19.0),
    (149, "client", 17.0, 16.0),
    (165, "multipoint_hub", 16.0, 20.0),
    (165, "client", 20.0, 16.0),
    (44, "point_to_point", 0.0, 19.0),
    (36, "point_to_point", 10.0, 16.0),
]


@pytest.mark.parametrize(("channel", "topology", "power_dbm", "gain_dbi"), BOATYARD)
def test_planned_power_of_a_first_job_is_legal(
    channel: int, topology: Topology, power_dbm: float, gain_dbi: float
) -> None:
    limits = power_limits([resolve(US, "outdoor", topology, 5000.0 + 5 * channel, 20.0, False)], gain_dbi)
    assert power_dbm <= float(limits.limit_conducted_dbm[0]) + 1e-9
