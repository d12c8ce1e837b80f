"""The tables of the guide's pages on things: every field with unit, range, default and meaning, from the records.

A page begins with words written by hand (what the thing is for, how to make one); everything from the heading
`## Fields` on is made here and replaced when the records change.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from survey_app.site.collection import COLLECTIONS
from survey_app.site.evidence import Evidence
from survey_app.site.plain import layout, plain
from survey_app.site.record import Record
from survey_app.site.reference_table import references_of
from survey_app.site.shape import FieldShape, fields_of, tag_of
from survey_app.site.site import AcceptedFinding, Defaults, Design, Plane, Site

__all__ = ["FIELDS_HEADING", "PAGES", "fields_section", "page_text"]

FIELDS_HEADING = "## Fields"


def _pages() -> Iterator[tuple[str, tuple[type[Record], ...]]]:
    yield "site", (Site, Design, Plane)
    yield "defaults", (Defaults,)
    for collection in COLLECTIONS:
        for record in collection.records:
            yield tag_of(record) or collection.word.replace(" ", "_"), (record,)
    yield "accepted_finding", (AcceptedFinding,)
    yield "evidence", (Evidence, *(field.records[""] for field in fields_of(Evidence).values()))
    yield "gear", tuple(dict.fromkeys(fields_of(Design)["gear"].records.values()))


PAGES: Mapping[str, tuple[type[Record], ...]] = dict(_pages())
"""The records that each page of the guide tells of."""


def _range(field: FieldShape) -> str:
    if field.holds == "choice" and not field.lists:
        return ", ".join(f"`{choice}`" for choice in field.choices)
    bounds = field.bounds
    words = []
    for low, high, form in (("ge", "le", "{} to {}"), ("gt", "le", "over {} to {}"), ("ge", "lt", "{} to under {}")):
        if low in bounds and high in bounds:
            words.append(form.format(_number(bounds[low]), _number(bounds[high])))
            break
    else:
        names = {"ge": "at least", "gt": "over", "le": "at most", "lt": "under"}
        words += [f"{word} {_number(bounds[key])}" for key, word in names.items() if key in bounds]
    unit = "rows" if field.lists else "characters"
    if "min_length" in bounds and bounds["min_length"] > 0:
        words.append(f"at least {bounds['min_length']} {unit}")
    if "max_length" in bounds:
        words.append(f"at most {bounds['max_length']} {unit}")
    return ", ".join(words)


def _number(value: float) -> str:
    return f"{value:,.0f}" if float(value).is_integer() else f"{value:g}"


_NAMES: dict[tuple[type[Record], str], str] = {
    (record, reference.path): f"id of {reference.words}"
    for collection in COLLECTIONS
    for record in collection.records
    for reference in references_of(collection.name)
}


def _holds(record: type[Record], field: FieldShape) -> str:
    if (record, field.name) in _NAMES:
        word = _NAMES[record, field.name]
    elif field.records:
        names = " or ".join(part.__name__ for part in dict.fromkeys(field.records.values()))
        word = names if len(field.records) <= 4 else "any of the kinds"
    else:
        word = field.holds
    return f"{'list of ' * field.lists}{word}{' or null' if field.nullable else ''}"


def _default(field: FieldShape) -> str:
    if field.required:
        return "required"
    value: Any = field.default
    if isinstance(value, tuple):
        return f"`{layout([plain(one) if isinstance(one, Record) else one for one in value])}`" if value else "none"
    if isinstance(value, Record):
        inside = plain(value)
        return f"`{layout(inside)}`" if inside else "its own defaults"
    if isinstance(value, str):
        return f"`{value}`" if value else "empty"
    return "null" if value is None else "yes" if value is True else "no" if value is False else f"{value:g}"


def _table(record: type[Record]) -> list[str]:
    lines = ["| field | holds | unit | range | default | meaning |", "| --- | --- | --- | --- | --- | --- |"]
    for field in fields_of(record).values():
        meaning = field.meaning or "Says which kind of record this is"
        cells = (f"`{field.name}`", _holds(record, field), field.unit or "", _range(field), _default(field), meaning)
        lines.append(f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |")
    return lines


def _parts(records: tuple[type[Record], ...]) -> list[type[Record]]:
    """Return the records that are parts of others, each once, in the order in which they are met."""
    met: list[type[Record]] = []
    ahead = list(records)
    things = {record for page in PAGES.values() for record in page}
    while ahead:
        record = ahead.pop(0)
        for field in fields_of(record).values():
            for part in dict.fromkeys(field.records.values()):
                if part not in met and part not in things:
                    met.append(part)
                    ahead.append(part)
    return met


def fields_section(page: str) -> str:
    """Return the generated part of a page, from the heading `## Fields` on."""
    records = PAGES[page]
    lines = [FIELDS_HEADING, ""]
    for record in records:
        if len(records) > 1:
            lines += [f"### {record.__name__}", "", (record.__doc__ or "").split("\n")[0], ""]
        lines += [*_table(record), ""]
    for part in _parts(records):
        lines += [f"### {part.__name__}", "", (part.__doc__ or "").split("\n")[0], "", *_table(part), ""]
    return "\n".join(lines)


def page_text(page: str, old_text: str) -> str:
    """Return a page anew: the words written by hand at the top of the old one, and the tables of today."""
    by_hand = old_text.split(FIELDS_HEADING)[0].rstrip() or f"# {page.replace('_', ' ').capitalize()}"
    return f"{by_hand}\n\n{fields_section(page)}"
