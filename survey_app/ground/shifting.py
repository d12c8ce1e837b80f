"""Moves positions by metres of the plane, however they are written; `site.edits.move` and its kin take the shift."""

from __future__ import annotations

from survey_app.errors import UsageError
from survey_app.ground.plane import Plane, to_geographic, to_plane
from survey_app.site.edits.positions import Shift
from survey_app.site.place import Anchor, GeoPoint, PlanePoint, Position

__all__ = ["anywhere", "in_metres"]


def _plane(anchor: Anchor | None) -> Plane:
    if anchor is None:
        raise UsageError(
            "a position is given by latitude and longitude, and the plane is not tied to the earth",
            remedy="set the anchor of the plane first",
        )
    return Plane(anchor.lat_deg, anchor.lon_deg, anchor.rotation_deg)


def _point(position: Position, anchor: Anchor | None) -> PlanePoint:
    if isinstance(position, PlanePoint):
        return position
    x, y = to_plane(_plane(anchor), position.lat_deg, position.lon_deg)
    return PlanePoint(x_m=float(x), y_m=float(y))


def in_metres(anchor: Anchor | None) -> Shift:
    """Return what writes a position in metres of the plane where it was in degrees.

    Examples
    --------
    >>> in_metres(None)(PlanePoint(x_m=1, y_m=2))
    PlanePoint(x_m=1.0, y_m=2.0)
    """
    return lambda position: _point(position, anchor)


def anywhere(shift: Shift, anchor: Anchor | None) -> Shift:
    """Return a shift of the plane that also takes positions in degrees, and leaves them in degrees.

    Parameters
    ----------
    shift : callable
        A shift of points of the plane, such as `by_metres(dx_m, dy_m)`.
    anchor : Anchor or None
        Where the plane lies on the earth.

    Examples
    --------
    >>> from survey_app.site.edits import by_metres
    >>> north = anywhere(by_metres(0.0, 100.0), Anchor(lat_deg=43.55, lon_deg=-69.6))
    >>> moved = north(GeoPoint(lat_deg=43.55, lon_deg=-69.6))
    >>> round(moved.lat_deg, 6), round(moved.lon_deg, 6)
    (43.5509, -69.6)
    """

    def moved(position: Position) -> Position:
        if isinstance(position, PlanePoint):
            return shift(position)
        point = shift(_point(position, anchor))
        if not isinstance(point, PlanePoint):
            raise UsageError("the shift does not give metres of the plane")
        lat, lon = to_geographic(_plane(anchor), point.x_m, point.y_m)
        return GeoPoint(lat_deg=float(lat), lon_deg=float(lon))

    return moved
