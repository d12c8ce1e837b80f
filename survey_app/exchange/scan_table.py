"""Scans of the air from a table of text: what was heard on which channel, where, when and with what."""

from __future__ import annotations

import csv
import datetime
import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from survey_app.errors import InputError
from survey_app.exchange.table_text import text_of
from survey_app.site.evidence import Scan, ScanRow
from survey_app.site.site import Site
from survey_app.site.validation import nearest
from survey_app.spectrum.channels import channel_of

__all__ = ["ImportedScans", "ScanWishes", "import_scans", "looks_like_scan"]

_MOST_ROWS = 20_000
_NAMES = {
    "channel": ("channel", "chan", "ch"),
    "frequency": ("frequency", "freq", "centre", "center"),
    "width": ("width", "bandwidth", "bw"),
    "level": ("level", "signal", "rssi", "power"),
    "busy": ("busy", "use", "utilisation", "utilization", "load"),
    "time": ("time", "at", "when", "date", "datetime"),
    "antenna": ("antenna",),
    "bearing": ("bearing", "azimuth"),
    "mount": ("mount", "place"),
}
_UNITS = ("mhz", "ghz", "dbm", "mw", "uw", "percent", "fraction", "deg", "true")
_STALE_DAYS = 365
_INDICATIVE = ("phone", "handheld", "laptop", "ground")


@dataclass(frozen=True)
class ScanWishes:
    """What a person says of a scan that the table does not say itself.

    Attributes
    ----------
    mount : str
        The mount where it was taken.
    at : datetime.datetime or None
        When, with its offset from UTC.
    by : str
        Who took it.
    """

    mount: str = ""
    at: datetime.datetime | None = None
    by: str = ""


@dataclass(frozen=True)
class ImportedScans:
    """Scans that were read from a file, and what was understood, a sentence each."""

    scans: tuple[Scan, ...]
    remarks: tuple[str, ...]


def _head(lines: list[str]) -> tuple[int, str, list[tuple[str, str]]]:
    """Return the place of the head, what parts the columns, and word and unit of each column."""
    place = next((n for n, line in enumerate(lines) if line.strip()), -1)
    if place < 0:
        return 0, ",", []
    parted = max(";\t,", key=lines[place].count)
    return place, parted, [_word_and_unit(cell) for cell in lines[place].split(parted)]


def _word_and_unit(cell: str) -> tuple[str, str]:
    text = cell.strip().strip('"').lower()
    for mark in "()[]/_%":
        text = text.replace(mark, " percent " if mark == "%" else " ")
    words = text.split()
    unit = " ".join(word for word in words if word in _UNITS)
    name = " ".join(word for word in words if word not in _UNITS)
    return name, unit


def _columns(heads: list[tuple[str, str]]) -> dict[str, tuple[int, str]]:
    found: dict[str, tuple[int, str]] = {}
    for place, (word, unit) in enumerate(heads):
        for name, words in _NAMES.items():
            if word in words and name not in found:
                found[name] = (place, unit)
    return found


def looks_like_scan(path: Path) -> bool:
    """Return whether a table's first line names a channel or frequency, and a level or how busy it is.

    Raises
    ------
    InputError
        The file cannot be read as text.
    """
    columns = _columns(_head(text_of(path, "split the table").splitlines())[2])
    return bool(columns.keys() & {"channel", "frequency"}) and bool(columns.keys() & {"level", "busy"})


def import_scans(path: Path, site: Site, wishes: ScanWishes) -> ImportedScans:
    """Read a table as scans: one for each mount, time, antenna and bearing.

    Parameters
    ----------
    path : Path
        Text in UTF-8, columns parted by semicolons, tabs or commas and named in the first line: `channel` (number of
        the middle of the block) or `frequency` (MHz or GHz), `level` (dBm, or mW where its head says so), and `width`
        (MHz), `busy` (per cent, or a fraction where its head says so), `time`, `antenna`, `bearing` (true), `mount`.
        Numbers with a decimal point, or a comma where no comma parts the columns.
    site : Site
        The site whose mounts are meant.
    wishes : ScanWishes
        What the table does not say itself.

    Raises
    ------
    InputError
        It is no such table; the line is named.
    """
    lines, where = text_of(path, "split the table").splitlines(), str(path)
    place, parted, heads = _head(lines)
    columns = _columns(heads)
    if not columns.keys() & {"channel", "frequency"} or "level" not in columns:
        lacking = "level" if columns.keys() & {"channel", "frequency"} else "channel or frequency"
        raise InputError(
            f"no column is named {lacking}", where=f"{where}, first line", remedy="name channel and level in dBm there"
        )
    if "mount" not in columns and not wishes.mount:
        raise InputError("nothing says at which mount it was taken", where=where, remedy="name it with --mount")
    if "time" not in columns and wishes.at is None:
        raise InputError("nothing says when it was taken", where=where, remedy="say so with --taken")
    groups: dict[tuple[str, datetime.datetime, str, float | None], list[ScanRow]] = {}
    mounts = {mount.id for mount in site.design.mounts}
    for line, cells in _rows(lines, place, parted, where):
        row = _Row(cells, columns, parted, f"{where}, line {line}")
        mount = row.text("mount") or wishes.mount
        if mount not in mounts:
            raise InputError(
                f"the site has no mount {mount[:40]!r}",
                where=row.where,
                remedy=nearest(mount, mounts) or "name a mount",
            )
        at = row.time() or wishes.at
        if at is None:
            raise InputError("no time stands in this line", where=row.where, remedy="say when with --taken")
        groups.setdefault((mount, at, row.text("antenna"), row.bearing_deg()), []).append(row.scan_row())
    if not groups:
        raise InputError("holds no line below its first", where=where)
    scans = tuple(
        Scan(
            at=at, by=wishes.by or "not noted", mount=mount, antenna=antenna, bearing_true_deg=bearing, rows=tuple(rows)
        )
        for (mount, at, antenna, bearing), rows in groups.items()
    )
    return ImportedScans(scans, tuple(remark for scan in scans for remark in _remarks(site, scan, columns)))


def _rows(lines: list[str], place: int, parted: str, where: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(lines[place + 1 :], delimiter=parted)
    count = 0
    try:
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            count += 1
            if count > _MOST_ROWS:
                raise InputError(f"has more than {_MOST_ROWS:,} lines", where=where, remedy="split the table")
            yield place + 1 + reader.line_num, cells
    except csv.Error as error:
        raise InputError(f"is no table ({error})", where=f"{where}, line {place + 1 + reader.line_num}") from error


class _Row:
    """One line of the table."""

    def __init__(self, cells: list[str], columns: dict[str, tuple[int, str]], parted: str, where: str) -> None:
        self._cells, self._columns, self._parted, self.where = cells, columns, parted, where

    def text(self, name: str) -> str:
        """Return what a column holds, empty where there is none."""
        place = self._columns.get(name, (-1, ""))[0]
        return self._cells[place].strip()[:100] if 0 <= place < len(self._cells) else ""

    def _number(self, name: str) -> float | None:
        text = self.text(name).rstrip("%").strip()
        if not text:
            return None
        if self._parted != "," or '"' in text or text.count(",") == 1:
            text = text.replace(",", ".")
        try:
            value = float(text.replace("\N{MINUS SIGN}", "-"))
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            raise InputError(
                f"{text[:30]!r} is no number for {name}", where=self.where, remedy="write one number there"
            )
        return value

    def _within(self, name: str, value: float, low: float, high: float, unit: str) -> float:
        if not low <= value <= high:
            raise InputError(
                f"{name} {value:g} lies outside of {low:g} to {high:g} {unit}",
                where=self.where,
                remedy="name its unit in the first line, as in level_mw or busy_fraction",
            )
        return value

    def _unit(self, name: str) -> str:
        return self._columns[name][1] if name in self._columns else ""

    def time(self) -> datetime.datetime | None:
        """Return when the line was taken; without an offset it is UTC."""
        text = self.text("time")
        if not text:
            return None
        try:
            found = datetime.datetime.fromisoformat(text)
        except ValueError:
            raise InputError(
                f"{text[:30]!r} is no time", where=self.where, remedy="write it as 2026-05-31T14:00+02:00"
            ) from None
        return found if found.tzinfo is not None else found.replace(tzinfo=datetime.UTC)

    def bearing_deg(self) -> float | None:
        """Return the bearing along which it was taken."""
        value = self._number("bearing")
        return None if value is None else self._within("bearing", value, 0.0, 360.0, "degrees") % 360.0

    def _channel(self) -> int:
        number = self._number("channel")
        if number is not None:
            self._within("channel", number, 1, 200, "")
            if number != int(number):
                raise InputError(f"{number:g} is no channel", where=self.where, remedy="write its whole number")
            return int(number)
        value = self._number("frequency")
        if value is None:
            raise InputError("neither channel nor frequency stands in this line", where=self.where)
        mhz = value * 1000.0 if "ghz" in self._unit("frequency") or value < 10.0 else value
        found = channel_of(round(mhz, 3))
        if found is None:
            raise InputError(f"no channel has its middle at {mhz:g} MHz", where=self.where, remedy="write the channel")
        return found

    def scan_row(self) -> ScanRow:
        """Return what was heard."""
        level = self._number("level")
        if level is None:
            raise InputError(
                "no level stands in this line", where=self.where, remedy="write dBm, or leave the line out"
            )
        unit = self._unit("level")
        if unit in ("mw", "uw"):
            if not level > 0.0:
                raise InputError(f"{level:g} {unit} is no power", where=self.where, remedy="write a power above 0")
            level = 10.0 * math.log10(level * (1e-3 if unit == "uw" else 1.0))
        busy = self._number("busy")
        if busy is not None and "fraction" in self._unit("busy"):
            busy *= 100.0
        width = self._number("width")
        return ScanRow(
            channel=self._channel(),
            width_mhz=20.0 if width is None else self._within("width", width, 0.1, 320.0, "MHz"),
            level_dbm=self._within("level", level, -120.0, 20.0, "dBm"),
            busy_percent=None if busy is None else self._within("busy", busy, 0.0, 100.0, "%"),
        )


def _remarks(site: Site, scan: Scan, columns: dict[str, tuple[int, str]]) -> Iterator[str]:
    days = (site.design.as_of - scan.at.date()).days
    with_what = f" with {scan.antenna}" if scan.antenna else ""
    yield f"A scan at {scan.mount} of {scan.at.date()}{with_what}: {len(scan.rows)} channels heard."
    if days > _STALE_DAYS:
        yield f"It is {days} days older than the planned date of installation: listen again at {scan.mount}."
    elif days < 0:
        yield f"It was taken {-days} days after the planned date of installation: see whether that date still holds."
    if any(word in scan.antenna.lower() for word in _INDICATIVE):
        yield f"It was not taken with the antenna that will hang at {scan.mount}: it is indicative only."
    elif not scan.antenna or scan.bearing_true_deg is None:
        lacking = "antenna" if not scan.antenna else "bearing"
        yield (
            f"The {lacking} is not noted: unless it was the antenna that will hang there, along its aim, "
            "it is indicative only."
        )
    if "busy" not in columns:
        yield "How busy the channels are is not noted, so that no air is counted as taken: note the per cent as well."
