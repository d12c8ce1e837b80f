"""Magnetic north: dates, zones, refusals."""

import datetime
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from survey_app.errors import InternalError, UsageError
from survey_app.ground import magnetic
from survey_app.ground.magnetic import compass_deflection, decimal_year, declination, declination_sigma

INSTALLATION = datetime.date(2026, 12, 1)


@pytest.fixture
def fresh():
    magnetic._model.cache_clear()
    magnetic._point_field.cache_clear()
    yield
    magnetic._model.cache_clear()
    magnetic._point_field.cache_clear()


def test_declination_at_a_west_site_makes_magnetic_the_larger():
    north = declination(43.55, -69.6, 2.0, INSTALLATION)
    assert north.declination_deg == pytest.approx(-14.62, abs=0.01)
    assert north.magnetic_bearing(142.6) == pytest.approx(157.2, abs=0.05)
    assert north.horizontal_nt == pytest.approx(20310, abs=5)
    assert north.sigma_deg == pytest.approx(0.37, abs=0.005)
    assert (north.status, north.sentence, north.model, str(north.zone)) == ("ok", None, "WMM-2025", "ok")


@pytest.mark.parametrize(
    "date",
    [datetime.date(2024, 12, 31), datetime.date(2030, 1, 1), 2024.999, 2030.0, float("nan"), datetime.date(1, 1, 1)],
)
def test_declination_outside_the_years_of_the_model_is_refused_with_a_sentence(date):
    north = declination([43.55, 56.3], [-69.6, 11.8], 0.0, date)
    assert north.status == "refused"
    assert "2025 to the end of 2029" in north.sentence
    for numbers in (north.declination_deg, north.horizontal_nt, north.sigma_deg, north.yearly_change_deg):
        assert numbers.shape == (2,)
        assert np.isnan(numbers).all()
    assert not north.usable.any()
    assert np.isnan(north.magnetic_bearing(10.0)).all()
    with pytest.raises(UsageError, match="2025 to the end of 2029"):
        north.required()


@pytest.mark.parametrize("date", [datetime.date(2025, 1, 1), datetime.date(2029, 12, 31)])
def test_declination_on_the_first_and_last_day_of_the_model_is_given(date):
    north = declination(43.55, -69.6, 0.0, date)
    assert north.required() is north
    assert np.isfinite(north.yearly_change_deg)


def test_declination_near_the_magnetic_poles_falls_into_the_zones():
    north = declination([86.0, 80.0, 76.0, 56.3], [142.0, 0.0, -90.0, 11.8], 0.0, INSTALLATION)
    assert north.zone.tolist()[0] == "blackout"
    assert north.zone.tolist()[3] == "ok"
    for intensity, zone, usable in zip(north.horizontal_nt, north.zone, north.usable, strict=True):
        assert (intensity < 2000) == (zone == "blackout")
        assert (2000 <= intensity < 6000) == (zone == "caution")
        assert usable == (zone != "blackout")


def test_magnetic_bearing_in_a_blackout_is_not_given():
    north = declination(86.0, 142.0, 0.0, INSTALLATION)
    assert np.isfinite(north.declination_deg)
    assert np.isnan(north.magnetic_bearing(100.0))


def test_declination_of_points_that_are_none_is_nan_and_has_no_zone():
    north = declination([np.nan, 91.0, 43.0, 43.0, 43.0], [0.0, 0.0, np.inf, 0.0, 0.0], [0, 0, 0, 1e6, -2e3], 2026.0)
    assert np.isnan(north.declination_deg).all()
    assert north.zone.tolist() == [""] * 5
    assert not north.usable.any()


def test_declination_at_a_pole_is_that_of_the_points_beside_it():
    at, beside = declination(90.0, 30.0, 0.0, 2026.0), declination(89.9999, 30.0, 0.0, 2026.0)
    assert at.declination_deg == pytest.approx(float(beside.declination_deg), abs=0.01)


def test_declination_east_of_180_is_that_of_the_same_place_west_of_it():
    one, other = declination(-80.0, 240.0, 0.0, 2025.0), declination(-80.0, -120.0, 0.0, 2025.0)
    assert one.declination_deg == pytest.approx(float(other.declination_deg), abs=1e-9)


def test_declination_does_not_depend_on_what_was_asked_before(fresh):
    first = declination(43.55, -69.6, 0.0, INSTALLATION)
    declination([80.0, -80.0, 0.0], [0.0, 240.0, 120.0], 0.0, INSTALLATION)
    magnetic._point_field.cache_clear()
    again = declination(43.55, -69.6, 0.0, INSTALLATION)
    assert first.declination_deg.tobytes() == again.declination_deg.tobytes()


def test_declination_asked_by_many_threads_at_once_is_the_same(fresh):
    lat = np.linspace(-60.0, 60.0, 60)
    alone = declination(lat, 10.0, 0.0, INSTALLATION).declination_deg
    magnetic._point_field.cache_clear()
    with ThreadPoolExecutor(8) as threads:
        answers = list(threads.map(lambda _: declination(lat, 10.0, 0.0, INSTALLATION).declination_deg, range(8)))
    assert all(answer.tobytes() == alone.tobytes() for answer in answers)


@pytest.mark.parametrize(
    ("date", "year"),
    [
        (datetime.date(2026, 1, 1), 2026.0),
        (datetime.date(2027, 7, 2), 2027 + 182 / 365),
        (datetime.date(2028, 12, 31), 2028 + 365 / 366),
        (datetime.datetime(2026, 1, 1, 23, 59), 2026.0),
    ],
)
def test_decimal_year_counts_days_and_leap_years(date, year):
    assert decimal_year(date) == pytest.approx(year, abs=1e-12)


def use_coefficients(monkeypatch, file):
    """Let the library read another file."""
    from pygeomag import GeoMag

    def name(_):
        return str(file)

    monkeypatch.setattr(GeoMag, "_get_model_filename", name)


def coefficient_lines():
    """Lines of the coefficient file that comes with the library."""
    from importlib.resources import files

    return (files("pygeomag") / "wmm" / "WMM_2025.COF").read_text().splitlines(keepends=True)


@pytest.mark.parametrize(
    "header",
    [
        "    2020.0            WMM-2020        12/10/2019",
        "    2025.0            WMM-2025        01/01/2026",
        "    2025.0            WMMHR-2025      11/13/2024",
    ],
)
def test_declination_with_the_coefficients_of_another_model_says_which(fresh, monkeypatch, tmp_path, header):
    file = tmp_path / "other.COF"
    file.write_text("".join([header + "\n", *coefficient_lines()[1:]]))
    use_coefficients(monkeypatch, file)
    with pytest.raises(InternalError, match=r"WMM_2025\.COF: the file says .* is wanted"):
        declination(43.55, -69.6, 0.0, INSTALLATION)


@pytest.mark.parametrize("kept", [0, 1, 40, 91])
def test_declination_with_a_coefficient_file_that_is_cut_short_says_so(fresh, monkeypatch, tmp_path, kept):
    file = tmp_path / "short.COF"
    file.write_text("".join(coefficient_lines()[:kept]))
    use_coefficients(monkeypatch, file)
    with pytest.raises(InternalError, match=r"pygeomag/wmm/WMM_2025\.COF: .* cannot be read"):
        declination(43.55, -69.6, 0.0, INSTALLATION)


def test_declination_with_rows_of_the_coefficient_file_missing_says_so(fresh, monkeypatch, tmp_path):
    file = tmp_path / "rows.COF"
    lines = coefficient_lines()
    file.write_text("".join(lines[:40] + lines[60:]))
    use_coefficients(monkeypatch, file)
    with pytest.raises(InternalError, match="cannot be read"):
        declination(43.55, -69.6, 0.0, INSTALLATION)


def test_declination_without_a_coefficient_file_says_so(fresh, monkeypatch, tmp_path):
    use_coefficients(monkeypatch, tmp_path / "gone.COF")
    with pytest.raises(InternalError, match="cannot be read"):
        declination(43.55, -69.6, 0.0, INSTALLATION)


@pytest.mark.parametrize("horizontal_nt", [0.0, -5.0, np.nan])
def test_declination_sigma_without_a_field_is_nan(horizontal_nt):
    assert np.isnan(declination_sigma(horizontal_nt))


def test_compass_deflection_in_the_worst_direction_is_larger_and_ends_where_nothing_holds_the_needle():
    assert compass_deflection(5000.0, 20000.0, worst=True) > compass_deflection(5000.0, 20000.0)
    assert compass_deflection(20000.0, 20000.0, worst=True) == pytest.approx(90.0)
    assert np.isnan(compass_deflection(20001.0, 20000.0, worst=True))
    assert np.isnan(compass_deflection(-1.0, 20000.0))
