"""Contours: on their height, whole, none where nothing is known."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.ground.relief.contours import contours
from tests.ground.relief_samples import rough, spots, turned

OFFS = np.linspace(-3.0, 3.0, 7)


def test_slope_has_straight_contours_at_round_heights_from_edge_to_edge():
    rows = np.tile(np.arange(101.0) / 10.0, (101, 1))
    found = contours(turned(rows, at=(0.0, 0.0)), (0.0, -100.0, 100.0, 0.0))
    heights = [one.height_m for one in found]
    assert heights == [float(n) for n in range(10)]
    for one in found:
        assert np.abs(one.points_m[:, 0] - 10.0 * one.height_m).max() < 1e-4
        assert np.ptp(one.points_m[:, 1]) > 95.0


@given(st.integers(0, 30), st.floats(0.0, 360.0))
@settings(max_examples=15, deadline=None)
def test_every_point_of_a_contour_has_its_height_within_a_step_of_the_lattice(seed, turn_deg):
    surface = turned(np.cumsum(rough(12, 12, seed), axis=1) * 0.2, turn_deg=turn_deg, step_m=10.0)
    for one in contours(surface, (-60.0, -60.0, 60.0, 60.0)):
        x, y = one.points_m.T
        here = [surface.heights_m(x + dx, y + dy) for dx in OFFS for dy in OFFS]
        low, high = np.nanmin(here, axis=0), np.nanmax(here, axis=0)
        assert ((low - 0.1 <= one.height_m) & (one.height_m <= high + 0.1)).all()


def test_unknown_ground_has_no_contours_and_panning_moves_none():
    surface = spots(40)
    assert contours(surface, (500.0, 500.0, 600.0, 600.0)) == ()
    first = {tuple(map(tuple, one.points_m.round(9).tolist())) for one in contours(surface, (0.0, 0.0, 100.0, 100.0))}
    again = contours(surface, (0.2, 0.0, 100.2, 100.0))
    middle = [p for line in first for p in line if 20.0 < p[0] < 80.0]
    after = {tuple(p) for one in again for p in one.points_m.round(9).tolist()}
    assert set(middle) <= after | {p for p in middle if not 20.0 < p[1] < 80.0}
