"""Rates, air, supply, picture and wind give the same bits alone and among thousands, however the thousands lie."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
import pytest

from survey_app.physics import (
    airtime,
    conductors,
    contention,
    efficiency,
    exposure,
    frames,
    latency,
    mast,
    noise,
    picture,
    rates,
    receiver,
    solar,
    supply,
    wind,
    window,
)

COUNT = 611
RANDOM = np.random.default_rng(58)


def spread(low: float, high: float) -> np.ndarray[Any, np.dtype[np.float64]]:
    values = RANDOM.uniform(low, high, COUNT)
    values[RANDOM.integers(0, COUNT, 9)] = np.nan
    return values


def whole(*choices: float) -> np.ndarray[Any, np.dtype[np.float64]]:
    return RANDOM.choice(np.array([*choices, np.nan]), COUNT)


WIDTH, MCS, STREAMS, GUARD = whole(20, 40, 80), whole(*range(12)), whole(1, 2, 3, 4), whole(0.4, 0.8)
FRAMES, DISTANCE, PAYLOAD = whole(1, 8, 32, 64), spread(0, 9000), spread(200, 1472)
AIR = (WIDTH, MCS, STREAMS, GUARD)
LEVEL = spread(-95, -25)
SENSITIVITY = (-93.0, -90.0, -87.0, np.nan, -80.0, -77.0, -75.0, -72.0)
POWER = (25.0, 25.0, 25.0, np.nan, 24.0, 23.0, 22.0, 21.0)
FRACTION = spread(0.1, 1.0)
SOURCE, LOOP, LOAD = spread(10, 56), spread(0, 8), spread(0, 14)


def _tree(source_v: Any, first: Any, second: Any, load: Any) -> Any:
    loop = np.stack(np.broadcast_arrays(first, second, 0.5), axis=-1)
    loads = np.stack(np.broadcast_arrays(load, 5.0, 2.0), axis=-1)
    state = supply.solve_tree([-1, 0, 1], loop, loads, source_v)
    return (*(state.voltage_v[..., node] for node in range(3)), state.source_w)


def _used(first: Any, second: Any, rate: Any) -> Any:
    demand, speed = np.broadcast_arrays(first, rate)
    return airtime.airtime_used_fraction(np.stack([demand, second], axis=-1), np.stack([speed, speed], axis=-1))


def _row(function: Callable[..., Any], first: Any, second: Any, third: Any) -> Any:
    row = np.stack([first, second, np.full(np.shape(first), np.inf)], axis=-1)
    return function(row, third)


def _limits(expected: Any, sigma: Any) -> Any:
    return tuple(window.acceptance_window(expected, sigma))


def _sigma(first: Any, second: Any) -> Any:
    return window.combined_sigma_db({"power": first, "gain": second})


FUNCTIONS: dict[str, tuple[Callable[..., Any], tuple[Any, ...]]] = {
    "rate-n": (partial(rates.phy_rate_mbps, "n"), AIR),
    "rate-ac": (partial(rates.phy_rate_mbps, "ac"), AIR),
    "rate-ax": (partial(rates.phy_rate_mbps, "ax"), (WIDTH, MCS, STREAMS, whole(0.8, 1.6, 3.2))),
    "lowest-mcs": (partial(rates.lowest_mcs_for, (6.5, 13.0, 19.5, 26.0, 39.0)), (spread(0, 60),)),
    "at-mcs": (partial(rates.at_mcs, SENSITIVITY), (whole(-1, 0, 4, 7, 8),)),
    "sensitivity": (receiver.standard_sensitivity_dbm, (MCS, WIDTH)),
    "snr-required": (receiver.snr_required_db, (LEVEL, WIDTH, spread(0, 10))),
    "highest-mcs": (lambda level, margin: receiver.highest_mcs(level, SENSITIVITY, margin), (LEVEL, spread(0, 15))),
    "highest-mcs-by-power": (
        lambda gain, margin: receiver.highest_mcs_by_power(gain, POWER, SENSITIVITY, margin),
        (spread(-130, -60), spread(0, 15)),
    ),
    "noise": (noise.noise_floor_dbm, (spread(1, 160), spread(0, 10))),
    "rise": (noise.interference_rise_db, (spread(-100, -90), spread(-120, -60))),
    "sinr": (noise.sinr_db, (LEVEL, spread(-100, -90), spread(-120, -60))),
    "coverage": (frames.coverage_class, (DISTANCE,)),
    "frame": (partial(frames.frame_us, "ac"), (*AIR, FRAMES, PAYLOAD)),
    "aggregate": (partial(frames.longest_aggregate, "ac"), (*AIR, PAYLOAD)),
    "efficiency": (partial(efficiency.exchange_efficiency, "n"), (*AIR, FRAMES, DISTANCE, PAYLOAD)),
    "polling": (partial(efficiency.polling_efficiency, "n"), (*AIR, FRAMES, DISTANCE, PAYLOAD)),
    "collision": (contention.collision_probability, (whole(1, 2, 3, 10, 60),)),
    "saturated": (lambda n, *air: contention.saturated_efficiency(n, "ac", *air), (whole(1, 2, 9), *AIR, FRAMES)),
    "anomaly": (partial(_row, contention.anomaly_mbps), (spread(6, 300), spread(6, 300), spread(50, 300))),
    "used": (_used, (spread(0, 20), spread(0, 20), spread(6, 300))),
    "equal-rate": (partial(_row, airtime.equal_rate_mbps), (spread(6, 300), spread(6, 300), FRACTION)),
    "chain": (partial(_row, airtime.separate_channels_chain_mbps), (spread(6, 300), spread(6, 300), FRACTION)),
    "load": (airtime.load_fraction, (spread(0, 2), FRACTION)),
    "polling-latency": (latency.polling_latency_ms, (spread(0, 20), spread(0, 5))),
    "conductor": (conductors.conductor_ohm_per_km, (spread(0, 40),)),
    "hot": (conductors.resistance_at_temperature_ohm, (spread(50, 150), spread(-40, 80))),
    "volts": (supply.load_voltage_v, (SOURCE, LOOP, LOAD)),
    "run": (supply.longest_run_m, (SOURCE, spread(5, 40), LOAD, spread(50, 200))),
    "tree": (_tree, (SOURCE, LOOP, spread(0, 3), LOAD)),
    "exposure": (exposure.exposure_distance_m, (spread(0, 55), whole(10, 50), spread(1, 2.56))),
    "keep-out": (exposure.keep_out_m, (spread(0, 55), whole(10, 50), spread(1, 2.56), spread(0, 1))),
    "scene": (picture.scene_width_m, (spread(1, 179), spread(1, 200))),
    "demand": (picture.demand_mbps, (spread(0, 20), spread(1, 1.2), whole(0, 1, 3), spread(1, 2))),
    "days": (picture.recording_days, (spread(1, 100), spread(10, 900), FRACTION, FRACTION)),
    "sigma": (_sigma, (spread(0, 3), spread(0, 3))),
    "limits": (_limits, (LEVEL, spread(0, 4))),
    "reading": (
        lambda level, step: window.expected_reading_dbm(level, "per_chain", 2, step),
        (LEVEL, whole(0, 0.5, 1)),
    ),
    "lights": (lambda level: window.lights_expected(level, (-80, -72, -65, -58, np.nan)), (LEVEL,)),
    "asce7": (wind.asce7_velocity_pressure_pa, (spread(0, 60), spread(0.5, 1.2))),
    "asce7-height": (wind.asce7_exposure_factor, (spread(0, 60),)),
    "en1991": (wind.en1991_peak_pressure_pa, (spread(0, 40), spread(0, 60))),
    "slanted": (wind.slanted_area_m2, (spread(0, 1), spread(0, 1), spread(-90, 90))),
    "tube": (mast.yield_moment_nm, (spread(20, 200), spread(1, 8))),
    "turn": (mast.head_turn_deg, (spread(0, 400), spread(0, 90), spread(1, 12), spread(1e4, 1e6))),
    "battery": (solar.battery_wh, (spread(10, 900), spread(0, 5), FRACTION, FRACTION)),
}


def bits(result: Any) -> Any:
    return np.stack([np.asarray(part) for part in result]) if isinstance(result, tuple) else np.asarray(result)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_results_do_not_depend_on_the_size_or_the_layout_of_the_batch(name: str) -> None:
    function, columns = FUNCTIONS[name]
    together = bits(function(*columns))
    assert np.isfinite(together).any()
    assert np.isnan(together).any()

    some = range(0, COUNT, 23)
    alone = np.stack([bits(function(*(column[index] for column in columns))) for index in some], axis=-1)
    np.testing.assert_array_equal(alone, together[..., some])

    pieces = [bits(function(*(column[start : start + 7] for column in columns))) for start in range(0, COUNT, 7)]
    np.testing.assert_array_equal(np.concatenate(pieces, axis=-1), together)

    np.testing.assert_array_equal(bits(function(*(column[::-1] for column in columns)))[..., ::-1], together)

    tables = [np.repeat(column[:, np.newaxis], 3, axis=1) for column in columns]
    np.testing.assert_array_equal(bits(function(*(table[:, 1] for table in tables))), together)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_any_missing_input_is_missing_in_the_result(name: str) -> None:
    function, columns = FUNCTIONS[name]
    usable = np.flatnonzero(~np.isnan(bits(function(*columns)).reshape(-1, COUNT)).any(axis=0))
    for position in range(len(columns)):
        spoiled = [column[usable].copy() for column in columns]
        spoiled[position][:] = np.nan
        result = bits(function(*spoiled)).reshape(-1, usable.size)
        assert np.isnan(result).any(axis=0).all(), f"input {position} may go missing unnoticed"


AWKWARD = np.array([np.nan, np.inf, -np.inf, 0.0, -0.0, 1e-9, -1e-9, 1.0, -1.0, 90.0, 180.0, 1e9, -1e9])


@pytest.mark.parametrize("name", FUNCTIONS)
def test_no_number_raises_or_warns(name: str) -> None:
    function, columns = FUNCTIONS[name]
    random = np.random.default_rng(3)
    awkward = [np.where(random.random(COUNT) < 0.4, random.choice(AWKWARD, COUNT), column) for column in columns]
    assert bits(function(*awkward)).dtype == np.float64
