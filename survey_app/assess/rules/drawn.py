"""How far the drawing can be trusted: ground that nobody measured, guessed heights, outlines not taken as drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.mount_rows import height_sigma_m
from survey_app.assess.record import HopRow
from survey_app.assess.rules.blockers import GROUND, Blocker, blockers, spot_of, title_of, too_near
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined, verb
from survey_app.ground.relief.surface import LevelGround
from survey_app.site.place import HeightKnown
from survey_app.site.structure import OverheadLine, TrafficArea

__all__ = ["CODES", "RULES"]

CODES = {
    "assumed-flat": "Nobody measured the ground",
    "relief-unknown": "The relief does not reach",
    "line-unmeasured": "Overhead line of unknown height",
    "outline-fault": "Not taken as drawn",
    "radio-inside": "Drawn inside a structure",
}

_SEEN = frozenset({"seen", "seen_with_lamp"})
_GROUND_ERROR_M = 2.0  # the error of flat ground that is asked about; common practice


def _outdoors(view: View, hop: HopRow) -> bool:
    return all(view.mounts[view.radios[key].mount].environment != "indoors" for key in (hop.access_point, hop.station))


def assumed_flat(view: View) -> Iterator[Draft]:
    """No relief: said once for the site, and warned of on a hop that nobody looked along and where it decides."""
    if view.job.design.relief is not None:
        return
    hops = [hop for hop in view.hops.values() if _outdoors(view, hop)]
    if not hops:
        return
    yield Draft(
        code="assumed-flat",
        severity="note",
        subject="site",
        message="The site has no relief: the ground is assumed to run straight from foot to foot.",
        source="PRACTICE",
        cures=(work_on_site("Bring in a relief, or spot heights along the hops."),),
    )
    for hop in hops:
        near = next((one for one in blockers(view, hop) if one.thing == GROUND), None)
        if near is None or math.isnan(near.ratio) or near.ratio <= 0.0 or hop.sight_checked in _SEEN:
            continue
        ratio = near.ratio * (near.clearance_m - _GROUND_ERROR_M) / near.clearance_m
        free = view.job.defaults.free_zone_fraction
        if near.ratio < free or ratio >= free:
            continue
        yield Draft(
            code="assumed-flat",
            severity="warn",
            subject=hop.id,
            message=(
                f"Ground {_GROUND_ERROR_M:g} m higher than assumed, {near.place_m:.0f} m from {hop.access_point}, "
                f"would leave {ratio:.2f} of the first zone free, {free:.2f} wanted."
            ),
            source="PRACTICE",
            value=ratio,
            limit=free,
            unit="1",
            hop=hop.id,
            place=spot_of(view, hop, near),
            cures=(work_on_site("Look along it with a lamp from the mount's height, or level the ground.", "sight"),),
        )


def relief_unknown(view: View) -> Iterator[Draft]:
    """A relief that cannot be used, or that does not say how high the ground under a hop is."""
    if view.job.design.relief is None:
        return
    ground = view.job.placed.ground
    if isinstance(ground, LevelGround):
        yield Draft(
            code="relief-unknown",
            severity="warn",
            subject="site",
            message=f"The relief cannot be used. {ground.words}",
            source="PRACTICE",
            cures=(work_on_site("Bring the relief in again."),),
        )
        return
    for hop in view.hops.values():
        if not _outdoors(view, hop) or hop.ground_distance_m <= 2.0:
            continue
        if any(one.thing == GROUND for one in blockers(view, hop)):
            continue
        yield Draft(
            code="relief-unknown",
            severity="warn",
            subject=hop.id,
            message="The relief has a gap under this hop, or ends before it: the ray is not held against the ground.",
            source="PRACTICE",
            hop=hop.id,
            place=view.at_hop(hop.id),
            cures=(work_on_site("Bring in a relief that reaches from end to end, or spot heights along the hop."),),
        )


@about_each("hops")
def guessed_decides(view: View, hop_id: str) -> Iterator[Draft]:
    """Something under the ray that is clear as drawn, and would not be if guessed heights are off by one sigma."""
    hop = view.hops[hop_id]
    free = view.job.defaults.free_zone_fraction
    for one in blockers(view, hop):
        if one.side != "under" or math.isnan(one.ratio) or one.ratio <= 0.0 or too_near(view, one):
            continue
        guessed = _guessed(view, hop, one)
        sigma_m = math.hypot(*(sigma for _, sigma in guessed))
        ratio = one.ratio * (one.clearance_m - sigma_m) / one.clearance_m
        if not guessed or ratio >= free:
            continue
        names = [name for name, _ in guessed]
        yield Draft(
            code="height-guessed-decides",
            severity="warn",
            subject=hop.id,
            second_subject=one.thing,
            message=(
                f"{title_of(view, one.thing)} is {one.clearance_m:.1f} m under the ray as drawn, and guessed heights "
                f"of {joined(names)} are good to ±{sigma_m:.1f} m: {ratio:.2f} of the first zone may be left, "
                f"{free:.2f} wanted."
            ),
            source="PRACTICE",
            value=ratio,
            limit=free,
            unit="1",
            hop=hop.id,
            place=spot_of(view, hop, one),
            cures=(work_on_site(f"Measure the {verb(names, 'height', 'heights')} of {joined(names)}."),),
            concerns=tuple(names),
        )


def _guessed(view: View, hop: HopRow, one: Blocker) -> list[tuple[str, float]]:
    """Return the guessed heights that a clearance hangs on, with what each does to it. [m]"""
    part = one.place_m / hop.ground_distance_m if hop.ground_distance_m > 0.0 else 0.0
    found: list[tuple[str, float]] = []
    thing = view.job.structures.get(one.thing)
    known = getattr(thing, "height_known", None)
    if isinstance(known, HeightKnown) and known.how == "guessed" and not isinstance(thing, TrafficArea):
        found.append((one.thing, height_sigma_m(known, view.job.defaults)))
    for key, share in ((hop.access_point, 1.0 - part), (hop.station, part)):
        mount = view.job.mounts[view.radios[key].mount]
        if mount.height_known.how == "guessed":
            found.append((mount.id, share * height_sigma_m(mount.height_known, view.job.defaults)))
    return found


def line_unmeasured(view: View) -> Iterator[Draft]:
    """A hop that crosses an overhead line whose height nobody measured."""
    from shapely import LineString

    lines = [
        (one.id, one.title, LineString(view.numbers.placed.outlines[one.id]))
        for one in view.job.structures.values()
        if isinstance(one, OverheadLine) and one.height_m is None and _is_there(view, one)
    ]
    for line_id, title, route in lines:
        for hop in view.hops.values():
            a, s = view.radios[hop.access_point], view.radios[hop.station]
            ray = LineString([(a.x_m, a.y_m), (s.x_m, s.y_m)])
            if not ray.intersects(route):
                continue
            at_m = ray.project(ray.intersection(route).representative_point())
            yield Draft(
                code="line-unmeasured",
                severity="warn",
                subject=hop.id,
                second_subject=line_id,
                message=f"It crosses {title} {at_m:.0f} m from {hop.access_point}, and nobody measured how high it is.",
                source="PRACTICE",
                hop=hop.id,
                place=view.along_hop(hop.id, at_m / ray.length if ray.length > 0.0 else 0.0),
                cures=(work_on_site(f"Measure the lowest wire of {title} from the ground, and write it down."),),
                concerns=(line_id,),
            )


def _is_there(view: View, line: OverheadLine) -> bool:
    there = line.status != "removed" and (line.status != "later" or view.job.with_later)
    route = view.numbers.placed.outlines.get(line.id)
    return there and route is not None and len(route) > 1 and bool((route == route).all())


def outline_fault(view: View) -> Iterator[Draft]:
    """A structure that could not be taken as it was drawn, or not at all."""
    said: dict[str, tuple[list[str], bool]] = {}
    for fault in view.faults:
        sentences, left_out = said.setdefault(fault.thing, ([], False))
        sentences.append(fault.sentence)
        said[fault.thing] = sentences, left_out or fault.left_out
    for thing, (sentences, left_out) in said.items():
        yield Draft(
            code="outline-fault",
            severity="warn" if left_out else "note",
            subject=thing,
            message=" ".join(sentences) + (" No hop is held against it." if left_out else ""),
            source="PRACTICE",
            cures=(work_on_site("Draw it anew, or write down what is missing."),),
        )


@about_each("hops")
def radio_inside(view: View, hop_id: str) -> Iterator[Draft]:
    """An antenna that is drawn inside a building or an obstacle, while its mount is outdoors."""
    hop = view.hops[hop_id]
    inside = view.numbers.obstruction.hops[view.numbers.hops.row[hop_id]].inside
    for key, thing in zip((hop.access_point, hop.station), inside, strict=True):
        mount = view.mounts[view.radios[key].mount]
        if thing is None or mount.environment == "indoors" or view.radios[key].hops[0] != hop_id:
            continue
        yield Draft(
            code="radio-inside",
            severity="warn",
            subject=key,
            message=f"It is drawn inside {title_of(view, thing)}, and its mount is outdoors: its way out is unknown.",
            source="PRACTICE",
            radio=key,
            place=view.at_radio(key),
            cures=(
                cure(f"Say that {mount.id} is indoors.", "change", thing_id=mount.id, environment="indoors"),
                work_on_site("Bring it out to the face of the wall, or over the roof."),
            ),
            concerns=(thing,),
        )


RULES = (assumed_flat, relief_unknown, guessed_decides, line_unmeasured, outline_fault, radio_inside)
