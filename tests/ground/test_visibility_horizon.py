"""What the relief hides, against profiles that are walked one by one, and by hand."""

from __future__ import annotations

import numpy as np
import pytest

from survey_app.ground.relief.lattice import Lattice
from survey_app.ground.relief.profiles import least_clearance
from survey_app.ground.visibility.horizon import LOWEST_M, least_seen_m


def hills(seed: int, size: int, height_m: float = 8.0, smooth: float = 60.0) -> np.ndarray:
    """Hills of chance whose waves are long."""
    noise = np.fft.rfft2(np.random.default_rng(seed).normal(size=(size, size)))
    wave = np.hypot(np.fft.fftfreq(size)[:, None], np.fft.rfftfreq(size))
    wave[0, 0] = 1.0
    rough = np.fft.irfft2(noise * np.exp(-((wave * smooth) ** 2)) / wave, s=(size, size))
    return height_m * rough / rough.std()


def test_flat_ground_is_seen_everywhere() -> None:
    least = least_seen_m(np.zeros((41, 41)), 3.0, 1.0)
    assert np.all(least <= 0.0)
    assert np.all(least >= LOWEST_M)


def test_behind_a_wall_the_least_height_lies_on_the_line_over_it() -> None:
    ground = np.zeros((101, 101))
    ground[:, 60] = 2.0  # 10 m east
    # the line over the wall falls from 3 m by 1 m each 10 m: at 30 m it is down on the ground
    assert least_seen_m(ground, 3.0, 1.0)[50, 80] == pytest.approx(3.0 - 1.0 * 3.0)
    assert least_seen_m(ground, 1.0, 1.0)[50, 90] == pytest.approx(1.0 + 1.0 * 4.0)
    # aslant, too: the wall is met at a tenth of the way east
    assert least_seen_m(ground, 1.0, 1.0)[80, 90] == pytest.approx(5.0)


def test_the_bulge_hides_low_things_far_away() -> None:
    # 100 m steps: 5 km over flat ground, eye at 2 m; ground falls away by d²/(2 k R)
    least = least_seen_m(np.zeros((101, 101)), 2.0, 100.0, k=4.0 / 3.0)
    per_m = 1.0 / (2.0 * 4.0 / 3.0 * 6_371_000.0)
    # over open ground the horizon lies at sqrt(2 / per_m) = 5.83 km: all of 5 km is seen
    assert np.all(least[50] <= 0.0)
    low = least_seen_m(np.zeros((101, 101)), 0.5, 100.0, k=4.0 / 3.0)
    # its horizon is at 2.9 km; the steepest slope on the grid is the one at 2.9 km
    tangent = -(0.5 + per_m * 2900.0**2) / 2900.0
    assert low[50, 100] == pytest.approx(0.5 + tangent * 5000.0 + per_m * 5000.0**2)


def test_unknown_ground_and_what_lies_behind_it_stay_unknown() -> None:
    ground = np.zeros((41, 41))
    ground[20, 25] = np.nan
    least = least_seen_m(ground, 3.0, 1.0)
    assert np.isnan(least[20, 25:]).all()
    assert not np.isnan(least[:, :20]).any()


@pytest.mark.parametrize("seed", range(2))
def test_places_are_seen_as_exact_profiles_of_the_surface_say(seed: int) -> None:
    half, eye_over = 100, 6.0
    ground = hills(seed, 2 * half + 1, smooth=15.0)
    eye = float(ground[half, half]) + eye_over
    least = least_seen_m(ground, eye, 1.0)
    surface = Lattice(ground, np.array([[1.0, 0.0, half], [0.0, 1.0, half]]), "made", 0.1)
    cells = np.random.default_rng(seed).integers(0, 2 * half + 1, (3000, 2))
    cells = cells[np.hypot(*(cells - half).T) > 3]
    at = (cells[:, ::-1] - half).astype(float)
    target = ground[cells[:, 0], cells[:, 1]] + 1.5
    profiles = surface.profiles(np.zeros_like(at), at)
    clear, _ = least_clearance(profiles, np.full(len(at), eye), target)
    seen = least[cells[:, 0], cells[:, 1]] <= 1.5
    assert np.mean(seen == (clear >= -1e-9)) >= 0.995
    assert 0.1 < seen.mean() < 0.95


def test_a_grid_without_a_middle_is_refused() -> None:
    with pytest.raises(ValueError, match="middle"):
        least_seen_m(np.zeros((4, 4)), 1.0, 1.0)
