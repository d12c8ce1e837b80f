"""The drawings of a mounting sheet: plan round the radio, elevation, side of the mount; true north is turned up."""

from __future__ import annotations

import math
from typing import Any

from survey_app.assess.record import Finding, HopRow, RadioRow
from survey_app.drawing.elevation import ElevationScene
from survey_app.drawing.plan_scene import (
    PlanEnd,
    PlanFlag,
    PlanHop,
    PlanLandmark,
    PlanScene,
    PlanStructure,
    PlanWater,
)
from survey_app.drawing.shapes import Point
from survey_app.ground.bearings import compass_point
from survey_app.paper.mounting_view import SideFigure
from survey_app.paper.rounding import bearing, metres, number, signed_tenths, tenths, tilt_tenths
from survey_app.paper.sources import Sources
from survey_app.site.place import EdgePlace, PolePlace
from survey_app.site.structure import (
    Building,
    Mast,
    Obstacle,
    OverheadLine,
    Pole,
    Structure,
    TrafficArea,
    TreeStand,
)

__all__ = ["Surroundings", "elevation_of", "plan_of", "side_of"]


class Surroundings:
    """Structures and waters of a site, turned so that the sheet's north is up; made once for all its sheets.

    Parameters
    ----------
    sources : Sources
        Site and assessment.
    """

    def __init__(self, sources: Sources) -> None:
        anchor = sources.design.plane.anchor
        turn = math.radians(anchor.rotation_deg) if anchor is not None else 0.0
        self._cos, self._sin = math.cos(turn), math.sin(turn)
        self.north = "N" if anchor is not None else "PN"
        self.rotation_deg = anchor.rotation_deg if anchor is not None else 0.0
        outlines = sources.placed.outlines
        points = sources.placed.points
        self.structures = tuple(
            found
            for structure in sources.design.structures
            if structure.status not in ("removed", "later")
            for found in (self._structure(structure, outlines.get(structure.id), points.get(structure.id)),)
            if found is not None
        )
        self.structures += tuple(
            PlanStructure("zone", zone.title, self._ring(outlines[zone.id]), 0.0)
            for zone in sources.design.zones
            if zone.id in outlines and zone.purpose != "boundary"
        )
        self.waters = tuple(
            PlanWater(water.name, self._ring(outlines[water.id]))
            for water in sources.design.waters
            if water.id in outlines
        )

    def turned(self, x_m: float, y_m: float) -> Point:
        """Return a point of the plane with the sheet's north up. [m]"""
        return x_m * self._cos + y_m * self._sin, y_m * self._cos - x_m * self._sin

    def _ring(self, corners: Any) -> tuple[Point, ...]:
        return tuple(self.turned(float(x), float(y)) for x, y in corners)

    def _structure(self, structure: Structure, outline: Any, point: Any) -> PlanStructure | None:
        name = structure.name
        if isinstance(structure, Pole | Mast):
            if point is None:
                return None
            return PlanStructure(structure.kind, name, (self.turned(point.x_m, point.y_m),), structure.height_m)
        if outline is None:
            return None
        ring = self._ring(outline)
        if isinstance(structure, Building):
            ridge = structure.roof.ridge_height_m
            return PlanStructure("building", name, ring, ridge if ridge is not None else structure.eaves_height_m)
        if isinstance(structure, TreeStand):
            return PlanStructure("tree_stand", name, ring, structure.crown_top_m)
        if isinstance(structure, Obstacle):
            return PlanStructure("obstacle", name, ring, structure.height_m, swing_radius_m=structure.swing_radius_m)
        if isinstance(structure, OverheadLine):
            return PlanStructure("overhead_line", name, ring, structure.height_m or 0.0)
        assert isinstance(structure, TrafficArea)
        return PlanStructure("traffic_area", name, ring, structure.envelope_height_m)


def plan_of(sources: Sources, around: Surroundings, row: RadioRow, flags: tuple[Finding, ...]) -> PlanScene:
    """Return what the plan clip shows."""
    hops = sources.hops_of(row)
    aim = _sheet_bearing(sources, row.bearing_true_deg, row.bearing_plan_deg)
    words = ""
    if aim is not None:
        north = "true" if sources.assessment.north.anchored else "plan"
        words = f"{bearing(aim)} {north}"
        if len(hops) == 1:
            words += f" {metres(hops[0].ground_distance_m, 0)}"
    several = len(hops) > 1
    half_beam = row.beamwidth_azimuth_deg / 2.0 if row.beamwidth_azimuth_deg is not None and several else None
    return PlanScene(
        structures=around.structures,
        waters=around.waters,
        radio=_end(sources, around, row),
        hops=tuple(_hop(sources, around, row, hop) for hop in hops),
        aim_deg=aim,
        aim_words=words,
        limit_deg=half_beam if row.aim_by != "all_round" else None,
        landmark=_landmark(sources, row),
        declination_deg=row.declination_deg,
        north=around.north,
        flags=tuple(
            PlanFlag(finding.number, finding.severity, around.turned(finding.place.x_m, finding.place.y_m))
            for finding in flags
            if finding.place is not None
        ),
    )


def _sheet_bearing(sources: Sources, true_deg: float | None, plan_deg: float | None) -> float | None:
    """The bearing from the north that is up on the sheet."""
    return true_deg if sources.assessment.north.anchored else plan_deg


def _end(sources: Sources, around: Surroundings, row: RadioRow) -> PlanEnd:
    at = around.turned(row.x_m, row.y_m)
    return PlanEnd(row.label, at, row.role, _sheet_bearing(sources, row.bearing_true_deg, row.bearing_plan_deg))


def _hop(sources: Sources, around: Surroundings, row: RadioRow, hop: HopRow) -> PlanHop:
    _, far = sources.ends(row, hop)
    seen = hop.sight_checked in ("seen", "seen_with_lamp")
    cut = None
    if hop.line_of_sight is False and hop.cut_at_m is not None and hop.ground_distance_m > 0.0:
        cut = hop.cut_at_m / hop.ground_distance_m
        cut = cut if hop.access_point == row.id else 1.0 - cut
    checked = seen and hop.line_of_sight is not False
    return PlanHop(_end(sources, around, sources.radios[far.radio]), checked, cut)


def _landmark(sources: Sources, row: RadioRow) -> PlanLandmark | None:
    mark = row.landmark
    if mark is None:
        return None
    bearing_deg = mark.bearing_true_deg if sources.assessment.north.anchored else mark.bearing_plan_deg
    size = abs(tenths(mark.turn_deg))
    return PlanLandmark(
        mark.name or mark.landmark, metres(mark.distance_m, 0), bearing_deg, mark.turn_deg, f"{signed_tenths(size)}°"
    )


def elevation_of(sources: Sources, row: RadioRow) -> ElevationScene | None:
    """Return the sketch from the side, or None where the beam's tilt is not known."""
    if row.tilt_deg is None or row.aim_by == "all_round":
        return None
    beam, built = tenths(row.tilt_deg), tenths(row.electrical_downtilt_deg or 0.0)
    hops = sources.hops_of(row)
    far_label, far_height = "", ""
    if len(hops) == 1:
        _, far = sources.ends(row, hops[0])
        far_label = sources.name(far.radio)
        far_height = number(sources.radios[far.radio].height_above_ground_m, 1)
    aim = _sheet_bearing(sources, row.bearing_true_deg, row.bearing_plan_deg)
    words = tilt_tenths(beam)
    return ElevationScene(
        near=row.label,
        near_height=number(row.height_above_ground_m, 1),
        far=far_label,
        far_height=far_height,
        tilt_deg=row.tilt_deg,
        tilt_words=f"beam {words}" if built else words,
        bracket_words=f"bracket {tilt_tenths(beam + built)}" if built else "",
        bracket_deg=(beam + built) / 10.0,
        to_left=aim is not None and aim > 180.0,
    )


def side_of(sources: Sources, around: Surroundings, row: RadioRow) -> SideFigure:
    """Return the side of the structure that the radio hangs on, as a compass point of the sheet's north."""
    mount = sources.drawn_mounts[row.mount]
    structure = sources.structures.get(mount.structure)
    kind = {"pole": "POLE", "mast": "MAST", "building": "BUILDING"}.get(structure.kind if structure else "", "MOUNT")
    head = f"SIDE OF {kind}"
    if row.aim_by == "all_round":
        return SideFigure(head, "TOP", "clear all round")
    side = None
    if isinstance(mount.place, EdgePlace) and structure is not None:
        side = _wall_side(sources, around, structure.id, mount.place.edge, row)
    elif isinstance(mount.place, PolePlace) and mount.place.side_plan_deg is not None:
        side = mount.place.side_plan_deg + around.rotation_deg
    elif isinstance(mount.place, PolePlace):
        side = _sheet_bearing(sources, row.bearing_true_deg, row.bearing_plan_deg)
    if side is None:
        return SideFigure(head, "ANY", "see the plan")
    return SideFigure(head, compass_point(side), "of plan" if around.north == "PN" else "", side_deg=side % 360.0)


def _wall_side(sources: Sources, around: Surroundings, structure: str, edge: int, row: RadioRow) -> float | None:
    """Bearing square to a wall, on the side of the wall where the radio is."""
    outline = sources.placed.outlines.get(structure)
    if outline is None:
        return None
    x0, y0 = around.turned(float(outline[edge][0]), float(outline[edge][1]))
    corner = outline[(edge + 1) % len(outline)]
    x1, y1 = around.turned(float(corner[0]), float(corner[1]))
    x, y = around.turned(row.x_m, row.y_m)
    along = math.degrees(math.atan2(x1 - x0, y1 - y0))
    cross = (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)
    return along - 90.0 if cross > 0.0 else along + 90.0
