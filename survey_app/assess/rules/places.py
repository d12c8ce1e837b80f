"""Zones that equipment or a camera's view touches, and hops for which a cable would do."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from survey_app.assess.demand import target_xy
from survey_app.assess.findings import Draft, work_on_site
from survey_app.assess.rules.spots import at_thing, on_sheet_of
from survey_app.assess.rules.view import View
from survey_app.site.structure import Building

__all__ = ["CODES", "RULES"]

CODES = {
    "hazard-zone": "At a zone with a hazard",
    "keep-out-zone": "Inside a zone to keep out of",
    "films-beyond": "Films beyond the boundary",
    "cable-instead": "A cable would do",
}

_NEAR_M = 5.0
_SAME_BUILDING_M = 80.0
_SHORT_M = 20.0


def _groups(view: View) -> dict[str, list[str]]:
    """Mounts that carry something, devices and cameras, by the structure that they are on."""
    job = view.job
    found: dict[str, list[str]] = {}
    for mount in view.mounts.values():
        if mount.radios or mount.cameras:
            found.setdefault(mount.structure, []).append(mount.id)
    for device in job.devices.values():
        if device.mount is None:
            found.setdefault(device.structure or device.id, []).append(device.id)
    for camera in job.cameras.values():
        if camera.mount is None:
            found.setdefault(camera.id, []).append(camera.id)
    return found


def _outlines(view: View, purpose: str) -> Iterator[tuple[str, NDArray[np.float64]]]:
    for zone in view.job.design.zones:
        corners = view.network.placed.outlines.get(zone.id)
        if zone.purpose == purpose and zone.status != "removed" and corners is not None and np.isfinite(corners).all():
            yield zone.id, corners


def _distances_m(corners: NDArray[np.float64], points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Distance of points from an area; 0 inside."""
    from shapely import distance, polygons
    from shapely import points as as_points

    found: NDArray[np.float64] = distance(polygons(corners), as_points(points))
    return found


def hazard_zone(view: View) -> Iterator[Draft]:
    """Units or boxes inside a zone with a hazard, or close to it."""
    yield from _in_zones(view, "hazard", "hazard-zone")


def keep_out_zone(view: View) -> Iterator[Draft]:
    """Units or boxes inside a zone to keep out of."""
    yield from _in_zones(view, "keep_out", "keep-out-zone")


def _in_zones(view: View, purpose: str, code: str) -> Iterator[Draft]:
    zones = list(_outlines(view, purpose))
    if not zones:
        return
    rows = [
        (group, key, spot)
        for group, keys in _groups(view).items()
        for key in keys
        if (spot := at_thing(view, key)) is not None
    ]
    if not rows:
        return
    points = np.array([(spot.x_m, spot.y_m) for _, _, spot in rows])
    for zone_id, corners in zones:
        nearest: dict[str, tuple[float, int]] = {}
        for number, away in enumerate(_distances_m(corners, points).tolist()):
            group = rows[number][0]
            if away < nearest.get(group, (math.inf, 0))[0]:
                nearest[group] = (away, number)
        for group, (away, number) in sorted(nearest.items()):
            inside = away <= 0.0
            if inside or (purpose == "hazard" and away <= _NEAR_M):
                yield _zone_draft(view, code, zone_id, group, rows[number][1], away)


def _zone_draft(view: View, code: str, zone_id: str, group: str, thing_id: str, away: float) -> Draft:
    inside = away <= 0.0
    zone = next(row for row in view.job.design.zones if row.id == zone_id)
    hazard = code == "hazard-zone"
    if inside:
        message = f"{thing_id} is inside {zone.title}" + (": no ordinary unit or box may be there." if hazard else ".")
    else:
        message = f"{thing_id} is {away:.1f} m from {zone.title}: keep unit, box and cable outside it."
    return Draft(
        code=code,
        severity=("stop" if hazard else "warn") if inside else "note",
        subject=group,
        second_subject=zone_id,
        message=message,
        source="PRACTICE",
        value=away,
        limit=0.0 if inside else _NEAR_M,
        unit="m",
        radio=on_sheet_of(view, thing_id),
        place=at_thing(view, thing_id),
        cures=(
            work_on_site(
                "Move it out, or have units and boxes that are certified for the zone put up by those who may."
                if inside
                else "Mark the zone's edge on site before work begins."
            ),
        ),
    )


def films_beyond(view: View) -> Iterator[Draft]:
    """A camera whose target lies outside the site's boundary."""
    cameras = [camera for camera in view.job.cameras.values() if camera.target is not None]
    zones = list(_outlines(view, "boundary"))
    if not cameras or not zones:
        return
    points = np.array([target_xy(view.network.placed, c.target) for c in cameras if c.target is not None])
    away = np.min([_distances_m(corners, points) for _, corners in zones], axis=0)
    for camera, beyond in zip(cameras, away.tolist(), strict=True):
        if not beyond > 0.0:
            continue
        yield Draft(
            code="films-beyond",
            severity="note",
            subject=camera.id,
            message=f"Its target lies {beyond:.0f} m beyond the boundary: check the local law on filming there.",
            source="PRACTICE",
            value=beyond,
            limit=0.0,
            unit="m",
            place=at_thing(view, camera.id),
            cures=(work_on_site("Ask who decides there, mask that part of the picture, or turn the camera."),),
        )


def cable_instead(view: View) -> Iterator[Draft]:
    """A hop so short, or on one building, that a cable is likely cheaper and better."""
    job = view.job
    for hop in view.hops.values():
        ends = [view.mounts[view.radios[end].mount] for end in (hop.access_point, hop.station)]
        types = [job.radio_type(job.radios[end]) for end in (hop.access_point, hop.station)]
        if any(kind is not None and kind.indoor for kind in types):
            continue
        same = ends[0].structure == ends[1].structure
        building = isinstance(job.structures.get(ends[0].structure), Building)
        limit = _SAME_BUILDING_M if same and building else _SHORT_M
        if hop.distance_m >= limit:
            continue
        yield Draft(
            code="cable-instead",
            severity="note",
            subject=hop.id,
            message=f"{hop.distance_m:.0f} m{' on one building' if same and building else ''}: a cable may be cheaper.",
            source="PRACTICE",
            value=hop.distance_m,
            limit=limit,
            unit="m",
            hop=hop.id,
            place=view.at_hop(hop.id),
            cures=(work_on_site("Price a cable or fibre before this hop is built."),),
        )


RULES = (hazard_zone, keep_out_zone, films_beyond, cable_instead)
