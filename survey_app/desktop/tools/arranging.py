"""What can be done to the selection as a whole; menus and keys call these plain functions."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING, Any
from weakref import WeakKeyDictionary

from survey_app.desktop.tools.drags.moving import movable, moved
from survey_app.desktop.tools.drags.turning import turned
from survey_app.desktop.tools.extent import middle_of
from survey_app.desktop.tools.spoken import some, spoken
from survey_app.desktop.tools.steps import in_one_step
from survey_app.desktop.tools.where import outline_of, shift_by
from survey_app.drawing.shapes import Point
from survey_app.ground.straight import bearing_of
from survey_app.site.edits import (
    Edit,
    aim_computed,
    align,
    distribute,
    duplicate,
    hanging_on,
    remove,
    remove_corner,
    set_locked,
    slide,
)
from survey_app.site.edits.arranging import Alignment, Axis
from survey_app.site.edits.sharing import rebuilt
from survey_app.site.edits.things import change
from survey_app.site.mount import Mount
from survey_app.site.place import EdgePlace, PolePlace
from survey_app.site.radio import Radio
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk

__all__ = [
    "ARROWS",
    "NO_PLACE",
    "align_selection",
    "compute_aims",
    "corner_in_hand",
    "distribute_selection",
    "duplicate_selection",
    "lock_selection",
    "nudge",
    "remove_selection",
    "rotate_selection",
    "select_kind",
    "take_corner",
]

ARROWS = {"Left": (-1.0, 0.0), "Right": (1.0, 0.0), "Up": (0.0, 1.0), "Down": (0.0, -1.0)}
"""Arrow keys and the way they push, right and up."""

NOTHING_SELECTED = "Nothing is selected."
NO_PLACE = "That has no place of its own: it follows what it hangs on or joins."
DUPLICATE_OFF_M = 2.0
"""How far a copy stands off what it was copied from, right and down. [m]"""
_TURN_DEG_PER_M = 5.0
"""A push of a metre turns a mount on its pole by so much."""


_CORNERS: WeakKeyDictionary[Desk, tuple[str, int]] = WeakKeyDictionary()
"""The corner that was pressed last on each desk: Delete takes it, not the whole thing."""


def take_corner(desk: Desk, corner: tuple[str, int] | None) -> None:
    """Take a corner of an outline or route in hand, by its thing and number; None lets go of it."""
    if corner is None:
        _CORNERS.pop(desk, None)
    else:
        _CORNERS[desk] = corner


def corner_in_hand(desk: Desk) -> tuple[str, int] | None:
    """Return the corner that was pressed last, as long as its thing alone is selected."""
    corner = _CORNERS.get(desk)
    return corner if corner is not None and desk.selection == (corner[0],) else None


def remove_selection(desk: Desk) -> bool:
    """Remove the corner in hand, else the selection with all that hangs on it; say in one sentence what went along."""
    corner = corner_in_hand(desk)
    take_corner(desk, None)
    if corner is not None:
        return desk.perform(lambda now: remove_corner(now, *corner))
    ids = desk.selection
    if not ids:
        desk.say(NOTHING_SELECTED)
        return False
    site = desk.site
    along, name = hanging_on(site, *ids), spoken(site, ids)
    # what goes along is named below, in one sentence
    if not desk.perform(lambda now: remove(now, *ids, cascade=True)._replace(remarks=())):
        return False
    desk.say(f"{name} removed, and with it {some(along)}." if along else f"{name} removed.")
    return True


def align_selection(desk: Desk, side: Alignment) -> bool:
    """Bring sides or middles of the selected things in line."""
    return desk.perform(lambda site: align(site, desk.selection, side))


def distribute_selection(desk: Desk, axis: Axis = "line") -> bool:
    """Spread the selected things at equal distances between the outermost two."""
    return desk.perform(lambda site: distribute(site, desk.selection, axis))


def rotate_selection(desk: Desk, angle_deg: float, about: Point | None = None) -> bool:
    """Turn the selection clockwise, about its middle unless a point is given."""
    pivot = about or middle_of(desk, desk.selection)
    if pivot is None:
        desk.say(NOTHING_SELECTED if not desk.selection else NO_PLACE)
        return False
    return desk.perform(lambda site: turned(site, desk.selection, angle_deg, pivot))


def duplicate_selection(desk: Desk) -> bool:
    """Copy the selection a little to the right and below, and select the copies."""
    if not desk.selection:
        desk.say(NOTHING_SELECTED)
        return False
    ids, before = desk.selection, set(desk.things)

    def make(site: Site) -> Edit:
        off = shift_by(site, DUPLICATE_OFF_M, -DUPLICATE_OFF_M)
        return duplicate(site, ids, DUPLICATE_OFF_M, -DUPLICATE_OFF_M, shift=off)

    if not desk.perform(make):
        return False
    desk.select(one for one in desk.things if one not in before)
    return True


def compute_aims(desk: Desk) -> bool:
    """Give the aims of the selected radios that were fixed by hand back to the computation."""
    things = [desk.things[one] for one in desk.selection]
    by_hand = [thing.id for thing in things if isinstance(thing, Radio) and thing.aim is not None]
    if not by_hand:
        desk.say("No aim of the selection is fixed by hand.")
        return False
    label = f"Aim {spoken(desk.site, by_hand)} by computation"
    return desk.perform(in_one_step(label, [partial(aim_computed, radio_id=one) for one in by_hand]))


def lock_selection(desk: Desk) -> bool:
    """Lock the selection, or unlock it where all of it is locked."""
    if not desk.selection:
        desk.say(NOTHING_SELECTED)
        return False
    ids = desk.selection
    locked = all(desk.things[one].locked for one in ids)
    if not desk.perform(lambda site: set_locked(site, ids, not locked)):
        return False
    name = spoken(desk.site, ids)
    desk.say(f"{name} can be moved again." if locked else f"{name} stays where it is until it is unlocked.")
    return True


def select_kind(desk: Desk) -> None:
    """Select all things of the kinds that are selected."""
    kinds = {_kind(desk.things[one]) for one in desk.selection}
    desk.select([*desk.selection, *(one for one, thing in desk.things.items() if _kind(thing) in kinds)])


def _kind(thing: Any) -> tuple[type, str]:
    return type(thing), str(getattr(thing, "role", ""))


def nudge(desk: Desk, arrow: str, step_m: float) -> bool:
    """Push the selection by an arrow key: over the plan, along its wall, round its pole.

    Pushes that follow each other join into one step, named with the whole way.

    Parameters
    ----------
    desk : Desk
        The document and its selection.
    arrow : str
        `Left`, `Right`, `Up` or `Down`.
    step_m : float
        How far. [m]
    """
    way = ARROWS[arrow]
    mount = _hung_alone(desk)
    if mount is not None:
        return desk.perform(lambda site: _pushed(desk, site, mount, way, step_m))
    ids = movable(dict(desk.things), desk.selection)
    if not ids:
        desk.say(NO_PLACE)
        return False
    key = f"nudge {' '.join(ids)}"
    return desk.perform(lambda site: moved(site, ids, way[0] * step_m, way[1] * step_m)._replace(merge_key=key))


def _hung_alone(desk: Desk) -> Mount | None:
    if len(desk.selection) != 1:
        return None
    thing = desk.things[desk.selection[0]]
    if isinstance(thing, Radio):
        thing = desk.things.get(thing.mount, thing)
    return thing if isinstance(thing, Mount) and isinstance(thing.place, EdgePlace | PolePlace) else None


def _pushed(desk: Desk, site: Site, mount: Mount, way: tuple[float, float], step_m: float) -> Edit:
    """Return the push of a mount along its wall, as far as the wall goes, or round its pole."""
    where = mount.place
    if isinstance(where, PolePlace):
        turn_deg = (way[0] + way[1]) * step_m * _TURN_DEG_PER_M
        side_deg = round(((where.side_plan_deg or 0.0) + turn_deg) % 360.0, 3)
        place = rebuilt(where, mount.title, side_plan_deg=side_deg)
        edit = change(site, mount.id, place=place)
        return edit._replace(label=f"Turn mount {mount.title} round its pole", merge_key=f"nudge {mount.id}")
    assert isinstance(where, EdgePlace)
    corners = outline_of(desk.placed, mount.structure)
    a, b = corners[where.edge], corners[(where.edge + 1) % len(corners)]
    turn = math.radians(bearing_of(a, b))
    forth = way[0] * math.sin(turn) + way[1] * math.cos(turn)
    sign = 0.0 if abs(forth) < 1e-6 else math.copysign(1.0, forth)
    along_m = min(max(where.along_m + sign * step_m, 0.0), math.dist(a, b))
    edit = slide(site, mount.id, round(along_m, 3))
    return edit._replace(merge_key=f"nudge {mount.id}")
