"""The catalogue's figures, held against physics and published tables outside the project.

The types are inventions; what a type of that size can do is not. Sources by their keys in shared/references.md.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import dblquad

from survey_app.gear import load_catalogue
from survey_app.site.gear_part import Pattern
from survey_app.site.gear_type import (
    AntennaType,
    BatteryType,
    CableType,
    CameraType,
    DeviceType,
    PoleType,
    RadioType,
    SolarType,
)

CATALOGUE = load_catalogue()
RADIOS = [item for item in CATALOGUE if isinstance(item, RadioType)]
BEAMS = [
    (item.id, item.pattern)
    for item in CATALOGUE
    if isinstance(item, RadioType | AntennaType) and item.pattern is not None
]
LIGHT_M_PER_US = 299.792458


@pytest.mark.parametrize(("gear", "pattern"), [b for b in BEAMS if b[1].model != "omni"], ids=lambda v: str(v)[:12])
def test_gain_is_below_the_directivity_of_a_beam_of_that_width(gear: str, pattern: Pattern) -> None:
    """The power of a Gaussian main lobe of the stated widths, integrated over the sphere; common practice, no source.

    A real lobe has steeper flanks than the Gaussian one, so half a decibel is allowed above it.
    """

    def share(elevation: float, azimuth: float) -> float:
        down_db = 12.0 * (
            (math.degrees(azimuth) / pattern.azimuth_beamwidth_deg) ** 2
            + (math.degrees(elevation) / pattern.elevation_beamwidth_deg) ** 2
        )
        return float(10.0 ** (-min(down_db, pattern.front_to_back_db) / 10.0) * math.cos(elevation))

    half = math.radians(min(90.0, 3.0 * pattern.elevation_beamwidth_deg))
    wide = math.radians(min(180.0, 3.0 * pattern.azimuth_beamwidth_deg))
    power, _ = dblquad(share, -wide, wide, -half, half, epsrel=1e-4)
    directivity_dbi = 10.0 * math.log10(4.0 * math.pi / power)
    assert directivity_dbi - 3.0 < pattern.gain_dbi < directivity_dbi + 0.5


@pytest.mark.parametrize(("gear", "pattern"), [b for b in BEAMS if b[1].model == "omni"], ids=lambda v: str(v)[:12])
def test_gain_of_an_omni_fits_two_published_relations(gear: str, pattern: Pattern) -> None:
    """[F1336] recommends 2.1: 107.6 x 10^(-G/10) degrees; a second relation for an array of dipoles, from memory."""
    width = pattern.elevation_beamwidth_deg
    assert 107.6 * 10 ** (-pattern.gain_dbi / 10) == pytest.approx(width, rel=0.02)
    second_dbi = 10.0 * math.log10(191.0 * math.sqrt(0.818 + 1.0 / width) - 172.4)
    assert pattern.gain_dbi == pytest.approx(second_dbi, abs=1.0)


@pytest.mark.parametrize(("gear", "diameter_m"), [("sheave-d25", 0.4), ("sheave-d29", 0.65)])
def test_gain_and_beam_of_a_dish_fit_its_diameter(gear: str, diameter_m: float) -> None:
    """Aperture efficiency 0.5 to 0.7 and a beam of 65 to 75 wavelengths over diameter; common practice, no source."""
    item = CATALOGUE.find(gear)
    assert isinstance(item, RadioType)
    assert item.pattern is not None
    wavelength_m = LIGHT_M_PER_US / 5500.0
    efficiency = 10 ** (item.pattern.gain_dbi / 10) / (math.pi * diameter_m / wavelength_m) ** 2
    assert 0.5 < efficiency < 0.7
    assert 65 < item.pattern.azimuth_beamwidth_deg * diameter_m / wavelength_m < 75


# Minimum sensitivity at 20 MHz by rate index, [RUACCESS] as reproduced there
STANDARD_DBM = (-82, -79, -77, -74, -70, -66, -65, -64, -59, -57)


@pytest.mark.parametrize("radio", RADIOS, ids=lambda radio: radio.id)
def test_sensitivity_beats_the_standard_by_as_much_as_real_units_do(radio: RadioType) -> None:
    """Real units are 5 to 13 dB better than the standard's minimum; from memory."""
    better = np.array(STANDARD_DBM[: len(radio.sensitivity_20mhz_dbm)]) - np.array(radio.sensitivity_20mhz_dbm)
    assert better.min() >= 5
    assert better.max() <= 13


@pytest.mark.parametrize("radio", RADIOS, ids=lambda radio: radio.id)
def test_sensitivity_leaves_the_signal_over_noise_that_real_units_want(radio: RadioType) -> None:
    """Signal over noise 2 5 9 11 15 18 20 25 29 31 dB by rate index, within 4 dB; common practice, no source."""
    wanted = np.array([2, 5, 9, 11, 15, 18, 20, 25, 29, 31][: len(radio.sensitivity_20mhz_dbm)])
    noise_dbm = -100.965 + radio.noise_figure_db
    assert np.abs(np.array(radio.sensitivity_20mhz_dbm) - noise_dbm - wanted).max() <= 4.0


@pytest.mark.parametrize(
    ("cable", "expected_ohm_per_km", "more_percent", "source"),
    [
        ("line-24s", 84.21, 12.0, "24 AWG by the rule of [B258]; twist and tolerance add up to the limit of [TIA568]"),
        ("line-23g", 66.78, 6.0, "23 AWG by the rule of [B258]; twist and tolerance add"),
        ("line-dc", 12.1, 0.1, "1.5 mm2 class 1, [IEC60228]"),
    ],
)
def test_resistance_is_that_of_solid_copper(
    cable: str, expected_ohm_per_km: float, more_percent: float, source: str
) -> None:
    item = CATALOGUE.find(cable)
    assert isinstance(item, CableType)
    assert item.ohm_per_km is not None
    assert expected_ohm_per_km <= item.ohm_per_km <= expected_ohm_per_km * (1 + more_percent / 100)


def test_device_at_the_end_of_standard_feeding_gets_no_more_than_its_class() -> None:
    """[IEEE8023] class 3 12.95 W and class 4 25.5 W at the device, 15.4 and 30 W at the source."""
    at_device = {"802.3af": 12.95, "802.3at": 25.5}
    for item in CATALOGUE:
        if isinstance(item, CameraType):
            draws = max(item.watts_day_w, item.watts_night_w)
        elif isinstance(item, RadioType):
            draws = item.watts_w
        else:
            continue
        for way in item.power_inputs:
            assert draws <= at_device.get(way.scheme, math.inf)


def test_every_load_of_the_catalogue_can_be_fed_by_a_device_of_the_catalogue() -> None:
    gives = {port.scheme for item in CATALOGUE if isinstance(item, DeviceType) for port in item.power_outputs}
    gives |= {"mains"} | ({"802.3af"} if "802.3at" in gives else set())
    for item in CATALOGUE:
        if isinstance(item, RadioType | CameraType | DeviceType):
            assert {way.scheme for way in item.power_inputs} & gives, item.id


@pytest.mark.parametrize(
    ("camera", "low_mbps", "high_mbps"), [("lens-b4", 3.06, 6.13), ("lens-b4v", 3.06, 6.13), ("lens-p25", 3.06, 8.58)]
)
def test_camera_rate_lies_between_quiet_and_busy(camera: str, low_mbps: float, high_mbps: float) -> None:
    """2688 x 1520 at 15 frames with 0.05, 0.10 and 0.14 bits per pixel; common practice after [H264REST]."""
    item = CATALOGUE.find(camera)
    assert isinstance(item, CameraType)
    assert low_mbps <= item.cap_mbps <= high_mbps


def test_battery_and_panel_weigh_and_measure_what_such_things_do() -> None:
    """Lithium iron phosphate stores 80 to 140 Wh/kg as a pack; a panel gives 180 to 230 W/m2; common practice."""
    battery, panel = CATALOGUE.find("cell-12-100"), CATALOGUE.find("sun-180")
    assert isinstance(battery, BatteryType)
    assert isinstance(panel, SolarType)
    assert battery.body.mass_kg is not None
    assert panel.body.wind_area_m2 is not None
    assert 80 <= battery.volts_v * battery.capacity_ah / battery.body.mass_kg <= 140
    frontal_m2 = panel.body.wind_area_m2 / 1.2  # drag of a flat plate
    assert 180 <= panel.peak_w / frontal_m2 <= 230


def test_mast_weighs_what_its_steel_does() -> None:
    """Steel 7850 kg/m3; a tube of 60.3 x 3.6 mm yields at about 2.0 kN m at 235 MPa; computed by hand."""
    mast = CATALOGUE.find("mast-6")
    assert isinstance(mast, PoleType)
    assert mast.wall_mm is not None
    assert mast.body.mass_kg is not None
    outer, inner = mast.diameter_foot_mm / 1000, (mast.diameter_foot_mm - 2 * mast.wall_mm) / 1000
    assert math.pi / 4 * (outer**2 - inner**2) * 7850 * mast.height_m == pytest.approx(mast.body.mass_kg, rel=0.05)
    assert math.pi * (outer**4 - inner**4) / (32 * outer) * 235e6 == pytest.approx(2017, rel=0.01)
