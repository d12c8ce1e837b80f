"""Lines, outlines and arcs as painter paths in pixels, made from whole arrays and cut to the window."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from pyqtgraph.functions import arrayToQPath
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainterPath

from survey_app.desktop.canvas.clip import clip_lines, clip_outline, needs_clip
from survey_app.drawing.shapes import Arc, Path, Strokes

__all__ = ["arc_path", "arc_points", "fill_path", "line_path", "outline_rows", "small_path"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Box = tuple[float, float, float, float]

_LARGE_ARC_PX = 1000.0
_CHORD_ERROR_PX = 0.1


def line_path(points: Floats, joined: Bools, box: Box) -> QPainterPath:
    """Return many lines as one path.

    Parameters
    ----------
    points : ndarray of float, shape (n, 2)
        In pixels, y down.
    joined : ndarray of bool, shape (n,)
        Whether a point is joined to the next.
    box : (x_min, y_min, x_max, y_max)
        What may be seen, with the width of the widest pen round it. [px]
    """
    if len(points) < 2:
        return QPainterPath()
    if needs_clip(points, box):
        points, joined = clip_lines(points, joined, box)
        if len(points) == 0:
            return QPainterPath()
    if bool(joined[:-1].all()):
        return arrayToQPath(points[:, 0], points[:, 1], finiteCheck=False)
    return arrayToQPath(points[:, 0], points[:, 1], connect=joined.astype(np.int32), finiteCheck=False)


def fill_path(rows: list[Floats], box: Box) -> QPainterPath:
    """Return outlines as one path to fill; where outlines overlap, what they cover is filled once."""
    kept = []
    for row in rows:
        inside = clip_outline(row, box) if needs_clip(row, box) else row
        if len(inside) >= 3:
            kept.append(inside[::-1] if _turns_left(inside) else inside)
    if not kept:
        return QPainterPath()
    points = np.concatenate(kept)
    joined = np.ones(len(points), dtype=np.int32)
    joined[np.cumsum([len(row) for row in kept]) - 1] = 0
    path = arrayToQPath(points[:, 0], points[:, 1], connect=joined, finiteCheck=False)
    path.setFillRule(Qt.FillRule.WindingFill)
    return path


def _turns_left(row: Floats) -> bool:
    x, y = row[:, 0] - row[0, 0], row[:, 1] - row[0, 1]
    return bool(np.dot(x, np.roll(y, -1)) < np.dot(y, np.roll(x, -1)))


def outline_rows(strokes: Strokes, points: Floats) -> list[Floats]:
    """Return the outlines of strokes one by one; `points` are theirs in pixels."""
    ends = np.flatnonzero(~strokes.joined) + 1
    return [row for row in np.split(points, ends[:-1] if len(ends) and ends[-1] == len(points) else ends) if len(row)]


def arc_points(arc: Arc, radius_px: float) -> Floats:
    """Return an arc as points in its own unit, dense enough for a radius on the screen; y up."""
    step = 2.0 * math.sqrt(2.0 * _CHORD_ERROR_PX / max(radius_px, 1.0))
    count = min(max(int(abs(math.radians(arc.sweep_deg)) / step) + 2, 8), 60_000)
    turn = np.radians(np.linspace(arc.start_deg, arc.start_deg + arc.sweep_deg, count))
    return np.stack((arc.centre[0] + arc.radius * np.sin(turn), arc.centre[1] + arc.radius * np.cos(turn)), axis=1)


def arc_path(x_px: float, y_px: float, radius_px: float, start_deg: float, sweep_deg: float) -> QPainterPath | None:
    """Return an arc round a point of the screen; None where it is so large that it must be cut to the window."""
    if radius_px > _LARGE_ARC_PX:
        return None
    path = QPainterPath()
    around = QRectF(x_px - radius_px, y_px - radius_px, 2.0 * radius_px, 2.0 * radius_px)
    if abs(sweep_deg) >= 360.0:
        path.addEllipse(around)
        return path
    path.arcMoveTo(around, 90.0 - start_deg)
    path.arcTo(around, 90.0 - start_deg, -sweep_deg)
    return path


def small_path(part: Path | Arc, scale: float) -> QPainterPath:
    """Return a part of a symbol, in pixels round its anchor, y down."""
    if isinstance(part, Arc):
        path = arc_path(
            part.centre[0] * scale, -part.centre[1] * scale, part.radius * scale, part.start_deg, part.sweep_deg
        )
        return path if path is not None else QPainterPath()
    path = QPainterPath()
    path.moveTo(part.points[0][0] * scale, -part.points[0][1] * scale)
    for x, y in part.points[1:]:
        path.lineTo(x * scale, -y * scale)
    if part.closed:
        path.closeSubpath()
    return path
