"""What cameras show and send."""

from __future__ import annotations

import math
from collections.abc import Iterator

from survey_app.assess.demand import camera_type
from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.hop_rates import lowest_rates_mbps
from survey_app.assess.record import Cure, RouteRow
from survey_app.assess.rules.spots import at_thing, several
from survey_app.assess.rules.view import View
from survey_app.physics.picture import required_px_per_m, widest_scene_m

__all__ = ["CODES", "RULES"]

CODES = {
    "nobody-knows-rate": "Nobody knows its rate",
    "sees-too-little": "Shows too little for its purpose",
    "multicast-flood": "Multicast floods the cell",
    "late-picture": "Picture too late to steer by",
}

_STEER_MS = 100.0
_SLACK = 0.995
_SMALLEST_ANGLE_DEG = 0.5


def nobody_knows_rate(view: View) -> Iterator[Draft]:
    """A variable stream without a cap."""
    for key, camera in view.job.cameras.items():
        if camera.stream.mode != "variable":
            continue
        kind, row = camera_type(view.job, camera), view.cameras[key]
        infrared = kind is not None and kind.infrared and camera.stream.night_factor is None
        cap = math.ceil(kind.cap_mbps if kind else row.rate_mbps)
        planned = max(row.rate_mbps, row.rate_night_mbps)
        night = ", and nobody has said what the night adds" if infrared else ""
        yield Draft(
            code="nobody-knows-rate",
            severity="warn",
            subject=key,
            message=f"Its rate varies without a cap{night}: {planned:.1f} Mbit/s are planned.",
            source="PRACTICE",
            value=planned,
            unit="Mbit/s",
            place=at_thing(view, key),
            cures=(cure(f"Cap it at {cap} Mbit/s.", "change", thing_id=key, **_capped(float(cap))),),
        )


def _capped(cap_mbps: float) -> dict[str, str | float | int | bool | None]:
    return {"stream.mode": "capped", "stream.rate_mbps": cap_mbps}


def sees_too_little(view: View) -> Iterator[Draft]:
    """Too few pixels on a metre of the target for what the camera is there for."""
    for key, row in view.cameras.items():
        if row.px_per_m is None or row.purpose == "not_stated":
            continue
        needed = required_px_per_m(row.purpose)
        if row.px_per_m >= _SLACK * needed:
            continue
        kind = camera_type(view.job, view.job.cameras[key])
        widest = float(widest_scene_m(kind.width_px, needed)) if kind else math.nan
        reached = f"serves to {row.purpose_met}" if row.purpose_met else "serves no purpose"
        yield Draft(
            code="sees-too-little",
            severity="warn",
            subject=key,
            message=f"{row.px_per_m:.0f} px/m {reached}; to {row.purpose} wants {needed:g}, a scene of {widest:.1f} m.",
            source="EN62676",
            value=row.px_per_m,
            limit=needed,
            unit="px/m",
            place=at_thing(view, key),
            cures=_sight_cures(view, key, widest),
        )


def _sight_cures(view: View, key: str, widest_m: float) -> tuple[Cure, ...]:
    row, kind = view.cameras[key], camera_type(view.job, view.job.cameras[key])
    cures: list[Cure] = []
    if kind is not None and row.target_distance_m is not None:
        angle = math.degrees(2.0 * math.atan(widest_m / 2.0 / row.target_distance_m))
        angle = math.floor(10.0 * angle) / 10.0
        if angle >= max(kind.angle_min_deg, _SMALLEST_ANGLE_DEG):
            cures.append(cure(f"Set the lens to {angle:.1f}°.", "change", thing_id=key, angle_of_view_deg=angle))
        else:
            nearest = widest_m / 2.0 / math.tan(math.radians(kind.angle_min_deg) / 2.0)
            cures.append(work_on_site(f"Bring it to {nearest:.0f} m of its target, or take a longer lens."))
    if row.purpose_met is not None:
        cures.append(
            cure(f"Say that it is there to {row.purpose_met}.", "change", thing_id=key, purpose=row.purpose_met)
        )
    return tuple(cures)


def multicast_flood(view: View) -> Iterator[Draft]:
    """Multicast over a contended hop is repeated to the whole cell at its lowest rate."""
    flooding: dict[str, list[str]] = {}
    for key, camera in view.job.cameras.items():
        if not camera.stream.multicast or key not in view.routes:
            continue
        crossed = (view.hops.get(leg.id) for leg in view.routes[key].legs if leg.kind == "hop")
        for cell_id in sorted({hop.cell for hop in crossed if hop is not None}):
            flooding.setdefault(cell_id, []).append(key)
    for cell_id, cameras in sorted(flooding.items()):
        cell = view.cells.get(cell_id)
        if cell is None or not cell.multicast_fraction > 0.0:
            continue
        lowest = float(lowest_rates_mbps(view.job)[list(view.job.cells).index(cell_id)])
        yield Draft(
            code="multicast-flood",
            severity="warn",
            subject=cell_id,
            message=f"{several(cameras)} send multicast, which is repeated at {lowest:g} Mbit/s: "
            f"{100 * cell.multicast_fraction:.0f} % of the air.",
            source="IEEE80211",
            value=cell.multicast_fraction,
            limit=0.0,
            unit="1",
            radio=cell_id,
            place=view.at_radio(cell_id),
            cures=(
                *(cure(f"Let {k} send unicast.", "change", thing_id=k, **{"stream.multicast": False}) for k in cameras),
                work_on_site("Or let the access point turn multicast into unicast."),
            ),
        )


def late_picture(view: View) -> Iterator[Draft]:
    """A camera that is steered by a picture that comes late."""
    for key, camera in view.job.cameras.items():
        kind, route = camera_type(view.job, camera), view.routes.get(key)
        if kind is None or not kind.steerable or route is None or route.latency_ms is None:
            continue
        if route.latency_ms <= _STEER_MS:
            yield from _late_at_times(view, key, route)
            continue
        yield Draft(
            code="late-picture",
            severity="warn",
            subject=key,
            message=f"Its picture comes {route.latency_ms:.0f} ms late over {len(route.legs)} legs; "
            f"steering bears {_STEER_MS:.0f} ms.",
            source="PRACTICE",
            value=route.latency_ms,
            limit=_STEER_MS,
            unit="ms",
            place=at_thing(view, key),
            cures=(work_on_site("Take scheduled access, fewer hops, or unload the cell."),),
        )


def _late_at_times(view: View, key: str, route: RouteRow) -> Iterator[Draft]:
    """Late when key pictures meet, though it is usually soon enough."""
    if route.delay_p99_ms is None or route.delay_p99_ms <= _STEER_MS:
        return
    yield Draft(
        code="late-picture",
        severity="note",
        subject=key,
        message=f"One picture in a hundred comes {route.delay_p99_ms:.0f} ms late or more, when key pictures "
        f"meet on the air; steering bears {_STEER_MS:.0f} ms.",
        source="KLEINROCK",
        value=route.delay_p99_ms,
        limit=_STEER_MS,
        unit="ms",
        place=at_thing(view, key),
        cures=(work_on_site("Take longer intervals between key pictures, a lower cap, or unload the cell."),),
    )


RULES = (nobody_knows_rate, sees_too_little, multicast_flood, late_picture)
