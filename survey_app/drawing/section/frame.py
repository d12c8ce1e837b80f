"""The sheet of a section: where its plot stands, and how metres become millimetres in both directions.

Lengths along the hop and heights have scales of their own, so the whole drawing is in millimetres of paper, x right and
y up from its lower left corner.
"""

from __future__ import annotations

import math

import numpy as np

from survey_app.drawing.labels import Placer
from survey_app.drawing.section.scene import SectionScene
from survey_app.drawing.shapes import Point, Shape

__all__ = ["BAND_ROW_MM", "DATA", "HEAD", "NAME", "NOTE", "SectionFrame"]

NAME, DATA, NOTE, HEAD = 2.28, 2.47, 2.09, 2.0
"""Heights of capitals: names 12 px, data 13 px, notes 11 px, heads 10.5 px. [mm]"""
BAND_ROW_MM = 5.0
_BAND_ROWS = 5
_BAND_FROM_MM = 88.0
_HEAD_MM, _AXIS_MM = 13.0, 7.5
_SIDE_MM, _BAND_SIDE_MM = 17.0, 44.0
_LEAST_PLOT_MM = 12.0
_SMALL_MM = (10.0, 4.8, 5.0, 8.0)
_LETTERED_FROM_MM, _BARE_AXIS_MM = 19.0, 1.8
_STEPS = tuple(step * 10.0**power for power in range(-2, 5) for step in (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0))


class SectionFrame:
    """Scales and places of one section on one sheet.

    Parameters
    ----------
    scene : SectionScene
        What is shown.
    width_mm, height_mm : float
        Size of the sheet. [mm]
    small : bool, default False
        Whether it is a picture on another sheet: one line of words over it, narrow sides, nothing said twice.

    Attributes
    ----------
    left_mm, right_mm, bottom_mm, top_mm : float
        The plot. [mm]
    low_m, high_m : float
        Heights at its lower and upper edge, over the site datum. [m]
    exaggeration : float
        Heights are drawn so many times as large as lengths.
    letters_distances : bool
        Whether there is room for distances under the plot.
    has_band : bool
        Whether there is room for the band of figures under the plot.
    placer : Placer
        Where letters still find room.
    low, high : list of Shape
        What is drawn so far: lines, and the letters over them.
    """

    def __init__(self, scene: SectionScene, width_mm: float, height_mm: float, *, small: bool = False) -> None:
        self.scene = scene
        self.is_small = small
        self.width_mm, self.height_mm = width_mm, height_mm
        self.has_band = height_mm >= _BAND_FROM_MM
        plain_side, axis, head, least = _SMALL_MM if small else (_SIDE_MM, _AXIS_MM, _HEAD_MM, _LEAST_PLOT_MM)
        self.letters_distances = not small or height_mm >= _LETTERED_FROM_MM
        axis = axis if self.letters_distances else _BARE_AXIS_MM
        side = _BAND_SIDE_MM if self.has_band else plain_side
        band = _BAND_ROWS * BAND_ROW_MM + 3.0 if self.has_band else 0.0
        self.left_mm, self.right_mm = side, max(width_mm - plain_side, side + least)
        self.bottom_mm = axis + band
        self.top_mm = max(height_mm - head, self.bottom_mm + least)
        self.mm_per_m = (self.right_mm - self.left_mm) / scene.profile.length_m
        self.low_m, self.high_m = _heights(scene)
        self.exaggeration = self._fitted()
        self.height_mm_per_m = self.mm_per_m * self.exaggeration
        # what is left over goes above and below alike, most of it above
        spare_m = (self.top_mm - self.bottom_mm) / self.height_mm_per_m - (self.high_m - self.low_m)
        self.low_m -= 0.3 * spare_m
        self.high_m += 0.7 * spare_m
        self.placer = Placer(width_mm, height_mm)
        self.low: list[Shape] = []
        self.high: list[Shape] = []

    def _fitted(self) -> float:
        """Return the largest round exaggeration at which all heights find room."""
        room = (self.top_mm - self.bottom_mm) / ((self.high_m - self.low_m) * self.mm_per_m)
        return max((step for step in _STEPS if step <= room * (1 + 1e-9)), default=_STEPS[0])

    def x(self, distance_m: float) -> float:
        """Return where a distance lies on the sheet. [mm]"""
        return self.left_mm + distance_m * self.mm_per_m

    def y(self, height_m: float) -> float:
        """Return where a height lies on the sheet. [mm]"""
        return self.bottom_mm + (height_m - self.low_m) * self.height_mm_per_m

    def at(self, distance_m: float, height_m: float) -> Point:
        """Return where a spot of the section lies on the sheet. [mm]"""
        return self.x(distance_m), self.y(height_m)

    def distance_m(self, x_mm: float) -> float:
        """Return which distance lies at a place of the sheet, never beyond an end. [m]"""
        return min(max((x_mm - self.left_mm) / self.mm_per_m, 0.0), self.scene.profile.length_m)

    def ray_at(self, distance_m: float) -> Point:
        """Return where the ray is at a distance. [mm]"""
        return self.at(distance_m, self.scene.profile.at(self.scene.profile.ray_m, distance_m))

    def bulge_m(self, distance_m: float) -> float:
        """Return by how much the earth's curve raises what stands at a distance. [m]"""
        return self.scene.profile.at(self.scene.profile.bulge_m, distance_m)

    def line(self, heights_m: np.ndarray) -> tuple[Point, ...]:
        """Return one of the profile's lines on the sheet. [mm]"""
        return tuple(
            self.at(d, h) for d, h in zip(self.scene.profile.distance_m.tolist(), heights_m.tolist(), strict=True)
        )

    @property
    def exaggeration_words(self) -> str:
        """How heights are drawn, in words: "heights × 2", "heights as lengths"."""
        times = self.exaggeration
        return "heights as lengths" if times == 1.0 else f"heights × {times:g}"


def _heights(scene: SectionScene) -> tuple[float, float]:
    """Return the lowest and the highest height that must be seen, with a little air. [m]"""
    profile = scene.profile
    radius = np.nan_to_num(profile.zone_radius_m)
    low = [float((profile.ground_m + profile.bulge_m).min())]
    high = [float((profile.ray_m + radius).max())]
    for one in (*profile.crossed, *profile.grown):
        bulge = profile.at(profile.bulge_m, one.middle_m)
        low.append(one.base_m + bulge)
        high += [] if one.top_m is None else [one.top_m + bulge]
    for passed in profile.beside:
        if passed.top_m is not None:
            bulge = profile.at(profile.bulge_m, passed.place_m)
            low.append(passed.base_m + bulge)
            high.append(passed.top_m + bulge)
    low = [one for one in low if math.isfinite(one)]
    high = [one for one in high if math.isfinite(one)]
    if not (low and high):
        return 0.0, 10.0
    lowest, highest = min(low), max(high)
    air = 0.06 * max(highest - lowest, 1.0)
    return lowest - air, highest + air
