"""The ground of a plan: water, trees, buildings with their hatch, obstacles, lanes, zones, rooms and overhead lines."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from survey_app.drawing.hatch import BAND_MM, hatch_pitch_mm
from survey_app.drawing.plat.areas import Area, inside, middle_of
from survey_app.drawing.plat.hatching import hatch_bands
from survey_app.drawing.plat.lines import Level, Piece, Stack, dots, piece, ring_piece, segments
from survey_app.drawing.plat.openings import draw_opening
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Path, Symbol, Words
from survey_app.drawing.symbols import struck, tree_star
from survey_app.ground.along_run import stretch_of

__all__ = ["draw_areas", "is_dot", "layer_of", "shown_areas"]

Floats = NDArray[np.float64]
_DOT_PX = 6.0
_DOT_RADIUS_MM = 0.5
_LININGS_MM = (1.2, 3.0, 5.0, 7.5, 11.0, 15.0)
_WHOLE_MM = 4000.0
"""Outlines longer than this on paper are made for the window alone, and not kept. [mm]"""
_LAYERS = {
    "water": "water", "tree_stand": "trees", "building": "buildings", "room": "buildings", "wall": "buildings",
    "opening": "buildings",
    "obstacle": "obstacles", "traffic_area": "obstacles", "zone": "obstacles", "boundary": "obstacles",
    "overhead_line": "overhead", "served_area": "views",
}  # fmt: skip


def layer_of(area: Area) -> str:
    """Return the layer that an outline or route is switched off with."""
    return _LAYERS[area.kind]


def shown_areas(scene: PlatScene, view: PlatView, wish: Wish, ids: frozenset[str] | None = None) -> list[Area]:
    """Return the outlines and routes that meet the window and that nobody hid or lifted."""
    if not scene.areas:
        return []
    areas, boxes = scene.area_table
    x0, y0, x1, y1 = view.window_m
    meets = (boxes[:, 0] <= x1) & (boxes[:, 2] >= x0) & (boxes[:, 1] <= y1) & (boxes[:, 3] >= y0)
    found = [areas[k] for k in np.flatnonzero(meets).tolist()]
    if wish.lifted or ids is not None:
        found = [area for area in found if area.id not in wish.lifted and (ids is None or area.id in ids)]
    if wish.hidden:
        found = [area for area in found if _LAYERS[area.kind] not in wish.hidden]
    return found


def is_dot(area: Area, view: PlatView, wish: Wish) -> bool:
    """Whether an outline is so small on the screen that it is a dot."""
    return area.extent_m * view.px_per_m < _DOT_PX and area.id not in wish.selection


def draw_areas(stack: Stack, scene: PlatScene, view: PlatView, wish: Wish, areas: Iterable[Area]) -> None:
    """Draw outlines and routes."""
    buildings: list[Area] = []
    small: list[Area] = []
    for area in areas:
        if area.closed and is_dot(area, view, wish):
            small.append(area)
            continue
        if area.status == "removed":
            stack.add(Level.OBSTACLES, struck(middle_of(area.ring), subject=area.id))
        if area.status in ("removed", "later"):
            stack.line(Level.BUILDINGS, Role.LATER, _outline(area))
        elif area.kind == "building":
            buildings.append(area)
        else:
            _DRAWN[area.kind](stack, scene, view, area)
    _buildings(stack, scene, view, buildings)
    middles = [((a.bounds[0] + a.bounds[2]) / 2.0, (a.bounds[1] + a.bounds[3]) / 2.0) for a in small]
    stack.line(Level.BUILDINGS, Role.SOLID, dots(middles, _DOT_RADIUS_MM / view.mm_per_m), filled=True)


def _outline(area: Area) -> Piece:
    return ring_piece(area.ring) if area.closed else piece(area.ring)


def _buildings(stack: Stack, scene: PlatScene, view: PlatView, buildings: list[Area]) -> None:
    pieces = scene.store.kept(view.mm_per_m)
    missing: dict[bool, list[Area]] = {True: [], False: []}
    hatched: list[Area] = []
    for area in buildings:
        role = Role.LOW_BUILDING if area.height_m is None or area.height_m < 4.0 else Role.BUILDING
        entry = pieces.get(("outline", id(area)))
        if entry is None or entry[0] is not area:
            entry = (area, ring_piece(area.ring))
            pieces["outline", id(area)] = entry
        stack.line(Level.BUILDINGS, role, entry[1], filled=True)
        if role is Role.BUILDING:
            hatched.append(area)
            entry = pieces.get(("hatch", id(area)))
            if entry is None or entry[0] is not area:
                missing[area.extent_m * view.mm_per_m <= _WHOLE_MM].append(area)
    fresh: dict[int, Piece] = {}
    for whole, rows in missing.items():
        fresh.update(_hatches(rows, view, whole=whole))
        if whole:
            for area in rows:
                pieces["hatch", id(area)] = (area, fresh[id(area)])
    for area in hatched:
        made = fresh.get(id(area))
        stack.line(Level.BUILDINGS, Role.HATCH, pieces["hatch", id(area)][1] if made is None else made)
    for area in buildings:
        for hole in _courtyards(scene, area):
            stack.line(Level.BUILDINGS, Role.COURTYARD, hole, filled=True)


def _hatches(areas: list[Area], view: PlatView, *, whole: bool) -> dict[int, Piece]:
    pitches = np.array([(hatch_pitch_mm(area.height_m or 0.0) or 2.2) / view.mm_per_m for area in areas])
    bands = hatch_bands([a.ring for a in areas], pitches, BAND_MM / view.mm_per_m, None if whole else view.window_m)
    return {id(area): segments(band[:, 0], band[:, 1]) for area, band in zip(areas, bands, strict=True)}


def _courtyards(scene: PlatScene, area: Area) -> list[Piece]:
    """Return the outlines of a building's courtyards."""
    found = []
    for hole in getattr(area.record, "holes", ()):
        corners = np.array([scene.plan_point(corner) for corner in hole], dtype=np.float64)
        if np.isfinite(corners).all():
            found.append(ring_piece(corners))
    return found


def _water(stack: Stack, scene: PlatScene, view: PlatView, area: Area) -> None:
    stack.line(Level.WATER, Role.WATER, ring_piece(area.ring), filled=True)
    stack.line(Level.WATER, Role.BANK, ring_piece(area.ring))
    count = 6 if view.tier < 2 else 2
    if area.extent_m * view.mm_per_m <= _WHOLE_MM:
        rings = scene.store.piece(
            view.mm_per_m, f"lining {count}", area, lambda: _linings(area.ring, view.mm_per_m, count, None)
        )
    else:
        rings = _linings(area.ring, view.mm_per_m, count, view.window_m)
    for ring in rings:
        stack.line(Level.WATER, Role.LINING, ring)


def _linings(
    ring: Floats, mm_per_m: float, count: int, window: tuple[float, float, float, float] | None
) -> list[Piece]:
    import shapely

    area = shapely.make_valid(shapely.Polygon(ring))
    found: list[Piece] = []
    if window is not None:
        # lines that come in from outside the window must have left its neighbourhood before they are cut off
        margin = 3.0 * _LININGS_MM[-1] / mm_per_m
        x0, y0, x1, y1 = window
        area = shapely.intersection(area, shapely.box(x0 - margin, y0 - margin, x1 + margin, y1 + margin))
    for inset in _LININGS_MM[:count]:
        for part in shapely.get_parts(area.buffer(-inset / mm_per_m)):
            if part.geom_type == "Polygon" and not part.is_empty:
                found += [piece(np.asarray(line.coords)) for line in (part.exterior, *part.interiors)]
    return found


def _trees(stack: Stack, scene: PlatScene, view: PlatView, area: Area) -> None:
    scale = view.mm_per_m
    if area.extent_m * scale <= _WHOLE_MM:
        edge = scene.store.piece(scale, "scallops", area, lambda: ring_piece(_scallops(area.ring, scale)))
        stars = scene.store.piece(scale, "stars", area, lambda: _stars(area, scale))
    else:
        edge, stars = ring_piece(area.ring), []
    stack.line(Level.TREES, Role.TREES, edge, filled=True)
    if view.tier < 3:
        stack.add(Level.TREES, *stars)


def _scallops(ring: Floats, mm_per_m: float) -> Floats:
    """Return an outline of bows of radius 1.2 mm every 2 mm, bulging outward."""
    closed = np.concatenate((ring, ring[:1]))
    lengths = np.hypot(*np.diff(closed, axis=0).T)
    along = np.concatenate((np.zeros(1), np.cumsum(lengths)))
    count = max(round(float(along[-1]) * mm_per_m / 2.0), 5)
    at = np.linspace(0.0, along[-1], count + 1)
    feet = np.stack((np.interp(at, along, closed[:, 0]), np.interp(at, along, closed[:, 1])), axis=1)
    a, b = feet[:-1], feet[1:]
    x, y = (ring - ring[0]).T
    outward = 1.0 if float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) > 0.0 else -1.0
    bulge = np.sin(np.linspace(0.0, math.pi, 6)[:-1]) * 0.27 * outward
    part = np.linspace(0.0, 1.0, 6)[:-1]
    chord = b - a
    points = a[:, None, :] + chord[:, None, :] * part[None, :, None]
    points += np.stack((chord[:, 1], -chord[:, 0]), axis=1)[:, None, :] * bulge[None, :, None]
    return points.reshape(-1, 2)


def _stars(area: Area, mm_per_m: float) -> list[Symbol]:
    x0, y0, x1, y1 = area.bounds
    step = max(11.0 / mm_per_m, (x1 - x0) / 40.0, (y1 - y0) / 40.0)
    found = []
    for row in range(int((y1 - y0) / step) + 1):
        for column in range(int((x1 - x0) / step) + 1):
            x = x0 + (column + (0.25 if row % 2 else 0.75)) * step
            y = y0 + (row + 0.5 + 0.2 * ((column + row) % 3 - 1)) * step
            if inside(area.ring, x, y) and inside(area.ring, x + step * 0.15, y + step * 0.15):
                found.append(tree_star((x, y)))
    return found


def _obstacle(stack: Stack, _scene: PlatScene, view: PlatView, area: Area) -> None:
    stack.line(Level.OBSTACLES, Role.OBSTACLE, ring_piece(area.ring), filled=True)
    n = len(area.ring)
    first, second = area.ring[[0, n // 2]], area.ring[[n // 4, (n // 4 + n // 2) % n]]
    if n > 4 or not _convex(area.ring):
        (x0, y0), (x1, y1) = area.ring.min(axis=0), area.ring.max(axis=0)
        first, second = np.array([(x0, y0), (x1, y1)]), np.array([(x0, y1), (x1, y0)])
        first, second = _inside_of(area.ring, first), _inside_of(area.ring, second)
    for diagonal in (first, second):
        stack.line(Level.OBSTACLES, Role.FINE, piece(diagonal))
    if area.swing_m is not None and view.tier < 4:
        stack.add(Level.OBSTACLES, Arc(Role.ENVELOPE, middle_of(area.ring), area.swing_m))


def _convex(ring: Floats) -> bool:
    edges = np.roll(ring, -1, axis=0) - ring
    after = np.roll(edges, -1, axis=0)
    cross = edges[:, 0] * after[:, 1] - edges[:, 1] * after[:, 0]
    return bool((cross >= 0.0).all() or (cross <= 0.0).all())


def _inside_of(ring: Floats, diagonal: Floats) -> Floats:
    """Return the longest part of a diagonal inside an outline."""
    import shapely

    cut = shapely.intersection(shapely.LineString(diagonal), shapely.make_valid(shapely.Polygon(ring)))
    parts = [part for part in shapely.get_parts(cut) if part.geom_type == "LineString"]
    return np.asarray(max(parts, key=lambda part: part.length).coords) if parts else np.empty((0, 2))


def _traffic(stack: Stack, _scene: PlatScene, view: PlatView, area: Area) -> None:
    stack.line(Level.OBSTACLES, Role.ENVELOPE, ring_piece(area.ring))
    if view.tier >= 4 or area.extent_m * view.mm_per_m < 12.0:
        return
    import shapely

    box = np.asarray(shapely.Polygon(area.ring).minimum_rotated_rectangle.exterior.coords)
    one, two = box[1] - box[0], box[2] - box[1]
    along = one if np.hypot(*one) >= np.hypot(*two) else two
    length = float(np.hypot(*along))
    middle = np.array(middle_of(area.ring))
    half_mm = min(length * view.mm_per_m * 0.3, 12.0)
    unit = along / max(length, 1e-9)
    tips = [middle + sign * unit * half_mm / view.mm_per_m for sign in (1.0, -1.0)]
    stack.line(Level.OBSTACLES, Role.FINE, piece(np.array(tips)))
    bearing = math.degrees(math.atan2(unit[0], unit[1]))
    for tip, turn in zip(tips, (bearing, bearing + 180.0), strict=True):
        head = Path(Role.SOLID, ((0.0, 0.0), (0.55, -1.9), (-0.55, -1.9)), closed=True)
        stack.add(Level.OBSTACLES, Symbol("lane arrow", (float(tip[0]), float(tip[1])), (head,), turn))


def _zone(stack: Stack, _scene: PlatScene, _view: PlatView, area: Area) -> None:
    stack.line(Level.OBSTACLES, Role.ZONE, ring_piece(area.ring))


def _boundary(stack: Stack, _scene: PlatScene, _view: PlatView, area: Area) -> None:
    stack.line(Level.WATER, Role.BOUNDARY, ring_piece(area.ring))


def _room(stack: Stack, _scene: PlatScene, view: PlatView, area: Area) -> None:
    if view.tier < 3:
        stack.line(Level.ROOMS, Role.THIN, ring_piece(area.ring))


def _served(stack: Stack, _scene: PlatScene, view: PlatView, area: Area) -> None:
    """Where a camera moves about: as its view would be drawn, over the building that it is in."""
    if view.tier < 4:
        stack.line(Level.ROOMS, Role.VIEW, ring_piece(area.ring), filled=True)
        stack.line(Level.ROOMS, Role.VIEW_LIMIT, ring_piece(area.ring))


def _wall(stack: Stack, scene: PlatScene, view: PlatView, area: Area) -> None:
    if view.tier >= 3:
        return
    gaps = sorted(
        (opening.along_m - opening.width_m / 2.0, opening.along_m + opening.width_m / 2.0)
        for opening in scene.site.design.openings
        if opening.wall == area.id
    )
    for part in _without(area.ring, gaps):
        stack.line(Level.ROOMS, Role.INNER_WALL, piece(part))


def _without(route: Floats, gaps: list[tuple[float, float]]) -> list[Floats]:
    """Return the parts of a route that no opening takes away."""
    parts, begin = [], 0.0
    for low, high in [*gaps, (math.inf, math.inf)]:
        part = stretch_of(route, begin, low)
        if len(part):
            parts.append(part)
        begin = max(begin, high)
    return parts


def _overhead(stack: Stack, _scene: PlatScene, view: PlatView, area: Area) -> None:
    """A line of 5 mm with the letter E in the gap."""
    scale = view.mm_per_m
    along = np.concatenate((np.zeros(1), np.cumsum(np.hypot(*np.diff(area.ring, axis=0).T))))
    step, dash = 7.6 / scale, 5.0 / scale
    count = int(along[-1] / step) + 1
    begin = np.arange(count) * step
    if count > 2000:
        stack.line(Level.OVERHEAD, Role.OVERHEAD_LINE, piece(area.ring))
        return
    for a in begin:
        b = min(a + dash, along[-1])
        at = np.concatenate(([a], along[(along > a) & (along < b)], [b]))
        line = np.stack((np.interp(at, along, area.ring[:, 0]), np.interp(at, along, area.ring[:, 1])), axis=1)
        stack.line(Level.OVERHEAD, Role.OVERHEAD_LINE, piece(line))
    for middle in begin + (dash + step) / 2.0:
        if middle < along[-1]:
            x, y = np.interp(middle, along, area.ring[:, 0]), np.interp(middle, along, area.ring[:, 1])
            if area.meets(view.window_m):
                stack.add(Level.OVERHEAD, Words(Role.WORDS, (float(x), float(y)), "E", 1.6, bold=True, align="middle"))


_DRAWN = {
    "water": _water, "tree_stand": _trees, "obstacle": _obstacle, "traffic_area": _traffic, "zone": _zone,
    "boundary": _boundary, "room": _room, "wall": _wall, "overhead_line": _overhead,
    "opening": draw_opening, "served_area": _served,
}  # fmt: skip
