"""Antenna patterns: gain in every direction from what a data sheet or a pattern table says."""

from survey_app.physics.patterns.edges import azimuth_edge_deg, elevation_edges_deg, half_power_azimuth_deg
from survey_app.physics.patterns.envelope import (
    dish_beamwidth_deg,
    dish_beamwidth_from_gain_deg,
    dish_wavelengths,
    envelope_gain_dbi,
)
from survey_app.physics.patterns.kinds import ENVELOPE, LOBE, OMNI, SECTOR, gain_dbi
from survey_app.physics.patterns.lobe import lobe_gain_dbi
from survey_app.physics.patterns.lobe_field import lobe_field_dbi
from survey_app.physics.patterns.omni import omni_beamwidth_deg, omni_gain_dbi
from survey_app.physics.patterns.sector import beamwidths_gain_dbi, sector_elevation_beamwidth_deg, sector_gain_dbi
from survey_app.physics.patterns.side_lobes import SideLobes
from survey_app.physics.patterns.table import Cut, table_gain_dbi
from survey_app.physics.patterns.tilt import beam_elevation_deg, frame_elevation_deg

__all__ = [
    "ENVELOPE",
    "LOBE",
    "OMNI",
    "SECTOR",
    "Cut",
    "SideLobes",
    "azimuth_edge_deg",
    "beam_elevation_deg",
    "beamwidths_gain_dbi",
    "dish_beamwidth_deg",
    "dish_beamwidth_from_gain_deg",
    "dish_wavelengths",
    "elevation_edges_deg",
    "envelope_gain_dbi",
    "frame_elevation_deg",
    "gain_dbi",
    "half_power_azimuth_deg",
    "lobe_field_dbi",
    "lobe_gain_dbi",
    "omni_beamwidth_deg",
    "omni_gain_dbi",
    "sector_elevation_beamwidth_deg",
    "sector_gain_dbi",
    "table_gain_dbi",
]
