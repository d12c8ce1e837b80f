"""Frames, efficiency, contention, shared air and latency against the outside world.

Each row says where its expectation comes from:

* P: printed in the source, or in a copy of its text that is named
* D: worked out by hand from the source's formula
* M: from memory, to be verified before anyone relies on it
* C: common practice, no source

The contention model is also held against a root finder and against a simulation that draws every back-off.
"""

from __future__ import annotations

import random

import numpy as np
import pytest

from survey_app.physics import airtime, contention, efficiency, frames, latency


def close(value: object, expected: float, tolerance: float) -> bool:
    return float(value) == pytest.approx(expected, abs=tolerance)  # type: ignore[arg-type]


# ---- frames


def test_timing_constants_as_in_the_standard() -> None:
    """M: IEEE80211, 2020 (5 GHz); the pause of 16 us also P: MAC80211, airtime.c."""
    assert (frames.SIFS_US, frames.SLOT_US, frames.LONGEST_FRAME_US) == (16.0, 9.0, 5484.0)
    assert frames.MAX_AGGREGATE_OCTETS == {"n": 65_535, "ac": 1_048_575, "ax": 1_048_575}
    assert frames.BLOCK_ACK_WINDOW == {"n": 64, "ac": 64, "ax": 256}
    assert contention.SMALLEST_WINDOW == 15
    # Six doublings of 16 slots end at 1024, the largest window of 1023 and one.
    assert (contention.SMALLEST_WINDOW + 1) * 2**contention.BACKOFF_STAGES == 1024


@pytest.mark.parametrize(
    ("mode", "streams", "expected_us"),
    [("n", 1, 36.0), ("n", 2, 40.0), ("ac", 1, 40.0), ("ac", 2, 44.0), ("ax", 1, 43.2), ("ax", 2, 50.4)],
)
def test_preamble_matches_the_fields_added_by_hand(mode: str, streams: int, expected_us: float) -> None:
    """D: IEEE80211, 2020, 19.3.2 and 21.3.2, and 802.11ax-2021, 27.3.4: 8 + 8 + 4 legacy and the mode's own fields."""
    assert close(frames.preamble_us(mode, streams, 0.8), expected_us, 1e-9)


@pytest.mark.parametrize(("octets", "expected_us"), [(14, 28.0), (32, 32.0)])
def test_answers_at_24_mbps_take_their_known_time(octets: int, expected_us: float) -> None:
    """D: IEEE80211, 2020, 17.4.3; 28 us for an acknowledgement is the commonly printed figure."""
    assert close(frames.control_frame_us(octets), expected_us, 0)


def test_frame_of_a_full_packet_is_1554_octets() -> None:
    """D: 1472 + 8 (RFC 768) + 20 (RFC 791) + 8 + 26 + 16 + 4 (IEEE80211, 2020, 9.2.4 and 12.5.3), padded to 1560."""
    assert close(frames.frame_octets(1472), 1554, 0)
    assert close(frames.subframe_octets(1554), 1560, 0)


@pytest.mark.parametrize(("distance_m", "expected"), [(0, 0), (100, 1), (450, 1), (451, 2), (1000, 3), (5000, 12)])
def test_coverage_class_matches_the_tool_that_sets_it(distance_m: float, expected: int) -> None:
    """P: IW, 5.19, phy.c: (d + 449) / 450 in whole numbers, citing IEEE Std 802.11-2007, table 7-27."""
    assert close(frames.coverage_class(distance_m), expected, 0)
    assert expected == (distance_m + 449) // 450


def test_coverage_class_is_three_microseconds_for_450_m_and_back() -> None:
    """P: IW, 5.19: 450 m a class; 450 m there and back take 3.0 us."""
    assert frames.COVERAGE_CLASS_US == 3.0
    assert close(2 * frames.propagation_us(frames.COVERAGE_CLASS_M), 3.0, 0.01)


def test_signal_takes_3_3_microseconds_a_kilometre() -> None:
    """D: SI, 2019: 1 / 299 792.458 km/s."""
    assert close(frames.propagation_us(1000), 3.3356, 0.0001)


def test_longest_aggregate_at_52_mbps_is_22_frames() -> None:
    """D: 5.484 ms at 52 Mbit/s hold 35 500 octets; IEEE80211, 2020 (limit from MEMORY)."""
    assert close(frames.longest_aggregate("n", 20, 3, 2), 22, 0)


def test_longest_aggregate_at_full_rate_is_42_frames() -> None:
    """D: 65 535 / 1560; IEEE80211, 2020 (limit from MEMORY)."""
    assert close(frames.longest_aggregate("n", 20, 7, 2), 42, 0)
    assert close(frames.longest_aggregate("ac", 80, 9, 2, 0.4), 64, 0)


# ---- exchange and efficiency

# D: IEEE80211: best effort, one sender, two streams, 1472 octets, no loss.
# mode, width MHz, index, guard us, frames, exchange us, goodput Mbit/s, efficiency
EXCHANGES = [
    ("n", 40, 7, 0.4, 1, 237.7, 49.5, 0.165),
    ("n", 40, 7, 0.4, 8, 533.3, 176.7, 0.589),
    ("n", 40, 7, 0.4, 16, 864.5, 217.9, 0.726),
    ("n", 40, 7, 0.4, 32, 1530.5, 246.2, 0.821),
    ("n", 40, 7, 0.4, 42, 1948.1, 253.9, 0.846),
    ("n", 20, 7, 0.8, 1, 290.5, 40.5, 0.312),
    ("n", 20, 7, 0.8, 8, 970.5, 97.1, 0.747),
    ("n", 20, 7, 0.8, 16, 1738.5, 108.4, 0.834),
    ("n", 20, 7, 0.8, 32, 3274.5, 115.1, 0.885),
    ("n", 20, 7, 0.8, 42, 4234.5, 116.8, 0.898),
    ("n", 20, 3, 0.8, 1, 434.5, 27.1, 0.521),
    ("n", 20, 3, 0.8, 8, 2122.5, 44.4, 0.854),
    ("n", 20, 3, 0.8, 16, 4042.5, 46.6, 0.896),
    ("ac", 40, 8, 0.4, 8, 483.3, 194.9, 0.541),
    ("ac", 40, 8, 0.4, 16, 760.5, 247.8, 0.688),
    ("ac", 40, 8, 0.4, 32, 1314.9, 286.6, 0.796),
    ("ac", 40, 8, 0.4, 42, 1660.5, 297.9, 0.827),
    ("ac", 40, 8, 0.4, 64, 2423.7, 311.0, 0.864),
    ("ac", 80, 9, 0.4, 8, 321.3, 293.2, 0.338),
    ("ac", 80, 9, 0.4, 16, 436.5, 431.7, 0.498),
    ("ac", 80, 9, 0.4, 32, 666.9, 565.1, 0.652),
    ("ac", 80, 9, 0.4, 42, 810.9, 609.9, 0.704),
    ("ac", 80, 9, 0.4, 64, 1127.7, 668.3, 0.771),
    ("ax", 40, 7, 0.8, 8, 508.1, 185.4, 0.539),
    ("ax", 40, 7, 0.8, 16, 793.7, 237.4, 0.690),
    ("ax", 40, 7, 0.8, 32, 1378.5, 273.4, 0.794),
    ("ax", 40, 7, 0.8, 42, 1745.7, 283.3, 0.823),
    ("ax", 40, 7, 0.8, 64, 2534.5, 297.4, 0.864),
    ("ax", 80, 11, 0.8, 8, 304.1, 309.8, 0.258),
    ("ax", 80, 11, 0.8, 16, 385.7, 488.5, 0.407),
    ("ax", 80, 11, 0.8, 32, 548.9, 686.5, 0.572),
    ("ax", 80, 11, 0.8, 42, 657.7, 752.0, 0.626),
    ("ax", 80, 11, 0.8, 64, 875.3, 861.0, 0.717),
]


@pytest.mark.parametrize(
    ("mode", "width", "mcs", "guard", "count", "exchange_us", "goodput_mbps", "fraction"),
    EXCHANGES,
    ids=[f"{row[0]}-{row[1]}-mcs{row[2]}-k{row[4]}" for row in EXCHANGES],
)
def test_exchange_matches_hand_computation(
    mode: str,
    width: int,
    mcs: int,
    guard: float,
    count: int,
    exchange_us: float,
    goodput_mbps: float,
    fraction: float,
) -> None:
    assert close(efficiency.exchange_us(mode, width, mcs, 2, guard, count), exchange_us, 0.1)
    assert close(efficiency.goodput_mbps(mode, width, mcs, 2, guard, count), goodput_mbps, 0.1)
    assert close(efficiency.exchange_efficiency(mode, width, mcs, 2, guard, count), fraction, 0.0006)


# D: as above, 802.11n at 300 Mbit/s in 40 MHz, coverage class and signal time of the distance.
# frames, distance m, exchange us, efficiency
DISTANCES = [
    (1, 0, 237.7, 0.165),
    (8, 0, 533.3, 0.589),
    (32, 0, 1530.5, 0.821),
    (1, 300, 271.2, 0.145),
    (8, 300, 566.8, 0.554),
    (32, 300, 1564.0, 0.803),
    (1, 450, 272.2, 0.144),
    (8, 450, 567.8, 0.553),
    (32, 450, 1565.0, 0.803),
    (1, 1000, 338.9, 0.116),
    (8, 1000, 634.5, 0.495),
    (32, 1000, 1631.7, 0.770),
    (1, 2000, 408.5, 0.096),
    (8, 2000, 704.1, 0.446),
    (32, 2000, 1701.3, 0.738),
    (1, 5000, 649.1, 0.060),
    (8, 5000, 944.7, 0.332),
    (32, 5000, 1941.9, 0.647),
    (1, 10000, 1028.9, 0.038),
    (8, 10000, 1324.5, 0.237),
    (32, 10000, 2321.7, 0.541),
]


@pytest.mark.parametrize(("count", "distance_m", "exchange_us", "fraction"), DISTANCES)
def test_distance_lengthens_an_exchange_as_computed_by_hand(
    count: int, distance_m: float, exchange_us: float, fraction: float
) -> None:
    assert close(efficiency.exchange_us("n", 40, 7, 2, 0.4, count, distance_m), exchange_us, 0.1)
    assert close(efficiency.exchange_efficiency("n", 40, 7, 2, 0.4, count, distance_m), fraction, 0.0006)


# D: poll 24 octets + aggregate + answer + frame back + answer + 20 us + 5 x 16 us + 3 ways there and back over 0.5 km.
# mode, width MHz, index, guard us, frames, cycle us, efficiency
POLLS = [
    ("n", 40, 7, 0.4, 8, 664.0, 0.532),
    ("n", 40, 7, 0.4, 16, 995.2, 0.671),
    ("n", 40, 7, 0.4, 32, 1661.2, 0.780),
    ("n", 20, 7, 0.8, 8, 1158.0, 0.704),
    ("n", 20, 7, 0.8, 16, 1926.0, 0.800),
    ("n", 20, 7, 0.8, 32, 3462.0, 0.863),
    ("ac", 80, 9, 0.4, 8, 430.8, 0.284),
    ("ac", 80, 9, 0.4, 16, 546.0, 0.423),
    ("ac", 80, 9, 0.4, 32, 776.4, 0.578),
]


@pytest.mark.parametrize(("mode", "width", "mcs", "guard", "count", "cycle_us", "fraction"), POLLS)
def test_polling_cycle_matches_hand_computation(
    mode: str, width: int, mcs: int, guard: float, count: int, cycle_us: float, fraction: float
) -> None:
    assert close(efficiency.polling_cycle_us(mode, width, mcs, 2, guard, count), cycle_us, 0.1)
    assert close(efficiency.polling_efficiency(mode, width, mcs, 2, guard, count), fraction, 0.0006)


# ---- contention

# D: BIANCHI, 2000, (7), (9), (13), worked out by another hand; 802.11n at 300 Mbit/s in 40 MHz, window 15, doubled
# six times.
# stations, chance to send, chance to collide, efficiency with 32, 8 and 1 frames
BIANCHI = [
    (1, 0.1176, 0.000, 0.821, 0.589, 0.165),
    (2, 0.1046, 0.105, 0.792, 0.591, 0.180),
    (3, 0.0934, 0.178, 0.762, 0.577, 0.181),
    (5, 0.0761, 0.272, 0.719, 0.550, 0.176),
    (10, 0.0525, 0.384, 0.660, 0.509, 0.166),
    (15, 0.0409, 0.442, 0.626, 0.485, 0.160),
    (20, 0.0339, 0.481, 0.603, 0.467, 0.155),
]


@pytest.mark.parametrize(("stations", "transmit", "collision", "by_32", "by_8", "by_1"), BIANCHI)
def test_contention_matches_the_published_model(
    stations: int, transmit: float, collision: float, by_32: float, by_8: float, by_1: float
) -> None:
    assert close(contention.transmit_probability(stations), transmit, 0.0001)
    assert close(contention.collision_probability(stations), collision, 0.001)
    found = contention.saturated_efficiency(stations, "n", 40, 7, 2, 0.4, [32, 8, 1])
    np.testing.assert_allclose(found, [by_32, by_8, by_1], atol=0.0006)


@pytest.mark.parametrize(("window", "stages"), [(15, 6), (7, 1), (31, 5), (31, 3), (127, 3)])
def test_fixed_point_agrees_with_a_root_finder(window: int, stages: int) -> None:
    """BIANCHI, 2000, (7) in its usual form, 0 / 0 at p = 1/2, and (9), solved by scipy's brentq for the collisions."""
    from scipy.optimize import brentq  # slow to import

    size = window + 1
    stations = np.arange(2, 60)

    def transmit(p: float) -> float:
        return 2 * (1 - 2 * p) / ((1 - 2 * p) * (size + 1) + p * size * (1 - (2 * p) ** stages))

    expected = [
        transmit(brentq(lambda p, n=n: p - (1 - (1 - transmit(p)) ** (n - 1)), 1e-9, 1 - 1e-9, xtol=1e-15))
        for n in stations.tolist()
    ]
    np.testing.assert_allclose(contention.transmit_probability(stations, window, stages), expected, rtol=1e-10)


def _simulate(turns_us: list[float], slots: int, *, freeze: bool) -> tuple[float, float, list[float]]:
    """Draw every back-off of stations that always want to send.

    Returns the share of attempts that collide, the whole time, and each station's successes. With `freeze`, a station
    does not count the busy slot down, as radios do; without, it does, as the model has it.
    """
    draw = random.Random(20241105)
    stage = [0] * len(turns_us)
    wait = [draw.randrange(16) for _ in turns_us]
    attempts = collisions = 0
    time_us = 0.0
    served = [0.0] * len(turns_us)
    while slots > 0:
        idle = min(wait)
        slots -= idle + 1
        time_us += idle * 9.0
        senders = [i for i, left in enumerate(wait) if left == idle]
        attempts += len(senders)
        time_us += max(turns_us[i] for i in senders)
        wait = [left - idle - (0 if freeze else 1) for left in wait]
        if len(senders) > 1:
            collisions += len(senders)
        else:
            served[senders[0]] += 1
        for i in senders:
            stage[i] = min(stage[i] + 1, 6) if len(senders) > 1 else 0
            wait[i] = draw.randrange(16 * 2 ** stage[i])
    return collisions / attempts, time_us, served


@pytest.mark.parametrize("stations", [2, 5, 10])
def test_contention_agrees_with_a_simulation_of_every_slot(stations: int) -> None:
    turn_us = float(efficiency.exchange_us("n", 40, 7, 2, 0.4, 8, with_backoff=False))
    collision, time_us, served = _simulate([turn_us] * stations, 200_000, freeze=False)
    # The model takes the stations for independent, which two are the least.
    assert collision == pytest.approx(float(contention.collision_probability(stations)), abs=0.007)
    simulated = sum(served) * 8 * 1472 * 8 / time_us / 300.0
    found = float(contention.saturated_efficiency(stations, "n", 40, 7, 2, 0.4, 8))
    assert found == pytest.approx(simulated, rel=0.01)


@pytest.mark.parametrize(
    ("rates_mbps", "tolerance"),
    [
        ((65.0, 65.0), 0.05),
        ((130.0, 65.0, 13.0), 0.05),
        ((130.0, 130.0, 130.0, 13.0), 0.06),
        ((130.0,) * 8 + (13.0,), 0.14),
    ],
)
def test_slow_station_sets_the_pace_as_in_a_simulation_of_every_slot(
    rates_mbps: tuple[float, ...], tolerance: float
) -> None:
    """HEUSSE, 2003: its count of collisions is itself an approximation, and on the safe side with many stations."""
    overhead_us = 16 + 3 * 9 + 40 + 16 + 32
    turns_us = [overhead_us + 8 * 1472 * 8 / rate for rate in rates_mbps]
    _, time_us, served = _simulate(turns_us, 400_000, freeze=True)
    each = sum(served) / len(served)
    assert max(served) - min(served) < 0.1 * each
    found = float(contention.anomaly_mbps(rates_mbps, overhead_us, 8 * 1472))
    assert found == pytest.approx(each * 8 * 8 * 1472 / time_us, rel=tolerance)


def test_lone_host_of_802_11b_uses_seven_tenths_of_its_rate() -> None:
    """P: HEUSSE, 2003, section II, quoted in slides: 1500 of 1534 octets at 11 Mbit/s, efficiency 0.70.

    Overhead: 50 us wait, two long preambles of 192 us, 10 us, acknowledgement of 14 octets, 34 octets of header.
    """
    overhead_us = 50 + 192 + 10 + 192 + 14 * 8 / 11 + 34 * 8 / 11
    found = float(contention.anomaly_mbps([11.0], overhead_us, 1500, window=31, slot_us=0.0))
    assert found / 11 == pytest.approx(0.70, abs=0.01)


def test_one_slow_host_pulls_all_below_its_own_rate() -> None:
    """P: HEUSSE, 2003, abstract: a host at 1 Mbit/s brings all at 11 Mbit/s below 1 Mbit/s."""
    overhead_us = 50 + 192 + 10 + 192 + 14 * 8 / 11
    found = contention.anomaly_mbps([11.0, 11.0, 11.0, 1.0], overhead_us, 1500, window=31, slot_us=20.0)
    assert float(found) < 1.0


# ---- shared air


def test_three_cameras_at_130_65_and_13_mbps_do_not_fit() -> None:
    """D: 8/130 + 8/65 + 8/13 = 0.0615 + 0.1231 + 0.6154 = 0.800, above the 0.6 that is left: not feasible."""
    used = airtime.airtime_used_fraction([8, 8, 8], [130, 65, 13])
    assert close(used, 0.8000, 0.00005)
    assert float(airtime.load_fraction(used, 0.6)) > 1
    shares = [float(airtime.airtime_used_fraction([8], [rate])) for rate in (130, 65, 13)]
    assert shares == pytest.approx([0.062, 0.123, 0.615], abs=0.0006)
    # Without the slow one they do.
    assert float(airtime.load_fraction(airtime.airtime_used_fraction([8, 8], [130, 65]), 0.6)) < 1


@pytest.mark.parametrize(
    ("rates_mbps", "expected_mbps"), [((130, 65, 13), 6.0), ((130, 65), 26.0)], ids=["with-slow", "without"]
)
def test_equal_throughput_of_a_cell(rates_mbps: tuple[float, ...], expected_mbps: float) -> None:
    """D: 0.6 over the sum of 1 / R."""
    assert close(airtime.equal_rate_mbps(rates_mbps, 0.6), expected_mbps, 0.005)


@pytest.mark.parametrize(
    ("rates_mbps", "expected_mbps"),
    [((300, 300), 90.0), ((300, 300, 300), 60.0), ((300, 130), 54.42)],
    ids=["two", "three", "mixed"],
)
def test_chain_on_one_channel_sends_every_bit_again(rates_mbps: tuple[float, ...], expected_mbps: float) -> None:
    """D: 0.6 over the sum of 1 / R: two equal hops carry half of 180."""
    assert close(airtime.one_channel_chain_mbps(rates_mbps, 0.6), expected_mbps, 0.005)


@pytest.mark.parametrize(
    ("access", "stations", "expected"),
    [
        ("contention", 1, 0.55),
        ("contention", 2, 0.45),
        ("contention", 10, 0.45),
        ("polled", 1, 0.70),
        ("polled", 9, 0.7),
    ],
)
def test_planning_limits_of_practice(access: str, stations: int, expected: float) -> None:
    """C: PRACTICE, each +-0.1."""
    assert close(airtime.planning_limit_fraction(access, stations), expected, 0)


def test_planning_limits_lie_inside_what_the_models_leave() -> None:
    """D: the limits of practice must be reachable: aggregates of 8 to 32 frames of 802.11n at 300 Mbit/s."""
    lone = efficiency.exchange_efficiency("n", 40, 7, 2, 0.4, [8, 32])
    several = contention.saturated_efficiency(5, "n", 40, 7, 2, 0.4, [8, 32])
    polled = efficiency.polling_efficiency("n", 40, 7, 2, 0.4, [8, 32])
    for limit, (low, high) in ((0.55, lone), (0.45, several), (0.70, polled)):
        assert low - 0.11 <= limit <= high


def test_multicast_at_the_lowest_rate_takes_more_than_half_the_cell() -> None:
    """D: 4 Mbit/s at 6.5 Mbit/s is 0.615 of the air before any overhead."""
    assert close(airtime.airtime_used_fraction([4], [6.5]), 0.615, 0.001)


# ---- latency


def test_polled_hop_waits_half_a_cycle() -> None:
    """D: 5 ms / 2 + 1 ms."""
    assert close(latency.polling_latency_ms(5, 1), 3.5, 0)


@pytest.mark.parametrize(
    ("access", "load", "expected_ms"),
    [("contention", 0.3, (0.5, 2)), ("contention", 0.9, (5, 30)), ("polled", 0.3, (2, 6))],
)
def test_usual_latency_of_practice(access: str, load: float, expected_ms: tuple[float, float]) -> None:
    """C: PRACTICE, no source."""
    assert tuple(latency.typical_latency_ms(access, load)) == expected_ms
