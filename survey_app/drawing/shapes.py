"""What a drawing is made of: lines, arcs, words and symbols, each with a role.

Outlines live in metres on the plane (x right, y up). Everything that keeps its size whatever the scale (symbols,
letters) lives in millimetres of paper round an anchor in metres, y up as well. A role says what a thing *is*; width,
dash and fill follow from it (`survey_app.drawing.roles`), the colour from the painter's palette.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from survey_app.drawing.roles import Role

__all__ = ["Arc", "Disc", "Drawing", "Path", "Point", "Shape", "Strokes", "Symbol", "Words"]

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Path:
    """A line or, when closed, an outline that is filled as its role says.

    Attributes
    ----------
    role : Role
        What the line is.
    points : tuple of (x, y)
        At least two. [m], inside a symbol [mm]
    closed : bool
        Whether the last point is joined to the first.
    """

    role: Role
    points: tuple[Point, ...]
    closed: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Strokes:
    """Many lines or outlines of one role in one piece: what a plan has thousands of.

    Attributes
    ----------
    role : Role
        What the lines are.
    points : ndarray of float, shape (n, 2)
        All points in a row. [m]
    joined : ndarray of bool, shape (n,)
        Whether a point is joined to the next one; False ends a line. The last is False.
    filled : bool
        Whether each line is an outline that is filled as its role says (its first point is repeated at its end).
    """

    role: Role
    points: NDArray[np.float64]
    joined: NDArray[np.bool_]
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle from one bearing, clockwise, over `sweep_deg`; 360 is the whole circle.

    Attributes
    ----------
    centre : (x, y)
        [m], inside a symbol [mm]
    radius : float
        Same unit as `centre`.
    start_deg, sweep_deg : float
        Bearing of the first point, clockwise from up, and the angle turned through. [deg]
    """

    role: Role
    centre: Point
    radius: float
    start_deg: float = 0.0
    sweep_deg: float = 360.0


@dataclass(frozen=True, slots=True)
class Disc:
    """A filled circle in the ink of its role."""

    role: Role
    centre: Point
    radius: float


@dataclass(frozen=True, slots=True)
class Words:
    """One line of letters.

    Attributes
    ----------
    at : (x, y)
        Anchor. [m], inside a symbol [mm]
    offset_mm : (x, y)
        From the anchor to the middle of the line's left end, right end or middle, as `align` says, before turning. [mm]
    height_mm : float
        Height of a capital. [mm]
    turn_deg : float
        Turn of the line about the anchor, clockwise; never beyond ±90, so that nothing stands on its head. [deg]
    align : str
        "start", "middle" or "end" along the line; across it the capitals are centred on the offset point.
    halo : bool
        Whether the ground is cleared behind the letters.
    """

    role: Role
    at: Point
    text: str
    height_mm: float
    offset_mm: Point = (0.0, 0.0)
    turn_deg: float = 0.0
    bold: bool = False
    italic: bool = False
    align: str = "start"
    halo: bool = False


@dataclass(frozen=True, slots=True)
class Symbol:
    """A thing of constant size on paper.

    Attributes
    ----------
    name : str
        What it is, for those who search a drawing ("station", "landmark").
    at : (x, y)
        Anchor. [m]
    turn_deg : float
        Turn about the anchor, clockwise. [deg]
    parts : tuple of Path, Arc, Disc
        In millimetres round the anchor, y up.
    subject : str
        Id of the thing of the site that it stands for, or empty.
    """

    name: str
    at: Point
    parts: tuple[Path | Arc | Disc, ...]
    turn_deg: float = 0.0
    subject: str = ""


Shape = Path | Strokes | Arc | Disc | Words | Symbol


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes in a window of the plane, for one scale.

    Attributes
    ----------
    shapes : tuple of Shape
        Low to high.
    window_m : (x_min, y_min, x_max, y_max)
        The part of the plane that is shown; painters clip to it. [m]
    mm_per_m : float
        Millimetres of paper for a metre on the plane. [mm/m]
    """

    shapes: tuple[Shape, ...]
    window_m: tuple[float, float, float, float]
    mm_per_m: float

    @property
    def width_mm(self) -> float:
        """Width on paper. [mm]"""
        return (self.window_m[2] - self.window_m[0]) * self.mm_per_m

    @property
    def height_mm(self) -> float:
        """Height on paper. [mm]"""
        return (self.window_m[3] - self.window_m[1]) * self.mm_per_m
