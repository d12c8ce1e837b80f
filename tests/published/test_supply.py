"""Supply over the data cable, conductors, sun and battery against the outside world.

Each row says where its expectation comes from:

* P: printed in the source, or in a copy of its text that is named
* D: worked out by hand from the source's formula
* M: from memory, to be verified before anyone relies on it
* C: common practice, no source

The supply tree is also held against a general equation solver and against the energy that goes in and out.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from survey_app.physics import conductors, power_classes, solar, supply

# ---- conductors

# D: B258 and IACS; ohm per 1000 ft P: two public wire tables that agree to all digits.
# gauge, diameter mm, ohm/km at 20 C, ohm/1000 ft, ohm/km at 60 C
GAUGES = [
    (22, 0.6438, 52.96, 16.14, 61.29),
    (23, 0.5733, 66.78, 20.36, 77.28),
    (24, 0.5106, 84.21, 25.67, 97.45),
    (26, 0.4049, 133.90, 40.81, 154.95),
]


@pytest.mark.parametrize(("gauge", "diameter_mm", "ohm_per_km", "ohm_per_1000_ft", "hot"), GAUGES)
def test_copper_conductor_matches_wire_tables(
    gauge: int, diameter_mm: float, ohm_per_km: float, ohm_per_1000_ft: float, hot: float
) -> None:
    found = conductors.conductor_ohm_per_km(gauge)
    assert float(conductors.conductor_diameter_mm(gauge)) == pytest.approx(diameter_mm, abs=0.00006)
    assert float(found) == pytest.approx(ohm_per_km, abs=0.006)
    assert float(found) * 0.3048 == pytest.approx(ohm_per_1000_ft, abs=0.006)
    assert float(conductors.resistance_at_temperature_ohm(found, 60)) == pytest.approx(hot, abs=0.012)


def test_conductor_of_36_gauge_is_five_mils_by_definition() -> None:
    """P: B258: 36 AWG is 0.0050 in, 4/0 (here the largest reached is 0) 0.3249 in."""
    assert float(conductors.conductor_diameter_mm(36)) == pytest.approx(0.127, abs=1e-12)
    assert float(conductors.conductor_diameter_mm(0)) / 25.4 == pytest.approx(0.3249, abs=0.00005)


@pytest.mark.parametrize(("temperature_c", "factor"), [(60, 1.157), (-20, 0.843), (20, 1.0)])
def test_copper_changes_with_temperature(temperature_c: float, factor: float) -> None:
    """M: IACS, coefficient 0.00393 per K, so +15.7 % at 60 C and -15.7 % at -20 C."""
    assert float(conductors.resistance_at_temperature_ohm(1.0, temperature_c)) == pytest.approx(factor, abs=0.0005)


def test_constants_of_cabling() -> None:
    """P: TIA568 as in data sheets, 9.38 ohm/100 m, 100 m of channel; IEC60228 table A.1 as in three reprints."""
    assert conductors.CABLING_LIMIT_OHM_PER_KM == 93.8
    assert conductors.DATA_LIMIT_M == 100.0
    assert conductors.IEC_60228_OHM_PER_KM == {0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41}


@pytest.mark.parametrize(("section_mm2", "ohm_per_km"), list(conductors.IEC_60228_OHM_PER_KM.items()))
def test_standard_conductors_are_copper_of_about_their_section(section_mm2: float, ohm_per_km: float) -> None:
    """D: 17.241 ohm mm2/km over the section, IACS; the standard allows a few per cent of tolerance on top."""
    assert 17.241 / section_mm2 < ohm_per_km < 1.08 * 17.241 / section_mm2


def test_channel_of_data_cable_has_25_ohm_there_and_back() -> None:
    """M: TIA568, single-pair loop of a 100 m channel; a pair set of two such pairs in parallel has 12.5 ohm."""
    single_pair = conductors.loop_resistance_ohm(conductors.CABLING_LIMIT_OHM_PER_KM, 100, "two-wire")
    pair_set = conductors.loop_resistance_ohm(conductors.CABLING_LIMIT_OHM_PER_KM, 100, "two-pair")
    assert float(single_pair) < 25.0
    assert float(pair_set) < power_classes.power_type(2).pairset_ohm


# ---- one load

# D: V = (Vs + sqrt(Vs^2 - 4 R P)) / 2, R = r L; None: no operating point.
# source V, load W, gauge, temperature C, run m, loop ohm, V, A
DROPS = [
    (24, 8, 24, 20, 30, 2.5263, 23.126, 0.3459),
    (24, 8, 24, 20, 60, 5.0526, 22.177, 0.3607),
    (24, 8, 24, 20, 90, 7.5789, 21.131, 0.3786),
    (24, 8, 24, 60, 30, 2.9234, 22.982, 0.3481),
    (24, 8, 24, 60, 60, 5.8469, 21.860, 0.3660),
    (24, 8, 24, 60, 90, 8.7703, 20.593, 0.3885),
    (24, 12, 24, 60, 30, 2.9234, 22.436, 0.5348),
    (24, 12, 24, 60, 60, 5.8469, 20.593, 0.5827),
    (24, 12, 24, 60, 90, 8.7703, 18.225, 0.6584),
    (48, 8, 24, 60, 30, 2.9234, 47.508, 0.1684),
    (48, 8, 24, 60, 60, 5.8469, 47.005, 0.1702),
    (48, 8, 24, 60, 90, 8.7703, 46.491, 0.1721),
    (48, 25, 24, 60, 30, 2.9234, 46.426, 0.5385),
    (48, 25, 24, 60, 60, 5.8469, 44.732, 0.5589),
    (48, 25, 24, 60, 90, 8.7703, 42.888, 0.5829),
    (12, 5, 24, 20, 30, 2.5263, 10.834, 0.4615),
    (12, 5, 24, 20, 60, 5.0526, 9.277, 0.5390),
    (12, 5, 24, 20, 90, 7.5789, None, None),
    (12, 5, 24, 60, 30, 2.9234, 10.624, 0.4706),
    (12, 5, 24, 60, 60, 5.8469, 8.601, 0.5813),
    (12, 5, 24, 60, 90, 8.7703, None, None),
    (12, 8, 24, 20, 30, 2.5263, 9.974, 0.8021),
    (12, 8, 24, 20, 60, 5.0526, None, None),
    (12, 8, 24, 20, 90, 7.5789, None, None),
    (12, 8, 24, 60, 60, 5.8469, None, None),
    (24, 8, 26, 60, 30, 4.6485, 22.335, 0.3582),
    (24, 8, 26, 60, 60, 9.2969, 20.344, 0.3932),
    (24, 8, 26, 60, 90, 13.9454, 17.695, 0.4521),
    (24, 8, 23, 60, 30, 2.3183, 23.201, 0.3448),
    (24, 8, 23, 60, 60, 4.6367, 22.340, 0.3581),
    (24, 8, 23, 60, 90, 6.9550, 21.400, 0.3738),
]


@pytest.mark.parametrize(("source_v", "load_w", "gauge", "temperature_c", "run_m", "loop", "volts", "amperes"), DROPS)
def test_radio_at_the_end_of_a_cable_gets_the_volts_worked_out_by_hand(
    source_v: float,
    load_w: float,
    gauge: int,
    temperature_c: float,
    run_m: float,
    loop: float,
    volts: float | None,
    amperes: float | None,
) -> None:
    per_km = conductors.resistance_at_temperature_ohm(conductors.conductor_ohm_per_km(gauge), temperature_c)
    found_loop = conductors.loop_resistance_ohm(per_km, run_m)
    assert float(found_loop) == pytest.approx(loop, abs=0.001)
    found = float(supply.load_voltage_v(source_v, found_loop, load_w))
    tree = supply.solve_tree([-1], found_loop[..., np.newaxis], [load_w], source_v)
    if volts is None or amperes is None:
        assert math.isnan(found)
        assert math.isnan(tree.voltage_v[0])
        return
    assert found == pytest.approx(volts, abs=0.001)
    assert float(supply.load_current_a(source_v, found_loop, load_w)) == pytest.approx(amperes, abs=0.0001)
    assert tree.voltage_v[0] == pytest.approx(volts, abs=0.001)
    assert tree.current_a[0] == pytest.approx(amperes, abs=0.0001)


@pytest.mark.parametrize(
    ("source_v", "minimum_v", "load_w", "temperature_c", "expected_m"),
    [
        (24, 18, 8, 20, 160.3),
        (24, 18, 8, 60, 138.5),
        (48, 38, 8, 60, 487.4),
        (12, 10, 5, 20, 47.5),
        (12, 10, 5, 60, 41.0),
        (12, 10, 8, 60, 25.7),
    ],
)
def test_longest_run_of_24_gauge_cable(
    source_v: float, minimum_v: float, load_w: float, temperature_c: float, expected_m: float
) -> None:
    """D: (Vs - Vmin) Vmin / (P r)."""
    per_km = conductors.resistance_at_temperature_ohm(conductors.conductor_ohm_per_km(24), temperature_c)
    assert float(supply.longest_run_m(source_v, minimum_v, load_w, per_km)) == pytest.approx(expected_m, abs=0.06)


def test_twelve_volts_on_a_trailer_mast_carry_seven_watts_and_not_eight() -> None:
    """D: 45 m of 93.8 ohm/km at 60 C and 0.2 ohm of plugs are 5.085 ohm: at most 7.08 W; 6 W leave 8.3 V; 60 m none."""
    per_km = conductors.resistance_at_temperature_ohm(conductors.CABLING_LIMIT_OHM_PER_KM, 60)
    loop = conductors.loop_resistance_ohm(per_km, [45, 60], extra_ohm=0.2)
    assert float(supply.max_load_w(12, loop[0])) == pytest.approx(7.08, abs=0.005)
    assert float(supply.load_voltage_v(12, loop[0], 6)) == pytest.approx(8.3, abs=0.05)
    assert math.isnan(float(supply.load_voltage_v(12, loop[0], 8)))
    assert math.isnan(float(supply.load_voltage_v(12, loop[1], 6)))


def test_copper_clad_aluminium_costs_a_volt() -> None:
    """P: cable makers' pages, 55 to 60 % more; D: 24 V, 8 W, 60 m of 24 gauge at 20 C: 20.91 V instead of 22.18."""
    low, high = conductors.ALUMINIUM_CORE_FACTOR
    assert (low, high) == (1.55, 1.60)
    loop = high * conductors.loop_resistance_ohm(conductors.conductor_ohm_per_km(24), 60)
    assert float(supply.load_voltage_v(24, loop, 8)) == pytest.approx(20.907, abs=0.001)


# ---- IEEE 802.3


@pytest.mark.parametrize(
    ("number", "source_w", "device_w", "first_type"),
    [
        (0, 15.4, 12.95, 1),
        (1, 4.0, 3.84, 1),
        (2, 7.0, 6.49, 1),
        (3, 15.4, 12.95, 1),
        (4, 30.0, 25.5, 2),
        (5, 45.0, 40.0, 3),
        (6, 60.0, 51.0, 3),
        (7, 75.0, 62.0, 4),
        (8, 90.0, 71.3, 4),
    ],
)
def test_power_classes_as_printed(number: int, source_w: float, device_w: float, first_type: int) -> None:
    """P: IEEE8023, af / at / bt, from copies of its table of classes."""
    assert power_classes.power_class(number) == (number, source_w, device_w, first_type)


@pytest.mark.parametrize(
    ("number", "highest_class", "device_min_v"), [(1, 3, 37.0), (2, 4, 42.5), (3, 6, 42.5), (4, 8, 41.1)]
)
def test_types_voltages_currents_and_classes_fit_each_other(
    number: int, highest_class: int, device_min_v: float
) -> None:
    """P: IEEE8023: lowest source voltage, cable and highest power must give the printed lowest device voltage."""
    row = power_classes.power_type(number)
    loop = row.pairset_ohm / row.pairsets
    device_w = power_classes.power_class(highest_class).device_w
    assert float(supply.load_voltage_v(row.source_min_v, loop, device_w)) == pytest.approx(device_min_v, abs=0.09)
    assert row.device_min_v == device_min_v
    # What the source must give, less what the cable turns into heat, is what the device may take.
    source_w = power_classes.power_class(highest_class).source_w
    current_a = source_w / row.source_min_v
    assert device_w == pytest.approx(source_w - loop * current_a**2, abs=0.03)
    assert current_a <= row.pairset_a * row.pairsets + 1e-9


# ---- trees


def _solve_generally(
    parent: list[int], loop: np.ndarray, load: np.ndarray, source_v: float
) -> tuple[np.ndarray, np.ndarray] | None:
    """Kirchhoff's laws over incidence matrices, by scipy's general solver, from just under the source voltage."""
    from scipy.optimize import root  # slow to import

    count = len(parent)
    incidence = np.eye(count)
    for node, feeder in enumerate(parent):
        if feeder >= 0:
            incidence[node, feeder] = -1.0
    feed = np.where(np.array(parent) < 0, source_v, 0.0)

    def unbalance(unknown: np.ndarray) -> np.ndarray:
        volts, amperes = unknown[:count], unknown[count:]
        ohms_law = feed - incidence @ volts - loop * amperes
        knots = incidence.T @ amperes - load / volts
        return np.concatenate([ohms_law, knots])

    start = np.concatenate([np.full(count, 0.98 * source_v), np.full(count, load.sum() / source_v)])
    answer = root(unbalance, start, method="hybr", options={"xtol": 1e-13})
    good = answer.success and np.abs(unbalance(answer.x)).max() < 1e-8
    return (answer.x[:count], answer.x[count:]) if good else None


TREES = {
    "chain": [-1, 0, 1, 2],
    "star": [-1, -1, -1, -1],
    "injector, radio, camera and a branch": [-1, 0, 1, 1, 0],
    "two trunks": [-1, 0, -1, 2, 2, 4],
}


@pytest.mark.parametrize("parent", TREES.values(), ids=TREES)
def test_supply_tree_agrees_with_a_general_solver(parent: list[int]) -> None:
    draw = np.random.default_rng(7)
    solved = 0
    for _ in range(40):
        loop, load = draw.uniform(0.1, 3.0, len(parent)), draw.uniform(0.0, 9.0, len(parent))
        source_v = float(draw.choice([12.0, 24.0, 48.0, 54.0]))
        state = supply.solve_tree(parent, loop, load, source_v)
        reference = _solve_generally(parent, loop, load, source_v)
        if reference is None or np.isnan(state.source_w):
            continue
        # The general solver may land on the lower solution; the higher one is the one that a converter holds.
        if (reference[0] < state.voltage_v - 1e-6).any():
            continue
        solved += 1
        np.testing.assert_allclose(state.voltage_v, reference[0], rtol=1e-9)
        np.testing.assert_allclose(state.current_a, reference[1], rtol=1e-9, atol=1e-12)
    assert solved >= 20


@pytest.mark.parametrize("parent", TREES.values(), ids=TREES)
def test_supply_tree_fails_exactly_where_a_continued_solution_ends(parent: list[int]) -> None:
    """The largest common factor on the loads, found by bisection on existence, is where the general solver dies too."""
    draw = np.random.default_rng(11)
    loop, load = draw.uniform(0.5, 2.0, len(parent)), draw.uniform(2.0, 6.0, len(parent))
    low, high = 0.0, 100.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        exists = not np.isnan(supply.solve_tree(parent, loop, middle * load, 24.0).source_w)
        low, high = (middle, high) if exists else (low, middle)
    assert _solve_generally(parent, loop, 1.001 * low * load, 24.0) is None
    just_under = supply.solve_tree(parent, loop, 0.999 * low * load, 24.0)
    reference = _solve_generally(parent, loop, 0.999 * low * load, 24.0)
    assert reference is not None
    if (reference[0] >= just_under.voltage_v - 1e-6).all():
        np.testing.assert_allclose(just_under.voltage_v, reference[0], rtol=1e-6)


def test_camera_on_the_pass_port_moves_the_volts() -> None:
    """D: 24 V, 60 m of 24 gauge at 60 C, 8 W: 21.860 V; with a camera of 5 W a jumper further on, by hand iteration.

    From 13.0 W at 20.13 V: I = 0.6457 A, 24 - 5.8469 * 0.6457 = 20.225; again 0.6428 -> 20.242, 0.6422 -> 20.245.
    """
    alone = supply.solve_tree([-1, 0], [5.8469, 0.0], [8.0, 0.0], 24.0)
    fed = supply.solve_tree([-1, 0], [5.8469, 0.0], [8.0, 5.0], 24.0)
    assert alone.voltage_v[0] == pytest.approx(21.860, abs=0.001)
    assert fed.voltage_v[0] == pytest.approx(20.246, abs=0.002)
    assert fed.voltage_v[1] == fed.voltage_v[0]


# ---- sun and battery


def test_solar_example_worked_out_by_hand() -> None:
    """D: 18 W, 3 days, 2.5 h, 0.65, 12 V (method IEEE1562; fractions C): E = 432, lead 2880, lithium 1705 Wh, 266 W."""
    energy = solar.daily_energy_wh(18)
    assert float(energy) == 432.0
    lead = solar.battery_wh(energy, 3, *solar.battery_kind("lead"))
    lithium = solar.battery_wh(energy, 3, *solar.battery_kind("lithium"))
    assert float(lead) == pytest.approx(2880, abs=1)
    assert float(solar.capacity_ah(lead, 12)) == pytest.approx(240, abs=0.1)
    assert float(lithium) == pytest.approx(1705, abs=1)
    assert float(solar.capacity_ah(lithium, 12)) == pytest.approx(142, abs=0.2)
    assert float(solar.array_w(energy, 2.5, 0.65)) == pytest.approx(266, abs=0.2)


def test_northern_relay_in_december_needs_nine_hundred_watts_of_panels() -> None:
    """D: 14.5 W at 56 N, 0.6 h (hours from MEMORY), lithium at 12.8 V, 3 days: 348 Wh, 107 Ah, about 900 W."""
    energy = solar.daily_energy_wh(14.5)
    assert float(energy) == 348.0
    battery = solar.battery_wh(energy, 3, *solar.battery_kind("lithium"))
    assert float(solar.capacity_ah(battery, 12.8)) == pytest.approx(107, abs=0.5)
    assert float(solar.array_w(energy, 0.6)) == pytest.approx(900, rel=0.02)
