"""Is an antenna's pattern possible: gain against beamwidths, its cuts, its connectors."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from survey_app.gear.fault import GearFault
from survey_app.physics.decibels import to_db
from survey_app.physics.patterns import beamwidths_gain_dbi, omni_beamwidth_deg
from survey_app.site.gear_part import Cut, Pattern

__all__ = ["pattern_faults"]

# Data sheets round gain up and beamwidth down.
_SLACK_DB = 1.0


def pattern_faults(gear: str, pattern: Pattern, field: str = "pattern") -> Iterator[GearFault]:
    """Give the faults of one pattern; `gear` is the id of the type that carries it."""
    allowed = _gain_allowed_dbi(pattern)
    if pattern.gain_dbi > allowed:
        yield GearFault(
            gear,
            "gain-above-beam",
            f"{field}.gain_dbi",
            f"a beam of {pattern.azimuth_beamwidth_deg:g}° x {pattern.elevation_beamwidth_deg:g}° cannot have "
            f"{pattern.gain_dbi:g} dBi: at most about {allowed:.1f} dBi.",
            pattern.gain_dbi,
            allowed,
            "dBi",
            "F1336",
        )
    round_about = pattern.azimuth_beamwidth_deg == 360.0
    if (pattern.model == "omni") != round_about:
        yield GearFault(
            gear,
            "model-against-width",
            f"{field}.model",
            f"the model '{pattern.model}' does not fit an azimuth beamwidth of {pattern.azimuth_beamwidth_deg:g}°.",
            pattern.azimuth_beamwidth_deg,
            360.0,
            "degree",
        )
    if pattern.model == "table" and (pattern.azimuth_cut is None or pattern.elevation_cut is None):
        yield GearFault(gear, "cut-missing", f"{field}.azimuth_cut", "a table needs both of its cuts.")
    for name in ("azimuth_cut", "elevation_cut"):
        cut: Cut | None = getattr(pattern, name)
        if cut is not None:
            yield from _cut_faults(gear, f"{field}.{name}", cut)


def _gain_allowed_dbi(pattern: Pattern) -> float:
    elevation_deg = pattern.elevation_beamwidth_deg
    if pattern.azimuth_beamwidth_deg == 360.0:
        return float(to_db(omni_beamwidth_deg(0.0) / elevation_deg)) + _SLACK_DB
    return float(beamwidths_gain_dbi(pattern.azimuth_beamwidth_deg, elevation_deg)) + _SLACK_DB


def _cut_faults(gear: str, field: str, cut: Cut) -> Iterator[GearFault]:
    if len(cut.angle_deg) != len(cut.relative_db):
        yield GearFault(
            gear,
            "cut-lengths",
            field,
            f"{len(cut.angle_deg)} angles, but {len(cut.relative_db)} levels.",
            float(len(cut.relative_db)),
            float(len(cut.angle_deg)),
            "",
        )
    if any(later <= earlier for earlier, later in pairwise(cut.angle_deg)):
        yield GearFault(gear, "cut-order", f"{field}.angle_deg", "the angles of a cut must rise.")
    highest = max(cut.relative_db)
    if highest > 0.0 or highest < -0.1:
        yield GearFault(
            gear,
            "cut-peak",
            f"{field}.relative_db",
            f"the highest level of a cut must be 0 dB; it is {highest:g} dB.",
            highest,
            0.0,
            "dB",
        )
