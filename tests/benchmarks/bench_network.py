"""Levels between all radios against the same pair by pair; a channel plan against colours given greedily."""

from __future__ import annotations

import math
import time

import numpy as np

from survey_app.assess.interference import coupling_of
from survey_app.assess.job import Job
from survey_app.assess.numbers import Numbers, numbers
from survey_app.propose.channels.problem import Problem, worth_of
from survey_app.propose.channels.search import Patience, search
from survey_app.propose.channels.tables import tables_of
from survey_app.site.edits import set_region
from survey_app.spectrum.regions import load_regions
from tests.benchmarks.big_site import big_site
from tests.benchmarks.plain_budget import _End, _gain, _upward
from tests.benchmarks.ratio import Ratio, best_of

__all__ = ["measure"]


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


def _pair_by_pair(ends: list[_End], rows: int) -> list[list[float]]:
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
            gain = _gain(hears, toward, up, hears.aim, hears.tilt)
            gain += _gain(sends, toward + 180.0, down, sends.aim, sends.tilt)
            line.append(gain - 20.0 * math.log10(4.0 * math.pi * apart * 5500e6 / 299792458.0))
        table.append(line)
    return table


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


def measure() -> list[Ratio]:
    """Return how the stages of a network compare with their references."""
    regions = load_regions()
    job = Job(big_site(20, 24))
    found = numbers(job, regions)
    ours = best_of(lambda: coupling_of(job, found.radios, found.aims, found.placed.plane), 3)
    ends, rows = _plain_ends(job, found), 25
    plain = best_of(lambda: _pair_by_pair(ends, rows), 2) * len(ends) / rows
    lines = [Ratio("500 radios, level of each at each, against pair by pair", plain / ours, "times", at_least=50.0,
                   ours_s=ours, reference_s=plain)]  # fmt: skip
    for cells, seconds in ((30, 60.0), (100, 120.0)):
        tables = tables_of(set_region(big_site(cells, 1), "EU").after, regions)
        assert tables is not None
        start = time.perf_counter()
        plan = search(tables.problem, Patience(seconds), equals=0)
        took = time.perf_counter() - start
        what = f"channel plan of {cells} cells on {len(tables.choices)} choices, {took:.0f} s"
        gap = 100.0 * (plan.margin_gap_db / max(1.0, abs(plan.worst_db)))
        lines.append(Ratio(f"{what}: gap of the worst margin", gap, "%", at_most=0.0 if cells == 30 else 2.0))
        more = 100.0 * (plan.capacity_bound_mbps / plan.capacity_mbps - 1.0)
        lines.append(Ratio(f"{what}: gap of the capacity", more, "%", at_most=0.01 if cells == 30 else 2.0))
        over = plan.worst_db - _dsatur(tables.problem)
        lines.append(Ratio(f"{what}: worst margin over greedy colours", over, "dB", at_least=0.0))
    return lines


if __name__ == "__main__":
    for line in measure():
        print(line.words())
