"""Whether clamp and arm hold a radio and set its aim."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from survey_app.assess.clamp import choose_arm, holds, needs_clamp, pipe_of, step_limit_deg
from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.record import Cure, RadioRow, Severity
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.level import worst_margin_db
from survey_app.assess.rules.view import View
from survey_app.site.gear_type import AntennaType, ClampType, RadioType
from survey_app.site.mount import Pipe
from survey_app.site.place import EdgePlace

__all__ = ["CODES", "RULES"]

CODES = {"bracket-cannot": "The bracket cannot set it"}

_TILT_SLACK_DEG = 0.05
_STEP_COST_DB = 0.5  # what a coarse step may cost before it is worth a word
_STEP_STOP_DB = 3.0  # half the power: the far end lies outside the beam
_OFF_THE_WALL = "° off the wall"


class _Fault(NamedTuple):
    severity: Severity
    sentence: str
    value: float
    limit: float
    unit: str


@about_each("radios")
def bracket_cannot(view: View, radio_id: str) -> Iterator[Draft]:
    """Pipe outside the clamp, tilt out of reach, a step coarser than a quarter of the beam, an aim into the wall."""
    row = view.radios[radio_id]
    fault = _of_pipe(view, row) or (_of_tilt(view, row) or _of_turn(view, row) if _aimed(row) else None)
    if fault is None:
        return
    yield Draft(
        code="bracket-cannot",
        severity=fault.severity,
        subject=row.id,
        message=fault.sentence,
        source="PRACTICE",
        value=fault.value,
        limit=fault.limit,
        unit=fault.unit,
        radio=row.id,
        place=view.at_radio(row.id),
        cures=_cures(view, row, fault),
    )


def _aimed(row: RadioRow) -> bool:
    return row.aim_by in ("computed", "by_hand") and bool(row.far_ends)


def _hung(view: View, row: RadioRow) -> RadioType | AntennaType | None:
    """Return what hangs in the clamp: the separate antenna, else the unit."""
    radio = view.job.radios[row.id]
    return view.job.antenna_type(radio) or view.job.radio_type(radio)


def _pipe(view: View, row: RadioRow) -> Pipe | None:
    mount = view.job.mounts[row.mount]
    arm = choose_arm(mount, view.job.gear.values())
    foot_m = view.job.placed.feet_m.get(mount.structure, 0.0)
    return pipe_of(mount, view.job.structures.get(mount.structure), arm, foot_m)


def _of_pipe(view: View, row: RadioRow) -> _Fault | None:
    pipe, kind, clamp = _pipe(view, row), _hung(view, row), view.clamps.get(row.mount)
    if pipe is None or kind is None or not needs_clamp([kind]):
        return None
    if clamp is not None:
        if holds(clamp, pipe):
            return None
        low, high, name = clamp.body.pipe_min_mm, clamp.body.pipe_max_mm, clamp.name
    else:
        low, high, name = kind.body.pipe_min_mm, kind.body.pipe_max_mm, f"the clamp of {kind.name}"
        if low is None or high is None or low <= pipe.diameter_mm <= high:
            return None  # it goes on by its own clamp, as far as is known
    wide = f"{pipe.diameter_mm:.0f} mm"
    if low is not None and pipe.diameter_mm < low:
        return _Fault("stop", f"The pipe is {wide}, {name} takes {low:.0f} mm at least.", pipe.diameter_mm, low, "mm")
    if high is not None and pipe.diameter_mm > high:
        return _Fault("stop", f"The pipe is {wide}, {name} takes {high:.0f} mm at most.", pipe.diameter_mm, high, "mm")
    sentence = f"The column of {wide} is {pipe.section}, {name} grips round pipes only."
    return _Fault("stop", sentence, pipe.diameter_mm, pipe.diameter_mm, "mm")


def _of_tilt(view: View, row: RadioRow) -> _Fault | None:
    clamp, tilt = view.clamps.get(row.mount), row.bracket_tilt_deg
    if clamp is None or tilt is None:
        return None
    if not clamp.tilt_min_deg - _TILT_SLACK_DEG <= tilt <= clamp.tilt_max_deg + _TILT_SLACK_DEG:
        most = clamp.tilt_min_deg if tilt < 0.0 else clamp.tilt_max_deg
        sentence = f"{clamp.name} tilts {abs(most):.0f}° {_way(most)} at most, {abs(tilt):.1f}° {_way(tilt)} is wanted."
        return _Fault("stop", sentence, tilt, most, "°")
    kind, cost = _hung(view, row), row.bracket_step_cost_db
    coarsest = step_limit_deg([kind]) if kind is not None else None
    if coarsest is None or cost is None or clamp.tilt_step_deg <= coarsest or cost <= _STEP_COST_DB:
        return None
    margins = [margin for key in row.hops if (margin := worst_margin_db(view.hops[key])) is not None]
    gone = bool(margins) and min(margins) - cost < view.job.defaults.thin_margin_db
    nearest = row.bracket_set_deg or 0.0
    sentence = (
        f"{clamp.name} has steps of {clamp.tilt_step_deg:g}°: {abs(nearest):g}° is nearest to "
        f"{abs(tilt):.1f}° {_way(tilt)} and costs {cost:.1f} dB."
    )
    return _Fault("stop" if gone or cost > _STEP_STOP_DB else "warn", sentence, cost, _STEP_COST_DB, "dB")


def _way(tilt_deg: float) -> str:
    return "down" if tilt_deg < 0.0 else "up"


def _of_turn(view: View, row: RadioRow) -> _Fault | None:
    """A unit on a wall can look along it and past its corner, never into it."""
    mount = view.job.mounts[row.mount]
    place = mount.place
    if not isinstance(place, EdgePlace) or place.stand_off_m <= 0.0 or row.bearing_plan_deg is None:
        return None
    if (view.mounts[mount.id].height_above_eaves_m or 0.0) > 0.0:
        return None  # it looks over the wall
    corners, spot = view.numbers.placed.outlines[mount.structure], view.numbers.placed.mounts[mount.id]
    here, there = corners[place.edge], corners[(place.edge + 1) % len(corners)]
    length = math.hypot(*(there - here))
    along = (there - here) / length
    foot = here + along * place.along_m
    aim = math.radians(row.bearing_plan_deg)
    looks = np.array([math.sin(aim), math.cos(aim)])
    inward = float(looks @ (foot - [spot.x_m, spot.y_m])) / place.stand_off_m
    if inward <= 0.0:
        return None
    forward = float(looks @ along)
    left = length - place.along_m if forward > 0.0 else place.along_m
    if place.stand_off_m * abs(forward) / inward >= left:
        return None  # past the corner before it meets the wall
    into = math.degrees(math.asin(min(inward, 1.0)))
    sentence = f"It would have to look {into:.0f}° into the wall that it hangs on."
    return _Fault("stop", sentence, 90.0 + into, 90.0, _OFF_THE_WALL)


def _cures(view: View, row: RadioRow, fault: _Fault) -> tuple[Cure, ...]:
    """Offer a clamp of the site's gear that takes the pipe and sets the tilt finely enough."""
    if fault.unit == _OFF_THE_WALL:
        return (work_on_site("Hang it on another wall, or on a pole clear of this one."),)
    pipe, kind = _pipe(view, row), _hung(view, row)
    coarsest = step_limit_deg([kind]) if kind is not None else None
    named = view.clamps.get(row.mount)

    def fits(item: ClampType) -> bool:
        tilt = row.bracket_tilt_deg
        return (
            (pipe is None or holds(item, pipe))
            and (tilt is None or item.tilt_min_deg <= tilt <= item.tilt_max_deg)
            and (coarsest is None or item.tilt_step_deg <= coarsest)
            and item is not named
        )

    clamps = [item for item in view.job.gear.values() if isinstance(item, ClampType) and fits(item)]
    if not clamps:
        return (work_on_site("Take a clamp that grips this pipe and sets this tilt finely enough."),)
    best = min(clamps, key=lambda item: (item.tilt_step_deg, item.id))
    return (cure(f"Use {best.name}.", "change", thing_id=row.mount, bracket=best.id),)


RULES = (bracket_cannot,)
