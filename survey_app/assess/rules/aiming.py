"""Whether the aim can be found and set: north, landmarks, bracket."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.record import RadioRow
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES"]

CODES = {
    "unanchored": "No anchor: plan north only",
    "north-unsure": "The aim is not known well enough",
    "compass-weak": "Compass weak here",
    "no-magnetic": "No magnetic bearing",
    "bracket-cannot": "The bracket cannot set it",
    "nothing-to-aim-at": "A radio without a far end",
}

_PART_OF_BEAM = 0.25


def unanchored(view: View) -> Iterator[Draft]:
    """A site without an anchor works in plan north, and says so."""
    if view.numbers.placed.plane is None and view.radios:
        yield Draft(
            code="unanchored",
            severity="warn",
            subject="site",
            message="The plan is not tied to the earth: all bearings count from plan north, and a compass is of no use.",
            source="PRACTICE",
            cures=(
                work_on_site("Read latitude and longitude of a point of the plan, and the true bearing of plan north."),
            ),
        )


def no_magnetic(view: View) -> Iterator[Draft]:
    """Outside the model's years, in the blackout or the caution zone."""
    north = view.north.row
    if not north.anchored or north.zone == "ok":
        return
    weak = north.zone == "caution"
    yield Draft(
        code="compass-weak" if weak else "no-magnetic",
        severity="warn",
        subject="site",
        message=north.sentence,
        source="WMM2025",
        cures=(work_on_site("Aim by landmark, by the far end itself, or by the sun at a stated minute."),),
    )


def north_unsure(view: View) -> Iterator[Draft]:
    """The aim can be wrong by more than a quarter of the beam, by the best way there is."""
    for row in view.radios.values():
        beam, sigma = row.beamwidth_azimuth_deg, row.aim_sigma_deg
        if beam is None or sigma is None or row.aim_by == "none" or not row.far_ends:
            continue
        limit = _PART_OF_BEAM * beam
        if sigma <= limit:
            continue
        way = f"by {row.landmark.name}" if row.landmark is not None else "by compass"
        yield Draft(
            code="north-unsure",
            severity="warn",
            subject=row.id,
            message=f"Found {way} the aim is good to ±{sigma:.1f}° only, a quarter of its beam is {limit:.1f}°.",
            source="PRACTICE",
            value=sigma,
            limit=limit,
            unit="°",
            radio=row.id,
            place=view.at_radio(row.id),
            cures=(work_on_site("Note a landmark that is seen from here, or measure both ends on the plan."),),
        )


def bracket_cannot(view: View) -> Iterator[Draft]:
    """Pipe outside the clamp, tilt out of reach, or a step coarser than a quarter of the beam."""
    for row in view.radios.values():
        clamp = view.clamps.get(row.mount)
        mount = view.mounts[row.mount]
        message = ""
        limit = value = None
        unit = ""
        if row.clamp_range_mm is not None and mount.pipe_mm is not None:
            low, high = row.clamp_range_mm
            if not low <= mount.pipe_mm <= high:
                message = f"Its clamp takes {low:.0f} to {high:.0f} mm, the pipe is {mount.pipe_mm:.0f} mm."
                value, limit, unit = mount.pipe_mm, high if mount.pipe_mm > high else low, "mm"
        if not message and clamp is not None and row.bracket_tilt_deg is not None and _matters(row):
            tilt = row.bracket_tilt_deg
            if not clamp.tilt_min_deg - 0.05 <= tilt <= clamp.tilt_max_deg + 0.05:
                message = f"{clamp.name} tilts {clamp.tilt_min_deg:+.0f}° to {clamp.tilt_max_deg:+.0f}°, {tilt:+.1f}° is wanted."
                value, limit, unit = tilt, clamp.tilt_min_deg if tilt < 0 else clamp.tilt_max_deg, "°"
            elif row.bracket_step_cost_db is not None and row.bracket_step_cost_db > 1.0:
                message = (
                    f"{clamp.name} has steps of {clamp.tilt_step_deg:g}°: {row.bracket_set_deg:+.1f}° is the nearest to "
                    f"{tilt:+.1f}° and costs {row.bracket_step_cost_db:.1f} dB."
                )
                value, limit, unit = row.bracket_step_cost_db, 1.0, "dB"
        if not message:
            continue
        yield Draft(
            code="bracket-cannot",
            severity="warn" if unit == "dB" else "stop",
            subject=row.id,
            message=message,
            source="PRACTICE",
            value=value,
            limit=limit,
            unit=unit,
            radio=row.id,
            place=view.at_radio(row.id),
            cures=_clamp_cures(view, row),
        )


def _matters(row: RadioRow) -> bool:
    return row.aim_by in ("computed", "by_hand") and bool(row.far_ends)


def _clamp_cures(view: View, row: RadioRow) -> tuple:  # type: ignore[type-arg]
    mount = view.mounts[row.mount]
    fitting = [
        item
        for item in view.job.gear.values()
        if item.kind == "clamp"
        and row.bracket_tilt_deg is not None
        and item.tilt_min_deg <= row.bracket_tilt_deg <= item.tilt_max_deg
        and item.body.pipe_min_mm is not None
        and item.body.pipe_max_mm is not None
        and (mount.pipe_mm is None or item.body.pipe_min_mm <= mount.pipe_mm <= item.body.pipe_max_mm)
    ]
    fitting.sort(key=lambda item: (item.tilt_step_deg, item.id))
    if fitting and fitting[0].id != mount.clamp:
        return (cure(f"Use {fitting[0].name}.", "change", id=row.mount, bracket=fitting[0].id),)
    return (work_on_site("Take a bracket with fine thread that fits this pipe."),)


def nothing_to_aim_at(view: View) -> Iterator[Draft]:
    """A radio that no hop uses."""
    for row in view.radios.values():
        if row.hops:
            continue
        yield Draft(
            code="nothing-to-aim-at",
            severity="warn",
            subject=row.id,
            message="No hop uses it: there is nothing to aim at.",
            source="PRACTICE",
            radio=row.id,
            place=view.at_radio(row.id),
            cures=(cure("Remove it.", "remove", id=row.id),),
        )


RULES = (unanchored, no_magnetic, north_unsure, bracket_cannot, nothing_to_aim_at)
