"""Channel numbers, groups, masks and rejection against the standard's raster and independent integration."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from survey_app.spectrum import (
    STANDARD_CHANNELS,
    acir_db,
    centre_mhz,
    channel_of,
    leakage_ratio_db,
    load_regions,
    members,
    overlap_fraction,
    span_mhz,
    transmit_mask_dbr,
)

# Channel, width, centre, lower edge, upper edge; [IEEE80211] 2020 Annex E
RASTER = [
    (36, 20, 5180, 5170, 5190),
    (40, 20, 5200, 5190, 5210),
    (44, 20, 5220, 5210, 5230),
    (48, 20, 5240, 5230, 5250),
    (52, 20, 5260, 5250, 5270),
    (64, 20, 5320, 5310, 5330),
    (100, 20, 5500, 5490, 5510),
    (116, 20, 5580, 5570, 5590),
    (120, 20, 5600, 5590, 5610),
    (128, 20, 5640, 5630, 5650),
    (132, 20, 5660, 5650, 5670),
    (140, 20, 5700, 5690, 5710),
    (144, 20, 5720, 5710, 5730),
    (149, 20, 5745, 5735, 5755),
    (157, 20, 5785, 5775, 5795),
    (165, 20, 5825, 5815, 5835),
    (169, 20, 5845, 5835, 5855),
    (173, 20, 5865, 5855, 5875),
    (177, 20, 5885, 5875, 5895),
    (38, 40, 5190, 5170, 5210),
    (46, 40, 5230, 5210, 5250),
    (54, 40, 5270, 5250, 5290),
    (62, 40, 5310, 5290, 5330),
    (102, 40, 5510, 5490, 5530),
    (110, 40, 5550, 5530, 5570),
    (118, 40, 5590, 5570, 5610),
    (126, 40, 5630, 5610, 5650),
    (134, 40, 5670, 5650, 5690),
    (142, 40, 5710, 5690, 5730),
    (151, 40, 5755, 5735, 5775),
    (159, 40, 5795, 5775, 5815),
    (167, 40, 5835, 5815, 5855),
    (175, 40, 5875, 5855, 5895),
    (42, 80, 5210, 5170, 5250),
    (58, 80, 5290, 5250, 5330),
    (106, 80, 5530, 5490, 5570),
    (122, 80, 5610, 5570, 5650),
    (138, 80, 5690, 5650, 5730),
    (155, 80, 5775, 5735, 5815),
    (171, 80, 5855, 5815, 5895),
    (1, 20, 2412, 2402, 2422),
    (6, 20, 2437, 2427, 2447),
    (11, 20, 2462, 2452, 2472),
    (13, 20, 2472, 2462, 2482),
]


@pytest.mark.parametrize(("channel", "width", "centre", "low", "high"), RASTER)
def test_channel_lies_where_the_raster_has_it(channel: int, width: int, centre: int, low: int, high: int) -> None:
    found = float(centre_mhz(channel))
    assert found == centre
    assert [float(edge) for edge in span_mhz(found, width)] == [low, high]
    assert channel_of(found) == channel


# Wide channel by its lowest 20 MHz member; [HOSTAPD] 2.10, hw_features_common.c and dfs.c
LOWEST_OF_40 = [36, 44, 52, 60, 100, 108, 116, 124, 132, 140, 149, 157, 165, 173]
LOWEST_OF_80 = [36, 52, 100, 116, 132, 149, 165]


@pytest.mark.parametrize(
    ("width", "number", "lowest"),
    [
        *((40, number, lowest) for number, lowest in zip(STANDARD_CHANNELS[40], LOWEST_OF_40, strict=True)),
        *((80, number, lowest) for number, lowest in zip(STANDARD_CHANNELS[80], LOWEST_OF_80, strict=True)),
    ],
)
def test_wide_channel_starts_at_the_member_that_other_programs_name(width: int, number: int, lowest: int) -> None:
    assert members(number, width)[0] == lowest
    assert len(members(number, width)) == width // 20


@pytest.mark.parametrize(
    ("number", "width", "inside"),
    [
        (38, 40, (36, 40)),
        (102, 40, (100, 104)),
        (142, 40, (140, 144)),
        (42, 80, (36, 40, 44, 48)),
        (122, 80, (116, 120, 124, 128)),
        (155, 80, (149, 153, 157, 161)),
        (50, 160, (36, 40, 44, 48, 52, 56, 60, 64)),
    ],
)
def test_members_of_a_wide_channel_match(number: int, width: int, inside: tuple[int, ...]) -> None:
    assert members(number, width) == inside  # [HOSTAPD] 2.10; [IEEE80211] 2020 Annex E


# Channels that fit a band: region, row, width, numbers; [REGDB] 2026.05.30 for the edges, [IEEE80211] 2020 Annex E for
# the raster
OFFERED = [
    ("EU", "eu.5470", 20, (100, 104, 108, 112, 116, 120, 124, 128, 132, 136, 140)),
    ("EU", "eu.5470", 40, (102, 110, 118, 126, 134)),
    ("UK", "uk.5470", 80, (106, 122, 138)),
    ("US", "us.unii3.ptp", 20, (149, 153, 157, 161, 165)),
    ("AU", "au.5470", 20, (100, 104, 108, 112, 116)),
    ("AU", "au.5650", 40, (134, 142)),
]


@pytest.mark.parametrize(("region", "row_id", "width", "numbers"), OFFERED)
def test_region_offers_the_channels_of_its_band(region: str, row_id: str, width: int, numbers: tuple[int, ...]) -> None:
    row = load_regions().find(region).row(row_id)
    assert row is not None
    assert next(part.channels for part in row.channels if part.width_mhz == width) == numbers


# offset, width, mode, level; [IEEE80211] 2020 19.3.18.1 and 21.3.17.1, ax 27.3.19.1, from memory
MASK = [
    (9, 20, "n", 0.0),
    (11, 20, "n", -20.0),
    (20, 20, "n", -28.0),
    (30, 20, "n", -40.0),
    (19, 40, "ac", 0.0),
    (21, 40, "ac", -20.0),
    (40, 40, "ac", -28.0),
    (60, 40, "ac", -40.0),
    (39, 80, "ac", 0.0),
    (41, 80, "ac", -20.0),
    (80, 80, "ac", -28.0),
    (120, 80, "ac", -40.0),
    (9.75, 20, "ax", 0.0),
    (10.5, 20, "ax", -20.0),
    (20.5, 40, "ax", -20.0),
    (40.5, 80, "ax", -20.0),
]


@pytest.mark.parametrize(("offset", "width", "mode", "level"), MASK)
def test_mask_stands_at_its_breakpoints(offset: float, width: float, mode: str, level: float) -> None:
    assert float(transmit_mask_dbr(offset, width, mode)) == pytest.approx(level, abs=1e-9)  # type: ignore[arg-type]


# Sender, victim, offset, leakage ratio: the mask of [IEEE80211] 2020 integrated, derived outside this program
LEAKAGE = [
    (20, 20, 20, 23.5),
    (20, 20, 40, 39.8),
    (20, 20, 60, 39.8),
    (40, 40, 40, 24.6),
    (40, 40, 80, 39.9),
    (80, 80, 80, 25.2),
    (80, 80, 160, 40.0),
    (20, 40, 30, 23.4),
    (20, 40, 50, 36.8),
    (40, 20, 30, 24.9),
    (40, 20, 50, 35.6),
    (40, 20, 70, 42.9),
    (80, 20, 50, 26.8),
    (80, 20, 70, 31.8),
    (80, 20, 90, 36.6),
    (80, 40, 60, 25.6),
    (80, 40, 100, 35.7),
]


@pytest.mark.parametrize(("tx", "victim", "offset", "ratio_db"), LEAKAGE)
def test_leakage_ratio_matches(tx: float, victim: float, offset: float, ratio_db: float) -> None:
    assert float(leakage_ratio_db(offset, tx, victim)) == pytest.approx(ratio_db, abs=0.15)


@pytest.mark.parametrize("mode", ["n", "ax"])
@pytest.mark.parametrize("tx", [20.0, 40.0, 80.0])
def test_leakage_ratio_agrees_with_numerical_integration(mode: str, tx: float) -> None:
    # An independent library integrates the mask point by point; the program does it in closed form.
    def density(offset: float) -> float:
        return float(10 ** (transmit_mask_dbr(offset, tx, mode) / 10))  # type: ignore[arg-type]

    breaks = [tx / 2 - 1, tx / 2 - 0.5, tx / 2 - 0.25, tx / 2 + 0.5, tx / 2 + 1, tx, 1.5 * tx]
    whole = 2 * quad(density, 0, 1.5 * tx, points=breaks[:-1], limit=200)[0]
    for victim, offset in [(20.0, 0.0), (20.0, 15.0), (40.0, tx), (20.0, 2.5 * tx), (80.0, 1.2 * tx + 40.0)]:
        low, high = offset - victim / 2, offset + victim / 2
        inner = [side * point for point in breaks for side in (-1, 1) if low < side * point < high]
        into = quad(density, low, high, points=inner or None, limit=200)[0]
        expected = max(0.0, 10 * np.log10(whole / into))
        assert float(leakage_ratio_db(offset, tx, victim, mode)) == pytest.approx(expected, abs=1e-4)  # type: ignore[arg-type]


# Adjacent and alternate channel rejection of the receiver test and minimum sensitivity at 20 MHz, [IEEE80211] 2020
# (columns from memory): rate index, rejection, alternate rejection, sensitivity
RECEIVER_TEST = [
    (0, 16, 32, -82),
    (1, 13, 29, -79),
    (2, 11, 27, -77),
    (3, 8, 24, -74),
    (4, 4, 20, -70),
    (5, 0, 16, -66),
    (6, -1, 15, -65),
    (7, -2, 14, -64),
    (8, -7, 9, -59),
    (9, -9, 7, -57),
]


@pytest.mark.parametrize(("rate", "adjacent", "alternate", "sensitivity"), RECEIVER_TEST)
def test_default_rejection_is_what_the_receiver_test_asks(
    rate: int, adjacent: int, alternate: int, sensitivity: int
) -> None:
    # Wanted signal 3 dB above sensitivity, so that the leak equals the noise (noise figure 10 dB, margin 5 dB).
    noise_dbm = -173.975 + 10 * np.log10(20e6) + 10 + 5
    asked = [sensitivity + 3 + rejection - noise_dbm for rejection in (adjacent, alternate)]
    assert [float(x) for x in acir_db([20, 40], 20, 20)] == pytest.approx(asked, abs=0.1)


def test_leak_of_the_neighbour_on_a_chain_pole_matches_the_hand_computed_one() -> None:
    # Common practice, no source: -45 dBm raw is -68 dBm in the adjacent channel and -100 dBm four widths off.
    assert [-45.0 - float(x) for x in acir_db([20, 80], 20, 20)] == [-68.0, -100.0]


@pytest.mark.parametrize(
    ("f1", "b1", "f2", "b2", "fraction"),
    [
        (5500, 20, 5500, 20, 1.0),
        (5500, 20, 5510, 20, 0.5),
        (5500, 20, 5520, 20, 0.0),
        (5510, 40, 5500, 20, 0.5),
        (5500, 20, 5510, 40, 1.0),
        (5530, 80, 5500, 20, 0.25),
    ],
)
def test_overlap_matches_the_flat_spectrum(f1: float, b1: float, f2: float, b2: float, fraction: float) -> None:
    assert float(overlap_fraction(f1, b1, f2, b2)) == pytest.approx(fraction)  # common practice, no source
