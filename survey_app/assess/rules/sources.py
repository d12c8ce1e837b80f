"""Batteries and solar panels."""

from __future__ import annotations

import math
from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.rules.spots import at_thing
from survey_app.assess.rules.view import View
from survey_app.assess.supply import AUTONOMY_WANTED_DAYS, RECHARGED_AFTER_DAYS
from survey_app.site.gear_type import SolarType

__all__ = ["CODES", "RULES"]

CODES = {
    "battery-short": "Battery or sun too small",
    "wind-engineer": "Solar panel wants an engineer",
}

_LARGE_PANEL_M2 = 0.3
_HUNG = frozenset({"existing", "hung", "accepted"})


def battery_short(view: View) -> Iterator[Draft]:
    """A battery that does not last, panels that do not replace a day in the worst month."""
    for key, found in sorted(view.network.supplied.autonomy.items()):
        supply = view.job.supplies[key]
        wanted = AUTONOMY_WANTED_DAYS if found.panel_w is not None else RECHARGED_AFTER_DAYS
        if found.days is not None and found.days < wanted:
            count = math.ceil(max(supply.battery_count, 1) * wanted / found.days)
            yield Draft(
                code="battery-short",
                severity="warn",
                subject=key,
                message=f"{found.energy_wh:.0f} Wh a day: the battery lasts {found.days:.1f} of {wanted:.0f} days.",
                source="IEEE1562",
                value=found.days,
                limit=wanted,
                unit="day",
                place=at_thing(view, key),
                cures=(cure(f"Set up {count} batteries.", "change", thing_id=key, battery_count=count),),
            )
        if found.panel_w is None:
            continue
        if found.needed_w is None:
            yield Draft(
                code="battery-short",
                severity="warn",
                subject=key,
                second_subject="sun",
                message="The sun hours of the worst month are not said: whether the panels suffice is not known.",
                source="IEEE1562",
                place=at_thing(view, key),
                cures=(work_on_site("Look up the sun hours of the worst month in the plane of the panels."),),
            )
        elif found.panel_w < found.needed_w:
            yield _panels(view, key, found.panel_w, found.needed_w)


def _panels(view: View, key: str, panel_w: float, needed_w: float) -> Draft:
    supply = view.job.supplies[key]
    count = math.ceil(max(supply.panel_count, 1) * needed_w / panel_w)
    return Draft(
        code="battery-short",
        severity="warn",
        subject=key,
        second_subject="panel",
        message=f"{panel_w:.0f} W of panels, the worst month asks for {needed_w:.0f} W.",
        source="IEEE1562",
        value=panel_w,
        limit=needed_w,
        unit="W",
        place=at_thing(view, key),
        cures=(
            cure(f"Set up {count} panels.", "change", thing_id=key, panel_count=count),
            work_on_site("A spur from the mains is often cheaper."),
        ),
    )


def wind_engineer(view: View) -> Iterator[Draft]:
    """A solar panel is a sail: its pole wants an engineer."""
    for key, supply in sorted(view.job.supplies.items()):
        panel = view.job.gear.get(supply.panel or "")
        if not isinstance(panel, SolarType) or supply.status in _HUNG or panel.body.wind_area_m2 is None:
            continue
        area = panel.body.wind_area_m2 * max(supply.panel_count, 1)
        if area < _LARGE_PANEL_M2:
            continue
        yield Draft(
            code="wind-engineer",
            severity="warn",
            subject=key,
            message=f"{area:.1f} m² of solar panel in the wind: what carries it wants an engineer's answer.",
            source="PRACTICE",
            value=area,
            limit=_LARGE_PANEL_M2,
            unit="m²",
            place=at_thing(view, key),
            cures=(work_on_site("Have its pole and base worked out by a structural engineer."),),
        )


RULES = (battery_short, wind_engineer)
