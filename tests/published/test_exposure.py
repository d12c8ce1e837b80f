"""Exposure distances against the outside world.

Limits are printed in the rules; distances are worked out by hand (D) from S = k P / (4 pi R^2), OET65, edition 97-01,
section 2; the factor 2.56 for ground reflection is from MEMORY.
"""

from __future__ import annotations

import pytest

from survey_app.physics import exposure


@pytest.mark.parametrize(
    ("rule", "who", "expected_w_m2"),
    [
        ("47 CFR 1.1310", "public", 10.0),  # P: CFR11310, (e), table 1: 1.0 mW/cm2
        ("47 CFR 1.1310", "occupational", 50.0),  # P: the same, 5 mW/cm2
        ("ICNIRP 2020", "public", 10.0),  # M: ICNIRP, 2020, table 5; printed for its edition of 1998
        ("ICNIRP 2020", "occupational", 50.0),
    ],
)
def test_limits_of_the_rules(rule: str, who: str, expected_w_m2: float) -> None:
    assert exposure.EXPOSURE_LIMITS_W_M2[(rule, who)] == expected_w_m2


# EIRP dBm, limit W/m2, distance m in free space, distance m with the worst reflection from the ground
DISTANCES = [
    (27, 10, 0.063, 0.101),
    (27, 50, 0.028, 0.045),
    (30, 10, 0.089, 0.143),
    (30, 50, 0.040, 0.064),
    (36, 10, 0.178, 0.285),
    (36, 50, 0.080, 0.127),
    (41, 10, 0.317, 0.506),
    (41, 50, 0.142, 0.226),
    (46, 10, 0.563, 0.901),
    (46, 50, 0.252, 0.403),
    (47, 10, 0.632, 1.010),
    (47, 50, 0.282, 0.452),
]


@pytest.mark.parametrize(("eirp_dbm", "limit_w_m2", "free_m", "reflected_m"), DISTANCES)
def test_exposure_distance_matches_hand_computation(
    eirp_dbm: float, limit_w_m2: float, free_m: float, reflected_m: float
) -> None:
    assert float(exposure.exposure_distance_m(eirp_dbm, limit_w_m2)) == pytest.approx(free_m, abs=0.0006)
    found = exposure.exposure_distance_m(eirp_dbm, limit_w_m2, exposure.GROUND_REFLECTION_FACTOR)
    assert float(found) == pytest.approx(reflected_m, abs=0.0006)


@pytest.mark.parametrize(
    ("eirp_dbm", "manual_m", "expected_m"), [(27, 0.0, 0.20), (36, 0.0, 0.285), (36, 0.5, 0.5), (47, 0.2, 1.010)]
)
def test_sheet_states_the_largest_of_formula_floor_and_manual(
    eirp_dbm: float, manual_m: float, expected_m: float
) -> None:
    """C: PRACTICE for the floor of 0.20 m."""
    assert float(exposure.keep_out_m(eirp_dbm, 10.0, manual_m=manual_m)) == pytest.approx(expected_m, abs=0.0006)
