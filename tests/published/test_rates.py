"""Rates, receivers and noise against the outside world.

Each row says where its expectation comes from:

* P: printed in the source, or in a copy of its text that is named
* D: worked out by hand from the source's formula
* M: from memory, to be verified before anyone relies on it
* C: common practice, no source
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pytest

from survey_app.physics import noise, rates, receiver


class Table(NamedTuple):
    """One printed table of rates by modulation index; None where the table says that there is none."""

    id: str
    mode: str
    width_mhz: int
    streams: int
    guard_interval_us: float
    expected_mbps: tuple[float | None, ...]
    tolerance_mbps: float
    source: str
    place: str
    mark: str


NO = None
# The printed tables round to 0.1 Mbit/s.
ROUNDED = 0.06
N20_LONG = (6.5, 13.0, 19.5, 26.0, 39.0, 52.0, 58.5, 65.0)
N20_SHORT = (7.2, 14.4, 21.7, 28.9, 43.3, 57.8, 65.0, 72.2)
N40_LONG = (13.5, 27.0, 40.5, 54.0, 81.0, 108.0, 121.5, 135.0)
N40_SHORT = (15.0, 30.0, 45.0, 60.0, 90.0, 120.0, 135.0, 150.0)
AC80_LONG = (29.3, 58.5, 87.8, 117.0, 175.5, 234.0, 263.3, 292.5, 351.0, 390.0)
AC80_SHORT = (32.5, 65.0, 97.5, 130.0, 195.0, 260.0, 292.5, 325.0, 390.0, 433.3)
AX20 = {
    0.8: (8.6, 17.2, 25.8, 34.4, 51.6, 68.8, 77.4, 86.0, 103.2, 114.7, 129.0, 143.4),
    1.6: (8.1, 16.3, 24.4, 32.5, 48.8, 65.0, 73.1, 81.3, 97.5, 108.3, 121.9, 135.4),
    3.2: (7.3, 14.6, 21.9, 29.3, 43.9, 58.5, 65.8, 73.1, 87.8, 97.5, 109.7, 121.9),
}
AX40 = {
    0.8: (17.2, 34.4, 51.6, 68.8, 103.2, 137.6, 154.9, 172.1, 206.5, 229.4, 258.1, 286.8),
    1.6: (16.3, 32.5, 48.8, 65.0, 97.5, 130.0, 146.3, 162.5, 195.0, 216.7, 243.8, 270.8),
    3.2: (14.6, 29.3, 43.9, 58.5, 87.8, 117.0, 131.6, 146.3, 175.5, 195.0, 219.4, 243.8),
}
AX80 = {
    0.8: (36.0, 72.1, 108.1, 144.1, 216.2, 288.2, 324.3, 360.3, 432.4, 480.4, 540.4, 600.5),
    1.6: (34.0, 68.1, 102.1, 136.1, 204.2, 272.2, 306.3, 340.3, 408.3, 453.7, 510.4, 567.1),
    3.2: (30.6, 61.3, 91.9, 122.5, 183.8, 245.0, 275.6, 306.3, 367.5, 408.3, 459.4, 510.4),
}


def _n(id_: str, width: int, streams: int, guard: float, expected: tuple[float | None, ...]) -> Table:
    return Table(id_, "n", width, streams, guard, expected, ROUNDED, "IEEE80211", "2020, 19.5, seen in copies", "P")


def _ac(id_: str, width: int, streams: int, guard: float, expected: tuple[float | None, ...]) -> Table:
    # Two and three streams are printed as the rounded rate times the streams.
    tolerance = ROUNDED * streams
    return Table(id_, "ac", width, streams, guard, expected, tolerance, "IEEE80211", "2020, 21.5, seen in a copy", "P")


def _ax(id_: str, width: int, streams: int, guard: float, expected: tuple[float | None, ...]) -> Table:
    return Table(id_, "ax", width, streams, guard, expected, 0.1, "IEEE80211", "802.11ax-2021, 27.5, with MEMORY", "M")


RATE_TABLES = (
    _n("n-20-long", 20, 1, 0.8, N20_LONG),
    _n("n-20-short", 20, 1, 0.4, N20_SHORT),
    _n("n-40-long", 40, 1, 0.8, N40_LONG),
    _n("n-40-short", 40, 1, 0.4, N40_SHORT),
    _n("n-20-two-long", 20, 2, 0.8, (13.0, 26.0, 39.0, 52.0, 78.0, 104.0, 117.0, 130.0)),
    _n("n-20-two-short", 20, 2, 0.4, (14.4, 28.9, 43.3, 57.8, 86.7, 115.6, 130.0, 144.4)),
    _n("n-40-two-long", 40, 2, 0.8, (27.0, 54.0, 81.0, 108.0, 162.0, 216.0, 243.0, 270.0)),
    _n("n-40-two-short", 40, 2, 0.4, (30.0, 60.0, 90.0, 120.0, 180.0, 240.0, 270.0, 300.0)),
    _ac("ac-20-long", 20, 1, 0.8, (*N20_LONG, 78.0, NO)),
    _ac("ac-20-short", 20, 1, 0.4, (*N20_SHORT, 86.7, NO)),
    _ac("ac-40-long", 40, 1, 0.8, (*N40_LONG, 162.0, 180.0)),
    _ac("ac-40-short", 40, 1, 0.4, (*N40_SHORT, 180.0, 200.0)),
    _ac("ac-80-long", 80, 1, 0.8, AC80_LONG),
    _ac("ac-80-short", 80, 1, 0.4, AC80_SHORT),
    _ac("ac-20-two-long", 20, 2, 0.8, (13.0, 26.0, 39.0, 52.0, 78.0, 104.0, 117.0, 130.0, 156.0, NO)),
    _ac("ac-20-two-short", 20, 2, 0.4, (14.4, 28.8, 43.4, 57.8, 86.6, 115.6, 130.0, 144.4, 173.4, NO)),
    _ac("ac-40-two-long", 40, 2, 0.8, (27.0, 54.0, 81.0, 108.0, 162.0, 216.0, 243.0, 270.0, 324.0, 360.0)),
    _ac("ac-40-two-short", 40, 2, 0.4, (30.0, 60.0, 90.0, 120.0, 180.0, 240.0, 270.0, 300.0, 360.0, 400.0)),
    _ac("ac-80-two-long", 80, 2, 0.8, (58.6, 117.0, 175.6, 234.0, 351.0, 468.0, 526.6, 585.0, 702.0, 780.0)),
    _ac("ac-80-two-short", 80, 2, 0.4, (65.0, 130.0, 195.0, 260.0, 390.0, 520.0, 585.0, 650.0, 780.0, 866.6)),
    _ac("ac-80-three-long", 80, 3, 0.8, (87.9, 175.5, 263.4, 351.0, 526.5, 702.0, NO, 877.5, 1053.0, 1170.0)),
    *(_ax(f"ax-20-{guard}", 20, 1, guard, table) for guard, table in AX20.items()),
    *(_ax(f"ax-40-{guard}", 40, 1, guard, table) for guard, table in AX40.items()),
    *(_ax(f"ax-80-{guard}", 80, 1, guard, table) for guard, table in AX80.items()),
)


@pytest.mark.parametrize("table", RATE_TABLES, ids=[table.id for table in RATE_TABLES])
def test_rate_table_of_a_mode_matches_the_printed_one(table: Table) -> None:
    found = rates.rate_table_mbps(table.mode, table.width_mhz, table.streams, table.guard_interval_us)
    expected = np.array([np.nan if rate is None else rate for rate in table.expected_mbps])
    np.testing.assert_allclose(found, expected, rtol=0, atol=table.tolerance_mbps)


@pytest.mark.parametrize(
    ("mode", "width_mhz", "expected"),
    [
        ("n", 20, (26, 52, 78, 104, 156, 208, 234, 260)),
        ("n", 40, (54, 108, 162, 216, 324, 432, 486, 540)),
        ("ac", 40, (54, 108, 162, 216, 324, 432, 486, 540, 648, 720)),
        ("ac", 80, (117, 234, 351, 468, 702, 936, 1053, 1170, 1404, 1560)),
    ],
)
def test_data_bits_of_a_symbol_match_the_table_in_kernel_source(mode: str, width_mhz: int, expected: tuple) -> None:
    """P: MAC80211, net/mac80211/airtime.c, macros MCS_GROUP and VHT_GROUP."""
    found = rates.data_bits_per_symbol(mode, width_mhz, np.arange(len(expected)), 1)
    np.testing.assert_array_equal(found, expected)


def test_data_bits_of_legacy_rates_match_the_standard() -> None:
    """D: IEEE80211, 2020, 17.3.2.3: rate times 4 us."""
    assert rates.LEGACY_BITS_PER_SYMBOL == (24, 36, 48, 72, 96, 144, 192, 216)
    assert [4 * rate for rate in rates.LEGACY_RATES_MBPS] == list(rates.LEGACY_BITS_PER_SYMBOL)


def test_old_encryption_leaves_the_legacy_rates() -> None:
    """P: IEEE80211N, 2009, 8.1.5, quoted; HOSTAPD, 2.10, ap_config.c."""
    assert float(rates.capped_rate_mbps(300, True)) == 54.0
    assert float(rates.capped_rate_mbps(300, False)) == 300.0


# ---- receivers


SENSITIVITY_DBM = {  # P: RUACCESS, consolidated 6 July 2020, table of receiver sensitivity, after IEEE80211
    20: (-82, -79, -77, -74, -70, -66, -65, -64, -59, -57, -54, -52),
    40: (-79, -76, -74, -71, -67, -63, -62, -61, -56, -54, -51, -49),
    80: (-76, -73, -71, -68, -64, -60, -59, -58, -53, -51, -48, -46),
    160: (-73, -70, -68, -65, -61, -57, -56, -55, -50, -48, -45, -43),
}


@pytest.mark.parametrize("width_mhz", SENSITIVITY_DBM)
def test_standard_sensitivity_matches_the_printed_table(width_mhz: int) -> None:
    found = receiver.standard_sensitivity_dbm(np.arange(12), width_mhz)
    np.testing.assert_array_equal(found, SENSITIVITY_DBM[width_mhz])


@pytest.mark.parametrize(
    ("mcs", "expected_db"),
    list(enumerate((4, 7, 9, 12, 16, 20, 21, 22, 27, 29, 32, 34))),
)
def test_signal_over_noise_of_the_standard(mcs: int, expected_db: float) -> None:
    """D: sensitivity + 174 - 10 log 20e6 - 10 - 5, IEEE80211A, 1999, 17.3.10 (figures from MEMORY)."""
    assert float(receiver.standard_snr_db(mcs)) == pytest.approx(expected_db, abs=0.1)


def test_rejection_tables_as_remembered() -> None:
    """M: IEEE80211, 2020, tables 19-23 and 21-26; IEEE80211, 27.3.20.3. First and seventh entry seen printed."""
    assert receiver.ADJACENT_REJECTION_DB == (16, 13, 11, 8, 4, 0, -1, -2, -7, -9, -12, -14)
    assert receiver.ALTERNATE_REJECTION_DB == (32, 29, 27, 24, 20, 16, 15, 14, 9, 7, 4, 2)
    assert receiver.LEGACY_ADJACENT_REJECTION_DB == (16, 15, 13, 11, 8, 4, 0, -1)


@pytest.mark.parametrize(
    ("rejection_db", "expected_db"),
    [(receiver.ADJACENT_REJECTION_DB, 23.0), (receiver.ALTERNATE_REJECTION_DB, 39.0)],
)
def test_isolation_behind_the_rejection_tests_is_the_same_for_all_modulations(
    rejection_db: tuple[int, ...], expected_db: float
) -> None:
    """D: interference equals noise 3 dB above sensitivity; two independent columns must agree in all twelve rows."""
    found = receiver.adjacent_channel_isolation_db(rejection_db, receiver.standard_snr_db(np.arange(12)))
    np.testing.assert_allclose(found, expected_db, atol=0.1)


def test_sensitivity_of_legacy_rates_matches_a_printed_data_sheet() -> None:
    """P: IEEE80211, 2020, 17.3.10.2, as printed in public data sheets of 802.11g units, 6 to 54 Mbit/s."""
    assert receiver.LEGACY_SENSITIVITY_DBM == (-82, -81, -79, -77, -74, -70, -66, -65)


def test_strongest_input_matches_the_printed_requirement() -> None:
    """P: RUACCESS, consolidated 6 July 2020: not less than -30 dBm at 5 and 6 GHz, -20 dBm at 2.4 GHz."""
    assert receiver.MAX_INPUT_5_GHZ_DBM == -30.0
    assert receiver.MAX_INPUT_2_GHZ_DBM == -20.0


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("PRACTICE_SNR_DB", (2, 5, 9, 11, 15, 18, 20, 25, 29, 31, 34, 36)),  # C
        ("TRANSMIT_EVM_DB", (-5, -10, -13, -16, -19, -22, -25, -27, -30, -32, -35, -35)),  # M
    ],
)
def test_tables_of_practice_and_memory(name: str, expected: tuple[int, ...]) -> None:
    assert getattr(receiver, name) == expected


@pytest.mark.parametrize(("width_mhz", "expected_dbm"), [(20, -100.965), (40, -97.955), (80, -94.944)])
def test_thermal_noise_matches_hand_computation(width_mhz: float, expected_dbm: float) -> None:
    """D: -173.975 dBm/Hz at 290 K and the width; SI, 2019."""
    assert float(noise.thermal_noise_dbm(width_mhz)) == pytest.approx(expected_dbm, abs=0.001)


@pytest.mark.parametrize(
    ("interference_dbm", "expected_db"),
    [
        pytest.param(-65.3, 30.0, id="adjacent"),
        pytest.param(-81.3, 14.0, id="alternate"),
    ],
)
def test_two_panels_back_to_back_deafen_each_other(interference_dbm: float, expected_db: float) -> None:
    """D: 27 dBm, 19 dBi, 30 dB front to back, 1 m at 5.5 GHz: leak 23 and 39 dB below -42.3 dBm; noise -95 dBm."""
    assert float(noise.interference_rise_db(-95.0, interference_dbm)) == pytest.approx(expected_db, abs=0.35)
