"""The band of figures under a section: distance, ground, top, ray and zone, each under its spot."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.section.frame import BAND_ROW_MM, DATA, NOTE, SectionFrame
from survey_app.drawing.section.obstacles import obstacles_of
from survey_app.drawing.shapes import Path, Words

if TYPE_CHECKING:
    from survey_app.assess.cuts import Crossed

__all__ = ["draw_band"]

_LEFT_MM = 4.0
_AIR_MM = 3.0


def draw_band(frame: SectionFrame) -> None:
    """Draw the band, where the sheet has room for it."""
    if not frame.has_band:
        return
    unit = frame.scene.lengths.unit
    heads = ("distance", "ground and bulge", "top of obstacle", "ray", "first zone radius")
    top = len(heads) * BAND_ROW_MM + 1.0
    for n in range(len(heads) + 1):
        y = top - n * BAND_ROW_MM
        role = Role.FINE if n in (0, len(heads)) else Role.RULE
        frame.low.append(Path(role, ((_LEFT_MM, y), (frame.width_mm - _LEFT_MM, y))))
    for n, head in enumerate(heads):
        y = top - (n + 0.5) * BAND_ROW_MM
        frame.high.append(Words(Role.WORDS_SOFT, (_LEFT_MM, y), f"{head}, {unit}", NOTE))
    worst_m = None if frame.scene.clearance is None else frame.scene.clearance.place_m
    for distance_m, top_m in _columns(frame):
        x, is_worst = frame.x(distance_m), distance_m == worst_m
        if 0.0 < distance_m < frame.scene.profile.length_m:
            frame.low.append(Path(Role.RULE, ((x, frame.bottom_mm), (x, top))))
        if is_worst:
            half = _half_mm(frame, distance_m) + 1.4
            corners = ((x - half, 1.0), (x + half, 1.0), (x + half, top), (x - half, top))
            frame.low.append(Path(Role.FINE, corners, closed=True))
        for n, words in enumerate(_column(frame, distance_m, top_m)):
            at = (x, top - (n + 0.5) * BAND_ROW_MM)
            frame.high.append(Words(Role.WORDS, at, words, DATA, bold=is_worst, align="middle", halo=n == 0))


def _columns(frame: SectionFrame) -> list[tuple[float, float | None]]:
    """Return the spots that get a column, left to right: the ends always, obstacles where there is room."""
    length_m = frame.scene.profile.length_m
    columns: list[tuple[float, float | None]] = [(0.0, None), (length_m, None)]
    worst = frame.scene.clearance
    obstacles = obstacles_of(frame)
    # what comes nearest first, then the tallest, for they matter most
    wanted = [] if worst is None else [(worst.place_m, _top_at(obstacles, worst.thing, worst.place_m))]
    wanted += [
        (one.middle_m, one.top_m)
        for one in sorted(obstacles, key=lambda one: (-(one.top_m or math.inf), one.enter_m))
        if worst is None or one.structure.id != worst.thing
    ]
    for distance_m, top_m in wanted:
        x, half = frame.x(distance_m), _half_mm(frame, distance_m)
        if all(abs(x - frame.x(d)) > half + _half_mm(frame, d) + _AIR_MM for d, _ in columns):
            columns.append((distance_m, top_m))
    return sorted(columns, key=lambda row: row[0])


def _top_at(obstacles: tuple[Crossed, ...], thing: str, distance_m: float) -> float | None:
    """Return the top of a thing at a place of the line; None where it does not stand on the line. [m]"""
    tops = [one.top_at(distance_m) for one in obstacles if one.structure.id == thing and one.top_line]
    return max(tops, default=None)


def _half_mm(frame: SectionFrame, distance_m: float) -> float:
    return max(letters_width_mm(frame.scene.lengths.figure(distance_m), DATA), 8.0) / 2.0


def _column(frame: SectionFrame, distance_m: float, top_m: float | None) -> tuple[str, ...]:
    profile, figure = frame.scene.profile, frame.scene.lengths.figure
    bulge = frame.bulge_m(distance_m)
    radius = profile.at(profile.zone_radius_m, distance_m)
    return (
        figure(distance_m),
        figure(profile.at(profile.ground_m, distance_m) + bulge),
        "none" if top_m is None else figure(top_m + bulge),
        figure(profile.at(profile.ray_m, distance_m)),
        "unknown" if math.isnan(radius) else figure(radius),
    )
