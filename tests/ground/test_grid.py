"""Surveyors' grids."""

import warnings

import numpy as np
import pytest

from survey_app.errors import InternalError, UnknownNameError, UsageError
from survey_app.ground import grid as module
from survey_app.ground.grid import from_grid, grid_convergence, grid_north, to_grid, utm_grid


@pytest.fixture
def fresh():
    module._projection.cache_clear()
    module._transformer.cache_clear()
    yield
    module._projection.cache_clear()
    module._transformer.cache_clear()


@pytest.mark.parametrize(
    ("lat", "lon", "code"),
    [(51.5, -0.12, "EPSG:32630"), (0.0, 0.0, "EPSG:32631"), (-0.1, -180.0, "EPSG:32701"), (10.0, 180.0, "EPSG:32601"),
     (10.0, 179.99, "EPSG:32660"), (43.55, -69.6, "EPSG:32619"), (43.55, 290.4, "EPSG:32619")],
)  # fmt: skip
def test_utm_grid_of_a_point_is_its_regular_zone(lat, lon, code):
    assert utm_grid(lat, lon) == code


@pytest.mark.parametrize(("lat", "lon"), [(85.0, 0.0), (-81.0, 0.0), (np.nan, 0.0), (0.0, np.inf)])
def test_utm_grid_outside_utm_is_refused(lat, lon):
    with pytest.raises(UsageError, match="outside UTM"):
        utm_grid(lat, lon)
    assert np.isnan(grid_convergence(lat, lon))


def test_grid_north_has_the_sign_of_the_side_and_the_hemisphere():
    # east of the central meridian grid north lies clockwise of true north in the north, the other way in the south
    assert grid_convergence(51.5, -0.12) > 2.0
    assert grid_convergence(-51.5, -0.12) < -2.0
    assert grid_convergence(51.5, -5.88) < -2.0


def test_grid_north_where_the_grid_does_not_reach_is_nan():
    north = grid_north([51.5, 0.0], [-0.12, 87.0], "EPSG:32630")
    assert np.isfinite(north.convergence_deg[0])
    assert np.isnan(north.convergence_deg[1])
    assert np.isnan(north.scale[1])


def test_from_grid_of_another_datum_states_how_good_it_is():
    # without grid files a national datum of 1936 comes over to some metres; the data set says 2 m for this one
    position = from_grid("EPSG:27700", [651409.903], [313177.270])
    assert position.first[0] == pytest.approx(52.658, abs=0.001)
    assert position.second[0] == pytest.approx(1.716, abs=0.001)
    assert 1.0 <= position.accuracy_m <= 21.0


def test_from_grid_and_to_grid_with_nothing_usable_state_no_accuracy():
    assert np.isnan(from_grid("EPSG:32630", np.nan, 5e6).accuracy_m)
    assert np.isnan(to_grid("EPSG:32630", [np.nan], [1.0]).first[0])


@pytest.mark.parametrize("name", ["EPSG:99999", "nonsense", ""])
def test_grid_of_an_unknown_name_is_refused(name):
    with pytest.raises(UnknownNameError, match="EPSG code"):
        from_grid(name, 0.0, 0.0)
    with pytest.raises(UnknownNameError, match="EPSG code"):
        grid_north(0.0, 0.0, name)


@pytest.mark.parametrize("name", ["EPSG:4326", "EPSG:5773"])
def test_grid_that_is_not_a_map_grid_is_refused(name):
    with pytest.raises(UsageError, match="not a map grid"):
        from_grid(name, 0.0, 0.0)
    with pytest.raises(UsageError, match="not a map grid"):
        grid_north(0.0, 0.0, name)


def test_from_grid_that_only_a_guess_would_join_is_refused():
    with pytest.raises(UsageError, match="guessing at the datum"):
        from_grid("+proj=tmerc +lon_0=10 +ellps=bessel +type=crs", 500.0, 5e6)


@pytest.mark.usefixtures("fresh")
def test_grid_with_the_data_files_missing_says_one_sentence(monkeypatch):
    import pyproj
    from pyproj.exceptions import DataDirError

    def missing(*_, **__):
        raise DataDirError("Valid PROJ data directory not found.")

    monkeypatch.setattr(pyproj.CRS, "from_user_input", missing)
    for ask in (lambda: grid_north(51.5, -0.12, "EPSG:32630"), lambda: to_grid("EPSG:32630", 51.5, -0.12)):
        with pytest.raises(InternalError) as caught:
            ask()
        assert str(caught.value) == ("pyproj: the data files of the map projections are missing; install pyproj again.")


@pytest.mark.usefixtures("fresh")
def test_grid_switches_the_network_off_even_where_the_user_switched_it_on():
    from pyproj import network

    network.set_network_enabled(True)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            from_grid("EPSG:27700", 651409.903, 313177.270)
        assert not network.is_network_enabled()
    finally:
        network.set_network_enabled(False)
