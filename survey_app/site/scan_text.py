"""Rows of a scan as people have them: copied from a table, or typed with a separator between the figures."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pydantic import ValidationError

from survey_app.errors import InputError
from survey_app.site.evidence import ScanRow
from survey_app.site.validation import faults_of

__all__ = ["SCAN_FIELDS", "scan_row", "scan_rows_from_text"]

SCAN_FIELDS = ("channel", "width_mhz", "level_dbm", "busy_percent")
"""Columns of a row, in order."""

_HEADS = {
    "channel": ("channel", "chan", "ch"),
    "width_mhz": ("width", "bandwidth"),
    "level_dbm": ("level", "signal", "dbm", "strongest"),
    "busy_percent": ("busy", "use", "util", "load", "%"),
}
_WHERE = "rows of a scan"
_MOST = 500


def scan_rows_from_text(text: str) -> tuple[ScanRow, ...]:
    """Read rows from text: one a line, figures parted by tabs, semicolons, commas or blanks.

    Parameters
    ----------
    text : str
        Two figures of a line are channel and level, three channel, width and level, four also how busy it was. A line
        of words before the figures says which column is which.

    Raises
    ------
    InputError
        A line cannot be read; its number is told.

    Examples
    --------
    >>> [(row.channel, row.width_mhz, row.level_dbm) for row in scan_rows_from_text("36 -71\\n100;40;-64")]
    [(36, 20.0, -71.0), (100, 40.0, -64.0)]
    >>> scan_rows_from_text("level\\tbusy\\tchannel\\n-80\\t12 %\\t52")[0].busy_percent
    12.0
    """
    order: tuple[str, ...] | None = None
    rows: list[ScanRow] = []
    for number, line in enumerate(text.splitlines(), 1):
        cells = _cells(line)
        if not any(cells):
            continue
        if not rows and order is None and not any(re.search(r"\d", cell) for cell in cells):
            order = _order(cells)
            continue
        if len(rows) == _MOST:
            raise InputError(f"a scan has at most {_MOST} rows", where=_WHERE, remedy="paste fewer")
        rows.append(_row(cells, order, number))
    if not rows:
        raise InputError("there are no figures in it", where=_WHERE, remedy="copy rows of channel, width, level, busy")
    return tuple(rows)


def _cells(line: str) -> list[str]:
    for separator in ("\t", ";"):
        if separator in line:
            return [cell.strip() for cell in line.split(separator)]
    plain = re.sub(r"(?<=\d)\s+(?=%|dBm|MHz)", "", line.strip())
    parted = [cell.strip() for cell in plain.split(",")]
    # a comma between figures that blanks part already stands before decimals
    return parted if len(parted) > 1 and not any(" " in cell for cell in parted) else plain.split()


def _order(cells: Sequence[str]) -> tuple[str, ...]:
    found = []
    for cell in cells:
        words = cell.lower()
        names = [name for name, heads in _HEADS.items() if any(head in words for head in heads)]
        # "channel width" is a width
        found.append("width_mhz" if "width_mhz" in names else names[0] if names else "")
    return tuple(found) if "channel" in found and "level_dbm" in found else ()


def _row(cells: Sequence[str], order: tuple[str, ...] | None, number: int) -> ScanRow:
    usual = {2: ("channel", "level_dbm"), 3: SCAN_FIELDS[:3], 4: SCAN_FIELDS}
    names = order or usual.get(len(cells))
    if names is None:
        raise InputError(
            f"line {number} has {len(cells)} figures",
            where=_WHERE,
            remedy="give channel and level, with the width between them and how busy it was behind",
        )
    try:
        return scan_row({name: cell for name, cell in zip(names, cells, strict=False) if name})
    except InputError as error:
        raise InputError(f"line {number}: {error.what}", where=_WHERE, remedy=error.remedy) from None


def scan_row(cells: dict[str, str]) -> ScanRow:
    """Return a row from the words of its cells; width and busy may be empty.

    Raises
    ------
    InputError
        A cell is no figure, out of its range, or missing.
    """
    values: dict[str, float | int | None] = {}
    for name in SCAN_FIELDS:
        figure = _figure(cells.get(name, ""), name)
        if name == "channel" and figure is not None:
            if figure != int(figure):
                raise InputError(f"'{cells[name]}' is no channel", where=_WHERE, remedy="give its number")
            values[name] = int(figure)
        elif figure is not None:
            values[name] = figure
    for name, word in (("channel", "channel"), ("level_dbm", "level")):
        if name not in values:
            raise InputError(f"the {word} is missing", where=_WHERE, remedy="each row has a channel and a level")
    try:
        return ScanRow(**values)  # type: ignore[arg-type]
    except ValidationError as error:
        fault = faults_of(error, ScanRow)[0]
        raise InputError(f"{fault.place} {fault.sentence}", where=_WHERE) from None


def _figure(cell: str, name: str) -> float | None:
    plain = cell.strip().replace("\N{MINUS SIGN}", "-")
    plain = re.sub(r"\s*(%|dbm|mhz)$", "", plain, flags=re.IGNORECASE)
    if not plain:
        return None
    try:
        value = float(plain.replace(",", ".") if plain.count(",") == 1 else plain)
    except ValueError:
        value = float("nan")
    if not abs(value) < float("inf"):
        word = name.partition("_")[0]
        raise InputError(
            f"'{cell.strip()}' is no figure for the {word}", where=_WHERE, remedy="give a number"
        ) from None
    return value
