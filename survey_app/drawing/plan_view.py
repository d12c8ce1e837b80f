"""One view of a plan: its scale and window, what is drawn so far, and where letters still find room."""

from __future__ import annotations

import math

from survey_app.drawing.labels import Placed, Placer
from survey_app.drawing.plan_scene import PlanScene
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point, Shape, Words

__all__ = ["SCALES", "PlanView"]

SCALES = tuple(round(step * 10**power) for power in range(1, 6) for step in (10, 12.5, 15, 20, 25, 30, 40, 50, 60, 75))
"""Scales that a plan clip may have, as 1 : n."""

_SIDE_MARGIN_MM = 11.0
_TOP_MARGIN_MM = 6.0


class PlanView:
    """A window of the plane on paper, fitted round a radio and its far ends.

    Parameters
    ----------
    scene : PlanScene
        What is shown.
    width_mm, height_mm : float
        Size on paper. [mm]
    """

    def __init__(self, scene: PlanScene, width_mm: float, height_mm: float) -> None:
        self.scene = scene
        self.width_mm, self.height_mm = width_mm, height_mm
        points = [scene.radio.at, *(hop.far.at for hop in scene.hops)]
        x0, x1 = min(p[0] for p in points), max(p[0] for p in points)
        y0, y1 = min(p[1] for p in points), max(p[1] for p in points)
        room_x, room_y = width_mm - 2 * _SIDE_MARGIN_MM, height_mm - 2 * _TOP_MARGIN_MM
        needed = max((x1 - x0) * 1000.0 / room_x, (y1 - y0) * 1000.0 / room_y, 400.0)
        self.n = next((n for n in SCALES if n >= needed), SCALES[-1])
        self.scale = 1000.0 / self.n
        middle_x, middle_y = (x0 + x1) / 2.0, (y0 + y1) / 2.0
        half_x, half_y = width_mm / 2.0 / self.scale, height_mm / 2.0 / self.scale
        self.window_m: tuple[float, float, float, float] = (
            middle_x - half_x,
            middle_y - half_y,
            middle_x + half_x,
            middle_y + half_y,
        )
        self.shown = tuple(s for s in scene.structures if self.meets_window(s.bounds))
        self.placer = Placer(width_mm, height_mm)
        self.low: list[Shape] = []
        self.high: list[Shape] = []

    def mm(self, point: Point) -> Point:
        """Return a point of the plane in millimetres from the lower left corner."""
        return (point[0] - self.window_m[0]) * self.scale, (point[1] - self.window_m[1]) * self.scale

    def m(self, x_mm: float, y_mm: float) -> Point:
        """Return a point of the paper in metres of the plane."""
        return self.window_m[0] + x_mm / self.scale, self.window_m[1] + y_mm / self.scale

    def meets_window(self, bounds: tuple[float, float, float, float]) -> bool:
        """Whether some bounds meet the window."""
        x0, y0, x1, y1 = self.window_m
        return bounds[0] <= x1 and bounds[2] >= x0 and bounds[1] <= y1 and bounds[3] >= y0

    def to_edge(self, bearing_deg: float, start: Point) -> Point:
        """Return where a ray from a point of the window leaves it. [mm]"""
        ux, uy = math.sin(math.radians(bearing_deg)), math.cos(math.radians(bearing_deg))
        reaches = []
        if abs(ux) > 1e-9:
            reaches.append(((self.width_mm if ux > 0 else 0.0) - start[0]) / ux)
        if abs(uy) > 1e-9:
            reaches.append(((self.height_mm if uy > 0 else 0.0) - start[1]) / uy)
        reach = max(min(reaches), 0.0)
        return start[0] + ux * reach, start[1] + uy * reach

    def in_view(self, x: float, y: float) -> bool:
        """Whether a point of the paper is in the view or a little beside it. [mm]"""
        return -6.0 < x < self.width_mm + 6.0 and -6.0 < y < self.height_mm + 6.0

    def line(self, role: Role, a: Point, b: Point) -> Path:
        """Return a line between two points of the paper. [mm]"""
        return Path(role, (self.m(*a), self.m(*b)))

    def words(self, placed: Placed | None, text: str, height: float, *, bold: bool = False) -> None:
        """Write words that found a place; those that found none are left out."""
        if placed is not None:
            at = self.m(placed.x, placed.y)
            self.high.append(
                Words(Role.WORDS, at, text, height, turn_deg=placed.turn_deg, bold=bold, align="middle", halo=True)
            )
