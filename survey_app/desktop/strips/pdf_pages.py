"""The pages of a PDF as pictures, at whatever size is asked."""

from __future__ import annotations

import re

import pypdfium2 as pdfium
from PySide6.QtCore import QSizeF
from PySide6.QtGui import QImage

from survey_app.paper.press import PDF_LOCK

__all__ = ["PdfPages"]

_MM_PER_POINT = 25.4 / 72.0


class PdfPages:
    """An open PDF; close it when it is no longer shown.

    Parameters
    ----------
    data : bytes
        The PDF.
    """

    def __init__(self, data: bytes) -> None:
        self.data = data
        with PDF_LOCK:
            self._pdf = pdfium.PdfDocument(data)
            self._sizes = tuple(self._pdf.get_page_size(n) for n in range(len(self._pdf)))

    def __len__(self) -> int:
        """Return the number of pages."""
        return len(self._sizes)

    def close(self) -> None:
        """Give the file back."""
        with PDF_LOCK:
            self._pdf.close()

    def size_mm(self, page: int) -> QSizeF:
        """Return the size of a page's paper. [mm]"""
        width, height = self._sizes[page]
        return QSizeF(width * _MM_PER_POINT, height * _MM_PER_POINT)

    def picture(self, page: int, px_per_mm: float, *, grey: bool = False) -> QImage:
        """Return a page as a picture.

        Parameters
        ----------
        page : int
            From 0.
        px_per_mm : float
            Device pixels for a millimetre of paper. [px/mm]
        grey : bool
            One byte a pixel instead of four, for printers.
        """
        with PDF_LOCK:
            leaf = self._pdf[page]
            bitmap = leaf.render(scale=px_per_mm * _MM_PER_POINT, grayscale=grey, prefer_bgrx=True)
            form = QImage.Format.Format_Grayscale8 if bitmap.n_channels == 1 else QImage.Format.Format_RGB32
            view = QImage(bytes(bitmap.buffer), bitmap.width, bitmap.height, bitmap.stride, form)
            # the picture outlives the library's memory
            picture = view.copy()
            bitmap.close()
            leaf.close()
        return picture

    def words(self, page: int) -> str:
        """Return the letters of a page."""
        with PDF_LOCK:
            leaf = self._pdf[page]
            text = leaf.get_textpage()
            words = str(text.get_text_bounded())
            text.close()
            leaf.close()
        return words

    def page_with(self, pattern: str) -> int | None:
        """Return the first page on which a pattern is found, or None."""
        wanted = re.compile(pattern)
        return next((page for page in range(len(self)) if wanted.search(self.words(page))), None)
