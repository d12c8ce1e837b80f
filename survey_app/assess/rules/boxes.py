"""Devices that stand in the rain or in the heat."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import lru_cache

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.graph import device_type
from survey_app.assess.rules.spots import at_thing, on_sheet_of
from survey_app.assess.rules.view import View
from survey_app.assess.supply import box_of
from survey_app.gear.catalogue import load_catalogue
from survey_app.site.gear_type import EnclosureType

__all__ = ["CODES", "RULES"]

CODES = {
    "wet-injector": "Indoor box outdoors",
    "hot-box": "Too hot in its box",
}


def _closed(ingress: str) -> bool:
    """Whether a mark such as IP66, IP55 or IP67+66 keeps out splash and wires; X was not tested."""
    digits = "".join(c if c in "0123456789X" else " " for c in ingress.upper().replace("IPX", "X"))
    marks = [mark for mark in digits.split() if len(mark) >= 2]
    return any(mark[0] in "456" and mark[1] in "45678" for mark in marks)


def wet_injector(view: View) -> Iterator[Draft]:
    """A device outdoors below IP44 without a box that keeps the rain out."""
    for key, device in view.job.devices.items():
        kind = device_type(view.job, key)
        if device.environment != "outdoors" or kind is None or not kind.body.ingress or _closed(kind.body.ingress):
            continue
        box = view.job.gear.get(device.enclosure or "")
        if isinstance(box, EnclosureType) and (not box.body.ingress or _closed(box.body.ingress)):
            continue
        chosen = _box_for(view, key)
        yield Draft(
            code="wet-injector",
            severity="stop",
            subject=key,
            message=f"{kind.name} ({kind.body.ingress}) stands outdoors without a box.",
            source="IEC60529",
            radio=on_sheet_of(view, key),
            place=at_thing(view, key),
            cures=(
                *(
                    (cure(f"Put it into {chosen.name}.", "change", thing_id=key, enclosure=chosen.id),)
                    if chosen
                    else ()
                ),
                work_on_site("Put it indoors, or take a weatherproof type."),
            ),
        )


def _box_for(view: View, device_id: str) -> EnclosureType | None:
    """The box that stands there already, else the smallest of the site's gear, else the smallest of the catalogue."""
    job = view.job
    device = job.devices[device_id]
    boxes = {item.id: item for item in job.gear.values() if isinstance(item, EnclosureType)}
    near = [
        boxes[other.enclosure]
        for other in job.devices.values()
        if other.enclosure in boxes and other.enclosure is not None and other.id != device_id
        if (other.mount, other.structure, other.position) == (device.mount, device.structure, device.position)
    ]
    return next(iter(near), None) or _smallest(boxes.values()) or _smallest(_catalogue_boxes())


def _smallest(boxes: Iterable[EnclosureType]) -> EnclosureType | None:
    free = [box for box in boxes if not box.body.ingress or _closed(box.body.ingress)]
    return min(free, key=lambda box: (math.prod(box.inside_mm), box.id), default=None)


@lru_cache(maxsize=1)
def _catalogue_boxes() -> tuple[EnclosureType, ...]:
    # a site carries only the gear that it uses: whoever has no box yet is offered one
    return tuple(item for item in load_catalogue() if isinstance(item, EnclosureType))


def hot_box(view: View) -> Iterator[Draft]:
    """A device in a box that gets warmer than it stands."""
    for key in sorted(view.job.devices):
        kind, feeder = device_type(view.job, key), view.network.supplied.feeders.get(key)
        if kind is None or feeder is None or feeder.temperature_c is None or box_of(view.job, key) is None:
            continue
        most = kind.body.temp_max_c
        if most is None or feeder.temperature_c <= most:
            continue
        yield Draft(
            code="hot-box",
            severity="note",
            subject=key,
            message=f"Its box may reach {feeder.temperature_c:.0f} °C in the sun, {kind.name} works up to {most:g} °C.",
            source="PRACTICE",
            value=feeder.temperature_c,
            limit=most,
            unit="°C",
            radio=on_sheet_of(view, key),
            place=at_thing(view, key),
            cures=(work_on_site("Shade the box, take a larger one, or a type that stands more."),),
        )


RULES = (wet_injector, hot_box)
