"""Automatic power at rest: as without interference where there is none, convergence on random systems, cycles named."""

from __future__ import annotations

import functools

import numpy as np
import pytest

from survey_app.assess.job import Job
from survey_app.assess.numbers import Numbers, numbers
from survey_app.assess.settling import Answer, answer_of, settled
from survey_app.physics.decibels import dbm_to_mw
from survey_app.physics.noise import noise_floor_dbm
from survey_app.physics.rates import at_mcs
from tests.assess.rule_case import regions
from tests.deployments.hub import sectors


@functools.cache
def site() -> tuple[Job, Numbers]:
    """Three cells on a mast; ceilings taken away, so that power control has room."""
    plot = sectors()
    for row in list(plot.rows["radios"]):
        plot.set("radios", row.id, power_ceiling_dbm=None)
    job = Job(plot.site())
    return job, numbers(job, regions())


def answering(heard_db: np.ndarray, step_db: float | None = None) -> tuple[Answer, np.ndarray, np.ndarray]:
    """Return the answer of the site's radios, and floor and ceiling."""
    import dataclasses

    job, found = site()
    radios, hops, index = found.radios, found.hops, found.needed.astype(float)
    if step_db is not None:
        radios = dataclasses.replace(radios, power_step_db=np.full(len(radios.ids), step_db))
    noise = noise_floor_dbm(radios.width_mhz, radios.noise_figure_db)
    wanted = (
        at_mcs(found.rates.sensitivity_a_dbm, index) - noise[hops.access_point] + hops.wanted_margin_db,
        at_mcs(found.rates.sensitivity_s_dbm, index) - noise[hops.station] + hops.wanted_margin_db,
    )
    quiet = noise + job.defaults.interference_rise_db
    gains_mw = dbm_to_mw(heard_db)
    full, fixed = found.powers.full_dbm, np.zeros(len(radios.ids), dtype=bool)
    answer = answer_of(
        radios,
        hops,
        wanted,
        quiet,
        found.path.path_gain_db,
        lambda power_dbm: gains_mw @ dbm_to_mw(power_dbm),
        fixed,
        full,
        -55.0,
    )
    return answer, radios.power_floor_dbm, full


def random_coupling(seed: int, strongest_db: float = -70.0) -> np.ndarray:
    _, found = site()
    count = len(found.radios.ids)
    rng = np.random.default_rng(seed)
    heard = rng.uniform(strongest_db - 50.0, strongest_db, (count, count))
    heard[rng.random((count, count)) < 0.5] = -np.inf
    np.fill_diagonal(heard, -np.inf)
    return heard


def test_where_nobody_disturbs_anybody_it_is_the_power_of_noise_alone() -> None:
    job, found = site()
    answer, floor, _ = answering(np.full((len(found.radios.ids),) * 2, -np.inf))
    rest = settled(tuple(found.radios.ids), answer, floor)
    assert rest.cycle == ()
    assert rest.power_dbm == pytest.approx(found.powers.service_dbm)
    assert rest.rounds <= 2
    assert job.defaults.target_level_dbm == -55.0


@pytest.mark.parametrize("block", range(4))
def test_random_systems_come_to_rest_between_floor_and_ceiling(block: int) -> None:
    moved = 0
    for seed in range(50 * block, 50 * block + 50):
        answer, floor, full = answering(random_coupling(seed))
        rest = settled(tuple(site()[1].radios.ids), answer, floor)
        assert rest.cycle == ()
        assert np.array_equal(answer(rest.power_dbm), rest.power_dbm)
        assert np.all((rest.power_dbm >= floor) & (rest.power_dbm <= full))
        steps = np.sum((full - floor) / site()[1].radios.power_step_db)
        assert rest.rounds <= steps + 2
        moved += rest.rounds > 2
    assert moved > 10, "interference decides in some of them"


def test_answer_never_falls_when_others_rise() -> None:
    rng = np.random.default_rng(7)
    for seed in range(30):
        answer, floor, full = answering(random_coupling(seed))
        low = floor + rng.random(len(floor)) * (full - floor)
        high = low + rng.random(len(floor)) * (full - low)
        assert np.all(answer(high) >= answer(low))


def test_state_of_rest_is_the_same_from_floor_and_ceiling_where_steps_are_fine() -> None:
    """Theorem of the standard interference function: one state of rest, wherever one begins."""
    for seed in range(10):
        answer, floor, full = answering(random_coupling(seed, -90.0), 0.001)
        names = tuple(site()[1].radios.ids)
        below, above = settled(names, answer, floor), settled(names, answer, full)
        assert below.power_dbm == pytest.approx(above.power_dbm, abs=0.02)


def test_two_radios_by_hand() -> None:
    """Each wants 10 dB over noise of 1 mW and a tenth of the other's power, over a path of 0 dB, in steps of 1 dB.

    Both begin at 0 dBm, 1 mW. 10 x (1 + 0.1) = 11 mW, in steps 10.41 -> 11 dBm = 12.59 mW; 10 x (1 + 1.259) = 22.59 mW,
    14 dBm = 25.12 mW; 10 x 3.512 = 35.12 mW, 16 dBm: a tenth of the power times ten is the power again, the gap never
    closes, and both end at their ceiling of 20 dBm. With a hundredth: 10 x 1.01 = 10.1 mW, 11 dBm = 12.59 mW;
    10 x 1.126 = 11.26 mW = 10.51 -> 11 dBm: at rest.
    """

    def answer(part: float) -> Answer:
        def found(power_dbm: np.ndarray) -> np.ndarray:
            wanted = 10.0 * (1.0 + part * 10.0 ** (power_dbm[::-1] / 10.0))
            return np.clip(np.ceil(10.0 * np.log10(wanted) - 1e-9), 0.0, 20.0)

        return found

    assert settled(("a", "b"), answer(0.1), np.zeros(2)).power_dbm.tolist() == [20.0, 20.0]
    assert settled(("a", "b"), answer(0.01), np.zeros(2)).power_dbm.tolist() == [11.0, 11.0]


def test_radios_that_never_rest_are_named() -> None:
    """One keeps still, two give way to each other for ever: both loud, both still."""

    def shy(power_dbm: np.ndarray) -> np.ndarray:
        return np.array([5.0, 20.0 - power_dbm[2], 20.0 - power_dbm[1]])

    rest = settled(("calm", "left", "right"), shy, np.zeros(3))
    assert rest.cycle == ("left", "right")
    assert rest.power_dbm.tolist() == [5.0, 20.0, 20.0]
