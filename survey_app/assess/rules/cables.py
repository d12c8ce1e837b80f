"""Cables: too long, of unknown length, or of metal where two earths meet."""

from __future__ import annotations

import math
from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.graph import device_type, things_joined
from survey_app.assess.rules.spots import at_thing
from survey_app.assess.rules.view import View
from survey_app.assess.wires import cable_type, is_patch_lead
from survey_app.physics.conductors import DATA_LIMIT_M
from survey_app.site.gear_type import CableType

__all__ = ["CODES", "RULES"]

CODES = {
    "metal-between-buildings": "Copper between two earths",
    "cable-too-long": "Copper too long for data",
    "length-unknown": "Length of a cable not known",
}


def metal_between_buildings(view: View) -> Iterator[Draft]:
    """Copper outdoors that joins two earths."""
    for row in view.wires.values():
        if not row.metal_between_buildings:
            continue
        wire = view.job.wires[row.id]
        glass = _fibre(view)
        cures = []
        if wire.power == "none" and glass is not None:
            cures.append(cure(f"Take {glass.name}.", "change", thing_id=row.id, medium="fibre", gear=glass.id))
        cures.append(work_on_site("Protect both ends and have both earths bonded, or give each end its own supply."))
        ends = [view.network.earths.of(end) for end in things_joined(view.job, wire)]
        yield Draft(
            code="metal-between-buildings",
            severity="warn",
            subject=row.id,
            message=f"Copper joins the earths of {ends[0]} and {ends[1]}.",
            source="PRACTICE",
            radio=next((end for end in (row.a, row.b) if end in view.job.radios), None),
            place=at_thing(view, row.a),
            cures=tuple(cures),
        )


def _fibre(view: View) -> CableType | None:
    types = [item for item in view.job.gear.values() if isinstance(item, CableType) and item.medium == "fibre"]
    return min(types, key=lambda item: item.id, default=None)


def cable_too_long(view: View) -> Iterator[Draft]:
    """Copper that carries data over more than its channel."""
    job = view.job
    for key, wire in job.wires.items():
        run, kind = view.network.runs[key], cable_type(job, wire)
        ends = things_joined(job, wire)
        data = not any(
            end in job.supplies or ((d := device_type(job, end)) is not None and d.kind == "supply_unit")
            for end in ends
        )
        limit = (kind.data_limit_m if kind else None) or DATA_LIMIT_M
        if wire.medium not in ("copper", "fibre") or not data or run.installed_m is None or run.installed_m <= limit:
            continue
        glass = _fibre(view) if wire.medium == "copper" and wire.power == "none" else None
        fits = glass is not None and run.installed_m <= (glass.data_limit_m or math.inf)
        yield Draft(
            code="cable-too-long",
            severity="stop",
            subject=key,
            message=f"{run.installed_m:.0f} m with drip loop and service length, data goes {limit:.0f} m.",
            source="TIA568",
            value=run.installed_m,
            limit=limit,
            unit="m",
            radio=next((end for end in ends if end in job.radios), None),
            place=at_thing(view, ends[0]),
            cures=(
                *(
                    (cure(f"Take {glass.name}.", "change", thing_id=key, medium="fibre", gear=glass.id),)
                    if glass and fits
                    else ()
                ),
                work_on_site("Put a switch on the way, or move one end."),
            ),
        )


def length_unknown(view: View) -> Iterator[Draft]:
    """A wire of which neither run nor length is known."""
    for key, wire in view.job.wires.items():
        if view.network.runs[key].route_m is not None or wire.medium == "existing" or is_patch_lead(wire):
            continue
        carries = wire.power != "none"
        yield Draft(
            code="length-unknown",
            severity="warn" if carries else "note",
            subject=key,
            message="One end has no place on the plan and no length was measured"
            + (": what arrives at its end is not known." if carries else "."),
            source="PRACTICE",
            radio=next((end for end in things_joined(view.job, wire) if end in view.job.radios), None),
            cures=(work_on_site("Place both ends, or measure the run and write its length."),),
        )


RULES = (metal_between_buildings, cable_too_long, length_unknown)
