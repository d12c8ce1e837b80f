"""Diffraction against the outside: worked values, exact integrals, and an independent library over random profiles.

Sources: P526 (P.526-15), P530 (P.530-17), P452 (P.452-16). Marks as in test_propagation.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import fresnel

from survey_app.physics.bullington import bullington_loss_db, bullington_parameter
from survey_app.physics.diffraction import (
    average_terrain_loss_db,
    diffraction_parameter,
    knife_edge_loss_db,
    narrow_screen_loss_db,
    rounded_obstacle_loss_db,
    screen_loss_db,
)
from survey_app.physics.geometry import effective_earth_factor

#: The effective earth radius of 8500 km that P.526 works with, as a factor.
K = 8500.0 / 6371.0


# Single edge, P526 section 4.1 ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("parameter", "loss_db"),
    [
        (-1.0, 0.0),
        (-0.78, 0.0),
        (-0.5, 1.959249706),
        (0.0, 6.032852209),
        (0.5, 10.28780374),
        (1.0, 13.92572893),
        (1.5, 16.78438646),
        (2.0, 19.04285951),
        (2.4, 20.53926613),
    ],
)
def test_edge_loss_is_the_closed_form_of_p526(parameter: float, loss_db: float) -> None:
    """D: worked out by hand from P526, P.526-15 section 4.1, equation (31)."""
    assert float(knife_edge_loss_db(parameter)) == pytest.approx(loss_db, abs=1e-8 if parameter > -0.78 else 0.02)


@pytest.mark.parametrize(
    ("height_m", "d1_m", "d2_m", "frequency_mhz", "parameter", "loss_db"),
    [
        (-1.5, 150, 150, 5500, -1.049171823, 0.0),
        (1.0, 150, 150, 5500, 0.699447882, 11.83663757),
        (3.0, 50, 250, 5800, 2.890982873, 22.1019726),
        (3.0, 50, 250, 2400, 1.859675385, 18.45821017),
    ],
)
def test_edge_at_a_known_place_has_the_worked_loss(
    height_m: float, d1_m: float, d2_m: float, frequency_mhz: float, parameter: float, loss_db: float
) -> None:
    """D: P526, P.526-15 section 4.1."""
    found = diffraction_parameter(height_m, d1_m, d2_m, frequency_mhz)
    assert float(found) == pytest.approx(parameter, rel=1e-8)
    assert float(knife_edge_loss_db(found)) == pytest.approx(loss_db, abs=1e-7)


def test_edge_loss_lies_along_the_exact_fresnel_integral() -> None:
    """L: scipy's Fresnel integrals; the reach of the closed form from there, P526 section 4.1."""
    parameter = np.linspace(-2.0, 5.0, 7001)
    sine, cosine = fresnel(parameter)
    exact_db = -10.0 * np.log10(((0.5 - cosine) ** 2 + (0.5 - sine) ** 2) / 2.0)
    off_db = np.abs(knife_edge_loss_db(parameter) - exact_db)
    assert off_db[parameter > -0.78].max() < 0.14
    assert off_db[parameter <= -0.78].max() < 1.4


# Rounded crest, P526 section 4.2 -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("height_m", "radius_m", "loss_db"),
    [(2, 5, 16.32514666), (2, 10, 16.80868453), (2, 50, 18.46759325), (5, 10, 26.40372379)],
)
def test_rounded_crest_has_the_worked_loss(height_m: float, radius_m: float, loss_db: float) -> None:
    """D: P526, P.526-15 section 4.2, equations (34a) and (34b), at 5.5 GHz half-way along 500 m."""
    found = rounded_obstacle_loss_db(height_m, 250, 250, 5500, radius_m)
    assert float(found) == pytest.approx(loss_db, abs=1e-7)


# Screens, P526 section 5 ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("edges", "minimum_db", "average_db"),
    [((1, 1, 1), 4.383303841, 9.154516388), ((2, 1, 3), 8.209770502, 12.3138912)],
)
def test_screen_has_the_worked_losses(edges: tuple[float, ...], minimum_db: float, average_db: float) -> None:
    """M for the formula, D for the arithmetic: P526, P.526-15 section 5.1."""
    found = screen_loss_db(*edges)
    assert float(found[0]) == pytest.approx(minimum_db, abs=1e-8)
    assert float(found[1]) == pytest.approx(average_db, abs=1e-8)


def field_behind(top: float, left: float, right: float) -> complex:
    """The wave behind a screen by integrals over the plane that it leaves open, with the quadrature of scipy.

    The path of integration is turned into the complex plane, where the wave dies away and the integral over an endless
    half-plane becomes a short one.
    """

    def beyond(edge: float) -> complex:
        turn = np.exp(-0.25j * np.pi)

        def wave(s: float) -> complex:
            t = edge + s * turn
            return complex(np.exp(-0.5j * np.pi * t * t) * turn)

        real = quad(lambda s: wave(s).real, 0.0, 8.0, limit=200)[0]
        imaginary = quad(lambda s: wave(s).imag, 0.0, 8.0, limit=200)[0]
        return complex(real, imaginary) / (1.0 - 1.0j)

    over = beyond(top)
    beside = (1.0 - over) * (beyond(left) + beyond(right))
    return over + beside


@pytest.mark.parametrize(
    "edges", [(0.0, 0.3, 0.3), (1.0, 0.05, 0.2), (2.0, 0.02, 0.02), (0.4, -0.3, 0.6), (3.0, 1.0, 0.4), (8.0, 0.1, 0.1)]
)
def test_narrow_screen_is_the_integral_over_the_open_plane(edges: tuple[float, float, float]) -> None:
    """L: numerical quadrature of the open plane, where ours takes the screen out of the free wave. P526 section 5.2."""
    expected_db = -20.0 * np.log10(abs(field_behind(*edges)))
    assert float(narrow_screen_loss_db(*edges)) == pytest.approx(max(expected_db, 0.0), abs=1e-6)


@pytest.mark.parametrize("half", [1.0, 1.41, 2.0, 3.0, 4.0])
def test_average_behind_a_screen_is_the_mean_of_the_exact_field(half: float) -> None:
    """L: exact field (scipy) over the whole shadow; the reach of P526 section 5.1 that our docstring states."""
    across, top = np.meshgrid(np.linspace(-half, half, 401), np.linspace(0.0, 4.0, 401))

    def taken(parameter: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
        sine, cosine = fresnel(parameter)
        return ((cosine + 0.5) - 1j * (sine + 0.5)) / (1.0 - 1j)

    field = 1.0 - (taken(half - across) - taken(-half - across)) * taken(top)
    power = np.abs(field) ** 2
    minimum_db, average_db = screen_loss_db(top, half + across, half - across)
    mean_db = -10.0 * np.log10(np.mean(power))
    assert -10.0 * np.log10(np.mean(10.0 ** (-average_db / 10.0))) == pytest.approx(mean_db, abs=0.5)
    assert (-10.0 * np.log10(power) - minimum_db).min() > -0.8


def test_average_of_a_narrow_screen_is_too_high_and_the_integral_is_not() -> None:
    """The reason why a mast goes by P526 section 5.2: 90 mm across a 1.6 m zone."""
    width = np.sqrt(2.0) * 0.045 / 1.6
    _, average_db = screen_loss_db(np.inf, width, width)
    assert float(average_db) > 3.0
    # by hand: the field that so narrow a strip takes is 2 v / (1 - j)
    by_hand_db = -20.0 * np.log10(abs(1.0 - 2.0 * width / (1.0 - 1j)))
    assert float(narrow_screen_loss_db(np.inf, width, width)) == pytest.approx(by_hand_db, abs=0.001)


# Average terrain, P530 section 2.2.1; k ------------------------------------------------------------------------------


@pytest.mark.parametrize(("ratio", "loss_db"), [(-0.5, 20.0), (-1.0, 30.0)])
def test_average_terrain_has_the_worked_loss(ratio: float, loss_db: float) -> None:
    """D: P530, P.530-17 section 2.2.1, equation (3)."""
    assert float(average_terrain_loss_db(ratio)) == loss_db


@pytest.mark.parametrize(("gradient", "k"), [(-39, 1.330508475), (-78.5, 2.0), (0, 1.0), (40, 0.7969543147)])
def test_earth_factor_has_the_worked_value(gradient: float, k: float) -> None:
    """D: P452, P.452-16 Annex 1."""
    assert float(effective_earth_factor(gradient)) == pytest.approx(k, rel=1e-9)


# Bullington, P526 section 4.5.1 --------------------------------------------------------------------------------------


class Profile(NamedTuple):
    """A worked profile: distances from A and heights, masts over the end points, and what comes out."""

    name: str
    frequency_mhz: float
    d_m: tuple[float, ...]
    height_m: tuple[float, ...]
    mast_a_m: float
    mast_b_m: float
    parameter: float
    loss_db: float


ROOFS = ((0, 100, 200, 400, 500, 600), (100, 100, 114, 116, 101, 100))
PROFILES = [
    Profile("flat, clear", 5500, (0, 100, 200, 300, 400), (0, 0, 0, 0, 0), 10, 10, -6.055971075, 0.0),
    Profile("roof under the ray", 5500, (0, 100, 250, 400, 500), (0, 0, 13, 0, 0), 14, 14, -0.5397981247, 4.091669661),
    Profile("roof touches", 5500, (0, 100, 250, 400, 500), (0, 0, 14, 0, 0), 14, 14, 0.001991874999, 12.40819794),
    Profile("two roofs", 5800, *ROOFS, 10, 12, 3.008376878, 32.2138023),
    Profile(
        "ridge",
        5500,
        (0, 500, 1000, 1500, 2000, 2500, 3000),
        (40, 45, 62, 50, 48, 55, 60),
        15,
        10,
        0.4968041329,
        18.50311741,
    ),
    Profile("own parapet", 5800, (0, 5, 100, 200, 300), (12, 14, 0, 0, 0), 2.2, 10, -0.3644489126, 6.933803551),
    Profile("two roofs, 2.4 GHz", 2400, *ROOFS, 10, 12, 1.935191136, 28.35121193),
    Profile("60 GHz", 60_000, (0, 50, 100, 150, 200), (0, 0, 7.8, 0, 0), 8, 8, -0.5642168425, 3.684758215),
]


@pytest.mark.parametrize("profile", PROFILES, ids=[profile.name for profile in PROFILES])
def test_profile_has_the_worked_loss(profile: Profile) -> None:
    """D: P526, P.526-15 section 4.5.1, each number worked by hand and matched to 1e-9 by pycraf."""
    d1_m = np.array(profile.d_m)
    h1_m, h2_m = profile.height_m[0] + profile.mast_a_m, profile.height_m[-1] + profile.mast_b_m
    found = bullington_parameter(d1_m, d1_m[-1] - d1_m, profile.height_m, h1_m, h2_m, profile.frequency_mhz, k=K)
    assert float(found) == pytest.approx(profile.parameter, rel=2e-9)
    assert float(bullington_loss_db(found, d1_m[-1])) == pytest.approx(profile.loss_db, abs=1e-7)


@pytest.fixture(scope="module")
def pycraf() -> Iterator[Any]:
    """Independent implementation of P452, whose section 4.2.1 is the same construction."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from astropy import units
        from pycraf import conversions, pathprof

        def parameter_and_loss(d_m, height_m, mast_a_m, mast_b_m, frequency_mhz):
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                path = pathprof.PathProp(
                    frequency_mhz / 1000 * units.GHz,
                    290 * units.K,
                    1013 * units.hPa,
                    *(0 * units.deg, 50 * units.deg, 0.01 * units.deg, 50 * units.deg),
                    mast_a_m * units.m,
                    mast_b_m * units.m,
                    10 * units.m,
                    50 * units.percent,
                    delta_N=157 * (1 - 1 / K) * conversions.dimless / units.km,
                    N0=325 * conversions.dimless,
                    hprof_dists=d_m / 1000 * units.km,
                    hprof_heights=height_m * units.m,
                    hprof_bearing=90 * units.deg,
                    hprof_backbearing=-90 * units.deg,
                )
                return path.nu_bull_50.value

        yield parameter_and_loss


def test_random_profiles_have_the_parameter_of_an_independent_library(pycraf: Any) -> None:
    """L: pycraf 2.1.0, both kinds of path, 60 random profiles from 200 m to 5 km."""
    random = np.random.default_rng(17)
    kinds = []
    for _ in range(60):
        d1_m = np.linspace(0.0, random.uniform(200, 5_000), 52)
        height_m = random.uniform(0, 15, 52)
        mast_a_m, mast_b_m = random.uniform(3, 30, 2)
        frequency_mhz = random.choice([2450.0, 5500.0, 24_000.0, 60_000.0])
        expected = pycraf(d1_m, height_m, mast_a_m, mast_b_m, frequency_mhz)
        found = bullington_parameter(
            d1_m, d1_m[-1] - d1_m, height_m, height_m[0] + mast_a_m, height_m[-1] + mast_b_m, frequency_mhz, k=K
        )
        assert float(found) == pytest.approx(expected, rel=1e-9, abs=1e-9)
        kinds.append(found > 0)
    assert 5 < sum(kinds) < 55, "both kinds of path must be among them"
