"""Turn things on the plan, with all that stands on them and looks somewhere in plan north."""

from __future__ import annotations

import math
from collections.abc import Iterable

from survey_app.errors import UsageError
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.moving import carried, put_along, titled
from survey_app.site.edits.positions import Shift, own_positions, with_positions
from survey_app.site.edits.sharing import Found, find_all, rebuilt
from survey_app.site.mount import Mount
from survey_app.site.place import PlanePoint, PolePlace, Position
from survey_app.site.radio import Radio
from survey_app.site.record import Record
from survey_app.site.site import Site
from survey_app.site.structure import Building

__all__ = ["by_turn", "rotate"]

_QUARTERS = {0.0: (0.0, 1.0), 90.0: (1.0, 0.0), 180.0: (0.0, -1.0), 270.0: (-1.0, 0.0)}


def by_turn(centre: PlanePoint, angle_deg: float) -> Shift:
    """Return the turn of positions of the plane about a point.

    Parameters
    ----------
    centre : PlanePoint
        What stays where it is.
    angle_deg : float
        Clockwise. [deg]

    Examples
    --------
    >>> by_turn(PlanePoint(x_m=1, y_m=1), 90)(PlanePoint(x_m=1, y_m=3))
    PlanePoint(x_m=3.0, y_m=1.0)
    """
    # a quarter turn keeps whole metres whole
    turn = math.radians(angle_deg)
    sine, cosine = _QUARTERS.get(angle_deg % 360.0, (math.sin(turn), math.cos(turn)))

    def shift(position: Position) -> Position:
        if not isinstance(position, PlanePoint):
            raise UsageError(
                "a position is given by latitude and longitude and cannot be turned on the plane",
                remedy="write it in metres first",
            )
        dx, dy = position.x_m - centre.x_m, position.y_m - centre.y_m
        return rebuilt(
            position,
            "position",
            x_m=centre.x_m + cosine * dx + sine * dy,
            y_m=centre.y_m - sine * dx + cosine * dy,
        )

    return shift


def rotate(site: Site, ids: Iterable[str], angle_deg: float, about: PlanePoint) -> Edit:
    """Turn things clockwise about a point of the plane.

    With them turn what stands on them, the line of a ridge, the side of a pole on which a mount hangs, and aims fixed
    by hand from plan north. Aims from true north stay: the sky does not turn with a drawing.

    Parameters
    ----------
    site : Site
        The site.
    ids : iterable of str
        The things; of a radio it is the aim that turns.
    angle_deg : float
        Clockwise. [deg]
    about : PlanePoint
        What stays where it is.

    Raises
    ------
    UsageError
        The angle is no finite number, nothing of it can turn, a position is in degrees, or something is locked.
    """
    asked = find_all(site, ids)
    if not math.isfinite(angle_deg):
        raise UsageError(f"{angle_deg} is not an angle in degrees", where="Rotate")
    label = f"Rotate {titled(asked) if asked else 'nothing'} by {angle_deg:.1f}°".replace("-", "−")
    rows = carried(site, asked)
    _add_sides_and_aims(site, asked, rows)
    shift = by_turn(about, angle_deg)
    # by a whole turn nothing changes, and a pole turned about itself stays: that is no fault
    if asked and not any(_turns(row) for group in rows.values() for row in group.values()):
        raise UsageError("nothing of it can be turned on the plan", where=label)
    after, touched = put_along(site, rows, lambda row: _turned(row, shift, angle_deg), shift)
    return finished(label, site, after, touched)


def _add_sides_and_aims(site: Site, asked: list[Found], rows: dict[str, dict[int, Record]]) -> None:
    mounts = {mount.id for mount in rows.get("mounts", {}).values() if isinstance(mount, Mount)}
    chosen = {found.thing.id for found in asked}
    for number, radio in enumerate(site.design.radios):
        if radio.mount in mounts or radio.id in chosen:
            rows.setdefault("radios", {})[number] = radio


def _turns(row: Record) -> bool:
    return bool(own_positions(row)) or isinstance(row, Mount | Radio)


def _turned(row: Record, shift: Shift, angle_deg: float) -> Record:
    row = with_positions(row, shift, "Rotate")
    if isinstance(row, Building) and row.roof.ridge_plan_deg is not None:
        row = rebuilt(row, row.id, **{"roof.ridge_plan_deg": _bearing(row.roof.ridge_plan_deg, angle_deg)})
    if isinstance(row, Mount) and isinstance(row.place, PolePlace) and row.place.side_plan_deg is not None:
        row = rebuilt(row, row.id, **{"place.side_plan_deg": _bearing(row.place.side_plan_deg, angle_deg)})
    if isinstance(row, Radio) and row.aim is not None and row.aim.north == "plan":
        row = rebuilt(row, row.id, **{"aim.bearing_deg": _bearing(row.aim.bearing_deg, angle_deg)})
    return row


def _bearing(old_deg: float, angle_deg: float) -> float:
    if angle_deg % 360.0 == 0.0:
        return old_deg
    new = (old_deg + angle_deg) % 360.0
    # just under zero the remainder rounds up to the full circle
    return 0.0 if new >= 360.0 else new
