"""The ground of a plan: water, structures with their hatch, overhead lines, and their names."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from survey_app.drawing.hatch import BAND_MM, hatch_band, hatch_pitch_mm
from survey_app.drawing.labels import Box, Placed
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.plan_scene import PlanStructure
from survey_app.drawing.plan_view import PlanView
from survey_app.drawing.roles import Role
from survey_app.drawing.seen import line_seen
from survey_app.drawing.shapes import Arc, Path, Point, Words
from survey_app.drawing.symbols import mast, obstacle_cross, pole, tree_star

__all__ = ["draw_ground", "draw_names"]

_SMALL_MM = 1.6
_AROUND_MM = 20.0
_NAME_MM = 1.8
_ORDER = ("zone", "traffic_area", "tree_stand", "building", "obstacle", "pole", "mast", "overhead_line")


def draw_ground(view: PlanView) -> None:
    """Draw water and structures, low to high."""
    _waters(view)
    for kind in _ORDER:
        for structure in view.shown:
            if structure.kind == kind:
                _structure(view, structure)


def _waters(view: PlanView) -> None:
    for water in view.scene.waters:
        if not view.meets_window(_bounds(water.outline)):
            continue
        near = _near(view, water.outline)
        for part in _rings(near):
            view.low.append(Path(Role.BANK, part, closed=True))
        for inset in (1.2, 3.0, 5.0):
            for part in _rings(near.buffer(-inset / view.scale)):
                view.low.append(Path(Role.LINING, part, closed=True))


def _near(view: PlanView, outline: tuple[Point, ...]) -> Any:
    """Return the part of an area in the window and a little round it: its hatch and bows end where nobody sees them."""
    import shapely

    area = shapely.Polygon(outline)
    if not area.is_valid:
        area = shapely.make_valid(area)
    x0, y0, x1, y1 = view.window_m
    margin = _AROUND_MM / view.scale
    return area.intersection(shapely.box(x0 - margin, y0 - margin, x1 + margin, y1 + margin))


def _outlines(view: PlanView, structure: PlanStructure) -> Iterator[tuple[Point, ...]]:
    """Yield a structure's outline, or what of it is near the window where it reaches far beyond."""
    x0, y0, x1, y1 = view.window_m
    margin = _AROUND_MM / view.scale
    left, bottom, right, top = structure.bounds
    if left >= x0 - margin and bottom >= y0 - margin and right <= x1 + margin and top <= y1 + margin:
        yield structure.points
    else:
        yield from _rings(_near(view, structure.points))


def _structure(view: PlanView, structure: PlanStructure) -> None:
    if structure.kind in ("pole", "mast"):
        symbol = pole if structure.kind == "pole" else mast
        view.low.append(symbol(structure.points[0]))
        view.placer.take(Box(*view.mm(structure.points[0]), 1.3, 1.3))
        return
    if structure.kind == "overhead_line":
        _overhead(view, structure.points)
        return
    size = max(_extent(structure.points)) * view.scale
    if structure.kind == "obstacle" and structure.swing_radius_m:
        middle = _middle(structure.points)
        view.low.append(Arc(Role.ENVELOPE, middle, structure.swing_radius_m))
    if size < _SMALL_MM:
        if structure.kind == "obstacle":
            view.low.append(obstacle_cross(_middle(structure.points)))
        return
    roles = {
        "building": Role.BUILDING,
        "tree_stand": Role.TREES,
        "obstacle": Role.OBSTACLE,
        "traffic_area": Role.ENVELOPE,
        "zone": Role.LIMIT,
    }
    role = roles[structure.kind]
    pitch = hatch_pitch_mm(structure.height_m)
    if structure.kind == "building" and pitch is None:
        role = Role.LOW_BUILDING
    for outline in _outlines(view, structure):
        drawn = _scallops(outline, 2.0 / view.scale) if structure.kind == "tree_stand" else outline
        view.low.append(Path(role, drawn, closed=True))
        _avoid(view, outline)
        if structure.kind == "building" and pitch is not None:
            strokes = hatch_band(outline, pitch / view.scale, BAND_MM / view.scale)
            view.low.extend(Path(Role.HATCH, stroke) for stroke in strokes)
    if structure.kind == "tree_stand":
        _stars(view, structure)
    if structure.kind == "obstacle":
        x0, y0, x1, y1 = _bounds(structure.points)
        view.low += [Path(Role.FINE, ((x0, y0), (x1, y1))), Path(Role.FINE, ((x0, y1), (x1, y0)))]


def _avoid(view: PlanView, outline: tuple[Point, ...]) -> None:
    corners = [view.mm(p) for p in outline]
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        part = line_seen(a, b, view.width_mm, view.height_mm)
        if part is not None:
            view.placer.avoid_line(*part)


def _stars(view: PlanView, structure: PlanStructure) -> None:
    width, height = _extent(structure.points)
    if min(width, height) * view.scale > 8.0:
        x, y = _middle(structure.points)
        for dx, dy in ((-0.18, 0.1), (0.16, 0.18), (0.06, -0.2)):
            view.low.append(tree_star((x + dx * width, y + dy * height)))


def _overhead(view: PlanView, route: tuple[Point, ...]) -> None:
    """A 5 mm line with the letter E in the gap."""
    for a, b in pairwise(route):
        (ax, ay), (bx, by) = view.mm(a), view.mm(b)
        length = math.hypot(bx - ax, by - ay)
        if length < 0.5:
            continue
        ux, uy = (bx - ax) / length, (by - ay) / length
        # a line may run far beyond the window: only the steps near it are walked, from where they would have stood
        middle = (view.width_mm / 2.0 - ax) * ux + (view.height_mm / 2.0 - ay) * uy
        reach = math.hypot(view.width_mm, view.height_mm) / 2.0 + _AROUND_MM
        done = max(0.0, (middle - reach) // 8.0 * 8.0)
        while done < min(length, middle + reach):
            end = min(done + 5.0, length)
            if view.in_view(ax + ux * done, ay + uy * done):
                view.high.append(
                    Path(
                        Role.OVERHEAD_LINE,
                        (view.m(ax + ux * done, ay + uy * done), view.m(ax + ux * end, ay + uy * end)),
                    )
                )
                x, y = ax + ux * (end + 1.5), ay + uy * (end + 1.5)
                if end + 3.0 <= length and 2.0 < x < view.width_mm - 2.0 and 2.0 < y < view.height_mm - 2.0:
                    view.high.append(Words(Role.WORDS, view.m(x, y), "E", 1.8, bold=True, align="middle"))
            done += 8.0
        part = line_seen((ax, ay), (bx, by), view.width_mm, view.height_mm)
        if part is not None:
            view.placer.take_line(*part, 1.0)


def draw_names(view: PlanView) -> None:
    """Write names where they find room: inside a building that clears its hatch, else beside it."""
    for structure in view.shown:
        if not structure.name or structure.kind in ("pole", "mast", "overhead_line"):
            continue
        text = structure.name.upper()
        x, y = view.mm(_middle(structure.points))
        width, height = (d * view.scale for d in _extent(structure.points))
        text_width = letters_width_mm(text, _NAME_MM)
        if max(width, height) < _SMALL_MM:
            continue
        if (
            structure.kind == "building"
            and text_width + 2 * BAND_MM + 1.0 < width
            and height > 2 * BAND_MM + _NAME_MM + 1.0
        ):
            box = Box(x, y, text_width / 2 + 0.3, _NAME_MM / 2 + 0.3)
            if view.placer.free(box):
                view.placer.take(box)
                view.words(Placed(x, y, 0.0), text, _NAME_MM)
                continue
        placed = view.placer.first_free(
            [
                (x + width / 2 + text_width / 2 + 1.2, y),
                (x, y + height / 2 + 2.2),
                (x, y - height / 2 - 2.2),
                (x - width / 2 - text_width / 2 - 1.2, y),
            ],
            text_width / 2 + 0.5,
            _NAME_MM / 2 + 0.5,
            only_clear=True,
        )
        if placed:
            view.words(Placed(*placed, 0.0), text, _NAME_MM)
    for water in view.scene.waters:
        if water.name and view.meets_window(_bounds(water.outline)):
            _water_name(view, water.name, water.outline)


def _water_name(view: PlanView, name: str, outline: tuple[Point, ...]) -> None:
    import shapely

    area = shapely.Polygon(outline)
    if not area.is_valid:
        area = shapely.make_valid(area)
    half = letters_width_mm(name, 2.5) / 2.0
    for y in range(5, int(view.height_mm) - 3, 5):
        for x in range(int(half) + 3, int(view.width_mm - half) - 2, 8):
            corners = [view.m(x + dx, y + dy) for dx, dy in ((-half, -2), (half, -2), (half, 2), (-half, 2))]
            if area.contains(shapely.Polygon(corners)):
                found = view.placer.first_free([(float(x), float(y))], half + 0.3, 1.6)
                if found:
                    view.high.append(
                        Words(Role.WORDS, view.m(*found), name, 2.5, italic=True, align="middle", halo=True)
                    )
                    return


def _rings(area: object) -> list[tuple[Point, ...]]:
    """Outer rings of whatever polygons a geometry holds."""
    import shapely

    return [
        tuple((x, y) for x, y in part.exterior.coords[:-1])
        for part in shapely.get_parts(area)
        if part.geom_type == "Polygon" and not part.is_empty
    ]


def _scallops(outline: tuple[Point, ...], pitch_m: float) -> tuple[Point, ...]:
    """Turn an outline into small outward bows of about one pitch each, as short strokes."""
    ring = (*outline, outline[0])
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring)) / 2.0
    outward = -1.0 if area > 0 else 1.0
    points: list[Point] = []
    for a, b in pairwise(ring):
        length = math.hypot(b[0] - a[0], b[1] - a[1])
        count = max(1, min(200, round(length / pitch_m)))
        ux, uy = (b[0] - a[0]) / count, (b[1] - a[1]) / count
        for i in range(count):
            x, y = a[0] + i * ux, a[1] + i * uy
            for step in range(5):
                t = step / 5.0
                bow = 1.1 * math.sin(math.pi * t) * 0.5
                points.append((x + t * ux - outward * uy * bow, y + t * uy + outward * ux * bow))
    return tuple(points)


def _bounds(points: tuple[Point, ...]) -> tuple[float, float, float, float]:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def _extent(points: tuple[Point, ...]) -> tuple[float, float]:
    x0, y0, x1, y1 = _bounds(points)
    return x1 - x0, y1 - y0


def _middle(points: tuple[Point, ...]) -> Point:
    x0, y0, x1, y1 = _bounds(points)
    return (x0 + x1) / 2.0, (y0 + y1) / 2.0
