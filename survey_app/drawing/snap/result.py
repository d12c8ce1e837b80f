"""What was caught, and how much each kind of catch is liked."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from survey_app.drawing.shapes import Point, Shape

__all__ = ["WEIGHTS", "Kind", "Snap"]


class Kind(Enum):
    """What the pointer can catch."""

    NONE = "nothing"
    CORNER = "corner"
    POINT = "point"
    CROSSING = "crossing"
    MIDDLE = "middle of an edge"
    FOOT = "foot of a perpendicular"
    EDGE = "edge"
    EXTENSION = "extension of an edge"
    RIGHT_ANGLE = "right angle"
    PARALLEL = "parallel"
    ANGLE = "angle"
    METRES = "whole metres"
    GRID = "grid"


WEIGHTS: dict[Kind, float] = {
    Kind.CORNER: 0.0,
    Kind.POINT: 0.0,
    Kind.FOOT: 0.31,
    Kind.CROSSING: 0.32,
    Kind.MIDDLE: 0.33,
    Kind.EDGE: 0.40,
    Kind.EXTENSION: 0.46,
    Kind.RIGHT_ANGLE: 0.57,
    Kind.PARALLEL: 0.58,
    Kind.ANGLE: 0.60,
    Kind.METRES: 0.72,
    Kind.GRID: 0.76,
}
"""What is added to distance / reach; what comes to more than 1 is not caught.

A kind of weight w is so caught from (1 - w) reach at most. Because a corner within 0.3 reach costs at most 0.3 and
nothing but a corner or a point weighs under 0.31, such a corner always wins. And because the same sum both ranks and
admits, a point that was snapped is not snapped again to something else: what was dearer from afar cannot have become
cheaper than the caught thing's own weight.
"""

ROUND_LENGTH = 0.15
"""Subtracted from the weight of a direction where the length along it is whole too."""


@dataclass(frozen=True, slots=True)
class Snap:
    """The point that is meant.

    Attributes
    ----------
    x_m, y_m : float
        What was caught, or the pointer itself. [m]
    kind : Kind
        What it is; `Kind.NONE` where nothing was near.
    words : str
        Its name for people: "corner of BOAT SHED", "90.0°, 12 m"; empty for nothing.
    marks : tuple of Shape
        Shows by shape what was caught.
    id : str
        Thing that it belongs to, or empty.
    part : str
        `corner 3`, `edge 2`, or empty.
    """

    x_m: float
    y_m: float
    kind: Kind = Kind.NONE
    words: str = ""
    marks: tuple[Shape, ...] = ()
    id: str = ""
    part: str = ""

    @property
    def at(self) -> Point:
        """The point."""
        return self.x_m, self.y_m

    @property
    def caught(self) -> bool:
        """Whether anything was near."""
        return self.kind is not Kind.NONE
