"""Tables on paper: columns, cells, groups of rows, and column widths that suit what stands in them."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from itertools import zip_longest
from typing import Any, Literal

from survey_app.drawing.letters import letters_width_mm
from survey_app.paper.mounting_view import TitleBlock
from survey_app.paper.press import PAPERS, clean

__all__ = [
    "BROAD_MM",
    "UPRIGHT_MM",
    "Cell",
    "Chain",
    "Column",
    "Empty",
    "Flags",
    "Group",
    "Lines",
    "Pair",
    "Parts",
    "Table",
    "Tick",
    "Words",
    "document",
    "fitted_widths",
    "held_words",
    "note_parts",
    "over_rows",
    "table_data",
    "unbroken",
]

BROAD_MM = 249.0
"""Live width of a page on its side; fits A4 and Letter."""
UPRIGHT_MM = 180.0
"""Live width of an upright page; fits A4 and Letter."""

_DATA_MM = 2.5
_HEAD_MM = 1.8
_TRACKING = 0.06 / 0.76
_INSETS_MM = 3.1  # 2.8 as drawn, and a little for rounding
_WORDS_LINES = 4
_CHAIN_LINES = 24
_SHORT_WORD = 6
_WIDEST_MM = 3.1  # of a letter of data
_BREAKS = re.compile(r"[^ \-]{1,16}-?")
_BREAK = "\N{ZERO WIDTH SPACE}"

Severity = Literal["stop", "warn", "note"]


@dataclass(frozen=True, slots=True)
class Words:
    """Text in a cell; it wraps, and what is longer than `lines` lines is cut."""

    text: str
    bold: bool = False
    italic: bool = False
    lines: int = _WORDS_LINES


@dataclass(frozen=True, slots=True)
class Pair:
    """A figure and the word after it, such as "2.0°" and "down": figures of a column stand under each other."""

    figure: str
    word: str


@dataclass(frozen=True, slots=True)
class Flags:
    """Numbers of findings in their shapes, and whether each was accepted."""

    rows: tuple[tuple[Severity, int, bool], ...]


@dataclass(frozen=True, slots=True)
class Tick:
    """A box to tick."""


@dataclass(frozen=True, slots=True)
class Empty:
    """An empty ruled box: a figure that is not known, or one to be written in. [mm]"""

    width_mm: float = 8.0
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Chain:
    """Links in order; a link is not split between lines unless it is wider than its column."""

    links: tuple[str, ...]
    commas: bool = False


@dataclass(frozen=True, slots=True)
class Parts:
    """Runs of text, a space between them: words, bold, italic."""

    rows: tuple[tuple[str, bool, bool], ...]


@dataclass(frozen=True, slots=True)
class Lines:
    """Lines that stay lines: a figure, and under it the same in another unit."""

    rows: tuple[str, ...]


Cell = Words | Lines | Pair | Flags | Tick | Empty | Chain | Parts


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its head on one or two lines, width, side, upright rule on its left, whether its text may wrap. [mm]

    A column that may wrap gives up to a quarter of its width to those that may not, and asks for none.
    """

    heads: tuple[str, ...]
    width_mm: float
    align: Literal["left", "right", "middle"] = "left"
    bold: bool = False
    rule: bool = False
    wraps: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """Rows under a head of their own; an empty head prints none."""

    head: str
    rows: tuple[tuple[Cell, ...], ...]
    flags: Flags = Flags(())


@dataclass(frozen=True, slots=True)
class Table:
    """A table over the live width.

    Attributes
    ----------
    over : tuple of (head, first column, column after the last)
        Heads over several columns.
    row_mm, head_mm : float
        Height of a row of one line, and of the head. [mm]
    heavy : bool
        A heavy rule between groups and heads in italic; else fine rules and heads in bold.
    indent_mm : float
        Where the heads of groups begin. [mm]
    """

    columns: tuple[Column, ...]
    groups: tuple[Group, ...]
    row_mm: float
    head_mm: float
    title: str = ""
    note: str = ""
    over: tuple[tuple[str, int, int], ...] = ()
    heavy: bool = False
    indent_mm: float = 2.0


def held_words(text: str, width_mm: float, lines: int = _WORDS_LINES, height_mm: float = _DATA_MM) -> str:
    """Return words that take at most so many lines of a width; only what is longer than that is cut.

    Examples
    --------
    >>> held_words("jetty", 10.0), held_words("m" * 300, 20.0, lines=1)
    ('jetty', 'mmmmm…')
    """
    # a line that wraps at words or at the sixteenth letter leaves up to a quarter of its width unused
    room_mm = width_mm if lines == 1 else 0.75 * lines * width_mm
    if letters_width_mm(text, height_mm) <= room_mm:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if letters_width_mm(text[:middle] + "…", height_mm) <= room_mm:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "…"


def fitted_widths(table: Table, live_mm: float) -> tuple[float, ...]:
    """Return the widths of a table's columns: as drawn, unless a column needs more and others have room to give.

    Parameters
    ----------
    table : Table
        The table; its columns' own widths add up to `live_mm`.
    live_mm : float
        Width to be filled. [mm]

    Returns
    -------
    tuple of float
        Widths in whole tenths of a millimetre that add up to `live_mm`. [mm]
    """
    widths = [column.width_mm for column in table.columns]
    needs = [_need_mm(table, index) for index in range(len(widths))]
    figures = [column.align != "left" for column in table.columns]
    # figures stay on one line; names may wrap: they give to figures, then ask for their longest word, then for all
    heads = [_heads_mm(column) for column in table.columns]
    words = [_longest_word_mm(table, index) for index in range(len(widths))]
    for least in (heads, words, needs):
        widths = _moved(
            widths,
            [need if figure else min(need, mm) for need, figure, mm in zip(needs, figures, least, strict=True)],
        )
    tenths = [round(10.0 * width) for width in widths]
    tenths[tenths.index(max(tenths))] += round(10.0 * live_mm) - sum(tenths)
    return tuple(size / 10.0 for size in tenths)


def _longest_word_mm(table: Table, index: int) -> float:
    """Width that a column of names needs so that no word leaves it: lines break at spaces and after hyphens."""
    cells = [row[index] for group in table.groups for row in group.rows]
    texts = [cell.text for cell in cells if isinstance(cell, Words)]
    words = {part for text in texts for word in unbroken(text).split() for part in _unbroken_parts(word)}
    widest = max((letters_width_mm(word, _DATA_MM) for word in words), default=0.0) + _INSETS_MM
    return max(min(widest, 2.0 * table.columns[index].width_mm), _heads_mm(table.columns[index]))


def _unbroken_parts(word: str) -> list[str]:
    return [word] if len(word) <= _SHORT_WORD else _BREAKS.findall(word)


def _heads_mm(column: Column) -> float:
    widths = [letters_width_mm(head, _HEAD_MM) + _TRACKING * _HEAD_MM * len(head) for head in column.heads]
    return max(widths) + _INSETS_MM


def _moved(widths: list[float], needs: list[float]) -> list[float]:
    """Move width from columns that have more than they need to those that have less, in proportion."""
    missing = [max(0.0, need - width) for need, width in zip(needs, widths, strict=True)]
    spare = [max(0.0, width - need) for need, width in zip(needs, widths, strict=True)]
    moved = min(sum(missing), sum(spare))
    if moved <= 0.0:
        return widths
    taken, given = moved / sum(spare), moved / sum(missing)
    return [width + given * lack - taken * room for width, lack, room in zip(widths, missing, spare, strict=True)]


def _need_mm(table: Table, index: int) -> float:
    column = table.columns[index]
    cells = [_cell_mm(row[index], column) for group in table.groups for row in group.rows]
    if column.wraps:
        cells = [min(max(cells, default=0.0), 0.75 * column.width_mm)]
    if any(isinstance(row[index], Pair) for group in table.groups for row in group.rows):
        cells.append(_pairs_mm(table, index))
    return max([*cells, _heads_mm(column)])


def _pairs_mm(table: Table, index: int) -> float:
    pairs = [row[index] for group in table.groups for row in group.rows]
    widest = max(letters_width_mm(pair.figure, _DATA_MM) for pair in pairs if isinstance(pair, Pair))
    return widest + 1.0 + _word_room_mm(table, index) + _INSETS_MM


def _cell_mm(cell: Cell, column: Column) -> float:
    """Width of a cell on one line; long words ask for no more than twice what was drawn for their column."""
    match cell:
        case Words(text=text):
            return min(letters_width_mm(text, _DATA_MM) + _INSETS_MM, 2.0 * column.width_mm)
        case Lines(rows=rows):
            return max(letters_width_mm(row, _DATA_MM) for row in rows) + _INSETS_MM
        case Pair():
            return 0.0
        case Flags(rows=rows):
            # several stand under each other where the column is narrow
            return max((_flag_mm(severity, number) for severity, number, _ in rows), default=0.0) + 0.6
        case Empty(width_mm=width, unit=unit):
            return width + letters_width_mm(unit, _DATA_MM) + _INSETS_MM
        case Chain(links=links):
            return letters_width_mm(" · ".join(links), _DATA_MM) + _INSETS_MM
        case Parts(rows=runs):
            return letters_width_mm(" ".join(run[0] for run in runs), _DATA_MM) + _INSETS_MM
        case Tick():
            return 4.0


def _flag_mm(severity: Severity, number: int) -> float:
    more = len(str(number)) - 1
    return 2.6 * (2.3 + 0.7 * more) + 0.3 if severity == "warn" else 2.0 * (2.3 + 0.3 * more) + 0.6


def table_data(table: Table, live_mm: float) -> dict[str, Any]:
    """Return a table as its template reads it, cells already fitted to their columns."""
    widths = fitted_widths(table, live_mm)
    room = [_word_room_mm(table, index) for index in range(len(widths))]
    return {
        "title": table.title,
        "note": table.note,
        "columns": [
            {"heads": list(c.heads), "width": w, "align": c.align, "bold": c.bold, "rule": c.rule}
            for c, w in zip(table.columns, widths, strict=True)
        ],
        "over": [list(row) for row in table.over],
        "row_high": table.row_mm,
        "head_high": table.head_mm,
        "heavy": table.heavy,
        "indent": table.indent_mm,
        "groups": [
            {
                "head": group.head,
                "flags": [list(flag) for flag in group.flags.rows],
                "rows": [
                    [
                        _cell_data(cell, width - _INSETS_MM, word_room, breaks=column.align == "left")
                        for cell, column, width, word_room in zip(row, table.columns, widths, room, strict=True)
                    ]
                    for row in group.rows
                ],
            }
            for group in table.groups
        ],
    }


def over_rows(cells: Sequence[Cell], columns: Sequence[Column], lines: int = _CHAIN_LINES) -> list[tuple[Cell, ...]]:
    """Return a row as one or several: chains that are too long for a page go on in rows that are empty else.

    Parameters
    ----------
    cells, columns : sequence of Cell, sequence of Column
        The row and its table's columns, with the widths that were drawn.
    lines : int
        How many lines of a column one row may take, about.
    """
    pieces = [
        _pieces(cell, column.width_mm, lines) if isinstance(cell, Chain) else [cell]
        for cell, column in zip(cells, columns, strict=True)
    ]
    return [tuple(row) for row in zip_longest(*pieces, fillvalue=Words(""))]


def _pieces(chain: Chain, width_mm: float, lines: int) -> list[Chain]:
    # a column may give up to a quarter of its width to others
    room_mm = 0.75 * width_mm - _INSETS_MM
    pieces: list[list[str]] = [[]]
    used = 0.0
    for link in chain.links:
        long = letters_width_mm(f"{link} · ", _DATA_MM)
        # what is longer than a line begins one of its own
        takes = long / room_mm if long <= room_mm else 1.0 + math.ceil(long / room_mm)
        if pieces[-1] and used + takes > 0.75 * lines:
            pieces.append([])
            used = 0.0
        pieces[-1].append(link)
        used += takes
    return [Chain(tuple(links), chain.commas) for links in pieces]


def _word_room_mm(table: Table, index: int) -> float:
    cells = [row[index] for group in table.groups for row in group.rows]
    return max((letters_width_mm(cell.word, _DATA_MM) for cell in cells if isinstance(cell, Pair)), default=0.0) + 0.1


def _cell_data(cell: Cell, width_mm: float, room_mm: float, *, breaks: bool) -> dict[str, Any]:
    """Return a cell as its template reads it; figures never break inside."""
    match cell:
        case Words(text=text, bold=bold, italic=italic, lines=lines):
            held = held_words(unbroken(text), width_mm, lines)
            most = _most_letters(held, width_mm) if breaks else 0
            return {"k": "words", "s": held, "bold": bold, "italic": italic, "most": most}
        case Lines(rows=rows):
            return {"k": "lines", "rows": list(rows)}
        case Pair(figure=figure, word=word):
            return {"k": "pair", "figure": figure, "word": word, "room": room_mm}
        case Flags(rows=rows):
            return {"k": "flags", "rows": [list(row) for row in rows]}
        case Tick():
            return {"k": "tick"}
        case Empty(width_mm=width, unit=unit):
            return {"k": "unknown", "width": min(width, width_mm), "unit": unit}
        case Chain(links=links, commas=commas):
            dot = "," if commas else " ·"
            whole = [[link, letters_width_mm(link + dot, _DATA_MM) <= width_mm] for link in map(unbroken, links)]
            return {"k": "chain", "rows": whole, "commas": commas, "most": int(width_mm / _WIDEST_MM)}
        case Parts(rows=rows):
            return {"k": "parts", "rows": [list(row) for row in rows]}


def unbroken(text: str) -> str:
    """Return words that cannot harm a page or a cell, without places to break inside a word.

    Examples
    --------
    >>> unbroken("a" * 20 + "\\x07") == "a" * 20
    True
    """
    return clean(text).replace(_BREAK, "")


def document(
    title: TitleBlock,
    *,
    paper: Literal["a4", "letter"],
    broad: bool,
    head: str = "",
    note: str = "",
    subject_head: str = "SUBJECT",
) -> dict[str, Any]:
    """Return what a template of pages needs: paper, head and title block.

    Parameters
    ----------
    title : TitleBlock
        The title block; its `sheet` is replaced by the page's own number.
    paper : {"a4", "letter"}
        Paper size.
    broad : bool
        Page on its side.
    head, note : str
        Head of every page and what stands at its right; an empty head prints none.
    subject_head : str
        Head of the title block's field for the subject, on upright pages.
    """
    width, height, _ = PAPERS[paper]
    return {
        "paper": {"width": height, "height": width} if broad else {"width": width, "height": height},
        "live": BROAD_MM if broad else UPRIGHT_MM,
        "head": head,
        "note": note,
        "title": asdict(title) | {"subject_head": subject_head},
    }


def _most_letters(text: str, width_mm: float) -> int:
    """How long a word may be before it may break anywhere; 0 where all parts of all words fit the column."""
    parts = [part for word in text.split() for part in _BREAKS.findall(word)]
    if all(letters_width_mm(part, _DATA_MM) <= width_mm for part in parts):
        return 0
    return max(1, int(width_mm / _WIDEST_MM))


def note_parts(words: Sequence[tuple[str, bool, bool]]) -> list[list[Any]]:
    """Return runs of text as a template reads them; empty runs are left out."""
    return [list(row) for row in words if row[0]]
