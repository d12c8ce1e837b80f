"""Walls, buildings and trees against the outside world: printed values, and the same waves solved in other ways.

Each row says where its expectation comes from:

* P2: printed by the source, seen in a public copy of it
* L: computed with the library named beside it
* D: worked out by hand from the source's formula
* M: from memory, not verified
"""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import pytest
from scipy.linalg import solve_banded
from scipy.stats import norm

from survey_app.physics.building_entry import building_entry_loss_db
from survey_app.physics.foliage import (
    cost_235_loss_db,
    early_itu_loss_db,
    fitu_r_loss_db,
    weissberger_loss_db,
    woodland_loss_db,
    woodland_parameters,
)
from survey_app.physics.indoor import indoor_loss_db, indoor_sigma_db
from survey_app.physics.indoor_floors import floor_coefficients, indoor_floors_loss_db
from survey_app.physics.layers import Polarisation, slab, slab_loss_db, stack, transmission_loss_db
from survey_app.physics.material import complex_permittivity, conductivity_s_per_m, material

SPEED_OF_LIGHT_M_PER_S = 299_792_458.0

# Materials -----------------------------------------------------------------------------------------------------------

# [P2040], P.2040-3 (2023), section 3, Table 3: a, b, c, d, from GHz, to GHz; P2, two copies that agree
TABLE_3 = {
    "concrete": (5.24, 0, 0.0462, 0.7822, 1, 100),
    "brick": (3.91, 0, 0.0238, 0.16, 1, 40),
    "plasterboard": (2.73, 0, 0.0085, 0.9395, 1, 100),
    "wood": (1.99, 0, 0.0047, 1.0718, 0.001, 100),
    "glass": (6.31, 0, 0.0036, 1.3394, 0.1, 100),
    "ceiling_board": (1.48, 0, 0.0011, 1.075, 1, 100),
    "chipboard": (2.58, 0, 0.0217, 0.78, 1, 100),
    "plywood": (2.71, 0, 0.33, 0, 1, 40),
    "marble": (7.074, 0, 0.0055, 0.9262, 1, 60),
    "floorboard": (3.66, 0, 0.0044, 1.3515, 50, 100),
    "metal": (1, 0, 1e7, 0, 1, 100),
}


@pytest.mark.parametrize("name", TABLE_3)
def test_material_has_the_printed_row(name: str) -> None:
    one = material(name)
    assert (one.a, one.b, one.c, one.d, one.lowest_ghz, one.highest_ghz) == TABLE_3[name]


@pytest.mark.parametrize(
    ("name", "expected"),
    [("concrete", 0.1753), ("brick", 0.0313), ("plasterboard", 0.0422), ("wood", 0.0292), ("glass", 0.0353),
     ("chipboard", 0.0820), ("plywood", 0.3300), ("ceiling_board", 0.0069), ("marble", 0.0267)],
)  # fmt: skip
def test_conductivity_at_5_5_ghz_matches_hand_worked_value(name: str, expected: float) -> None:
    # [P2040], P.2040-3 (2023), section 3, equation 29; D
    assert float(conductivity_s_per_m(material(name), 5500)) == pytest.approx(expected, abs=5e-5)


# Slabs ---------------------------------------------------------------------------------------------------------------

# [P2040], P.2040-3 (2023), section 2.2.2.2; D with the factor 17.9751 that the source prints as 17.98.
SLABS = (
    ("concrete", 100.0, 8.096333974, 14.03160655),
    ("concrete", 200.0, 14.57114179, 26.47093879),
    ("brick", 110.0, 3.995549168, 3.336795896),
    ("brick", 220.0, 5.672408843, 6.429641008),
    ("plasterboard", 12.5, 1.071691241, 1.007536044),
    ("wood", 40.0, 0.6124961735, 1.454306706),
    ("glass", 4.0, 1.066250285, 2.957836552),
    ("glass", 6.0, 1.90544968, 3.284664288),
    ("chipboard", 18.0, 1.665199986, 1.701673293),
    ("plywood", 18.0, 6.242296021, 6.294771456),
    ("ceiling_board", 15.0, 0.1675377687, 0.2555860014),
    ("marble", 20.0, 1.17712904, 0.5958364985),
)


@pytest.mark.parametrize("row", SLABS, ids=[f"{row[0]}-{row[1]:g}" for row in SLABS])
def test_slab_loss_matches_independently_computed_values(row: tuple[str, float, float, float]) -> None:
    name, thickness_mm, *expected = row
    eta = complex_permittivity(material(name), [2400.0, 5500.0])
    assert slab_loss_db(eta, thickness_mm / 1000, [2400.0, 5500.0]) == pytest.approx(expected, abs=0.02)


def test_slab_loss_at_45_degrees_matches_independently_computed_values() -> None:
    # [P2040], P.2040-3 (2023), section 2.2.2.2; D
    eta = complex_permittivity(material("concrete"), 5500)
    assert float(slab_loss_db(eta, 0.2, 5500, 45.0, "te")) == pytest.approx(28.91554641, abs=0.02)
    assert float(slab_loss_db(eta, 0.2, 5500, 45.0, "tm")) == pytest.approx(26.90378885, abs=0.02)


# [P2040], P.2040-3 (2023), section 2.2.2.1; D: 2.4 and 5.5 GHz
STACKS = (
    ((("glass", 4.0), ("air", 12.0), ("glass", 4.0)), 0.542073502, 8.429950353),
    ((("plasterboard", 12.5), ("air", 75.0), ("plasterboard", 12.5)), 0.798029887, 1.059759013),
    ((("brick", 102.0), ("air", 50.0), ("brick", 102.0)), 7.243791602, 7.929202339),
)


@pytest.mark.parametrize("row", STACKS, ids=["double-glazing", "stud-wall", "cavity-brick"])
def test_layers_match_independently_computed_values(row: tuple[Any, float, float]) -> None:
    layers, *expected = row
    thickness_m = [thickness_mm / 1000 for _, thickness_mm in layers]
    for frequency_mhz, value in zip((2400.0, 5500.0), expected, strict=True):
        eta = [complex(complex_permittivity(material(name), frequency_mhz)) for name, _ in layers]
        assert float(transmission_loss_db(stack(eta, thickness_m, frequency_mhz))) == pytest.approx(value, abs=0.02)


def by_matrices(
    eta: list[complex], thickness_m: list[float], frequency_mhz: float, angle_deg: float, polarisation: str
) -> tuple[complex, complex]:
    """Return reflection and transmission by the product of chain matrices of impedances, as a circuit of lines."""
    k0 = 2.0 * np.pi * frequency_mhz * 1e6 / SPEED_OF_LIGHT_M_PER_S
    sin2, cos = np.sin(np.deg2rad(angle_deg)) ** 2, np.cos(np.deg2rad(angle_deg))
    air = 1.0 / cos if polarisation == "te" else cos
    chain = np.eye(2, dtype=complex)
    for one, length_m in zip(eta, thickness_m, strict=True):
        root = np.sqrt(one - sin2 + 0j)
        impedance = 1.0 / root if polarisation == "te" else root / one
        phase = k0 * root * length_m
        chain = chain @ np.array(
            [[np.cos(phase), 1j * impedance * np.sin(phase)], [1j * np.sin(phase) / impedance, np.cos(phase)]]
        )
    (a, b), (c, d) = chain
    below = a + b / air + c * air + d
    reflection = (a + b / air - c * air - d) / below
    # of the electric field along the wall; the source has the magnetic one for TM
    return (reflection if polarisation == "te" else -reflection), 2.0 / below


def by_finite_differences(
    eta: list[complex], thickness_m: list[float], frequency_mhz: float, angle_deg: float, polarisation: str, cells: int
) -> complex:
    """Return the transmission by solving the wave equation on a grid through the wall, without any closed form."""
    k0 = 2.0 * np.pi * frequency_mhz * 1e6 / SPEED_OF_LIGHT_M_PER_S
    along2, across = (k0 * np.sin(np.deg2rad(angle_deg))) ** 2, k0 * np.cos(np.deg2rad(angle_deg))
    # cells of each layer in proportion, so that surfaces fall on nodes
    counts = [max(8, round(cells * one / sum(thickness_m))) for one in thickness_m]
    step = np.concatenate([np.full(n, one / n) for n, one in zip(counts, thickness_m, strict=True)])
    inside = np.concatenate([np.full(n, one) for n, one in zip(counts, eta, strict=True)])
    # d/dz (p du/dz) + q u = 0, u the electric field and p = 1 for TE, the magnetic field and p = 1/eta for TM
    p = np.ones_like(inside) if polarisation == "te" else 1.0 / inside
    q = p * (k0**2 * inside - along2)
    diagonal = np.zeros(len(step) + 1, complex)
    diagonal[:-1] += -p / step + q * step / 2.0
    diagonal[1:] += -p / step + q * step / 2.0
    # outside: a wave that comes and one that goes back, and one that goes on
    diagonal[0] -= 1j * across
    diagonal[-1] -= 1j * across
    bands = np.zeros((3, len(diagonal)), complex)
    bands[0, 1:], bands[1], bands[2, :-1] = p / step, diagonal, p / step
    source = np.zeros(len(diagonal), complex)
    source[0] = -2j * across
    return complex(solve_banded((1, 1), bands, source)[-1])


@pytest.mark.parametrize("polarisation", ["te", "tm"])
@pytest.mark.parametrize("angle_deg", [0.0, 20.0, 50.0, 75.0, 85.0])
def test_layers_agree_with_a_chain_of_lines(polarisation: Polarisation, angle_deg: float) -> None:
    # [P2040], section 2.2.2.1; D: the same wall as a circuit of transmission lines
    random = np.random.default_rng(11)
    for _ in range(60):
        count = int(random.integers(1, 6))
        eta = [complex(random.uniform(1, 9), -random.uniform(0, 2)) for _ in range(count)]
        thickness_m = random.uniform(0.0, 0.08, count).tolist()
        frequency_mhz = float(random.uniform(1_000, 60_000))
        wave = stack(eta, thickness_m, frequency_mhz, angle_deg, polarisation)
        reflection, transmission = by_matrices(eta, thickness_m, frequency_mhz, angle_deg, polarisation)
        assert complex(wave.reflection) == pytest.approx(reflection, abs=1e-7)
        assert complex(wave.transmission) == pytest.approx(transmission, rel=1e-7, abs=1e-9)


@pytest.mark.parametrize("polarisation", ["te", "tm"])
@pytest.mark.parametrize("angle_deg", [0.0, 35.0, 70.0])
@pytest.mark.parametrize("layers", [row[0] for row in STACKS] + [(("concrete", 100.0),), (("brick", 220.0),)])
def test_layers_agree_with_the_wave_equation_on_a_grid(
    layers: tuple[tuple[str, float], ...], angle_deg: float, polarisation: Polarisation
) -> None:
    # [P2040], section 2.2.2.1; D: finite differences, two grids extrapolated
    eta = [complex(complex_permittivity(material(name), 5500)) for name, _ in layers]
    thickness_m = [thickness_mm / 1000 for _, thickness_mm in layers]
    problem = (eta, thickness_m, 5500.0, angle_deg, polarisation)
    coarse, fine = (by_finite_differences(*problem, cells) for cells in (2000, 4000))
    expected = (4.0 * fine - coarse) / 3.0
    assert complex(stack(*problem).transmission) == pytest.approx(expected, rel=2e-4, abs=1e-6)


def test_surface_of_a_thick_lossy_slab_reflects_as_printed() -> None:
    # [P2040], P.2040-3 (2023), section 2.2.1; D: nothing comes back from the far side of a metre of concrete
    eta = complex(complex_permittivity(material("concrete"), 5500))
    root = np.sqrt(eta - 0.5)
    te, tm = (complex(slab(eta, 1.0, 5500, 45.0, one).reflection) for one in ("te", "tm"))
    assert te == pytest.approx((np.sqrt(0.5) - root) / (np.sqrt(0.5) + root), abs=1e-6)
    assert tm == pytest.approx((eta * np.sqrt(0.5) - root) / (eta * np.sqrt(0.5) + root), abs=1e-6)


# Building entry ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "frequency_mhz", "probability", "expected"),
    [
        # [P2109], P.2109-1 (2019), section 3; L pycraf for the medians, D for nine of ten
        ("traditional", 2400.0, 0.5, 15.18689107),
        ("traditional", 5500.0, 0.5, 16.47994721),
        ("traditional", 5500.0, 0.9, 30.17286523),
        ("efficient", 2400.0, 0.5, 30.56978945),
        ("efficient", 5500.0, 0.5, 31.82049155),
        ("efficient", 5500.0, 0.9, 51.63589524),
    ],
)
def test_building_entry_matches_published_method(
    kind: Any, frequency_mhz: float, probability: float, expected: float
) -> None:
    assert float(building_entry_loss_db(frequency_mhz, kind, probability)) == pytest.approx(expected, abs=1e-5)


def test_building_entry_over_range_agrees_with_an_independent_library() -> None:
    # [P2109]; L pycraf, whose inverse normal is good to 0.0005
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it and its dependencies announce their own deprecations at import
        from astropy import units
        from pycraf import pathprof
    frequency, share, steep = np.meshgrid(
        np.geomspace(0.08, 100.0, 9), [0.01, 0.1, 0.5, 0.8, 0.99], [-90.0, -20.0, 0.0, 45.0], indexing="ij"
    )
    for kind, theirs in (
        ("traditional", pathprof.BuildingType.TRADITIONAL),
        ("efficient", pathprof.BuildingType.THERM_EFF),
    ):
        expected = pathprof.building_entry_loss(
            frequency * units.GHz, steep * units.deg, share * units.dimensionless_unscaled, theirs
        )
        found = building_entry_loss_db(frequency * 1000.0, kind, share, steep)  # type: ignore[arg-type]
        np.testing.assert_allclose(found, expected.value, atol=0.02)


def test_building_entry_in_one_of_two_terms_is_normal() -> None:
    # [P2109], section 3; D: 40 degrees up the first term rules, and its quantiles are those of a normal distribution
    share = np.array([0.2, 0.4, 0.6, 0.8, 0.95])
    found = building_entry_loss_db(5500, "traditional", share, 90.0)
    log_f = np.log10(5.5)
    alone = 12.64 + 3.72 * log_f + 0.96 * log_f**2 + 0.212 * 90.0 + norm.ppf(share) * (9.6 + 2.0 * log_f)
    assert (found >= alone).all()
    np.testing.assert_allclose(found, alone, atol=0.35)


# Indoors -------------------------------------------------------------------------------------------------------------

# [P1238], P.1238-11 (2021), section 3.1, Table 2: sigma P2; loss at 20 m and 5.5 GHz D
INDOOR = (
    ("office", True, 3.76, 68.64440053),
    ("office", False, 5.04, 79.1559699),
    ("corridor", True, 4.07, 65.98494944),
    ("corridor", False, 7.63, 83.66952558),
    ("industrial", True, 2.69, 69.8252643),
    ("industrial", False, 9.05, 80.23989687),
)


@pytest.mark.parametrize("row", INDOOR, ids=[f"{row[0]}-{row[1]}" for row in INDOOR])
def test_indoor_loss_matches_published_coefficients(row: tuple[Any, bool, float, float]) -> None:
    place, line_of_sight, sigma_db, loss_db = row
    assert indoor_sigma_db(place, line_of_sight) == sigma_db
    assert float(indoor_loss_db(20.0, 5500.0, place, line_of_sight)) == pytest.approx(loss_db, abs=1e-6)


def test_indoor_loss_by_floors_matches_hand_worked_values() -> None:
    # [P1238], P.1238-7 to -9, section 3.1, Tables 2 and 3; coefficients P2 as quoted elsewhere, losses D
    office, one_up, house = (
        floor_coefficients("office", 5200, 0),
        floor_coefficients("office", 5200, 1),
        floor_coefficients("house", 5200, 0),
    )
    assert float(indoor_floors_loss_db(20, 5200, *office)) == pytest.approx(86.65199674, abs=1e-6)
    assert float(indoor_floors_loss_db(20, 5200, *one_up)) == pytest.approx(102.6519967, abs=1e-6)
    assert float(indoor_floors_loss_db(10, 5200, *house)) == pytest.approx(74.32006687, abs=1e-6)
    assert floor_coefficients("apartment", 5200, 0).exponent == 30.0
    assert [floor_coefficients("office", 5800, n) for n in (0, 1, 2)] == [(24.0, 0.0), (24.0, 22.0), (24.0, 28.0)]


# Trees ---------------------------------------------------------------------------------------------------------------

TREES = (
    # frequency MHz, depth m, [WEISSBERGER] D, [CCIR236] D
    (2400.0, 5.0, 2.885110895, 5.425944794),
    (5500.0, 2.0, 1.46051329, 4.015658754),
    (5500.0, 5.0, 3.651283225, 6.958582894),
    (5500.0, 10.0, 7.302566451, 10.54723937),
    (5500.0, 20.0, 12.56377882, 15.98662545),
    (5500.0, 50.0, 21.53322148, 27.70261747),
)


@pytest.mark.parametrize("row", TREES)
def test_foliage_rules_match_hand_worked_values(row: tuple[float, float, float, float]) -> None:
    frequency_mhz, depth_m, weissberger_db, early_itu_db = row
    assert float(weissberger_loss_db(depth_m, frequency_mhz)) == pytest.approx(weissberger_db, abs=1e-6)
    assert float(early_itu_loss_db(depth_m, frequency_mhz)) == pytest.approx(early_itu_db, abs=1e-6)


@pytest.mark.parametrize(
    ("depth_m", "in_leaf_db", "bare_db", "cost_in_leaf_db"),
    [
        (5.0, 16.77059832, 4.506706866, 21.9),
        (10.0, 19.94371484, 6.783705851, 26.3),
        (50.0, 29.82280968, 17.53312426, 39.9),
    ],
)
def test_fitted_foliage_rules_match_remembered_constants(
    depth_m: float, in_leaf_db: float, bare_db: float, cost_in_leaf_db: float
) -> None:
    # [FITUR], [COST235]; M, extrapolated to 5.5 GHz
    assert float(fitu_r_loss_db(depth_m, 5500, True, True)) == pytest.approx(in_leaf_db, abs=1e-6)
    assert float(fitu_r_loss_db(depth_m, 5500, False, True)) == pytest.approx(bare_db, abs=1e-6)
    assert float(cost_235_loss_db(depth_m, 5500, True, True)) == pytest.approx(cost_in_leaf_db, abs=0.06)


def test_woodland_matches_the_printed_table_and_hand_worked_losses() -> None:
    # [P833], P.833-9 (2016), section 2.1, Table 1, P2; -10 (2021), equation 1, D
    printed = (
        (105.9, 0.04, 9.4),
        (466.475, 0.12, 18.0),
        (949.0, 0.17, 26.5),
        (1852.2, 0.30, 29.0),
        (2117.5, 0.34, 34.1),
    )
    for frequency_mhz, specific, most in printed:
        assert [float(value) for value in woodland_parameters(frequency_mhz)] == pytest.approx([specific, most])
    assert woodland_loss_db([5.0, 10.0, 30.0], 1.08, 51.0) == pytest.approx([5.123946083, 9.733091706, 23.98123796])
    specific, most = woodland_parameters(5500, extrapolate=True)
    assert (float(specific), float(most)) == pytest.approx((1.08, 51.0), rel=0.01)
