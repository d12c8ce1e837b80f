"""The band of figures under a section: distance, ground, top, ray and zone, each under its spot."""

from __future__ import annotations

import math

from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.section.frame import BAND_ROW_MM, DATA, NOTE, SectionFrame
from survey_app.drawing.section.obstacles import obstacles_of
from survey_app.drawing.shapes import Path, Words

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
    for distance_m, top_m in _columns(frame):
        x = frame.x(distance_m)
        if 0.0 < distance_m < frame.scene.profile.length_m:
            frame.low.append(Path(Role.RULE, ((x, frame.bottom_mm), (x, top))))
        for n, words in enumerate(_column(frame, distance_m, top_m)):
            at = (x, top - (n + 0.5) * BAND_ROW_MM)
            frame.high.append(Words(Role.WORDS, at, words, DATA, align="middle", halo=n == 0))


def _columns(frame: SectionFrame) -> list[tuple[float, float | None]]:
    """Return the spots that get a column, left to right: the ends always, obstacles where there is room."""
    length_m = frame.scene.profile.length_m
    columns: list[tuple[float, float | None]] = [(0.0, None), (length_m, None)]
    # the tallest first, for they matter most
    for one in sorted(obstacles_of(frame), key=lambda one: (-(one.top_m or math.inf), one.enter_m)):
        x, half = frame.x(one.middle_m), _half_mm(frame, one.middle_m)
        if all(abs(x - frame.x(d)) > half + _half_mm(frame, d) + _AIR_MM for d, _ in columns):
            columns.append((one.middle_m, one.top_m))
    return sorted(columns, key=lambda row: row[0])


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
