from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from survey_app.physics import supply

SOURCES, LOOPS, LOADS = st.floats(5, 60), st.floats(0.05, 10), st.floats(0.1, 40)


@st.composite
def trees(draw: st.DrawFn) -> tuple[list[int], list[float], list[float], float]:
    count = draw(st.integers(1, 7))
    parent = [draw(st.integers(-1, node - 1)) for node in range(count)]
    loop = [draw(st.floats(0.0, 3.0)) for _ in parent]
    load = [draw(st.floats(0.0, 15.0)) for _ in parent]
    return parent, loop, load, draw(SOURCES)


@given(SOURCES, LOOPS, LOADS)
def test_voltage_current_and_power_fit_each_other(source: float, loop: float, load: float) -> None:
    volts = float(supply.load_voltage_v(source, loop, load))
    assume(not math.isnan(volts))
    current = float(supply.load_current_a(source, loop, load))
    assert volts * current == pytest.approx(load, rel=1e-9)
    assert source - loop * current == pytest.approx(volts, rel=1e-9)
    assert volts >= source / 2 * (1 - 1e-12)


@given(SOURCES, LOOPS)
def test_more_than_the_highest_power_never_starts(source: float, loop: float) -> None:
    limit = float(supply.max_load_w(source, loop))
    assert not math.isnan(supply.load_voltage_v(source, loop, limit * (1 - 1e-9)))
    assert math.isnan(supply.load_voltage_v(source, loop, limit * (1 + 1e-9)))


@given(SOURCES, LOADS, st.floats(0.3, 0.99), st.floats(20, 200))
def test_longest_run_ends_at_the_minimum_or_at_half_the_source(
    source: float, load: float, share: float, per_km: float
) -> None:
    run = float(supply.longest_run_m(source, share * source, load, per_km))
    volts = float(supply.load_voltage_v(source, run * per_km / 1000 * (1 - 1e-12), load))
    assert volts == pytest.approx(max(share, 0.5) * source, rel=1e-5)


@given(SOURCES, LOOPS, st.floats(0.3, 0.99))
def test_highest_power_with_a_minimum_leaves_that_minimum(source: float, loop: float, share: float) -> None:
    power = float(supply.max_load_w(source, loop, share * source))
    volts = float(supply.load_voltage_v(source, loop, power * (1 - 1e-12)))
    assert volts == pytest.approx(max(share, 0.5) * source, rel=1e-5)


def test_minimum_above_the_source_leaves_nothing() -> None:
    assert float(supply.max_load_w(12, 1, 18)) == 0.0
    assert math.isnan(supply.max_loop_ohm(12, 18, 5))
    assert math.isnan(supply.longest_run_m(24, 18, 8, 100, extra_ohm=20))


@pytest.mark.parametrize(
    "value",
    [
        supply.load_voltage_v(0, 1, 1),
        supply.load_voltage_v(-12, 1, 1),
        supply.load_voltage_v(12, -1, 1),
        supply.load_voltage_v(12, 1, -1),
        supply.load_voltage_v(math.nan, 1, 1),
        supply.max_load_w(12, 0),
        supply.longest_run_m(24, 18, 0, 100),
    ],
)
def test_out_of_domain_is_nan(value: float) -> None:
    assert math.isnan(value)


# ---- trees


@given(trees())
def test_energy_in_is_energy_out(tree: tuple[list[int], list[float], list[float], float]) -> None:
    parent, loop, load, source = tree
    state = supply.solve_tree(parent, loop, load, source)
    assume(not math.isnan(state.source_w))
    heat = float((np.array(loop) * state.current_a**2).sum())
    assert float(state.source_w) == pytest.approx(sum(load) + heat, rel=1e-9, abs=1e-12)


@given(trees())
def test_kirchhoff_holds_at_every_node(tree: tuple[list[int], list[float], list[float], float]) -> None:
    parent, loop, load, source = tree
    state = supply.solve_tree(parent, loop, load, source)
    assume(not math.isnan(state.source_w))
    for node, feeder in enumerate(parent):
        above = source if feeder < 0 else state.voltage_v[feeder]
        assert above - loop[node] * state.current_a[node] == pytest.approx(state.voltage_v[node], abs=1e-10)
        onward = sum(state.current_a[child] for child, other in enumerate(parent) if other == node)
        assert state.current_a[node] - onward == pytest.approx(load[node] / state.voltage_v[node], abs=1e-10)


@given(trees(), st.integers(0, 6), st.floats(0.1, 5))
def test_more_load_anywhere_never_raises_a_voltage(
    tree: tuple[list[int], list[float], list[float], float], where: int, more: float
) -> None:
    parent, loop, load, source = tree
    before = supply.solve_tree(parent, loop, load, source)
    heavier = [watts + (more if node == where % len(parent) else 0.0) for node, watts in enumerate(load)]
    after = supply.solve_tree(parent, loop, heavier, source)
    if math.isnan(before.source_w):
        assert math.isnan(after.source_w)
    elif not math.isnan(after.source_w):
        assert (after.voltage_v <= before.voltage_v + 1e-9 * source).all()


@given(SOURCES, LOOPS, st.floats(0.01, 0.999999))
def test_single_node_is_the_quadratic_up_to_the_limit(source: float, loop: float, share: float) -> None:
    load = share * float(supply.max_load_w(source, loop))
    state = supply.solve_tree([-1], [loop], [load], source)
    assert state.voltage_v[0] == pytest.approx(float(supply.load_voltage_v(source, loop, load)), rel=1e-6)


@pytest.mark.parametrize("gap", [1e-2, 1e-4, 1e-6, 1e-8, 1e-10, 1e-12])
def test_limit_of_a_chain_is_met_from_both_sides(gap: float) -> None:
    # Loads at the far end only: two cables in a row are one cable.
    limit = float(supply.max_load_w(24.0, 5.0))
    below = supply.solve_tree([-1, 0], [2.0, 3.0], [0.0, limit * (1 - gap)], 24.0)
    above = supply.solve_tree([-1, 0], [2.0, 3.0], [0.0, limit * (1 + gap)], 24.0)
    expected = 12.0 * (1 + math.sqrt(gap))
    assert below.voltage_v[1] == pytest.approx(expected, abs=1e-5)
    assert np.isnan(above.voltage_v).all()
    assert np.isnan(above.current_a).all()
    assert np.isnan(above.source_w)


def test_node_without_load_and_cable_without_resistance_change_nothing() -> None:
    plain = supply.solve_tree([-1], [3.0], [9.0], 24.0)
    dressed = supply.solve_tree([-1, 0, 1, 0], [3.0, 0.0, 2.0, 1.0], [0.0, 9.0, 0.0, 0.0], 24.0)
    np.testing.assert_allclose(dressed.voltage_v, plain.voltage_v[0], rtol=1e-12)
    assert dressed.current_a[2] == 0.0


def test_branches_at_the_source_do_not_disturb_each_other() -> None:
    both = supply.solve_tree([-1, -1], [3.0, 5.0], [9.0, 4.0], 24.0)
    assert both.voltage_v[0] == pytest.approx(float(supply.load_voltage_v(24, 3.0, 9.0)), rel=1e-12)
    assert both.voltage_v[1] == pytest.approx(float(supply.load_voltage_v(24, 5.0, 4.0)), rel=1e-12)


def test_cases_side_by_side_leave_each_other_alone() -> None:
    loads = np.array([[8.0, 5.0], [8.0, 500.0], [8.0, np.nan], [0.0, 0.0]])
    together = supply.solve_tree([-1, 0], [2.9, 1.0], loads, [24.0, 24.0, 24.0, 12.0])
    for row, load in enumerate(loads):
        alone = supply.solve_tree([-1, 0], [2.9, 1.0], load, [24.0, 24.0, 24.0, 12.0][row])
        np.testing.assert_array_equal(together.voltage_v[row], alone.voltage_v)
        np.testing.assert_array_equal(together.source_w[row], alone.source_w)
    np.testing.assert_array_equal(np.isnan(together.source_w), [False, True, True, False])
    np.testing.assert_array_equal(together.voltage_v[3], [12.0, 12.0])


def test_below_its_minimum_a_node_is_named() -> None:
    state = supply.solve_tree([-1, 0], [2.9, 1.0], [8.0, 5.0], 24.0, [18.0, 22.5])
    np.testing.assert_array_equal(state.below_minimum, [False, True])
    failed = supply.solve_tree([-1], [9.0], [80.0], 24.0, [18.0])
    np.testing.assert_array_equal(failed.below_minimum, [False])


@pytest.mark.parametrize("parent", [[], [0], [-1, 1], [-1, 2, 0], [-2], [[-1]], [-1.0]], ids=str)
def test_nodes_out_of_order_are_refused(parent: list[object]) -> None:
    with pytest.raises(ValueError, match="node"):
        supply.solve_tree(parent, [1.0] * len(parent), [1.0] * len(parent), 24.0)  # type: ignore[arg-type]


def test_loads_for_another_number_of_nodes_are_refused() -> None:
    with pytest.raises(ValueError, match="2 nodes"):
        supply.solve_tree([-1, 0], [1.0, 1.0], [1.0], 24.0)
