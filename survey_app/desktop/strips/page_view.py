"""One page of a sheet, at its own size on the screen, sharp at every density."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import QColor, QImage, QKeyEvent, QPainter, QPaintEvent, QPen, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QScrollArea, QWidget

from survey_app.desktop import palette
from survey_app.desktop.strips.pdf_pages import PdfPages

__all__ = ["PageView"]

_MARGIN_PX = 18
_LEAST, _MOST = 0.5, 24.0
_STEP = 1.25


class _Leaf(QWidget):
    """The paper itself."""

    def __init__(self) -> None:
        super().__init__()
        self.picture = QImage()
        self.setAccessibleName("Page of the sheet")

    def paintEvent(self, _event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.drawImage(QPoint(0, 0), self.picture)
            painter.setPen(QPen(QColor(palette.current().colour("ink 3")), 1.0))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))


class PageView(QScrollArea):
    """Shows a page fitted to the width, to the whole page, or at a size of one's own.

    The wheel scrolls and turns pages at the ends, with Ctrl it zooms.
    """

    turned = Signal(int)
    """A person wants the page before (-1) or after (+1)."""
    zoomed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pages: PdfPages | None = None
        self._page = 0
        self._fit = "page"
        self._px_per_mm = 4.0
        self._leaf = _Leaf()
        self.setWidget(self._leaf)
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setAccessibleName("Sheet")
        palette.lights().changed.connect(self._dress)
        self._dress()

    @property
    def px_per_mm(self) -> float:
        """Device-independent pixels for a millimetre of paper. [px/mm]"""
        return self._px_per_mm

    @property
    def fit(self) -> str:
        """`width`, `page`, or empty for a size of one's own."""
        return self._fit

    @property
    def picture(self) -> QImage:
        """The page as it is shown, in device pixels."""
        return self._leaf.picture

    def show_page(self, pages: PdfPages | None, page: int) -> None:
        """Show a page from its top; None shows nothing."""
        self._pages, self._page = pages, page
        self._refit()
        self.verticalScrollBar().setValue(0)

    def set_fit(self, fit: str) -> None:
        """Fit to `width` or `page`."""
        self._fit = fit
        self._refit()

    def zoom(self, steps: int) -> None:
        """Enlarge or reduce by steps of a quarter."""
        self._fit = ""
        self._px_per_mm = min(max(self._px_per_mm * _STEP**steps, _LEAST), _MOST)
        self._refit()

    def _refit(self) -> None:
        if self._pages is None or not len(self._pages):
            self._leaf.picture = QImage()
            self._leaf.resize(0, 0)
            return
        size = self._pages.size_mm(self._page)
        room = self.maximumViewportSize()
        wide = (room.width() - 2 * _MARGIN_PX) / size.width()
        if self._fit == "width":
            bar = self.verticalScrollBar().sizeHint().width()
            high = wide * size.height() > room.height()
            self._px_per_mm = (room.width() - 2 * _MARGIN_PX - (bar if high else 0)) / size.width()
        elif self._fit == "page":
            self._px_per_mm = min(wide, (room.height() - 2 * _MARGIN_PX) / size.height())
        self._px_per_mm = min(max(self._px_per_mm, _LEAST), _MOST)
        ratio = self.devicePixelRatioF()
        picture = self._pages.picture(self._page, self._px_per_mm * ratio)
        picture.setDevicePixelRatio(ratio)
        self._leaf.picture = picture
        self._leaf.resize(picture.deviceIndependentSize().toSize())
        self._leaf.update()
        self.zoomed.emit()

    def _dress(self) -> None:
        self.setStyleSheet(f"QScrollArea {{ background: {palette.current().colour('desk').name()}; }}")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the page fitted."""
        super().resizeEvent(event)
        if self._fit:
            self._refit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Scroll, turn the page at its end, or zoom with Ctrl."""
        up = event.angleDelta().y() > 0
        bar = self.verticalScrollBar()
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom(1 if up else -1)
        elif up and bar.value() == bar.minimum():
            self.turned.emit(-1)
        elif not up and bar.value() == bar.maximum():
            self.turned.emit(1)
        else:
            super().wheelEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn pages with Page up and Page down, zoom with + and -, 0 = whole page."""
        key = event.key()
        if key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            self.turned.emit(-1 if key == Qt.Key.Key_PageUp else 1)
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Minus):
            self.zoom(1 if key == Qt.Key.Key_Plus else -1)
        elif key == Qt.Key.Key_0:
            self.set_fit("page")
        else:
            super().keyPressEvent(event)
