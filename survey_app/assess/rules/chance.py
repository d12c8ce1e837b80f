"""Hops that are clear and strong as drawn, but whose heights are not known well enough to say so."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft, work_on_site
from survey_app.assess.record import HopRow
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES"]

CODES = {"chance-low": "Clear as drawn, but not for certain"}

_WANTED_PERCENT = 95.0
_SLACK_DB = 0.05


@about_each("hops")
def chance_low(view: View, hop_id: str) -> Iterator[Draft]:
    """Probability below 95 % that the zone is free, or that the level holds, of a hop that is fine as drawn."""
    hop = view.hops[hop_id]
    free = view.job.defaults.free_zone_fraction
    if hop.line_of_sight is False or not _is_free(hop, free):
        return  # not clear even as drawn: other findings say so
    clear, level = hop.clear_probability_percent, hop.level_probability_percent
    rate_at_risk = level is not None and level < _WANTED_PERCENT and _is_strong(hop)
    if not rate_at_risk and (clear is None or clear >= _WANTED_PERCENT):
        return
    zone = "" if clear is None else f"{free * 100.0:.0f} % of the first zone is free with {clear:.0f} % probability"
    rate = f"the level holds the needed rate with {level:.0f} %" if rate_at_risk else ""
    message = " and ".join(part for part in (zone, rate) if part)
    best = hop.best_measurement or "Measure the heights of both ends and of what stands nearest"
    yield Draft(
        code="chance-low",
        severity="warn" if rate_at_risk else "note",
        subject=hop.id,
        message=f"As well as heights and places are known, {message}.",
        source="PRACTICE",
        value=level if rate_at_risk else clear,
        limit=_WANTED_PERCENT,
        unit="%",
        hop=hop.id,
        place=view.at_hop(hop.id),
        cures=(work_on_site(f"{best}, and write down how it was measured."),),
    )


def _is_free(hop: HopRow, free: float) -> bool:
    ratios = (hop.fresnel_clearance_ratio, hop.clearance_ratio_grown)
    return all(ratio is None or ratio >= free for ratio in ratios)


def _is_strong(hop: HopRow) -> bool:
    """Return whether the margin is there as drawn; where it is thin anyhow, that is said elsewhere."""
    margins = (hop.directions.to_access_point, hop.directions.to_station)
    found = [one.margin_at_needed_rate_db for one in margins]
    return all(margin is not None and margin >= hop.wanted_margin_db - _SLACK_DB for margin in found)


RULES = (chance_low,)
