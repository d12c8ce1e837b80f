"""How the part of a site that a gesture touches would look, drawn over the plan while it is in hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.desktop.tools.figures import leg
from survey_app.desktop.tools.part import followers, part_of
from survey_app.desktop.tools.strokes import along, ghost_outline, ghost_point, line
from survey_app.desktop.tools.where import outline_of, point_of
from survey_app.drawing import symbols
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point, Shape
from survey_app.ground.place import Placed, place
from survey_app.site.collection import every_thing
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Site
from survey_app.site.structure import Mast, OverheadLine, Pole
from survey_app.site.thing import Thing

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["Preview"]


class Preview:
    """Things lifted off the plan, with all that hangs on them.

    Parameters
    ----------
    desk : Desk
        The site as it is.
    plan : Plan
        The plan that shows it.
    ids : tuple of str
        The things in hand.
    also : tuple of str
        Things that they may come to hang on.
    """

    def __init__(self, desk: Desk, plan: Plan, ids: tuple[str, ...], also: tuple[str, ...] = ()) -> None:
        self.ids = ids
        self.site = part_of(desk.site, ids, also)
        """The part as a site of its own: edits are tried on it."""
        self.lifted = followers(desk.site, ids)
        self._plan = plan
        self._placed = place(self.site)
        self._ghost = self._old_places()

    @property
    def ghost(self) -> tuple[Shape, ...]:
        """The old places, dashed."""
        return self._ghost

    def _old_places(self) -> tuple[Shape, ...]:
        shapes: list[Shape] = []
        for thing in _things(self.site, self.lifted).values():
            corners = outline_of(self._placed, thing.id)
            at = self._placed.points.get(thing.id)
            if corners:
                shapes.extend(ghost_outline(corners, closed=hasattr(thing, "outline")))
            elif isinstance(thing, Pole | Mast) and at is not None:
                shapes.append(ghost_point((at.x_m, at.y_m)))
        return tuple(shapes)

    def shapes(self, edited: Site) -> tuple[Shape, ...]:
        """Return the lifted things as they are in an edited part, hops with their words."""
        placed = place(edited)
        things = _things(edited, None)
        shapes: list[Shape] = []
        for thing in things.values():
            if thing.id in self.lifted:
                shapes.extend(_shapes_of(edited, placed, thing, things))
        return tuple(shapes)


def _things(site: Site, ids: frozenset[str] | None) -> dict[str, Thing]:
    return {thing.id: thing for _, _, thing in every_thing(site.design) if ids is None or thing.id in ids}


def _shapes_of(site: Site, placed: Placed, thing: Thing, things: dict[str, Thing]) -> tuple[Shape, ...]:
    corners = outline_of(placed, thing.id)
    if corners:
        role = Role.OVERHEAD_LINE if isinstance(thing, OverheadLine) else Role.BUILDING
        return (Path(role, corners, closed=hasattr(thing, "outline")),)
    if isinstance(thing, Hop):
        a, b = (point_of(placed, things.get(one), things) for one in (thing.access_point, thing.station))
        return (*line(a, b, Role.HOP), *along(a, b, leg(site, a, b))) if a is not None and b is not None else ()
    at = point_of(placed, thing, things)
    return () if at is None else _symbol(thing, at)


def _symbol(thing: Thing, at: Point) -> tuple[Shape, ...]:
    if isinstance(thing, Radio):
        return (symbols.access_point(at) if thing.role == "access_point" else symbols.station(at, 0.0),)
    if isinstance(thing, Mast):
        return (symbols.mast(at),)
    return (symbols.pole(at),) if isinstance(thing, Pole) else ()
