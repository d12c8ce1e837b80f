"""Puts documents of tables on pages: heads repeat, a row never breaks, sections do not begin at the foot of a page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict
from typing import Any, Literal

from survey_app.drawing.letters import wrapped
from survey_app.paper.mounting_view import Flag
from survey_app.paper.press import PAPERS, clean, press
from survey_app.paper.table_view import Box, Cell, Column, Marks, Row, Section, TableDocument

__all__ = ["table_pdf"]

_LANDSCAPE_MM = 249.0
_UPRIGHT_MM = 180.0
_TITLE_MM = 14.0
_WRITE_MM = 15.0
_BAND_MM = 10.8
_HEAD_MM = 6.6
_HEAD_LINE_MM = 2.9
_GROUP_MM = 6.6
_TEXT_MM = 2.5
_PITCH_MM = 3.8
_FLAG_MM = 6.2
_ROWS_KEPT = 2
_FLAG_COLUMN_MM = 5.4


def table_pdf(documents: Sequence[TableDocument], paper: Literal["a4", "letter"] = "a4") -> bytes:
    """Return documents of tables as one PDF.

    Parameters
    ----------
    documents : sequence of TableDocument
        Each begins on a page of its own and counts its pages.
    paper : {"a4", "letter"}
        Paper size; the live width (249 mm lying, 180 mm upright) is the same on both.

    Returns
    -------
    bytes
        The PDF; the same documents give the same bytes on any day.

    Raises
    ------
    InternalError
        A page could not be set.
    """
    pages = [page for document in documents for page in _pages(document, paper)]
    name = documents[0].title if documents else None
    title = f"{name.document}, {name.site}" if name else ""
    return press("table", {"title": title, "pages": pages})


def _pages(document: TableDocument, paper: Literal["a4", "letter"]) -> list[dict[str, Any]]:
    width, height, live = PAPERS[paper]
    if document.landscape:
        width, height, live = height, width, width - 20.0
    inner = _LANDSCAPE_MM if document.landscape else _UPRIGHT_MM
    foot = _TITLE_MM + (_WRITE_MM if document.writing else 0.0)
    placed = _Flow(live - foot)
    for section in document.sections:
        _place_section(placed, section, inner)
    total = len(placed.pages)
    return [
        {
            "paper": {"width": width, "height": height, "live": live, "inner": inner},
            "items": items,
            "title": asdict(document.title) | {"sheet": f"{number} / {total}"},
            "title_height": _TITLE_MM,
            "writing": list(document.writing),
            "write_height": _WRITE_MM if document.writing else 0.0,
        }
        for number, items in enumerate(placed.pages, start=1)
    ]


class _Flow:
    """Where the next item goes."""

    def __init__(self, room_mm: float) -> None:
        self._room = room_mm
        self._y = 0.0
        self.pages: list[list[dict[str, Any]]] = [[]]

    def fits(self, height_mm: float) -> bool:
        return self._y + height_mm <= self._room + 1e-6

    def turn(self) -> None:
        if self.pages[-1]:
            self.pages.append([])
            self._y = 0.0

    def put(self, kind: str, height_mm: float, **data: Any) -> None:
        self.pages[-1].append({"kind": kind, "y": round(self._y, 3), "h": round(height_mm, 3), **data})
        self._y += height_mm


def _place_section(flow: _Flow, section: Section, inner: float) -> None:
    heads = _head_height(section)
    heights = [_row_height(section, row) for row in section.rows]
    first = sum(heights[:_ROWS_KEPT]) if heights else _row_height(section, Row())
    band = _BAND_MM if section.title else 0.0
    if not flow.fits(band + heads + first):
        flow.turn()
    if section.title:
        flow.put("band", band, title=section.title, note=section.note)
    head = _head(section)
    if section.columns:
        flow.put("head", heads, **head)
    for index, (row, height) in enumerate(zip(section.rows, heights, strict=True)):
        following = heights[index + 1] if row.group and index + 1 < len(heights) else 0.0
        if not flow.fits(height + following):
            flow.turn()
            if section.title:
                flow.put("band", band, title=section.title, note="continued")
            flow.put("head", heads, **head)
        _put_row(flow, section, row, height)
    if not section.rows and section.empty:
        _put_lines(flow, [section.empty], inner, section)
    _put_flags(flow, section, inner)
    _put_lines(flow, section.lines, inner, section)
    flow.put("end", 0.0)


def _head_height(section: Section) -> float:
    if not section.columns:
        return 0.0
    lines = max(len(column.head) for column in section.columns)
    return _HEAD_MM + _HEAD_LINE_MM * (lines - 1) + (1.9 if section.spans else 0.0)


def _head(section: Section) -> dict[str, Any]:
    return {
        "columns": [
            {"head": list(c.head), "x": x, "w": c.width_mm, "align": c.align} for x, c in _edges(section.columns)
        ],
        "spans": [
            {
                "head": span.head,
                "x": sum(c.width_mm for c in section.columns[: span.first]),
                "w": sum(c.width_mm for c in section.columns[span.first : span.last + 1]),
            }
            for span in section.spans
        ],
    }


def _edges(columns: Iterable[Column]) -> Iterator[tuple[float, Column]]:
    x = 0.0
    for column in columns:
        yield x, column
        x += column.width_mm


def _cell_lines(column: Column, cell: Cell) -> list[str]:
    """Break a cell's words; what goes beyond its last line is cut there."""
    if not isinstance(cell, str):
        return []
    lines = list(wrapped(clean(cell), _TEXT_MM, column.width_mm - 3.6)) if column.lines > 1 else [cell]
    if len(lines) > column.lines:
        kept = lines[: column.lines]
        kept[-1] = " ".join([kept[-1], *lines[column.lines :]])
        return kept
    return lines


def _row_height(section: Section, row: Row) -> float:
    if row.group:
        return max(_GROUP_MM, section.row_mm)
    lines = max((len(_cell_lines(c, cell)) for c, cell in zip(section.columns, row.cells, strict=False)), default=1)
    return section.row_mm + _PITCH_MM * (max(lines, 1) - 1)


def _put_row(flow: _Flow, section: Section, row: Row, height: float) -> None:
    if row.group:
        flow.put("group", height, text=row.group, style=section.group_style, heavy=row.heavy)
        return
    cells = []
    for (x, column), cell in zip(_edges(section.columns), row.cells, strict=True):
        data: dict[str, Any] = {"x": x, "w": column.width_mm, "align": column.align, "bold": column.bold}
        data["ruled"] = column.ruled
        if isinstance(cell, Box):
            data |= {"box": cell.kind}
        elif isinstance(cell, Marks):
            room = max(int((column.width_mm - 1.0) / _FLAG_COLUMN_MM), 1)
            data |= {"flags": [_flag(flag) for flag in cell.flags[:room]], "more": len(cell.flags) > room}
        else:
            data |= {"lines": _cell_lines(column, cell)}
        cells.append(data)
    flow.put("row", height, cells=cells)


def _flag(flag: Flag) -> dict[str, Any]:
    return {"number": flag.number, "severity": flag.severity, "accepted": flag.accepted != ""}


def _put_flags(flow: _Flow, section: Section, inner: float) -> None:
    if section.flags:
        flow.put("end", 0.8)
    for flag in section.flags:
        lines = wrapped(clean(flag.text), _TEXT_MM, inner - 16.0)
        height = _FLAG_MM + _PITCH_MM * (len(lines) - 1)
        if not flow.fits(height):
            flow.turn()
            flow.put("band", _BAND_MM, title=section.title, note="notes, continued")
        flow.put("flag", height, lines=list(lines), **_flag(flag))


def _put_lines(flow: _Flow, texts: Iterable[str], inner: float, section: Section) -> None:
    lines = [line for text in texts for line in wrapped(clean(text), _TEXT_MM, inner - 6.0)]
    for index, line in enumerate(lines):
        height = _PITCH_MM + (2.2 if index == 0 else 0.0) + (1.6 if index == len(lines) - 1 else 0.0)
        if not flow.fits(height):
            flow.turn()
            flow.put("band", _BAND_MM, title=section.title, note="notes, continued")
        flow.put("line", height, text=line, first=index == 0)
