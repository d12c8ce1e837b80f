"""Lines, outlines and arcs as painter paths in pixels, made from whole arrays and cut to the window."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from pyqtgraph.functions import arrayToQPath
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainterPath

from survey_app.desktop.canvas.clip import clip_lines, clip_outline, needs_clip
from survey_app.drawing.shapes import Arc, Path

__all__ = ["arc_path", "arc_points", "fill_path", "fill_paths", "line_path", "small_path", "split_rows"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Box = tuple[float, float, float, float]

_LARGE_ARC_PX = 1000.0
_FAR_PX = 8000.0
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
    kept = [clip_outline(row, box) if needs_clip(row, box) else row for row in rows]
    kept = [row for row in kept if len(row) >= 3]
    if not kept:
        return QPainterPath()
    points = np.concatenate(kept) if len(kept) > 1 else kept[0]
    joined = np.ones(len(points), dtype=np.int32)
    joined[np.cumsum([len(row) for row in kept]) - 1] = 0
    return _wound(points, joined)


def fill_paths(points: Floats, joined: Bools, box: Box, at_once: int) -> list[QPainterPath]:
    """Return many outlines as paths of so many outlines each: the painter is slow with very long ones.

    Parameters
    ----------
    points : ndarray of float, shape (n, 2)
        Corners of all outlines in a row. [px]
    joined : ndarray of bool, shape (n,)
        Whether a corner is joined to the next; False ends an outline.
    box : (x_min, y_min, x_max, y_max)
        What may be seen. [px]
    at_once : int
        Outlines in a path.
    """
    rows = split_rows(points, joined)
    starts = np.cumsum([0, *(len(row) for row in rows[:-1])])
    low, high = np.minimum.reduceat(points, starts, axis=0), np.maximum.reduceat(points, starts, axis=0)
    seen: Bools = np.all((low <= box[2:]) & (high >= box[:2]), axis=1)
    # the painter cuts by itself what is not too far outside
    far = (_FAR_PX, _FAR_PX)
    inside: Bools = np.all((low >= np.subtract(box[:2], far)) & (high <= np.add(box[2:], far)), axis=1)
    kept = [
        row if whole else clip_outline(row, box)
        for row, shown, whole in zip(rows, seen.tolist(), inside.tolist(), strict=True)
        if shown
    ]
    kept = [row for row in kept if len(row) >= 3]
    paths = []
    for n in range(0, len(kept), at_once):
        some = kept[n : n + at_once]
        links = np.ones(sum(len(row) for row in some), dtype=np.int32)
        links[np.cumsum([len(row) for row in some]) - 1] = 0
        paths.append(_wound(np.concatenate(some), links))
    return paths


def _wound(points: Floats, joined: NDArray[np.int32]) -> QPainterPath:
    """Return outlines as a path in which all turn the same way, so that none is a hole in another."""
    ends = np.flatnonzero(joined == 0)
    starts = np.concatenate(([0], ends[:-1] + 1))
    following = np.arange(1, len(points) + 1)
    following[ends] = starts
    # from the first corner, so that far from the window the area keeps its digits
    near = points - np.repeat(points[starts], ends - starts + 1, axis=0)
    after = near[following]
    area = np.add.reduceat(near[:, 0] * after[:, 1] - near[:, 1] * after[:, 0], starts)
    back = np.repeat(area < 0.0, ends - starts + 1)
    number = np.arange(len(points))
    mirrored = np.repeat(starts + ends, ends - starts + 1) - number
    points = points[np.where(back, mirrored, number)]
    path = arrayToQPath(points[:, 0], points[:, 1], connect=joined, finiteCheck=False)
    path.setFillRule(Qt.FillRule.WindingFill)
    return path


def split_rows(points: Floats, joined: Bools) -> list[Floats]:
    """Return lines or outlines one by one."""
    ends = np.flatnonzero(~joined) + 1
    starts = [0, *ends.tolist()]
    return [points[a:b] for a, b in pairwise(starts) if b > a]


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
