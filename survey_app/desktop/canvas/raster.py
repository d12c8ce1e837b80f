"""A picture in halves of halves: whatever the scale, only about as many pixels are touched as are shown."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QImage, QImageReader, QPainter, QTransform

from survey_app.paper.press import PDF_LOCK

__all__ = ["MOST_PIXELS", "PAGE_DPI", "Raster", "raster_of", "read_page", "read_picture"]

_MOST_MEGABYTES = 2048
_SMALLEST_PX = 256
_POINTS_PER_INCH = 72.0
PAGE_DPI = 150.0
"""Dots per inch at which a page of a PDF is drawn, unless another is chosen. [1/in]"""
MOST_PIXELS = 250_000_000
"""A picture with more pixels is not read: it would take more memory than a laptop has to give."""


@dataclass(frozen=True, eq=False)
class Raster:
    """A picture at full size and at every half of it, largest first."""

    levels: tuple[QImage, ...]

    @property
    def width_px(self) -> int:
        """Width at full size. [px]"""
        return self.levels[0].width()

    @property
    def height_px(self) -> int:
        """Height at full size. [px]"""
        return self.levels[0].height()

    def paint(self, painter: QPainter, to_screen: NDArray[np.float64], box: QRectF) -> None:
        """Paint the part of the picture that meets a box of the screen.

        Parameters
        ----------
        painter : QPainter
            Without a transform of its own.
        to_screen : ndarray of float, shape (2, 3)
            Takes (x, y, 1) in pixels of the picture, y down, to the screen, y down.
        box : QRectF
            What is shown. [px]
        """
        a, b, c = (float(v) for v in to_screen[0])
        d, e, f = (float(v) for v in to_screen[1])
        whole = QTransform(a, d, b, e, c, f)
        back, invertible = whole.inverted()
        if not invertible:
            return
        shown = back.mapRect(box).intersected(QRectF(0, 0, self.width_px, self.height_px))
        if shown.isEmpty():
            return
        ratio = painter.device().devicePixelRatioF()
        number = self._level(math.sqrt(abs(whole.determinant())) * ratio)
        level = self.levels[number]
        sx, sy = level.width() / self.width_px, level.height() / self.height_px
        part = QRectF(shown.x() * sx, shown.y() * sy, shown.width() * sx, shown.height() * sy)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.setWorldTransform(QTransform.fromScale(1.0 / sx, 1.0 / sy) * whole, True)
        painter.drawImage(part, level, part)
        painter.restore()

    def _level(self, px_per_px: float) -> int:
        """Return the smallest level that still has a pixel for each pixel of the screen."""
        if px_per_px >= 1.0:
            return 0
        return min(int(-math.log2(px_per_px)), len(self.levels) - 1)


def raster_of(picture: QImage, *, greyed: bool, inverted: bool) -> Raster:
    """Return a picture with its halves; at night a greyed one is inverted, so that lines are light on dark paper."""
    form = QImage.Format.Format_Grayscale8 if greyed else QImage.Format.Format_RGB32
    level = picture.convertToFormat(form)
    if greyed and inverted:
        level.invertPixels()
    levels = [level]
    while max(level.width(), level.height()) > _SMALLEST_PX:
        half = QSize(max(level.width() // 2, 1), max(level.height() // 2, 1))
        level = level.scaled(
            half, Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode.SmoothTransformation
        ).convertToFormat(form)
        levels.append(level)
    return Raster(tuple(levels))


def read_picture(path: Path) -> QImage | None:
    """Read a PNG or JPEG; None where there is no file, or it is no picture, damaged, or larger than can be held."""
    QImageReader.setAllocationLimit(_MOST_MEGABYTES)
    reader = QImageReader(str(path))
    reader.setAutoTransform(True)
    size = reader.size()
    if size.width() * size.height() > MOST_PIXELS:
        return None
    picture = reader.read()
    return None if picture.isNull() else picture


def read_page(path: Path, page: int, dpi: float) -> QImage | None:
    """Draw a page of a PDF; None where there is no such page, or it is larger than can be held.

    Parameters
    ----------
    path : Path
        The file.
    page : int
        From 1.
    dpi : float
        Dots per inch.
    """
    import pypdfium2 as pdfium

    scale = dpi / _POINTS_PER_INCH
    try:
        with PDF_LOCK:
            document = pdfium.PdfDocument(str(path))
            try:
                if not 1 <= page <= len(document):
                    return None
                leaf = document[page - 1]
                if leaf.get_width() * leaf.get_height() * scale**2 > MOST_PIXELS:
                    return None
                pixels = np.ascontiguousarray(leaf.render(scale=scale, rev_byteorder=True).to_numpy())
            finally:
                document.close()
    except (pdfium.PdfiumError, OSError):
        return None
    height, width, channels = pixels.shape
    form = {3: QImage.Format.Format_RGB888, 4: QImage.Format.Format_RGBA8888}.get(channels)
    if form is None:
        return None
    return QImage(pixels.data, width, height, channels * width, form).copy()
