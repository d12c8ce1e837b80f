"""Levels between all radios against the same pair by pair; a channel plan against colours given greedily; the whole."""

from __future__ import annotations

import functools
import math
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from unittest import mock

import numpy as np

from survey_app.assess import pipeline, rules
from survey_app.assess.interference import Coupling, coupling, coupling_of
from survey_app.assess.job import Job
from survey_app.assess.numbers import Numbers, numbers
from survey_app.propose.channels.problem import Problem, worth_of
from survey_app.propose.channels.search import MARGIN_STEP_DB, Patience, search
from survey_app.propose.channels.tables import tables_of
from survey_app.site.edits import set_region
from survey_app.site.site import Site
from survey_app.spectrum.regions import Regions, load_regions
from tests.benchmarks.big_site import big_site
from tests.benchmarks.plain_budget import _End, _gain, _upward
from tests.benchmarks.ratio import Ratio

__all__ = ["measure"]

_STAGES = ("at_rest", "fine_air", "route_rows", "capacity_of", "failure_rows", "leg_loads")
_RULES = ("air", "ways", "same_channel", "addressing", "network")
_MAIN_LOBE_DB = 10.0


def _cpu(work: Callable[[], object], times: int) -> float:
    """Return the shortest processor time of several runs: others may load the machine. [s]"""
    best = math.inf
    for _ in range(times):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best


def _plain_ends(job: Job, found: Numbers) -> list[_End]:
    radios, ends = found.radios, []
    for n, radio in enumerate(job.radios.values()):
        kind = job.radio_type(radio)
        assert kind is not None
        ends.append(
            _End(
                radios.x_m[n], radios.y_m[n], radios.elevation_m[n], 0.0, 0.0, radios.gain_dbi[n],
                radios.azimuth_beamwidth_deg[n], radios.elevation_beamwidth_deg[n], radios.front_to_back_db[n],
                radios.electrical_downtilt_deg[n], kind.pattern is not None and kind.pattern.model == "sector", kind,
                0.0, found.aims.bearing_deg[n], found.aims.tilt_deg[n],
            )
        )  # fmt: skip
    return ends


def _pair_by_pair(ends: list[_End], rows: int, unlike_db: dict[tuple[str, str], float]) -> list[list[float]]:
    """Return the path gain into the first rows of radios from all others, in plain Python."""
    table = []
    for hears in ends[:rows]:
        line = []
        for sends in ends:
            if sends is hears:
                line.append(math.nan)
                continue
            east, north = sends.x_m - hears.x_m, sends.y_m - hears.y_m
            ground = max(math.hypot(east, north), 1e-3)
            apart = math.hypot(ground, sends.height_m - hears.height_m)
            toward = math.degrees(math.atan2(east, north))
            up, down = _upward(hears.height_m, sends.height_m, ground), _upward(sends.height_m, hears.height_m, ground)
            here = _gain(hears, toward, up, hears.aim, hears.tilt)
            there = _gain(sends, toward + 180.0, down, sends.aim, sends.tilt)
            path = here + there - 20.0 * math.log10(4.0 * math.pi * max(apart, 0.3) * 5500e6 / 299792458.0)
            if here >= hears.gain - _MAIN_LOBE_DB and there >= sends.gain - _MAIN_LOBE_DB:
                path -= unlike_db[hears.kind.id, sends.kind.id]
            line.append(path)
        table.append(line)
    return table


def _matrix() -> Iterator[Ratio]:
    regions = load_regions()
    times: dict[int, float] = {}
    start = time.process_time()
    for cells in (10, 20, 40):
        job = Job(big_site(cells, 24))
        found = numbers(job, regions)
        if cells == 10:
            start = time.process_time()
            _coupling(job, found)
            first = time.process_time() - start
        times[cells * 25] = _cpu(functools.partial(_coupling, job, found), 7)
        if cells == 20:
            ends, rows = _plain_ends(job, found), 25
            unlike = {(a.kind.id, b.kind.id): 0.0 for a in ends for b in ends}  # all of one make
            plain = _cpu(functools.partial(_pair_by_pair, ends, rows, unlike), 5) * len(ends) / rows
            off = np.nanmax(np.abs(np.array(_pair_by_pair(ends, 5, unlike)) - _coupling(job, found).gain_db[:5]))
            # the plain frame aims by true north at one point, ours by the plan's
            if off > 0.05:
                raise SystemExit(f"the reference disagrees by {off:.3f} dB: no ratio can be given")
            arrays = _cpu(functools.partial(_uncompiled, job, found), 7)
    yield Ratio("500 radios, level of each at each, against pair by pair", plain / times[500], "times", at_least=50.0,
                ours_s=times[500], reference_s=plain)  # fmt: skip
    yield Ratio("the same by arrays alone, nothing compiled", plain / arrays, "times", ours_s=arrays, reference_s=plain)
    yield Ratio("first use in a process, compiling or reading back", first, "s")
    growth = math.log(times[1000] / times[250]) / math.log(4.0)
    yield Ratio("growth from 250 to 1,000 radios", growth, "power of the number of radios", at_most=2.1,
                ours_s=times[1000], reference_s=times[250])  # fmt: skip


def _coupling(job: Job, found: Numbers) -> Coupling:
    return coupling_of(job, found.radios, found.aims, found.placed.plane)


def _uncompiled(job: Job, found: Numbers) -> Coupling:
    with mock.patch.object(coupling, "_WORTH_COMPILING", math.inf):
        return _coupling(job, found)


def _dsatur(problem: Problem) -> float:
    """Return the worst margin of a plan by the DSATUR colours of the cells that hear each other."""
    import networkx

    loud = np.zeros((problem.cells, problem.cells))
    ratio = np.max(problem.strength_mw, axis=2) / np.min(problem.floor_mw, axis=1, keepdims=True)
    np.maximum.at(loud, problem.cell, ratio)
    graph = networkx.Graph()
    graph.add_nodes_from(range(problem.cells))
    graph.add_edges_from((a, b) for a in range(problem.cells) for b in range(a) if max(loud[a, b], loud[b, a]) > 0.1)
    colours = networkx.greedy_color(graph, strategy="DSATUR")
    # the colours are the 20 MHz choices in their order
    plan = []
    for cell in range(problem.cells):
        offered = np.flatnonzero(problem.allowed[cell])
        plan.append(int(offered[colours[cell] % len(offered)]))
    return worth_of(problem, np.array(plan, dtype=np.intp)).worst_db


def _plans() -> Iterator[Ratio]:
    regions = load_regions()
    for cells, seconds in ((30, 60.0), (100, 120.0)):
        tables = tables_of(set_region(big_site(cells, 1), "EU").after, regions)
        assert tables is not None
        start, cpu = time.perf_counter(), time.process_time()
        plan = search(tables.problem, Patience(seconds), equals=0)
        took, work = time.perf_counter() - start, time.process_time() - cpu
        offered = int(tables.problem.allowed.sum(axis=1).max())
        what = f"channel plan of {cells} cells on {offered} choices each, {took:.0f} s ({work:.0f} s of one core)"
        # to the step that no unit shows: that is what "proven" says of a margin
        over = plan.worst_bound_db - max(plan.best_db, plan.worst_db)
        gap = 0.0 if over <= 1.01 * MARGIN_STEP_DB else 100.0 * over / max(1.0, abs(plan.best_db))
        lines = f"{what}: gap of the worst margin ({plan.best_db:.2f} dB, at most {plan.worst_bound_db:.2f} dB)"
        yield Ratio(lines, gap, "%", at_most=0.0 if cells == 30 else 2.0)
        more = 100.0 * (plan.capacity_bound_mbps / plan.capacity_mbps - 1.0)
        yield Ratio(f"{what}: gap of the capacity", more, "%", at_most=0.01 if cells == 30 else 2.0)
        yield Ratio(f"{what}: worst margin over greedy colours", plan.worst_db - _dsatur(tables.problem), "dB",
                    at_least=0.0)  # fmt: skip


@contextmanager
def _timed(spent: list[float]) -> Iterator[None]:
    """Count what the stages and the rules of the network take while the site is assessed."""

    def counted(work: Callable[..., object]) -> Callable[..., object]:
        def run(*args: object, **kwargs: object) -> object:
            start = time.process_time()
            try:
                return work(*args, **kwargs)
            finally:
                spent[0] += time.process_time() - start

        return run

    own = tuple(f"survey_app.assess.rules.{name}" for name in _RULES)
    asked = rules._asked

    def rule_asked(view: object, rule: Callable[..., object]) -> object:
        ask = counted(asked) if rule.__module__ in own else asked
        return ask(view, rule)

    with ExitStack() as stack:
        for name in _STAGES:
            stack.enter_context(mock.patch.object(pipeline, name, counted(getattr(pipeline, name))))
        stack.enter_context(mock.patch.object(rules, "_asked", rule_asked))
        yield


def _whole(site: Site, regions: Regions) -> Ratio:
    pipeline.assess(site, regions)
    best, rest = math.inf, math.inf
    for _ in range(3):
        spent = [0.0]
        with _timed(spent):
            took = _cpu(lambda: pipeline.assess(site, regions), 1)
        if took < best:
            best, rest = took, took - spent[0]
    return Ratio("whole assessment of 500 radios, 480 hops, 480 cameras, against all but the network's stages",
                 best / rest, "times", at_most=5.0, ours_s=best, reference_s=rest)  # fmt: skip


def measure() -> list[Ratio]:
    """Return how the stages of a network compare with their references."""
    return [*_matrix(), _whole(big_site(20, 24), load_regions()), *_plans()]


if __name__ == "__main__":
    for line in measure():
        print(line.words())
