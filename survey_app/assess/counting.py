"""The book in which parts are counted: one line per article and state, one part per thing that needs it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

from survey_app.assess.graph import things_joined
from survey_app.assess.job import Job
from survey_app.assess.record import ClimbRow, HeadEndRow, MountRow, TallyPart, WireRow
from survey_app.assess.wires import mount_of
from survey_app.site.gear_type import ClampType, GearType, SundryType
from survey_app.site.structure import Mast, Pole
from survey_app.site.thing import Status, Thing

__all__ = [
    "GROUPS",
    "SITE",
    "Article",
    "Book",
    "By",
    "Counted",
    "Entry",
    "State",
    "gear_article",
    "state_of",
    "sundry_article",
]

State = Literal["buy", "have", "reuse", "remove", "hire"]
By = Literal["installer", "electrician", "lift_firm", "customer", "it"]

#: Groups in the order of the tally.
GROUPS = (
    "Radios",
    "Cameras and recorder",
    "Mounts",
    "Cable and plugs",
    "Power",
    "Surge and earth",
    "Labour",
)

#: Subject of what the whole site needs.
SITE = "site"

_STATES: dict[Status, State] = {
    "planned": "buy",
    "later": "buy",
    "ordered": "have",
    "existing": "have",
    "hung": "have",
    "accepted": "have",
    "removed": "remove",
}

#: Units of small parts that are counted without a type of their own; pieces otherwise.
_UNITS = {
    "anchor_brick": "set",
    "anchor_concrete": "set",
    "anchor_insulated": "set",
    "anchor_sheet": "set",
    "bond_wire": "m",
    "box_fill": "set",
    "feeder_seal": "set",
    "tape": "roll",
}


def state_of(thing: Thing) -> State:
    """Return what the tally does about a thing: what is planned is bought, what is there or ordered is had."""
    return _STATES[thing.status]


@dataclass(frozen=True, slots=True)
class Article:
    """What a line counts.

    Parameters
    ----------
    group : str
        One of `GROUPS`.
    what : str
        Words for people.
    how : str
        How it is counted, a few words.
    gear : str or None
        Gear type; None for what no catalogue has.
    unit : str
        Unit of the count.
    pack : int
        Pieces in one purchase unit.
    by : str
        Who brings it or does it.
    rule : str or None
        Counting rule that uses it, for small parts.
    """

    group: str
    what: str
    how: str
    gear: str | None = None
    unit: str = "piece"
    pack: int = 1
    by: By = "installer"
    rule: str | None = None


@dataclass
class Entry:
    """One line while it is being counted."""

    article: Article
    state: State
    parts: list[TallyPart] = field(default_factory=list)
    low: float = 0.0
    high: float = 0.0


@dataclass(frozen=True)
class Counted:
    """What is counted from: the indexed site and rows of its assessment.

    Parameters
    ----------
    job : Job
        The indexed site.
    mounts, wires, climbs, head_ends : tuple of rows
        Rows of the assessment.
    clamps : mapping of str to ClampType or None
        Clamp of each mount that carries a radio.
    """

    job: Job
    mounts: tuple[MountRow, ...]
    wires: tuple[WireRow, ...]
    climbs: tuple[ClimbRow, ...]
    head_ends: tuple[HeadEndRow, ...]
    clamps: Mapping[str, ClampType | None]

    @cached_property
    def climb_of(self) -> dict[str, str]:
        """Climb of each mount."""
        return {row.id: row.climb for row in self.mounts}

    @cached_property
    def _mount_on(self) -> dict[str, str]:
        """First mount that carries something on each pole or mast."""
        found: dict[str, str] = {}
        for row in self.mounts:
            if (row.radios or row.cameras) and isinstance(self.job.structures.get(row.structure), Pole | Mast):
                found.setdefault(row.structure, row.id)
        return found

    def present(self, things: tuple[Thing, ...]) -> Iterator[Thing]:
        """Yield things that are counted: also those that are taken down, not those of a later stage."""
        for thing in things:
            if thing.status != "later" or self.job.with_later:
                yield thing

    @cached_property
    def _mounts_found(self) -> dict[str, str | None]:
        return {}

    @cached_property
    def articles(self) -> dict[tuple[str, ...], Article]:
        """Articles that were made already, by what asked for them."""
        return {}

    def mount_for(self, subject: str) -> str | None:
        """Return the mount at which a part for a thing is needed."""
        if subject not in self._mounts_found:
            self._mounts_found[subject] = self._find_mount(subject)
        return self._mounts_found[subject]

    def _find_mount(self, subject: str) -> str | None:
        if subject in self.climb_of:
            return subject
        wire = self.job.wires.get(subject)
        if wire is not None:
            ends = sorted(things_joined(self.job, wire), key=lambda end: (end not in self.job.radios, end))
            return next((mount for mount in map(self.mount_for, ends) if mount is not None), None)
        mount = mount_of(self.job, subject)
        device = self.job.devices.get(subject) or self.job.supplies.get(subject)
        if mount is None and device is not None and device.structure is not None:
            return self._mount_on.get(device.structure)
        return mount


class Book:
    """Lines by article and state, in the order in which they were first counted."""

    def __init__(self, counted: Counted) -> None:
        self._counted = counted
        self._entries: dict[tuple[str, str | None, str, State, str], Entry] = {}

    def add(
        self,
        article: Article,
        state: State,
        subject: str,
        quantity: float,
        rule: str,
        *,
        low: float = 0.0,
        high: float = 0.0,
        mount: str | None = None,
    ) -> None:
        """Count a part.

        Parameters
        ----------
        article : Article
            What.
        state : str
            What the tally does about it.
        subject : str
            Id of what needs it, or `SITE`.
        quantity : float
            How much; nothing is counted for 0.
        rule : str
            Why so much.
        low, high : float
            Bounds, for labour.
        mount : str or None
            Where, if not where the subject is.
        """
        if quantity <= 0:
            return
        key = (article.group, article.gear, article.what, state, article.by)
        entry = self._entries.setdefault(key, Entry(article, state))
        at = mount or self._counted.mount_for(subject)
        climb = self._counted.climb_of.get(at) if at else None
        entry.parts.append(TallyPart(subject=subject, mount=at, climb=climb, quantity=float(quantity), rule=rule))
        entry.low += low
        entry.high += high

    def entries(self) -> list[Entry]:
        """Return the lines by group."""
        return sorted(self._entries.values(), key=lambda entry: GROUPS.index(entry.article.group))


def gear_article(
    counted: Counted, item: GearType, group: str, how: str, *, unit: str = "piece", by: By = "installer"
) -> Article:
    """Return the article of a gear type."""
    key = (item.id, group, how, unit, by)
    known = counted.articles.get(key)
    if known is None:
        what = f"{item.name}, {item.what}"
        known = Article(group, what, how, gear=item.id, unit=unit, pack=item.pack, by=by)
        counted.articles[key] = known
    return known


def sundry_article(counted: Counted, rule: str, words: str, group: str, how: str, *, by: By = "installer") -> Article:
    """Return the article of the small part that a counting rule uses: the site's first by id, or plain words."""
    key = ("rule", rule, group, how, by)
    known = counted.articles.get(key)
    if known is None:
        items = [item for item in counted.job.gear.values() if isinstance(item, SundryType) and item.rule == rule]
        item = min(items, key=lambda row: row.id, default=None)
        known = (
            replace(gear_article(counted, item, group, how, unit=item.unit, by=by), rule=rule)
            if item is not None
            else Article(group, words, how, unit=_UNITS.get(rule, "piece"), by=by, rule=rule)
        )
        counted.articles[key] = known
    return known
