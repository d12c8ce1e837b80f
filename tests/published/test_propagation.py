"""Propagation against the outside world: printed values, and general-purpose libraries over ranges.

Each row says where its expectation comes from:

* P2: printed by the source, seen in a public copy of it
* L: computed with the library named beside it
* D: worked out by hand from the source's formula
* M: from memory, not verified
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np
import pytest

from survey_app.physics.decibels import dbm_to_mw, from_db, mw_to_dbm, sum_dbm, to_db
from survey_app.physics.free_space import far_field_distance_m, free_space_loss_db, free_space_range_m, wavelength_m
from survey_app.physics.gases import (
    gas_attenuation_db_per_km,
    oxygen_attenuation_db_per_km,
    water_vapour_attenuation_db_per_km,
)
from survey_app.physics.geometry import earth_bulge_m, effective_earth_factor, elevation_deg, slant_distance_m
from survey_app.physics.rain import (
    rain_attenuation_db,
    rain_coefficients,
    rain_exceeded_percent,
    rain_path_factor,
    rain_specific_attenuation_db_per_km,
)


class Row(NamedTuple):
    """One published value: what goes in, what has to come out, how near, and who says so."""

    id: str
    inputs: tuple[Any, ...]
    expected: float
    tolerance: float
    source: str
    place: str
    mark: str


def rows(*values: Row) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("row", values, ids=[value.id for value in values])


@pytest.fixture(scope="module")
def itur() -> Iterator[Any]:
    """Independent implementation of the P series.

    It warns at import about its own and its dependencies' habits; its maps are not touched, because every call here
    brings its rain rate, pressure, temperature and vapour along.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import itur
        import itur.models.itu530
        import itur.models.itu676
        import itur.models.itu838

        itur.models.itu676.change_version(12)
        itur.models.itu838.change_version(3)
        itur.models.itu530.change_version(17)
        yield itur


# Decibels ------------------------------------------------------------------------------------------------------------

V574 = ("V574", "V.574-5 (2015), Annex 1: the definition")


@rows(
    Row("db-of-2", (2.0,), 3.0103, 5e-5, *V574, "M"),
    Row("db-of-half", (0.5,), -3.0103, 5e-5, *V574, "M"),
    Row("db-of-10", (10.0,), 10.0, 1e-12, *V574, "M"),
    Row("db-of-milli", (1e-3,), -30.0, 1e-12, *V574, "M"),
)
def test_to_db_of_common_ratios_is_the_printed_number(row: Row) -> None:
    assert float(to_db(*row.inputs)) == pytest.approx(row.expected, abs=row.tolerance)
    assert float(from_db(row.expected)) == pytest.approx(row.inputs[0], rel=2e-5)


@rows(
    Row("0-dbm", (0.0,), 1.0, 1e-12, *V574, "M"),
    Row("20-dbm", (20.0,), 100.0, 1e-9, *V574, "M"),
    Row("30-dbm", (30.0,), 1000.0, 1e-9, *V574, "M"),
    Row("minus-30-dbm", (-30.0,), 1e-3, 1e-15, *V574, "M"),
)
def test_dbm_to_mw_of_common_levels_is_the_printed_number(row: Row) -> None:
    assert float(dbm_to_mw(*row.inputs)) == pytest.approx(row.expected, abs=row.tolerance)
    assert float(mw_to_dbm(row.expected)) == pytest.approx(row.inputs[0], abs=1e-9)


@rows(
    Row("two-alike", (-60.0, -60.0), -56.9897, 1e-4, *V574, "D"),
    Row("ten-below", (-60.0, -70.0), -59.5861, 1e-4, *V574, "D"),
    Row("three-chains", (10.0, 10.0, 10.0), 14.7712, 1e-4, *V574, "D"),
)
def test_sum_dbm_of_levels_adds_the_powers(row: Row) -> None:
    assert float(sum_dbm(*row.inputs)) == pytest.approx(row.expected, abs=row.tolerance)


# Free space ----------------------------------------------------------------------------------------------------------

P525 = ("P525", "P.525-4 (2019), point-to-point links")


@rows(
    Row("fsl-1", (100.0, 2400.0), 80.05200806, 1e-5, *P525, "D"),
    Row("fsl-2", (100.0, 5500.0), 87.25503701, 1e-5, *P525, "D"),
    Row("fsl-3", (300.0, 5500.0), 96.79746211, 1e-5, *P525, "D"),
    Row("fsl-4", (1000.0, 5500.0), 107.255037, 1e-5, *P525, "D"),
    Row("fsl-5", (3000.0, 5800.0), 117.2587682, 1e-5, *P525, "D"),
    Row("fsl-6", (500.0, 24000.0), 114.0314081, 1e-5, *P525, "D"),
    Row("fsl-7", (300.0, 60000.0), 117.5532333, 1e-5, *P525, "D"),
    # The rounded constant 32.4 of the printed form, whose exact value is 32.4478.
    Row("fsl-rounded", (300.0, 5500.0), 96.74967888, 0.05, *P525, "P2"),
)
def test_free_space_loss_matches_published_values(row: Row) -> None:
    assert float(free_space_loss_db(*row.inputs)) == pytest.approx(row.expected, abs=row.tolerance)
    assert float(free_space_range_m(row.expected, row.inputs[1])) == pytest.approx(row.inputs[0], rel=0.006)


def test_received_level_in_free_space_matches_hand_worked_budget() -> None:
    # 20 dBm, 16 dBi at both ends, 5.5 GHz, 300 m; [P525], D
    assert 20.0 + 16.0 + 16.0 - float(free_space_loss_db(300.0, 5500.0)) == pytest.approx(-44.79746211, abs=1e-5)


@rows(
    Row("farfield-1", (0.4, 5500.0), 5.871, 0.001, "IEEE145", "IEEE Std 145-2013, far-field region", "D"),
    Row("farfield-2", (0.65, 5800.0), 16.348, 0.001, "IEEE145", "IEEE Std 145-2013, far-field region", "D"),
)
def test_far_field_distance_matches_hand_worked_values(row: Row) -> None:
    assert float(far_field_distance_m(*row.inputs)) == pytest.approx(row.expected, abs=row.tolerance)


def test_free_space_loss_over_range_agrees_with_independent_library() -> None:
    # [P525], L pycraf
    with warnings.catch_warnings():
        # It and its dependencies announce their own deprecations at import.
        warnings.simplefilter("ignore")
        from astropy import units
        from pycraf import conversions
    distance_m = np.geomspace(1.0, 60_000.0, 61)[:, np.newaxis]
    frequency_mhz = np.array([902.0, 2400.0, 5150.0, 5500.0, 5875.0, 24_000.0, 60_000.0])
    expected_db = -conversions.free_space_loss(distance_m * units.m, frequency_mhz * units.MHz).to_value("dB")
    np.testing.assert_allclose(free_space_loss_db(distance_m, frequency_mhz), expected_db, atol=1e-9)


# Geometry ------------------------------------------------------------------------------------------------------------

K_GRADIENT = ("P452", "P.452-16 (2015), effective Earth radius factor")


@rows(
    Row("k-1", (-39.0,), 1.330508475, 1e-6, *K_GRADIENT, "D"),
    Row("k-2", (-78.5,), 2.0, 1e-9, *K_GRADIENT, "D"),
    Row("k-3", (0.0,), 1.0, 1e-9, *K_GRADIENT, "D"),
    Row("k-4", (40.0,), 0.7969543147, 1e-6, *K_GRADIENT, "D"),
)
def test_effective_earth_factor_matches_published_values(row: Row) -> None:
    assert float(effective_earth_factor(*row.inputs)) == pytest.approx(row.expected, abs=row.tolerance)


BULGE = ("P452", "P.452-16 (2015), section 4.2.1, term 500 Ce d1 d2")


@rows(
    Row("bulge-1", (250.0, 250.0, 4 / 3), 0.003678778842, 1e-6, *BULGE, "D"),
    Row("bulge-2", (500.0, 500.0, 4 / 3), 0.01471511537, 1e-6, *BULGE, "D"),
    Row("bulge-3", (1500.0, 1500.0, 4 / 3), 0.1324360383, 1e-6, *BULGE, "D"),
    Row("bulge-4", (1500.0, 1500.0, 2 / 3), 0.2648720766, 1e-6, *BULGE, "D"),
    Row("bulge-5", (1500.0, 1500.0, 1.0), 0.1765813844, 1e-6, *BULGE, "D"),
    Row("bulge-6", (5000.0, 5000.0, 4 / 3), 1.471511537, 1e-6, *BULGE, "D"),
)
def test_earth_bulge_matches_published_values(row: Row) -> None:
    assert float(earth_bulge_m(*row.inputs)) == pytest.approx(row.expected, abs=row.tolerance)


ELEVATION = ("P452", "P.452-16 (2015), path profile analysis")
K = 4 / 3


@rows(
    Row("elev-1", (10.0, 10.0, 1000.0, K), -0.003372456018, 1e-6, *ELEVATION, "D"),
    Row("elev-2", (10.0, 10.0, 10_000.0, K), -0.03372455633, 1e-6, *ELEVATION, "D"),
    Row("elev-3", (10.0, 30.0, 500.0, K), 2.288926506, 1e-6, *ELEVATION, "D"),
    Row("elev-4", (30.0, 10.0, 500.0, math.inf), -2.290610043, 1e-6, *ELEVATION, "D"),
    Row("elev-5", (12.0, 6.0, 80.0, K), -4.289421616, 1e-6, *ELEVATION, "D"),
    Row("tilt-100", (0.0, 6.0, 100.0, K), 3.433, 1e-3, *ELEVATION, "D"),
    Row("tilt-300", (4.0, 0.0, 300.0, K), -0.765, 1e-3, *ELEVATION, "D"),
    Row("tilt-1000", (0.0, 10.0, 1000.0, K), 0.570, 1e-3, *ELEVATION, "D"),
    Row("tilt-5000", (0.0, 30.0, 5000.0, K), 0.327, 1e-3, *ELEVATION, "D"),
    Row("tilt-100-flat", (0.0, 6.0, 100.0, math.inf), 3.434, 1e-3, *ELEVATION, "D"),
    Row("tilt-300-flat", (4.0, 0.0, 300.0, math.inf), -0.764, 1e-3, *ELEVATION, "D"),
    Row("tilt-1000-flat", (0.0, 10.0, 1000.0, math.inf), 0.573, 1e-3, *ELEVATION, "D"),
    Row("tilt-5000-flat", (0.0, 30.0, 5000.0, math.inf), 0.344, 1e-3, *ELEVATION, "D"),
    Row("geom-1-k43", (38.0, 46.0, 304.8101176, K), 1.502403919, 1e-6, *ELEVATION, "D"),
    Row("geom-1-k43-back", (46.0, 38.0, 304.8101176, K), -1.504458421, 1e-6, *ELEVATION, "D"),
    Row("geom-2-k43", (38.0, 20.0, 104.160775, K), -9.80477974, 1e-6, *ELEVATION, "D"),
    Row("geom-2-k43-back", (20.0, 38.0, 104.160775, K), 9.804097557, 1e-6, *ELEVATION, "D"),
    Row("geom-3-k43", (60.0, 95.0, 3558.530367, K), 0.5515158187, 1e-6, *ELEVATION, "D"),
    Row("geom-3-k43-back", (95.0, 60.0, 3558.530367, K), -0.575515471, 1e-6, *ELEVATION, "D"),
    Row("geom-4-k43", (1650.0, 1650.0, 111.034623, K), -0.0003744593829, 1e-8, *ELEVATION, "D"),
    # The same lines by exact geometry on the ellipsoid, without refraction; L geographiclib, pyproj.
    Row("geom-1-exact", (38.0, 46.0, 304.8101176, 1.0), 1.502053111, 5e-5, *ELEVATION, "L"),
    Row("geom-2-exact", (38.0, 20.0, 104.160775, 1.0), -9.804861911, 5e-5, *ELEVATION, "L"),
    Row("geom-3-exact", (60.0, 95.0, 3558.530367, 1.0), 0.5475419236, 5e-5, *ELEVATION, "L"),
    Row("geom-4-exact", (1650.0, 1650.0, 111.034623, 1.0), -0.0004999995976, 5e-6, *ELEVATION, "L"),
)
def test_elevation_matches_published_values(row: Row) -> None:
    assert float(elevation_deg(*row.inputs)) == pytest.approx(row.expected, abs=row.tolerance)


SLANT = ("P452", "P.452-16 (2015): R = 6371 km; expectation on the WGS 84 ellipsoid")


@rows(
    Row("geom-1", (304.8101176, 38.0, 46.0), 304.9170881, 1e-3, *SLANT, "L"),
    Row("geom-2", (104.160775, 38.0, 20.0), 105.7050874, 1e-3, *SLANT, "L"),
    Row("geom-3", (3558.530367, 60.0, 95.0), 3558.745631, 1e-3, *SLANT, "L"),
    Row("geom-4", (111.034623, 1650.0, 1650.0), 111.0634209, 1e-3, *SLANT, "L"),
)
def test_slant_distance_matches_exact_geometry_on_the_ellipsoid(row: Row) -> None:
    assert float(slant_distance_m(*row.inputs)) == pytest.approx(row.expected, abs=row.tolerance)


def test_elevation_and_slant_over_range_agree_with_geometry_on_the_ellipsoid() -> None:
    # [P452]; L geographiclib for the ground distance, pyproj for the straight line and the plumb line
    from geographiclib.geodesic import Geodesic
    from pyproj import Transformer

    to_ecef = Transformer.from_crs("EPSG:4979", "EPSG:4978", always_xy=True)
    random = np.random.default_rng(20_190)
    for _ in range(200):
        latitude, longitude = random.uniform(-70.0, 70.0), random.uniform(-179.0, 179.0)
        bearing, distance_m = random.uniform(0.0, 360.0), random.uniform(50.0, 5000.0)
        h1_m, h2_m = random.uniform(0.0, 60.0, 2)
        far = Geodesic.WGS84.Direct(latitude, longitude, bearing, distance_m)
        near_xyz = np.array(to_ecef.transform(longitude, latitude, h1_m))
        ray = np.array(to_ecef.transform(far["lon2"], far["lat2"], h2_m)) - near_xyz
        east, north = math.radians(longitude), math.radians(latitude)
        plumb = np.array([math.cos(north) * math.cos(east), math.cos(north) * math.sin(east), math.sin(north)])
        exact_m = float(np.linalg.norm(ray))
        exact_deg = math.degrees(math.asin(float(ray @ plumb) / exact_m))
        assert float(slant_distance_m(distance_m, h1_m, h2_m)) == pytest.approx(exact_m, abs=1e-3)
        # The radius of curvature of the ellipsoid differs by 0.6 % from the mean radius of the sphere.
        assert float(elevation_deg(h1_m, h2_m, distance_m, 1.0)) == pytest.approx(exact_deg, abs=5e-4)


# Rain ----------------------------------------------------------------------------------------------------------------

# Frequency in GHz, k_H, alpha_H, k_V, alpha_V as printed.
P838_TABLE_5 = (
    (1, 0.0000259, 0.9691, 0.0000308, 0.8592),
    (1.5, 0.0000443, 1.0185, 0.0000574, 0.8957),
    (2, 0.0000847, 1.0664, 0.0000998, 0.9490),
    (2.5, 0.0001321, 1.1209, 0.0001464, 1.0085),
    (3, 0.0001390, 1.2322, 0.0001942, 1.0688),
    (4, 0.0001071, 1.6009, 0.0002461, 1.2476),
    (5, 0.0002162, 1.6969, 0.0002428, 1.5317),
    (5.5, 0.0003909, 1.6499, 0.0003115, 1.5882),
    (6, 0.0007056, 1.5900, 0.0004878, 1.5728),
    (7, 0.001915, 1.4810, 0.001425, 1.4745),
    (8, 0.004115, 1.3905, 0.003450, 1.3797),
    (10, 0.01217, 1.2571, 0.01129, 1.2156),
    (12, 0.02386, 1.1825, 0.02455, 1.1216),
    (15, 0.04481, 1.1233, 0.05008, 1.0440),
    (18, 0.07078, 1.0818, 0.07708, 1.0025),
    (24, 0.1425, 1.0101, 0.1404, 0.9561),
    (30, 0.2403, 0.9485, 0.2291, 0.9129),
    (38, 0.4001, 0.8816, 0.3844, 0.8552),
    (50, 0.6600, 0.8084, 0.6472, 0.7871),
    (60, 0.8606, 0.7656, 0.8515, 0.7486),
    (70, 1.0315, 0.7345, 1.0253, 0.7215),
    (80, 1.1704, 0.7115, 1.1668, 0.7021),
    (100, 1.3671, 0.6815, 1.3680, 0.6765),
    (200, 1.6378, 0.6382, 1.6443, 0.6343),
    (1000, 1.3795, 0.6396, 1.3822, 0.6365),
)


@pytest.mark.parametrize("row", P838_TABLE_5, ids=[f"{row[0]}-ghz" for row in P838_TABLE_5])
def test_rain_coefficients_match_printed_table(row: tuple[float, float, float, float, float]) -> None:
    # [P838], P.838-3 (2005), Table 5, printed to four digits; P2, two copies that agree
    frequency_ghz, k_h, alpha_h, k_v, alpha_v = row
    got_k, got_alpha = rain_coefficients(frequency_ghz * 1000.0, [0.0, 90.0])
    np.testing.assert_allclose(got_k, [k_h, k_v], rtol=1e-3, atol=6e-8)
    np.testing.assert_allclose(got_alpha, [alpha_h, alpha_v], atol=6e-5)


# Elevation, frequency in GHz, rain rate, polarisation tilt; k, alpha, attenuation as printed.
P838_VALIDATION = (
    (31.07699124, 14.25, 26.48052, 0, 0.03975488, 1.12418043, 1.58130839),
    (40.232036, 14.25, 33.936232, 0, 0.04007624, 1.11804138, 2.06173213),
    (46.35969261, 14.25, 27.13586832, 0, 0.04030344, 1.11376017, 1.5920842),
    (31.07699124, 29, 26.48052, 0, 0.22106804, 0.95320005, 5.02180189),
    (40.232036, 29, 33.936232, 0, 0.22031404, 0.9504446, 6.27846024),
    (46.35969261, 29, 27.13586832, 0, 0.21978097, 0.9484851, 5.03135479),
    (22.27833468, 14.25, 50.639304, 0, 0.03949319, 1.12925336, 3.32139638),
    (52.67898486, 14.25, 78.2994993, 0, 0.04053522, 1.10944215, 5.11503463),
    (22.27833468, 29, 50.639304, 0, 0.22168203, 0.95543001, 9.42430244),
    (52.67898486, 29, 78.2994993, 0, 0.21923716, 0.9464763, 13.59290086),
    (48.24117054, 14.25, 63.62668149, 90, 0.04226474, 1.07871664, 3.72901264),
    (85.80459566, 14.25, 99.13558978, 90, 0.04133039, 1.09499629, 6.34064598),
    (20.14335809, 14.25, 42.91007183, 90, 0.04319835, 1.0631531, 2.35032323),
    (48.24117054, 29, 63.62668149, 90, 0.21517927, 0.93116621, 10.28699163),
    (85.80459566, 29, 99.13558978, 90, 0.21737148, 0.93950825, 16.3183686),
    (20.14335809, 29, 42.91007183, 90, 0.21298877, 0.92265917, 6.83364556),
)


@pytest.mark.parametrize("row", P838_VALIDATION, ids=[f"{row[1]}-{row[3]}-{row[0]:.1f}" for row in P838_VALIDATION])
def test_rain_specific_attenuation_matches_validation_examples(row: tuple[float, ...]) -> None:
    # [VALEX], revision 5.1, sheet P.838-3; P2
    path_deg, frequency_ghz, rate, tilt_deg, k, alpha, attenuation = row
    got_k, got_alpha = rain_coefficients(frequency_ghz * 1000.0, tilt_deg, path_deg)
    assert float(got_k) == pytest.approx(k, abs=2e-8)
    assert float(got_alpha) == pytest.approx(alpha, abs=2e-8)
    got = rain_specific_attenuation_db_per_km(rate, frequency_ghz * 1000.0, tilt_deg, path_deg)
    assert float(got) == pytest.approx(attenuation, abs=1e-6)


# Frequency in GHz, polarisation tilt, km, mm/h, %; attenuation in dB/km, r, dB at 0.01 %, dB at p.
P530_RAIN = (
    ("rain-1", 5.8, 0, 0.5, 42, 0.01, 0.233535786, 2.14165858, 0.2500769599, 0.2496002077),
    ("rain-2", 5.8, 0, 3, 42, 0.01, 0.233535786, 0.9018179776, 0.6318203106, 0.6306157946),
    ("rain-3", 5.8, 90, 3, 90, 0.01, 0.5016079224, 0.7917862081, 1.191498705, 1.189227205),
    ("rain-4", 24, 0, 0.5, 42, 0.01, 6.215316946, 2.115006549, 6.572718023, 6.559955719),
    ("rain-5", 24, 90, 0.5, 42, 0.001, 5.005624841, 2.154954257, 5.39344628, 10.23167394),
    ("rain-6", 60, 90, 0.5, 42, 0.01, 13.97340331, 2.007652728, 14.02687064, 13.9992517),
    ("rain-7", 60, 90, 0.3, 90, 0.01, 24.72134367, 2.5, 18.54100776, 18.50450047),
    ("rain-8", 60, 0, 3, 42, 0.1, 15.05289314, 0.8231710834, 37.17331906, 13.89897008),
)


@pytest.mark.parametrize("row", P530_RAIN, ids=[row[0] for row in P530_RAIN])
def test_rain_attenuation_matches_independently_computed_values(row: tuple[Any, ...]) -> None:
    # [P530], P.530-17 (2017), section 2.4.1; L itur
    _, frequency_ghz, tilt_deg, distance_km, rate, percent, gamma, factor, at_001_db, at_p_db = row
    frequency_mhz, distance_m = frequency_ghz * 1000.0, distance_km * 1000.0
    got_gamma = rain_specific_attenuation_db_per_km(rate, frequency_mhz, tilt_deg)
    got_factor = rain_path_factor(distance_m, frequency_mhz, rate, rain_coefficients(frequency_mhz, tilt_deg)[1])
    assert float(got_gamma) == pytest.approx(gamma, rel=1e-7)
    assert float(got_factor) == pytest.approx(factor, rel=1e-7)
    assert float(got_gamma * got_factor * distance_km) == pytest.approx(at_001_db, rel=1e-7)
    got_db = rain_attenuation_db(distance_m, frequency_mhz, rate, percent, tilt_deg)
    assert float(got_db) == pytest.approx(at_p_db, rel=1e-7)


def test_rain_exceeded_percent_matches_independently_computed_value() -> None:
    # [P530], P.530-17 (2017), section 2.4.1 inverted; L itur
    assert float(rain_exceeded_percent(10.0, 500.0, 60_000.0, 42.0)) == pytest.approx(0.02458267048, abs=1e-9)


def test_rain_coefficients_over_range_agree_with_independent_library(itur: Any) -> None:
    # [P838]; L itur, one element a call because it cannot take rows of frequencies here
    for frequency_ghz in np.geomspace(1.0, 1000.0, 41):
        for tilt_deg in (0.0, 17.0, 45.0, 90.0):
            for path_deg in (-30.0, 0.0, 12.0, 80.0):
                k, alpha = itur.models.itu838.rain_specific_attenuation_coefficients(frequency_ghz, path_deg, tilt_deg)
                got_k, got_alpha = rain_coefficients(frequency_ghz * 1000.0, tilt_deg, path_deg)
                assert float(got_k) == pytest.approx(float(k), rel=1e-12)
                assert float(got_alpha) == pytest.approx(float(alpha), rel=1e-12)


def test_rain_attenuation_over_range_agrees_with_independent_library(itur: Any) -> None:
    # [P530]; L itur. From 500 m, because the library lets r turn negative on shorter paths, where the text says 2.5.
    percent = np.array([0.001, 0.003, 0.01, 0.05, 0.3, 1.0])
    for distance_km in (0.5, 0.8, 1.5, 4.0, 11.0, 30.0, 60.0):
        for frequency_ghz in (5.15, 5.5, 5.875, 9.99, 10.0, 24.0, 60.0, 80.0):
            for rate, tilt_deg in ((22.0, 0.0), (42.0, 45.0), (90.0, 90.0), (145.0, 0.0)):
                with np.errstate(invalid="ignore"):  # below 10 GHz it computes a branch that it then throws away
                    expected = itur.models.itu530.rain_attenuation(
                        50.0, 5.0, distance_km, frequency_ghz, 0.0, percent, tau=tilt_deg, R001=rate
                    )
                got_db = rain_attenuation_db(distance_km * 1000.0, frequency_ghz * 1000.0, rate, percent, tilt_deg)
                np.testing.assert_allclose(got_db, expected.to_value("dB"), rtol=1e-11)


def test_rain_exceeded_percent_over_range_agrees_with_independent_library(itur: Any) -> None:
    # [P530]; L itur, which searches from a millionth of a per cent, beyond the turn of the published curve, and so
    # finds nothing for some paths at 60 GHz; those are checked by the way back in the tests of the formula.
    for margin_db, distance_km, frequency_ghz, rate, tilt_deg in (
        (3.0, 0.5, 24.0, 42.0, 90.0),
        (10.0, 0.8, 24.0, 42.0, 0.0),
        (10.0, 0.5, 60.0, 42.0, 90.0),
        (0.5, 3.0, 5.8, 90.0, 0.0),
        (2.0, 0.6, 24.0, 30.0, 0.0),
        (12.0, 4.0, 24.0, 90.0, 0.0),
        (6.0, 2.0, 80.0, 30.0, 90.0),
        (6.0, 2.0, 80.0, 15.0, 90.0),
    ):
        with np.errstate(invalid="ignore"):  # below 10 GHz it computes a branch that it then throws away
            expected = itur.models.itu530.inverse_rain_attenuation(
                50.0, 5.0, distance_km, frequency_ghz, 0.0, margin_db, tau=tilt_deg, R001=rate
            )
        expected_percent = float(np.asarray(getattr(expected, "value", expected)))
        got = rain_exceeded_percent(margin_db, distance_km * 1000.0, frequency_ghz * 1000.0, rate, tilt_deg)
        assert 0.001 <= expected_percent <= 1.0, "the case has to lie inside the method's range"
        assert float(got) == pytest.approx(expected_percent, rel=1e-6)


# Gases ---------------------------------------------------------------------------------------------------------------

# Frequency in GHz, oxygen and water vapour in dB/km as printed, at 1013.25 hPa dry, 288.15 K, 7.5 g/m3.
P676_VALIDATION = (
    (1, 0.005388658, 5.09e-05),
    (2, 0.006716038, 0.000204381),
    (3, 0.00707596, 0.000462793),
    (4, 0.007258969, 0.000830334),
    (5, 0.007400426, 0.001313459),
    (6, 0.007537212, 0.001921572),
    (7, 0.007682905, 0.002668096),
    (8, 0.007843794, 0.003572123),
    (9, 0.008023466, 0.004660957),
    (10, 0.008224417, 0.005974125),
    (11, 0.008448705, 0.007569807),
    (12, 0.008698264, 0.009535388),
    (15, 0.009618924, 0.019439422),
    (17, 0.010399813, 0.033834629),
    (20, 0.01188355, 0.097047305),
    (22, 0.013130223, 0.174207033),
    (23, 0.013847278, 0.180441698),
    (24, 0.014636083, 0.158525061),
    (26, 0.016463488, 0.108564633),
    (30, 0.021449684, 0.072374863),
    (38, 0.042180348, 0.0744349),
    (50, 0.277268639, 0.111158547),
    (55, 4.193281608, 0.131674477),
    (57, 10.06523767, 0.140613831),
    (58, 12.35314746, 0.145243442),
    (59, 13.63529563, 0.149984058),
    (60, 14.6234748, 0.154841841),
    (61, 15.00715909, 0.159826896),
    (62, 13.99621098, 0.164955712),
    (63, 10.83108751, 0.170254842),
    (64, 6.844588594, 0.175764689),
    (66, 1.966617945, 0.187577774),
    (70, 0.304105097, 0.20988793),
    (80, 0.072307495, 0.270060122),
    (90, 0.038869711, 0.341973394),
    (100, 0.033625442, 0.424433523),
    (119, 1.306379041, 0.61799348),
    (130, 0.041509084, 0.751844704),
    (183, 0.012733909, 27.66500831),
    (250, 0.018753887, 3.077989748),
)


@pytest.mark.parametrize("row", P676_VALIDATION, ids=[f"{row[0]}-ghz" for row in P676_VALIDATION])
def test_gas_attenuation_matches_validation_examples(row: tuple[float, float, float]) -> None:
    # [VALEX], revision 5.1, sheet P.676-12; P2
    frequency_ghz, oxygen, vapour = row
    assert float(oxygen_attenuation_db_per_km(frequency_ghz * 1000.0)) == pytest.approx(oxygen, rel=1e-6, abs=6e-10)
    assert float(water_vapour_attenuation_db_per_km(frequency_ghz * 1000.0)) == pytest.approx(
        vapour, rel=1e-6, abs=6e-9
    )
    got = gas_attenuation_db_per_km(frequency_ghz * 1000.0)
    assert float(got) == pytest.approx(oxygen + vapour, rel=1e-6, abs=6e-9)


# The newer edition prints more digits and changes nothing here.
P676_13_VALIDATION = (
    (12, 0.00869826406877357, 0.00953538822024593),
    (20, 0.0118835504778076, 0.0970473048151117),
    (60, 14.6234747964861, 0.154841841),
    (90, 0.0388697110724235, 0.341973394),
    (130, 0.0415090835995228, 0.751844704),
)


@pytest.mark.parametrize("row", P676_13_VALIDATION, ids=[f"{row[0]}-ghz" for row in P676_13_VALIDATION])
def test_gas_attenuation_matches_validation_examples_of_the_newer_edition(row: tuple[float, float, float]) -> None:
    # [VALEX], revision 8.3.0, sheet P.676-13; P2
    frequency_ghz, oxygen, vapour = row
    assert float(oxygen_attenuation_db_per_km(frequency_ghz * 1000.0)) == pytest.approx(oxygen, rel=1e-11)
    assert float(water_vapour_attenuation_db_per_km(frequency_ghz * 1000.0)) == pytest.approx(vapour, rel=1e-8)


P676 = ("P676", "P.676-12 (2019), Annex 1")


@rows(
    Row("gas-5.5-oxygen", (5500.0,), 0.007468290602, 1e-10, *P676, "L"),
    Row("gas-5.8-oxygen", (5800.0,), 0.007509424544, 1e-10, *P676, "L"),
    Row("gas-24-oxygen", (24_000.0,), 0.01463608282, 1e-10, *P676, "L"),
    Row("gas-60-oxygen", (60_000.0,), 14.6234748, 1e-6, *P676, "L"),
)
def test_oxygen_attenuation_in_our_bands_matches_independently_computed_values(row: Row) -> None:
    assert float(oxygen_attenuation_db_per_km(*row.inputs)) == pytest.approx(row.expected, abs=row.tolerance)


@rows(
    Row("gas-5.5-vapour", (5500.0,), 0.001601162959, 1e-10, *P676, "L"),
    Row("gas-5.8-vapour", (5800.0,), 0.001789374893, 1e-10, *P676, "L"),
    Row("gas-24-vapour", (24_000.0,), 0.1585250613, 1e-9, *P676, "L"),
    Row("gas-60-vapour", (60_000.0,), 0.1548418406, 1e-9, *P676, "L"),
)
def test_water_vapour_attenuation_in_our_bands_matches_independently_computed_values(row: Row) -> None:
    assert float(water_vapour_attenuation_db_per_km(*row.inputs)) == pytest.approx(row.expected, abs=row.tolerance)


def test_gas_attenuation_over_range_agrees_with_independent_library(itur: Any) -> None:
    # [P676]; L itur
    frequency_ghz = np.concatenate([np.geomspace(1.0, 1000.0, 40), [5.15, 5.5, 5.875, 24.125, 57.0, 60.5, 66.0]])
    for pressure_hpa, temperature_c, vapour in (
        (1013.25, 15.0, 7.5),
        (1030.0, -25.0, 0.4),
        (985.0, 38.0, 25.0),
        (830.0, 5.0, 3.0),
        (1000.0, 20.0, 0.0),
    ):
        air = (pressure_hpa, vapour, temperature_c + 273.15)
        oxygen = itur.models.itu676.gamma0_exact(frequency_ghz, *air).value
        water = itur.models.itu676.gammaw_exact(frequency_ghz, *air).value
        ours = (frequency_ghz * 1000.0, pressure_hpa, temperature_c, vapour)
        np.testing.assert_allclose(oxygen_attenuation_db_per_km(*ours), oxygen, rtol=1e-11)
        np.testing.assert_allclose(water_vapour_attenuation_db_per_km(*ours), water, rtol=1e-11, atol=1e-18)


def test_oxygen_attenuation_over_range_agrees_with_a_second_library() -> None:
    # [P676]; L pycraf, whose lines are those of an older edition: oxygen alike, water vapour 4 to 14 % higher below 70
    # GHz
    with warnings.catch_warnings():
        # It and its dependencies announce their own deprecations at import.
        warnings.simplefilter("ignore")
        from astropy import units
        from pycraf import atm
    frequency_ghz = np.array([5.15, 5.5, 5.8, 5.875, 24.0, 57.0, 60.0, 64.0])
    vapour_hpa = 7.5 * 288.15 / 216.7
    oxygen, water = atm.atten_specific_annex1(
        frequency_ghz * units.GHz, 1013.25 * units.hPa, vapour_hpa * units.hPa, 288.15 * units.K
    )
    np.testing.assert_allclose(
        oxygen_attenuation_db_per_km(frequency_ghz * 1000.0), oxygen.to_value("dB/km"), rtol=1e-4
    )
    ratio = water.to_value("dB/km") / water_vapour_attenuation_db_per_km(frequency_ghz * 1000.0)
    assert (ratio > 1.0).all()
    assert (ratio < 1.15).all()


def test_wavelength_matches_the_definition_of_the_metre() -> None:
    # [SI], 9th edition (2019), section 2.2; P2
    assert float(wavelength_m(299.792458)) == pytest.approx(1.0, rel=1e-15)
