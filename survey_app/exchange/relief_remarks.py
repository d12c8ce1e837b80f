"""What is said after a grid of heights was taken: what was understood, what was done, what to look at."""

from __future__ import annotations

import math

import numpy as np

from survey_app.exchange.imported import HeightUnit, TakenGrid
from survey_app.ground.grid import to_reference
from survey_app.ground.plane import Plane
from survey_app.ground.relief.lattice import Lattice
from survey_app.site.relief import GridRelief
from survey_app.site.site import Design

__all__ = ["change_remarks", "grid_remarks"]

_UNIT_WORDS: dict[HeightUnit, str] = {"metre": "metres", "foot": "feet", "us_survey_foot": "US survey feet"}
_HARDLY_M = 1.0
_ROUGH_M = 0.5
_WORTH_SAYING_M = 0.0005
_HIGH_M = 20.0
_LIKE_FEET = (2.9, 3.7)


def grid_remarks(
    design: Design, relief: GridRelief, taken: TakenGrid, lattice: Lattice, *, has_offset: bool
) -> list[str]:
    """Return the remarks on a grid, a sentence each.

    Parameters
    ----------
    design : Design
        The design that gets it.
    relief : GridRelief
        Its record.
    taken : TakenGrid
        What was decided of it.
    lattice : Lattice
        Its heights over the site datum, on the plane.
    has_offset : bool
        Whether a person has said what is added to its heights.
    """
    rows, columns = lattice.rows_m.shape
    step_m = 1.0 / math.sqrt(abs(np.linalg.det(lattice.to_steps[:, :2])))
    part = "All of it is kept" if taken.is_whole else "The part that the site needs is kept"
    guess = "" if taken.is_unit_said else ", since the file does not say"
    low, high = float(np.nanmin(lattice.rows_m)), float(np.nanmax(lattice.rows_m))
    remarks = [
        f"{part}: {columns} by {rows} points, {step_m:.3g} m apart, placed by {relief.grid}.",
        f"Heights are over {relief.vertical_datum}, in {_UNIT_WORDS[relief.height_unit]}{guess}.",
        f"{relief.datum_offset_m:+.3f} m are added to have them over the site datum ({design.plane.datum}): "
        f"the ground then lies from {low:.1f} to {high:.1f} m{_at_origin(lattice)}.",
    ]
    if relief.voids != "none":
        done = "filled from around them" if relief.voids == "filled" else "left unknown"
        remarks.append(f"{relief.void_count} points without a height were {done}.")
    if taken.outside:
        remarks.append(
            f"{taken.outside} of {taken.drawn} drawn points lie outside of it: the ground there is not known."
        )
    remarks += _placing(lattice)
    if not taken.is_unit_said:
        remarks += _like_feet(design.plane.datum_elevation_m, (low + high) / 2.0 - relief.datum_offset_m)
    if not has_offset and not design.plane.datum_elevation_m:
        remarks += _datum(lattice)
    return remarks


def _placing(lattice: Lattice) -> list[str]:
    if lattice.resampled_m > 0.0:
        return [
            "On the plan its points form no straight lattice, so it was sampled anew: "
            f"that changes heights by {lattice.resampled_m:.2f} m at most."
        ]
    if lattice.shift_m > _WORTH_SAYING_M:
        return [f"Its points are placed to {lattice.shift_m:.3f} m."]
    return []


def _like_feet(known_m: float, middle_m: float) -> list[str]:
    if known_m < _HIGH_M or not _LIKE_FEET[0] < middle_m / known_m < _LIKE_FEET[1]:
        return []
    return [
        f"The ground lies {middle_m / known_m:.1f} times as high as the site datum: if its heights are feet, "
        "import it again with --height-unit foot."
    ]


def _datum(lattice: Lattice) -> list[str]:
    """Say what to do where nobody has said how high the site datum lies and the ground at its origin is not 0."""
    height = float(lattice.heights_m(0.0, 0.0))
    if math.isnan(height) or abs(height) < _HARDLY_M:
        return []
    return [
        "Nobody has said how high the site datum lies over that: if it is the ground at the plan's origin, import "
        f"it again with --offset {-height:.2f}."
    ]


def _at_origin(lattice: Lattice) -> str:
    height = float(lattice.heights_m(0.0, 0.0))
    return "" if math.isnan(height) else f", at the plan's origin {height:.2f} m"


def change_remarks(reference: str, plane: Plane) -> list[str]:
    """Return what is to be said of the change from the plan to the reference of a grid."""
    accuracy_m = to_reference(reference, plane.lat_deg, plane.lon_deg).accuracy_m
    if not accuracy_m >= _ROUGH_M:
        return []
    return [f"From the plan to its reference positions are good to {accuracy_m:g} m."]
