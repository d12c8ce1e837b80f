"""Why is this number so? Walks the declared lineage of a quantity down to the site, the gear and the rules."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator
from typing import Any

from survey_app.assess.kin import KINDS, Kin, Subject
from survey_app.assess.lineage import Path, Rule, Segment, paths_of, rule_of
from survey_app.assess.on_request import asked_of
from survey_app.assess.reason import Origin, Reason, documents
from survey_app.assess.record import Assessment
from survey_app.errors import UnknownNameError
from survey_app.site.record import Record, unit_of
from survey_app.site.site import Site
from survey_app.spectrum.regions import Regions, load_regions
from survey_app.spectrum.rules import BandRow

__all__ = ["Explainer", "Origin", "Reason", "documents", "explain"]

_UNIT_BESIDE = frozenset({"value", "limit", "need", "spare", "order"})
"""Fields whose unit stands in another field of their row."""

_ASKED_BY_KIND = frozenset({"tally", "failure"})
"""Kinds whose rows are called like other rows, and are meant only where the kind is said."""


def explain(site: Site, assessment: Assessment, subject: str, quantity: str | None = None) -> tuple[Reason, ...]:
    """Return why numbers of a subject are what they are.

    Parameters
    ----------
    site, assessment : Site, Assessment
        The document and what came out of it.
    subject : str
        Id of a thing or a finding; `kind:id` where one id names several rows; `site`.
    quantity : str or None
        Field, such as `bearing_true_deg` or `ends.station.tilt_deg`; None = all numbers of the subject. Some are worked
        out when asked for alone, see `on_request`.

    Returns
    -------
    tuple of Reason
        One for each number of that name: a field of both ends gives two.

    Raises
    ------
    UnknownNameError
        There is no such subject or quantity; the nearest names are offered.
    """
    return Explainer(site, assessment).ask(subject, quantity)


class Explainer:
    """Answers about one assessment; what was worked out once is kept.

    Parameters
    ----------
    site, assessment : Site, Assessment
        The document and what came out of it.
    regions : Regions or None
        Radio rules; None reads those that travel with the program.
    """

    def __init__(self, site: Site, assessment: Assessment, regions: Regions | None = None) -> None:
        self.site, self.design = site, site.design
        self.kin = Kin(site.design, assessment)
        self.regions = regions or load_regions()
        self._bands: dict[str, BandRow] = {row.id: row for region in self.regions.regions for row in region.rows}
        self._known: dict[tuple[str, str, str, str], Reason] = {}
        self._open: list[tuple[str, str, str, str]] = []

    def ask(self, subject: str, quantity: str | None = None) -> tuple[Reason, ...]:
        """Return the reasons of numbers; see `explain`."""
        tops = self._find(subject)
        numbers = [pair for top in tops for pair in self.numbers(top)]
        if quantity is None:
            return tuple(self.reason(*pair) for pair in numbers)
        requested = self._on_request(tops, quantity)
        if requested:
            return requested
        chosen = [pair for pair in numbers if _called(pair, quantity)]
        if not chosen:
            chosen = [pair for top in tops for pair in self._words(top) if _called(pair, quantity)]
        if not chosen:
            names = {f"{part.slot}.{field}" if part.slot else field for part, field in numbers}
            short = {name.rpartition(".")[2] for name in names} | {key for top in tops for key in asked_of(top.kind)}
            raise UnknownNameError(
                f"{subject} has no number called '{quantity}'", remedy=_offer(quantity, names | short)
            )
        exact = [pair for pair in chosen if not pair[0].slot]
        return tuple(self.reason(*pair) for pair in (exact[:1] or chosen))

    def _on_request(self, tops: Iterable[Subject], quantity: str) -> tuple[Reason, ...]:
        """Return what is worked out when it is asked for; nothing where the quantity is no such one."""
        wanted = [top for top in tops if quantity in asked_of(top.kind)]
        if not wanted:
            return ()
        from survey_app.assess.requested import requested

        return tuple(
            reason
            for top in wanted
            for reason in requested(self.site, self.regions, top.kind, top.id, quantity, self._made_from(top, quantity))
        )

    def _made_from(self, subject: Subject, quantity: str) -> tuple[Reason, ...]:
        """Return the numbers of the subject that such an answer begins with."""
        return tuple(
            self.reason(*pair) for pair in self.numbers(subject) if pair[1] in asked_of(subject.kind)[quantity]
        )

    def numbers(self, subject: Subject) -> Iterator[tuple[Subject, str]]:
        """Yield every number of a row and of its parts, as the part and the field."""
        for field in type(subject.row).model_fields:
            value = getattr(subject.row, field)
            if rule_of(type(subject.row), field, subject.field) is not None:
                yield subject, field
            elif isinstance(value, Record):
                yield from self.numbers(subject.part(field))
            elif isinstance(value, tuple) and value and isinstance(value[0], Record):
                for number in range(len(value)):
                    yield from self.numbers(subject.part(field, number))

    def _words(self, subject: Subject) -> Iterator[tuple[Subject, str]]:
        """Yield every field of a row and of its parts that holds no number: words, references, claims."""
        for field in type(subject.row).model_fields:
            value = getattr(subject.row, field)
            if isinstance(value, Record):
                yield from self._words(subject.part(field))
            elif not (isinstance(value, tuple) and value and isinstance(value[0], Record)):
                yield subject, field

    def reason(self, subject: Subject, field: str) -> Reason:
        """Return why one field of a row is what it is, with everything that it is made from.

        Raises
        ------
        ValueError
            The declarations go round in a circle.
        """
        key = (subject.kind, subject.id, subject.slot, field)
        if key in self._known:
            return self._known[key]
        if key in self._open:
            ring = self._open[self._open.index(key) :]
            circle = " <- ".join(".".join(part for part in step if part) for step in ring)
            raise ValueError(f"the lineage goes round in a circle: {circle}")
        self._open.append(key)
        try:
            found = self._reason(subject, field)
        finally:
            self._open.pop()
        self._known[key] = found
        return found

    def _reason(self, subject: Subject, field: str) -> Reason:
        value = getattr(subject.row, field)
        declared = rule_of(type(subject.row), field, subject.field)
        name = f"{subject.name}, {field}"
        if declared is None:
            missing = "" if value is not None else _missing(subject, field)
            return Reason(name, value, "", "computed", "Words, a reference or a claim, no number.", missing=missing)
        source, section = self._source(subject, declared)
        inputs: dict[str, Reason] = {}
        for text in declared.inputs:
            for reason in self._inputs(subject, text):
                inputs.setdefault(reason.name, reason)
        return Reason(
            name=name,
            value=value,
            unit=self._unit(subject, field, declared),
            origin="computed",
            says=declared.says,
            source=source,
            section=section,
            document=documents().get(source, ""),
            missing="" if value is not None else _missing(subject, field),
            inputs=tuple(inputs.values()),
        )

    def _unit(self, subject: Subject, field: str, declared: Rule) -> str:
        if declared.unit == "{currency}":
            return str(self.design.currency)
        stated = getattr(subject.row, "unit", "") if field in _UNIT_BESIDE else ""
        return declared.unit if declared.unit is not None else str(stated) or unit_of(field) or ""

    def _source(self, subject: Subject, declared: Rule) -> tuple[str, str]:
        """Return key and section; a rule may name the field that holds the key, or the row of a region that does."""
        match = re.fullmatch(r"\{([a-z_.]+)\}", declared.source)
        if match is None:
            return declared.source, declared.section
        named = next((str(value) for value in self._values(subject, match[1]) if value is not None), "")
        bands = [self._bands[part] for part in named.split("+") if part in self._bands]
        if bands:
            return bands[0].source, "; ".join(band.citation for band in bands)
        return named, declared.section

    def _inputs(self, subject: Subject, text: str) -> tuple[Reason, ...]:
        """Return the reasons of one input: those of the first way that leads to a value."""
        empty: tuple[Reason, ...] = ()
        for path in paths_of(text):
            found = tuple(self._follow(subject, path))
            if any(reason.value is not None for reason in found):
                return found
            empty = empty or found
        return empty

    def _follow(self, subject: Subject, path: Path) -> Iterator[Reason]:
        match path.scope:
            case "row":
                yield from self._in_row(subject, path.segments)
            case "site":
                yield from self._in_record(subject, self.design, path.segments, "design", "site")
            case "gear":
                for gear_id in dict.fromkeys(self._values(subject, path.key or "")):
                    for number, item in enumerate(self.design.gear):
                        if item.id == gear_id:
                            place = f"design.gear[{number}] ({gear_id})"
                            yield from self._in_record(subject, item, path.segments, place, "gear")
            case "rule":
                for value in dict.fromkeys(self._values(subject, path.key or "")):
                    for row_id in str(value or "").split("+"):
                        if row_id in self._bands:
                            yield self._band(self._bands[row_id])

    def _in_row(self, subject: Subject, segments: tuple[Segment, ...]) -> Iterator[Reason]:
        first, rest = segments[0].name, segments[1:]
        relatives = self.kin.relatives(subject, first) if rest else None
        if relatives is not None:
            for relative in relatives:
                if isinstance(relative, Subject):
                    yield from self._in_row(relative, rest)
            return
        value = getattr(subject.row, first)
        if not rest:
            yield self.reason(subject, first)
        elif isinstance(value, Record):
            yield from self._in_row(subject.part(first), rest)
        elif isinstance(value, tuple):
            for number in range(len(value)):
                yield from self._in_row(subject.part(first, number), rest)

    def _in_record(
        self, subject: Subject, record: Any, segments: tuple[Segment, ...], place: str, origin: Origin
    ) -> Iterator[Reason]:
        """Yield the leaf of a path through plain records."""
        if not segments:
            name = place
            yield Reason(name, record, "", origin, self._stands(origin))
            return
        segment, rest = segments[0], segments[1:]
        value: Any = getattr(record, segment.name, _ABSENT)
        if value is _ABSENT:
            return  # another kind of structure or gear has no such field
        here = f"{place}.{segment.name}"
        if segment.key is not None:
            for wanted in dict.fromkeys(self._values(subject, segment.key)):
                for number, item in enumerate(value):
                    if item.id == wanted:
                        yield from self._in_record(subject, item, rest, f"{here}[{number}]", origin)
        elif rest:
            if value is not None:
                yield from self._in_record(subject, value, rest, here, origin)
        else:
            yield Reason(here, value, unit_of(segment.name) or "", origin, self._stands(origin))

    @staticmethod
    def _stands(origin: Origin) -> str:
        return "As it stands in the site file." if origin == "site" else "As the site's copy of the gear type has it."

    def _band(self, band: BandRow) -> Reason:
        return Reason(
            name=f"rule {band.id}",
            value=f"{band.low_mhz:g} to {band.high_mhz:g} MHz",
            unit="",
            origin="rule",
            says="As the region's rules have it.",
            source=band.source,
            section=band.citation,
            document=documents().get(band.source, ""),
        )

    def _values(self, subject: Subject, path: str) -> list[Any]:
        """Return what a field in braces holds: of the row itself, or of each row or record that a name leads to."""
        here: list[Subject | Record] = [subject]
        steps = path.split(".")
        for step in steps[:-1]:
            here = [found for item in here for found in self._step(item, step)]
        values: list[Any] = []
        for item in here:
            value = getattr(item.row if isinstance(item, Subject) else item, steps[-1], None)
            values += list(value) if isinstance(value, tuple) else [value]
        return values

    def _step(self, item: Subject | Record, name: str) -> Iterable[Subject | Record]:
        if isinstance(item, Subject):
            relatives = self.kin.relatives(item, name)
            if relatives is not None:
                return relatives
            return [item.part(name)] if isinstance(getattr(item.row, name), Record) else []
        value = getattr(item, name, None)
        return [value] if isinstance(value, Record) else []

    def _find(self, subject: str) -> tuple[Subject, ...]:
        tops = self.kin.tops
        kind, separator, name = subject.partition(":")
        if separator and (kind, name) in tops:
            return (tops[(kind, name)],)
        if kind == "finding" and name.isdecimal():
            findings = (top for (word, _), top in tops.items() if word == kind)
            found = tuple(top for top in findings if getattr(top.row, "number", 0) == int(name))
            if found:
                return found
        if subject == "site":
            return (tops[("site", "site")],)
        rows = tuple(tops[(word, subject)] for word in KINDS if word not in _ASKED_BY_KIND and (word, subject) in tops)
        if not rows:
            names = {f"{word}:{name}" if word in _ASKED_BY_KIND else name for word, name in tops}
            raise UnknownNameError(f"the site has nothing called '{subject}'", remedy=_offer(subject, names))
        return rows


_ABSENT = object()


def _called(pair: tuple[Subject, str], quantity: str) -> bool:
    part, field = pair
    full = f"{part.slot}.{field}" if part.slot else field
    return quantity in (field, full, f"{part.kind}.{full}") or full.endswith(f".{quantity}")


def _missing(subject: Subject, field: str) -> str:
    """Return the sentence of the row that says why a field is null."""
    full = f"{subject.slot}.{field}" if subject.slot else field
    here: Subject | None = subject
    while here is not None:
        for reason in getattr(here.row, "null_reasons", ()):
            if reason.field in (field, full):
                return str(reason.sentence)
        here = here.parent
    return ""


def _offer(word: str, names: Iterable[str]) -> str | None:
    known = sorted(set(names))
    lower = {name.casefold(): name for name in known}
    wanted = word.strip().casefold()
    close = difflib.get_close_matches(wanted, lower, n=4, cutoff=0.5)
    close += [name for name in lower if wanted and wanted in name]
    found = list(dict.fromkeys(lower[name] for name in close))[:4]
    if found:
        return f"did you mean {' or '.join(found)}?"
    return f"known are {', '.join(known[:12])}{' and more' if len(known) > 12 else ''}" if known else None
