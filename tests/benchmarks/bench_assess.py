"""Speed of the assessment's array stage against the same budget hop by hop in plain Python."""

from __future__ import annotations

import math
import time

from survey_app.assess.job import Job
from survey_app.assess.numbers import numbers
from survey_app.assess.pipeline import assess
from survey_app.physics.gases import gas_attenuation_db_per_km
from survey_app.spectrum.regions import load_regions
from tests.benchmarks.big_site import big_site
from tests.benchmarks.plain_budget import plain_budgets
from tests.benchmarks.ratio import Ratio, best_of

__all__ = ["measure"]


def measure() -> list[Ratio]:
    """Return the ratios of the assessment."""
    rules = load_regions()
    site = big_site(10, 99)
    gas = float(gas_attenuation_db_per_km(5745.0))
    ours = best_of(lambda: numbers(Job(site), rules), 5)
    theirs = best_of(lambda: plain_budgets(Job(site), gas), 1)
    _same_answer(site, rules, gas)
    whole = best_of(lambda: assess(site, rules), 3)
    rows = [
        Ratio(
            "array stage, 1,000 radios, 990 hops",
            theirs / ours,
            "times faster than plain Python",
            at_least=20.0,
            ours_s=ours,
            reference_s=theirs,
        ),
        Ratio(
            "whole assessment with records, same site",
            whole / ours,
            "times the array stage",
            ours_s=whole,
            reference_s=ours,
        ),
    ]
    times = {}
    for cells in (10, 100, 1000):
        grown = big_site(cells, 10)
        times[cells * 10] = best_of(lambda grown=grown: numbers(Job(grown), rules), 3 if cells < 1000 else 1)
    growth = math.log(times[10000] / times[100]) / math.log(100.0)
    rows.append(
        Ratio(
            "growth from 100 to 10,000 hops",
            growth,
            "power of the number of hops",
            at_most=1.05,
            ours_s=times[10000],
            reference_s=times[100],
        )
    )
    return rows


def _same_answer(site, rules, gas: float) -> None:
    """The reference must be the same work: path gains agree to a hundredth of a decibel."""
    job = Job(site)
    found = numbers(job, rules)
    plain = plain_budgets(job, gas)
    worst = max(abs(found.path.path_gain_db[n] - plain[key].path_gain_db) for n, key in enumerate(found.hops.ids))
    if worst > 0.01:
        raise SystemExit(f"the reference disagrees by {worst:.3f} dB: no ratio can be given")


if __name__ == "__main__":
    started = time.perf_counter()
    for row in measure():
        print(row.words())
    print(f"measured in {time.perf_counter() - started:.0f} s")
