"""How the things in hand would look and what their hops would carry, while a gesture is not finished."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from survey_app.assess.live import Lift, Live
from survey_app.desktop.tools.live_words import hop_words
from survey_app.desktop.tools.part import followers, part_ids, part_of
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
from survey_app.spectrum.regions import Regions, load_regions
from survey_app.spectrum.user_folder import user_regions_folder

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["Preview", "radio_rules"]


@lru_cache(maxsize=1)
def radio_rules() -> Regions:
    """Return the radio rules that travel with the program and the user's own, read once."""
    return load_regions(user_regions_folder())


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
    """

    def __init__(self, desk: Desk, plan: Plan, ids: tuple[str, ...]) -> None:
        site = desk.site
        self.site = site
        """The site before the gesture."""
        self.lifted = followers(site, ids)
        self.live: Live | None = None
        """Numbers of the hops in hand, of the site that was shown last."""
        self._plan = plan
        self._part = part_ids(site, ids)
        radios = {radio.id for radio in site.design.radios} & self.lifted
        known = desk.assessment if desk.is_fresh else None
        self._lift = Lift(site, radios, radio_rules(), known) if radios else None
        self.ghost = self._old_places(desk.placed, desk.things)

    def _old_places(self, placed: Placed, things: object) -> tuple[Shape, ...]:
        """Return the old places, dashed."""
        shapes: list[Shape] = []
        for thing in _things(part_of(self.site, self.lifted)).values():
            corners = outline_of(placed, thing.id)
            at = placed.points.get(thing.id)
            if corners:
                shapes.extend(ghost_outline(corners, closed=hasattr(thing, "outline")))
            elif isinstance(thing, Pole | Mast) and at is not None:
                shapes.append(ghost_point((at.x_m, at.y_m)))
        return tuple(shapes)

    def shapes(self, edited: Site, also: frozenset[str] = frozenset()) -> tuple[Shape, ...]:
        """Return the lifted things as they are in an edited site, hops with their live words.

        Parameters
        ----------
        edited : Site
            The whole site with the edit that the gesture would make.
        also : frozenset of str
            Things that the lifted ones have come to hang on.
        """
        self.live = self._lift.at(edited) if self._lift is not None else None
        part = part_of(edited, self._part | also)
        placed, things = place(part), _things(part)
        shapes: list[Shape] = []
        for thing in things.values():
            if thing.id in self.lifted:
                shapes.extend(_shapes_of(part, placed, thing, things, self.live))
        return tuple(shapes)


def _things(site: Site) -> dict[str, Thing]:
    return {thing.id: thing for _, _, thing in every_thing(site.design)}


def _shapes_of(
    site: Site, placed: Placed, thing: Thing, things: dict[str, Thing], live: Live | None
) -> tuple[Shape, ...]:
    corners = outline_of(placed, thing.id)
    if corners:
        role = Role.OVERHEAD_LINE if isinstance(thing, OverheadLine) else Role.BUILDING
        return (Path(role, corners, closed=hasattr(thing, "outline")),)
    if isinstance(thing, Hop):
        return _hop_shapes(site, placed, thing, things, live)
    at = point_of(placed, thing, things)
    return () if at is None else _symbol(thing, at, live)


def _hop_shapes(site: Site, placed: Placed, hop: Hop, things: dict[str, Thing], live: Live | None) -> tuple[Shape, ...]:
    a, b = (point_of(placed, things.get(one), things) for one in (hop.access_point, hop.station))
    if a is None or b is None or live is None or hop.id not in live.hops:
        return ()
    above, below = hop_words(site, live.hops[hop.id], settled=hop.id not in live.stale)
    return (*line(a, b, Role.HOP), *along(a, b, above), *along(a, b, below, below=True))


def _symbol(thing: Thing, at: Point, live: Live | None) -> tuple[Shape, ...]:
    if isinstance(thing, Radio):
        row = live.radios.get(thing.id) if live is not None else None
        bearing_deg = row.bearing_plan_deg if row is not None else None
        if thing.role == "access_point":
            return (symbols.access_point(at),)
        return (symbols.station(at, bearing_deg or 0.0),)
    if isinstance(thing, Mast):
        return (symbols.mast(at),)
    return (symbols.pole(at),) if isinstance(thing, Pole) else ()
