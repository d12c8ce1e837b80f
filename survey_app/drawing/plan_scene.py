"""What a plan shows of a site, in metres and already turned so that the sheet's north is up."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from survey_app.drawing.shapes import Point

__all__ = ["PlanEnd", "PlanFlag", "PlanHop", "PlanLandmark", "PlanScene", "PlanStructure", "PlanWater"]

StructureKind = Literal["building", "pole", "mast", "tree_stand", "obstacle", "overhead_line", "traffic_area", "zone"]


@dataclass(frozen=True, slots=True)
class PlanStructure:
    """A structure: outline or route in metres (one point for poles and masts), height over its foot."""

    kind: StructureKind
    name: str
    points: tuple[Point, ...]
    height_m: float
    swing_radius_m: float | None = None
    bounds: tuple[float, float, float, float] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        xs, ys = [p[0] for p in self.points], [p[1] for p in self.points]
        # a view asks thousands of structures whether they meet it
        object.__setattr__(self, "bounds", (min(xs), min(ys), max(xs), max(ys)))


@dataclass(frozen=True, slots=True)
class PlanWater:
    """A sheet of water."""

    name: str
    outline: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class PlanEnd:
    """A radio on the plan. `bearing_deg` is its aim, None for an all-round antenna."""

    label: str
    at: Point
    role: Literal["access_point", "station", "relay"]
    bearing_deg: float | None = None


@dataclass(frozen=True, slots=True)
class PlanHop:
    """A hop from the radio of the sheet. `cut_at` is the part of the way at which the ray is cut."""

    far: PlanEnd
    checked: bool
    cut_at: float | None = None


@dataclass(frozen=True, slots=True)
class PlanLandmark:
    """A landmark, outside or inside the clip: bearing from the radio, turn to the aim, and their words."""

    name: str
    distance_words: str
    bearing_deg: float
    turn_deg: float
    turn_words: str


@dataclass(frozen=True, slots=True)
class PlanFlag:
    """A finding with a place."""

    number: int
    severity: Literal["stop", "warn", "note"]
    at: Point


@dataclass(frozen=True, slots=True)
class PlanScene:
    """One radio's surroundings.

    Attributes
    ----------
    radio : PlanEnd
        The radio of the sheet.
    hops : tuple of PlanHop
        To its far ends.
    aim_deg : float or None
        Bearing of the beam's axis from the sheet's north; None draws no aim. [deg]
    aim_words : str
        Words along the aim, such as "307.6° true 295 m".
    limit_deg : float or None
        Half the width of the beam across, to draw its limits; None draws none. [deg]
    landmark : PlanLandmark or None
        Where the installer turns from.
    declination_deg : float or None
        For the magnetic half of the north arrow. [deg]
    north : str
        "N", or "PN" where only plan north is known.
    """

    structures: tuple[PlanStructure, ...]
    waters: tuple[PlanWater, ...]
    radio: PlanEnd
    hops: tuple[PlanHop, ...]
    aim_deg: float | None
    aim_words: str
    limit_deg: float | None = None
    landmark: PlanLandmark | None = None
    declination_deg: float | None = None
    north: str = "N"
    flags: tuple[PlanFlag, ...] = ()
