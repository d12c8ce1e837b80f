"""The tally's rows and their pivots: one source for paper, workbook and file of values.

Quantities are decimals, taken once from the assessment: a total equals its parts to the last figure in all three.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby

from survey_app.assess.record import Assessment, TallyPart, TallyRow
from survey_app.paper.cell_text import csv_text, decimal_of
from survey_app.paper.sources import Sources
from survey_app.site.site import Site

__all__ = [
    "COLUMNS",
    "Sheet",
    "TallyLine",
    "about_lines",
    "id_list",
    "id_runs",
    "not_adding_up",
    "quantity_of",
    "sheets_of",
    "tally_changes",
    "tally_csv",
    "tally_lines",
]

Value = str | Decimal | int | None

COLUMNS = ("item", "what", "for", "status", "need", "spare", "order", "unit", "how counted", "got")
"""Heads of the tally, in the order of the paper; the unit of a quantity stands in its row."""
_MORE = ("group", "by whom", "low h", "high h")
_FOOT_M = Decimal("0.3048")
_WHOM = {"lift_firm": "lift firm", "it": "IT"}
NOT_COUNTED = (
    "Not counted: mains work beyond the lines above, permissions and fees, proof of structures, tree work, making good "
    "of walls and roofs."
)


def quantity_of(value: float) -> Decimal:
    """Return a quantity as a decimal of at most three places: whole for pieces.

    Examples
    --------
    >>> quantity_of(12.0), quantity_of(0.1 + 0.2), quantity_of(2.25)
    (Decimal('12'), Decimal('0.3'), Decimal('2.25'))
    """
    return decimal_of(float(round(Decimal(repr(float(value))), 3)))


@dataclass(frozen=True, slots=True)
class TallyLine:
    """One line, its quantities as decimals."""

    item: int
    group: str
    what: str
    ids: tuple[str, ...]
    status: str
    need: Decimal
    spare: Decimal
    order: Decimal
    unit: str
    how: str
    by_whom: str
    parts: tuple[TallyPart, ...]
    low: Decimal | None
    high: Decimal | None
    price: Decimal | None


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table of a workbook: name, heads, rows, and how wide its columns are in letters."""

    name: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Value, ...], ...]
    widths: tuple[int, ...]


def tally_lines(site: Site, assessment: Assessment) -> tuple[TallyLine, ...]:
    """Return the tally's lines in the order of the assessment.

    Parameters
    ----------
    site : Site
        The document; where it asks for feet, lengths are said in feet too.
    assessment : Assessment
        Its assessment.
    """
    names = Sources(site, assessment).names
    feet = site.design.units != "metric"
    return tuple(_line(row, names, feet=feet) for row in assessment.tally)


def _line(row: TallyRow, names: dict[str, str], *, feet: bool) -> TallyLine:
    how = row.how_counted
    if feet and row.unit == "m":
        how = f"{how}; order {round(quantity_of(row.order) / _FOOT_M)} ft"
    radios = {key: names[key] for key in row.for_ids if key in names}
    return TallyLine(
        item=row.item,
        group=row.group,
        what=row.what,
        ids=tuple(radios.get(key, key) if row.group == "Radios" else key for key in row.for_ids),
        status=row.status,
        need=quantity_of(row.need),
        spare=quantity_of(row.spare),
        order=quantity_of(row.order),
        unit=row.unit,
        how=how,
        by_whom=_WHOM.get(row.by_whom, row.by_whom),
        parts=row.parts,
        low=None if row.low is None else quantity_of(row.low),
        high=None if row.high is None else quantity_of(row.high),
        price=None if row.unit_price is None else decimal_of(row.unit_price),
    )


_SHORT_STEM = 2  # letters: "W1 to W7", but "cam-gate-1 to 4"
_NUMBERED = re.compile(r"^(.*?)([0-9]{1,6})$")


def id_runs(ids: Sequence[str]) -> tuple[str, ...]:
    """Return ids for people, with runs of numbers drawn together.

    Examples
    --------
    >>> id_runs(("W1", "W2", "W3", "M1", "cam-gate-1", "cam-gate-2"))
    ('W1 to W3', 'M1', 'cam-gate-1, 2')
    """
    runs: list[tuple[str, list[int]]] = []
    for key in ids:
        found = _NUMBERED.match(key)
        stem, number = (found[1], int(found[2])) if found and str(int(found[2])) == found[2] else (key, -1)
        if number >= 0 and runs and runs[-1][0] == stem and runs[-1][1] and runs[-1][1][-1] == number - 1:
            runs[-1][1].append(number)
        else:
            runs.append((stem, [number] if number >= 0 else []))
    return tuple(_run_words(stem, numbers) for stem, numbers in runs)


def id_list(ids: Sequence[str]) -> str:
    """Return the same on one line."""
    return ", ".join(id_runs(ids))


def _run_words(stem: str, numbers: list[int]) -> str:
    if not numbers:
        return stem
    first, last = f"{stem}{numbers[0]}", str(numbers[-1])
    if len(numbers) == 1:
        return first
    last = f"{stem}{last}" if len(stem) <= _SHORT_STEM else last
    return f"{first}, {last}" if len(numbers) == 2 else f"{first} to {last}"


def not_adding_up(lines: Iterable[TallyLine]) -> tuple[str, ...]:
    """Return what a reader must know where the parts of a line do not add up to it; empty for a sound tally."""
    return tuple(
        f"Item {line.item}: its parts add up to {found.normalize():f}, not to {line.need}: check before you order."
        for line in lines
        if line.parts and (found := sum((quantity_of(p.quantity) for p in line.parts), Decimal(0))) != line.need
    )


def _row(line: TallyLine) -> tuple[Value, ...]:
    return (
        line.item, line.what, id_list(line.ids), line.status, line.need, line.spare, line.order, line.unit, line.how,
        None,
    )  # fmt: skip


def tally_csv(site: Site, assessment: Assessment) -> str:
    """Return the tally as comma-separated values: the columns of the paper, then group, by whom, hours low and high.

    Parameters
    ----------
    site : Site
        The document.
    assessment : Assessment
        Its assessment.

    Examples
    --------
    >>> from survey_app.assess.pipeline import assess
    >>> from survey_app.site.new import new_site
    >>> import datetime
    >>> empty = new_site("Yard", as_of=datetime.date(2026, 12, 1))
    >>> tally_csv(empty, assess(empty)).startswith('"item","what","for","status","need","spare","order","unit"')
    True
    """
    rows: list[tuple[Value, ...]] = [
        (*_row(line), line.group, line.by_whom, line.low, line.high) for line in tally_lines(site, assessment)
    ]
    return csv_text([(*COLUMNS, *_MORE), *rows])


def sheets_of(site: Site, assessment: Assessment) -> tuple[Sheet, ...]:
    """Return the tables of the workbook: the tally, its pivots, the trace, prices if any, and what is assumed.

    Parameters
    ----------
    site : Site
        The document.
    assessment : Assessment
        Its assessment.
    """
    sources, lines = Sources(site, assessment), tally_lines(site, assessment)
    main = Sheet(
        "tally",
        (*COLUMNS, *_MORE),
        tuple((*_row(line), line.group, line.by_whom, line.low, line.high) for line in lines),
        (6, 44, 40, 9, 9, 9, 9, 8, 34, 6, 20, 12, 8, 8),
    )
    climbs = {row.id: row.order for row in assessment.climbs}
    names = dict(sources.names) | {row.id: row.name for row in assessment.climbs}
    tables = [
        main,
        _pivot("by mount", "mount", lines, lambda part: part.mount, names, {}),
        _pivot("by climb", "climb", lines, lambda part: part.climb, names, climbs),
        _by("by kind", "kind", lines, lambda line: line.group),
        _by("by whom", "by whom", lines, lambda line: line.by_whom),
        _trace(lines),
    ]
    if any(line.price is not None for line in lines):
        tables.append(_prices(lines, site))
    tables.append(Sheet("about", ("about this tally",), tuple((row,) for row in about_lines(site, assessment)), (110,)))
    return tuple(tables)


def _pivot(
    name: str,
    head: str,
    lines: tuple[TallyLine, ...],
    place_of: Callable[[TallyPart], str | None],
    names: dict[str, str],
    order: dict[str, int],
) -> Sheet:
    """Quantities by place: the same parts, drawn together; spares stand at the end, at no place."""
    sums: dict[tuple[str | None, int], list[TallyPart]] = {}
    for line in lines:
        for part in line.parts:
            sums.setdefault((place_of(part), line.item), []).append(part)
    by_item = {line.item: line for line in lines}

    def rank(key: tuple[str | None, int]) -> tuple[bool, int, str, int]:
        place, item = key
        return place is None, order.get(place or "", 0), place or "", item

    rows: list[tuple[Value, ...]] = []
    for key in sorted(sums, key=rank):
        place, item = key
        line, parts = by_item[item], sums[key]
        number = (order.get(place or ""),) if order else ()
        rows.append(
            (
                *number, place or f"no {head}", names.get(place or "", ""), item, line.what,
                id_list(tuple(dict.fromkeys(part.subject for part in parts))), line.status,
                sum((quantity_of(part.quantity) for part in parts), Decimal(0)), line.unit, line.by_whom,
            )
        )  # fmt: skip
    blank = (None,) if order else ()
    rows += [
        (*blank, "spare", "", line.item, line.what, "", line.status, line.spare, line.unit, line.by_whom)
        for line in lines
        if line.spare
    ]
    first = ("climb no.",) if order else ()
    heads = (*first, head, "name", "item", "what", "for", "status", "quantity", "unit", "by whom")
    return Sheet(name, heads, tuple(rows), (*((9,) if order else ()), 18, 30, 6, 44, 40, 9, 10, 8, 12))


def _by(name: str, head: str, lines: tuple[TallyLine, ...], key: Callable[[TallyLine], str]) -> Sheet:
    first = list(dict.fromkeys(key(line) for line in lines))
    ordered = sorted(lines, key=lambda line: (first.index(key(line)), line.item))
    rows = tuple(
        (key(line), line.item, line.what, line.status, line.need, line.spare, line.order, line.unit) for line in ordered
    )
    heads = (head, "item", "what", "status", "need", "spare", "order", "unit")
    return Sheet(name, heads, rows, (22, 6, 44, 9, 9, 9, 9, 8))


def _trace(lines: tuple[TallyLine, ...]) -> Sheet:
    """Why so many: every part with the rule that asks for it."""
    rows = tuple(
        (line.item, line.what, part.subject, part.mount, part.climb, quantity_of(part.quantity), line.unit, part.rule)
        for line in lines
        for part in line.parts
    )
    heads = ("item", "what", "for", "mount", "climb", "quantity", "unit", "rule")
    return Sheet("trace", heads, rows, (6, 44, 22, 18, 22, 10, 8, 60))


def _prices(lines: tuple[TallyLine, ...], site: Site) -> Sheet:
    money = site.design.currency or "currency not stated"
    rows = tuple(
        (
            line.item, line.what, line.status, line.order, line.unit, line.price,
            None if line.price is None else line.price * line.order, line.how,
        )
        for line in lines
    )  # fmt: skip
    heads = ("item", "what", "status", "order", "unit", f"unit price {money}", f"total {money}", "how counted")
    return Sheet("prices", heads, rows, (6, 44, 9, 9, 8, 16, 16, 34))


def about_lines(site: Site, assessment: Assessment) -> tuple[str, ...]:
    """Return what a reader must know: of which design, what is assumed, what is not counted, the hours in all."""
    lines = tally_lines(site, assessment)
    design = site.design
    defaults = design.defaults
    rows = [
        f"{assessment.site}, revision {assessment.revision}, checksum {assessment.checksum}, for "
        f"{assessment.as_of.isoformat()}; rules: {assessment.rules_edition}; program {assessment.program_version}.",
        *not_adding_up(lines),
        *(f"Assumed: {sentence}" for sentence in assessment.assumptions),
        f"Assumed: cable runs as drawn; each outdoor run has {defaults.cable_drip_m:g} m of drip loop and "
        f"{defaults.cable_service_m:g} m of service length, {defaults.cable_waste_percent:g} % waste, whole drums.",
        NOT_COUNTED,
    ]
    hours = _hours(lines)
    if hours:
        rows.append(hours)
    return tuple(rows)


def _hours(lines: tuple[TallyLine, ...]) -> str:
    """Sum of the hours, and of each trade: the one sum over lines, for they are of one unit."""
    work = sorted((line for line in lines if line.unit == "h"), key=lambda line: line.by_whom)
    sums = [
        (whom, sum((line.order for line in group), Decimal(0)))
        for whom, group in groupby(work, lambda line: line.by_whom)
    ]
    if not sums:
        return ""
    total = sum((size for _, size in sums), Decimal(0))
    words = ", ".join(f"{whom} {size.normalize():f}" for whom, size in sums)
    return f"Hours in all {total.normalize():f}: {words}."


def tally_changes(before: Assessment, after: Assessment) -> str:
    """Return what is ordered more or less than in another assessment, in one sentence; empty if nothing.

    Parameters
    ----------
    before, after : Assessment
        The earlier and the later one.
    """
    sizes: dict[tuple[str, str], Decimal] = {}
    for sign, assessment in ((-1, before), (1, after)):
        for row in assessment.tally:
            key = (row.what, row.unit)
            sizes[key] = sizes.get(key, Decimal(0)) + sign * quantity_of(row.order)
    changed = [(what, unit, size) for (what, unit), size in sizes.items() if size]
    if not changed:
        return ""
    words = ", ".join(
        f"{'+' if size > 0 else chr(0x2212)} {abs(size).normalize():f}{'' if unit == 'piece' else f' {unit}'} {what}"
        for what, unit, size in changed
    )
    return f"Against revision {before.revision}: {words}."
