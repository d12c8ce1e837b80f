"""Whether the aim can be found: north, landmarks, heights, something to aim at."""

from __future__ import annotations

import math
from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.record import Cure, RadioRow
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined
from survey_app.ground.tolerance import combined_sigma

__all__ = ["CODES", "RULES"]

CODES = {
    "unanchored": "No anchor: plan north only",
    "north-unsure": "The aim is not known well enough",
    "compass-weak": "Compass weak here",
    "no-magnetic": "No magnetic bearing",
    "height-guessed-decides": "A guessed height decides",
    "nothing-to-aim-at": "A radio without a far end",
}

_PART_OF_BEAM = 0.25


def _aimed(view: View) -> list[RadioRow]:
    """Return the radios that somebody has to point at something."""
    return [row for row in view.radios.values() if row.aim_by in ("computed", "by_hand") and row.far_ends]


def unanchored(view: View) -> Iterator[Draft]:
    """A site without an anchor works in plan north, and says so."""
    if view.numbers.placed.plane is None and view.radios:
        yield Draft(
            code="unanchored",
            severity="warn",
            subject="site",
            message=(
                "The plan is not tied to the earth, so all bearings count from plan north and a compass is of no use."
            ),
            source="PRACTICE",
            cures=(
                work_on_site("Read latitude and longitude of a point of the plan, and the true bearing of plan north."),
            ),
        )


def no_magnetic(view: View) -> Iterator[Draft]:
    """Outside the model's years, in the blackout or the caution zone, unless every aim has a landmark."""
    north = view.north.row
    if not north.anchored or north.zone == "ok":
        return
    without = [row.id for row in _aimed(view) if row.landmark is None]
    if not without:
        return
    weak = north.zone == "caution"
    yield Draft(
        code="compass-weak" if weak else "no-magnetic",
        severity="warn",
        subject="site",
        message=f"{north.sentence} Without a landmark: {joined(without)}.",
        source="WMM2025",
        value=float(len(without)),
        limit=0.0,
        cures=(work_on_site("Note a landmark for each of these, or aim by the far end itself or by the sun."),),
        concerns=tuple(without),
    )


def north_unsure(view: View) -> Iterator[Draft]:
    """The aim can be wrong by more than a quarter of the beam, by the best way there is."""
    for row in _aimed(view):
        beam, sigma = row.beamwidth_azimuth_deg, row.aim_sigma_deg
        if beam is None or sigma is None or sigma <= _PART_OF_BEAM * beam:
            continue
        limit = _PART_OF_BEAM * beam
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


@about_each("radios")
def height_guessed_decides(view: View, radio_id: str) -> Iterator[Draft]:
    """Heights known so badly that the tilt can be wrong by more than a quarter of the beam."""
    row = view.radios[radio_id]
    beam = row.beamwidth_elevation_deg
    if beam is None or row.aim_by == "none" or not row.hops:
        return
    sigma, hop_id = max((_tilt_sigma_deg(view, key), key) for key in row.hops)
    guessed = _guessed(view, hop_id)
    if sigma <= _PART_OF_BEAM * beam or not guessed:
        return
    limit = _PART_OF_BEAM * beam
    yield Draft(
        code="height-guessed-decides",
        severity="warn",
        subject=row.id,
        message=(
            f"Guessed heights of {joined(guessed)} move the tilt by ±{sigma:.1f}°, "
            f"a quarter of its beam is {limit:.1f}°."
        ),
        source="PRACTICE",
        value=sigma,
        limit=limit,
        unit="°",
        radio=row.id,
        place=view.at_radio(row.id),
        cures=_measure(guessed),
    )


def _tilt_sigma_deg(view: View, hop_id: str) -> float:
    hop = view.hops[hop_id]
    mounts = [view.mounts[view.radios[key].mount] for key in (hop.access_point, hop.station)]
    sigma_m = float(combined_sigma(mounts[0].height_sigma_m, mounts[1].height_sigma_m))
    return math.degrees(math.atan2(sigma_m, max(hop.ground_distance_m, 1e-3)))


def _guessed(view: View, hop_id: str) -> list[str]:
    hop = view.hops[hop_id]
    mounts = dict.fromkeys(view.radios[key].mount for key in (hop.access_point, hop.station))
    return [key for key in mounts if view.job.mounts[key].height_known.how == "guessed"]


def _measure(mounts: list[str]) -> tuple[Cure, ...]:
    return (
        work_on_site(f"Measure the {'height' if len(mounts) == 1 else 'heights'} of {joined(mounts)} with a tape."),
    )


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
            cures=(
                cure("Remove it, with what hangs on it.", "remove", thing_id=row.id, cascade=True),
                work_on_site("Or draw its hop."),
            ),
        )


RULES = (unanchored, no_magnetic, north_unsure, height_guessed_decides, nothing_to_aim_at)
