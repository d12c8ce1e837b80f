"""The declarations of all rooms, by kind of row."""

from __future__ import annotations

from collections.abc import Mapping

from survey_app.assess.lineage import areas, hops, network, places, radios, work
from survey_app.assess.lineage.rule import Rule
from survey_app.assess.record import (
    AreaRow,
    CameraRow,
    CellRow,
    ClimbRow,
    DirectionRow,
    FailureRow,
    Finding,
    FromLandmark,
    HeadEndRow,
    HopEndRow,
    HopRow,
    Leg,
    MountRow,
    NorthRow,
    ObstacleRow,
    Place,
    RadioRow,
    ReadingWindow,
    RouteRow,
    SupplyLink,
    SupplyRow,
    TallyPart,
    TallyRow,
    WallMet,
    WireRow,
)
from survey_app.site.record import Record

__all__ = ["LINEAGE", "SLOTS", "rule_of"]

LINEAGE: Mapping[type[Record], Mapping[str, Rule]] = {
    NorthRow: places.NORTH,
    MountRow: places.MOUNT,
    FromLandmark: places.FROM_LANDMARK,
    Place: places.PLACE,
    RadioRow: radios.RADIO,
    HopRow: hops.HOP,
    HopEndRow: hops.END,
    ObstacleRow: hops.OBSTACLE,
    WallMet: hops.WALL,
    ReadingWindow: hops.WINDOW,
    DirectionRow: hops.DIRECTION,
    CellRow: network.CELL,
    AreaRow: areas.AREA,
    CameraRow: network.CAMERA,
    WireRow: network.WIRE,
    SupplyRow: network.SUPPLY,
    SupplyLink: network.SUPPLY_LINK,
    RouteRow: network.ROUTE,
    Leg: network.LEG,
    HeadEndRow: network.HEAD_END,
    FailureRow: network.FAILURE,
    ClimbRow: work.CLIMB,
    TallyRow: work.TALLY,
    TallyPart: work.TALLY_PART,
    Finding: work.FINDING,
}
"""Rule of every number, by kind of row and field."""

SLOTS: Mapping[tuple[type[Record], str], Mapping[str, Rule]] = {(ReadingWindow, "window_auto"): hops.WINDOW_AUTO}
"""Where a row means something else by the field that holds it."""


def rule_of(row: type[Record], field: str, slot: str = "") -> Rule | None:
    """Return the rule of a field; None where the field is no number.

    Parameters
    ----------
    row : type
        Kind of row.
    field : str
        Its field.
    slot : str
        Field of the parent row that holds it.

    Examples
    --------
    >>> rule_of(HopRow, "free_space_loss_db").source
    'P525'
    """
    return SLOTS.get((row, slot), LINEAGE.get(row, {})).get(field)
