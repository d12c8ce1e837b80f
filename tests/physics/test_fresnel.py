"""Radius of a Fresnel zone: by value, by its definition as a difference of paths, and beyond its range."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics.free_space import wavelength_m
from survey_app.physics.fresnel import fresnel_zone_radius_m

lengths = st.floats(50, 10_000)
frequencies = st.floats(2_400, 70_000)


@given(lengths, lengths, frequencies, st.integers(1, 5))
def test_way_over_the_edge_of_a_zone_is_half_wavelengths_longer(d1_m, d2_m, frequency_mhz, zone):
    radius = float(fresnel_zone_radius_m(d1_m, d2_m, frequency_mhz, zone))
    detour = (np.hypot(d1_m, radius) - d1_m) + (np.hypot(d2_m, radius) - d2_m)
    # the published radius is the first term of that geometry
    assert detour == pytest.approx(zone * float(wavelength_m(frequency_mhz)) / 2.0, rel=0.01)


@given(lengths, lengths, frequencies)
def test_zone_is_the_same_seen_from_either_end(d1_m, d2_m, frequency_mhz):
    assert fresnel_zone_radius_m(d1_m, d2_m, frequency_mhz) == fresnel_zone_radius_m(d2_m, d1_m, frequency_mhz)


def test_zone_closes_at_the_antennas():
    assert fresnel_zone_radius_m([0.0, 100.0], [100.0, 0.0], 5500).tolist() == [0.0, 0.0]


@pytest.mark.parametrize(
    ("d1_m", "d2_m", "frequency"), [(-1, 5, 5500), (0, 0, 5500), (5, 5, 0), (np.nan, 5, 5500), (5, np.inf, 5500)]
)
def test_zone_outside_its_range_is_unknown(d1_m, d2_m, frequency):
    assert np.isnan(fresnel_zone_radius_m(d1_m, d2_m, frequency))


@pytest.mark.parametrize("zone", [0, -1, 1.5, True])
def test_number_of_a_zone_is_a_positive_whole_number(zone):
    with pytest.raises(ValueError, match="zone"):
        fresnel_zone_radius_m(500, 500, 5500, zone)
