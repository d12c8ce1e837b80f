"""Plain tables: columns lined up by spaces, nothing that a copy or a filter would lose."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence

__all__ = ["table", "width_of"]


def table(rows: Iterable[Sequence[str]], align: str = "") -> list[str]:
    """Return rows as lines with their columns lined up, two spaces apart.

    Parameters
    ----------
    rows : iterable of sequence of str
        Rows of equal length.
    align : str
        `<` or `>` for each column; columns beyond it stand at the left.

    Examples
    --------
    >>> table([("hop", "m"), ("G", "142.6"), ("long", "9.1")], align="<>")
    ['hop       m', 'G     142.6', 'long    9.1']
    """
    listed = [tuple(row) for row in rows]
    columns = list(zip(*listed, strict=True))
    widths = [max(map(width_of, column)) for column in columns]
    sides = align.ljust(len(widths), "<")
    lines = []
    for row in listed:
        cells = [_padded(cell, width, side) for cell, width, side in zip(row, widths, sides, strict=True)]
        lines.append("  ".join(cells).rstrip())
    return lines


def width_of(text: str) -> int:
    """Return how many columns of a terminal words take: wide letters two, marks over a letter none."""
    return sum(
        0 if unicodedata.combining(letter) else 2 if unicodedata.east_asian_width(letter) in "WF" else 1
        for letter in text
    )


def _padded(text: str, width: int, side: str) -> str:
    space = " " * (width - width_of(text))
    return space + text if side == ">" else text + space
