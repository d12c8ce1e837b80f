"""Lineage of climbs, the tally and findings."""

from __future__ import annotations

from collections.abc import Mapping

from survey_app.assess.lineage.rule import Rule, rule

__all__ = ["CLIMB", "FINDING", "TALLY", "TALLY_PART"]

CLIMB: Mapping[str, Rule] = {
    "order": rule(
        "Head end outwards along the routes, an access point before its stations, everything at one way up together; as fixed by "
        "hand where it is.",
        "site:climbs[{id}].order", "PRACTICE",
    ),
    "reach_m": rule(
        "As noted; else half a metre over its highest mount.", "site:climbs[{id}].reach_m mounts.height_above_ground_m", "PRACTICE"
    ),
}  # fmt: skip

TALLY: Mapping[str, Rule] = {
    "item": rule("Its place in the table."),
    "need": rule("Sum of its parts.", "parts.quantity"),
    "spare": rule(
        "Allowance by rule: spare plugs, waste, one spare radio per so many.",
        "need site:defaults.spare_plug_percent site:defaults.spare_radio_share site:defaults.cable_waste_percent", "PRACTICE",
    ),
    "order": rule("Need and spare in whole purchase units.", "need spare gear:{gear}.pack gear:{gear}.drum_m"),
    "unit_price": rule("From the price list, else as the type has it.", "site:price_list gear:{gear}.price", unit="{currency}"),
    "low": rule("Low estimate of the work.", "need", "PRACTICE", unit="h"),
    "high": rule("High estimate of the work.", "need", "PRACTICE", unit="h"),
}  # fmt: skip

TALLY_PART: Mapping[str, Rule] = {
    "quantity": rule("By the rule that stands beside it, for the thing that needs it."),
}

FINDING: Mapping[str, Rule] = {
    "number": rule("Stops, warns, notes; each by hop, then by radio.", unit=""),
    "value": rule("The figure that the check judged; the page of its code in the guide says how.", source="{source}"),
    "limit": rule("What the figure was held against.", source="{source}"),
}
