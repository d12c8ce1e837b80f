from __future__ import annotations

import statistics

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.physics.building_entry import building_entry_loss_db, building_entry_range_db
from survey_app.physics.construction import construction
from survey_app.physics.free_space import free_space_loss_db
from survey_app.physics.indoor import indoor_loss_db, indoor_sigma_db
from survey_app.physics.indoor_floors import floor_coefficients, indoor_floors_loss_db
from survey_app.physics.indoor_path import BY_PLACE, BY_WALLS, indoor_path_loss_db, served_fraction
from survey_app.physics.loss_range import ONE_IN_TWENTY, LossRange
from survey_app.physics.wall_loss import construction_loss_db

places = st.sampled_from(["office", "corridor", "industrial"])
NONE = LossRange(np.array(0.0), np.array(0.0), np.array(0.0))


def _walls(low: float, likely: float, high: float) -> LossRange:
    return LossRange(np.array(low), np.array(likely), np.array(high))


def test_one_in_twenty_is_the_quantile_that_its_name_says() -> None:
    assert pytest.approx(statistics.NormalDist().inv_cdf(0.95), abs=1e-12) == ONE_IN_TWENTY


# Building entry ------------------------------------------------------------------------------------------------------


@settings(deadline=None)  # the first call loads scipy
@given(st.floats(80.0, 100_000.0), st.floats(0.01, 0.98), st.sampled_from(["traditional", "efficient"]))
def test_building_entry_rises_with_probability_and_slope(frequency_mhz: float, share: float, kind: str) -> None:
    loss = [
        float(building_entry_loss_db(frequency_mhz, kind, p, e))
        for p, e in ((share, 0), (share + 0.01, 0), (share, 30))
    ]  # type: ignore[arg-type]
    assert loss[0] < loss[1]
    assert loss[0] < loss[2]


def test_building_entry_is_the_same_up_and_down() -> None:
    up, down = building_entry_loss_db(5500, "traditional", 0.5, [25.0, -25.0])
    assert up == down


def test_an_efficient_building_takes_more() -> None:
    traditional, efficient = (building_entry_range_db(5500, kind) for kind in ("traditional", "efficient"))  # type: ignore[arg-type]
    assert efficient.likely_db - traditional.likely_db > 10.0
    assert traditional.low_db < traditional.likely_db < traditional.high_db


def test_building_entry_outside_its_domain_is_nan() -> None:
    assert np.isnan(building_entry_loss_db([79.9, 100_001.0, np.nan], "traditional")).all()
    assert np.isnan(building_entry_loss_db(5500, "traditional", [0.0, 1.0, -0.1, np.nan])).all()
    assert np.isnan(building_entry_loss_db(5500, "traditional", 0.5, [91.0, np.nan])).all()
    with pytest.raises(ValueError, match="efficient"):
        building_entry_loss_db(5500, "modern")  # type: ignore[arg-type]


# By place and by floors ----------------------------------------------------------------------------------------------


@given(places, st.floats(9.0, 26.0), st.floats(2_000.0, 6_000.0))
def test_out_of_sight_is_never_better_than_in_sight(place: str, distance_m: float, frequency_mhz: float) -> None:
    seen, hidden = (float(indoor_loss_db(distance_m, frequency_mhz, place, sight)) for sight in (True, False))  # type: ignore[arg-type]
    # nearer and higher the published lines of industrial halls cross: they were fitted apart
    assert seen <= hidden
    assert indoor_sigma_db(place, False) > indoor_sigma_db(place, True)  # type: ignore[arg-type]


def test_indoor_loss_outside_what_was_measured_is_nan() -> None:
    assert np.isnan(indoor_loss_db([3.9, 30.1, np.nan, -1.0], 5500, "office", False)).all()
    assert np.isnan(indoor_loss_db(20.0, [299.0, 82_001.0, np.nan], "office", False)).all()
    with pytest.raises(ValueError, match="corridor"):
        indoor_loss_db(20.0, 5500, "stadium", False)  # type: ignore[arg-type]


def test_floors_add_what_the_table_says_and_no_more_than_it_knows() -> None:
    flat, one = (
        float(indoor_floors_loss_db(12.0, 5200.0, *floor_coefficients("house", 5200.0, floors))) for floors in (0, 1)
    )
    assert one - flat == pytest.approx(7.0)
    assert np.isnan(floor_coefficients("office", 5200.0, 2).floor_loss_db)
    assert np.isnan(floor_coefficients("house", 5800.0, 0).exponent)
    assert np.isnan(floor_coefficients("office", 2400.0, 0)).all()
    assert floor_coefficients("office", 5499.0, 0) != floor_coefficients("office", 5501.0, 0)


def test_wrong_floors_are_refused() -> None:
    with pytest.raises(ValueError, match="floors"):
        floor_coefficients("office", 5200.0, -1)
    with pytest.raises(ValueError, match="apartment"):
        floor_coefficients("castle", 5200.0, 0)  # type: ignore[arg-type]
    assert np.isnan(
        indoor_floors_loss_db([0.9, 10.0, 10.0, 10.0], [5200, 100, 5200, 5200], [30, 30, 0, 30], [0, 0, 0, -1])
    ).all()


# By walls ------------------------------------------------------------------------------------------------------------


def test_without_a_wall_it_is_free_space() -> None:
    found = indoor_path_loss_db([3.0, 20.0, 200.0], 5500.0, NONE, "office")
    free_db = free_space_loss_db([3.0, 20.0, 200.0], 5500.0)
    assert (found.likely_db == free_db).all()
    assert found.route.tolist() == [BY_WALLS] * 3
    assert (found.sigma_db == indoor_sigma_db("office", True)).all()


def test_one_brick_wall_of_the_hall_is_counted_as_it_is() -> None:
    brick = construction_loss_db(construction("brick-220"), 5500)
    found = indoor_path_loss_db(24.0, 5500.0, brick, "industrial")
    assert float(found.likely_db) == pytest.approx(float(free_space_loss_db(24.0, 5500.0) + brick.likely_db))
    assert int(found.route) == BY_WALLS


def test_many_walls_end_at_what_such_places_lose() -> None:
    many = _walls(60.0, 90.0, 130.0)
    found = indoor_path_loss_db(20.0, 5500.0, many, "office")
    most_db = float(indoor_loss_db(20.0, 5500.0, "office", False)) + ONE_IN_TWENTY * 5.04
    assert float(found.likely_db) == pytest.approx(most_db)
    assert int(found.route) == BY_PLACE
    assert float(found.sigma_db) == 5.04
    # the design may still have to live with the whole of the walls
    assert float(found.high_db) == pytest.approx(float(free_space_loss_db(20.0, 5500.0)) + 130.0)


@pytest.mark.parametrize(("distance_m", "floors"), [(20.0, 1), (45.0, 0), (3.0, 0)])
def test_the_statistic_ends_nothing_where_it_was_not_measured(distance_m: float, floors: int) -> None:
    found = indoor_path_loss_db(distance_m, 5500.0, _walls(60.0, 90.0, 130.0), "office", floors)
    assert int(found.route) == BY_WALLS
    assert float(found.likely_db) == pytest.approx(float(free_space_loss_db(distance_m, 5500.0)) + 90.0)


@given(
    places, st.floats(1.0, 200.0), st.tuples(st.floats(0, 60), st.floats(0, 60), st.floats(0, 60)), st.floats(0.0, 30.0)
)
def test_a_wall_more_never_helps(place: str, distance_m: float, wall: tuple[float, ...], more_db: float) -> None:
    low, likely, high = np.cumsum(wall)
    fewer = indoor_path_loss_db(distance_m, 5500.0, _walls(low, likely, high), place)  # type: ignore[arg-type]
    more = indoor_path_loss_db(distance_m, 5500.0, _walls(low + more_db, likely + more_db, high + more_db), place)  # type: ignore[arg-type]
    for a, b in zip(fewer[:3], more[:3], strict=True):
        assert a <= b + 1e-9
    assert fewer.low_db <= fewer.likely_db <= fewer.high_db


def test_a_wide_range_of_walls_is_a_wide_spread() -> None:
    narrow, wide = (
        float(indoor_path_loss_db(20.0, 5500.0, _walls(*walls), "office").sigma_db) for walls in ((5, 6, 7), (1, 6, 40))
    )
    assert wide > narrow > indoor_sigma_db("office", True)


def test_walls_that_are_none_are_nan() -> None:
    for bad in ((-1.0, 2.0, 3.0), (3.0, 2.0, 4.0), (1.0, 3.0, 2.0), (np.nan, 2.0, 3.0)):
        found = indoor_path_loss_db(20.0, 5500.0, _walls(*bad), "office")
        assert np.isnan(found[:4]).all(), bad
    assert np.isnan(indoor_path_loss_db(20.0, 5500.0, NONE, "office", -1).likely_db)
    assert np.isnan(indoor_path_loss_db(0.0, 5500.0, NONE, "office").likely_db)


def test_share_served_is_that_of_a_normal_distribution() -> None:
    for margin_db, sigma_db in ((0.0, 4.0), (3.0, 4.0), (-7.0, 5.0)):
        expected = statistics.NormalDist(0.0, sigma_db).cdf(margin_db)
        assert float(served_fraction(margin_db, sigma_db)) == pytest.approx(expected, abs=1e-12)


def test_share_served_at_its_ends() -> None:
    assert served_fraction([1.0, 0.0, -1.0], 0.0).tolist() == [1.0, 1.0, 0.0]
    assert served_fraction([np.inf, -np.inf, np.inf, -np.inf], [3.0, 3.0, 0.0, 0.0]).tolist() == [1.0, 0.0, 1.0, 0.0]
    assert np.isnan(served_fraction([np.nan, np.nan, 1.0, 1.0], [1.0, 0.0, -1.0, np.nan])).all()
