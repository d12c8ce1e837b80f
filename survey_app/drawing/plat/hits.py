"""What lies under a point of the plan, what lies in a rectangle, and how far things reach."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from survey_app.drawing.plat.areas import distance_to_line, inside
from survey_app.drawing.plat.cameras import shown_cameras
from survey_app.drawing.plat.ground import shown_areas
from survey_app.drawing.plat.hops import shown_hops
from survey_app.drawing.plat.marks import Mark, box_places, marks, wire_points
from survey_app.drawing.plat.plat import Plat
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import Hit, PlatView, Wish

__all__ = ["bounds", "hits", "within"]

Floats = NDArray[np.float64]
Window = tuple[float, float, float, float]
_FLAG_MM = 2.9


def hits(
    scene: PlatScene,
    plat: Plat | None,
    view: PlatView,
    x_m: float,
    y_m: float,
    tolerance_px: float,
    wish: Wish | None = None,
) -> tuple[Hit, ...]:
    """Return what lies under a point, the uppermost first.

    Parameters
    ----------
    scene : PlatScene
        The site.
    plat : Plat or None
        What was drawn: where flags and words stand. None = they are not looked for.
    view : PlatView
        The view in which the point was pointed at.
    x_m, y_m : float
        The point. [m]
    tolerance_px : float
        How far beside a line or a symbol still counts. [px]
    wish : Wish or None
        What is shown; hidden and lifted things are not found.
    """
    seen = scene.lifting(wish or Wish())
    tolerance_m = tolerance_px / view.px_per_m
    near = PlatView(
        (
            x_m - 12.0 / view.mm_per_m,
            y_m - 12.0 / view.mm_per_m,
            x_m + 12.0 / view.mm_per_m,
            y_m + 12.0 / view.mm_per_m,
        ),
        view.px_per_m,
        view.px_per_mm,
        view.tier,
    )
    search = _Search(scene, plat, near, seen, x_m, y_m, tolerance_m)
    found: list[Hit] = []
    for group in (search.flags, search.symbols, search.words, search.hops, search.wires, search.edges, search.insides):
        found += group()
    unique: dict[tuple[str, str], Hit] = {}
    for hit in found:
        unique.setdefault((hit.kind, hit.id), hit)
    return tuple(unique.values())


class _Search:
    def __init__(
        self,
        scene: PlatScene,
        plat: Plat | None,
        view: PlatView,
        wish: Wish,
        x_m: float,
        y_m: float,
        tolerance_m: float,
    ) -> None:
        self.scene, self.plat, self.view, self.wish = scene, plat, view, wish
        self.x, self.y, self.tolerance = x_m, y_m, tolerance_m
        self.layout = scene.layout(view.mm_per_m, view.tier)
        self.marks = marks(scene, self.layout, view, wish)

    def _away(self, at: tuple[float, float]) -> float:
        return math.hypot(at[0] - self.x, at[1] - self.y)

    def flags(self) -> list[Hit]:
        if self.plat is None or "flags" in self.wish.hidden:
            return []
        reach = _FLAG_MM / self.view.mm_per_m
        near = [(self._away(flag.at), flag) for flag in self.plat.flags]
        return [Hit(flag.finding, "findings", "symbol", d) for d, flag in sorted(near, key=_first) if d <= reach]

    def symbols(self) -> list[Hit]:
        """Symbols from the top of the stack down, of one level the nearest first."""
        found: list[tuple[int, float, Hit]] = []
        for mark in self.marks:
            away = self._away(mark.symbol.at)
            if away <= max(mark.half_mm / self.view.mm_per_m, self.tolerance):
                found += self._of_mark(mark, away)
        for spot in shown_cameras(self.layout, self.view, self.wish):
            away = self._away(spot.at)
            if away <= max(1.5 / self.view.mm_per_m, self.tolerance):
                found.append((_CAMERA_LEVEL, away, Hit(spot.id, "cameras", "symbol", away)))
        return [hit for _, _, hit in sorted(found, key=lambda row: (-row[0], row[1], row[2].id))]

    def _of_mark(self, mark: Mark, away: float) -> Iterator[tuple[int, float, Hit]]:
        ids = self.layout.radios[mark.id].ids if mark.collection == "radios" else (mark.id,)
        for n, one in enumerate(reversed(ids)):
            yield mark.level, away + n * 1e-9, Hit(one, mark.collection, "symbol", away)

    def words(self) -> list[Hit]:
        if self.plat is None:
            return []
        found = []
        for box in self.plat.words_boxes:
            turn = math.radians(box.turn_deg)
            dx, dy = (self.x - box.x_m) * self.view.mm_per_m, (self.y - box.y_m) * self.view.mm_per_m
            along, across = dx * math.cos(turn) - dy * math.sin(turn), dx * math.sin(turn) + dy * math.cos(turn)
            if abs(along) <= box.half_width_mm + 0.4 and abs(across) <= box.half_height_mm + 0.4:
                found.append(Hit(box.id, box.kind, "words", 0.0))
        return found

    def hops(self) -> list[Hit]:
        lines = shown_hops(self.scene, self.layout, self.view, self.wish)
        found = []
        for hop, a, b in zip(lines.hops, lines.a, lines.b, strict=True):
            away, _ = distance_to_line(np.array([a, b]), False, self.x, self.y)
            if away <= self.tolerance:
                found.append((away, Hit(hop.id, "hops", "line", away)))
        return [hit for _, hit in sorted(found, key=_first)]

    def wires(self) -> list[Hit]:
        if "wires" in self.wish.hidden or self.view.tier >= 3:
            return []
        boxes = box_places(self.scene, self.marks)
        found = []
        for wire in self.scene.site.design.wires:
            if not self.wish.lifted.isdisjoint((wire.id, wire.a.thing, wire.b.thing)):
                continue
            points = wire_points(self.scene, self.layout, boxes, wire.id)
            if len(points) > 1:
                away, _ = distance_to_line(np.array(points), False, self.x, self.y)
                if away <= self.tolerance:
                    found.append((away, Hit(wire.id, "wires", "line", away)))
        return [hit for _, hit in sorted(found, key=_first)]

    def edges(self) -> list[Hit]:
        """Openings, then corners, then edges, the nearest first."""
        found = []
        for area in shown_areas(self.scene, self._touching(), self.wish):
            to_corner = np.hypot(area.ring[:, 0] - self.x, area.ring[:, 1] - self.y)
            corner = int(np.argmin(to_corner))
            away, edge = distance_to_line(area.ring, area.closed, self.x, self.y)
            if area.kind == "opening" and away <= self.tolerance:
                # it lies on its wall and is the smaller of the two
                found.append((-1, away, Hit(area.id, area.collection, "edge 0", away)))
            elif to_corner[corner] <= self.tolerance:
                found.append((0, float(to_corner[corner]), Hit(area.id, area.collection, f"corner {corner}", away)))
            elif away <= self.tolerance:
                found.append((1, away, Hit(area.id, area.collection, f"edge {edge}", away)))
        return [hit for _, _, hit in sorted(found, key=lambda row: (row[0], row[1], row[2].id))]

    def insides(self) -> list[Hit]:
        """Areas round the point, the smallest first."""
        found = [
            (area.extent_m, Hit(area.id, area.collection, "area", 0.0))
            for area in shown_areas(self.scene, self._touching(), self.wish)
            if area.closed and area.kind != "boundary" and inside(area.ring, self.x, self.y)
        ]
        return [hit for _, hit in sorted(found, key=_first)]

    def _touching(self) -> PlatView:
        t = self.tolerance
        window = (self.x - t, self.y - t, self.x + t, self.y + t)
        return PlatView(window, self.view.px_per_m, self.view.px_per_mm, self.view.tier)


_CAMERA_LEVEL = 12


def _first(row: tuple[float, object]) -> float:
    return row[0]


def within(
    scene: PlatScene, x0_m: float, y0_m: float, x1_m: float, y1_m: float, touching: bool = False
) -> tuple[str, ...]:
    """Return the things inside a rectangle with two given corners, in the order of the design. [m]

    With `touching` a thing that only reaches into the rectangle counts as well.
    """
    window = (min(x0_m, x1_m), min(y0_m, y1_m), max(x0_m, x1_m), max(y0_m, y1_m))
    found = []
    for thing_id in scene.things:
        points = _shape_of(scene, thing_id)
        if points is None:
            continue
        line, closed = points
        x, y = line.T
        inner = (x >= window[0]) & (x <= window[2]) & (y >= window[1]) & (y <= window[3])
        if inner.all() or (touching and (inner.any() or _crosses(line, closed, window))):
            found.append(thing_id)
    return tuple(found)


def _crosses(line: Floats, closed: bool, window: Window) -> bool:
    import shapely

    if len(line) < 2:
        return False
    shape = shapely.Polygon(line) if closed and len(line) > 2 else shapely.LineString(line)
    return bool(shapely.intersects(shapely.make_valid(shape), shapely.box(*window)))


def _shape_of(scene: PlatScene, thing_id: str) -> tuple[Floats, bool] | None:
    """Return where a thing lies on the plane, and whether it is an area. [m]"""
    if thing_id in scene.areas:
        area = scene.areas[thing_id]
        return area.ring, area.closed
    if thing_id in scene.hops:
        hop = scene.hops[thing_id]
        return np.array([hop.access_point.at, hop.station.at]), False
    if thing_id in scene.radios:
        return np.array([scene.radios[thing_id].at]), False
    if thing_id in scene.wires:
        wire = scene.wires[thing_id]
        ends = [scene.spot(wire.a.thing), scene.spot(wire.b.thing)]
        route = scene.placed.outlines.get(thing_id, np.empty((0, 2)))
        points = [*ends[:1], *route.tolist(), *ends[1:]]
        array = np.array([p for p in points if p is not None], dtype=np.float64).reshape(-1, 2)
        return (array, False) if len(array) and np.isfinite(array).all() else None
    at = scene.point(thing_id)
    return None if at is None else (np.array([at]), False)


def bounds(scene: PlatScene, ids: Iterable[str] | None = None) -> Window | None:
    """Return the rectangle round some things, or round the whole site; None where nothing lies.

    Of the whole site landmarks do not count, for most lie far outside, and water only where there is nothing else.
    """
    if ids is None:
        design = scene.site.design
        beside = {row.id for row in (*design.landmarks, *design.waters)}
        wanted = (scene.things.keys() - beside) or set(scene.things)
    else:
        wanted = set(ids)
    low, high = np.full(2, np.inf), np.full(2, -np.inf)
    for thing_id in wanted:
        if thing_id in scene.areas:
            b = scene.areas[thing_id].bounds
            low, high = np.minimum(low, b[:2]), np.maximum(high, b[2:])
            continue
        shape = _shape_of(scene, thing_id)
        if shape is None:
            at = scene.spot(thing_id)
            shape = None if at is None else (np.array([at]), False)
        if shape is not None:
            low, high = np.minimum(low, shape[0].min(axis=0)), np.maximum(high, shape[0].max(axis=0))
    if not np.isfinite(low).all():
        return None
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])
