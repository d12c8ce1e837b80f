"""Where things of the site are, and which of them move by themselves."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from survey_app.desktop.tools.steps import made
from survey_app.drawing.shapes import Point
from survey_app.errors import UsageError
from survey_app.ground.place import Placed
from survey_app.ground.plane import Plane, to_geographic, to_plane
from survey_app.site.edits.moving import Shift
from survey_app.site.network import Camera, Device, HeadEnd, Supply, Wire
from survey_app.site.place import GeoPoint, PlanePoint, Position
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Site
from survey_app.site.thing import Thing

__all__ = ["elevation_of", "outline_of", "plan_of", "point_of", "shift_by"]


def plan_of(placed: Placed, position: Position) -> Point:
    """Return the plane coordinates of a position; NaN where one in degrees has no anchor. [m]"""
    if isinstance(position, PlanePoint):
        return position.x_m, position.y_m
    if placed.plane is None:
        return math.nan, math.nan
    x_m, y_m = to_plane(placed.plane, position.lat_deg, position.lon_deg)
    return float(x_m), float(y_m)


def outline_of(placed: Placed, thing_id: str) -> tuple[Point, ...]:
    """Return the corners of an outline or route in the plane; empty where a thing has none. [m]"""
    corners = placed.outlines.get(thing_id)
    return () if corners is None else tuple((float(x), float(y)) for x, y in corners)


def point_of(placed: Placed, thing: Thing | None, things: dict[str, Thing] | None = None) -> Point | None:
    """Return the point of the plan that a thing is at, the middle of its outline or route; None where it has none. [m]

    Parameters
    ----------
    placed : Placed
        Where everything is.
    thing : Thing or None
        The thing.
    things : dict of str to Thing, optional
        Every thing by id, for those that lie between or in others: hops, wires, head ends, boxes in a building.
    """
    if thing is None:
        return None
    if isinstance(thing, Radio):
        return _known(placed, thing.mount)
    at = _known(placed, thing.id)
    if at is not None:
        return at
    known = things or {}
    if isinstance(thing, HeadEnd):
        return point_of(placed, known.get(thing.device), things)
    if isinstance(thing, Hop | Wire):
        ends = (thing.access_point, thing.station) if isinstance(thing, Hop) else (thing.a.thing, thing.b.thing)
        return _middle([point for one in ends if (point := point_of(placed, known.get(one), things)) is not None])
    corners = outline_of(placed, thing.id)
    if corners:
        return _middle(corners)
    carrier = getattr(thing, "structure", None)
    if isinstance(thing, Camera | Device | Supply) and carrier:
        return point_of(placed, known.get(carrier), things)
    return None


def _known(placed: Placed, key: str) -> Point | None:
    point = placed.points.get(key)
    return None if point is None or math.isnan(point.x_m) else (point.x_m, point.y_m)


def _middle(points: Iterable[Point]) -> Point | None:
    rows = np.array(list(points), dtype=np.float64)
    if not len(rows) or np.isnan(rows).any():
        return None
    low, high = rows.min(axis=0), rows.max(axis=0)
    return float((low[0] + high[0]) / 2.0), float((low[1] + high[1]) / 2.0)


def elevation_of(placed: Placed, thing: Thing | None) -> float | None:
    """Return the height of an antenna or lens, or of a structure's top, over the site datum; None = not known. [m]"""
    if thing is None:
        return None
    key = thing.mount if isinstance(thing, Radio) else thing.id
    spot = placed.mounts.get(key) or placed.cameras.get(key)
    if spot is not None:
        return spot.elevation_m if math.isfinite(spot.elevation_m) else None
    for name in ("eaves_height_m", "height_m", "crown_top_m"):
        top_m = getattr(thing, name, None)
        foot_m = placed.feet_m.get(thing.id)
        if top_m is not None and foot_m is not None and math.isfinite(foot_m):
            return float(foot_m + top_m)
    return None


def shift_by(site: Site, dx_m: float, dy_m: float) -> Shift:
    """Return the shift of positions by metres of the plane; one in degrees stays in degrees.

    Raises
    ------
    UsageError
        On use: a position is in degrees and the plane has no anchor, or leaves the range of the plane.
    """

    anchor = site.design.plane.anchor
    plane = Plane(anchor.lat_deg, anchor.lon_deg, anchor.rotation_deg) if anchor is not None else None

    def shift(position: Position) -> Position:
        if isinstance(position, PlanePoint):
            # to the micrometre: what was written finer than a tape keeps its shape, and no float's tail is stored
            return made(PlanePoint, x_m=round(position.x_m + dx_m, 6) + 0.0, y_m=round(position.y_m + dy_m, 6) + 0.0)
        if plane is None:
            raise UsageError(
                "a position is in degrees and the plane is tied to no place of the earth",
                where=site.design.name,
                remedy="give the plane its anchor first",
            )
        x_m, y_m = to_plane(plane, position.lat_deg, position.lon_deg)
        lat_deg, lon_deg = to_geographic(plane, float(x_m) + dx_m, float(y_m) + dy_m)
        return GeoPoint(lat_deg=float(lat_deg), lon_deg=float(lon_deg))

    return shift
