"""Bands, channels and power limits per region."""

from survey_app.spectrum.channels import (
    STANDARD_CHANNELS,
    centre_mhz,
    channel_of,
    channels_in_words,
    members,
    middle_mhz,
    overlap_fraction,
    overlap_loss_db,
    overlap_mhz,
    span_mhz,
)
from survey_app.spectrum.choice import most_eirp_dbm, other_channels, valid_channels
from survey_app.spectrum.limits import (
    BINDING_TERMS,
    Limits,
    correlated_chain_gain_db,
    elevation_limit_dbm,
    power_limits,
)
from survey_app.spectrum.masks import (
    ACIR_DEFAULT_DB,
    Mode,
    acir_db,
    leakage_ratio_db,
    occupied_width_mhz,
    transmit_mask_dbr,
)
from survey_app.spectrum.permission import Refusal, RuleSet, resolve, why_not
from survey_app.spectrum.reading import read_region
from survey_app.spectrum.regions import Regions, load_regions
from survey_app.spectrum.rules import BandRow, ChainRule, Place, Region, Topology
from survey_app.spectrum.topology import TOPOLOGY_WORDS, topology_of
from survey_app.spectrum.user_folder import user_regions_folder

__all__ = [
    "ACIR_DEFAULT_DB",
    "BINDING_TERMS",
    "STANDARD_CHANNELS",
    "TOPOLOGY_WORDS",
    "BandRow",
    "ChainRule",
    "Limits",
    "Mode",
    "Place",
    "Refusal",
    "Region",
    "Regions",
    "RuleSet",
    "Topology",
    "acir_db",
    "centre_mhz",
    "channel_of",
    "channels_in_words",
    "correlated_chain_gain_db",
    "elevation_limit_dbm",
    "leakage_ratio_db",
    "load_regions",
    "members",
    "middle_mhz",
    "most_eirp_dbm",
    "occupied_width_mhz",
    "other_channels",
    "overlap_fraction",
    "overlap_loss_db",
    "overlap_mhz",
    "power_limits",
    "read_region",
    "resolve",
    "span_mhz",
    "topology_of",
    "transmit_mask_dbr",
    "user_regions_folder",
    "valid_channels",
    "why_not",
]
