"""Which rows permit a radio on a channel, and where none does, why not.

What no row permits is not permitted: there is no default. A channel that lies in two bands needs a row in each, and the
tighter limit holds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache
from typing import Annotated, Literal

from survey_app.site.record import Record, said
from survey_app.spectrum.channels import overlap_mhz, span_mhz
from survey_app.spectrum.rule_words import rule_set_in_words, topology_in_words
from survey_app.spectrum.rules import BandRow, Place, Region, Topology

__all__ = ["Refusal", "RuleSet", "resolve", "why_not"]


class RuleSet(Record):
    """The rows that together permit one radio on one channel."""

    region: Annotated[str, said("Code of the region")]
    rules_edition: Annotated[str, said("Which rules, and when they were checked")]
    place: Annotated[Place, said("Where the radio hangs")]
    topology: Annotated[Topology, said("What it is in its cell")]
    centre_mhz: Annotated[float, said("Centre of the channel", gt=0)]
    width_mhz: Annotated[float, said("Width of the channel", gt=0)]
    power_control: Annotated[bool, said("The radio controls its power")]
    rows: Annotated[tuple[BandRow, ...], said("The rows, from the lowest band", min_length=1)]

    @property
    def row_ids(self) -> str:
        """Ids of the rows, joined by a plus sign."""
        return "+".join(row.id for row in self.rows)

    @property
    def source(self) -> str:
        """Key of the first row's document in the list of references."""
        return self.rows[0].source

    @property
    def citation(self) -> str:
        """Documents, paragraphs, editions and dates of all rows."""
        return "; ".join(dict.fromkeys(row.citation for row in self.rows))

    @property
    def sentence(self) -> str:
        """The limits in words, with their documents."""
        return rule_set_in_words(self.rows, self.place, self.topology, self.width_mhz, power_control=self.power_control)

    @property
    def notes(self) -> tuple[str, ...]:
        """What else the rows say."""
        return tuple(row.note for row in self.rows if row.note)

    @property
    def from_memory(self) -> tuple[str, ...]:
        """Fields that nobody could verify, as `row: field`."""
        return tuple(f"{row.id}: {field}" for row in self.rows for field in row.from_memory)

    @property
    def needs_licence(self) -> bool:
        """Whether any row asks for a registration or a licence."""
        return any(row.licence != "exempt" for row in self.rows)

    @property
    def _span(self) -> tuple[float, float]:
        return self.centre_mhz - self.width_mhz / 2, self.centre_mhz + self.width_mhz / 2

    @property
    def radar_duty(self) -> bool:
        """Whether the radio must listen for radar and make way for it."""
        return any(_radar_applies(row, self._span) for row in self.rows)

    @property
    def radar_wait_s(self) -> int:
        """Time to listen before the channel is used; 0 without a radar duty. [s]"""
        span = self._span
        waits = [0]
        for row in self.rows:
            if row.radar is not None and _radar_applies(row, span):
                waits.append(row.radar.check_s)
                waits += [
                    part.check_s for part in row.radar.longer if overlap_mhz(span, (part.low_mhz, part.high_mhz)) > 0
                ]
        return max(waits)

    @property
    def radar_outage_s(self) -> int:
        """How long the hop is dead after radar where no spare channel was checked; 0 without a duty. [s]"""
        moves = [row.radar.move_s for row in self.rows if row.radar is not None and _radar_applies(row, self._span)]
        return max(moves) + self.radar_wait_s if moves else 0

    @property
    def non_occupancy_min(self) -> int:
        """How long the channel stays barred after radar was heard; 0 without a duty. [min]"""
        return max(
            (
                row.radar.non_occupancy_min
                for row in self.rows
                if row.radar is not None and _radar_applies(row, self._span)
            ),
            default=0,
        )

    @property
    def radar_sentence(self) -> str:
        """The radar duty in words; empty where there is none."""
        if not self.radar_duty:
            return ""
        return (
            f"Radar channel: listen {self.radar_wait_s} s before use, "
            f"after radar {self.radar_outage_s} s without a checked spare, then {self.non_occupancy_min} min barred."
        )


class Refusal(Record):
    """Why no row permits a radio on a channel."""

    kind: Annotated[
        Literal["wrong_place", "wrong_topology", "needs_power_control", "not_used", "closed", "no_rule"],
        said("What stands in the way"),
    ]
    sentence: Annotated[str, said("One sentence for people")]
    source: Annotated[str | None, said("Key of the document in the list of references; null = no row at all")] = None
    rows: Annotated[tuple[str, ...], said("Ids of the rows that would cover the channel")] = ()


_Test = Callable[[BandRow], bool]


def resolve(
    region: Region,
    place: Place,
    topology: Topology,
    centre_mhz: float,
    width_mhz: float,
    power_control: bool,
) -> RuleSet | None:
    """Find the rows that permit a radio on a channel.

    Parameters
    ----------
    region : Region
        The rules; from `load_regions().find(code)`.
    place : {"indoor", "outdoor"}
        Where the radio hangs.
    topology : Topology
        What it is in its cell, from `topology_of`.
    centre_mhz, width_mhz : float
        Centre and width of its channel. [MHz]
    power_control : bool
        Whether the radio lowers its power by itself while in service.

    Returns
    -------
    RuleSet or None
        None = no rule known, which means not allowed; `why_not` says why. Of rows that permit the same, the first in
        the file is taken.

    Examples
    --------
    >>> from survey_app.spectrum import load_regions
    >>> rules = resolve(load_regions().find("EU"), "outdoor", "point_to_point", 5620.0, 20.0, True)
    >>> rules.row_ids, rules.radar_wait_s
    ('eu.5470', 600)
    >>> resolve(load_regions().find("EU"), "outdoor", "point_to_point", 5180.0, 20.0, True) is None
    True
    """
    return _resolved(region, place, topology, float(centre_mhz), float(width_mhz), power_control)


# An assessment asks the same few hundred questions over and over: for every radio, and for every channel to offer.
@lru_cache(maxsize=4096)
def _resolved(
    region: Region, place: Place, topology: Topology, centre_mhz: float, width_mhz: float, power_control: bool
) -> RuleSet | None:
    span = _span_of(centre_mhz, width_mhz)
    if span is None:
        return None
    tests = _tests(place, topology, span, power_control=power_control)
    rows = _cover([row for row in region.rows if all(test(row) for test in tests.values())], span)
    if rows is None:
        return None
    # Everything inside was checked when it was read or just now: the rows are records, the rest are plain values.
    return RuleSet.model_construct(
        region=region.region,
        rules_edition=region.rules_edition,
        place=place,
        topology=topology,
        centre_mhz=centre_mhz,
        width_mhz=width_mhz,
        power_control=power_control,
        rows=rows,
    )


def why_not(
    region: Region,
    place: Place,
    topology: Topology,
    centre_mhz: float,
    width_mhz: float,
    power_control: bool,
) -> Refusal | None:
    """Say why no row permits a radio on a channel.

    Parameters
    ----------
    region, place, topology, centre_mhz, width_mhz, power_control
        As for `resolve`.

    Returns
    -------
    Refusal or None
        None where `resolve` finds rows. The kind names the one thing that stands in the way; "no_rule" where more
        than one would have to change.

    Examples
    --------
    >>> from survey_app.spectrum import load_regions
    >>> why_not(load_regions().find("EU"), "outdoor", "point_to_point", 5180.0, 20.0, True).kind
    'wrong_place'
    """
    if resolve(region, place, topology, centre_mhz, width_mhz, power_control) is not None:
        return None
    span = _span_of(centre_mhz, width_mhz)
    found: list[Refusal] = []
    if span is not None:
        tests = _tests(place, topology, span, power_control=power_control)
        for name in tests:
            others = [test for other, test in tests.items() if other != name]
            rows = _cover([row for row in region.rows if all(test(row) for test in others)], span)
            if rows is not None:
                found.append(_refusal(name, rows, region, place, topology))
    if not found:
        return Refusal(kind="no_rule", sentence=_no_rule(region, place, topology, centre_mhz, width_mhz))
    first = found[0]
    later = [refusal.sentence for refusal in found[1:] if refusal.kind == "not_used"]
    return Refusal(kind=first.kind, sentence=" ".join((first.sentence, *later)), source=first.source, rows=first.rows)


def _span_of(centre_mhz: float, width_mhz: float) -> tuple[float, float] | None:
    low_mhz, high_mhz = (float(edge) for edge in span_mhz(centre_mhz, width_mhz))
    return (low_mhz, high_mhz) if low_mhz < high_mhz else None


def _tests(place: Place, topology: Topology, span: tuple[float, float], *, power_control: bool) -> dict[str, _Test]:
    """What a row must pass, by the kind of refusal where it does not, in the order in which reasons are offered."""
    width_mhz = span[1] - span[0]
    return {
        "wrong_place": lambda row: row.place in (place, "both"),
        "not_used": lambda row: row.usable,
        "needs_power_control": lambda row: (
            power_control or not row.power_control_required or row.limits.lower_without_control
        ),
        "closed": lambda row: (
            (row.widest_mhz is None or width_mhz <= row.widest_mhz)
            and all(overlap_mhz(span, part) == 0 for part in row.closed_mhz)
        ),
        "wrong_topology": lambda row: topology in row.topologies,
    }


def _cover(rows: Iterable[BandRow], span: tuple[float, float]) -> tuple[BandRow, ...] | None:
    """Find the row that holds a span, or else the rows side by side that do together."""
    near = [row for row in rows if overlap_mhz(span, (row.low_mhz, row.high_mhz)) > 0]
    for row in near:
        if row.low_mhz <= span[0] and span[1] <= row.high_mhz:
            return (row,)
    chosen: list[BandRow] = []
    reached = span[0]
    while reached < span[1]:
        further = [row for row in near if row.low_mhz <= reached < row.high_mhz]
        if not further:
            return None
        chosen.append(max(further, key=lambda row: row.high_mhz))
        reached = chosen[-1].high_mhz
    return tuple(chosen)


def _radar_applies(row: BandRow, span: tuple[float, float]) -> bool:
    if row.radar is None:
        return False
    return overlap_mhz(span, row.radar.within_mhz or (row.low_mhz, row.high_mhz)) > 0


def _refusal(kind: str, rows: tuple[BandRow, ...], region: Region, place: Place, topology: Topology) -> Refusal:
    at_fault = {
        "wrong_place": [row for row in rows if row.place not in (place, "both")],
        "not_used": [row for row in rows if not row.usable],
        "wrong_topology": [row for row in rows if topology not in row.topologies],
    }.get(kind, list(rows))
    row = at_fault[0] if at_fault else rows[0]
    band = f"{row.low_mhz:g}-{row.high_mhz:g} MHz"
    sentence = {
        "wrong_place": f"In {region.region} {band} is for use {row.place}s only ({row.citation}).",
        "not_used": row.why_not_usable,
        "needs_power_control": f"In {region.region} {band} needs equipment with power control ({row.citation}).",
        "closed": f"In {region.region} the channel touches a closed part of {band} or is too wide ({row.citation}).",
        "wrong_topology": (
            f"No rule is known in {region.region} for this use of {band} ({topology_in_words(topology)}): not allowed; "
            f"what is known there is for other uses ({row.citation})."
        ),
    }[kind]
    return Refusal.model_validate(
        {"kind": kind, "sentence": sentence, "source": row.source, "rows": tuple(found.id for found in rows)}
    )


def _no_rule(region: Region, place: Place, topology: Topology, centre_mhz: float, width_mhz: float) -> str:
    return (
        f"No rule is known in {region.region} for {width_mhz:g} MHz at {centre_mhz:g} MHz {place}s "
        f"({topology_in_words(topology)}): not allowed."
    )
