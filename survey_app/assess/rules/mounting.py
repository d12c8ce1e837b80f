"""Whether something may and can hang where it is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.record import Cure, MountRow
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined, verb
from survey_app.ground.relief.surface import LevelGround
from survey_app.site.mount import Mount
from survey_app.site.site import Defaults
from survey_app.site.structure import Building, Mast, Pole
from survey_app.site.thing import Environment

__all__ = ["CODES", "RULES"]

CODES = {
    "no-place": "A mount without a place",
    "permission-missing": "Owner has not agreed",
    "mount-refused": "Mount refused on the walk",
    "datum-mixed": "Height beyond its structure",
    "needs-engineer": "Wants an engineer",
    "weather-unfit": "Not made for this weather",
    "overhead-line-near": "Overhead line near the mount",
    "lift-needed": "Higher than a ladder",
}

_FREE_MAST_M = 3.0
_LARGE_AREA_M2 = 0.5
_LINE_M = 10.0
_LADDER_M = 9.0  # the highest that people still work from a ladder; common practice
_NO_WAY_NOTED_M = 6.0
_OVER_TOP_M = 0.3  # a stub of pipe above the tip; common practice
_OMNI_OVER_TOP_M = 1.0  # an omni stands on the tip
_ROOF_MAST_M = 6.0
_UNDER_TOP_M = 0.2
_HUNG = frozenset({"existing", "hung", "accepted"})


def _in_use(view: View) -> Iterator[tuple[str, MountRow]]:
    yield from ((key, row) for key, row in view.mounts.items() if _carries(row))


def _carries(row: MountRow) -> bool:
    return bool(row.radios or row.cameras)


def _sheet(row: MountRow) -> str | None:
    return row.radios[0] if row.radios else None


def no_place(view: View) -> Iterator[Draft]:
    """A mount without a place on the plan or without a height, with what hangs on it left out of everything."""
    for mount in view.job.unplaced.values():
        hung = [radio.id for radio in view.job.design.radios if radio.mount == mount.id]
        if not hung:
            continue
        left_out = f"so {joined(hung)} {verb(hung, 'is', 'are')} left out of everything"
        foot_m = view.job.placed.feet_m.get(mount.structure)
        if foot_m is not None and math.isnan(foot_m) and _is_on_plan(view, mount.id):
            message, cures = _no_foot(view, mount, left_out)
        else:
            message = f"It has no place on the plan, {left_out}."
            cures = (work_on_site("Place it by metres of the plan, or tie the plan to the earth."),)
        yield Draft(
            code="no-place",
            severity="stop",
            subject=mount.id,
            message=message,
            source="PRACTICE",
            cures=cures,
            concerns=tuple(hung),
        )


def _is_on_plan(view: View, mount_id: str) -> bool:
    point = view.job.placed.points.get(mount_id)
    return point is not None and math.isfinite(point.x_m) and math.isfinite(point.y_m)


def _no_foot(view: View, mount: Mount, left_out: str) -> tuple[str, tuple[Cure, ...]]:
    """Return message and cures for a mount on a structure whose foot nobody knows."""
    structure = view.job.structures[mount.structure]
    ground = view.job.placed.ground
    why = ground.words if isinstance(ground, LevelGround) else "It reaches beyond the relief or over a gap in it."
    message = f"The relief does not say how high {structure.title} stands, {left_out}. {why}"
    return message, (
        work_on_site(f"Measure the foot of {structure.title} over the site datum and write it down."),
        work_on_site("Import a relief that reaches it."),
    )


@about_each("mounts")
def permission_missing(view: View, mount_id: str) -> Iterator[Draft]:
    """Refused, or not asked, or not answered; one finding a mount that carries something."""
    row = view.mounts[mount_id]
    if not _carries(row):
        return
    state = row.permission
    if state in ("granted", "not_needed"):
        return
    owner = view.job.mounts[mount_id].owner or "The owner"
    words = {
        "refused": f"{owner} has refused.",
        "not_asked": f"{owner} has not been asked.",
        "asked": f"{owner} has been asked and has not answered.",
    }
    ask = "Use another mount." if state == "refused" else "Ask, and note the answer with its date."
    yield Draft(
        code="permission-missing",
        severity="stop" if state == "refused" else "warn",
        subject=mount_id,
        message=words[state][0].upper() + words[state][1:],
        source="PRACTICE",
        radio=_sheet(row),
        place=view.at_mount(mount_id),
        cures=(work_on_site(ask),),
    )


def mount_refused(view: View) -> Iterator[Draft]:
    """A mount that the walk found unfit."""
    for mount_id, row in _in_use(view):
        if view.job.mounts[mount_id].usable == "refused":
            yield Draft(
                code="mount-refused",
                severity="stop",
                subject=mount_id,
                message="The walk found that nothing can hang here.",
                source="PRACTICE",
                radio=_sheet(row),
                place=view.at_mount(mount_id),
                cures=(work_on_site("Use another mount."),),
            )


def _beyond_m(view: View, row: MountRow) -> tuple[float, float, str]:
    """Return how far a mount is beyond the end of its structure, what is borne, and which end."""
    if row.height_above_ground_m < 0.0 and row.environment != "indoors":
        return -row.height_above_ground_m, 0.0, "under the foot"
    if row.below_top_m is not None:
        omni = any(view.radios[key].pattern_model == "omni" for key in row.radios)
        return -row.below_top_m, _OMNI_OVER_TOP_M if omni else _OVER_TOP_M, "above the top"
    structure = view.job.structures.get(row.structure)
    if isinstance(structure, Building):
        ridge = structure.roof.ridge_height_m
        top = ridge if ridge is not None else structure.eaves_height_m + structure.roof.parapet_height_m
        return row.height_above_ground_m - top, _ROOF_MAST_M, "above the roof"
    return 0.0, 0.0, ""


def datum_mixed(view: View) -> Iterator[Draft]:
    """A mount drawn beyond the end of its structure: heights of two kinds were mixed."""
    for mount_id, row in _in_use(view):
        beyond, borne, where = _beyond_m(view, row)
        if beyond <= borne + 0.01:
            continue
        mount, structure = view.job.mounts[mount_id], view.job.structures.get(row.structure)
        cures: tuple[Cure, ...] = (work_on_site("Measure the height again, and note what it counts from."),)
        if isinstance(structure, Pole | Mast) and where == "above the top":
            lower = round(mount.height_m - beyond - _UNDER_TOP_M, 3)
            text = f"Bring it {_UNDER_TOP_M:g} m under the top."
            cures = (cure(text, "set_height", thing_id=mount.id, height_m=lower), *cures)
        yield Draft(
            code="datum-mixed",
            severity="stop",
            subject=mount_id,
            message=f"It is drawn {beyond:.1f} m {where} of {row.structure_name}: which height was meant?",
            source="PRACTICE",
            value=beyond,
            limit=borne,
            unit="m",
            radio=_sheet(row),
            place=view.at_mount(mount_id),
            cures=cures,
        )


def needs_engineer(view: View) -> Iterator[Draft]:
    """A free mast over 3 m, or a large wind area on one upright: said, never computed as safe."""
    carried: dict[str, list[str]] = {}
    for mount_id, row in _in_use(view):
        carried.setdefault(row.structure, []).append(mount_id)
    for structure_id, mounts in carried.items():
        structure = view.job.structures.get(structure_id)
        if not isinstance(structure, Pole | Mast):
            continue
        free = isinstance(structure, Mast) and not structure.guyed and structure.height_m > _FREE_MAST_M
        area = sum(_wind_area_m2(view, view.mounts[key]) for key in mounts)
        if not (free and structure.status not in _HUNG) and area <= _LARGE_AREA_M2:
            continue
        large = area > _LARGE_AREA_M2
        message = (
            f"What hangs on it has {area:.2f} m² in the wind: its strength wants an engineer's answer."
            if large
            else f"A free mast of {structure.height_m:.1f} m: its strength wants an engineer's answer."
        )
        yield Draft(
            code="needs-engineer",
            severity="warn" if large else "note",
            subject=structure_id,
            message=message,
            source="PRACTICE",
            value=area if large else structure.height_m,
            limit=_LARGE_AREA_M2 if large else _FREE_MAST_M,
            unit="m²" if large else "m",
            radio=_sheet(view.mounts[mounts[0]]),
            place=view.at_mount(mounts[0]),
            cures=(work_on_site("Ask a structural engineer, with the wind areas of what hangs there."),),
            concerns=tuple(mounts),
        )


def _wind_area_m2(view: View, row: MountRow) -> float:
    job = view.job
    types = [job.antenna_type(job.radios[key]) or job.gear.get(job.radios[key].gear) for key in row.radios]
    types += [job.gear.get(job.cameras[key].gear) for key in row.cameras]
    return sum(kind.body.wind_area_m2 or 0.0 for kind in types if kind is not None)


def _against_water(ingress: str) -> int:
    """Return the better second digit of marks such as IP66 or IP67+66, 0 where there is none."""
    marks = ingress.upper().replace("IP", " ").replace("+", " ").replace("/", " ").split()
    return max((int(mark[1]) for mark in marks if len(mark) >= 2 and mark[1].isdigit()), default=0)


def weather_unfit(view: View) -> Iterator[Draft]:
    """A radio or camera outdoors that is not closed against rain, or outside its temperatures."""
    job = view.job
    things: list[tuple[str, str, Environment, str | None]] = []
    for radio in job.radios.values():
        where = job.mounts[radio.mount].environment
        things += [(radio.id, key, where, radio.id) for key in (radio.gear, radio.antenna) if key is not None]
    things += [(camera.id, camera.gear, camera.environment, None) for camera in job.cameras.values()]
    for thing, gear, environment, radio_id in things:
        fault = _unfit(view, gear, environment, job.defaults)
        if fault is None:
            continue
        message, value, limit = fault
        kind = job.gear[gear].kind
        yield Draft(
            code="weather-unfit",
            severity="stop" if value is None else "warn",
            subject=thing,
            second_subject="antenna" if kind == "antenna" else None,
            message=message,
            source="IEC60529" if value is None else "PRACTICE",
            value=value,
            limit=limit,
            unit="°C" if value is not None else "",
            radio=radio_id,
            place=view.at_radio(radio_id) if radio_id is not None else None,
            cures=(work_on_site("Take a type made for this place, or bring it indoors."),),
        )


def _unfit(
    view: View, gear: str, environment: Environment, defaults: Defaults
) -> tuple[str, float | None, float | None] | None:
    found = view.job.gear.get(gear)
    if found is None or environment == "indoors":
        return None
    body = found.body
    if environment == "outdoors" and body.ingress and _against_water(body.ingress) < 4:
        return f"{found.name} ({body.ingress}) is not closed against rain.", None, None
    if body.temp_min_c is not None and defaults.air_temp_min_c < body.temp_min_c:
        cold = defaults.air_temp_min_c
        return (
            f"{found.name} works down to {body.temp_min_c:.0f} °C, the site may have {cold:.0f} °C.",
            cold,
            body.temp_min_c,
        )
    if body.temp_max_c is not None and defaults.air_temp_max_c > body.temp_max_c:
        hot = defaults.air_temp_max_c
        return (
            f"{found.name} works up to {body.temp_max_c:.0f} °C, the site may have {hot:.0f} °C.",
            hot,
            body.temp_max_c,
        )
    return None


def overhead_line_near(view: View) -> Iterator[Draft]:
    """An overhead line recorded within ten metres of a mount that somebody will climb to."""
    for mount_id, row in _in_use(view):
        distance = row.overhead_line_m
        if distance is None or distance >= _LINE_M:
            continue
        yield Draft(
            code="overhead-line-near",
            severity="warn",
            subject=mount_id,
            message=f"An overhead line is recorded {distance:.1f} m away: ask its operator before anyone climbs.",
            source="PRACTICE",
            value=distance,
            limit=_LINE_M,
            unit="m",
            radio=_sheet(row),
            place=view.at_mount(mount_id),
            cures=(work_on_site("Ask the line's operator for the distance to keep, or use another mount."),),
        )


@about_each("mounts")
def lift_needed(view: View, mount_id: str) -> Iterator[Draft]:
    """A mount that a ladder does not reach, where nothing but a ladder was planned."""
    row = view.mounts[mount_id]
    if not _carries(row):
        return
    mount = view.job.mounts[mount_id]
    structure = view.job.structures.get(row.structure)
    climb = view.job.climbs.get(mount.climb or "")
    way = climb.way if climb is not None else "unknown"
    limit = _LADDER_M if way == "ladder" else _NO_WAY_NOTED_M
    if way not in ("ladder", "unknown") or row.height_above_ground_m <= limit or row.environment == "indoors":
        return
    if isinstance(structure, Building) and mount.place.kind == "roof":
        return  # one stands on the roof
    yield Draft(
        code="lift-needed",
        severity="warn" if way == "ladder" else "note",
        subject=mount_id,
        message=(
            f"A ladder is planned for {row.height_above_ground_m:.1f} m, it serves to {_LADDER_M:g} m."
            if way == "ladder"
            else f"It hangs {row.height_above_ground_m:.1f} m up, and nobody has noted how one gets there."
        ),
        source="PRACTICE",
        value=row.height_above_ground_m,
        limit=limit,
        unit="m",
        radio=_sheet(row),
        place=view.at_mount(mount_id),
        cures=(
            *((cure("Plan a lift.", "change", thing_id=climb.id, way="lift"),) if climb is not None else ()),
            work_on_site("Note how one gets up: lift, roof hatch or rope."),
        ),
    )


RULES = (
    no_place,
    permission_missing,
    mount_refused,
    datum_mixed,
    needs_engineer,
    weather_unfit,
    overhead_line_near,
    lift_needed,
)
