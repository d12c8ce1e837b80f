"""Lines to the radios for which a selected one waits, with their levels."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from survey_app.drawing.labels import LINE_PLACES
from survey_app.drawing.plat.labelling import Labelling, Run
from survey_app.drawing.plat.layout import Layout
from survey_app.drawing.plat.lines import Level, Stack, segments
from survey_app.drawing.plat.view import HeardLine, Wish
from survey_app.drawing.plat.wording import level_words
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Point

__all__ = ["draw_heard", "place_heard_words"]

_WORDS_MM, _OFF_MM = 2.09, 0.9
_CLEAR_MM = 3.2
"""Lines end so far from the middle of a symbol."""


@dataclass(frozen=True, slots=True)
class _Drawn:
    line: HeardLine
    a: Point
    b: Point


def _drawn(layout: Layout, wish: Wish, mm_per_m: float) -> list[_Drawn]:
    found = []
    for line in wish.heard:
        ends = layout.radios.get(line.hearer), layout.radios.get(line.sender)
        if ends[0] is None or ends[1] is None or not wish.lifted.isdisjoint((line.hearer, line.sender)):
            continue
        a, b = ends[0].at, ends[1].at
        long = math.dist(a, b)
        off = _CLEAR_MM / mm_per_m
        if long > 2.5 * off:
            ux, uy = (b[0] - a[0]) / long * off, (b[1] - a[1]) / long * off
            found.append(_Drawn(line, (a[0] + ux, a[1] + uy), (b[0] - ux, b[1] - uy)))
    return found


def draw_heard(stack: Stack, layout: Layout, wish: Wish, mm_per_m: float) -> None:
    """Draw the lines; radios that stand at one place have none."""
    drawn = _drawn(layout, wish, mm_per_m)
    if drawn:
        ends = np.array([(one.a, one.b) for one in drawn])
        stack.line(Level.OBSTACLES, Role.HEARD, segments(ends[:, 0], ends[:, 1]))


def place_heard_words(labels: Labelling) -> None:
    """Write along each line who is heard, and how loud."""
    for one in _drawn(labels.layout, labels.wish, labels.scale):
        part = labels.clipped(labels.mm(one.a), labels.mm(one.b))
        if part is None:
            continue
        run = Run(
            f"hears {one.line.sender} {level_words(one.line.level_dbm)}", _WORDS_MM, Role.WORDS_RADIO, italic=True
        )
        if math.dist(*part) < run.width_mm:
            continue
        placed = labels.placer.along_line(*part, run.text, run.height_mm, _OFF_MM, LINE_PLACES)
        if placed is not None:
            labels.turned((one.line.sender, "radios"), run, placed.x, placed.y, placed.turn_deg)
