from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UsageError
from survey_app.physics.patterns import Cut, table_gain_dbi

AZIMUTH = Cut.of([-180.0, -90.0, -45.0, 0.0, 45.0, 90.0], [-26.0, -12.0, -3.0, 0.0, -3.0, -12.0])
ELEVATION = Cut.of([-90.0, -6.0, -2.0, 2.0, 90.0], [-28.0, -3.0, 0.0, -3.0, -28.0])


def test_cut_gives_its_own_points_back() -> None:
    assert AZIMUTH.level_db(AZIMUTH.angles_deg).tolist() == AZIMUTH.levels_db.tolist()


def test_cut_counted_from_0_to_360_says_the_same_as_from_minus_180() -> None:
    round_cut = Cut.of([0.0, 45.0, 90.0, 180.0, 270.0, 315.0], [0.0, -3.0, -12.0, -26.0, -12.0, -3.0])
    angles = np.linspace(-360.0, 360.0, 241)
    np.testing.assert_allclose(round_cut.level_db(angles), AZIMUTH.level_db(angles), atol=1e-12)


@given(st.floats(-180.0, 180.0), st.integers(-3, 3))
def test_cut_goes_round_by_whole_turns(angle_deg: float, turns: int) -> None:
    assert float(AZIMUTH.level_db(angle_deg + 360.0 * turns)) == pytest.approx(
        float(AZIMUTH.level_db(angle_deg)), abs=1e-9
    )


@given(st.floats(-1000.0, 1000.0))
def test_cut_stays_between_its_levels(angle_deg: float) -> None:
    assert -26.0 <= float(AZIMUTH.level_db(angle_deg)) <= 0.0


def test_cut_drops_a_last_direction_that_is_the_first_again() -> None:
    assert Cut.of([-180, 0, 180], [-20, 0, -20]).angles_deg.tolist() == [-180.0, 0.0]


@pytest.mark.parametrize(
    ("angles", "levels", "words"),
    [
        ([0.0, 1.0], [0.0], "as many levels"),
        ([0.0], [0.0], "at least two"),
        ([[0.0, 1.0]], [[0.0, 0.0]], "in one row"),
        ([0.0, np.nan], [0.0, 0.0], "not a number"),
        ([0.0, 1.0], [0.0, np.inf], "not a number"),
        ([0.0, 1.0], [0.0, 0.5], "0.5 dB above the peak"),
        ([0.0, 0.0], [0.0, -1.0], "do not rise"),
        ([10.0, 5.0], [0.0, -1.0], "do not rise"),
        ([-180.0, 181.0], [0.0, -1.0], "goes round 361"),
        ([-180.0, 0.0, 180.0], [-20.0, 0.0, -21.0], "differ though the direction is the same"),
    ],
)
def test_cut_that_is_not_one_is_refused(angles: list[float], levels: list[float], words: str) -> None:
    with pytest.raises(UsageError, match=words):
        Cut.of(angles, levels)


@pytest.mark.parametrize(
    ("fall_db", "expected"), [(3.0, (-45.0, 45.0)), (6.0, (-60.0, 60.0)), (1.5, (-22.5, 22.5)), (19.0, (-135.0, 135.0))]
)
def test_cut_edges_lie_where_the_table_has_fallen(fall_db: float, expected: tuple[float, float]) -> None:
    assert AZIMUTH.edges_deg(fall_db) == pytest.approx(expected, abs=1e-9)


def test_cut_edges_go_around_the_back_of_a_table_from_0_to_360() -> None:
    cut = Cut.of([0.0, 30.0, 90.0, 200.0, 300.0, 340.0], [0.0, -3.0, -20.0, -30.0, -20.0, -2.0])
    assert cut.edges_deg(3.0) == pytest.approx((-60.0 + 40.0 * 17.0 / 18.0, 30.0), abs=1e-9)


def test_cut_edges_are_counted_from_the_strongest_level_of_the_cut() -> None:
    assert Cut.of([-90.0, 0.0, 90.0], [-11.0, -1.0, -21.0]).edges_deg(5.0) == pytest.approx((-45.0, 22.5))


@given(st.floats(0.1, 25.9))
def test_cut_has_fallen_by_just_so_much_at_its_edges(fall_db: float) -> None:
    np.testing.assert_allclose(AZIMUTH.level_db(AZIMUTH.edges_deg(fall_db)), -fall_db, atol=1e-9)


def test_cut_that_never_falls_has_no_edges() -> None:
    assert np.isnan(Cut.of([0.0, 90.0, 180.0, 270.0], [0.0, -0.5, -1.0, -0.5]).edges_deg(3.0)).all()


@pytest.mark.parametrize("fall_db", [0.0, -3.0, float("nan")])
def test_cut_edges_of_no_fall_raise(fall_db: float) -> None:
    with pytest.raises(UsageError, match="edge of a beam"):
        AZIMUTH.edges_deg(fall_db)


def test_table_gain_in_the_strongest_direction_is_the_peak() -> None:
    assert float(table_gain_dbi(16.5, AZIMUTH, ELEVATION, 0.0, -2.0)) == 16.5


@given(st.floats(-720.0, 720.0), st.floats(-90.0, 90.0))
def test_table_gain_stays_between_the_peak_and_the_deepest_level(azimuth: float, elevation: float) -> None:
    assert 16.5 - 28.0 <= float(table_gain_dbi(16.5, AZIMUTH, ELEVATION, azimuth, elevation)) <= 16.5


@pytest.mark.parametrize(
    "values", [(np.nan, 0, 0), (16.5, np.nan, 0), (16.5, 0, np.nan), (16.5, 0, 91), (16.5, np.inf, 0)]
)
def test_table_gain_outside_its_range_is_nan(values: tuple[float, float, float]) -> None:
    peak_dbi, azimuth, elevation = values
    assert np.isnan(table_gain_dbi(peak_dbi, AZIMUTH, ELEVATION, azimuth, elevation))


def test_table_gain_broadcasts() -> None:
    got = table_gain_dbi(16.5, AZIMUTH, ELEVATION, np.zeros((4, 1)), np.linspace(-90.0, 90.0, 7))
    assert got.shape == (4, 7)
