"""A bad photocopier: 100 dpi, everything darker than 150 of 255 black, the rest white."""

from __future__ import annotations

import numpy as np
import pypdfium2
from numpy.typing import NDArray

from tests.paper.page_text import Run

DPI = 100.0
THRESHOLD = 150


def grey(pdf: bytes, page_number: int, dpi: float) -> NDArray[np.uint8]:
    page = pypdfium2.PdfDocument(pdf)[page_number]
    return np.asarray(page.render(scale=dpi / 72.0).to_pil().convert("L"))


def photocopy(pdf: bytes, page_number: int = 0) -> NDArray[np.bool_]:
    """Black pixels of the copy."""
    return grey(pdf, page_number, DPI) < THRESHOLD


def ink_of(black: NDArray[np.bool_], run: Run, dpi: float) -> float:
    """Share of a run's box that differs from what most of its edge is: ink on white, or white on black."""
    scale = dpi / 25.4
    rows = slice(int(run.top * scale), int(np.ceil(run.bottom * scale)) + 1)
    columns = slice(int(run.left * scale), int(np.ceil(run.right * scale)) + 1)
    box = black[rows, columns]
    edge = np.concatenate([box[0], box[-1], box[:, 0], box[:, -1]])
    share = float(box.mean())
    return 1.0 - share if edge.mean() > 0.5 else share
