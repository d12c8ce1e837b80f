"""An event meets a site as it stands: a changed copy is assessed and held against it."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from survey_app.assess.difference import difference
from survey_app.assess.graph import build_graph
from survey_app.assess.job import Job
from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.assess.what_if.answer import Kind, WhatIf
from survey_app.assess.what_if.events import ChannelLost, Event, Fails, Grown, NeighbourMore, RadarHeard, Rain
from survey_app.assess.what_if.failing import Failed
from survey_app.assess.what_if.figures import changed_figures, cut_off, slowed
from survey_app.errors import UnknownNameError, UsageError
from survey_app.ground.outline import pushed_outward
from survey_app.site.edits import set_channel
from survey_app.site.edits.sharing import rebuilt, with_fields
from survey_app.site.evidence import Scan, ScanRow
from survey_app.site.place import PlanePoint
from survey_app.site.radio import Radio
from survey_app.site.site import Site
from survey_app.site.structure import Structure, TreeStand
from survey_app.spectrum.regions import Regions, load_regions

__all__ = ["what_if"]

#: A move to a checked spare channel takes the time in which the cell has to leave the old one.
_MOVE_S = 10.0
_HIGHEST_CROWN_M = 150.0  # as high as the site's record takes a crown


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
        The assessment of the site as it stands, if at hand; if it counts what is planned for later, so does the answer.

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
    if isinstance(event, Fails):
        return made.failure(event)
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

    def failure(self, event: Fails) -> WhatIf:
        failed = Failed(self.site, event.subject, self.before)
        row, margin = failed.row, _worst_margin_db(self.before)
        stops, fullest = self.before.count("stop"), _fullest(self.before)
        return WhatIf(
            event=f"{event.subject} fails.",
            kind="failure",
            dark=row.dark if row is not None else (),
            unrecorded=row.unrecorded if row is not None else (),
            outage_s=None,
            moved_to=(),
            stops_before=stops,
            stops_after=stops,
            worst_margin_before_db=margin,
            worst_margin_after_db=margin,
            fullest_before_fraction=fullest,
            fullest_after_fraction=fullest,
            change=None,
            subject=event.subject,
            silent=failed.silent,
            moved=row.moved if row is not None else (),
            slower=row.slower if row is not None else (),
            ways=failed.ways(),
            figures=failed.figures(),
        )

    def radar(self, event: RadarHeard) -> WhatIf:
        row = next((radio for radio in self.before.radios if radio.id == event.access_point), None)
        radio = next((one for one in self.site.design.radios if one.id == event.access_point), None)
        if row is None or radio is None or radio.role != "access_point":
            raise UnknownNameError(f"the site has no access point called '{event.access_point}'")
        if row.radar_wait_s is None:
            return self._told("radar", f"{row.id} uses no radar channel: nothing happens.", after=None)
        spare = radio.radar_spare
        outage_s = _MOVE_S if spare is not None else _MOVE_S + row.radar_wait_s
        after = None if spare is None else self._assessed(set_channel(self.site, row.id, spare).after)
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
        after = self._assessed(site) if moved else None
        return self._told("channel", said, after=after, cells=stranded, moved_to=tuple(moved))

    def rain(self, event: Rain) -> WhatIf:
        if not 0.0 <= event.rate_mm_per_hour <= 300.0:
            raise UsageError("a rain rate lies between 0 and 300 mm/h")
        after = self._assessed(self.site, event.rate_mm_per_hour)
        return self._told("rain", f"It rains {event.rate_mm_per_hour:g} mm/h on all hops.", after=after)

    def grown(self, event: Grown) -> WhatIf:
        if not 0.0 <= event.years <= 50.0:
            raise UsageError("trees are grown for 0 to 50 years")
        return self._told(
            "growth",
            f"Trees have grown for {event.years:g} years.",
            after=self._assessed(_grown(self.site, event.years)),
        )

    def neighbour(self, event: NeighbourMore) -> WhatIf:
        if event.mount not in {mount.id for mount in self.site.design.mounts}:
            raise UnknownNameError(f"the site has no mount called '{event.mount}'")
        _check_heard(event)
        heard = ScanRow(
            channel=event.channel, level_dbm=event.level_dbm, busy_percent=event.busy_percent, width_mhz=event.width_mhz
        )
        at = datetime.datetime.combine(self.site.design.as_of, datetime.time(12), datetime.UTC)
        scan = Scan(at=at, by="what if", mount=event.mount, rows=(heard,))
        evidence = with_fields(self.site.evidence, scans=(*self.site.evidence.scans, scan))
        after = self._assessed(with_fields(self.site, evidence=evidence))
        return self._told(
            "neighbour",
            f"A neighbour is heard at {event.mount} on channel {event.channel} at {event.level_dbm:.0f} dBm, "
            f"{event.busy_percent:.0f} % of the time.",
            after=after,
        )

    def _told(
        self,
        kind: Kind,
        said: str,
        *,
        after: Assessment | None,
        cells: tuple[str, ...] = (),
        outage_s: float | None = None,
        moved_to: tuple[tuple[str, int], ...] = (),
    ) -> WhatIf:
        silent = self._silent(cells)
        then = after if after is not None else self.before
        dark = self._behind(silent) or cut_off(self.before, then)
        hours = {row.id: row.edge_recording_hours for row in self.before.cameras}
        allowed = self.site.design.defaults.load_warn_fraction
        slower = slowed(self.before, then, allowed) if after is not None else ()
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
            subject=cells[0] if len(cells) == 1 else None,
            silent=tuple(sorted(silent)),
            slower=tuple(key for key in slower if key not in dark),
            figures=() if after is None else changed_figures(self.before, after),
        )

    def _assessed(self, site: Site, rain_mm_per_hour: float = 0.0) -> Assessment:
        later = self.before.with_later
        return assess(site, self.rules, with_later=later, rain_mm_per_hour=rain_mm_per_hour)

    def _silent(self, cells: tuple[str, ...]) -> frozenset[str]:
        job = Job(self.site, self.before.with_later)
        return frozenset(hop.id for cell in cells for hop in job.cells.get(cell, ()))

    def _behind(self, silent: frozenset[str]) -> tuple[str, ...]:
        """Cameras that come home no longer while these hops are silent."""
        if not silent:
            return ()
        job = Job(self.site, self.before.with_later)
        instead = build_graph(job).without(frozenset(), silent)
        return tuple(sorted(key for key, row in instead.items() if row is None and key in job.cameras))


def _spare(radio: Radio, lost: int) -> int | None:
    return radio.radar_spare if radio.radar_spare != lost else None


def _worst_margin_db(assessment: Assessment) -> float | None:
    ways = (way for hop in assessment.hops for way in (hop.directions.to_access_point, hop.directions.to_station))
    return _known(min, (way.margin_left_db for way in ways))


def _fullest(assessment: Assessment) -> float | None:
    return _known(max, (cell.load_with_others_fraction for cell in assessment.cells))


def _known(choose: Callable[[list[float]], float], values: Iterable[float | None]) -> float | None:
    told = [value for value in values if value is not None]
    return choose(told) if told else None


def _check_heard(event: NeighbourMore) -> None:
    """Refuse what no scan could say."""
    for what, value, low, high in (
        ("a channel number", event.channel, 1, 400),
        ("a level in dBm", event.level_dbm, -120.0, 20.0),
        ("a busy time in per cent", event.busy_percent, 0.0, 100.0),
        ("a width in MHz", event.width_mhz, 0.1, 320.0),
    ):
        if not low <= value <= high:
            raise UsageError(f"{what} of a neighbour lies between {low:g} and {high:g}")


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
