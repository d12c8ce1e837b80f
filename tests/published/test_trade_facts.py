"""What the trade says about reach and rate, and under which conditions it is true.

All figures are common practice without a source (PRACTICE), worked out anew (D) under the conditions that stand beside
them: two panels of 18 dBi, 20 MHz at 5800 MHz, free space, 15 dB of margin, and the power and sensitivity of one usual
802.11n unit. The words only hold where the region lets the unit send its full power into that gain.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import pytest

from survey_app.physics import airtime, free_space, rates, receiver

GAIN_DBI = 18.0
FREQUENCY_MHZ = 5800.0
MARGIN_DB = 15.0
# By modulation index 0 to 7: total power of both chains, and sensitivity in 20 MHz.
POWER_DBM = np.array([25.0, 25.0, 25.0, 24.0, 24.0, 23.0, 22.0, 21.0])
SENSITIVITY_DBM = np.array([-93.0, -90.0, -87.0, -84.0, -80.0, -77.0, -75.0, -72.0])


class Reach(NamedTuple):
    """How far one modulation carries under one rule for the radiated power."""

    id: str
    eirp_limit_dbm: float
    rule: str
    mcs: int
    expected_km: float


NO_BACK_OFF = (math.inf, "US 5725-5850, one to one: 30 dBm conducted, no back-off for gain")
HUB = (36.0, "US 5725-5850, one to many: 36 dBm EIRP")
EUROPE = (30.0, "EU 5470-5725 with power control: 30 dBm EIRP")

REACHES = (
    Reach("no-back-off-7", *NO_BACK_OFF, 7, 2.06),
    Reach("no-back-off-4", *NO_BACK_OFF, 4, 7.3),
    Reach("no-back-off-2", *NO_BACK_OFF, 2, 18.4),
    Reach("no-back-off-0", *NO_BACK_OFF, 0, 36.7),
    Reach("hub-7", *HUB, 7, 1.46),
    Reach("hub-4", *HUB, 4, 3.67),
    Reach("hub-2", *HUB, 2, 8.2),
    Reach("hub-0", *HUB, 0, 16.4),
    Reach("europe-7", *EUROPE, 7, 0.73),
    Reach("europe-4", *EUROPE, 4, 1.84),
    Reach("europe-2", *EUROPE, 2, 4.1),
    Reach("europe-0", *EUROPE, 0, 8.2),
)


def carried(distance_km: float, eirp_limit_dbm: float) -> float:
    """Highest index that the pair carries at a distance, by the product's own functions."""
    power_dbm = np.minimum(POWER_DBM, eirp_limit_dbm - GAIN_DBI)
    path_gain_db = 2 * GAIN_DBI - free_space.free_space_loss_db(1000 * distance_km, FREQUENCY_MHZ)
    return float(receiver.highest_mcs_by_power(path_gain_db, power_dbm, SENSITIVITY_DBM, MARGIN_DB))


@pytest.mark.parametrize("reach", REACHES, ids=[reach.id for reach in REACHES])
def test_two_panels_reach_as_far_as_the_trade_says(reach: Reach) -> None:
    assert carried(0.98 * reach.expected_km, reach.eirp_limit_dbm) >= reach.mcs
    assert carried(1.02 * reach.expected_km, reach.eirp_limit_dbm) < reach.mcs


@pytest.mark.parametrize("reach", REACHES, ids=[reach.id for reach in REACHES])
def test_reach_by_the_printed_loss_formula_agrees(reach: Reach) -> None:
    """P525, 2019: 32.4478 + 20 log f (MHz) + 20 log d (km), solved for d without the product's functions."""
    power_dbm = min(POWER_DBM[reach.mcs], reach.eirp_limit_dbm - GAIN_DBI)
    loss_db = power_dbm + 2 * GAIN_DBI - SENSITIVITY_DBM[reach.mcs] - MARGIN_DB
    found_km = 10 ** ((loss_db - 32.4478 - 20 * math.log10(FREQUENCY_MHZ)) / 20)
    assert found_km == pytest.approx(reach.expected_km, rel=0.02)


def test_two_seven_and_twenty_kilometres_hold_without_back_off_only() -> None:
    """PRACTICE: full rate about 2 km, one to many some 7 km, one small stream about 20 km: not at 36 or 30 dBm EIRP."""
    assert carried(2.0, math.inf) == 7
    assert carried(7.0, math.inf) >= 4
    assert carried(18.0, math.inf) >= 2
    for eirp_limit_dbm in (36.0, 30.0):
        assert carried(2.0, eirp_limit_dbm) < 7
        assert carried(7.0, eirp_limit_dbm) < 4
        assert carried(18.0, eirp_limit_dbm) < 2
    assert carried(20.0, 30.0) == receiver.NO_MCS


@pytest.mark.parametrize("mode", rates.MODES)
@pytest.mark.parametrize("width_mhz", [20, 40, 80])
def test_two_streams_carry_exactly_twice_one(mode: str, width_mhz: int) -> None:
    """PRACTICE, and D from the formula of IEEE80211, 2020."""
    one, two = (rates.rate_table_mbps(mode, width_mhz, streams) for streams in (1, 2))
    np.testing.assert_array_equal(two, 2 * one)


def test_about_half_of_the_link_rate_is_usable_and_half_of_that_each_way() -> None:
    """PRACTICE: one camera hop at 130 Mbit/s carries some 65, or some 32 each way at the same time."""
    rate = rates.phy_rate_mbps("n", 20, 7, 2)
    limit = airtime.planning_limit_fraction("contention", 1)
    one_way = float(airtime.equal_rate_mbps([float(rate)], limit))
    assert one_way == pytest.approx(0.5 * float(rate), rel=0.15)
    # The same load in each direction: both use the one channel.
    both = float(airtime.equal_rate_mbps([float(rate), float(rate)], limit))
    assert both == pytest.approx(one_way / 2, rel=1e-12)


def test_each_demo_load_in_both_directions_doubles_the_air() -> None:
    """PRACTICE: half duplex, so that each way gets half of one-way."""
    assert float(airtime.airtime_used_fraction([30, 30], [130, 130])) == pytest.approx(
        2 * float(airtime.airtime_used_fraction([30], [130])), rel=1e-12
    )
