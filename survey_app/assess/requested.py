"""Answers that are worked out when somebody asks: how high it must be, and what a radio serves."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from survey_app.assess.coverage import Coverage, coverage, share_percent
from survey_app.assess.job import Job
from survey_app.assess.raising import Raising, how_high
from survey_app.assess.reason import Reason, documents
from survey_app.errors import UsageError
from survey_app.site.site import Site
from survey_app.site.structure import TrafficArea
from survey_app.spectrum.regions import Regions

__all__ = ["requested"]

_ENDS = {"access_point": "access point", "station": "station", "both": "both ends"}


def requested(
    site: Site, regions: Regions, kind: str, thing_id: str, quantity: str, made_from: tuple[Reason, ...]
) -> tuple[Reason, ...]:
    """Return the answers for one thing.

    Parameters
    ----------
    site : Site
        The document.
    regions : Regions
        Radio rules.
    kind, thing_id : str
        The hop or radio.
    quantity : str
        One that `asked_of` names for this kind.
    made_from : tuple of Reason
        Numbers of the thing that the answer begins with.
    """
    if kind == "hop":
        over_traffic = quantity == "how_high_over_traffic_m"
        found = how_high(site, thing_id, over_traffic=over_traffic)
        return tuple(_least_move(site, quantity, one, made_from) for one in found)
    job = Job(site)
    try:
        covered = coverage(job, thing_id, regions=regions)
    except UsageError as refused:
        return (_reason(f"radio {thing_id}, {quantity}", None, "", "", made_from, missing=refused.sentence()),)
    answers = {"served_m2": _areas, "served_mounts": _mounts, "served_percent": _shares}
    return tuple(answers[quantity](job, covered, made_from))


def _reason(
    name: str, value: object, unit: str, says: str, made_from: tuple[Reason, ...], *, missing: str = "",
    source: str = "PRACTICE",
) -> Reason:  # fmt: skip
    return Reason(
        name, value, unit, "computed", says,
        source=source, document=documents()[source], missing=missing, inputs=made_from,
    )  # fmt: skip


def _least_move(site: Site, quantity: str, one: Raising, made_from: tuple[Reason, ...]) -> Reason:
    free = site.design.defaults.free_zone_fraction
    way = "up" if one.way == "up" else "along its edge"
    says = f"The least move {way} that leaves {free:g} of the first zone free of all that stands there for good, "
    says += "crowns as they are and as they will be, exact to a millimetre."
    if one.over_traffic:
        says += " Lanes and yards count as high as what passes there."
    if one.by_m is not None and one.by_m > 0.0:
        to = "; ".join(f"{mount}: {to_m:.3f} m" for mount, to_m in zip(one.mounts, one.to_m, strict=True))
        says += f" That is {'over its reference' if one.way == 'up' else 'from the corner of its edge'}: {to}."
    if one.pole_m is not None:
        says += f" It takes a pole of {one.pole_m:.1f} m."
    name = f"hop {one.hop}, {quantity}, {_ENDS[one.end]} {way}"
    return _reason(name, one.by_m, "m", says, made_from, missing=one.reason, source="P526")


def _far_end(covered: Coverage) -> str:
    return f"a far end like {covered.far_end.gear}, {covered.far_end.over_ground_m:g} m over the ground"


def _areas(job: Job, covered: Coverage, made_from: tuple[Reason, ...]) -> Iterator[Reason]:  # noqa: ARG001  # as the others
    for one in covered.rates:
        says = f"Where pattern, budget and wanted margin carry the rate or a better one to {_far_end(covered)}, and "
        says += (
            f"nothing stands between; looked at up to {covered.radius_m:.0f} m. In free space {one.reached_m2:.0f} m2."
        )
        name = f"radio {covered.radio}, served_m2 at {one.rate_mbps:g} Mbit/s (MCS {one.mcs})"
        yield _reason(name, one.seen_m2, "m2", says, made_from)


def _mounts(job: Job, covered: Coverage, made_from: tuple[Reason, ...]) -> Iterator[Reason]:  # noqa: ARG001  # as the others
    served = [one for one in covered.mounts if one.served]
    says = f"Mounts that are seen and have a rate with its margin, with {covered.far_end.gear} hung at each."
    yield _reason(f"radio {covered.radio}, served_mounts", len(served), "", says, made_from)
    for one in served:
        says = f"Highest link rate with its margin, {one.distance_m:.1f} m away."
        name = f"radio {covered.radio}, served_mounts, {one.mount}"
        yield _reason(name, one.rate_mbps, "Mbit/s", says, made_from)


def _shares(job: Job, covered: Coverage, made_from: tuple[Reason, ...]) -> Iterator[Reason]:
    """Yield the part of each area in which something moves, for every rate."""
    moving = [thing.id for thing in job.structures.values() if isinstance(thing, TrafficArea)]
    found = False
    for key in (*moving, *job.served_areas):
        corners = job.placed.outlines.get(key)
        if corners is None or not math.isfinite(float(corners.sum())):
            continue
        area = shapely.make_valid(shapely.Polygon(corners))
        if not area.area > 0.0:
            continue
        for one in covered.rates:
            found = True
            says = f"Part of {key} where the rate or a better one is to be had and seen by {_far_end(covered)}."
            name = f"radio {covered.radio}, served_percent of {key} at {one.rate_mbps:g} Mbit/s (MCS {one.mcs})"
            yield _reason(name, share_percent([covered], area, one.rate_mbps), "%", says, made_from)
    if not found:
        missing = "Draw the area in which the camera moves: a traffic area, or an area to be served."
        yield _reason(f"radio {covered.radio}, served_percent", None, "%", "", made_from, missing=missing)
