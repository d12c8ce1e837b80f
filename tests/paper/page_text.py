"""What stands where on a printed page: words with their boxes, in millimetres from the paper's upper left corner."""

from __future__ import annotations

import ctypes
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import shapely

_MM = 25.4 / 72.0


@dataclass(frozen=True)
class Run:
    """One text object: its letters, box, the four corners of its own turned box, and size of the em."""

    text: str
    left: float
    top: float
    right: float
    bottom: float
    em: float
    corners: tuple[tuple[float, float], ...]

    def overlaps(self, other: Run, slack: float) -> bool:
        """Whether the boxes, as they are turned, share more than a sliver of `slack`. [mm]"""
        if self.right < other.left or other.right < self.left or self.bottom < other.top or other.bottom < self.top:
            return False
        # a box without an area raises a floating point flag on its way to an empty one
        with np.errstate(invalid="ignore"):
            one, two = shapely.Polygon(self.corners).buffer(-slack), shapely.Polygon(other.corners).buffer(-slack)
            return bool(one.intersects(two))


@lru_cache(maxsize=512)
def runs_of(pdf: bytes, page_number: int = 0) -> tuple[Run, ...]:
    """Return the text objects of a page with what they say; read once, since every law asks for them."""
    document = pypdfium2.PdfDocument(pdf)
    page = document[page_number]
    height = page.get_height()
    text_page = page.get_textpage()
    runs = []
    for item in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT], max_depth=4):
        left, bottom, right, top = item.get_bounds()
        length = pdfium.FPDFTextObj_GetText(item.raw, text_page.raw, None, 0)
        buffer = ctypes.create_string_buffer(length)
        pdfium.FPDFTextObj_GetText(
            item.raw, text_page.raw, ctypes.cast(buffer, ctypes.POINTER(ctypes.c_ushort)), length
        )
        size = ctypes.c_float()
        pdfium.FPDFTextObj_GetFontSize(item.raw, size)
        quad = pdfium.FS_QUADPOINTSF()
        pdfium.FPDFPageObj_GetRotatedBounds(item.raw, quad)
        ends = ((quad.x1, quad.y1), (quad.x2, quad.y2), (quad.x3, quad.y3), (quad.x4, quad.y4))
        corners = tuple((x * _MM, (height - y) * _MM) for x, y in ends)
        words = buffer.raw[: max(length - 2, 0)].decode("utf-16-le", "replace")
        runs.append(
            Run(
                words, left * _MM, (height - top) * _MM, right * _MM, (height - bottom) * _MM, size.value * _MM, corners
            )
        )
    return tuple(runs)


@lru_cache(maxsize=64)
def page_count(pdf: bytes) -> int:
    return len(pypdfium2.PdfDocument(pdf))


@lru_cache(maxsize=512)
def words_of(pdf: bytes, page_number: int = 0) -> str:
    """Return all words of a page, in the order in which they were set."""
    text = pypdfium2.PdfDocument(pdf)[page_number].get_textpage().get_text_range()
    return " ".join(text.replace("\xa0", " ").replace("\u200b", "").split())
