"""Pairs of near radios by sorting are those that asking everybody finds."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from survey_app.assess.gather import RadioArrays, gather_radios
from survey_app.assess.job import Job
from survey_app.assess.near import NEAR_M, near_pairs
from tests.plot import one_hop


def spots(x: np.ndarray, y: np.ndarray, z: np.ndarray) -> RadioArrays:
    job = Job(one_hop().site())
    return dataclasses.replace(gather_radios(job, job.placed), x_m=x, y_m=y, elevation_m=z)


@pytest.mark.parametrize("seed", range(12))
def test_pairs_when_found_by_sorting_equal_those_by_brute_force(seed: int) -> None:
    rng = np.random.default_rng(seed)
    n, side = int(rng.integers(0, 120)), float(rng.choice([10.0, 100.0, 600.0]))
    x, y, z = rng.uniform(-side, side, n), rng.uniform(-side, side, n), rng.uniform(0.0, 40.0, n)
    if n > 10:
        x[3:6] = x[2]  # several on one line, some on one spot
        y[3:5], z[3:5] = y[2], z[2]
    found = near_pairs(spots(x, y, z))
    points = np.column_stack([x, y, z])
    apart = np.sqrt(np.sum(np.square(points[:, None] - points[None, :]), axis=-1))
    a, b = np.nonzero(np.triu(apart < NEAR_M, k=1))
    assert list(zip(found.a, found.b, strict=True)) == list(zip(a, b, strict=True))
    assert found.apart_m == pytest.approx(apart[a, b])


def test_no_radio_makes_no_pair() -> None:
    none = np.zeros(0)
    assert len(near_pairs(spots(none, none, none)).a) == 0
