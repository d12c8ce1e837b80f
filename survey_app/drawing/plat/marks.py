"""Symbols of single things: poles, radios, free mounts, boxes and supplies, landmarks, survey notes, and the wires."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from survey_app.drawing.plat.areas import middle_of
from survey_app.drawing.plat.felt import with_break
from survey_app.drawing.plat.layout import Layout, RadioSpot
from survey_app.drawing.plat.lines import Level, Stack, dots, piece
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Disc, Path, Point, Symbol
from survey_app.drawing.status import with_status
from survey_app.drawing.symbols import (
    access_point,
    battery,
    device,
    head_end,
    landmark,
    mast,
    mount,
    pole,
    relay,
    station,
    supply,
    survey_note,
)
from survey_app.site.place import EdgePlace, PolePlace
from survey_app.site.structure import Pole
from survey_app.site.thing import Thing

__all__ = [
    "Mark",
    "box_marks",
    "box_places",
    "draw_marks",
    "draw_wires",
    "marks",
    "radio_spots",
    "steps_between",
    "wire_points",
]

_DOT_MM = 0.625
_DOT = (Disc(Role.RADIO_SOLID, (0.0, 0.0), _DOT_MM),)


@dataclass(frozen=True, slots=True)
class Mark:
    """A symbol of one thing.

    Attributes
    ----------
    id, collection : str
        The thing.
    symbol : Symbol
        As it is drawn.
    half_mm : float
        Half of the room it takes. [mm]
    level : int
        Where it lies in the stack.
    """

    id: str
    collection: str
    symbol: Symbol
    half_mm: float
    level: int
    status: str


def radio_spots(layout: Layout, view: PlatView, wish: Wish, ids: frozenset[str] | None = None) -> Iterator[RadioSpot]:
    """Yield the symbols of radios that may be in the window, each once."""
    if "radios" in wish.hidden:
        return
    x0, y0, x1, y1 = view.window_m
    margin = 4.0 / view.mm_per_m
    for one, spot in layout.radios.items():
        if one != spot.ids[0] or not wish.lifted.isdisjoint(spot.ids):
            continue
        if ids is not None and ids.isdisjoint(spot.ids):
            continue
        if x0 - margin <= spot.at[0] <= x1 + margin and y0 - margin <= spot.at[1] <= y1 + margin:
            yield spot


def _radio_marks(
    layout: Layout, view: PlatView, wish: Wish, ids: frozenset[str] | None
) -> Iterator[tuple[RadioSpot, Mark]]:
    kept = wish.kept
    for spot in radio_spots(layout, view, wish, ids):
        subject = spot.ids[-1]
        small = view.tier >= 4 and kept.isdisjoint(spot.ids)
        if small:
            symbol = Symbol("radio", spot.at, _DOT, subject=subject)
        elif spot.shape == "relay":
            symbol = relay(spot.at, spot.turn_deg, subject)
        elif spot.shape == "access point":
            symbol = access_point(spot.at, subject)
        else:
            symbol = station(spot.at, spot.turn_deg, subject)
        half = 0.9 if small else 2.9 if spot.shape == "relay" else 2.35 if spot.shape == "access point" else 1.9
        yield spot, Mark(subject, "radios", symbol, half, Level.RADIOS, spot.mark.record.status)


def marks(
    scene: PlatScene, layout: Layout, view: PlatView, wish: Wish, ids: frozenset[str] | None = None
) -> list[Mark]:
    """Return the symbols in and near the window, low to high."""
    found: list[Mark] = []
    x0, y0, x1, y1 = view.window_m
    margin = 5.0 / view.mm_per_m

    def here(at: Point) -> bool:
        return x0 - margin <= at[0] <= x1 + margin and y0 - margin <= at[1] <= y1 + margin

    def wanted(one: str, last_tier: int) -> bool:
        if one in wish.lifted or (ids is not None and one not in ids):
            return False
        return view.tier <= last_tier or one in wish.selection

    if "obstacles" not in wish.hidden:
        for structure, at in scene.uprights.values():
            if wanted(structure.id, 3) and here(at):
                symbol = pole(at, structure.id) if isinstance(structure, Pole) else mast(at, structure.id)
                half = 1.3 if isinstance(structure, Pole) else 2.6
                found.append(Mark(structure.id, "structures", symbol, half, Level.POLES, structure.status))
    found += [one for one in _free_mounts(scene, wish, ids, view) if here(one.symbol.at)]
    found += [one for one in box_marks(scene, layout, view, wish, ids) if here(one.symbol.at)]
    if "notes" not in wish.hidden:
        for note in scene.site.design.notes:
            at_note = scene.point(note.id)
            if at_note is not None and wanted(note.id, 3) and here(at_note):
                found.append(Mark(note.id, "notes", survey_note(at_note, note.id), 1.1, Level.BOXES, note.status))
    if "landmarks" not in wish.hidden:
        for mark in scene.site.design.landmarks:
            at_mark = scene.point(mark.id)
            if at_mark is not None and wanted(mark.id, 4) and here(at_mark):
                found.append(Mark(mark.id, "landmarks", landmark(at_mark, mark.id), 2.5, Level.BOXES, mark.status))
    found += [mark for _, mark in _radio_marks(layout, view, wish, ids)]
    return found


def _free_mounts(scene: PlatScene, wish: Wish, ids: frozenset[str] | None, view: PlatView) -> Iterator[Mark]:
    if "radios" in wish.hidden:
        return
    used = {radio.mount for radio in scene.site.design.radios}
    used |= {camera.mount for camera in scene.site.design.cameras if camera.mount is not None}
    for one in scene.site.design.mounts:
        if one.id in used or one.id in wish.lifted or (ids is not None and one.id not in ids):
            continue
        at = scene.point(one.id)
        if at is None or (view.tier > 3 and one.id not in wish.selection):
            continue
        symbol = mount(at, _outward(scene, one.id, at), one.usable, one.id)
        yield Mark(one.id, "mounts", symbol, 3.0, Level.POLES, one.status)


def _outward(scene: PlatScene, mount_id: str, at: Point) -> float:
    """Return the plan bearing away from what a mount hangs on. [deg]"""
    record = scene.mounts[mount_id]
    if isinstance(record.place, PolePlace):
        return record.place.side_plan_deg or 0.0
    area = scene.areas.get(record.structure)
    if area is None or not isinstance(record.place, EdgePlace):
        return 0.0
    n = len(area.ring)
    (xa, ya), (xb, yb) = area.ring[record.place.edge % n], area.ring[(record.place.edge + 1) % n]
    # square to the edge, on the mount's side of it
    away = math.degrees(math.atan2(-(yb - ya), xb - xa))
    cross = (xb - xa) * (at[1] - ya) - (yb - ya) * (at[0] - xa)
    return (away if cross >= 0.0 else away + 180.0) % 360.0


def box_marks(
    scene: PlatScene, layout: Layout, view: PlatView, wish: Wish, ids: frozenset[str] | None = None
) -> list[Mark]:
    """Return head ends, supplies and powered boxes; those that would hide each other stand in a row.

    A box that stands with a radio or a camera is part of what hangs there: it is drawn where there is room for it.
    """
    if "wires" in wish.hidden:
        return []
    stood: list[Point] = [spot.at for spot in layout.radios.values()]
    crowded = [*stood, *(spot.true_at for spot in layout.cameras.values())]
    found: list[Mark] = []
    # a silent box goes with what it feeds: only one that fails itself is drawn for that
    kept = frozenset(wish.selection) | {key for key in wish.kept if wish.word(key) == "fails"}
    for one, collection, at, kind in _boxes(scene, wish, ids):
        chosen = one.id in kept
        last = _LAST_TIER[collection]
        if not chosen and (
            view.tier > last or (collection != "head_ends" and view.tier > 0 and _stands_with(at, crowded, view))
        ):
            continue
        stand = _clear_of(at, stood, view.mm_per_m)
        stood.append(stand)
        if collection == "head_ends":
            symbol, half = head_end(stand, one.id), 2.6
        elif collection == "supplies":
            symbol, half = (supply if kind == "mains" else battery)(stand, one.id), 2.6
        else:
            symbol, half = device(stand, _port_count(scene, kind), one.id), 2.2
        found.append(Mark(one.id, collection, symbol, half, Level.BOXES, one.status))
    return found


_WITH_MM = 8.0
_LAST_TIER = {"head_ends": 3, "supplies": 1, "devices": 1}
"""The farthest step at which boxes are drawn: on a whole site they would hide what they feed."""


def _stands_with(at: Point, crowded: list[Point], view: PlatView) -> bool:
    reach = _WITH_MM / view.mm_per_m
    return any(abs(x - at[0]) < reach and abs(y - at[1]) < reach for x, y in crowded)


def _boxes(scene: PlatScene, wish: Wish, ids: frozenset[str] | None) -> Iterator[tuple[Thing, str, Point, str]]:
    """Yield head ends, supplies and other boxes that have a place."""
    design = scene.site.design
    heads = {one.device: one for one in design.head_ends}
    rows: list[tuple[Thing, str, str, str]] = [
        (heads[one.id], "head_ends", one.id, one.gear) for one in design.devices if one.id in heads
    ]
    rows += [(one, "supplies", one.id, one.kind) for one in design.supplies]
    rows += [(one, "devices", one.id, one.gear) for one in design.devices if one.id not in heads]
    for one, collection, place, kind in rows:
        at = scene.point(place)
        if at is None or one.id in wish.lifted or place in wish.lifted:
            continue
        if ids is None or one.id in ids or place in ids:
            yield one, collection, at, kind


def _port_count(scene: PlatScene, gear_id: str) -> int:
    kind = scene.gear.get(gear_id)
    return sum(ports.count for ports in getattr(kind, "ports", ()))


def _clear_of(at: Point, stood: list[Point], mm_per_m: float) -> Point:
    """Return the place itself, or the first one beside it in rows of 5.6 mm where no other symbol stands."""
    step = 5.6 / mm_per_m
    near = [other for other in stood if abs(other[0] - at[0]) < 6 * step and abs(other[1] - at[1]) < 6 * step]
    for dx, dy in _BESIDE:
        place = (at[0] + dx * step, at[1] + dy * step)
        if all(math.hypot(place[0] - x, place[1] - y) > 0.94 * step for x, y in near):
            return place
    return at


_BESIDE = tuple(
    sorted(((dx, dy) for dx in range(-4, 5) for dy in range(-4, 5)), key=lambda p: (p[0] ** 2 + p[1] ** 2, -p[0], p[1]))
)


def draw_marks(stack: Stack, scene: PlatScene, layout: Layout, view: PlatView, drawn: list[Mark]) -> None:
    """Draw symbols, and leaders from those that stand beside their true place."""
    small = [mark.symbol.at for mark in drawn if mark.symbol.name == "radio"]
    stack.line(Level.RADIOS, Role.RADIO_SOLID, dots(small, _DOT_MM / view.mm_per_m), filled=True)
    for mark in drawn:
        if mark.symbol.name != "radio":
            stack.add(mark.level, *with_status(mark.symbol, mark.status))
        true_at = scene.point(mark.id)
        if mark.collection == "radios":
            spot = layout.radios[mark.id]
            if spot.moved and view.tier < 4:
                stack.add(Level.POLES, Path(Role.THIN, (spot.true_at, spot.at)))
        elif true_at is not None and true_at != mark.symbol.at:
            stack.add(Level.POLES, Path(Role.THIN, (true_at, mark.symbol.at)))


def box_places(scene: PlatScene, drawn: list[Mark]) -> dict[str, Point]:
    """Return where boxes and supplies stand; a head end's device stands where the head end does. [m]"""
    places = {mark.id: mark.symbol.at for mark in drawn if mark.collection in ("devices", "supplies")}
    devices = {one.id: one.device for one in scene.site.design.head_ends}
    places.update({devices[mark.id]: mark.symbol.at for mark in drawn if mark.collection == "head_ends"})
    return places


def steps_between(a: Point, b: Point) -> list[Point]:
    """Return the corners of a wire that nobody gave a route: across, along, across; none where it is straight. [m]"""
    turn = (a[0] + b[0]) / 2.0
    return [(turn, a[1]), (turn, b[1])] if a[0] != b[0] and a[1] != b[1] else []


def wire_points(scene: PlatScene, layout: Layout, boxes: dict[str, Point], wire_id: str) -> list[Point]:
    """Return the run of a wire on the plan: its route between its ends, in steps where none is drawn. [m]"""
    wire = scene.wires[wire_id]
    ends = [_end(scene, layout, boxes, one.thing) for one in (wire.a, wire.b)]
    route = scene.placed.outlines.get(wire_id)
    middle = [] if route is None else [(float(x), float(y)) for x, y in route if math.isfinite(x)]
    a, b = ends
    if not middle and a is not None and b is not None:
        middle = steps_between(a, b)
    points = [*([a] if a is not None else []), *middle, *([b] if b is not None else [])]
    return points if len(points) > 1 else []


def _end(scene: PlatScene, layout: Layout, boxes: dict[str, Point], thing_id: str) -> Point | None:
    if thing_id in layout.radios:
        return layout.radios[thing_id].at
    if thing_id in layout.cameras:
        return layout.cameras[thing_id].at
    if thing_id in boxes:
        return boxes[thing_id]
    at = scene.point(thing_id)
    if at is not None:
        return at
    _, thing = scene.things.get(thing_id, ("", None))
    device_id, structure = getattr(thing, "device", None), getattr(thing, "structure", None)
    if isinstance(device_id, str):
        return _end(scene, layout, boxes, device_id)
    if isinstance(structure, str) and structure in scene.areas:
        return middle_of(scene.areas[structure].ring)
    return scene.point(structure) if isinstance(structure, str) else None


def draw_wires(
    stack: Stack,
    scene: PlatScene,
    layout: Layout,
    view: PlatView,
    wish: Wish,
    boxes: dict[str, Point],
    ids: frozenset[str] | None = None,
) -> None:
    """Draw wires along their routes, those without one in steps."""
    if "wires" in wish.hidden:
        return
    x0, y0, x1, y1 = view.window_m
    for wire in scene.site.design.wires:
        if ids is not None and wire.id not in ids:
            continue
        if not wish.lifted.isdisjoint((wire.id, wire.a.thing, wire.b.thing)):
            continue
        if view.tier >= 3 and wire.id not in wish.selection:
            continue
        line = layout.wires.get(wire.id)
        if line is None or ids is not None or wish.selection:
            line = np.array(wire_points(scene, layout, boxes, wire.id)).reshape(-1, 2)
            if ids is None and not wish.selection:
                layout.wires[wire.id] = line
        if len(line) == 0:
            continue
        low, high = line.min(axis=0), line.max(axis=0)
        if low[0] > x1 or high[0] < x0 or low[1] > y1 or high[1] < y0:
            continue
        # between neighbours a wire without a route says nothing
        shortest_mm = 2.0 if wire.route else 6.0
        if max(high - low) * view.mm_per_m >= shortest_mm:
            role = Role.LATER if wire.status in ("later", "removed") else Role.WIRE
            if wire.id in wish.silent:
                parts, sign = with_break(line, view.mm_per_m)
                for part in (*parts, sign):
                    stack.line(Level.WIRES, role, piece(part))
            else:
                stack.line(Level.WIRES, role, piece(line))
