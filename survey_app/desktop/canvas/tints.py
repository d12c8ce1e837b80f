"""Many overlapping outlines under one thin tint: what they cover together is tinted once, and quickly."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from pyqtgraph.functions import arrayToQPolygonF
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter

from survey_app.desktop.canvas.clip import clip_outline, needs_clip

__all__ = ["paint_tint"]

_COARSE_PX, _MANY, _COARSEST_PX = 2.0, 64, 4.0
"""Pixels of a pixel of the mask: the edge of a tint of a few per cent is drawn by its own line. [px]"""
_FAR_PX = 8000.0


def paint_tint(
    painter: QPainter, rows: list[NDArray[np.float64]], tint: QColor, box: tuple[float, float, float, float]
) -> None:
    """Tint the union of outlines.

    Parameters
    ----------
    painter : QPainter
        In pixels.
    rows : list of ndarray of float, shape (n, 2)
        Outlines. [px]
    tint : QColor
        With its alpha.
    box : (x_min, y_min, x_max, y_max)
        What may be seen. [px]
    """
    coarse = _COARSE_PX if len(rows) <= _MANY else _COARSEST_PX
    width, height = box[2] - box[0], box[3] - box[1]
    mask = QImage(max(int(width / coarse), 1), max(int(height / coarse), 1), QImage.Format.Format_ARGB32_Premultiplied)
    mask.fill(Qt.GlobalColor.transparent)
    full = QColor(tint)
    full.setAlpha(255)
    inner = QPainter(mask)
    inner.setPen(Qt.PenStyle.NoPen)
    inner.setBrush(full)
    inner.setCompositionMode(QPainter.CompositionMode.CompositionMode_Source)
    # the painter cuts by itself what is not too far outside
    beyond = (box[0] - _FAR_PX, box[1] - _FAR_PX, box[2] + _FAR_PX, box[3] + _FAR_PX)
    for row in rows:
        inside = clip_outline(row, beyond) if needs_clip(row, beyond) else row
        if len(inside) >= 3:
            scaled = (inside - (box[0], box[1])) / coarse
            inner.drawPolygon(arrayToQPolygonF(scaled[:, 0], scaled[:, 1]), Qt.FillRule.WindingFill)
    inner.end()
    painter.save()
    painter.setOpacity(tint.alphaF())
    painter.drawImage(QRectF(box[0], box[1], width, height), mask)
    painter.restore()
