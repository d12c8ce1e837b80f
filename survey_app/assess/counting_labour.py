"""Counts work: person-hours low, likely and high by task, and days of a lift. Every figure is common practice."""

from __future__ import annotations

import math
from dataclasses import dataclass

from survey_app.assess.counting import SITE, Article, Book, By, Counted, state_of
from survey_app.assess.counting_cable import whole_metres
from survey_app.assess.counting_mounts import new_uprights
from survey_app.assess.counting_power import boxes_of, is_on_mains
from survey_app.assess.graph import device_type
from survey_app.assess.wires import is_patch_lead
from survey_app.site.structure import Building

__all__ = ["TASKS", "Task", "count_labour", "count_lifts"]

_GROUP = "Labour"
_QUARTER = 4.0


@dataclass(frozen=True, slots=True)
class Task:
    """Hours of one task.

    Parameters
    ----------
    what : str
        Words for people.
    low, likely, high : float
        Person-hours; the likely one in quarters. [h]
    each : str
        For what it is counted.
    by : str
        Who does it.
    """

    what: str
    low: float
    likely: float
    high: float
    each: str
    by: By = "installer"

    @property
    def article(self) -> Article:
        """The line of the tally."""
        how = f"{self.likely:g} h {self.each} ({self.low:g} to {self.high:g})"
        return Article(_GROUP, self.what, how, unit="h", by=self.by)


#: Tasks and their hours: common practice, no source; every figure is a planning value.
TASKS = {
    "survey": Task("survey the site", 1.0, 1.5, 2.0, "a site"),
    "radio_wall": Task("put up a radio on a wall", 1.5, 2.25, 3.0, "a radio"),
    "radio_pole": Task("put up a radio on a pole", 2.0, 3.0, 4.0, "a radio"),
    "upright": Task("set up a pole or mast", 4.0, 7.0, 10.0, "a pole"),
    "camera": Task("put up and point a camera", 1.0, 1.5, 2.0, "a camera"),
    "cable": Task("lay cable on the surface", 1.0, 1.75, 2.5, "for 30 m"),
    "terminate": Task("terminate and certify a run", 0.5, 0.75, 1.0, "a run"),
    "surge": Task("fit surge protectors and bond them", 0.5, 1.0, 1.5, "a run", "electrician"),
    "align": Task("align a hop and accept it", 0.5, 1.0, 1.5, "a hop"),
    "configure": Task("configure and document a radio", 0.3, 0.5, 0.8, "a radio"),
    "box": Task("connect a box to the mains", 2.0, 3.0, 4.0, "a box with mains", "electrician"),
    "spur": Task("lay a mains spur", 4.0, 6.0, 8.0, "a spur, + 1.5 h for 10 m", "electrician"),
    "recorder": Task("set up a recorder", 2.0, 3.0, 4.0, "a recorder", "it"),
    "take_down": Task("take a unit down", 0.5, 0.75, 1.0, "a unit"),
    "handover": Task("hand over", 2.0, 4.0, 6.0, "a site"),
}

_SPUR_HOURS_A_METRE = 0.15
_CABLE_BASE_M = 30.0
_CONTINGENCY = (0.10, 0.125, 0.15)


def _quarters(hours: float) -> float:
    """Round up to a quarter of an hour."""
    return math.ceil(round(hours * _QUARTER, 6)) / _QUARTER


def _add(book: Book, task: str, subject: str, rule: str, *, times: float = 1.0, mount: str | None = None) -> None:
    row = TASKS[task]
    hours = row.likely if times == 1.0 else _quarters(row.likely * times)
    low, high = row.low * times, row.high * times
    book.add(row.article, "hire", subject, hours, rule, low=low, high=high, mount=mount)


def count_labour(book: Book, counted: Counted) -> None:
    """Count the tasks of everything that is to be done; nothing for what hangs already."""
    before = len([entry for entry in book.entries() if entry.article.group == _GROUP])
    _units(book, counted)
    _runs(book, counted)
    _power(book, counted)
    if len([entry for entry in book.entries() if entry.article.group == _GROUP]) > before:
        _add(book, "survey", SITE, "one a site")
        _add(book, "handover", SITE, "half a day a site")
        _contingency(book)


def _units(book: Book, counted: Counted) -> None:
    job = counted.job
    for radio_id, radio in job.radios.items():
        if state_of(radio) != "buy":
            continue
        on_wall = isinstance(job.structures.get(job.mounts[radio.mount].structure), Building)
        _add(book, "radio_wall" if on_wall else "radio_pole", radio_id, "a wall" if on_wall else "a pole or mast")
        _add(book, "configure", radio_id, "one a radio")
    for hop_id, hop in sorted(job.hops.items()):
        ends = (job.radios[hop.access_point], job.radios[hop.station])
        if any(state_of(radio) == "buy" for radio in ends):
            _add(book, "align", hop_id, "one a hop", mount=job.radios[hop.station].mount)
    for camera_id, camera in job.cameras.items():
        if state_of(camera) == "buy":
            _add(book, "camera", camera_id, "one a camera")
    gone = [(row.id, row.mount) for row in job.design.radios if row.status == "removed"]
    gone += [(row.id, row.mount or "") for row in job.design.cameras if row.status == "removed"]
    for thing_id, mount_id in gone:
        _add(book, "take_down", thing_id, "one a unit", mount=mount_id or None)
    for structure_id, mount_id in new_uprights(counted).items():
        _add(book, "upright", structure_id, "one a new pole", mount=mount_id)


def _runs(book: Book, counted: Counted) -> None:
    for row in counted.wires:
        wire = counted.job.wires[row.id]
        if state_of(wire) != "buy" or wire.medium == "existing" or is_patch_lead(wire):
            continue
        metres = whole_metres(counted, row)
        if metres:
            _add(book, "cable", row.id, f"{metres} m", times=metres / _CABLE_BASE_M)
        if wire.medium != "dc":
            _add(book, "terminate", row.id, "one a run")
        if row.protectors:
            _add(book, "surge", row.id, f"{row.protectors} protectors")


def _power(book: Book, counted: Counted) -> None:
    job = counted.job
    for devices in boxes_of(counted).values():
        new = [key for key in devices if state_of(job.devices[key]) == "buy"]
        kinds = [device_type(job, key) for key in new]
        if any(kind is not None and is_on_mains(kind) for kind in kinds):
            _add(book, "box", devices[0], f"box of {', '.join(devices)}")
    for row in counted.mounts:
        power = job.mounts[row.id].power
        new_units = any(state_of(job.radios[key]) == "buy" for key in row.radios)
        if power.mains == "by_spur" and new_units:
            task = TASKS["spur"]
            more = _SPUR_HOURS_A_METRE * (power.spur_m or 0.0)
            rule = f"{power.spur_m or 0:g} m of spur"
            low, high = task.low + more, task.high + more
            book.add(task.article, "hire", row.id, _quarters(task.likely + more), rule, low=low, high=high)
    for device_id in sorted(job.devices):
        kind = device_type(job, device_id)
        if kind is not None and kind.kind == "recorder" and state_of(job.devices[device_id]) == "buy":
            _add(book, "recorder", device_id, "one a recorder")


def _contingency(book: Book) -> None:
    entries = [entry for entry in book.entries() if entry.article.group == _GROUP]
    likely = math.fsum(part.quantity for entry in entries for part in entry.parts)
    low, high = math.fsum(e.low for e in entries), math.fsum(e.high for e in entries)
    article = Article(_GROUP, "contingency on labour", "10 to 15 % of the hours above", unit="h")
    part = _CONTINGENCY[1]
    rule = f"{100 * part:g} % of {likely:g} h"
    book.add(
        article, "hire", SITE, _quarters(likely * part), rule, low=low * _CONTINGENCY[0], high=high * _CONTINGENCY[2]
    )


def count_lifts(book: Book, counted: Counted) -> None:
    """Count days of a lift: the hours of each climb that needs one, by the crew, in quarters of a day."""
    defaults = counted.job.defaults
    hours: dict[str, float] = {}
    for entry in book.entries():
        if entry.article.unit == "h" and entry.article.by == "installer":
            for part in entry.parts:
                if part.climb is not None:
                    hours[part.climb] = hours.get(part.climb, 0.0) + part.quantity
    lifted = [climb for climb in counted.climbs if climb.way == "lift" and hours.get(climb.id)]
    if not lifted:
        return
    reach_m = math.ceil(max(climb.reach_m for climb in lifted))
    how = "hours of its climbs by the crew, in quarters of a day"
    article = Article(_GROUP, f"lift, {reach_m} m", how, unit="day", by="lift_firm")
    for climb in lifted:
        days = _quarters(hours[climb.id] / defaults.crew / defaults.day_hours)
        rule = f"{hours[climb.id]:g} person-hours, {defaults.crew} people, {defaults.day_hours:g} h a day"
        book.add(article, "hire", climb.id, days, rule, mount=climb.mounts[0])
