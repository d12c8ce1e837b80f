"""Where a thing of the site lies on the plan, as a point or as a line: what markers and hover signs follow."""

from __future__ import annotations

import math
from typing import NamedTuple

from survey_app.desktop.desk import Desk
from survey_app.drawing.plat.marks import steps_between
from survey_app.drawing.shapes import Point
from survey_app.site.network import Camera, Device, HeadEnd, Supply, Wire
from survey_app.site.radio import Hop, Radio

__all__ = ["Whereabouts", "whereabouts"]


class Whereabouts(NamedTuple):
    """A point, an open line or an outline. [m]"""

    points: tuple[Point, ...]
    closed: bool = False

    @property
    def is_point(self) -> bool:
        """Whether it is a point."""
        return len(self.points) == 1


def whereabouts(desk: Desk, thing_id: str, seen: dict[str, Point] | None = None) -> Whereabouts | None:
    """Return where a thing lies; None where it has no place of its own.

    Parameters
    ----------
    desk : Desk
        Site and positions.
    thing_id : str
        The thing.
    seen : dict of str to (x, y) or None
        Where symbols stand on the plan, which may be beside the true spot. [m]
    """
    thing = desk.things.get(thing_id)
    if thing is None:
        return None
    if isinstance(thing, Hop):
        return _between(desk, (thing.access_point, thing.station), seen)
    route = desk.placed.outlines.get(thing_id)
    if isinstance(thing, Wire):
        if route is None:
            return _in_steps(_between(desk, (thing.a.thing, thing.b.thing), seen))
        ends = [_spot(desk, end.thing, seen) for end in (thing.a, thing.b)]
        corners = [(float(x), float(y)) for x, y in route]
        points = [p for p in (ends[0], *corners, ends[1]) if p is not None]
        return _sound(tuple(points), closed=False)
    if route is not None:
        return _sound(tuple((float(x), float(y)) for x, y in route), closed=hasattr(thing, "outline"))
    spot = _spot(desk, thing_id, seen)
    return None if spot is None else _sound((spot,), closed=False)


def _between(desk: Desk, ends: tuple[str, str], seen: dict[str, Point] | None) -> Whereabouts | None:
    points = tuple(p for p in (_spot(desk, end, seen) for end in ends) if p is not None)
    return _sound(points, closed=False) if len(points) == 2 else None


def _in_steps(ends: Whereabouts | None) -> Whereabouts | None:
    """Return the run of a wire without a route as it is drawn."""
    if ends is None:
        return None
    a, b = ends.points
    return Whereabouts((a, *steps_between(a, b), b))


def _sound(points: tuple[Point, ...], *, closed: bool) -> Whereabouts | None:
    if not points or any(math.isnan(x) or math.isnan(y) for x, y in points):
        return None
    return Whereabouts(points, closed)


def _spot(desk: Desk, thing_id: str, seen: dict[str, Point] | None) -> Point | None:
    if seen is not None and thing_id in seen:
        return seen[thing_id]
    thing = desk.things.get(thing_id)
    if isinstance(thing, Radio):
        thing_id = thing.mount
    elif isinstance(thing, HeadEnd):
        thing_id = thing.device
        return _spot(desk, thing_id, seen)
    elif isinstance(thing, Camera | Device | Supply) and thing_id not in desk.placed.points:
        mount = getattr(thing, "mount", None)
        thing_id = mount if mount is not None else thing_id
    point = desk.placed.points.get(thing_id)
    return None if point is None else (point.x_m, point.y_m)
