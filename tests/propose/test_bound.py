"""Walks, groups and mixtures: bounds that no plan exceeds, walks that keep their promises, and stopping when asked."""

from __future__ import annotations

import itertools
import time

import numpy as np
import pytest

from survey_app.physics.kernels import Kernel
from survey_app.propose.channels import groups, walk
from survey_app.propose.channels.bound import bound_of
from survey_app.propose.channels.exact import Programme, nodes_for, nodes_of
from survey_app.propose.channels.greedy import greedy_plan
from survey_app.propose.channels.groups import heaviest, shares_of
from survey_app.propose.channels.parts import densest, parted
from survey_app.propose.channels.problem import Problem, part_of, stood, worth_of
from survey_app.propose.channels.search import Found, Patience, search
from survey_app.propose.channels.solver import Solver
from survey_app.propose.channels.walk import walked
from tests.propose.test_exact import drawn, every_plan, usable


def problem_of(seed: int, cells: int, side_m: float = 700.0) -> Problem:
    problem = drawn(seed, cells, side_m=side_m)
    if not usable(problem):
        problem.allowed[:, 0] = True
    return problem


@pytest.mark.parametrize("seed", range(3))
def test_heaviest_group_is_the_heaviest_of_all_that_stand_each_other(seed: int) -> None:
    problem = problem_of(seed, 4, side_m=300.0)
    nodes = nodes_for(problem, 4.0, levels=False)
    rng = np.random.default_rng(seed)
    for share in shares_of(problem, nodes):
        weight = rng.uniform(0.0, 2.0, len(share.node))
        cells = nodes.cell[share.node]
        best = 0.0
        for cell_members in itertools.product(*[(-1, *np.flatnonzero(cells == cell)) for cell in np.unique(cells)]):
            members = [n for n in cell_members if n >= 0]
            owner = np.repeat(np.arange(len(cells)), np.diff(share.first))
            if np.all(share.into[np.isin(owner, members)][:, members].sum(axis=1) <= 1.0):
                best = max(best, float(weight[members].sum()))
        found = heaviest(share, weight, 10**6)
        assert found.weight == pytest.approx(best)
        assert found.bound == found.weight
        assert float(weight[found.members].sum()) == pytest.approx(found.weight)
        short = heaviest(share, weight, 1)
        assert short.bound >= best - 1e-9


@pytest.mark.parametrize("seed", range(4))
def test_no_plan_exceeds_the_bound(seed: int) -> None:
    problem = problem_of(seed, 2 + seed % 3)
    plans = [(plan, worth_of(problem, plan)) for plan in every_plan(problem)]
    best = max(worth.worst_db for _, worth in plans)
    kept = best - 1.0
    nodes = nodes_for(problem, kept, levels=True)
    bound = bound_of(problem, nodes, (max(plans, key=lambda one: one[1].worst_db)[0],))
    assert bound.finished
    good = [(plan, float(worth.capacity_mbps.sum())) for plan, worth in plans if worth.worst_db >= kept]
    assert bound.value >= max(carried for _, carried in good) - 1e-6
    for plan, _ in good:
        taken = nodes_of(problem, nodes, plan)
        assert taken is not None
        worth = float(nodes.value[taken].sum())
        # neither what is left out nor a cut takes a plan away that it should not
        assert np.all(bound.lost[taken] <= bound.value - worth + 1e-6)
        for cut in bound.cuts:
            assert float(cut.weight[np.isin(cut.node, taken)].sum()) <= cut.most + 1e-6
    asked = nodes_for(problem, best + 1e-6, levels=False)
    assert Programme(problem, asked).solve(np.inf).plan is None


def test_a_margin_that_no_mixture_keeps_has_no_plan() -> None:
    problem = problem_of(3, 5, side_m=200.0)
    best = max(worth_of(problem, plan).worst_db for plan in every_plan(problem))
    can, cannot = best, float(np.max(problem.margin_db))
    while cannot - can > 0.05:
        asked = (can + cannot) / 2.0
        bound = bound_of(problem, nodes_for(problem, asked, levels=False), enough=0.0)
        can, cannot = (can, asked) if bound.value < -1e-6 else (asked, cannot)
    assert best <= cannot < float(np.max(problem.margin_db)) - 1.0


def test_parts_of_a_plan_have_no_less_than_in_the_whole() -> None:
    problem = problem_of(2, 7)
    plan = greedy_plan(problem)
    parts = parted(problem, 3)
    assert sorted(np.concatenate(parts).tolist()) == list(range(7))
    assert max(map(len, parts)) <= 3
    for cells in (*parts, densest(problem, 4)):
        alone = part_of(problem, cells)
        assert np.all(worth_of(alone, plan[cells]).capacity_mbps >= worth_of(problem, plan).capacity_mbps[cells] - 1e-9)
        rows = np.isin(problem.cell, cells)
        assert np.all(stood(alone, plan[cells]) <= stood(problem, plan)[rows] * (1.0 + 1e-12))


def test_densest_part_leaves_out_who_hears_nobody() -> None:
    problem = problem_of(4, 6)
    problem.strength_mw[:, 2] = 0.0
    problem.strength_mw[problem.cell == 2] = 0.0
    assert 2 not in densest(problem, 5).tolist()


@pytest.mark.parametrize("seed", range(4))
def test_walk_is_never_worse_than_where_it_began_and_says_what_it_reached(seed: int) -> None:
    problem = problem_of(seed, 6, side_m=400.0)
    begin = greedy_plan(problem)
    worst = worth_of(problem, begin).worst_db
    up = walked(problem, begin, worst + 0.3, steps=30, seed=1, capacity=False)
    reached = worth_of(problem, up.plan).worst_db
    assert (up.short == 0.0) == (reached >= worst + 0.3 - 1e-6)
    on = walked(problem, begin, worst - 0.5, steps=30, seed=1, capacity=True)
    worth = worth_of(problem, on.plan)
    assert on.short == 0.0
    assert worth.worst_db >= worst - 0.5 - 1e-6
    assert float(worth.capacity_mbps.sum()) >= float(worth_of(problem, begin).capacity_mbps.sum()) - 1e-6
    top = np.max(np.where(problem.allowed, problem.capacity_mbps[0], 0.0), axis=1).sum()
    assert on.missing_mbps == pytest.approx(top - worth.capacity_mbps.sum())


def test_walk_changes_no_more_running_cells_than_it_may() -> None:
    problem = problem_of(5, 6, side_m=300.0)
    problem.allowed[:] = True
    problem.running[:] = 0
    begin = np.zeros(6, dtype=np.intp)
    for most in range(4):
        on = walked(problem, begin, -100.0, steps=40, seed=3, capacity=True, most_changes=most)
        assert int(np.sum(on.plan != 0)) <= most


def test_text_of_the_loops_gives_the_bits_of_their_machine_code(monkeypatch: pytest.MonkeyPatch) -> None:
    problem = problem_of(1, 6, side_m=400.0)
    begin = greedy_plan(problem)
    share = shares_of(problem, nodes_for(problem, 4.0, levels=True))[0]
    weight = np.random.default_rng(1).uniform(0.0, 2.0, len(share.node))

    def both() -> tuple[object, ...]:
        found, group = walked(problem, begin, 5.0, steps=30, seed=2, capacity=True), heaviest(share, weight, 500)
        return found.plan.tolist(), found.short, found.missing_mbps, group.members.tolist(), group.weight, group.bound

    monkeypatch.setattr(Kernel, "sized", lambda self, _: self.text())
    text = both()
    monkeypatch.setattr(Kernel, "sized", lambda self, _: self)
    assert both() == text
    assert isinstance(walk._walk, Kernel)
    assert isinstance(groups._heaviest, Kernel)


def large(seed: int) -> Problem:
    problem = drawn(seed, 11, side_m=900.0, wide=False)
    problem.allowed[:] = True
    return problem


def same(one: Found, other: Found) -> bool:
    return (
        np.array_equal(one.plan, other.plan)
        and (one.worst_db, one.worst_bound_db, one.capacity_mbps, one.capacity_bound_mbps)
        == (other.worst_db, other.worst_bound_db, other.capacity_mbps, other.capacity_bound_mbps)
        and len(one.equal) == len(other.equal)
        and all(map(np.array_equal, one.equal, other.equal))
    )


def test_two_searches_of_more_than_a_few_cells_give_the_same_bits() -> None:
    one, other = (search(large(8), Patience(300.0), equals=1) for _ in range(2))
    assert not one.stopped
    assert same(one, other)
    assert one.margin_gap_db == 0.0
    assert one.worst_bound_db >= one.best_db
    assert one.capacity_bound_mbps == one.capacity_mbps
    assert one.best_db >= worth_of(large(8), greedy_plan(large(8))).worst_db - 1e-9


class _CalledOffError(Exception):
    pass


def test_long_work_of_the_solver_stops_soon_after_it_is_asked_to() -> None:
    rng = np.random.default_rng(0)
    hard = Solver(rng.uniform(1.0, 2.0, 400), whole=True)
    for _ in range(300):
        columns = np.sort(rng.choice(400, 40, replace=False))
        hard.add_row(columns, rng.uniform(1.0, 2.0, 40), -np.inf, 7.3)
    asked = 0

    def stop() -> bool:
        nonlocal asked
        asked += 1
        return asked > 3

    found = hard.solve(time.monotonic() + 600.0, stop)
    assert not found.done
    assert asked < 50
    assert found.bound >= found.value

    def refuse() -> bool:
        raise _CalledOffError

    with pytest.raises(_CalledOffError):
        hard.solve(time.monotonic() + 600.0, refuse)


def test_solver_writes_nothing_where_results_go(capfd: pytest.CaptureFixture[str]) -> None:
    small = Solver(np.ones(3), whole=True)
    small.add_row(np.arange(3), np.ones(3), -np.inf, 2.0)
    assert small.solve(np.inf).value == pytest.approx(2.0)
    assert capfd.readouterr() == ("", "")


def test_who_calls_the_search_off_is_heard_in_the_midst_of_it() -> None:
    calls = 0

    def told(_: str) -> bool:
        nonlocal calls
        calls += 1
        if calls == 3:
            raise _CalledOffError
        return True

    with pytest.raises(_CalledOffError):
        search(large(9), Patience(600.0, told))
