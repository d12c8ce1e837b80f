"""Chances of a hop: held against plain random draws, against the assessment of the changed site, and as findings."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from survey_app.assess.chances import level_in_hand
from survey_app.assess.chances.hops import AskedChances
from survey_app.assess.chances.lattice import DRAWS, normal_draws
from survey_app.assess.chances.one import OneHop, chance_of
from survey_app.assess.job import Job
from survey_app.assess.numbers import numbers
from survey_app.assess.pipeline import assess
from survey_app.assess.rules import chance
from survey_app.site.edits import change
from survey_app.site.place import HeightKnown, PlanePoint
from survey_app.site.site import Site
from survey_app.site.structure import Obstacle, TreeStand
from tests.assess.rule_case import Case, regions
from tests.plot import Plot, one_hop

SURE = HeightKnown(how="tape", sigma_m=0.0)
GUESS = HeightKnown(how="guessed", sigma_m=0.8)


def wall(height_m: float, known: HeightKnown = GUESS, x_m: float = 60.0) -> Obstacle:
    outline = tuple(PlanePoint(x_m=x, y_m=y) for x, y in ((x_m, -30.0), (x_m + 2, -30.0), (x_m + 2, 50.0), (x_m, 50.0)))
    return Obstacle(
        id="wall", kind="obstacle", name="Long wall", outline=outline, height_m=height_m, height_known=known
    )


def with_wall(height_m: float, known: HeightKnown = GUESS, **more: Any) -> Plot:
    plot = one_hop(**more)
    plot.add("structures", wall(height_m, known))
    return plot


def asked(site: Site) -> OneHop:
    """Return the plot's hop as its chances are worked out."""
    job = Job(site)
    found = numbers(job, regions())
    want = AskedChances(job, found.around, found.radios, found.hops, found.obstruction, level_in_hand(job, found))
    want.given()
    return want.hops_of([0])[0]


# --- the draws ------------------------------------------------------------------------------------------------------


def test_every_unknown_takes_every_step_once_and_none_goes_with_another() -> None:
    draws = normal_draws(24)
    assert draws.shape == (24, DRAWS)
    assert len({tuple(np.sort(row)) for row in draws}) == 1
    assert np.mean(draws[0]) == pytest.approx(0.0, abs=1e-9)
    assert np.std(draws[0]) == pytest.approx(1.0, abs=0.01)
    together = np.corrcoef(draws)
    assert np.abs(together - np.eye(24)).max() < 0.2
    assert np.abs(together[:8, :8] - np.eye(8)).max() < 0.1


# --- against plain draws --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("height_m", [4.2, 4.9, 5.4, 6.0])
def test_chances_agree_with_plain_random_draws(height_m: float) -> None:
    hop = asked(with_wall(height_m).site())
    clear, level, _ = chance_of(hop)
    many = np.random.default_rng(7).standard_normal((len(hop.unknowns.rows), 100_000))
    plain = chance_of(hop, many)
    assert clear == pytest.approx(plain[0], abs=3.0 if 10.0 < plain[0] < 90.0 else 1.5)
    assert level == pytest.approx(plain[1], abs=1.5)


def test_one_doubtful_wall_has_the_chance_that_hand_geometry_gives() -> None:
    plot = with_wall(5.0)
    for mount in ("m-office", "m-column"):
        plot.set("mounts", mount, height_known=SURE, position_sigma_m=0.0, height_reference="datum")
    plot.set("mounts", "m-office", height_m=6.0)
    row = assess(plot.site(), regions()).hop("H-S")
    assert row.fresnel_clearance_ratio is not None
    assert row.clearance_m is not None
    zone_m = row.clearance_m / row.fresnel_clearance_ratio
    spare_m = row.clearance_m - 0.6 * zone_m
    by_hand = 50.0 * math.erfc(-spare_m / 0.8 / math.sqrt(2.0))
    assert row.clear_probability_percent == pytest.approx(by_hand, abs=1.0)
    assert row.best_measurement == "Tape the height of Long wall"


def test_a_draw_is_what_the_assessment_gives_for_the_site_so_changed() -> None:
    site = with_wall(4.9).site()
    hop = asked(site)
    keys = [row.key for row in hop.unknowns.rows]
    for lift_m in (-0.6, 0.3, 0.9):
        higher = assess(change(site, "wall", height_m=4.9 + lift_m).after, regions()).hop("H-S")
        one = np.zeros((len(keys), 1))
        at = keys.index("height of wall")
        one[at, 0] = lift_m / hop.unknowns.rows[at].sigma_m
        clear, _, _ = chance_of(hop, one)
        assert higher.fresnel_clearance_ratio is not None
        assert clear == (100.0 if higher.fresnel_clearance_ratio >= 0.6 else 0.0)


def test_a_radio_over_its_own_roof_keeps_its_distance_to_it() -> None:
    plot = one_hop()
    plot.set("structures", "office", height_known=HeightKnown(how="guessed", sigma_m=1.5))
    row = assess(plot.site(), regions()).hop("H-S")
    assert row.clear_probability_percent == 100.0, "the office lifts its own mast, the column stands 120 m off"


def test_far_from_everything_it_is_certain_and_in_a_wall_it_is_certainly_not() -> None:
    far = assess(one_hop().site(), regions()).hop("H-S")
    assert (far.clear_probability_percent, far.best_measurement) == (100.0, None)
    cut = assess(with_wall(12.0).site(), regions()).hop("H-S")
    assert cut.clear_probability_percent == 0.0


def test_growth_that_is_not_certain_counts() -> None:
    def chance_with(growth_m_per_year: float) -> float:
        plot = one_hop()
        outline = tuple(PlanePoint(x_m=x, y_m=y) for x, y in ((60.0, 0.0), (66.0, 0.0), (66.0, 12.0), (60.0, 12.0)))
        top_m = 4.6 - 5.0 * growth_m_per_year
        plot.add(
            "structures",
            TreeStand(
                id="trees", kind="tree_stand", outline=outline, crown_base_m=0.5, crown_top_m=top_m,
                growth_m_per_year=growth_m_per_year, height_known=SURE,
            ),
        )  # fmt: skip
        found = assess(plot.site(), regions()).hop("H-S").clear_probability_percent
        assert found is not None
        return found

    assert chance_with(0.0) > chance_with(0.3) > chance_with(0.6)


def test_same_bits_alone_and_beside_others() -> None:
    plot = with_wall(4.9)
    alone = assess(plot.site(), regions()).hop("H-S")
    plot.pole("other", 90.0, 80.0)
    plot.mount("m-other", "other", 5.5)
    plot.station("T", "m-other", "bowline-p16", "A")
    beside = assess(plot.site(), regions()).hop("H-S")
    assert alone.clear_probability_percent == beside.clear_probability_percent
    assert alone.best_measurement == beside.best_measurement


# --- the finding ----------------------------------------------------------------------------------------------------


def wall_that_somebody_guessed() -> Plot:
    return with_wall(4.7)


def wall_that_was_taped() -> Plot:
    return with_wall(4.7, HeightKnown(how="tape"))


def taped(site: Site) -> Site:
    return change(site, "wall", height_known=HeightKnown(how="tape")).after


CASES = (Case("chance-low", "note", "H-S", wall_that_somebody_guessed, wall_that_was_taped, taped),)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_it_fires_its_nearest_miss_does_not_and_its_cure_cures(case: Case) -> None:
    case.fires()
    case.misses()
    case.is_cured()


def test_every_code_has_its_case() -> None:
    assert {case.code for case in CASES} == set(chance.CODES)
