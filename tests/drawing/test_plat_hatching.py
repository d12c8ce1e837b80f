"""The hatch of many outlines at once is the hatch of each by itself."""

from __future__ import annotations

import math

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.drawing.plat.hatching import hatch_bands


def star(seed: int, count: int) -> np.ndarray:
    rnd = np.random.default_rng(seed)
    turn = np.sort(rnd.uniform(0.0, 2.0 * math.pi, count))
    reach = rnd.uniform(4.0, 20.0, count)
    return np.stack((30.0 * seed % 97 + reach * np.cos(turn), reach * np.sin(turn)), axis=1)


@settings(max_examples=60, deadline=None)
@given(seeds=st.lists(st.integers(0, 10_000), min_size=1, max_size=4), count=st.integers(4, 9))
def test_strokes_fill_the_band_inside_each_outline_and_nothing_else(seeds, count):
    rings = [star(seed, count) for seed in seeds]
    pitch = np.array([1.3 + 0.3 * k for k in range(len(rings))])
    for ring, strokes, step in zip(rings, hatch_bands(rings, pitch, 1.0), pitch, strict=True):
        area = shapely.Polygon(ring)
        if not area.is_valid:
            continue
        band = area.intersection(area.exterior.buffer(1.0, quad_segs=64))
        x0, y0, x1, y1 = area.bounds
        spacing = step * math.sqrt(2.0)
        first, last = math.floor((y0 - x1) / spacing), math.ceil((y1 - x0) / spacing)
        grid = shapely.MultiLineString(
            [[(x0 - 1, x0 - 1 + k * spacing), (x1 + 1, x1 + 1 + k * spacing)] for k in range(first, last + 1)]
        )
        drawn = shapely.MultiLineString(list(strokes))
        assert abs(drawn.length - grid.intersection(band).length) < 0.01 * max(drawn.length, 1.0)
        assert drawn.difference(band.buffer(0.002)).length < 1e-6


def test_window_leaves_out_lines_that_do_not_meet_it():
    ring = np.array([(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)])
    every = hatch_bands([ring], np.array([0.5]), 1.0)[0]
    few = hatch_bands([ring], np.array([0.5]), 1.0, (0.0, 0.0, 5.0, 5.0))[0]
    assert 0 < len(few) < len(every) / 4
    near = every[(every[:, 0, 0] < 5.0) & (every[:, 0, 1] < 5.0)]
    assert {tuple(np.round(p, 9).ravel()) for p in near} <= {tuple(np.round(p, 9).ravel()) for p in few}


def test_no_outline_has_no_strokes():
    assert hatch_bands([], np.empty(0), 1.0) == []
