"""What the line of a hop crosses on the plan, cut open along it: roofs as they slope, crowns with their underside."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from survey_app.ground.place import Placed
from survey_app.ground.ray.crossings import Family, crossings
from survey_app.ground.ray.index import ray_index
from survey_app.ground.solids import SolidKind, Solids
from survey_app.ground.standing import Season, standing
from survey_app.physics.arrays import FloatArray
from survey_app.site.edits.sharing import with_fields
from survey_app.site.structure import Mast, Obstacle, OverheadLine, Pole, Structure, TreeStand

__all__ = ["Crossed", "crossed_by"]

Spot = tuple[float, float, float]
_LEAST_WIDTH_M = 1.0
_UNMEASURED_M = 1.0
_SAME_M = 1e-9


@dataclass(frozen=True)
class Crossed:
    """A structure on the line of a hop, as the line cuts it; heights over the site datum, without the bulge.

    Attributes
    ----------
    structure : Structure
        What it is.
    enter_m, leave_m : float
        Ground distance from the access point at which the line enters and leaves it; the same for a wire. [m]
    base_m : float
        Its foot. [m]
    top_m : float or None
        The highest point of the cut; None = never measured. [m]
    top_line : tuple of (float, float)
        Upper edge of the cut from `enter_m` to `leave_m`: distance and height; empty where it was never measured. [m]
    underside_m : float or None
        Lower edge of a crown; None = it stands on the ground. [m]
    is_parapet : bool
        Whether it is the parapet on a roof.
    """

    structure: Structure
    enter_m: float
    leave_m: float
    base_m: float
    top_m: float | None
    top_line: tuple[tuple[float, float], ...] = ()
    underside_m: float | None = None
    is_parapet: bool = False

    @property
    def middle_m(self) -> float:
        """Middle of the span. [m]"""
        return (self.enter_m + self.leave_m) / 2.0

    def top_at(self, distance_m: float) -> float:
        """Return the upper edge at a distance, that of the nearer end beyond it; it was measured. [m]"""
        places, heights = zip(*self.top_line, strict=True)
        return float(np.interp(distance_m, list(places), list(heights)))


def crossed_by(
    structures: Sequence[Structure], placed: Placed, start: Spot, end: Spot, years: float = 0.0
) -> tuple[Crossed, ...]:
    """Return what the line between two antennas crosses on the plan, whether it reaches up to the ray or not.

    Parameters
    ----------
    structures : sequence of Structure
        What stands there.
    placed : Placed
        Where everything of the site is.
    start, end : (x, y, height)
        Both antennas, not above each other. [m]
    years : float, default 0
        How much later; trees grow. [year]

    Returns
    -------
    tuple of Crossed
        By the place where the line enters them, then by id.
    """
    near = [one for one in structures if _may_be_crossed(one, placed, start, end, years)]
    by_id = {one.id: one for one in near}
    measured = [with_fields(one, height_m=_UNMEASURED_M) if _unmeasured(one) else one for one in near]
    solids = standing(measured, placed, Season(years=years), with_later=True).solids
    found = list(_cuts(solids, by_id, placed, start, end))
    return tuple(sorted(found, key=lambda one: (one.enter_m, one.structure.id, one.is_parapet)))


def _unmeasured(structure: Structure) -> bool:
    return isinstance(structure, OverheadLine) and structure.height_m is None


def _may_be_crossed(structure: Structure, placed: Placed, start: Spot, end: Spot, years: float) -> bool:
    """Return whether the line comes into the rectangle round a structure."""
    if isinstance(structure, Pole | Mast):
        at = placed.points[structure.id]
        low = high = np.array([at.x_m, at.y_m])
        reach_m = _LEAST_WIDTH_M
    else:
        outline = placed.outlines[structure.id]
        low, high = outline.min(axis=0), outline.max(axis=0)
        reach_m = _reach_m(structure, years)
    line = np.array([start[:2], end[:2]])
    # NaN, from a place in degrees without an anchor, is crossed by nothing
    return bool(np.all(low - reach_m <= line.max(axis=0)) and np.all(high + reach_m >= line.min(axis=0)))


def _reach_m(structure: Structure, years: float) -> float:
    if isinstance(structure, TreeStand):
        return years * structure.crown_growth_m_per_year
    return (structure.swing_radius_m or 0.0) if isinstance(structure, Obstacle) else 0.0


def _cuts(solids: Solids, by_id: dict[str, Structure], placed: Placed, start: Spot, end: Spot) -> Iterator[Crossed]:
    if not solids.ids:
        return
    length_m = math.dist(start[:2], end[:2])
    met = crossings(ray_index(solids), [start], [end])
    for row in range(len(met)):
        structure = by_id[solids.ids[int(met.thing[row])]]
        enter, leave = float(met.enter[row]), float(met.leave[row])
        family, body = Family(int(met.family[row])), int(met.body[row])
        foot_m = placed.feet_m[structure.id]
        if _unmeasured(structure):
            yield Crossed(structure, enter * length_m, leave * length_m, foot_m, None)
            continue
        line, underside_m = _upper_edge(solids, family, body, start, end, (enter, leave))
        yield Crossed(
            structure=structure,
            enter_m=enter * length_m,
            leave_m=leave * length_m,
            base_m=foot_m,
            top_m=max(height for _, height in line),
            top_line=tuple((part * length_m, height) for part, height in line),
            underside_m=underside_m,
            is_parapet=family is Family.PRISM and int(solids.prisms.kind[body]) == SolidKind.PARAPET,
        )


def _upper_edge(
    solids: Solids, family: Family, body: int, start: Spot, end: Spot, span: tuple[float, float]
) -> tuple[list[tuple[float, float]], float | None]:
    """Return the upper edge of a cut by parts of the line, and its lower edge where that is in the air."""
    enter, leave = span
    if family is Family.UPRIGHT:
        top_m = float(solids.uprights.top_m[body])
        return [(enter, top_m), (leave, top_m)], None
    if family is Family.WIRE:
        height_m = 0.5 * float(solids.wires.start_m[body, 2] + solids.wires.end_m[body, 2])
        return [(enter, height_m)], None
    prisms = solids.prisms
    planes = prisms.planes[body]
    planes = planes[np.isfinite(planes[:, 2])]
    first = prisms.corners_m[prisms.ring_start[prisms.first_ring[body]]]
    # every plane along the line is c + slope * part
    height = planes[:, 2] + planes[:, 0] * (start[0] - first[0]) + planes[:, 1] * (start[1] - first[1])
    slope = planes[:, 0] * (end[0] - start[0]) + planes[:, 1] * (end[1] - start[1])
    parts = [enter, *_breaks(height, slope, enter, leave), leave]
    underside_m = float(prisms.underside_m[body])
    edge = [(part, float(np.min(height + slope * part))) for part in parts]
    return edge, None if underside_m == -math.inf else underside_m


def _breaks(height: FloatArray, slope: FloatArray, enter: float, leave: float) -> list[float]:
    """Return where two planes of a roof meet on the line and are its top there."""
    found = set()
    for i in range(len(height)):
        for j in range(i):
            steeper = float(slope[i] - slope[j])
            if steeper == 0.0:
                continue
            part = float(height[j] - height[i]) / steeper
            here = float(height[i] + slope[i] * part)
            if enter < part < leave and here <= float(np.min(height + slope * part)) + _SAME_M:
                found.add(part)
    return sorted(found)
