"""The section of a mounting sheet: of the radio's one hop, or of the one that is worst off."""

from __future__ import annotations

import math

from survey_app.assess.record import HopRow, RadioRow
from survey_app.drawing.letters import cut_line, wrapped_to
from survey_app.drawing.section import SectionScene, section_scene
from survey_app.drawing.section.clearance import clearance_of
from survey_app.drawing.section.lengths import FEET, METRES
from survey_app.paper.press import clean
from survey_app.paper.sources import Sources

__all__ = ["section_of", "way_of", "worst_hop"]

_TEXT_MM, _STRIP_MM = 2.5, 83.0
_HELD_LINES = 2


def section_of(sources: Sources, row: RadioRow) -> SectionScene | None:
    """Return the section of the hop that is worst off, or None where the radio has none that can be drawn."""
    hop = worst_hop(sources.hops_of(row))
    if hop is None:
        return None
    ends = sources.radios.get(hop.access_point), sources.radios.get(hop.station)
    if ends[0] is None or ends[1] is None:
        return None
    return section_scene(sources.design, sources.placed, hop, ends[0], ends[1])


def worst_hop(hops: tuple[HopRow, ...]) -> HopRow | None:
    """Return the hop of which the least is free: one that is cut before all others, then by the part of its zone."""
    return min(hops, key=lambda hop: (hop.cut_at_m is None, _ratio(hop), hop.id), default=None)


def way_of(sources: Sources, row: RadioRow) -> tuple[str, ...]:
    """Return what comes nearest to the ray that is worst off, and what it was held against, as lines of the strip."""
    hop = worst_hop(sources.hops_of(row))
    if hop is None:
        return ()
    found = clearance_of(sources.design, hop, (), FEET if sources.design.units == "feet" else METRES)
    several = len(row.hops) > 1
    to = f" to {sources.name(sources.ends(row, hop)[1].radio)}" if several else ""
    said = f"Way{to}: nothing comes near."
    if found is not None:
        said = f"Way{to}: {found.lines[0][0]}, {found.name}."
    held = clean(f"Held against {hop.checked_against}.")
    return cut_line(clean(said), _TEXT_MM, _STRIP_MM), *wrapped_to(held, _TEXT_MM, _STRIP_MM, _HELD_LINES)


def _ratio(hop: HopRow) -> float:
    return math.inf if hop.fresnel_clearance_ratio is None else hop.fresnel_clearance_ratio
