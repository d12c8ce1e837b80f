"""A document of tables: sections with columns and rows, notes under them, a title block. Strings, already rounded."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from survey_app.paper.mounting_view import Flag, TitleBlock

__all__ = ["Box", "Cell", "Column", "Marks", "Row", "Section", "Span", "TableDocument"]


@dataclass(frozen=True, slots=True)
class Box:
    """An empty ruled box: to be ticked, to be written into, or for a figure that is not known."""

    kind: Literal["tick", "write"] = "tick"


@dataclass(frozen=True, slots=True)
class Marks:
    """Findings' shapes with their numbers."""

    flags: tuple[Flag, ...]


Cell = str | Box | Marks


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Attributes
    ----------
    head : tuple of str
        One or two lines in capitals; a unit stands as it is written.
    width_mm : float
        [mm]
    align : str
        "start", "end" or "middle".
    ruled : bool
        An upright rule on its left, where the subject changes.
    lines : int
        On how many lines its words may stand; the rest is cut.
    """

    head: tuple[str, ...]
    width_mm: float
    align: Literal["start", "end", "middle"] = "start"
    bold: bool = False
    ruled: bool = False
    lines: int = 1


@dataclass(frozen=True, slots=True)
class Span:
    """A head over several columns, from the first to the last inclusive."""

    first: int
    last: int
    head: str


@dataclass(frozen=True, slots=True)
class Row:
    """One row, or the head of a group when `group` has words."""

    cells: tuple[Cell, ...] = ()
    group: str = ""
    heavy: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """A table under a title; without a title its head row stands alone."""

    title: str
    note: str
    columns: tuple[Column, ...] = ()
    rows: tuple[Row, ...] = ()
    row_mm: float = 7.0
    spans: tuple[Span, ...] = ()
    group_style: Literal["italic", "bold"] = "italic"
    flags: tuple[Flag, ...] = ()
    lines: tuple[str, ...] = ()
    empty: str = ""


@dataclass(frozen=True, slots=True)
class TableDocument:
    """Sections one under the other, on as many pages as they need."""

    sections: tuple[Section, ...]
    title: TitleBlock
    landscape: bool = True
    writing: tuple[str, ...] = field(default=())
