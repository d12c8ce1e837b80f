"""A simulation of contention that draws every back-off: of our own, seeded, slot by slot, with numpy alone."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

__all__ = ["simulated_mbps"]


def simulated_mbps(
    bits: Sequence[float],
    turn_us: Sequence[float],
    loss_fraction: Sequence[float],
    frames: Sequence[int],
    *,
    turns: int = 20_000,
    seed: int = 1,
    slot_us: float = 9.0,
    window: int = 15,
    stages: int = 6,
) -> np.ndarray:
    """Return what each of several always busy senders brings home. [Mbit/s]

    All count their back-off down together while the air is free; whoever reaches nought sends, and more than one at a
    time is a collision that lasts as long as the longest of them. A turn whose frames are all lost doubles the window
    as a collision does; the frames of an answered turn that were lost are not counted.
    """
    drawn = np.random.default_rng(seed)
    count = len(bits)
    stage = np.zeros(count, dtype=int)
    left = drawn.integers(0, window + 1, count)
    brought = np.zeros(count)
    clock_us = 0.0
    for _ in range(turns):
        idle = left.min()
        clock_us += idle * slot_us
        left -= idle
        senders = np.flatnonzero(left == 0)
        clock_us += max(turn_us[n] for n in senders)
        # the others find the air free again one slot later, as in the model: each busy time is one step of the count
        left[left > 0] -= 1
        for n in senders:
            kept = drawn.binomial(frames[n], 1.0 - loss_fraction[n]) if len(senders) == 1 else 0
            brought[n] += bits[n] * kept / frames[n]
            stage[n] = 0 if kept else min(stage[n] + 1, stages)
            left[n] = drawn.integers(0, (window + 1) * 2 ** stage[n])
    return brought / clock_us
