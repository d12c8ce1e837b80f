"""The plane on the screen: pyqtgraph's view with one item that paints all, and where the plane lies in it."""

from __future__ import annotations

from dataclasses import replace

import pyqtgraph as pg
from PySide6.QtCore import QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QPainter, QResizeEvent, QTransform
from PySide6.QtWidgets import QFrame, QGraphicsView, QWidget

from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.canvas.neatline import Margins

__all__ = ["PlaneView"]

_REST_MS = 80
_FIT_MARGIN_PX = 48.0
_STEP = 1.5


class _Painted(pg.UIGraphicsItem):
    """The one item: whatever the view shows is painted by the canvas, in pixels."""

    def __init__(self, view: PlaneView) -> None:
        super().__init__()
        self._view = view

    def paint(self, painter: QPainter, *_: object) -> None:
        """Paint the whole view."""
        painter.setWorldTransform(QTransform())
        self._view.paint_plan(painter)


class PlaneView(pg.GraphicsView):
    """A window of the plane that can be moved and enlarged; subclasses paint it."""

    viewed = Signal()
    """Another part of the plane is shown, or another scale."""

    def __init__(self, scale: float = 1.0, parent: QWidget | None = None) -> None:
        super().__init__(parent, useOpenGL=False, background=None)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.FullViewportUpdate)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.viewport().setMouseTracking(True)
        self._scale = scale
        self._frame = Frame(0.0, 0.0, 2.0, 100.0, 100.0, 4.0 * scale)
        self._covered_px = 0.0
        self._shows_whole = True
        """Whether nobody has moved the view since the whole site was shown: then it stays whole."""
        self.box = pg.ViewBox(border=None, lockAspect=1.0, enableMouse=False, enableMenu=False, defaultPadding=0.0)
        self.setCentralItem(self.box)
        self._item = _Painted(self)
        self.box.addItem(self._item, ignoreBounds=True)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(_REST_MS)
        self._rest.timeout.connect(self.rested)

    def close(self) -> bool:
        """Close the window; unlike pyqtgraph's view it can be shown again."""
        return bool(QGraphicsView.close(self))

    # -- for subclasses

    def paint_plan(self, painter: QPainter) -> None:
        """Paint all; the painter counts device-independent pixels of the window."""

    def rested(self) -> None:
        """The view has not moved for a while."""

    def whole_site(self) -> tuple[float, float, float, float] | None:
        """Return the part of the plane that the site takes."""
        return None

    # -- where the plane lies

    @property
    def frame(self) -> Frame:
        """Where the plane lies in the window."""
        return self._frame

    @property
    def px_per_m(self) -> float:
        """Scale of the screen. [px/m]"""
        return self._frame.px_per_m

    @property
    def window_m(self) -> tuple[float, float, float, float]:
        """The part of the plane in the window: x_min, y_min, x_max, y_max. [m]"""
        return self._frame.window_m

    @property
    def interface_scale(self) -> float:
        """Scale of the interface, 1 to 2: letters and symbols grow with it."""
        return self._scale

    def show_frame(self, frame: Frame) -> None:
        """Show another part of the plane."""
        self._shows_whole = False
        self._place(frame)

    def zoom(self, factor: float, x_px: float | None = None, y_px: float | None = None) -> None:
        """Enlarge about a point of the window, or about its middle."""
        middle_x, middle_y = self._frame.middle_px
        at_x, at_y = (middle_x if x_px is None else x_px), (middle_y if y_px is None else y_px)
        self.show_frame(self._frame.zoomed(factor, at_x, at_y))

    def zoom_in(self) -> None:
        """Come nearer by one step."""
        self.zoom(_STEP)

    def zoom_out(self) -> None:
        """Go farther by one step."""
        self.zoom(1.0 / _STEP)

    def pan(self, dx_px: float, dy_px: float) -> None:
        """Move the plane to the right and down."""
        self.show_frame(self._frame.panned(dx_px, dy_px))

    def show_whole_site(self) -> None:
        """Show the whole site."""
        window = self.whole_site()
        if window is not None:
            self._place(self._frame.fitted(window, _FIT_MARGIN_PX * self._scale))
        self._shows_whole = True

    def show_window(self, window_m: tuple[float, float, float, float], most_px_per_m: float = 8.0) -> None:
        """Bring a part of the plane into view; the scale stays where there is room for it."""
        fitted = self._frame.fitted(window_m, _FIT_MARGIN_PX * self._scale)
        scale = min(fitted.px_per_m, max(self._frame.px_per_m, min(most_px_per_m, fitted.px_per_m)))
        if self._frame.px_per_m <= fitted.px_per_m:
            scale = self._frame.px_per_m if self._readable(window_m) else min(most_px_per_m, fitted.px_per_m)
        if not (scale == self._frame.px_per_m and self._frame.holds(window_m)):
            self.show_frame(replace(fitted, px_per_m=scale))

    def _readable(self, window_m: tuple[float, float, float, float]) -> bool:
        """Whether something is large enough on the screen as it is: points always are from half a pixel a metre."""
        across = max(window_m[2] - window_m[0], window_m[3] - window_m[1]) * self._frame.px_per_m
        return across >= 60.0 or self._frame.px_per_m >= 0.8

    def _place(self, frame: Frame) -> None:
        self._frame = frame
        self._tell_box()
        self._rest.start()
        self.viewport().update()
        self.viewed.emit()

    def _tell_box(self) -> None:
        """Let pyqtgraph's box show what the frame shows, so that other items could lie in the plane as well."""
        size = self.viewport().size()
        x0, y0 = self._frame.m(0.0, float(size.height()))
        x1, y1 = self._frame.m(float(size.width()), 0.0)
        self.box.setRange(QRectF(x0, y0, x1 - x0, y1 - y0), padding=0.0, disableAutoRange=True)

    def cover_right(self, covered_px: float) -> None:
        """End the plan where something lies over its right side; what is still seen stays where it is."""
        if covered_px != self._covered_px:
            before = self._frame
            self._covered_px = covered_px
            after = self._resized()
            grown_px = after.width_px - before.width_px
            self._place(replace(after, x_m=before.x_m + grown_px / 2.0 / before.px_per_m))

    def _resized(self) -> Frame:
        margins = Margins().scaled(self._scale)
        size = self.viewport().size()
        width = max(size.width() - self._covered_px - margins.left - margins.right, 10.0)
        height = max(size.height() - margins.top - margins.bottom, 10.0)
        return self._frame.resized(margins.left, margins.top, width, height)

    def _lay_out(self) -> None:
        self._frame = self._resized()
        if self._shows_whole:
            self.show_whole_site()
        else:
            self._place(self._frame)
        self._tell_box()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the middle in the middle."""
        super().resizeEvent(event)
        if hasattr(self, "_item"):
            self._lay_out()
