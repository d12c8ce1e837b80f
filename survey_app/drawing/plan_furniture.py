"""What every plan carries: its scale in words, scale bar, north, the landmark's name, and the numbers of findings."""

from __future__ import annotations

import math

from survey_app.drawing.labels import Box
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.plan_view import PlanView
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Disc, Path, Point, Symbol, Words
from survey_app.drawing.symbols import landmark, north_arrow

__all__ = ["draw_flags", "draw_furniture"]

_AIM_WORDS_MM = 2.5
_NAME_MM = 1.8

_LOW_MM = 24.0


def draw_furniture(view: PlanView) -> None:
    """Title, north arrow, scale bar and the landmark's name, each in the first free corner."""
    width, height = view.width_mm, view.height_mm
    low = height < _LOW_MM
    if low:
        # on a low strip the arrow is the one that finds no second place
        _north(view)
    title = f"PLAN 1 : {view.n:,}".replace(",", "\N{THIN SPACE}")
    half = letters_width_mm(title, _NAME_MM) * 1.08 / 2.0
    corners = [(half + 3.0, height - 3.4), (width - half - 3.0, height - 3.4)]
    rest = [(float(x), y) for y in (height - 3.4, 3.4) for x in range(int(half) + 3, int(width - half) - 2, 5)]
    place = view.placer.first_free([*corners, *rest], half + 0.5, 1.6)
    if place is None:
        # there is always a scale: over whatever lies in the corner
        place = corners[0]
        view.placer.take(Box(*place, half + 0.5, 1.6))
    view.high.append(Words(Role.WORDS, view.m(*place), title, _NAME_MM, bold=True, align="middle", halo=True))
    _scale_bar(view)
    if not low:
        _north(view)
    mark = view.scene.landmark
    if mark is not None:
        words = f"{mark.name}, {mark.distance_words}"
        half = letters_width_mm(words, _AIM_WORDS_MM) / 2.0 + 7.5
        places = [
            (half + 2.5, 3.6),
            (width - half - 2.5, 3.6),
            (half + 2.5, height - 7.5),
            (half + 2.5, 8.2),
            (width - half - 2.5, 8.2),
        ]
        found = view.placer.first_free(places, half, 2.0) if half < width / 2 else None
        if found:
            x = found[0] - half
            view.high.append(landmark(view.m(x + 9.0, found[1])))
            view.high.append(view.line(Role.SIGHT, (x, found[1]), (x + 6.4, found[1])))
            view.high.append(Words(Role.WORDS, view.m(x + 12.4, found[1]), words, _AIM_WORDS_MM, halo=True))


def _north(view: PlanView) -> None:
    """True north, and magnetic north beside it; smaller where the full arrow finds no room."""
    declination = view.scene.declination_deg
    for size, only_clear in ((1.0, True), (0.72, True), (0.5, True), (0.72, False), (0.5, False)):
        block = _NorthBlock(size, declination)
        place = view.placer.first_free(
            _north_places(view, block), block.half_width, block.half_height, only_clear=only_clear
        )
        if place is not None:
            break
    else:
        # there is always a north arrow: where it covers the least
        place = view.placer.least_taken(_north_places(view, block), block.half_width, block.half_height)
        corners = Box(*place, block.half_width, block.half_height).corners()
        view.high.append(Path(Role.BLANK, tuple(view.m(*corner) for corner in corners), closed=True))
    x, y = place[0] - block.shift, place[1] - block.half_height + 0.4
    view.high.append(north_arrow(view.m(x, y), declination, size))
    top = view.m(x, y + 12.5 * size + 2.6)
    view.high.append(Words(Role.WORDS, top, view.scene.north, 2.5, bold=True, align="middle", halo=True))
    if declination is not None:
        side = 1.0 if declination >= 0.0 else -1.0
        tip = (x + side * (block.reach + 0.9), y + 10.5 * size * math.cos(block.turn))
        align = "start" if side > 0 else "end"
        view.high.append(Words(Role.WORDS, view.m(*tip), "MN", _NAME_MM, align=align))


class _NorthBlock:
    """How much room a north arrow takes, and how far its shaft stands off the middle of that room. [mm]"""

    def __init__(self, size: float, declination_deg: float | None) -> None:
        self.half_height = (12.5 * size + 4.6) / 2.0
        self.half_width, self.shift, self.reach, self.turn = 1.9, 0.0, 0.0, 0.0
        if declination_deg is not None:
            self.turn = math.radians(max(9.0, min(abs(declination_deg), 60.0)))
            self.reach = 10.5 * size * math.sin(self.turn)
            outer = self.reach + 1.2 + letters_width_mm("MN", _NAME_MM)
            self.half_width = (outer + 1.9) / 2.0
            self.shift = math.copysign((outer - 1.9) / 2.0, declination_deg)


def _north_places(view: PlanView, block: _NorthBlock) -> list[Point]:
    left, bottom = block.half_width + 1.5, block.half_height + 1.5
    right, top = view.width_mm - left, view.height_mm - bottom
    rows = [top - 4.0 * n for n in range(int(max(top - bottom, 0.0) / 4.0) + 1)]
    columns = [right - 5.0 * n for n in range(int(max(right - left, 0.0) / 5.0) + 1)]
    return [(right, top), (left, top), (right, bottom), (left, bottom), *((x, y) for y in rows for x in columns)]


def _scale_bar(view: PlanView) -> None:
    width, height = view.width_mm, view.height_mm
    for longest in (26.0, 18.0, 11.0):
        length_m = _round_length(longest / view.scale)
        length = length_m * view.scale
        half = length / 2.0 + 5.0
        places = [
            (half + 2.0, 3.8),
            (width - half - 2.0, 3.8),
            *(
                (float(x), float(y))
                for y in (4, 9, 14, int(height) - 8)
                for x in range(int(half) + 2, int(width - half) - 2, 6)
            ),
        ]
        place = view.placer.first_free(places, half, 3.0)
        if place:
            break
    else:
        # there is always a scale bar: over whatever lies in the corner
        place = (half + 2.0, 3.8)
        ground = ((2.0, 1.0), (2.0 + 2 * half, 1.0), (2.0 + 2 * half, 6.8), (2.0, 6.8))
        view.high.append(Path(Role.BLANK, tuple(view.m(*p) for p in ground), closed=True))
    x, y = place[0] - length / 2.0, place[1] - 2.2
    ring = ((x, y), (x + length, y), (x + length, y + 1.0), (x, y + 1.0))
    view.high.append(Path(Role.LOW_BUILDING, tuple(view.m(*p) for p in ring), closed=True))
    half_ring = ((x, y), (x + length / 2, y), (x + length / 2, y + 1.0), (x, y + 1.0))
    view.high.append(Path(Role.SOLID, tuple(view.m(*p) for p in half_ring), closed=True))
    for text, at in (("0", x), (f"{length_m:g} m", x + length)):
        view.high.append(Words(Role.WORDS, view.m(at, y + 3.2), text, _NAME_MM, align="middle"))


_NUMBER_ROLES = {"stop": Role.WORDS_LIGHT, "warn": Role.WORDS_ON_WARN}


def draw_flags(view: PlanView) -> None:
    for flag in view.scene.flags:
        x, y = view.mm(flag.at)
        if not (0.0 < x < view.width_mm and 0.0 < y < view.height_mm):
            continue
        turns = [
            (x + r * math.sin(a), y + r * math.cos(a))
            for r in (8.0, 12.0, 18.0, 25.0)
            for a in (0.8, 2.4, 3.9, 5.5, 1.6, 4.7, 0.0, 3.1)
        ]
        place = view.placer.first_free(turns, 2.8, 2.8)
        if place is None:
            continue
        view.high.append(view.line(Role.THIN, (x, y), place))
        view.high.append(Disc(Role.SOLID, flag.at, 0.35 / view.scale))
        view.high.append(_flag_symbol(flag.severity, view.m(*place)))
        role = _NUMBER_ROLES.get(flag.severity, Role.WORDS)
        lower = -0.4 if flag.severity == "warn" else 0.0
        view.high.append(
            Words(role, view.m(place[0], place[1] + lower), str(flag.number), 1.8, bold=True, align="middle")
        )


def _flag_symbol(severity: str, at: Point) -> Symbol:
    if severity == "stop":
        corners = tuple(
            (2.6 * math.cos(math.radians(22.5 + 45 * i)), 2.6 * math.sin(math.radians(22.5 + 45 * i))) for i in range(8)
        )
        return Symbol("stop", at, (Path(Role.STOP, corners, closed=True),))
    if severity == "warn":
        return Symbol("warn", at, (Path(Role.WARN, ((0.0, 3.2), (2.9, -2.2), (-2.9, -2.2)), closed=True),))
    return Symbol("note", at, (Arc(Role.NOTE, (0.0, 0.0), 2.3),))


def _round_length(longest_m: float) -> float:
    """The longest of 1, 2, 5, 10 … that is not over `longest_m`."""
    power = 10.0 ** math.floor(math.log10(longest_m))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= longest_m)
