"""Evidence as the window asks for it and tells it: the parts of a thing, the names of their fields, rows in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, NamedTuple

from survey_app.desktop.panels.moments import written_moment
from survey_app.desktop.panels.values import choice_words, written_value
from survey_app.site.evidence import (
    AcceptanceRow,
    AsBuilt,
    BenchProof,
    Evidence,
    Reading,
    Scan,
    ScanRow,
    Sight,
    WalkNote,
)
from survey_app.site.mount import Mount
from survey_app.site.network import Camera
from survey_app.site.radio import Hop, Radio
from survey_app.site.record import Record
from survey_app.site.shape import fields_of
from survey_app.site.site import Site
from survey_app.site.thing import Thing

if TYPE_CHECKING:
    from survey_app.assess.record import HopRow

__all__ = ["Line", "Part", "label_in", "line_of", "parts_of", "words_of_choice"]

_SIGNED = ("by", "at", "note")


@dataclass(frozen=True)
class Part:
    """One kind of evidence that can be recorded of a thing.

    Attributes
    ----------
    key : str
        What tells it from the others: `sight`, `reading:station`.
    words : str
        What it is called, as its head.
    kind : type of Record
        The record of a row.
    rows : str
        Collection of the evidence that holds the rows.
    fixed : mapping of str to str
        Fields that are not asked: what it is about.
    fields : tuple of str
        Fields that are asked, in order; the first takes the cursor.
    any_of : tuple of str
        Fields of which one at least must be given.
    labels : mapping of str to str
        Names of fields that depend on the thing.
    """

    key: str
    words: str
    kind: type[Record]
    rows: str
    fixed: Mapping[str, str]
    fields: tuple[str, ...]
    any_of: tuple[str, ...] = ()
    labels: Mapping[str, str] = field(default_factory=dict)

    def holds(self, row: Record) -> bool:
        """Return whether a row is about the same."""
        return all(getattr(row, name) == value for name, value in self.fixed.items())

    def noted(self, evidence: Evidence) -> list[Any]:
        """Return the rows that are there, newest first; of one moment the one recorded last."""
        rows = [row for row in reversed(getattr(evidence, self.rows)) if self.holds(row)]
        return sorted(rows, key=lambda row: row.at, reverse=True)


def parts_of(site: Site, thing: Thing) -> tuple[Part, ...]:
    """Return what can be recorded of a thing; nothing for what nobody looks at or measures.

    Parameters
    ----------
    site : Site
        The site that it belongs to.
    thing : Thing
        The thing.
    """
    match thing:
        case Hop():
            return tuple(_of_hop(site, thing))
        case Radio():
            bench = Part(
                "bench",
                "proved on the bench",
                BenchProof,
                "bench",
                {"radio": thing.id},
                ("passed", "serial", "hardware_address", *_SIGNED),
            )
            return _built(thing.id, "bearing_true_deg", "tilt_deg", "power_dbm", "channel"), bench
        case Mount():
            return _built(thing.id, "height_m"), _scan(thing.id), _walk(thing.id)
        case Camera():
            return _built(thing.id, "height_m", "bearing_true_deg", "tilt_deg"), _accepted(thing.id), _walk(thing.id)
        case _:
            return ()


def _of_hop(site: Site, hop: Hop) -> Iterator[Part]:
    yield Part("sight", "seen on site", Sight, "sights", {"hop": hop.id}, ("result", "leaf", "photo", *_SIGNED))
    figures = ("level_dbm", "level_per_chain_dbm", "noise_dbm", "rate_mbps", "throughput_mbps", "volts_v")
    for end in ("station", "access_point"):
        radio = getattr(hop, end)
        yield Part(
            f"reading:{end}",
            f"readings at {radio}",
            Reading,
            "readings",
            {"hop": hop.id, "end": end},
            (*figures, "power_mode", *_SIGNED),
            figures,
            {"level_dbm": _level_label(site, radio)},
        )
    yield _accepted(hop.id)
    yield _walk(hop.id)


def _level_label(site: Site, radio_id: str) -> str:
    """Say in which convention the unit's own display speaks, since that is what will be typed."""
    gear = next((radio.gear for radio in site.design.radios if radio.id == radio_id), None)
    stated = next((getattr(row, "reading_stated_as", None) for row in site.design.gear if row.id == gear), None)
    return {"combined": "level shown, all chains", "per_chain": "level shown, each chain"}.get(
        str(stated), "level shown"
    )


def _built(thing_id: str, *fields: str) -> Part:
    return Part(
        "as_built", "as built", AsBuilt, "as_built", {"subject": thing_id}, (*fields, "reason", *_SIGNED), fields
    )


def _accepted(thing_id: str) -> Part:
    fields = ("accepted", "figures", *_SIGNED)
    return Part("acceptance", "acceptance on site", AcceptanceRow, "acceptance", {"subject": thing_id}, fields)


def _scan(mount: str) -> Part:
    fields = ("rows", "antenna", "bearing_true_deg", *_SIGNED)
    labels = {"bearing_true_deg": "antenna towards, true"}
    return Part("scan", "scan of the air", Scan, "scans", {"mount": mount}, fields, ("rows",), labels)


def _walk(thing_id: str) -> Part:
    return Part(
        "walk",
        "notes of the walk",
        WalkNote,
        "walk_notes",
        {"subject": thing_id},
        ("words", "photo", *_SIGNED),
        ("words",),
    )


_LABELS: Mapping[str, str] = {
    "result": "the far end was",
    "leaf": "leaves then",
    "by": "by whom",
    "at": "when",
    "note": "remark",
    "level_per_chain_dbm": "each chain alone",
    "noise_dbm": "noise shown",
    "rate_mbps": "rate shown",
    "throughput_mbps": "throughput measured",
    "volts_v": "volts at the radio",
    "power_mode": "power while reading",
    "height_m": "height as built",
    "bearing_true_deg": "bearing set, true",
    "tilt_deg": "bracket tilt set",
    "power_dbm": "power set",
    "channel": "channel set",
    "reason": "why it differs",
    "passed": "it passed",
    "serial": "serial number",
    "hardware_address": "hardware address",
    "accepted": "accepted",
    "figures": "figures measured",
    "words": "the note",
    "photo": "photograph",
    "rows": "channels heard",
    "antenna": "heard with",
}
_CHOICES: Mapping[Any, str] = {
    "seen_with_lamp": "seen with lamp or mirror",
    "in_leaf": "on the trees",
    "bare": "off, trees are bare",
    "no_trees": "no trees near",
}


def label_in(part: Part, name: str) -> str:
    """Return what people call a field of a part."""
    return part.labels.get(name) or _LABELS[name]


def words_of_choice(choice: Any) -> str:
    """Return a choice in words.

    Examples
    --------
    >>> words_of_choice("seen_with_lamp"), words_of_choice("not_seen")
    ('seen with lamp or mirror', 'not seen')
    """
    return _CHOICES.get(choice) or choice_words(choice)


class Line(NamedTuple):
    """A row of evidence in words."""

    head: str
    """When, who, with which revision in hand."""
    what: str
    """What was seen, read or built."""
    verdict: str
    """Of a reading whether it is right; empty where that cannot be said."""
    note: str
    photo: str = ""
    """Its file under assets/."""


def line_of(part: Part, row: Any, *, feet: bool, hop: HopRow | None = None) -> Line:
    """Return a row of evidence in words.

    Parameters
    ----------
    part : Part
        The part that it stands in.
    row : Record
        The row.
    feet : bool
        Whether heights are read in feet.
    hop : HopRow or None
        The hop as it is assessed, for readings.
    """
    revision = f", rev. {row.revision}" if row.revision else ""
    what = ", ".join(_said(part, row, feet=feet))
    what = f"{what[:1].upper()}{what[1:]}"
    return Line(
        head=f"{written_moment(row.at)}, {row.by or 'nobody named'}{revision}",
        what=what if not what or what.endswith((".", "!", "?")) else f"{what}.",
        verdict=_verdict(row, hop),
        note=row.note,
        photo=getattr(row, "photo", ""),
    )


def _verdict(row: Any, hop: HopRow | None) -> str:
    if not isinstance(row, Reading) or hop is None:
        return ""
    from survey_app.assess.verdict import judge_reading

    return judge_reading(hop, row).sentence


def _said(part: Part, row: Any, *, feet: bool) -> Iterator[str]:
    say: Mapping[str, Callable[[Any], str]] = {
        "result": words_of_choice,
        "leaf": lambda value: {"in_leaf": "leaves on the trees", "bare": "trees bare", "no_trees": "no trees near"}[
            value
        ],
        "power_mode": lambda value: f"at {value} power",
        "passed": lambda value: "passed" if value else "did not pass",
        "accepted": lambda value: "accepted" if value else "not accepted",
        "words": str,
        "figures": str,
        "reason": str,
        "rows": _heard,
        "antenna": lambda value: f"with {value}",
    }
    for name in part.fields:
        value = getattr(row, name)
        if name in (*_SIGNED, "photo") or value is None or value == "" or value == ():
            continue
        if name in say:
            yield say[name](value)
        else:
            yield f"{_short_label(part, name)} {_figure(part, name, value, feet=feet)}"


def _heard(rows: tuple[ScanRow, ...]) -> str:
    """Tell a scan by its strongest and its busiest channel."""
    strongest = max(rows, key=lambda row: row.level_dbm)
    words = f"{len(rows)} channel{'' if len(rows) == 1 else 's'}, strongest {strongest.channel} at "
    words += f"{strongest.level_dbm:.0f} dBm"
    known = [row for row in rows if row.busy_percent is not None]
    if known:
        busiest = max(known, key=lambda row: row.busy_percent or 0.0)
        words += f", busiest {busiest.channel} at {busiest.busy_percent:.0f} %"
    return words


def _short_label(part: Part, name: str) -> str:
    return label_in(part, name).partition(",")[0].removesuffix(" shown").removesuffix(" measured").removesuffix(" set")


def _figure(part: Part, name: str, value: Any, *, feet: bool) -> str:
    shape = fields_of(part.kind)[name]
    if shape.lists:
        return " and ".join(written_value(shape._replace(lists=0), one) for one in value)
    return written_value(shape, value, feet=feet)
