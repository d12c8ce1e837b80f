"""The plan clip of a mounting sheet: the radio, its far ends, what stands round them, the aim and the turn to it."""

from __future__ import annotations

import math

from survey_app.drawing.hatch import BAND_MM, hatch_band, hatch_pitch_mm
from survey_app.drawing.labels import Box, Placed, Placer
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.plan_scene import PlanEnd, PlanHop, PlanScene, PlanStructure
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Disc, Drawing, Path, Point, Shape, Symbol, Words
from survey_app.drawing.symbols import (
    access_point,
    arrow_head,
    landmark,
    mast,
    north_arrow,
    obstacle_cross,
    pole,
    relay,
    station,
    tree_star,
)

__all__ = ["SCALES", "plan_clip"]

SCALES = tuple(round(step * 10**power) for power in range(1, 6) for step in (10, 12.5, 15, 20, 25, 30, 40, 50, 60, 75))
"""Scales that a plan clip may have, as 1 : n."""

_SIDE_MARGIN_MM = 11.0
_TOP_MARGIN_MM = 6.0
_SMALL_MM = 1.6
_NAME_MM = 1.8
_ID_MM = 3.5
_AIM_WORDS_MM = 2.5


def plan_clip(scene: PlanScene, width_mm: float, height_mm: float) -> tuple[Drawing, int]:
    """Return the clip and its scale.

    Parameters
    ----------
    scene : PlanScene
        What is shown.
    width_mm, height_mm : float
        Size on paper. [mm]

    Returns
    -------
    Drawing
        Shapes low to high, with every label that found room.
    int
        n of the scale 1 : n.
    """
    return _Clip(scene, width_mm, height_mm).draw()


class _Clip:
    def __init__(self, scene: PlanScene, width_mm: float, height_mm: float) -> None:
        self._scene = scene
        self._width, self._height = width_mm, height_mm
        points = [scene.radio.at, *(hop.far.at for hop in scene.hops)]
        x0, x1 = min(p[0] for p in points), max(p[0] for p in points)
        y0, y1 = min(p[1] for p in points), max(p[1] for p in points)
        room_x, room_y = width_mm - 2 * _SIDE_MARGIN_MM, height_mm - 2 * _TOP_MARGIN_MM
        needed = max((x1 - x0) * 1000.0 / room_x, (y1 - y0) * 1000.0 / room_y, 400.0)
        self._n = next((n for n in SCALES if n >= needed), SCALES[-1])
        self._scale = 1000.0 / self._n
        middle_x, middle_y = (x0 + x1) / 2.0, (y0 + y1) / 2.0
        half_x, half_y = width_mm / 2.0 / self._scale, height_mm / 2.0 / self._scale
        self._window = (middle_x - half_x, middle_y - half_y, middle_x + half_x, middle_y + half_y)
        self._placer = Placer(width_mm, height_mm)
        self._low: list[Shape] = []
        self._high: list[Shape] = []

    def draw(self) -> tuple[Drawing, int]:
        scene = self._scene
        self._waters()
        shown = [s for s in scene.structures if self._meets_window(s.points)]
        for kind in ("traffic_area", "tree_stand", "building", "obstacle", "pole", "mast", "overhead_line"):
            for structure in shown:
                if structure.kind == kind:
                    self._structure(structure)
        self._take_symbols()
        self._hops()
        self._limits()
        self._aim_and_sight()
        self._ends()
        self._furniture()
        self._flags()
        self._names(shown)
        return Drawing((*self._low, *self._high), self._window, self._scale), self._n

    # geometry

    def _mm(self, point: Point) -> Point:
        return (point[0] - self._window[0]) * self._scale, (point[1] - self._window[1]) * self._scale

    def _m(self, x_mm: float, y_mm: float) -> Point:
        return self._window[0] + x_mm / self._scale, self._window[1] + y_mm / self._scale

    def _meets_window(self, points: tuple[Point, ...]) -> bool:
        x0, y0, x1, y1 = self._window
        return (
            min(p[0] for p in points) <= x1
            and max(p[0] for p in points) >= x0
            and min(p[1] for p in points) <= y1
            and max(p[1] for p in points) >= y0
        )

    def _to_edge(self, bearing_deg: float, start: Point) -> Point:
        """Return where a ray from a point of the window leaves it. [mm]"""
        ux, uy = math.sin(math.radians(bearing_deg)), math.cos(math.radians(bearing_deg))
        reaches = []
        if abs(ux) > 1e-9:
            reaches.append(((self._width if ux > 0 else 0.0) - start[0]) / ux)
        if abs(uy) > 1e-9:
            reaches.append(((self._height if uy > 0 else 0.0) - start[1]) / uy)
        reach = max(min(reaches), 0.0)
        return start[0] + ux * reach, start[1] + uy * reach

    # ground and structures

    def _waters(self) -> None:
        import shapely

        for water in self._scene.waters:
            if not self._meets_window(water.outline):
                continue
            x0, y0, x1, y1 = self._window
            area = shapely.Polygon(water.outline)
            if not area.is_valid:
                area = shapely.make_valid(area)
            margin = 20.0 / self._scale
            near = area.intersection(shapely.box(x0 - margin, y0 - margin, x1 + margin, y1 + margin))
            for part in _rings(near):
                self._low.append(Path(Role.BANK, part, closed=True))
            for inset in (1.2, 3.0, 5.0):
                for part in _rings(near.buffer(-inset / self._scale)):
                    self._low.append(Path(Role.LINING, part, closed=True))

    def _structure(self, structure: PlanStructure) -> None:
        if structure.kind in ("pole", "mast"):
            symbol = pole if structure.kind == "pole" else mast
            self._low.append(symbol(structure.points[0]))
            self._placer.take(Box(*self._mm(structure.points[0]), 1.3, 1.3))
            return
        if structure.kind == "overhead_line":
            self._overhead(structure.points)
            return
        size = max(_extent(structure.points)) * self._scale
        if structure.kind == "obstacle" and structure.swing_radius_m:
            middle = _middle(structure.points)
            self._low.append(Arc(Role.ENVELOPE, middle, structure.swing_radius_m))
        if size < _SMALL_MM:
            if structure.kind == "obstacle":
                self._low.append(obstacle_cross(_middle(structure.points)))
            return
        roles = {"building": Role.BUILDING, "tree_stand": Role.TREES, "obstacle": Role.OBSTACLE, "traffic_area": Role.ENVELOPE}
        role = roles[structure.kind]
        pitch = hatch_pitch_mm(structure.height_m)
        if structure.kind == "building" and pitch is None:
            role = Role.LOW_BUILDING
        if structure.kind == "tree_stand":
            self._trees(structure)
            return
        self._low.append(Path(role, structure.points, closed=True, holes=structure.holes))
        corners = [self._mm(p) for p in structure.points]
        for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
            self._placer.avoid_line(a, b)
        if structure.kind == "building" and pitch is not None:
            strokes = hatch_band(structure.points, structure.holes, pitch / self._scale, BAND_MM / self._scale)
            self._low.extend(Path(Role.HATCH, stroke) for stroke in strokes)
        if structure.kind == "obstacle":
            x0, y0, x1, y1 = _bounds(structure.points)
            self._low += [Path(Role.FINE, ((x0, y0), (x1, y1))), Path(Role.FINE, ((x0, y1), (x1, y0)))]

    def _trees(self, structure: PlanStructure) -> None:
        scallops = _scallops(structure.points, 2.0 / self._scale)
        self._low.append(Path(Role.TREES, scallops, closed=True))
        width, height = _extent(structure.points)
        if min(width, height) * self._scale > 8.0:
            x, y = _middle(structure.points)
            for dx, dy in ((-0.18, 0.1), (0.16, 0.18), (0.06, -0.2)):
                self._low.append(tree_star((x + dx * width, y + dy * height)))

    def _overhead(self, route: tuple[Point, ...]) -> None:
        """A 5 mm line with the letter E in the gap."""
        for a, b in zip(route, route[1:], strict=False):
            (ax, ay), (bx, by) = self._mm(a), self._mm(b)
            length = math.hypot(bx - ax, by - ay)
            if length < 0.5:
                continue
            ux, uy = (bx - ax) / length, (by - ay) / length
            done = 0.0
            while done < length:
                end = min(done + 5.0, length)
                if self._in_view(ax + ux * done, ay + uy * done):
                    self._high.append(Path(Role.OVERHEAD_LINE, (self._m(ax + ux * done, ay + uy * done), self._m(ax + ux * end, ay + uy * end))))
                    x, y = ax + ux * (end + 1.5), ay + uy * (end + 1.5)
                    if end + 3.0 <= length and 2.0 < x < self._width - 2.0 and 2.0 < y < self._height - 2.0:
                        self._high.append(Words(Role.WORDS, self._m(x, y), "E", 1.8, bold=True, align="middle"))
                done += 8.0
            self._placer.take_line((ax, ay), (bx, by), 1.0)

    def _in_view(self, x: float, y: float) -> bool:
        return -6.0 < x < self._width + 6.0 and -6.0 < y < self._height + 6.0

    # radio

    def _take_symbols(self) -> None:
        for end in (self._scene.radio, *(hop.far for hop in self._scene.hops)):
            self._placer.take(Box(*self._mm(end.at), 2.4, 2.4))

    def _edges(self, hop: PlanHop) -> tuple[Point, Point]:
        """Return a hop's line between the edges of the symbols. [mm]"""
        a, b = self._mm(self._scene.radio.at), self._mm(hop.far.at)
        length = math.hypot(b[0] - a[0], b[1] - a[1])
        if length < 6.0:
            return a, b
        ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        return (a[0] + 2.4 * ux, a[1] + 2.4 * uy), (b[0] - 2.4 * ux, b[1] - 2.4 * uy)

    def _hops(self) -> None:
        alone = len(self._scene.hops) == 1 and self._scene.aim_deg is not None
        for hop in self._scene.hops:
            a, b = self._edges(hop)
            self._placer.take_line(a, b, 0.4)
            if alone and hop.cut_at is None:
                continue
            if hop.cut_at is not None:
                self._cut_hop(a, b, hop.cut_at)
            elif hop.checked:
                self._low.append(self._line(Role.HOP_THIN, a, b))
            else:
                length = math.hypot(b[0] - a[0], b[1] - a[1]) or 1.0
                nx, ny = -(b[1] - a[1]) / length * 0.45, (b[0] - a[0]) / length * 0.45
                for s in (1.0, -1.0):
                    self._low.append(self._line(Role.HOP_UNCHECKED, (a[0] + s * nx, a[1] + s * ny), (b[0] + s * nx, b[1] + s * ny)))

    def _cut_hop(self, a: Point, b: Point, cut_at: float) -> None:
        length = math.hypot(b[0] - a[0], b[1] - a[1])
        if length < 10.0:
            self._low.append(self._line(Role.HOP_BEHIND_CUT, a, b))
            return
        ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        at = min(max(cut_at * length, 4.0), length - 4.0)
        first, second = at - 1.6, at + 1.6
        self._low.append(self._line(Role.HOP_THIN, a, (a[0] + ux * first, a[1] + uy * first)))
        self._low.append(self._line(Role.HOP_BEHIND_CUT, (a[0] + ux * second, a[1] + uy * second), b))
        for reach in (first, second):
            x, y = a[0] + ux * reach, a[1] + uy * reach
            self._low.append(self._line(Role.HOP_THIN, (x - uy * 1.3, y + ux * 1.3), (x + uy * 1.3, y - ux * 1.3)))

    def _line(self, role: Role, a: Point, b: Point) -> Path:
        return Path(role, (self._m(*a), self._m(*b)))

    def _limits(self) -> None:
        scene = self._scene
        if scene.limit_deg is None or scene.aim_deg is None:
            return
        start = self._mm(scene.radio.at)
        for side in (-scene.limit_deg, scene.limit_deg):
            edge = self._to_edge(scene.aim_deg + side, start)
            self._low.append(self._line(Role.LIMIT, start, edge))
            self._placer.take_line(start, edge, 0.2)

    def _aim_and_sight(self) -> None:
        scene = self._scene
        if scene.aim_deg is None:
            return
        start = self._mm(scene.radio.at)
        ux, uy = math.sin(math.radians(scene.aim_deg)), math.cos(math.radians(scene.aim_deg))
        reach = self._aim_reach(start)
        tip = (start[0] + ux * reach, start[1] + uy * reach)
        foot = (start[0] + ux * 2.4, start[1] + uy * 2.4)
        if reach > 8.0:
            neck = (tip[0] - ux * 4.0, tip[1] - uy * 4.0)
            self._high.append(self._line(Role.AIM, foot, neck))
            head = arrow_head((0.0, 0.0), scene.aim_deg, 5.2, 1.7)
            self._high.append(Symbol("aim", self._m(*tip), (head,)))
            self._placer.take_line(foot, tip, 1.2)
        self._landmark(start, reach)
        placed = self._placer.along_line(foot, tip, scene.aim_words, _AIM_WORDS_MM, 1.9)
        self._words(placed, scene.aim_words, _AIM_WORDS_MM, bold=True)

    def _aim_reach(self, start: Point) -> float:
        scene = self._scene
        if len(scene.hops) == 1:
            end = self._mm(scene.hops[0].far.at)
            return max(math.hypot(end[0] - start[0], end[1] - start[1]) - 2.8, 0.0)
        edge = self._to_edge(scene.aim_deg or 0.0, start)
        return min(math.hypot(edge[0] - start[0], edge[1] - start[1]) - 4.0, 44.0)

    def _landmark(self, start: Point, reach: float) -> None:
        scene = self._scene
        mark = scene.landmark
        if mark is None or scene.aim_deg is None:
            return
        edge = self._to_edge(mark.bearing_deg, start)
        room = math.hypot(edge[0] - start[0], edge[1] - start[1])
        ux, uy = math.sin(math.radians(mark.bearing_deg)), math.cos(math.radians(mark.bearing_deg))
        if room < 6.0:
            return
        neck = (start[0] + ux * (room - 1.0), start[1] + uy * (room - 1.0))
        self._high.append(self._line(Role.SIGHT, (start[0] + ux * 2.4, start[1] + uy * 2.4), neck))
        self._high.append(Symbol("to landmark", self._m(*edge), (arrow_head((0.0, 0.0), mark.bearing_deg, 3.6, 1.1),)))
        self._placer.take_line(start, edge, 0.4)
        radius = min(26.0, max(10.0, reach * 0.45), room - 5.0)
        if radius < 5.0:
            return
        centre = scene.radio.at
        self._high.append(Arc(Role.TURN, centre, radius / self._scale, mark.bearing_deg, mark.turn_deg))
        lead = 2.2 / radius * 57.3 * (1 if mark.turn_deg >= 0 else -1)
        heading = scene.aim_deg + (90.0 if mark.turn_deg >= 0 else -90.0) - lead / 2
        px, py = math.sin(math.radians(scene.aim_deg)), math.cos(math.radians(scene.aim_deg))
        tip = (start[0] + px * radius, start[1] + py * radius)
        self._high.append(Symbol("turn", self._m(*tip), (arrow_head((0.0, 0.0), heading, 2.6, 0.9),)))
        self._turn_words(start, radius)

    def _turn_words(self, start: Point, radius: float) -> None:
        """The turn's figure at its arc: inside the angle where there is room, else outside the arc."""
        mark = self._scene.landmark
        if mark is None:
            return
        half_width, half_height = letters_width_mm(mark.turn_words, _AIM_WORDS_MM) / 2.0, _AIM_WORDS_MM / 2.0
        for share, out in ((0.5, -5.5), (0.5, 5.5), (0.3, 5.5), (0.7, 5.5), (0.3, -5.5), (0.7, -5.5), (0.5, 9.0), (-0.25, 3.0)):
            bearing = math.radians(mark.bearing_deg + share * mark.turn_deg)
            x, y = start[0] + (radius + out) * math.sin(bearing), start[1] + (radius + out) * math.cos(bearing)
            box = Box(x, y, half_width + 0.4, half_height + 0.4)
            if self._placer.free(box):
                self._placer.take(box)
                self._words(Placed(x, y, 0.0), mark.turn_words, _AIM_WORDS_MM, bold=True)
                return

    def _ends(self) -> None:
        scene = self._scene
        for end in (*(hop.far for hop in scene.hops), scene.radio):
            self._high.append(_symbol(end))
        self._id(scene.radio, 3.5)
        for hop in scene.hops:
            self._id(hop.far, 3.5 if len(scene.hops) == 1 else 2.5)

    def _id(self, end: PlanEnd, height: float) -> None:
        placed = self._placer.at_point(self._mm(end.at), end.label, height, 3.2)
        self._words(placed, end.label, height, bold=True)

    # furniture and words

    def _furniture(self) -> None:
        """Title, north arrow, scale bar and the landmark's name, each in the first free corner."""
        width, height = self._width, self._height
        title = f"PLAN 1 : {self._n:,}".replace(",", "\N{THIN SPACE}")
        half = letters_width_mm(title, _NAME_MM) * 1.08 / 2.0
        corners = ((half + 3.0, height - 3.4), (width - half - 3.0, height - 3.4), (width / 2, height - 3.4), (half + 3.0, 3.4), (width - half - 3.0, 3.4))
        place = self._placer.first_free(corners, half + 0.5, 1.6) or corners[0]
        self._high.append(Words(Role.WORDS, self._m(*place), title, _NAME_MM, bold=True, align="middle", halo=True))
        self._scale_bar()
        self._north()
        mark = self._scene.landmark
        if mark is not None:
            words = f"{mark.name}, {mark.distance_words}"
            half = letters_width_mm(words, _AIM_WORDS_MM) / 2.0 + 7.5
            places = [(half + 2.5, 3.6), (width - half - 2.5, 3.6), (half + 2.5, height - 7.5), (half + 2.5, 8.2), (width - half - 2.5, 8.2)]
            place = self._placer.first_free(places, half, 2.0) if half < width / 2 else None
            if place:
                x = place[0] - half
                self._high.append(landmark(self._m(x + 9.0, place[1])))
                self._high.append(self._line(Role.SIGHT, (x, place[1]), (x + 6.4, place[1])))
                self._high.append(Words(Role.WORDS, self._m(x + 12.4, place[1]), words, _AIM_WORDS_MM, halo=True))

    def _north(self) -> None:
        width, height = self._width, self._height
        places = [(width - 8.5, height - 10.0), (8.5, height - 10.0), (width - 8.5, 10.0), (8.5, 10.0), (width / 2, height - 10.0)]
        place = self._placer.first_free(places, 6.0, 8.6)
        if place is None:
            place = self._placer.first_free([(x, y) for x in range(8, int(width) - 8, 8) for y in (int(height) - 10, 10)], 5.0, 8.6)
        if place is None:
            return
        x, y = place[0], place[1] - 8.2
        declination = self._scene.declination_deg
        self._high.append(north_arrow(self._m(x, y), declination))
        self._high.append(Words(Role.WORDS, self._m(x, y + 15.2), self._scene.north, 2.5, bold=True, align="middle", halo=True))
        if declination is not None:
            side = 1.0 if declination >= 0.0 else -1.0
            turn = math.radians(max(9.0, min(abs(declination), 60.0)))
            tip = (x + side * (10.5 * math.sin(turn) + 0.9), y + 10.5 * math.cos(turn))
            self._high.append(Words(Role.WORDS, self._m(*tip), "MN", 1.8, align="start" if side > 0 else "end"))

    def _scale_bar(self) -> None:
        width, height = self._width, self._height
        for longest in (26.0, 18.0, 11.0):
            length_m = _round_length(longest / self._scale)
            length = length_m * self._scale
            half = length / 2.0 + 5.0
            places = [
                (half + 2.0, 3.8),
                (width - half - 2.0, 3.8),
                *((float(x), float(y)) for y in (4, 9, 14, int(height) - 8) for x in range(int(half) + 2, int(width - half) - 2, 6)),
            ]
            place = self._placer.first_free(places, half, 3.0)
            if place:
                break
        else:
            # there is always a scale bar: over whatever lies in the corner
            place = (half + 2.0, 3.8)
            ground = ((2.0, 1.0), (2.0 + 2 * half, 1.0), (2.0 + 2 * half, 6.8), (2.0, 6.8))
            self._high.append(Path(Role.BLANK, tuple(self._m(*p) for p in ground), closed=True))
        x, y = place[0] - length / 2.0, place[1] - 2.2
        ring = ((x, y), (x + length, y), (x + length, y + 1.0), (x, y + 1.0))
        self._high.append(Path(Role.LOW_BUILDING, tuple(self._m(*p) for p in ring), closed=True))
        half_ring = ((x, y), (x + length / 2, y), (x + length / 2, y + 1.0), (x, y + 1.0))
        self._high.append(Path(Role.SOLID, tuple(self._m(*p) for p in half_ring), closed=True))
        for text, at in (("0", x), (f"{length_m:g} m", x + length)):
            self._high.append(Words(Role.WORDS, self._m(at, y + 3.2), text, _NAME_MM, align="middle"))

    def _flags(self) -> None:
        for flag in self._scene.flags:
            x, y = self._mm(flag.at)
            if not (0.0 < x < self._width and 0.0 < y < self._height):
                continue
            turns = [(x + r * math.sin(a), y + r * math.cos(a)) for r in (8.0, 12.0, 18.0, 25.0) for a in (0.8, 2.4, 3.9, 5.5, 1.6, 4.7, 0.0, 3.1)]
            place = self._placer.first_free(turns, 2.8, 2.8)
            if place is None:
                continue
            self._high.append(self._line(Role.THIN, (x, y), place))
            self._high.append(Disc(Role.SOLID, flag.at, 0.35 / self._scale))
            self._high.append(_flag_symbol(flag.severity, self._m(*place)))
            role = Role.WORDS_LIGHT if flag.severity == "stop" else Role.WORDS
            lower = -0.4 if flag.severity == "warn" else 0.0
            self._high.append(Words(role, self._m(place[0], place[1] + lower), str(flag.number), 1.8, bold=True, align="middle"))

    def _names(self, shown: list[PlanStructure]) -> None:
        for structure in shown:
            if not structure.name or structure.kind in ("pole", "mast", "overhead_line"):
                continue
            text = structure.name.upper()
            x, y = self._mm(_middle(structure.points))
            width, height = (d * self._scale for d in _extent(structure.points))
            text_width = letters_width_mm(text, _NAME_MM)
            if max(width, height) < _SMALL_MM:
                continue
            if structure.kind == "building" and text_width + 2 * BAND_MM + 1.0 < width and height > 2 * BAND_MM + _NAME_MM + 1.0:
                box = Box(x, y, text_width / 2 + 0.3, _NAME_MM / 2 + 0.3)
                if self._placer.free(box):
                    self._placer.take(box)
                    self._words(Placed(x, y, 0.0), text, _NAME_MM)
                    continue
            placed = self._placer.first_free(
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
                self._words(Placed(*placed, 0.0), text, _NAME_MM)
        for water in self._scene.waters:
            if water.name and self._meets_window(water.outline):
                self._water_name(water.name, water.outline)

    def _water_name(self, name: str, outline: tuple[Point, ...]) -> None:
        import shapely

        area = shapely.Polygon(outline)
        if not area.is_valid:
            area = shapely.make_valid(area)
        half = letters_width_mm(name, 2.5) / 2.0
        for y in range(5, int(self._height) - 3, 5):
            for x in range(int(half) + 3, int(self._width - half) - 2, 8):
                corners = [self._m(x + dx, y + dy) for dx, dy in ((-half, -2), (half, -2), (half, 2), (-half, 2))]
                if area.contains(shapely.Polygon(corners)):
                    found = self._placer.first_free([(float(x), float(y))], half + 0.3, 1.6)
                    if found:
                        self._high.append(Words(Role.WORDS, self._m(*found), name, 2.5, italic=True, align="middle", halo=True))
                        return

    def _words(self, placed: Placed | None, text: str, height: float, *, bold: bool = False) -> None:
        if placed is not None:
            at = self._m(placed.x, placed.y)
            self._high.append(Words(Role.WORDS, at, text, height, turn_deg=placed.turn_deg, bold=bold, align="middle", halo=True))


def _symbol(end: PlanEnd) -> Symbol:
    if end.role == "access_point":
        return access_point(end.at, end.label)
    if end.role == "relay":
        return relay(end.at, end.bearing_deg or 0.0, end.label)
    return station(end.at, end.bearing_deg or 0.0, end.label)


def _flag_symbol(severity: str, at: Point) -> Symbol:
    if severity == "stop":
        corners = tuple((2.6 * math.cos(math.radians(22.5 + 45 * i)), 2.6 * math.sin(math.radians(22.5 + 45 * i))) for i in range(8))
        return Symbol("stop", at, (Path(Role.STOP, corners, closed=True),))
    if severity == "warn":
        return Symbol("warn", at, (Path(Role.WARN, ((0.0, 3.2), (2.9, -2.2), (-2.9, -2.2)), closed=True),))
    return Symbol("note", at, (Arc(Role.NOTE, (0.0, 0.0), 2.3),))


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
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:], strict=False)) / 2.0
    outward = -1.0 if area > 0 else 1.0
    points: list[Point] = []
    for a, b in zip(ring, ring[1:], strict=False):
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


def _round_length(longest_m: float) -> float:
    """The longest of 1, 2, 5, 10 … that is not over `longest_m`."""
    power = 10.0 ** math.floor(math.log10(longest_m))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= longest_m)
