"""The exact search against trying everything, against greedy plans, and its own promises."""

from __future__ import annotations

import itertools

import networkx
import numpy as np
import pytest

from survey_app.assess.interference import rejection_db
from survey_app.propose.channels.exact import Programme, nodes_for
from survey_app.propose.channels.greedy import greedy_plan
from survey_app.propose.channels.problem import Problem, worth_of
from survey_app.propose.channels.search import Patience, search

_STEPS_DB = np.array([23.0, 39.0, 55.0])
_LONG = Patience(seconds=120.0)


def drawn(seed: int, cells: int, side_m: float = 1500.0, wide: bool = True) -> Problem:
    """Draw cells in a square, each with an access point and a station, on a few channels of 20 and of 40 MHz."""
    rng = np.random.default_rng(seed)
    narrow = [(5500.0 + 20.0 * n, 20.0) for n in range(int(rng.integers(2, 4)))]
    choices = narrow + ([(5510.0, 40.0)] if wide else [])
    centre, width = (np.array(column) for column in zip(*choices, strict=True))
    access_points = rng.uniform(0.0, side_m, (cells, 2))
    stations = access_points + rng.normal(0.0, 150.0, (cells, 2))
    cell = np.repeat(np.arange(cells), 2)
    receivers = np.empty((2 * cells, 2))
    receivers[0::2], receivers[1::2] = access_points, stations
    apart = np.minimum(
        np.linalg.norm(receivers[:, None] - access_points[None], axis=-1),
        np.linalg.norm(receivers[:, None] - stations[None], axis=-1),
    )
    level = 27.0 - (20.0 * np.log10(np.maximum(apart, 1.0)) + 47.2) + rng.normal(0.0, 8.0, (2 * cells, cells))
    strength = np.power(10.0, level / 10.0)
    strength[np.arange(2 * cells), cell] = 0.0
    held = rejection_db(centre[None, :], width[None, :], centre[:, None], width[:, None], _STEPS_DB)
    wider = 10.0 * np.log10(width / 20.0)
    carried = (
        width[None, None, :]
        * rng.uniform(1.0, 3.0, (1, cells, 1))
        * np.array([1.0, 0.9, 0.7, 0.6, 0.5, 0.4])[:, None, None]
    )
    return Problem(
        allowed=rng.random((cells, len(choices))) < 0.85,
        cell=cell,
        margin_db=rng.uniform(8.0, 22.0, (2 * cells, 1)) - wider[None, :] + rng.normal(0.0, 0.3, (2 * cells, len(choices))),
        floor_mw=np.broadcast_to(np.power(10.0, (-92.0 + wider) / 10.0), (2 * cells, len(choices))),
        strength_mw=np.repeat(strength[:, :, None], len(choices), axis=2),
        passed=np.power(10.0, -held / 10.0)[None],
        receiver=np.zeros(2 * cells, dtype=np.intp),
        capacity_mbps=carried,
        running=np.full(cells, -1),
        burden=np.zeros((cells, len(choices))),
    )  # fmt: skip


def usable(problem: Problem) -> bool:
    return bool(problem.allowed.any(axis=1).all())


def every_plan(problem: Problem) -> list[np.ndarray]:
    rows = [np.flatnonzero(row).tolist() for row in problem.allowed]
    return [np.array(plan, dtype=np.intp) for plan in itertools.product(*rows)]


@pytest.mark.parametrize("seed", range(30))
def test_plan_when_everything_is_tried_is_the_best(seed: int) -> None:
    cells = 2 + seed % 5
    problem = drawn(seed, cells, side_m=400.0 + 100.0 * (seed % 9))
    if not usable(problem):
        problem.allowed[:, 0] = True
    worths = [(worth_of(problem, plan), plan) for plan in every_plan(problem)]
    best = max(worth.worst_db for worth, _ in worths)
    found = search(problem, _LONG, step_db=0.001, tie_db=0.002)
    assert not found.stopped
    assert found.worst_db == pytest.approx(best, abs=0.0035)
    assert found.worst_bound_db >= best - 1e-6
    assert found.margin_gap_db == 0.0
    # of those that are worth the same, the one that carries most
    kept = found.worst_db
    most = max(float(worth.capacity_mbps.sum()) for worth, _ in worths if worth.worst_db >= kept - 1e-9)
    assert found.capacity_mbps >= most - 1e-6
    assert found.capacity_bound_mbps >= most - 1e-6


@pytest.mark.parametrize("seed", range(4))
def test_plan_is_never_worse_than_greedy_colours(seed: int) -> None:
    problem = drawn(seed + 100, 9, wide=False)
    problem.allowed[:] = True
    loud = np.zeros((9, 9))
    for row, cell in enumerate(problem.cell):
        loud[cell] = np.maximum(loud[cell], problem.strength_mw[row, :, 0] / problem.floor_mw[row, 0])
    heard = networkx.Graph()
    heard.add_nodes_from(range(9))
    heard.add_edges_from((a, b) for a in range(9) for b in range(a) if max(loud[a, b], loud[b, a]) > 1.0)
    colours = networkx.greedy_color(heard, strategy="DSATUR")
    by_colour = np.array([colours[cell] % problem.choices for cell in range(9)], dtype=np.intp)
    found = search(problem, _LONG)
    assert found.worst_db >= worth_of(problem, by_colour).worst_db - 1e-9
    assert found.worst_db >= worth_of(problem, greedy_plan(problem)).worst_db - 1e-9


def test_several_quiet_interferers_that_are_too_much_together_are_kept_apart() -> None:
    problem = drawn(3, 4, wide=False)
    problem.allowed[:] = False
    problem.allowed[:, :2] = True
    quiet = np.array(problem.floor_mw[0, 0])
    problem.strength_mw[:] = 0.0
    # alone each takes 1.8 dB, two together 3.0 dB, three 4.0 dB
    problem.strength_mw[0, 1:, :] = 0.5 * quiet
    problem.margin_db[:] = 20.0
    problem.margin_db[0] = 10.0
    problem.passed[:] = np.eye(problem.choices)
    found = search(problem, _LONG)
    assert found.worst_db == pytest.approx(10.0, abs=1e-6)
    assert all(found.plan[other] != found.plan[0] for other in (1, 2, 3))
    problem.allowed[1:, 1] = False
    problem.allowed[0, 1] = False
    together = search(problem, _LONG)
    assert together.worst_db == pytest.approx(10.0 - 10.0 * np.log10(2.5), abs=1e-6)


def test_a_margin_that_the_sum_forbids_has_no_plan() -> None:
    problem = drawn(3, 4, wide=False)
    problem.allowed[:] = False
    problem.allowed[:, 0] = True
    problem.strength_mw[:] = 0.0
    problem.strength_mw[0, 1:, :] = 0.5 * problem.floor_mw[0, 0]
    problem.margin_db[:] = 10.0
    left = 10.0 - 10.0 * np.log10(2.5)
    for asked, there in ((left - 0.01, True), (left + 0.01, False)):
        answer = Programme(problem, nodes_for(problem, asked, levels=False)).solve(float("inf"))
        assert (answer.plan is not None) == there
        assert answer.proven


def test_plans_of_equal_worth_are_all_different_and_worth_the_same() -> None:
    problem = drawn(5, 3, side_m=200000.0, wide=False)
    problem.allowed[:] = True
    problem.margin_db[:] = 12.0
    found = search(problem, _LONG, equals=4)
    plans = {tuple(plan.tolist()) for plan in (found.plan, *found.equal)}
    assert len(plans) == 5
    for plan in found.equal:
        worth = worth_of(problem, plan)
        assert float(worth.capacity_mbps.sum()) == pytest.approx(found.capacity_mbps)
        assert worth.worst_db == pytest.approx(found.worst_db, abs=0.5)


@pytest.mark.parametrize("seed", range(6))
def test_without_one_cell_nobody_is_worse_off(seed: int) -> None:
    problem = drawn(seed + 40, 5)
    problem.allowed[:] = True
    before = search(problem, _LONG, step_db=0.001, tie_db=0.002)
    problem.strength_mw[:, 0] = 0.0
    after = search(problem, _LONG, step_db=0.001, tie_db=0.002)
    assert after.worst_db >= before.worst_db - 0.004


def test_running_cells_change_no_more_than_is_allowed() -> None:
    problem = drawn(7, 5, side_m=300.0)
    problem.allowed[:] = True
    problem.running[:] = 0
    for most in range(6):
        found = search(problem, _LONG, most_changes=most)
        assert int(np.sum(found.plan != 0)) <= most


def test_a_search_that_is_called_off_states_its_gap() -> None:
    problem = drawn(11, 6)
    problem.allowed[:] = True
    found = search(problem, Patience(60.0, lambda _: False))
    assert found.stopped
    assert found.margin_gap_db == pytest.approx(found.worst_bound_db - found.worst_db)
    assert found.capacity_bound_mbps >= found.capacity_mbps
