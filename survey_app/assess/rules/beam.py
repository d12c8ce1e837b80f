"""The pattern: far ends beside the beam, under it, or of another polarisation."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.record import Cure, HopEndRow
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.level import ends_of, worst_margin_db
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES"]

CODES = {
    "outside-beam": "Far end beside the beam",
    "over-the-heads": "Beam passes over the far end",
    "mixed-slant": "Unlike polarisations",
}

_BESIDE_DB = 3.0
_OVER_DB = 6.0
_OVER_BEAMWIDTHS = 2.5
_OVER_MARGIN_DB = 10.0
_UNLIKE_DB = 0.5
_UNLIKE_WARN_DB = 6.0


@about_each("hops")
def outside_beam(view: View, hop_id: str) -> Iterator[Draft]:
    """A far end more than 3 dB off the beam, across or upright; omnis have a code of their own."""
    hop = view.hops[hop_id]
    margin = worst_margin_db(hop)
    gone = margin is not None and margin < view.job.defaults.thin_margin_db
    for end, other, _ in ends_of(hop):
        loss = end.pointing_loss_db
        if loss is None or loss <= _BESIDE_DB or view.radios[end.radio].pattern_model == "omni":
            continue
        across, upright = abs(end.off_axis_azimuth_deg or 0.0), abs(end.off_axis_elevation_deg or 0.0)
        yield Draft(
            code="outside-beam",
            severity="stop" if gone else "warn",
            subject=hop.id,
            second_subject=end.radio,
            message=(
                f"{other.radio} lies {across:.1f}° across and {upright:.1f}° upright off the beam of {end.radio}, "
                f"which loses {loss:.1f} dB."
            ),
            source="F1336",
            value=loss,
            limit=_BESIDE_DB,
            unit="dB",
            hop=hop.id,
            radio=end.radio,
            place=view.at_radio(end.radio),
            cures=_toward(view, end),
        )


def _toward(view: View, end: HopEndRow) -> tuple[Cure, ...]:
    if view.job.radios[end.radio].aim is not None:
        return (cure(f"Aim {end.radio} as computed.", "aim_computed", radio_id=end.radio),)
    return (work_on_site("Take a wider sector, or give the far end a panel of its own."),)


@about_each("hops")
def over_the_heads(view: View, hop_id: str) -> Iterator[Draft]:
    """An omni whose flat beam passes over, or under, a near far end."""
    hop = view.hops[hop_id]
    margin = worst_margin_db(hop)
    for end, other, _ in ends_of(hop):
        row = view.radios[end.radio]
        loss, width = end.pointing_loss_db, row.beamwidth_elevation_deg
        if row.pattern_model != "omni" or loss is None or width is None or loss <= _OVER_DB:
            continue
        angle = abs(end.off_axis_elevation_deg or 0.0)
        deep = angle > _OVER_BEAMWIDTHS * width
        thin = margin is not None and margin < _OVER_MARGIN_DB
        null = ", where a null may lie" if deep else ""
        yield Draft(
            code="over-the-heads",
            severity="warn" if deep or thin else "note",
            subject=hop.id,
            second_subject=end.radio,
            message=f"{other.radio} lies {angle:.1f}° off the flat beam of {end.radio}{null}: {loss:.1f} dB lost.",
            source="F1336",
            value=loss,
            limit=_OVER_DB,
            unit="dB",
            hop=hop.id,
            radio=end.radio,
            place=view.at_radio(end.radio),
            cures=(
                work_on_site("Hang it lower, take an omni with less gain, or give the far end a panel of its own."),
            ),
        )


def mixed_slant(view: View) -> Iterator[Draft]:
    """Unlike polarisations at the two ends."""
    for hop in view.hops.values():
        loss = hop.ends.access_point.polarisation_loss_db
        if loss is None or loss < _UNLIKE_DB:
            continue
        yield Draft(
            code="mixed-slant",
            severity="warn" if loss >= _UNLIKE_WARN_DB else "note",
            subject=hop.id,
            message=f"The polarisations of its two ends differ: {loss:.1f} dB lost.",
            source="PRACTICE",
            value=loss,
            limit=_UNLIKE_DB,
            unit="dB",
            hop=hop.id,
            place=view.at_hop(hop.id),
            cures=_turned(view, hop.id),
        )


def _turned(view: View, hop_id: str) -> tuple[Cure, ...]:
    """Offer to turn the turned end back, where that is all that differs."""
    hop = view.job.hops[hop_id]
    a, s = view.job.radios[hop.access_point], view.job.radios[hop.station]
    alike = work_on_site("Turn both ends alike, or take antennas of one polarisation.")
    if a.rotation_deg == s.rotation_deg:
        return (alike,)
    turned, other = (s, a) if abs(s.rotation_deg) > abs(a.rotation_deg) else (a, s)
    text = f"Turn {turned.id} to {other.rotation_deg:g}° like {other.id}."
    return (cure(text, "change", thing_id=turned.id, rotation_deg=other.rotation_deg), alike)


RULES = (outside_beam, over_the_heads, mixed_slant)
