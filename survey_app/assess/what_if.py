"""What if: an event met by a site as it stands. Nothing is edited; a changed copy is assessed and held against it."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal

from survey_app.assess.difference import Difference, difference
from survey_app.assess.graph import build_graph
from survey_app.assess.job import Job
from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.errors import UnknownNameError, UsageError
from survey_app.ground.outline import pushed_outward
from survey_app.site.edits import set_channel
from survey_app.site.edits.sharing import rebuilt, with_fields
from survey_app.site.evidence import Scan, ScanRow
from survey_app.site.place import PlanePoint
from survey_app.site.radio import Radio
from survey_app.site.record import Record
from survey_app.site.site import Site
from survey_app.site.structure import Structure, TreeStand
from survey_app.spectrum.regions import Regions, load_regions

__all__ = ["ChannelLost", "Event", "Grown", "NeighbourMore", "RadarHeard", "Rain", "WhatIf", "what_if"]

#: A move to a checked spare channel takes the time in which the cell has to leave the old one.
_MOVE_S = 10.0
_HIGHEST_CROWN_M = 150.0  # as high as the site's record takes a crown


@dataclass(frozen=True, slots=True)
class RadarHeard:
    """A radar is heard on the channel of one access point."""

    access_point: str


@dataclass(frozen=True, slots=True)
class ChannelLost:
    """A channel can be used no longer, by anybody on the site."""

    channel: int


@dataclass(frozen=True, slots=True)
class Rain:
    """It rains on all hops at once. [mm/h]"""

    rate_mm_per_hour: float


@dataclass(frozen=True, slots=True)
class Grown:
    """Trees have grown for some years, and are in leaf. [year]"""

    years: float


@dataclass(frozen=True, slots=True)
class NeighbourMore:
    """A neighbour comes on the air and is heard at a mount, at this level and for this part of the time."""

    mount: str
    channel: int
    level_dbm: float
    busy_percent: float
    width_mhz: float = 20.0


Event = RadarHeard | ChannelLost | Rain | Grown | NeighbourMore


class WhatIf(Record):
    """What an event does.

    `outage_s` is how long `dark` is dark; null where nothing is, or where it does not pass by itself. `unrecorded` are
    those of the dark cameras that do not record by themselves. `moved_to` says on which channels cells go on. `change`
    is what is other once the event has settled; null where nothing of the design is other then.
    """

    event: str
    kind: Literal["radar", "channel", "rain", "growth", "neighbour"]
    dark: tuple[str, ...]
    unrecorded: tuple[str, ...]
    outage_s: float | None
    moved_to: tuple[tuple[str, int], ...]
    stops_before: int
    stops_after: int
    worst_margin_before_db: float | None
    worst_margin_after_db: float | None
    fullest_before_fraction: float | None
    fullest_after_fraction: float | None
    change: Difference | None

    @property
    def sentences(self) -> tuple[str, ...]:
        """What happens, in words."""
        told = [self.event]
        if self.dark:
            how_long = "until somebody acts" if self.outage_s is None else f"for {self.outage_s:.0f} s"
            told.append(f"Dark {how_long}: {', '.join(self.dark)}.")
            told.append(f"Not recorded meanwhile: {', '.join(self.unrecorded) or 'none'}.")
        told += [f"{access_point} goes on on channel {channel}." for access_point, channel in self.moved_to]
        return (*told, *(self.change.sentences if self.change is not None else ()))


def what_if(site: Site, event: Event, regions: Regions | None = None, before: Assessment | None = None) -> WhatIf:
    """Return what an event does to a site.

    Parameters
    ----------
    site : Site
        The document; it is not changed.
    event : Event
        What happens.
    regions : Regions or None
        Radio rules; None reads those that travel with the program.
    before : Assessment or None
        The assessment of the site as it stands, if at hand.

    Raises
    ------
    UnknownNameError
        The event names an access point or mount that the site does not have.
    UsageError
        A figure of the event makes no sense.
    """
    rules = regions if regions is not None else load_regions()
    now = before if before is not None else assess(site, rules)
    made = _Met(site, rules, now)
    if isinstance(event, RadarHeard):
        return made.radar(event)
    if isinstance(event, ChannelLost):
        return made.channel(event)
    if isinstance(event, Rain):
        return made.rain(event)
    if isinstance(event, Grown):
        return made.grown(event)
    return made.neighbour(event)


@dataclass(frozen=True)
class _Met:
    """A site that meets an event."""

    site: Site
    rules: Regions
    before: Assessment

    def radar(self, event: RadarHeard) -> WhatIf:
        row = next((radio for radio in self.before.radios if radio.id == event.access_point), None)
        radio = next((one for one in self.site.design.radios if one.id == event.access_point), None)
        if row is None or radio is None or radio.role != "access_point":
            raise UnknownNameError(f"the site has no access point called '{event.access_point}'")
        if row.radar_wait_s is None:
            return self._told("radar", f"{row.id} uses no radar channel: nothing happens.", after=None)
        spare = radio.radar_spare
        outage_s = _MOVE_S if spare is not None else _MOVE_S + row.radar_wait_s
        after = None if spare is None else assess(set_channel(self.site, row.id, spare).after, self.rules)
        seeks = f"seeks a channel and listens {row.radar_wait_s:.0f} s"
        how = "moves to its checked spare" if spare is not None else seeks
        return self._told(
            "radar",
            f"Radar on channel {row.channel}: {row.id} {how}.",
            after=after,
            cells=(row.id,),
            outage_s=outage_s,
            moved_to=() if spare is None else ((row.id, spare),),
        )

    def channel(self, event: ChannelLost) -> WhatIf:
        lost = [cell for cell in self.before.cells if cell.channel == event.channel]
        radios = {one.id: one for one in self.site.design.radios}
        moved = [(cell.id, spare) for cell in lost if (spare := _spare(radios[cell.id], event.channel)) is not None]
        site = self.site
        for access_point, spare in moved:
            site = set_channel(site, access_point, spare).after
        stranded = tuple(cell.id for cell in lost if cell.id not in dict(moved))
        words = f"Channel {event.channel} is lost"
        said = f"{words}: {', '.join(cell.id for cell in lost)} must leave it." if lost else f"{words}: nobody uses it."
        after = assess(site, self.rules) if moved else None
        return self._told("channel", said, after=after, cells=stranded, moved_to=tuple(moved))

    def rain(self, event: Rain) -> WhatIf:
        if not 0.0 <= event.rate_mm_per_hour <= 300.0:
            raise UsageError("a rain rate lies between 0 and 300 mm/h")
        after = assess(self.site, self.rules, rain_mm_per_hour=event.rate_mm_per_hour)
        return self._told("rain", f"It rains {event.rate_mm_per_hour:g} mm/h on all hops.", after=after)

    def grown(self, event: Grown) -> WhatIf:
        if not 0.0 <= event.years <= 50.0:
            raise UsageError("trees are grown for 0 to 50 years")
        return self._told(
            "growth",
            f"Trees have grown for {event.years:g} years.",
            after=assess(_grown(self.site, event.years), self.rules),
        )

    def neighbour(self, event: NeighbourMore) -> WhatIf:
        if event.mount not in {mount.id for mount in self.site.design.mounts}:
            raise UnknownNameError(f"the site has no mount called '{event.mount}'")
        heard = ScanRow(
            channel=event.channel, level_dbm=event.level_dbm, busy_percent=event.busy_percent, width_mhz=event.width_mhz
        )
        at = datetime.datetime.combine(self.site.design.as_of, datetime.time(12), datetime.UTC)
        scan = Scan(at=at, by="what if", mount=event.mount, rows=(heard,))
        evidence = with_fields(self.site.evidence, scans=(*self.site.evidence.scans, scan))
        after = assess(with_fields(self.site, evidence=evidence), self.rules)
        return self._told(
            "neighbour",
            f"A neighbour is heard at {event.mount} on channel {event.channel} at {event.level_dbm:.0f} dBm, "
            f"{event.busy_percent:.0f} % of the time.",
            after=after,
        )

    def _told(
        self,
        kind: Literal["radar", "channel", "rain", "growth", "neighbour"],
        said: str,
        *,
        after: Assessment | None,
        cells: tuple[str, ...] = (),
        outage_s: float | None = None,
        moved_to: tuple[tuple[str, int], ...] = (),
    ) -> WhatIf:
        dark = self._behind(cells)
        then = after if after is not None else self.before
        hours = {row.id: row.edge_recording_hours for row in self.before.cameras}
        return WhatIf(
            event=said,
            kind=kind,
            dark=dark,
            unrecorded=tuple(key for key in dark if not hours[key]),
            outage_s=outage_s,
            moved_to=moved_to,
            stops_before=self.before.count("stop"),
            stops_after=then.count("stop"),
            worst_margin_before_db=_worst_margin_db(self.before),
            worst_margin_after_db=_worst_margin_db(then),
            fullest_before_fraction=_fullest(self.before),
            fullest_after_fraction=_fullest(then),
            change=None if after is None else difference(self.before, after),
        )

    def _behind(self, cells: tuple[str, ...]) -> tuple[str, ...]:
        """Cameras that come home no longer while these cells are silent."""
        job = Job(self.site)
        silent = frozenset(hop.id for cell in cells for hop in job.cells.get(cell, ()))
        if not silent:
            return ()
        instead = build_graph(job).without(frozenset(), silent)
        return tuple(sorted(key for key, row in instead.items() if row is None and key in job.cameras))


def _spare(radio: Radio, lost: int) -> int | None:
    return radio.radar_spare if radio.radar_spare != lost else None


def _worst_margin_db(assessment: Assessment) -> float | None:
    ways = (way for hop in assessment.hops for way in (hop.directions.to_access_point, hop.directions.to_station))
    return _known(min, (way.margin_at_needed_rate_db for way in ways))


def _fullest(assessment: Assessment) -> float | None:
    return _known(max, (cell.load_fraction for cell in assessment.cells))


def _known(choose: Callable[[list[float]], float], values: Iterable[float | None]) -> float | None:
    told = [value for value in values if value is not None]
    return choose(told) if told else None


def _grown(site: Site, years: float) -> Site:
    """Return the site with its trees so many years older: higher, and farther out on all sides."""
    outlines = Job(site).placed.outlines
    rows: list[Structure] = []
    for one in site.design.structures:
        if isinstance(one, TreeStand):
            edge = pushed_outward([outlines[one.id]], years * one.crown_growth_m_per_year)[0]
            top_m = min(_HIGHEST_CROWN_M, one.crown_top_m + years * one.growth_m_per_year)
            outline = tuple(PlanePoint(x_m=x, y_m=y) for x, y in edge.tolist())
            rows.append(rebuilt(one, one.id, crown_top_m=top_m, outline=outline))
        else:
            rows.append(one)
    return with_fields(site, design=with_fields(site.design, structures=tuple(rows)))
