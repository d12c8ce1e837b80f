"""What a file holds that may lie under the plan: how large the picture is, or how large a page of a PDF is drawn."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pypdfium2 as pdfium
from PySide6.QtGui import QImageReader

from survey_app.desktop.canvas.raster import MOST_PIXELS, PAGE_DPI, read_picture
from survey_app.errors import InputError
from survey_app.paper.press import PDF_LOCK

__all__ = ["PAGE_DPI", "PictureSize", "picture_size"]

_POINTS_PER_INCH = 72.0


class PictureSize(NamedTuple):
    """Size of a picture, and which page it is."""

    width_px: int
    height_px: int
    page: int | None
    dpi: float | None
    pages: int


def picture_size(path: Path, page: int = 1, dpi: float = PAGE_DPI) -> PictureSize:
    """Return the size of a picture file or of a page.

    Parameters
    ----------
    path : Path
        PNG, JPEG or PDF.
    page : int
        Page of a PDF, from 1.
    dpi : float
        Dots per inch at which the page is drawn. [1/in]

    Raises
    ------
    InputError
        It is none of these, or damaged, or too large, or has no such page.
    """
    if path.suffix.lower() == ".pdf":
        return _page_size(path, page, dpi)
    reader = QImageReader(str(path))
    reader.setAutoTransform(True)
    size = reader.size()
    if bytes(reader.format().data()) not in (b"png", b"jpeg") or not size.isValid():
        raise InputError("is no picture that can lie under the plan", where=str(path), remedy="take a PNG, JPEG or PDF")
    _check_held(path, size.width(), size.height())
    # its head may be sound and the rest cut off
    if read_picture(path) is None:
        raise InputError("cannot be read to its end", where=str(path), remedy="take another copy of it")
    return PictureSize(size.width(), size.height(), None, None, 1)


def _check_held(path: Path, width_px: int, height_px: int) -> None:
    if width_px * height_px > MOST_PIXELS:
        raise InputError(
            f"has {width_px} times {height_px} pixels, at most {MOST_PIXELS // 1_000_000} million can be held",
            where=str(path),
            remedy="make it smaller",
        )


def _page_size(path: Path, page: int, dpi: float) -> PictureSize:
    try:
        with PDF_LOCK:
            pdf = pdfium.PdfDocument(str(path))
            try:
                count = len(pdf)
                size = pdf.get_page_size(page - 1) if 1 <= page <= count else None
            finally:
                pdf.close()
    except (pdfium.PdfiumError, OSError) as error:
        raise InputError("cannot be read as a PDF", where=str(path), remedy="take another file") from error
    if size is None:
        raise InputError(f"has no page {page}, it has {count}", where=str(path))
    width, height = (max(1, round(length / _POINTS_PER_INCH * dpi)) for length in size)
    _check_held(path, width, height)
    return PictureSize(width, height, page, dpi, count)
