"""Rows of the assessment with what a gesture has just changed in them, for the plan to draw."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.assess.demand import camera_rows
from survey_app.assess.hop_rows import fields_of_way
from survey_app.assess.job import Job
from survey_app.assess.live import Live, LiveDirection, LiveEnd, LiveHop, LiveRadio
from survey_app.assess.record import CameraRow, DirectionRow, HopEndRow, HopRow, RadioRow
from survey_app.ground.place import Placed
from survey_app.site.edits.sharing import with_fields
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.desktop.desk import Rows

__all__ = ["fresh_rows", "live_rows"]

Row = RadioRow | HopRow | CameraRow

_RADIO = tuple(name for name in LiveRadio.__slots__ if name in RadioRow.model_fields)
_END = tuple(name for name in LiveEnd.__slots__ if name in HopEndRow.model_fields)
_DIRECTION = tuple(name for name in LiveDirection.__slots__ if name in DirectionRow.model_fields)


def fresh_rows(part: Site, placed: Placed, rows: Rows | None, live: Live | None) -> dict[str, Row]:
    """Return by id the rows of the things in hand.

    Parameters
    ----------
    part : Site
        The part of the edited site that is drawn.
    placed : Placed
        Where everything of the part is.
    rows : Rows or None
        The newest assessment; a hop or radio that it does not know has no row.
    live : Live or None
        What the gesture makes of it.
    """
    found: dict[str, Row] = {}
    if part.design.cameras:
        found.update((row.id, row) for row in camera_rows(Job(part), placed, {}))
    if rows is not None and live is not None:
        found.update(live_rows(rows, live))
    return found


def live_rows(rows: Rows, live: Live) -> dict[str, RadioRow | HopRow]:
    """Return by id the rows of radios and hops as a gesture makes them."""
    found: dict[str, RadioRow | HopRow] = {}
    for key, radio in live.radios.items():
        if key in rows.radios:
            found[key] = with_fields(rows.radios[key], **{name: getattr(radio, name) for name in _RADIO})
    for key, hop in live.hops.items():
        if key in rows.hops:
            found[key] = _hop(rows.hops[key], hop)
    return found


def _hop(row: HopRow, hop: LiveHop) -> HopRow:
    ends = with_fields(
        row.ends,
        access_point=_end(row.ends.access_point, hop.access_point),
        station=_end(row.ends.station, hop.station),
    )
    directions = with_fields(
        row.directions,
        to_access_point=_direction(row.directions.to_access_point, hop.to_access_point),
        to_station=_direction(row.directions.to_station, hop.to_station),
    )
    return with_fields(
        row,
        distance_m=hop.distance_m,
        ground_distance_m=hop.ground_distance_m,
        free_space_loss_db=hop.free_space_loss_db,
        ends=ends,
        directions=directions,
        **fields_of_way(hop.way),
    )


def _end(row: HopEndRow, end: LiveEnd) -> HopEndRow:
    return with_fields(row, **{name: getattr(end, name) for name in _END})


def _direction(row: DirectionRow, direction: LiveDirection) -> DirectionRow:
    return with_fields(row, **{name: getattr(direction, name) for name in _DIRECTION})
