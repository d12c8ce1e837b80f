"""What the head end can take, keep and show."""

from __future__ import annotations

import math
from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.graph import device_type
from survey_app.assess.record import Cure, HeadEndRow
from survey_app.assess.rules.spots import at_thing
from survey_app.assess.rules.view import View
from survey_app.site.gear_type import DeviceType

__all__ = ["CODES", "RULES"]

CODES = {
    "recorder-full": "Recorder takes no more",
    "days-short": "Recorder keeps too few days",
    "uplink-thin": "Line to the outside too thin",
}

_FULL_FRACTION = 0.90
_SUBSTREAM_MBPS = 1.0


def _larger(view: View, row: HeadEndRow) -> DeviceType | None:
    """The smallest recorder of the site's gear that takes it all and keeps it long enough."""
    present = device_type(view.job, row.device)
    if present is None:
        return None
    fitting = []
    for item in view.job.gear.values():
        if not isinstance(item, DeviceType) or item.kind != "recorder" or item.id == present.id:
            continue
        room = item.bays * (item.disk_tb or 0.0) * item.usable_fraction
        needed = (row.days_wanted_days or 0.0) * row.gb_per_day / 1000.0 / 0.9
        if (
            item.channels >= row.channels_used
            and row.input_mbps <= _FULL_FRACTION * (item.input_limit_mbps or math.inf)
            and room >= needed
        ):
            fitting.append(item)
    return min(fitting, key=lambda item: (item.channels, item.id), default=None)


def _larger_cure(view: View, row: HeadEndRow) -> tuple[Cure, ...]:
    larger = _larger(view, row)
    return (cure(f"Take {larger.name}.", "change", thing_id=row.device, gear=larger.id),) if larger is not None else ()


def recorder_full(view: View) -> Iterator[Draft]:
    """More comes in than nine tenths of what the recorder takes, or more cameras than inputs."""
    for row in view.head_ends.values():
        crowded = row.channels is not None and row.channels_used > row.channels
        limit = row.input_limit_mbps
        busy = limit is not None and row.input_mbps > _FULL_FRACTION * limit
        if not crowded and not busy:
            continue
        message = (
            f"{row.channels_used} cameras come in, the recorder has {row.channels} inputs."
            if crowded
            else f"{row.input_mbps:.0f} Mbit/s come in, the recorder takes {limit:.0f} Mbit/s."
        )
        yield Draft(
            code="recorder-full",
            severity="warn",
            subject=row.id,
            message=message,
            source="PRACTICE",
            value=float(row.channels_used) if crowded else row.input_mbps,
            limit=float(row.channels or 0) if crowded else _FULL_FRACTION * (limit or 0.0),
            unit="" if crowded else "Mbit/s",
            place=at_thing(view, row.device),
            cures=(*_larger_cure(view, row), work_on_site("Set up a second recorder.")),
        )


def days_short(view: View) -> Iterator[Draft]:
    """Fewer days are kept than are wanted."""
    for row in view.head_ends.values():
        if row.days is None or row.days_wanted_days is None or row.days >= row.days_wanted_days:
            continue
        head_end, kind = view.job.head_ends[row.id], device_type(view.job, row.device)
        cures = list(_larger_cure(view, row))
        all_bays = kind.bays * (kind.disk_tb or 0.0) if kind is not None else 0.0
        if head_end.disks_tb is not None and row.days * all_bays / head_end.disks_tb >= row.days_wanted_days:
            cures.insert(0, cure("Fill all bays.", "change", thing_id=row.id, disks_tb=None))
        cures.append(work_on_site("Record on movement only, or lower the rate caps."))
        yield Draft(
            code="days-short",
            severity="warn",
            subject=row.id,
            message=f"{row.days:.0f} of {row.days_wanted_days:.0f} days are kept, at {row.gb_per_day:.0f} GB a day.",
            source="PRACTICE",
            value=row.days,
            limit=row.days_wanted_days,
            unit="day",
            place=at_thing(view, row.device),
            cures=tuple(cures),
        )


def uplink_thin(view: View) -> Iterator[Draft]:
    """A line to the outside that does not carry its viewers, at one substream each."""
    for row in view.head_ends.values():
        head_end = view.job.head_ends[row.id]
        wanted, line = head_end.viewers * _SUBSTREAM_MBPS, head_end.uplink_mbps or 0.0
        if wanted <= line:
            continue
        yield Draft(
            code="uplink-thin",
            severity="warn",
            subject=row.id,
            message=f"{head_end.viewers} viewers want {wanted:.0f} Mbit/s, the line has {line:.0f} Mbit/s.",
            source="PRACTICE",
            value=wanted,
            limit=line,
            unit="Mbit/s",
            place=at_thing(view, row.device),
            cures=(
                cure(f"Let {int(line)} look in at once.", "change", thing_id=row.id, viewers=int(line)),
                work_on_site("Order a faster line."),
            ),
        )


RULES = (recorder_full, days_short, uplink_thin)
