"""What every plan carries: its scale in words, scale bar, north, the landmark's name, and the numbers of findings."""

from __future__ import annotations

import math

from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.plan_view import PlanView
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Disc, Path, Point, Symbol, Words
from survey_app.drawing.symbols import landmark, north_arrow

__all__ = ["draw_flags", "draw_furniture"]

_AIM_WORDS_MM = 2.5
_NAME_MM = 1.8


def draw_furniture(view: PlanView) -> None:
    """Title, north arrow, scale bar and the landmark's name, each in the first free corner."""
    width, height = view.width_mm, view.height_mm
    title = f"PLAN 1 : {view.n:,}".replace(",", "\N{THIN SPACE}")
    half = letters_width_mm(title, _NAME_MM) * 1.08 / 2.0
    corners = (
        (half + 3.0, height - 3.4),
        (width - half - 3.0, height - 3.4),
        (width / 2, height - 3.4),
        (half + 3.0, 3.4),
        (width - half - 3.0, 3.4),
    )
    place = view.placer.first_free(corners, half + 0.5, 1.6) or corners[0]
    view.high.append(Words(Role.WORDS, view.m(*place), title, _NAME_MM, bold=True, align="middle", halo=True))
    _scale_bar(view)
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
    width, height = view.width_mm, view.height_mm
    corners = [(width - 8.5, height - 10.0), (8.5, height - 10.0), (width - 8.5, 10.0), (8.5, 10.0)]
    rest = [(float(x), float(y)) for y in range(int(height) - 10, 9, -6) for x in range(int(width) - 8, 7, -6)]
    place = (
        view.placer.first_free(corners, 5.0, 8.6, only_clear=True)
        or view.placer.first_free(rest, 5.0, 8.6, only_clear=True)
        or view.placer.first_free([*corners, *rest], 5.0, 8.6)
    )
    if place is None:
        # there is always a north arrow: over whatever lies in the corner
        place = corners[0]
        ground = (
            (place[0] - 5, place[1] - 8.6),
            (place[0] + 5, place[1] - 8.6),
            (place[0] + 5, place[1] + 8.6),
            (place[0] - 5, place[1] + 8.6),
        )
        view.high.append(Path(Role.BLANK, tuple(view.m(*p) for p in ground), closed=True))
    x, y = place[0], place[1] - 8.2
    declination = view.scene.declination_deg
    view.high.append(north_arrow(view.m(x, y), declination))
    view.high.append(
        Words(Role.WORDS, view.m(x, y + 15.2), view.scene.north, 2.5, bold=True, align="middle", halo=True)
    )
    if declination is not None:
        side = 1.0 if declination >= 0.0 else -1.0
        turn = math.radians(max(9.0, min(abs(declination), 60.0)))
        tip = (x + side * (10.5 * math.sin(turn) + 0.9), y + 10.5 * math.cos(turn))
        view.high.append(Words(Role.WORDS, view.m(*tip), "MN", 1.8, align="start" if side > 0 else "end"))


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
        role = Role.WORDS_LIGHT if flag.severity == "stop" else Role.WORDS
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
