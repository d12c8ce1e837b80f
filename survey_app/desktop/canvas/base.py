"""The settled plan as a picture with a margin: panning shifts it, zooming stretches it until it is made again."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPixmap

from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.canvas.painter import Brushes, ShapePainter
from survey_app.drawing.shapes import Shape, Strokes

__all__ = ["Base", "Painting", "painted"]

_AT_ONCE = 32
"""Symbols and words that are painted before the clock is looked at."""


@dataclass(frozen=True, eq=False)
class Base:
    """A painted part of the plane.

    Attributes
    ----------
    frame : Frame
        What it shows, its margin included; its own corner is at (0, 0).
    pixmap : QPixmap
        The picture.
    shapes : tuple of Shape
        What was painted.
    took_s : float
        How long making it took, drawing and painting. [s]
    """

    frame: Frame
    pixmap: QPixmap
    shapes: tuple[Shape, ...]
    took_s: float

    def covers(self, frame: Frame) -> bool:
        """Whether the picture reaches all of a frame."""
        return self.frame.holds(frame.window_m)

    def ends_with(self, frame: Frame) -> bool:
        """Whether the picture reaches all of a frame and no farther: no word of it is cut at the frame's edge."""
        same = (self.frame.width_px, self.frame.height_px) == (frame.width_px, frame.height_px)
        return same and self.covers(frame)

    def is_crisp(self, frame: Frame) -> bool:
        """Whether a frame has the picture's own scale."""
        return frame.px_per_m == self.frame.px_per_m and frame.px_per_mm == self.frame.px_per_mm

    def paint(self, painter: QPainter, frame: Frame) -> None:
        """Paint what of the picture lies in a frame."""
        x0, _, _, y1 = self.frame.window_m
        left, top = frame.px(x0, y1)
        ratio = self.pixmap.devicePixelRatio()
        if self.is_crisp(frame):
            # on whole device pixels: letters stay as sharp as they were drawn
            at = QPointF(round(left * ratio) / ratio, round(top * ratio) / ratio)
            painter.drawPixmap(at, self.pixmap)
            return
        stretch = frame.px_per_m / self.frame.px_per_m
        whole = QRectF(left, top, self.frame.width_px * stretch, self.frame.height_px * stretch)
        seen = whole.intersected(QRectF(frame.left_px, frame.top_px, frame.width_px, frame.height_px))
        if seen.isEmpty():
            return
        part = QRectF(
            (seen.left() - left) / stretch * ratio,
            (seen.top() - top) / stretch * ratio,
            seen.width() / stretch * ratio,
            seen.height() / stretch * ratio,
        )
        painter.drawPixmap(seen, self.pixmap, part)


class Painting:
    """A picture in the making, some shapes at a time.

    Parameters
    ----------
    frame : Frame
        What to show; its corner is at (0, 0).
    shapes : tuple of Shape
        Low to high.
    brushes : Brushes
        Pens and letters.
    ratio : float
        Device pixels of a pixel.
    below : callable
        Paints what lies below all shapes: the background plan picture.
    """

    def __init__(
        self,
        frame: Frame,
        shapes: tuple[Shape, ...],
        brushes: Brushes,
        ratio: float,
        below: Callable[[QPainter, Frame], None],
    ) -> None:
        self._frame, self._shapes, self._brushes, self._below = frame, shapes, brushes, below
        self._pixmap = QPixmap(max(1, round(frame.width_px * ratio)), max(1, round(frame.height_px * ratio)))
        self._pixmap.setDevicePixelRatio(ratio)
        self._pixmap.fill(brushes.palette.colour("paper"))
        self._done = -1
        self.took_s = 0.0

    def go_on(self, for_s: float) -> bool:
        """Paint for about so long, one shape at least; return whether all is painted."""
        started = time.perf_counter()
        painter = QPainter(self._pixmap)
        if self._done < 0:
            self._below(painter, self._frame)
            self._done = 0
        surface = ShapePainter(painter, self._brushes)
        while self._done < len(self._shapes):
            some = self._shapes[self._done : self._done + _AT_ONCE]
            if any(isinstance(shape, Strokes) for shape in some):
                some = some[:1]
            surface.paint(some, self._frame)
            self._done += len(some)
            if time.perf_counter() - started > for_s:
                break
        painter.end()
        self.took_s += time.perf_counter() - started
        return self._done >= len(self._shapes)

    def base(self) -> Base:
        """Return the picture."""
        return Base(self._frame, self._pixmap, self._shapes, self.took_s)


def painted(
    frame: Frame,
    shapes: tuple[Shape, ...],
    brushes: Brushes,
    ratio: float,
    below: Callable[[QPainter, Frame], None],
) -> Base:
    """Paint shapes into a picture; parameters as of `Painting`."""
    painting = Painting(frame, shapes, brushes, ratio, below)
    painting.go_on(math.inf)
    return painting.base()
