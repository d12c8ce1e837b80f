"""Frames of the plan against a bare pyqtgraph view that pans the same polylines in one item, without labels."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from itertools import count

import numpy as np

from survey_app.drawing.roles import Role
from survey_app.spectrum.regions import load_regions
from tests.benchmarks.big_site import drawn_site
from tests.benchmarks.ratio import Ratio, best_of

__all__ = ["measure"]

_WIDTH, _HEIGHT = 1178, 708
_FRAMES = 40


def measure() -> list[Ratio]:
    """Return the ratios of frames; interim ones (in a gesture) and crisp ones (at rest) apart."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtWidgets import QApplication

    application = QApplication.instance() or QApplication([])
    canvas, desk = _canvas()
    bare = _bare_view(canvas)
    reference = _frame_s(lambda: bare.pan(2.0), bare)
    rows = [
        _ratio("drag of one pole, frame", _drag_s(canvas, desk), reference, at_least=0.5),
        _ratio("pan, everything shown, frame in the gesture", _pan_s(canvas), reference, at_least=1.0 / 3.0),
        _ratio("zoom, everything shown, frame in the gesture", _zoom_s(canvas), reference, at_least=1.0 / 3.0),
    ]
    crisp = best_of(lambda: _make(canvas), 3)
    rows.append(_ratio("crisp plan once the view rests", crisp, reference))
    bare.close()
    canvas.close()
    canvas.deleteLater()
    application.processEvents()
    return rows


def _ratio(what: str, ours_s: float, reference_s: float, at_least: float | None = None) -> Ratio:
    words = f"{what}, 500 wedges, 2,000 outlines, 500 hops"
    return Ratio(
        words,
        reference_s / ours_s,
        "of the frame rate of the bare view",
        at_least=at_least,
        ours_s=ours_s,
        reference_s=reference_s,
    )


def _canvas():
    from PySide6.QtWidgets import QApplication

    from survey_app.assess.pipeline import assess
    from survey_app.desktop.canvas.canvas import PlatCanvas
    from survey_app.desktop.desk import Desk
    from survey_app.session.document import Document

    site = drawn_site(500, 2000)
    desk = Desk(Document(site))
    desk.put_assessment(site, assess(site, load_regions()))
    canvas = PlatCanvas(desk)
    canvas.resize(_WIDTH, _HEIGHT)
    canvas.show()
    QApplication.processEvents()
    _settle(canvas)
    return canvas, desk


def _settle(canvas) -> None:
    """Wait until all that a gesture needs is made, as it is when the hand rests."""
    canvas.rested()
    while not canvas.sheet.settle_beyond(canvas.frame, 1.0):
        pass
    canvas.viewport().repaint()


def _make(canvas) -> None:
    canvas.sheet.look_changed(canvas.sheet.brushes)
    canvas.sheet.settle(canvas.frame, 1.0)


def _frame_s(step: Callable[[], object], view) -> float:
    """Return the mean time of a frame: a step of the gesture and the painting that shows it. [s]"""
    paint = view.viewport().repaint
    before = view.grab().toImage()
    for _ in range(3):
        step()
        paint()
    if view.grab().toImage() == before:
        raise SystemExit("the gesture changes nothing on the screen: no ratio can be given")
    started = time.perf_counter()
    for _ in range(_FRAMES):
        step()
        paint()
    return (time.perf_counter() - started) / _FRAMES


def _pan_s(canvas) -> float:
    _settle(canvas)
    back = canvas.frame
    found = _frame_s(lambda: canvas.pan(2.0, -1.0), canvas)
    canvas.show_frame(back)
    return found


def _zoom_s(canvas) -> float:
    """Half of the steps come nearer, half go farther."""
    _settle(canvas)
    back, factors = canvas.frame, iter([1.02, 1.0 / 1.02] * _FRAMES)
    found = _frame_s(lambda: canvas.zoom(next(factors), 400.0, 300.0), canvas)
    canvas.show_frame(back)
    return found


def _drag_s(canvas, desk) -> float:
    """Return the time of a frame in which the mouse drags a pole with its radio, hop and words. [s]

    The select tool has them in hand, as after a band was drawn round the pole: each frame makes the edit, its live
    numbers, its shapes and what it catches, and paints them.
    """
    from PySide6.QtCore import QEvent

    from survey_app.desktop.tools.select import SelectTool

    _settle(canvas)
    canvas.set_tool(SelectTool(desk, canvas))
    desk.select(("pole-A250", "A250"))
    spot = desk.placed.points["pole-A250"]
    x, y = canvas.frame.px(spot.x_m, spot.y_m)
    site, steps = desk.site, count(6)
    _mouse(canvas, QEvent.Type.MouseButtonPress, x, y)
    _mouse(canvas, QEvent.Type.MouseMove, x + 5.0, y)
    if "pole-A250" not in canvas.tool.overlay.lifted:
        raise SystemExit("the mouse has not taken the pole: no ratio can be given")
    found = _frame_s(lambda: _mouse(canvas, QEvent.Type.MouseMove, x + next(steps), y + 3.0), canvas)
    canvas.tool.cancel()
    _mouse(canvas, QEvent.Type.MouseButtonRelease, x, y)
    if desk.site is not site:
        raise SystemExit("the drag was to be given up and has changed the site")
    return found


def _mouse(canvas, kind, x_px: float, y_px: float) -> None:
    """Send what the left button and the mouse do over the plan."""
    from PySide6.QtCore import QEvent, QPointF, Qt
    from PySide6.QtGui import QMouseEvent
    from PySide6.QtWidgets import QApplication

    left, at = Qt.MouseButton.LeftButton, QPointF(x_px, y_px)
    button = Qt.MouseButton.NoButton if kind == QEvent.Type.MouseMove else left
    there = QPointF(canvas.viewport().mapToGlobal(at.toPoint()))
    event = QMouseEvent(kind, at, there, button, left, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(canvas.viewport(), event)


def _bare_view(canvas):
    """Return a bare view with the lines of the whole plan in one item, to be panned."""
    import pyqtgraph as pg
    from PySide6.QtCore import QRectF
    from PySide6.QtWidgets import QApplication

    from survey_app.drawing.shapes import Path, Strokes

    class Bare(pg.GraphicsView):
        def __init__(self) -> None:
            super().__init__()
            self.box = pg.ViewBox(lockAspect=1.0, enableMenu=False)
            self.setCentralItem(self.box)

        def pan(self, px: float) -> None:
            self.box.translateBy(x=-px / canvas.px_per_m, y=0.0)

    lines = [s for s in canvas.sheet.base.shapes if isinstance(s, Strokes | Path) and s.role is not Role.GRATICULE]
    points, joined = [], []
    for shape in lines:
        row: np.ndarray = np.asarray(shape.points, dtype=np.float64)
        links = shape.joined if isinstance(shape, Strokes) else np.arange(len(row)) < len(row) - 1
        points.append(row)
        joined.append(links.astype(np.int32))
    x, y = np.concatenate(points).T
    view = Bare()
    view.box.addItem(pg.PlotCurveItem(x, y, connect=np.concatenate(joined), pen=pg.mkPen("w"), skipFiniteCheck=True))
    view.resize(_WIDTH, _HEIGHT)
    view.show()
    QApplication.processEvents()
    x0, y0, x1, y1 = canvas.window_m
    view.box.setRange(QRectF(x0, y0, x1 - x0, y1 - y0), padding=0.0)
    return view


if __name__ == "__main__":
    for row in measure():
        print(row.words())
