"""Counts devices, the boxes that they share, batteries and panels, and the recorder's disks."""

from __future__ import annotations

import math

from survey_app.assess.counting import Book, Counted, State, gear_article, state_of, sundry_article
from survey_app.assess.graph import device_type
from survey_app.assess.record import HeadEndRow
from survey_app.assess.supply import box_of
from survey_app.site.gear_type import DeviceType

__all__ = ["boxes_of", "count_power", "disks_needed", "is_on_mains"]

_POWER, _VIDEO = "Power", "Cameras and recorder"
_HEAD_END_KINDS = frozenset({"recorder", "encoder"})


def is_on_mains(kind: DeviceType) -> bool:
    """Return whether a device takes the mains."""
    return any(given.scheme == "mains" for given in kind.power_inputs)


def boxes_of(counted: Counted) -> dict[tuple[str, str], list[str]]:
    """Return the devices in each box: one type of box at one place is one box."""
    found: dict[tuple[str, str], list[str]] = {}
    for key in sorted(counted.job.devices):
        box = box_of(counted.job, key)
        if box is not None:
            found.setdefault(box, []).append(key)
    return found


def count_power(book: Book, counted: Counted) -> None:
    """Count devices one by one, boxes by place, sources as they are drawn."""
    for device in counted.present(counted.job.design.devices):
        item = counted.job.gear.get(getattr(device, "gear", ""))
        if not isinstance(item, DeviceType):
            continue
        group = _VIDEO if item.kind in _HEAD_END_KINDS else _POWER
        who = "electrician" if item.kind == "supply_unit" and is_on_mains(item) else "installer"
        article = gear_article(counted, item, group, "as drawn", by=who)  # type: ignore[arg-type]  # one of two words
        book.add(article, state_of(device), device.id, 1, "as drawn")
    _boxes(book, counted)
    _sources(book, counted)
    for row in counted.head_ends:
        _disks(book, counted, row)


def _box_state(counted: Counted, devices: list[str]) -> State:
    states = {state_of(counted.job.devices[key]) for key in devices}
    return "have" if states & {"have"} else "buy"


def _boxes(book: Book, counted: Counted) -> None:
    job = counted.job
    for (enclosure_id, _), devices in boxes_of(counted).items():
        item = job.gear.get(enclosure_id)
        if item is None:
            continue
        state = _box_state(counted, devices)
        rule = f"one box for {', '.join(devices)}"
        book.add(gear_article(counted, item, _POWER, "one a place"), state, devices[0], 1, rule)
        kinds = [device_type(job, key) for key in devices]
        if state == "buy" and any(kind is not None and is_on_mains(kind) for kind in kinds):
            fill = sundry_article(
                counted, "box_fill", "rail, terminals, isolator", _POWER, "one a box with mains", by="electrician"
            )
            book.add(fill, "buy", devices[0], 1, "one a box with mains")


def _sources(book: Book, counted: Counted) -> None:
    job = counted.job
    for key, supply in sorted(job.supplies.items()):
        for gear_id, count, words in (
            (supply.battery, max(supply.battery_count, 1), "batteries"),
            (supply.panel, max(supply.panel_count, 1), "panels"),
        ):
            item = job.gear.get(gear_id or "")
            if item is not None:
                book.add(
                    gear_article(counted, item, _POWER, "as drawn"),
                    state_of(supply),
                    key,
                    count,
                    f"{count} {words} drawn",
                )


def disks_needed(row: HeadEndRow) -> int:
    """Return how many disks a recorder wants: for the days that are wanted, at most all that it has room for."""
    if row.disks is None:
        return 0
    if not row.days or row.days_wanted_days is None:
        return row.disks
    return min(row.disks, math.ceil(row.disks * row.days_wanted_days / row.days - 1e-9))


def _disks(book: Book, counted: Counted, row: HeadEndRow) -> None:
    device, kind = counted.job.devices.get(row.device), device_type(counted.job, row.device)
    if device is None or kind is None or kind.disk_tb is None:
        return
    how = "for the days wanted" if row.days_wanted_days is not None else "all bays"
    words = f"recorder disk {kind.disk_tb:g} TB"
    article = sundry_article(counted, "disk", words, _VIDEO, how)
    days = f"{row.days_wanted_days:g} days at {row.gb_per_day:.0f} GB a day" if row.days_wanted_days else "all bays"
    book.add(article, state_of(device), row.device, disks_needed(row), days)
