"""Cells of files that a spreadsheet opens: text never starts a formula, numbers stay numbers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from survey_app.paper.press import clean

__all__ = ["csv_text", "decimal_of", "safe_cell", "with_mark"]

_STARTS_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
_BREAK = "\N{ZERO WIDTH SPACE}"
_LONGEST = 32_000  # a spreadsheet refuses longer cells


def safe_cell(text: str) -> str:
    """Return text for a cell: on one line, without controls, an apostrophe before what would start a formula.

    Examples
    --------
    >>> safe_cell("=1+1"), safe_cell("jetty\\tno. 3"), safe_cell("-40 dBm"), safe_cell("2.0° down")
    ("'=1+1", 'jetty no. 3', "'−40 dBm", '2.0° down')
    """
    starts = text.startswith(_STARTS_FORMULA)
    plain = clean(text).replace(_BREAK, "")[:_LONGEST]
    return f"'{plain}" if starts or plain.startswith(_STARTS_FORMULA) else plain


def decimal_of(value: float) -> Decimal:
    """Return a float as the shortest decimal that means it, without an exponent or idle zeros.

    Sums of these are exact, so that a total equals its parts to the last figure.

    Examples
    --------
    >>> decimal_of(0.1) + decimal_of(0.2), decimal_of(305.0)
    (Decimal('0.3'), Decimal('305'))
    """
    found = Decimal(repr(float(value)))
    whole = found.to_integral_value()
    return whole if found == whole else found.normalize()


def csv_text(rows: Iterable[Sequence[str | Decimal | int | None]]) -> str:
    """Return rows as comma-separated values: text quoted and safe, numbers bare, None empty; lines end in CR LF.

    Examples
    --------
    >>> csv_text([["hop", "distance m"], ["=G", Decimal("142.6")], ["H2", None]])
    '"hop","distance m"\\r\\n"\\'=G",142.6\\r\\n"H2",\\r\\n'
    """
    return "".join(",".join(_csv_cell(cell) for cell in row) + "\r\n" for row in rows)


def _csv_cell(cell: str | Decimal | int | None) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return '"' + safe_cell(cell).replace('"', '""') + '"'
    return f"{cell:f}" if isinstance(cell, Decimal) else str(cell)


def with_mark(text: str) -> bytes:
    """Return values as the bytes of a file, with the mark by which spreadsheets know UTF-8."""
    return text.encode("utf-8-sig")
