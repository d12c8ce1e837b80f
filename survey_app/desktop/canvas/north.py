"""Scale bar and north arrow in the lower left corner of the plan, always."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass

from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.canvas.graticule import step_m
from survey_app.desktop.canvas.neatline import COORDINATE_MM
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point, Shape, Symbol, Words
from survey_app.drawing.symbols import north_arrow

__all__ = ["North", "north_and_scale", "taken_mm"]

_FOOT_M = 0.3048
_NAME_MM = 12.0 * 0.76 / 4.0
_WIDEST_BAR_PX = 240.0
_INSET_MM = 3.5
_BAR_HIGH_MM = 7.5
_ARROW_MM = 12.5
_LEAST_TURN_DEG = 9.0


@dataclass(frozen=True, slots=True)
class North:
    """What is known of north.

    Attributes
    ----------
    plan_rotation_deg : float or None
        True bearing of plan north, which is up; None where the plane is not anchored. [deg]
    declination_deg : float or None
        From true to magnetic north, east positive; None where it is not known. [deg]
    as_of : datetime.date or None
        Date of the declination.
    """

    plan_rotation_deg: float | None = None
    declination_deg: float | None = None
    as_of: datetime.date | None = None


def north_and_scale(frame: Frame, north: North, *, feet: bool = False) -> tuple[Shape, ...]:
    """Return scale bar and north arrow, in pixels with y turned (x, −y)."""
    return (*_scale_bar(frame, feet), *_arrows(frame, north))


def taken_mm(frame: Frame, north: North, *, feet: bool = False) -> tuple[tuple[float, float, float, float], ...]:
    """Return the room that scale bar, arrows and their words take: middles and half sizes from the corner. [mm]"""
    _, width, end = _bar(frame, feet)
    bar = _INSET_MM + width / frame.px_per_mm + letters_width_mm(end, COORDINATE_MM) / 2.0 + 2.0
    foot = 7.0 + _to_the_left_mm(north)
    words = _north_words(north)
    wide = max(letters_width_mm(line, COORDINATE_MM) for line in words)
    high = 2.9 * len(words) + 1.0
    return (
        (bar / 2.0, _BAR_HIGH_MM / 2.0, bar / 2.0, _BAR_HIGH_MM / 2.0),
        (foot, 20.0, 6.0, 9.5),
        (foot + 6.0 + wide / 2.0, 10.5 + high / 2.0, wide / 2.0 + 0.8, high / 2.0),
    )


def _bar(frame: Frame, feet: bool) -> tuple[float, float, str]:
    """Return how long the scale bar is in its unit and on the screen, and what stands at its end."""
    unit_m, unit = (_FOOT_M, "ft") if feet else (1.0, "m")
    length = _bar_length(frame.px_per_m * unit_m, _WIDEST_BAR_PX * frame.px_per_mm / 4.0)
    return length, length * unit_m * frame.px_per_m, f"{_figure(length)} {unit}"


def _scale_bar(frame: Frame, feet: bool) -> list[Shape]:
    mm = frame.px_per_mm
    length, width, end = _bar(frame, feet)
    x, y = frame.left_px + _INSET_MM * mm, frame.top_px + frame.height_px - 2.6 * mm
    right = x + width + letters_width_mm(end, COORDINATE_MM) * mm / 2.0 + 2.0 * mm
    high, low = y - (_BAR_HIGH_MM - 2.6) * mm, y + 2.6 * mm
    box = ((frame.left_px + 1.0, -high), (right, -high), (right, -low + 1.0), (frame.left_px + 1.0, -low + 1.0))
    shapes: list[Shape] = [Path(Role.BLANK, box, closed=True)]
    thick = 1.0 * mm
    for n in range(4):
        a, b = x + width * n / 4.0, x + width * (n + 1) / 4.0
        role = Role.SOLID if n % 2 == 0 else Role.NOTE
        shapes.append(Path(role, ((a, -y), (b, -y), (b, -y + thick), (a, -y + thick)), closed=True))
        if n == 0 or n == 2 or width / 4.0 > 10.0 * mm:
            shapes.append(_under(x + width * n / 4.0, y, _figure(length * n / 4.0), mm))
    shapes.append(Path(Role.FINE, ((x, -y), (x + width, -y), (x + width, -y + thick), (x, -y + thick)), closed=True))
    shapes.append(_under(x + width, y, end, mm))
    return shapes


def _under(x: float, y: float, text: str, mm: float) -> Words:
    return Words(Role.WORDS, (x, -y + 2.9 * mm), text, COORDINATE_MM, align="middle")


def _bar_length(px_per_unit: float, widest_px: float) -> float:
    """Return the longest bar of 1, 2 or 5 times a power of ten that has room; its quarters are round as well."""
    return step_m(px_per_unit, widest_px / 2.6)


def _figure(value: float) -> str:
    return f"{value:,.6g}".replace(",", "\N{THIN SPACE}")


def _arrows(frame: Frame, north: North) -> list[Shape]:
    mm = frame.px_per_mm
    rotation = north.plan_rotation_deg
    foot_x = frame.left_px + (7.0 + _to_the_left_mm(north)) * mm
    foot_y = frame.top_px + frame.height_px - 11.5 * mm
    foot = (foot_x, -foot_y)
    # up is plan north; true north stands to the left of it by as much as plan north stands to the right of true
    true_turn = -rotation if rotation is not None else 0.0
    name = "N" if rotation is not None else "PN"
    shown = _apart(north.declination_deg) if rotation is not None else None
    shapes: list[Shape] = [_turned(north_arrow(foot, shown), true_turn)]
    shapes.append(_at_tip(foot, true_turn, (_ARROW_MM + 2.4) * mm, name, _NAME_MM, bold=True))
    if shown is not None:
        side = math.copysign(2.4, shown)
        shapes.append(_at_tip(foot, true_turn + shown, 10.2 * mm, "MN", COORDINATE_MM, aside_mm=side))
    shapes.extend(_plan_north(foot, true_turn, mm))
    words = _north_words(north)
    for n, line in enumerate(words):
        at = (foot_x + 6.0 * mm, -foot_y + (0.6 + 2.9 * (len(words) - 1 - n)) * mm)
        shapes.append(Words(Role.WORDS_SOFT, at, line, COORDINATE_MM, halo=True))
    return shapes


def _to_the_left_mm(north: North) -> float:
    """Return how much room the arrows need to the left of their foot beyond the usual."""
    if north.plan_rotation_deg is None:
        return 0.0
    turns = [-north.plan_rotation_deg, -north.plan_rotation_deg + (_apart(north.declination_deg) or 0.0)]
    lowest = min((math.sin(math.radians(turn)) for turn in turns), default=0.0)
    return max(0.0, _ARROW_MM * -lowest + 1.0) if lowest < 0.0 else 0.0


def _plan_north(foot: Point, true_turn: float, mm: float) -> list[Shape]:
    """Return the mark of plan north, straight up, where it is not true north."""
    if abs(true_turn) < 0.05:
        return []
    x, y = foot
    drawn = _apart(-true_turn) or 0.0
    turn = math.radians(true_turn + drawn)
    tip = (x + 9.0 * mm * math.sin(turn), y + 9.0 * mm * math.cos(turn))
    beyond = (x + 11.2 * mm * math.sin(turn), y + 11.2 * mm * math.cos(turn))
    return [Path(Role.THIN, (foot, tip)), Words(Role.WORDS, beyond, "PN", COORDINATE_MM, align="middle", halo=True)]


def _apart(angle_deg: float | None) -> float | None:
    """Return an angle as drawn: at least nine degrees, so that two arrows never run together."""
    if angle_deg is None:
        return None
    return math.copysign(max(abs(angle_deg), _LEAST_TURN_DEG), angle_deg)


def _turned(symbol: Symbol, turn_deg: float) -> Symbol:
    return Symbol(symbol.name, symbol.at, symbol.parts, turn_deg, symbol.subject)


def _at_tip(
    foot: Point, turn_deg: float, reach: float, text: str, height: float, *, bold: bool = False, aside_mm: float = 0.0
) -> Words:
    turn = math.radians(turn_deg)
    at = (foot[0] + reach * math.sin(turn), foot[1] + reach * math.cos(turn))
    return Words(Role.WORDS, at, text, height, (aside_mm, 0.0), bold=bold, align="middle", halo=True)


def _north_words(north: North) -> list[str]:
    if north.plan_rotation_deg is None:
        return ["plan north, not anchored"]
    lines = []
    if abs(north.plan_rotation_deg) >= 0.05:
        lines.append(f"plan north {north.plan_rotation_deg % 360.0:.1f}° true")
    if north.declination_deg is None:
        return [*lines, "magnetic north not known"]
    side = "E" if north.declination_deg >= 0 else "W"
    date = f" {north.as_of.isoformat()}" if north.as_of is not None else ""
    return [*lines, "declination", f"{abs(north.declination_deg):.1f}° {side}{date}"]
