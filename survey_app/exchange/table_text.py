"""A table of text: lines, the separator that the first line shows, cells by the name of their column."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from survey_app.errors import InputError

__all__ = ["TextTable", "number_of", "read_table", "text_of"]

_MOST_BYTES = 4 * 2**20


@dataclass(frozen=True)
class TextTable:
    """A table as it was written.

    Attributes
    ----------
    where : str
        The file, for sentences.
    heads : tuple of str
        Heads of its columns, letters small.
    lines : tuple of (int, tuple of str)
        Cells of every line that is not empty, with the line's number in the file.
    """

    where: str
    heads: tuple[str, ...]
    lines: tuple[tuple[int, tuple[str, ...]], ...]

    def columns(self, names: Mapping[str, Sequence[str]]) -> dict[str, int]:
        """Return the place of each column that is there, by our name for it.

        Raises
        ------
        InputError
            Two columns hold the same.
        """
        found: dict[str, int] = {}
        for name, words in names.items():
            places = [n for n, head in enumerate(self.heads) if head in words]
            if len(places) > 1:
                raise InputError(f"two columns hold '{name}'", where=f"{self.where}, first line")
            if places:
                found[name] = places[0]
        return found

    def rows(self, columns: Mapping[str, int]) -> Iterator[tuple[int, dict[str, str]]]:
        """Yield the cells of each line by name; a cell that is missing is empty."""
        for line, cells in self.lines:
            yield line, {name: cells[n].strip() if n < len(cells) else "" for name, n in columns.items()}


def read_table(path: Path, *, most_rows: int, remedy: str) -> TextTable:
    """Read a table of text: UTF-8, columns parted by commas, semicolons or tabs, named in the first line.

    Parameters
    ----------
    path : Path
        The file.
    most_rows : int
        More rows than so many are refused.
    remedy : str
        What to do with a table that is too large.

    Raises
    ------
    InputError
        It is no such table.
    """
    where = str(path)
    lines = text_of(path, remedy).splitlines()
    first = next((n for n, line in enumerate(lines) if line.strip()), None)
    if first is None:
        raise InputError("is empty", where=where)
    parted = max(",;\t", key=lines[first].count)
    heads = tuple(cell.strip().lower() for cell in next(csv.reader([lines[first]], delimiter=parted)))
    rows = []
    reader = csv.reader(lines[first + 1 :], delimiter=parted)
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append((first + 1 + reader.line_num, tuple(cells)))
            if len(rows) > most_rows:
                raise InputError(f"has more than {most_rows:,} rows", where=where, remedy=remedy)
    except csv.Error as error:
        raise InputError(
            f"cannot be read as a table ({error})", where=f"{where}, line {first + 1 + reader.line_num}"
        ) from error
    return TextTable(where, heads, tuple(rows))


def number_of(cell: str) -> float | None:
    """Return a number written with a decimal point or a decimal comma; None where it is none.

    A comma stands for the point only where no point is written and at most one comma is: `1,234.5` is refused, since
    nobody can tell what `1,234` means beside it.

    Examples
    --------
    >>> number_of("12.5"), number_of("12,5"), number_of(" -7 "), number_of("1,234.5"), number_of("nan")
    (12.5, 12.5, -7.0, None, None)
    """
    text = cell.strip().replace("\N{MINUS SIGN}", "-")
    if not text.isascii() or "_" in text:
        return None
    if text.count(",") == 1 and "." not in text:
        text = text.replace(",", ".")
    try:
        value = float(text)
    except ValueError:
        return None
    return value if abs(value) < float("inf") else None


def text_of(path: Path, remedy: str) -> str:
    """Return what a file of text holds.

    Raises
    ------
    InputError
        It cannot be read, is too large (`remedy` says what to do then), or is no text in UTF-8.
    """
    try:
        if not path.is_file():
            raise InputError("is not a file", where=str(path))
        with path.open("rb") as stream:
            data = stream.read(_MOST_BYTES + 1)
    except OSError as error:
        if isinstance(error, InputError):
            raise
        raise InputError(f"cannot be read ({(error.strerror or str(error)).lower()})", where=str(path)) from error
    if len(data) > _MOST_BYTES:
        raise InputError(f"is larger than {_MOST_BYTES // 2**20} MiB", where=str(path), remedy=remedy)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError("is no text in UTF-8", where=str(path), remedy="save the table as UTF-8") from error
