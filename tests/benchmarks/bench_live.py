"""Speed of what follows a drag: the numbers of a frame, and the assessment that settles afterwards."""

from __future__ import annotations

import time
from itertools import count

from survey_app.assess.live import Lift
from survey_app.assess.memo import Memo
from survey_app.assess.pipeline import assess
from survey_app.site.edits import move_by
from survey_app.spectrum.regions import load_regions
from tests.benchmarks.big_site import big_site
from tests.benchmarks.ratio import Ratio, best_of

__all__ = ["measure"]


def measure() -> list[Ratio]:
    """Return the ratios of drag and settling."""
    rules = load_regions()
    small = big_site(125, 3)
    before = assess(small, rules)
    steps = [move_by(small, "pole-a3", dx_m=0.1 + n, dy_m=0.5).after for n in range(20)]
    lift = Lift(small, ["pole-a3"], rules, before)
    lift.at(steps[0])
    turn = count()
    frame = best_of(lambda: lift.at(steps[next(turn) % 20]), 60)

    site, memo = big_site(50, 9), Memo()
    assess(site, rules, memo=memo)
    moved = [move_by(site, "pole-s3-2", dx_m=1.0 + n, dy_m=1.2).after for n in range(5)]
    turn = count()
    warm = best_of(lambda: assess(moved[next(turn) % 5], rules, memo=memo), 5)
    cold = best_of(lambda: assess(moved[0], rules), 3)
    return [
        Ratio(
            "frame of a drag, one pole with 3 hops in 500 radios",
            frame / 0.005,
            "times 5 ms",
            at_most=1.0,
            ours_s=frame,
            reference_s=0.005,
        ),
        Ratio(
            "assessment after moving one pole of 500 radios, kept against anew",
            warm / cold,
            "of the whole",
            at_most=0.2,
            ours_s=warm,
            reference_s=cold,
        ),
    ]


if __name__ == "__main__":
    started = time.perf_counter()
    for row in measure():
        print(row.words())
    print(f"measured in {time.perf_counter() - started:.0f} s")
