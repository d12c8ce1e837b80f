"""Frames of the plan against a bare pyqtgraph view that pans the same polylines in one item, without labels."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from dataclasses import replace

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
    """Return the time of a frame in which a lifted pole is drawn with its hop and its words at a new place. [s]"""
    from survey_app.desktop.tools.tool import Overlay, Tool

    class Drag(Tool):
        name = "drag"

        def step(self) -> None:
            self.shapes = tuple(_shifted(shape) for shape in self.shapes)
            self.overlay = Overlay(shapes=self.shapes, lifted=frozenset({"pole-A250"}), words="9.2 m 127.6°")
            self.plan.refresh()

    _settle(canvas)
    tool = Drag(desk, canvas)
    tool.shapes = canvas.things_shapes(("pole-A250",))
    canvas.set_tool(tool)
    found = _frame_s(tool.step, canvas)
    canvas.set_tool(Tool(desk, canvas))
    return found


def _shifted(shape):
    """Return a shape a decimetre to the right."""
    if hasattr(shape, "at"):
        return replace(shape, at=(shape.at[0] + 0.1, shape.at[1]))
    if hasattr(shape, "centre"):
        return replace(shape, centre=(shape.centre[0] + 0.1, shape.centre[1]))
    if isinstance(shape.points, tuple):
        return replace(shape, points=tuple((x + 0.1, y) for x, y in shape.points))
    return replace(shape, points=shape.points + np.array((0.1, 0.0)))


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
    view.box.addItem(pg.PlotCurveItem(x, y, connect=np.concatenate(joined), pen=pg.mkPen("k"), skipFiniteCheck=True))
    view.resize(_WIDTH, _HEIGHT)
    view.show()
    QApplication.processEvents()
    x0, y0, x1, y1 = canvas.window_m
    view.box.setRange(QRectF(x0, y0, x1 - x0, y1 - y0), padding=0.0)
    return view


if __name__ == "__main__":
    for row in measure():
        print(row.words())
