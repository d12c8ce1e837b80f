"""Paints shapes on the screen: the one place where a drawing becomes pixels."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple, Protocol

import numpy as np
from pyqtgraph.Qt.internals import PrimitiveArray
from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QBrush, QPainter, QPainterPath, QPen

from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.canvas.paths import (
    arc_path,
    arc_points,
    fill_path,
    fill_paths,
    line_path,
    small_path,
    split_rows,
)
from survey_app.desktop.canvas.pens import Pens
from survey_app.desktop.canvas.segments import dashed, segments_of, thinned
from survey_app.desktop.canvas.sprites import Sprites
from survey_app.desktop.canvas.tints import paint_tint
from survey_app.desktop.palette import Palette
from survey_app.drawing.letters import CAPITAL_EM, letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Disc, Path, Shape, Strokes, Symbol, Words

__all__ = ["Brushes", "ShapePainter", "Surface"]

Box = tuple[float, float, float, float]

_RIM_PX = 32.0
_FEW_POINTS = 400
_THIN_PX = 1.1
_MANY_OUTLINES = 8
_FILLED_AT_ONCE = 24
_NO_PEN = QPen(Qt.PenStyle.NoPen)
_NO_BRUSH = QBrush(Qt.BrushStyle.NoBrush)


class Surface(Protocol):
    """What shapes can be given to: the screen, or a recording of what would be on it."""

    def paint(self, shapes: Iterable[Shape], frame: Frame) -> None:
        """Put shapes where a frame says, low to high."""
        ...


class Brushes:
    """What outlives a frame: pens of the palette and letters that are drawn already.

    Parameters
    ----------
    palette : Palette
        The inks.
    sprites : Sprites or None
        Letters drawn already; None starts with none.
    """

    def __init__(self, palette: Palette, sprites: Sprites | None = None) -> None:
        self.palette = palette
        self.sprites = sprites or Sprites()
        self._pens: dict[float, Pens] = {}

    def pens(self, px_per_mm: float) -> Pens:
        """Return the pens for one size of the millimetre."""
        if px_per_mm not in self._pens:
            self._pens[px_per_mm] = Pens(self.palette, px_per_mm)
        return self._pens[px_per_mm]


class ShapePainter:
    """Paints shapes with a QPainter.

    Parameters
    ----------
    painter : QPainter
        Active, in device-independent pixels, without a transform of its own.
    brushes : Brushes
        Pens and letters.
    """

    def __init__(self, painter: QPainter, brushes: Brushes) -> None:
        self._painter = painter
        self._brushes = brushes
        self._ratio = painter.device().devicePixelRatioF()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)

    def paint(self, shapes: Iterable[Shape], frame: Frame) -> None:
        """Put shapes where a frame says, low to high."""
        pens = self._brushes.pens(frame.px_per_mm)
        left, top = frame.left_px - _RIM_PX, frame.top_px - _RIM_PX
        right = frame.left_px + frame.width_px + _RIM_PX
        box = (left, top, right, frame.top_px + frame.height_px + _RIM_PX)
        for shape in shapes:
            if isinstance(shape, Words):
                self._words(shape, frame, pens, box)
            elif isinstance(shape, Symbol):
                self._symbol(shape, frame, pens, box)
            elif isinstance(shape, Strokes):
                self._strokes(shape, frame, pens, box)
            elif isinstance(shape, Path):
                self._path(shape, frame, pens, box)
            elif isinstance(shape, Arc):
                self._arc(shape, frame, pens, box)
            else:
                self._disc(shape, frame, pens)

    def _strokes(self, shape: Strokes, frame: Frame, pens: Pens, box: Box) -> None:
        if len(shape.points) == 0:
            return
        points = frame.px_of(shape.points)
        fill = pens.fill(shape.role) if shape.filled else None
        if fill is not None:
            self._fill(points, shape.joined, fill, pens.width_px(shape.role), box)
        self._lines(points, shape.joined, shape.role, pens, box)

    def _fill(self, points: np.ndarray, joined: np.ndarray, fill: QBrush, line_px: float, box: Box) -> None:
        """Fill outlines; where many overlap under a tint, what they cover is tinted once."""
        painter = self._painter
        if fill.color().alpha() < 255 and np.count_nonzero(~joined) > _MANY_OUTLINES:
            paint_tint(painter, split_rows(points, joined), fill.color(), box)
            return
        # under a line the edge of a fill is not seen: it needs no smoothing
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, line_px < 1.0)
        for path in fill_paths(points, joined, box, _FILLED_AT_ONCE):
            painter.fillPath(path, fill)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)

    def _lines(self, points: np.ndarray, joined: np.ndarray, role: Role, pens: Pens, box: Box) -> None:
        """Draw lines: few wide ones as paths with corners, all others segment by segment."""
        pen = pens.line(role)
        if pen is None:
            return
        if len(points) <= _FEW_POINTS and not pens.dash_px(role) and pen.widthF() > _THIN_PX:
            self._painter.strokePath(line_path(points, joined, box), pen)
            return
        ends, start, length = segments_of(*thinned(points, joined), box)
        if pens.dash_px(role):
            ends = dashed(ends, start, length, pens.dash_px(role))
        if len(ends) == 0:
            return
        self._painter.setPen(pens.segment(role))
        lines = PrimitiveArray(QLineF, 4)
        lines.resize(len(ends))
        lines.ndarray()[:] = ends
        self._painter.drawLines(*lines.drawargs())

    def _path(self, shape: Path, frame: Frame, pens: Pens, box: Box) -> None:
        points = frame.px_of(np.array(shape.points, dtype=np.float64))
        self._outline(points, shape.closed, shape.role, pens, box)

    def _outline(self, points: np.ndarray, closed: bool, role: Role, pens: Pens, box: Box) -> None:
        fill = pens.fill(role) if closed else None
        if fill is not None:
            self._painter.fillPath(fill_path([points], box), fill)
        pen = pens.line(role)
        if pen is None:
            return
        if not pens.dash_px(role) and _within(points, box):
            path = line_path(points, _all_joined(points), box)
            if closed:
                path.closeSubpath()
            self._painter.strokePath(path, pen)
            return
        if closed:
            points = np.concatenate((points, points[:1]))
        self._lines(points, _all_joined(points), role, pens, box)

    def _arc(self, shape: Arc, frame: Frame, pens: Pens, box: Box) -> None:
        x, y = frame.px(*shape.centre)
        radius = shape.radius * frame.px_per_m
        path = arc_path(x, y, radius, shape.start_deg, shape.sweep_deg)
        whole = abs(shape.sweep_deg) >= 360.0
        if path is None or pens.dash_px(shape.role):
            self._outline(frame.px_of(arc_points(shape, radius)), whole, shape.role, pens, box)
            return
        if x + radius < box[0] or x - radius > box[2] or y + radius < box[1] or y - radius > box[3]:
            return
        fill, pen = pens.fill(shape.role) if whole else None, pens.line(shape.role)
        if fill is not None:
            self._painter.fillPath(path, fill)
        if pen is not None:
            self._painter.strokePath(path, pen)

    def _disc(self, shape: Disc, frame: Frame, pens: Pens) -> None:
        self._painter.setPen(_NO_PEN)
        self._painter.setBrush(pens.ink(shape.role))
        radius = shape.radius * frame.px_per_m
        self._painter.drawEllipse(QPointF(*frame.px(*shape.centre)), radius, radius)

    def _symbol(self, shape: Symbol, frame: Frame, pens: Pens, box: Box) -> None:
        x, y = frame.px(*shape.at)
        if not (box[0] <= x <= box[2] and box[1] <= y <= box[3]):
            return
        painter = self._painter
        painter.translate(x, y)
        if shape.turn_deg:
            painter.rotate(shape.turn_deg)
        for part in _parts(shape.parts, frame.px_per_mm):
            if part.disc:
                painter.fillPath(part.path, pens.ink(part.role))
                continue
            pen, fill = pens.line(part.role), pens.fill(part.role)
            painter.setPen(pen if pen is not None else _NO_PEN)
            painter.setBrush(fill if fill is not None and part.area else _NO_BRUSH)
            painter.drawPath(part.path)
        if shape.turn_deg:
            painter.rotate(-shape.turn_deg)
        painter.translate(-x, -y)

    def _words(self, shape: Words, frame: Frame, pens: Pens, box: Box) -> None:
        x, y, width = _middle(shape, frame)
        if not (box[0] - width <= x <= box[2] + width and box[1] - width <= y <= box[3] + width):
            return
        em_px = shape.height_mm * frame.px_per_mm / CAPITAL_EM * self._ratio
        sprite = self._brushes.sprites.sprite(
            shape.text,
            round(em_px, 2),
            shape.turn_deg,
            pens.ink(shape.role),
            pens.palette.colour("paper") if shape.halo else None,
            bold=shape.bold,
            italic=shape.italic,
        )
        # on whole device pixels, so that letters stay sharp
        at_x = round(x * self._ratio - sprite.middle_x) / self._ratio
        at_y = round(y * self._ratio - sprite.middle_y) / self._ratio
        pixmap = sprite.pixmap
        if self._ratio != 1.0:
            pixmap.setDevicePixelRatio(self._ratio)
        self._painter.drawPixmap(QPointF(at_x, at_y), pixmap)


def _middle(shape: Words, frame: Frame) -> tuple[float, float, float]:
    """Return where the middle of a line of letters lies, and the line's width. [px]"""
    width = letters_width_mm(shape.text, shape.height_mm) * frame.px_per_mm
    along = shape.offset_mm[0] * frame.px_per_mm + {"start": width / 2.0, "end": -width / 2.0}.get(shape.align, 0.0)
    across = -shape.offset_mm[1] * frame.px_per_mm
    turn = math.radians(shape.turn_deg)
    x, y = frame.px(*shape.at)
    return (
        x + along * math.cos(turn) - across * math.sin(turn),
        y + along * math.sin(turn) + across * math.cos(turn),
        width,
    )


def _all_joined(points: np.ndarray) -> np.ndarray:
    joined = np.ones(len(points), dtype=np.bool_)
    joined[-1] = False
    return joined


def _within(points: np.ndarray, box: Box) -> bool:
    low, high = points.min(axis=0), points.max(axis=0)
    return bool(low[0] >= box[0] and low[1] >= box[1] and high[0] <= box[2] and high[1] <= box[3])


class _Part(NamedTuple):
    """A part of a symbol in pixels round its anchor."""

    role: Role
    path: QPainterPath
    area: bool
    disc: bool


@lru_cache(maxsize=2048)
def _parts(parts: tuple[Path | Arc | Disc, ...], scale: float) -> tuple[_Part, ...]:
    made = []
    for part in parts:
        if isinstance(part, Disc):
            made.append(_Part(part.role, small_path(Arc(part.role, part.centre, part.radius), scale), True, True))
        else:
            area = part.closed if isinstance(part, Path) else abs(part.sweep_deg) >= 360.0
            made.append(_Part(part.role, small_path(part, scale), area, False))
    return tuple(made)
