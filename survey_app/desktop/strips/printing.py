"""Prints the pages of a PDF, one after the other, so that the window stays awake."""

from __future__ import annotations

from PySide6.QtCore import QMarginsF, QObject, QRectF, QTimer, Signal
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter

from survey_app.desktop.strips.pdf_pages import PdfPages

__all__ = ["PrintRun"]

_MM_PER_INCH = 25.4
_FINEST_DPI = 600


class PrintRun(QObject):
    """Sends pages to a printer at its own resolution, at most 600 dots an inch, at their true size.

    Parameters
    ----------
    printer : QPrinter
        Where to; its page size and orientation follow each page.
    pages : PdfPages
        What is printed; must stay open until the run has ended.
    first, last : int
        Pages from 0, both printed.
    """

    advanced = Signal(int, int)
    """Pages done, of how many."""
    ended = Signal(str)
    """Empty, or one sentence on what went wrong."""

    def __init__(
        self, printer: QPrinter, pages: PdfPages, first: int, last: int, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._printer, self._pages = printer, pages
        self._first, self._last, self._next = first, last, first
        self._painter = QPainter()
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._page)

    def start(self) -> None:
        """Begin with the first page."""
        self._printer.setFullPage(True)
        self._lay_out(self._first)
        if not self._painter.begin(self._printer):
            self.ended.emit("The printer does not take the pages; choose another.")
            return
        self._timer.start()

    def call_off(self) -> None:
        """Print no further page."""
        if self._timer.isActive():
            self._timer.stop()
            self._printer.abort()
            self._painter.end()
            self.ended.emit("Printing was called off.")

    def _lay_out(self, page: int) -> None:
        size = self._pages.size_mm(page)
        turned = size.width() > size.height()
        upright = size.transposed() if turned else size
        way = QPageLayout.Orientation.Landscape if turned else QPageLayout.Orientation.Portrait
        paper = QPageSize(upright, QPageSize.Unit.Millimeter, "", QPageSize.SizeMatchPolicy.FuzzyMatch)
        self._printer.setPageLayout(QPageLayout(paper, way, QMarginsF(0.0, 0.0, 0.0, 0.0)))

    def _page(self) -> None:
        if self._next > self._first:
            self._lay_out(self._next)
            self._printer.newPage()
        dots_per_mm = self._printer.resolution() / _MM_PER_INCH
        picture = self._pages.picture(self._next, min(dots_per_mm, _FINEST_DPI / _MM_PER_INCH), grey=True)
        size = self._pages.size_mm(self._next)
        self._painter.drawImage(QRectF(0.0, 0.0, size.width() * dots_per_mm, size.height() * dots_per_mm), picture)
        self._next += 1
        self.advanced.emit(self._next - self._first, self._last - self._first + 1)
        if self._next > self._last:
            self._timer.stop()
            self._painter.end()
            self.ended.emit("")
