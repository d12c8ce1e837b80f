"""Is an antenna's pattern possible: gain against beamwidths, its cuts, its connectors."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from survey_app.gear.fault import GearFault
from survey_app.site.gear_part import Cut, Pattern

__all__ = ["pattern_faults"]

# Gain of a beam of given widths without ohmic loss is 41253 / (az el); 31000 holds for real apertures [PRACTICE].
_BEAM_PRODUCT_DEG2 = 31000.0
# Elevation width of an omnidirectional antenna: 107.6 x 10^(-G/10) degrees [F1336].
_OMNI_WIDTH_DEG = 107.6
_SLACK_DB = 1.0


def pattern_faults(gear: str, pattern: Pattern, field: str = "pattern") -> Iterator[GearFault]:
    """Give the faults of one pattern; `gear` is the id of the type that carries it."""
    allowed, source = _gain_allowed_dbi(pattern)
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
            source,
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


def _gain_allowed_dbi(pattern: Pattern) -> tuple[float, str]:
    if pattern.azimuth_beamwidth_deg == 360.0:
        return 10.0 * math.log10(_OMNI_WIDTH_DEG / pattern.elevation_beamwidth_deg) + _SLACK_DB, "F1336"
    product = pattern.azimuth_beamwidth_deg * pattern.elevation_beamwidth_deg
    return 10.0 * math.log10(_BEAM_PRODUCT_DEG2 / product) + _SLACK_DB, "PRACTICE"


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
