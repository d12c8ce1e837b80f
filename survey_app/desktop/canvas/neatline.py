"""The frame of the plan: double neatline, ticks and their letters outside, crosses inside."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.canvas.graticule import LETTERED_PX, letters_of, multiples, step_m, subdivision
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Shape, Strokes, Words

__all__ = ["COORDINATE_MM", "Margins", "crosses", "cursor_ticks", "neatline"]

COORDINATE_MM = 10.5 * 0.76 / 4.0
"""Height of a capital of coordinates: 10.5 px of the em. [mm]"""
_OUTSIDE_PX = 5.0
_SHORT_PX, _LONG_PX = 4.0, 9.0
_CROSS_PX = 4.0


class Margins(NamedTuple):
    """Room round the plan for its frame, at an interface of 100 %. [px]"""

    left: float = 30.0
    top: float = 26.0
    right: float = 20.0
    bottom: float = 20.0

    def scaled(self, by: float) -> Margins:
        """Return the room at another scale of the interface."""
        return Margins(*(round(side * by) for side in self))


def neatline(frame: Frame, width_px: float, height_px: float) -> tuple[Shape, ...]:
    """Return the frame round a plan, in pixels with y turned (x, −y).

    Parameters
    ----------
    frame : Frame
        Where the plan lies in its window.
    width_px, height_px : float
        Size of the window. [px]
    """
    unit = frame.px_per_mm / 4.0
    left, top = frame.left_px, frame.top_px
    right, bottom = left + frame.width_px, top + frame.height_px
    shapes: list[Shape] = [
        _rectangle(Role.BLANK, 0, 0, width_px, top),
        _rectangle(Role.BLANK, 0, bottom, width_px, height_px),
        _rectangle(Role.BLANK, 0, top, left, bottom),
        _rectangle(Role.BLANK, right, top, width_px, bottom),
    ]
    out = _OUTSIDE_PX * unit
    shapes.append(_frame_line(Role.THIN, left - out, top - out, right + out, bottom + out))
    shapes.append(_frame_line(Role.GROUND, left, top, right, bottom))
    shapes.extend(_ticks(frame, unit))
    return tuple(shapes)


def _rectangle(role: Role, x0: float, y0: float, x1: float, y1: float) -> Path:
    return Path(role, ((x0, -y0), (x1, -y0), (x1, -y1), (x0, -y1)), closed=True)


def _frame_line(role: Role, x0: float, y0: float, x1: float, y1: float) -> Path:
    return Path(role, ((x0, -y0), (x1, -y0), (x1, -y1), (x0, -y1)), closed=True)


def _ticks(frame: Frame, unit: float) -> list[Shape]:
    step = step_m(frame.px_per_m, LETTERED_PX * unit)
    parts = subdivision(step)
    x0, y0, x1, y1 = frame.window_m
    out = _OUTSIDE_PX * unit
    left, top = frame.left_px - out, frame.top_px - out
    right, bottom = frame.left_px + frame.width_px + out, frame.top_px + frame.height_px + out
    rows: list[np.ndarray] = []
    for low, high, across in ((x0, x1, True), (y0, y1, False)):
        ks = np.arange((small := multiples(low, high, step / parts)).start, small.stop, dtype=np.float64)
        middle_m, middle_px = (frame.x_m, frame.middle_px[0]) if across else (frame.y_m, frame.middle_px[1])
        at = middle_px + (ks * (step / parts) - middle_m) * frame.px_per_m * (1.0 if across else -1.0)
        length = np.where(np.round(ks) % parts == 0, _LONG_PX, _SHORT_PX) * unit
        for side, away in ((top, -1.0), (bottom, 1.0)) if across else ((left, -1.0), (right, 1.0)):
            near, far = np.full_like(at, side), side + away * length
            row = np.stack((at, -near, at, -far) if across else (near, -at, far, -at), axis=1)
            rows.append(row.reshape(-1, 2))
    points = np.concatenate(rows)
    joined = np.zeros(len(points), dtype=np.bool_)
    joined[::2] = True
    shapes: list[Shape] = [Strokes(Role.FINE, points, joined)] if len(points) else []
    shapes.extend(_letters(frame, step, unit))
    return shapes


def _letters(frame: Frame, step: float, unit: float) -> list[Shape]:
    x0, y0, x1, y1 = frame.window_m
    up = frame.top_px - (_OUTSIDE_PX + 11.0) * unit
    aside = frame.left_px - (_OUTSIDE_PX + 11.0) * unit
    gap_mm = 0.6
    shapes: list[Shape] = []
    for k in multiples(x0, x1, step):
        text = letters_of(k, step, "E", "W", with_letter=k % 2 == 0)
        x, _ = frame.px(k * step, frame.y_m)
        room = letters_width_mm(text, COORDINATE_MM) * frame.px_per_mm + gap_mm * frame.px_per_mm
        if x + room <= frame.left_px + frame.width_px + 4.0:
            shapes.append(Words(Role.WORDS_SOFT, (x, -up), text, COORDINATE_MM, (gap_mm, 0.0)))
    for k in multiples(y0, y1, step):
        text = letters_of(k, step, "N", "S", with_letter=k % 2 == 0)
        _, y = frame.px(frame.x_m, k * step)
        room = letters_width_mm(text, COORDINATE_MM) * frame.px_per_mm + gap_mm * frame.px_per_mm
        if y - room >= frame.top_px - 4.0:
            shapes.append(Words(Role.WORDS_SOFT, (aside, -y), text, COORDINATE_MM, (gap_mm, 0.0), turn_deg=-90.0))
    return shapes


def crosses(frame: Frame) -> tuple[Shape, ...]:
    """Return the crosses of the coordinate net inside a frame, on the plane. [m]"""
    step = step_m(frame.px_per_m, LETTERED_PX * frame.px_per_mm / 4.0)
    x0, y0, x1, y1 = frame.window_m
    across, up = multiples(x0, x1, step), multiples(y0, y1, step)
    across_m, up_m = np.meshgrid(
        np.arange(across.start, across.stop, dtype=np.float64) * step,
        np.arange(up.start, up.stop, dtype=np.float64) * step,
    )
    x, y = across_m.ravel(), up_m.ravel()
    arm = _CROSS_PX * frame.px_per_mm / 4.0 / frame.px_per_m
    points = np.stack((x - arm, y, x + arm, y, x, y - arm, x, y + arm), axis=1).reshape(-1, 2)
    if len(points) == 0:
        return ()
    joined = np.zeros(len(points), dtype=np.bool_)
    joined[::2] = True
    return (Strokes(Role.GRATICULE, points, joined),)


def cursor_ticks(frame: Frame, x_px: float, y_px: float) -> tuple[Shape, ...]:
    """Return the ticks on all four margins at the pointer, in pixels with y turned."""
    unit = frame.px_per_mm / 4.0
    near, far = _OUTSIDE_PX * unit, (_OUTSIDE_PX + _LONG_PX) * unit
    left, top = frame.left_px, frame.top_px
    right, bottom = left + frame.width_px, top + frame.height_px
    lines = (
        ((x_px, top - near), (x_px, top - far)),
        ((x_px, bottom + near), (x_px, bottom + far)),
        ((left - near, y_px), (left - far, y_px)),
        ((right + near, y_px), (right + far, y_px)),
    )
    return tuple(Path(Role.HOVER, ((a[0], -a[1]), (b[0], -b[1]))) for a, b in lines)
