"""Lineage of areas inside that must be served."""

from __future__ import annotations

from collections.abc import Mapping

from survey_app.assess.lineage.rule import Rule, rule

__all__ = ["AREA"]

_OUTLINE = "site:served_areas[{id}].outline"
_MADE = "site:structures site:rooms site:walls site:openings"
_WAY = (
    f"{_OUTLINE} {_MADE} site:served_areas[{{id}}].floor_height_m site:served_areas[{{id}}].height_m "
    "joined.x_m joined.y_m joined.antenna_elevation_m joined.antenna_gain_dbi moving.antenna_gain_dbi "
    "joined.feeder_loss_db moving.feeder_loss_db joined.centre_mhz joined.width_mhz"
)
_SERVED = (
    f"{_WAY} needed_rate_mbps wanted_margin_db joined.tx_power_full_dbm moving.tx_power_full_dbm "
    "gear:{joined.gear}.power_per_mcs_dbm gear:{moving.gear}.power_per_mcs_dbm gear:{joined.gear}.sensitivity_20mhz_dbm "
    "gear:{moving.gear}.sensitivity_20mhz_dbm site:defaults.interference_rise_db"
)

AREA: Mapping[str, Rule] = {
    "area_m2": rule("Inside its outline.", _OUTLINE),
    "spots": rule("Squares that its outline is looked at by, about 1200.", _OUTLINE, unit=""),
    "step_m": rule("Side of one of these squares.", _OUTLINE),
    "needed_rate_mbps": rule(
        "As set for the area; else the link rate that the cell needs.",
        "site:served_areas[{id}].needed_rate_mbps|hop.directions.to_access_point.needed_rate_mbps", "PRACTICE",
    ),
    "wanted_margin_db": rule("That of the hop of the station that moves about.", "hop.wanted_margin_db"),
    "wanted_fraction": rule("As set.", "site:served_areas[{id}].wanted_fraction"),
    "goods_loss_db": rule("As set.", "site:served_areas[{id}].goods_loss_db", "PRACTICE"),
    "served_open_fraction": rule(
        "Share of places like each spot that have the needed rate with the wanted margin in both directions, at full legal power; "
        "the mean over the area, with doors open that are now open and now closed.", _SERVED, "P1238", "3.1",
    ),
    "served_fraction": rule("The same with these doors shut.", _SERVED, "P1238", "3.1"),
    "served_full_fraction": rule(
        "The same with goods among the racks: a ray that runs through what stands in the building loses them once.",
        f"{_SERVED} goods_loss_db", "P1238", "3.1",
    ),
    "rate_everywhere_mbps": rule(
        "The highest link rate that the wanted part of the area has with doors shut and goods in.",
        f"{_SERVED} goods_loss_db wanted_fraction", "P1238", "3.1",
    ),
    "weakest_x_m": rule("Where the likely level is lowest, doors shut.", _WAY),
    "weakest_y_m": rule("Where the likely level is lowest, doors shut.", _WAY),
    "weakest_level_dbm": rule(
        "Likely level there at the station: full power at the needed rate, both gains, free space and walls; no more lost than is "
        "usual in such buildings.", f"{_WAY} joined.tx_power_full_dbm", "P1238", "3.1",
    ),
}  # fmt: skip
