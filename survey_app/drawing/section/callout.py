"""What comes nearest to the ray, on its spot: a dimension or a tick, a leader, and a box of words."""

from __future__ import annotations

import math

from survey_app.drawing.labels import Box
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.section.clearance import SectionClearance, SectionFlag
from survey_app.drawing.section.frame import NAME, NOTE, SectionFrame
from survey_app.drawing.shapes import Disc, Path, Point, Symbol, Words
from survey_app.drawing.symbols import arrow_head, flag

__all__ = ["draw_beside", "draw_callout", "draw_dimension"]

_ROW_MM, _PAD_MM, _FLAG_MM = 3.15, 1.4, 7.0
_TICK_MM = 1.8
_ARROW_MM, _HALF_ARROW_MM = 1.6, 0.5
_AWAY_MM = (4.0, 8.0, 14.0, 22.0, 32.0, 46.0, 64.0)
_TURNS_DEG = (60, -60, 100, -100, 40, -40, 140, -140, 80, -80, 15, -15, 165, -165, 120, -120)
_NUMBER = {"stop": Role.WORDS_LIGHT, "warn": Role.WORDS_ON_WARN}


def draw_callout(frame: SectionFrame) -> None:
    """Draw the smallest clearance where it is, and say beside it what it is, as much as there is room for."""
    found = frame.scene.clearance
    if found is None:
        return
    middle = draw_dimension(frame, found)
    rows = [(found.name, True), *found.lines]
    while rows:
        if _box(frame, found, rows, middle):
            return
        # the name goes last, for the dimension line stands on the thing itself
        rows = rows[:-1] if len(rows) > 2 else rows[1:]


def draw_dimension(frame: SectionFrame, found: SectionClearance) -> Point:
    """Draw from the ray to what is nearest; beside the ray a tick across it. Return where the leader begins."""
    x, y = frame.ray_at(found.place_m)
    if found.side in ("left", "right"):
        frame.high.append(Path(Role.DIMENSION, ((x, y - _TICK_MM), (x, y + _TICK_MM))))
        frame.placer.take_line((x, y - _TICK_MM), (x, y + _TICK_MM), 0.6)
        return x, y - _TICK_MM
    below = found.clearance_m if found.side == "under" else -found.clearance_m
    to = min(max(y - below * frame.height_mm_per_m, frame.bottom_mm), frame.top_mm)
    frame.high.append(Path(Role.DIMENSION, ((x, y), (x, to))))
    frame.placer.take_line((x, y), (x, to), 0.8)
    if abs(to - y) > 2.0 * _ARROW_MM + 0.4:
        up, down = (0.0, 180.0) if to > y else (180.0, 0.0)
        frame.high.append(arrow_head((x, to), up, _ARROW_MM, _HALF_ARROW_MM, Role.SOLID))
        frame.high.append(arrow_head((x, y), down, _ARROW_MM, _HALF_ARROW_MM, Role.SOLID))
    frame.high.append(Path(Role.DIMENSION, ((x - 1.2, to), (x + 1.2, to))))
    return x, (y + to) / 2.0


def _box(frame: SectionFrame, found: SectionClearance, rows: list[tuple[str, bool]], middle: Point) -> bool:
    """Draw the box where it finds room; return whether it did."""
    said = [(frame.scene.said(words), bold) for words, bold in rows]
    side_mm = _FLAG_MM if found.flag is not None else 0.0
    half_x = max(letters_width_mm(words, NOTE) * (1.06 if bold else 1.0) for words, bold in said) / 2.0
    half_x += _PAD_MM + side_mm / 2.0
    half_y = len(said) * _ROW_MM / 2.0 + _PAD_MM - 0.5
    spot = frame.placer.first_free(_places(frame, middle, half_x, half_y), half_x + 0.5, half_y + 0.5)
    if spot is None:
        return False
    x0, x1, y0, y1 = spot[0] - half_x, spot[0] + half_x, spot[1] - half_y, spot[1] + half_y
    edge = min(max(middle[0], x0), x1), min(max(middle[1], y0), y1)
    frame.high += [Disc(Role.SOLID, middle, 0.45), Path(Role.LEADER, (middle, edge))]
    frame.high.append(Path(Role.CARD, ((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True))
    for n, (words, bold) in enumerate(said):
        at = (x0 + _PAD_MM + side_mm, y1 - _PAD_MM + 0.5 - (n + 0.5) * _ROW_MM)
        frame.high.append(Words(Role.WORDS, at, words, NOTE, bold=bold, italic=frame.scene.is_stale))
    if found.flag is not None:
        frame.high += _flag((x0 + _PAD_MM + 2.6, spot[1]), found.flag)
    return True


def _flag(at: Point, found: SectionFlag) -> tuple[Symbol, Words]:
    lower = -0.55 if found.severity == "warn" else 0.0
    role = _NUMBER.get(found.severity, Role.WORDS)
    return (
        flag(at, found.severity, accepted=found.accepted),
        Words(role, at, str(found.number), NAME if found.number < 10 else 1.9, (0.0, lower), bold=True, align="middle"),
    )


def _places(frame: SectionFrame, middle: Point, half_x: float, half_y: float) -> list[Point]:
    """Return where the box is tried: round the spot, the nearest first, inside the plot."""
    found = []
    for away in _AWAY_MM:
        for turn in _TURNS_DEG:
            dx, dy = math.sin(math.radians(turn)), math.cos(math.radians(turn))
            x = middle[0] + dx * away + math.copysign(half_x, dx)
            y = middle[1] + dy * (away * 0.6) + dy * half_y
            inside = frame.left_mm + half_x + 1.0 < x < frame.right_mm - half_x - 1.0
            if inside and frame.bottom_mm + half_y + 0.6 < y < frame.top_mm - half_y + 4.0:
                found.append((x, y))
    return found


def draw_beside(frame: SectionFrame) -> None:
    """Mark on the ray what passes it at its side, with metres and side in words where there is room."""
    scene = frame.scene
    worst = scene.clearance
    for one in scene.profile.beside:
        if one.side not in ("left", "right"):
            continue
        if worst is not None and worst.side == one.side and worst.place_m == one.place_m:
            continue
        x, y = frame.ray_at(one.place_m)
        frame.high.append(Path(Role.DIMENSION, ((x, y - 1.2), (x, y + 1.2))))
        words = f"{one.structure.title.upper()} {scene.lengths.words(abs(one.clearance_m))} {one.side}"
        half = letters_width_mm(words, NOTE) / 2.0
        places = [(x + side * (half + 1.2), y + up) for up in (-3.0, 3.0, -5.8, 5.8) for side in (1.0, -1.0)]
        spot = frame.placer.first_free(places, half + 0.4, NOTE / 2.0 + 0.4)
        if spot is not None:
            frame.placer.take(Box(x, y, 0.5, 1.4))
            frame.high.append(Words(Role.WORDS, spot, words, NOTE, align="middle", halo=True))
