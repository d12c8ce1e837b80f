"""A drawing of a site with the least that a canvas needs: what these tests see does not change with the plat."""

from __future__ import annotations

import math

from survey_app.desktop.desk import Desk
from survey_app.drawing import symbols
from survey_app.drawing.plat.view import Hit, PlatView, Wish
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Shape, Words
from survey_app.ground.place import Placed
from survey_app.site.site import Design
from survey_app.site.structure import Building

__all__ = ["PlainDrawer"]


class PlainDrawer:
    """Outlines, poles, radios and hops, with names and distances."""

    def __init__(self) -> None:
        self.updates = 0
        self.wishes: list[Wish] = []

    def update(self, desk: Desk) -> None:
        self.updates += 1
        self._design: Design = desk.site.design
        self._placed: Placed = desk.placed

    def cast(self, site: object, shadows: object) -> None:
        """This drawing knows no wedges."""

    def whole(self, view: PlatView, wish: Wish) -> tuple[Shape, ...]:
        self.wishes.append(wish)
        return (*self.lines(view, wish), *self._words(wish))

    def lines(self, view: PlatView, wish: Wish) -> tuple[Shape, ...]:
        shapes: list[Shape] = []
        for structure in self._design.structures:
            outline = self._placed.outlines.get(structure.id)
            if structure.id in wish.lifted:
                continue
            if outline is not None:
                role = Role.BUILDING if isinstance(structure, Building) else Role.ENVELOPE
                shapes.append(Path(role, tuple((float(x), float(y)) for x, y in outline), closed=True))
            elif structure.id in self._placed.points:
                shapes.append(symbols.pole(self._placed.points[structure.id][:2], structure.id))
        spots = {radio.id: self._placed.mounts[radio.mount][:2] for radio in self._design.radios}
        shapes += [Path(Role.HOP, (spots[hop.access_point], spots[hop.station])) for hop in self._design.hops]
        for radio in self._design.radios:
            make = symbols.access_point if radio.role == "access_point" else None
            at = spots[radio.id]
            shapes.append(make(at, radio.id) if make else symbols.station(at, 40.0, radio.id))
        return tuple(shapes)

    def _words(self, wish: Wish) -> list[Shape]:
        spots = {radio.id: self._placed.mounts[radio.mount][:2] for radio in self._design.radios}
        words: list[Shape] = []
        for hop in self._design.hops:
            (ax, ay), (bx, by) = spots[hop.access_point], spots[hop.station]
            turn = (math.degrees(math.atan2(bx - ax, by - ay)) - 90.0) % 180.0
            turn = turn - 180.0 if turn > 90.0 else turn
            text = f"{math.hypot(bx - ax, by - ay):.1f} m"
            words.append(
                Words(
                    Role.WORDS_RADIO,
                    ((ax + bx) / 2, (ay + by) / 2),
                    text,
                    12 * 0.76 / 4,
                    (0.0, 2.0),
                    turn_deg=turn,
                    align="middle",
                    halo=True,
                )
            )
        words += [
            Words(Role.WORDS_RADIO, spots[radio.id], radio.id, 14 * 0.76 / 4, (3.5, 3.0), bold=True, halo=True)
            for radio in self._design.radios
        ]
        return words

    def things(self, view: PlatView, wish: Wish, ids: tuple[str, ...]) -> tuple[Shape, ...]:
        return ()

    def hits(self, view: PlatView, wish: Wish, x_m: float, y_m: float, tolerance_px: float) -> tuple[Hit, ...]:
        reach = tolerance_px / view.px_per_m
        near = [
            Hit(s.id, "structures", "symbol", distance)
            for s in self._design.structures
            if s.id in self._placed.points
            and (distance := math.dist(self._placed.points[s.id][:2], (x_m, y_m))) <= reach
        ]
        return tuple(sorted(near, key=lambda hit: hit.distance_m))

    def within(self, window: tuple[float, float, float, float], *, touching: bool) -> tuple[str, ...]:
        x0, y0, x1, y1 = window
        return tuple(
            key for key, point in self._placed.points.items() if x0 <= point.x_m <= x1 and y0 <= point.y_m <= y1
        )

    def bounds(self, ids: tuple[str, ...] | None = None) -> tuple[float, float, float, float] | None:
        far = {landmark.id for landmark in self._design.landmarks}
        points = [
            point[:2] for key, point in self._placed.points.items() if (key not in far if ids is None else key in ids)
        ] + [
            (float(x), float(y))
            for key, outline in self._placed.outlines.items()
            if ids is None or key in ids
            for x, y in outline
        ]
        points = [p for p in points if not math.isnan(p[0])]
        if not points:
            return None
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        return min(xs), min(ys), max(xs), max(ys)
