"""Unlike turns, lost frames and bursts against the outside world.

The turns of contention are held against a simulation that draws every back-off, against the fixed point of BIANCHI
(2000) and the formulas of HEUSSE (2003); one turn against the timing of IEEE80211 added by hand; the queue of pictures
against Pollaczek and Khinchine (KLEINROCK, 1975, 5.6), against the exact series for one fixed length, and against a
simulation of every picture.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from survey_app.physics import bursts, contention, efficiency, frame_loss, turns
from tests.physics.slot_simulation import simulated_mbps

SIMULATED = 0.04
"""How far model and simulation may lie apart, relative: the simulation itself wanders by 1 to 2 %."""

_GRID = [
    ([300.0] * 2, [0.0] * 2),
    ([300.0] * 6, [0.0] * 6),
    ([250.0] * 12, [0.0] * 12),
    ([200.0, 1500.0], [0.0, 0.0]),
    ([200.0, 200.0, 200.0, 1800.0], [0.0] * 4),
    ([1500.0, 900.0, 400.0, 250.0, 150.0], [0.0] * 5),
    ([300.0, 300.0, 300.0], [0.3, 0.0, 0.0]),
    ([400.0, 1200.0, 200.0, 200.0], [0.1, 0.4, 0.0, 0.05]),
]


@pytest.mark.parametrize(("turn_us", "loss", "frames"), [(*row, (1, 8)[n % 2]) for n, row in enumerate(_GRID)])
def test_turns_match_a_simulation_of_every_slot(turn_us: list[float], loss: list[float], frames: int) -> None:
    """Stations, lengths of turns, losses and frames in a turn, over a grid; together within 4 %, like senders within 12 %.

    A single sender may be stuck with a long window for seconds, so that like senders are taken together, and still wander.
    """
    bits = [11776.0 * frames] * len(turn_us)
    model = turns.turns_mbps(bits, turn_us, loss, [frames] * len(turn_us))
    # where frames are lost, windows grow long, and what one sender gets wanders more
    turns_drawn = 40_000 if any(loss) else 20_000
    seen = simulated_mbps(bits, turn_us, loss, [frames] * len(turn_us), turns=turns_drawn)
    assert model.sum() == pytest.approx(seen.sum(), rel=SIMULATED)
    kinds: dict[tuple[float, float], list[int]] = {}
    for n, kind in enumerate(zip(turn_us, loss, strict=True)):
        kinds.setdefault(kind, []).append(n)
    for like in kinds.values():
        assert model[like].mean() == pytest.approx(seen[like].mean(), rel=0.12)


@pytest.mark.parametrize("stations", [1, 2, 3, 5, 10, 20])
def test_like_senders_are_the_fixed_point_of_bianchi(stations: int) -> None:
    """D: BIANCHI, 2000, (7), (9) and (13), which `contention` solves by halving for one kind of sender."""
    air = ("n", 40, 7, 2, 0.4, 32)
    turn = float(efficiency.exchange_us(*air, with_backoff=False))
    found = turns.turns_mbps([32 * 11776.0] * stations, [turn] * stations, [0.0] * stations, [32] * stations)
    whole = float(contention.saturated_efficiency(stations, *air)) * 300.0
    assert found.sum() == pytest.approx(whole, rel=1e-9)
    np.testing.assert_allclose(turns.turn_probability([0.0] * stations), contention.transmit_probability(stations))


@pytest.mark.parametrize("rates", [[54.0, 54.0], [130.0, 13.0], [130.0, 130.0, 13.0], [300.0, 300.0, 65.0, 13.0]])
def test_unlike_senders_show_the_anomaly_of_heusse(rates: list[float]) -> None:
    """D: HEUSSE, 2003, sections II and III, whose count of collisions is good to 5 % up to four stations."""
    turn = [130.0 + 11776.0 / rate for rate in rates]
    found = turns.turns_mbps([11776.0] * len(rates), turn, [0.0] * len(rates), [1] * len(rates))
    np.testing.assert_allclose(found, found[0], rtol=1e-9)
    assert found[0] == pytest.approx(float(contention.anomaly_mbps(rates, 130.0)), rel=0.05)


def test_a_turn_is_the_standards_timing_added_by_hand() -> None:
    """D: IEEE80211, 2020: 43 + 40 + ceil((22 + 8 x 8 x 1560) / 1080) x 3.6 + 16 + 32 us, 8 frames at 300 Mbit/s."""
    by_hand = 43.0 + 40.0 + math.ceil((22 + 8 * 8 * 1560) / 1080) * 3.6 + 16.0 + 32.0
    assert float(efficiency.exchange_us("n", 40, 7, 2, 0.4, 8, with_backoff=False)) == pytest.approx(by_hand)


def test_a_tenth_is_lost_at_the_sensitivity_and_nearly_none_with_margin() -> None:
    """M: IEEE80211, 2020, 19.3.19.2: 10 % of 4096 octets. Shorter frames lose less: 1 - 0.9^(1554/4096) = 3.9 %."""
    assert float(frame_loss.frame_loss_fraction(0.0)) == pytest.approx(0.1)
    assert float(frame_loss.frame_loss_fraction(0.0, 1554)) == pytest.approx(1 - 0.9 ** (1554 / 4096))
    assert float(frame_loss.frame_loss_fraction(10.0)) < 2e-6
    assert float(frame_loss.frame_loss_fraction(-10.0)) > 0.99
    assert float(frame_loss.attempts_per_frame(1.0)) == 7.0
    assert float(frame_loss.attempts_per_frame(0.1, 3)) == pytest.approx(1.11)


# ---- pictures in a queue


def _crommelin(times: float, load: float) -> float:
    """Chance to wait at most so many services, all alike: the exact series for the queue M/D/1 (Crommelin, 1932)."""
    terms = [
        (-load * (times - k)) ** k * math.exp(load * (times - k)) / math.factorial(k) for k in range(int(times) + 1)
    ]
    return (1.0 - load) * math.fsum(terms)


@pytest.mark.parametrize("load", [0.2, 0.5, 0.7])
def test_delay_of_like_pictures_is_that_of_the_exact_series(load: float) -> None:
    found = float(bursts.picture_delay_ms([10.0], [load / 10.0])) / 10.0 - 1.0
    assert _crommelin(found - 0.12, load) < 0.99 < _crommelin(found + 0.12, load)


def _simulated_ms(service: list[float], per_ms: list[float], count: int = 1_000_000) -> tuple[float, float]:
    """Return mean wait and the delay that 99 of 100 pictures keep: every picture drawn and sent in its turn."""
    drawn = np.random.default_rng(4)
    total = sum(per_ms)
    gaps = drawn.exponential(1.0 / total, count)
    length = drawn.choice(service, count, p=[one / total for one in per_ms])
    # the wait of each is the height of a walk over its lowest point so far
    steps = length[:-1] - gaps[1:]
    walk = np.concatenate([[0.0], np.cumsum(steps)])
    wait = walk - np.minimum.accumulate(walk)
    return float(wait.mean()), float(np.quantile(wait + length, 0.99))


@pytest.mark.parametrize(("load", "ratio"), [*itertools.product([0.2, 0.5, 0.8], [1.0, 6.0, 12.0])])
def test_delay_and_mean_wait_match_a_simulation_of_every_picture(load: float, ratio: float) -> None:
    """One key picture to thirty others. Delay and mean within 4 %: a million draws wander by 1 to 2 % at 80 %."""
    service = [4.0 * ratio, 4.0]
    per_ms = [load / (4.0 * ratio + 30 * 4.0), 30 * load / (4.0 * ratio + 30 * 4.0)]
    mean, late = _simulated_ms(service, per_ms)
    assert float(bursts.mean_wait_ms(service, per_ms)) == pytest.approx(mean, rel=0.04)
    assert float(bursts.picture_delay_ms(service, per_ms)) == pytest.approx(late, rel=0.04)


def test_regular_cameras_crowd_less_than_chance() -> None:
    """Eight cameras that beat regularly, phases drawn 400 times: no more than 2 % of draws are worse than the formula."""
    fps, load, count = 12, 0.6, 8
    key, other = bursts.picture_bits(4.0, fps)
    air_ms = 1.0 / (4.0 * count / load * 1e3)  # milliseconds a bit
    service = [float(key) * air_ms, float(other) * air_ms]
    per_ms = [count * 0.5e-3, count * (fps - 0.5) * 1e-3]
    assert sum(s * n for s, n in zip(service, per_ms, strict=True)) == pytest.approx(load, rel=1e-6)
    bound = float(bursts.picture_delay_ms(service, per_ms))
    drawn = np.random.default_rng(9)
    worse = 0
    for _ in range(400):
        start = drawn.uniform(0.0, 2000.0, count)
        at = (start[:, None] + np.arange(3 * 2 * fps) * 1000.0 / fps).ravel()
        size = np.tile(np.where(np.arange(3 * 2 * fps) % (2 * fps) == 0, service[0], service[1]), count)
        order = np.argsort(at)
        at, size = at[order], size[order]
        walk = np.concatenate([[0.0], np.cumsum(size[:-1] - np.diff(at))])
        delay = walk - np.minimum.accumulate(walk) + size
        worse += np.quantile(delay[(at > 2000.0) & (at < 6000.0)], 0.99) > bound
    assert worse <= 8


def test_no_picture_waits_for_nothing_and_too_many_wait_for_ever() -> None:
    assert float(bursts.picture_delay_ms([0.0, 0.0], [0.0, 0.0])) == 0.0
    assert float(bursts.picture_delay_ms([10.0], [0.1])) == math.inf
    assert float(bursts.mean_wait_ms([10.0], [0.11])) == math.inf
    assert math.isnan(bursts.picture_delay_ms([math.nan], [0.1]))
    with pytest.raises(ValueError, match="part"):
        bursts.picture_delay_ms([1.0], [0.1], part=1.0)
