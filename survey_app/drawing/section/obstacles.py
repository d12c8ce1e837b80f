"""What stands under and in the ray of a section, each in its own drawing habit, with name and height."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from survey_app.drawing.hatch import BAND_MM, hatch_band, hatch_pitch_mm
from survey_app.drawing.labels import Box
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.section.frame import NOTE, SectionFrame
from survey_app.drawing.shapes import Arc, Disc, Path, Point, Symbol, Words
from survey_app.drawing.symbols import arrow_head, tree_star
from survey_app.site.structure import Building, Mast, Obstacle, OverheadLine, Pole, TrafficArea, TreeStand

if TYPE_CHECKING:
    from survey_app.assess.cuts import Crossed

__all__ = ["draw_obstacle_words", "draw_obstacles", "obstacles_of"]

_LEAST_MM = 0.9
_WIDE_MM, _INSIDE_MM = 24.0, 2.5
_CROSSED_FROM_MM = 2.0
_SCALLOP_MM = 2.0
_BOW = ((0.2, 0.6), (0.35, 0.9), (0.5, 1.0), (0.65, 0.9), (0.8, 0.6))


def obstacles_of(frame: SectionFrame) -> tuple[Crossed, ...]:
    """Return what is drawn: all that is crossed but the poles and masts that carry the ends."""
    carrying = _carrying(frame)
    return tuple(
        one
        for one in frame.scene.profile.crossed
        if not (isinstance(one.structure, Pole | Mast) and one.structure.id in carrying)
    )


def _carrying(frame: SectionFrame) -> frozenset[str]:
    return frozenset((frame.scene.start.structure, frame.scene.end.structure))


def draw_obstacles(frame: SectionFrame) -> None:
    """Draw every obstacle as the line cuts it, grown crowns behind those of today, poles beside the ray thin."""
    for one in frame.scene.profile.grown:
        _grown(frame, one)
    for one in obstacles_of(frame):
        edge = _upper_edge(frame, one)
        foot = frame.y((one.base_m if one.underside_m is None else one.underside_m) + frame.bulge_m(one.middle_m))
        _draw(frame, one, edge, foot)
        if one.top_m is not None:
            _take(frame, one, edge, foot)
    for beside in frame.scene.profile.beside:
        if beside.top_m is not None and beside.structure.id not in _carrying(frame):
            bulge = frame.bulge_m(beside.place_m)
            x, foot, top = frame.x(beside.place_m), frame.y(beside.base_m + bulge), frame.y(beside.top_m + bulge)
            frame.low.append(Path(Role.THIN, ((x, foot), (x, top - 0.7))))
            frame.low.append(Symbol("pole beside", (x, top), (Arc(Role.THIN, (0.0, 0.0), 0.7),)))
            frame.placer.take_line((x, foot), (x, top), 0.6)


def _upper_edge(frame: SectionFrame, one: Crossed) -> tuple[Point, ...]:
    """Return the upper edge of a cut on the sheet, never narrower than can be seen."""
    bulge = frame.bulge_m(one.middle_m)
    line = one.top_line or ((one.enter_m, one.base_m), (one.leave_m, one.base_m))
    edge = tuple(frame.at(distance, height + bulge) for distance, height in line)
    if edge[-1][0] - edge[0][0] >= _LEAST_MM:
        return edge
    middle, top = (edge[0][0] + edge[-1][0]) / 2.0, max(y for _, y in edge)
    return (middle - _LEAST_MM / 2.0, top), (middle + _LEAST_MM / 2.0, top)


def _take(frame: SectionFrame, one: Crossed, edge: tuple[Point, ...], foot: float) -> None:
    """Keep letters off a narrow obstacle; a wide one, and what only passes, may have letters inside its edges."""
    x0, x1, top = edge[0][0], edge[-1][0], max(y for _, y in edge)
    if x1 - x0 < _WIDE_MM and not isinstance(one.structure, TrafficArea):
        frame.placer.take(Box((x0 + x1) / 2.0, (foot + top) / 2.0, (x1 - x0) / 2.0, max(abs(top - foot), 0.1) / 2.0))
        return
    for a, b in pairwise(((x0, foot), *edge, (x1, foot))):
        frame.placer.take_line(a, b, 0.4)
    for row in np.arange(foot + 1.0, top, _INSIDE_MM).tolist():
        frame.placer.avoid_line((x0, row), (x1, row))


def _draw(frame: SectionFrame, one: Crossed, edge: tuple[Point, ...], foot: float) -> None:
    structure = one.structure
    (x0, top), (x1, _) = edge[0], edge[-1]
    body: tuple[Point, ...] = ((x0, foot), *edge, (x1, foot))
    if isinstance(structure, Building):
        _building(frame, one, body)
    elif isinstance(structure, TreeStand):
        _crown(frame, Role.TREES, body)
    elif isinstance(structure, Obstacle):
        frame.low.append(Path(Role.OBSTACLE, body, closed=True))
        if top - foot > _CROSSED_FROM_MM:
            frame.low += [Path(Role.FINE, ((x0, foot), (x1, top))), Path(Role.FINE, ((x0, top), (x1, foot)))]
    elif isinstance(structure, TrafficArea):
        frame.low.append(Path(Role.ENVELOPE, body))
        if x1 - x0 > 8.0:
            _double_arrow(frame, (x0 + x1) / 2.0, min(x1 - x0 - 3.0, 7.0) / 2.0, foot + 1.6)
    elif isinstance(structure, OverheadLine):
        _wire(frame, (x0 + x1) / 2.0, foot, None if one.top_m is None else top)
    else:
        x = (x0 + x1) / 2.0
        frame.low.append(Path(Role.POLE, ((x, foot), (x, top - 0.7))))
        frame.low.append(Symbol("pole", (x, top), (Arc(Role.POLE, (0.0, 0.0), 0.7),), subject=structure.id))


def _building(frame: SectionFrame, one: Crossed, body: tuple[Point, ...]) -> None:
    if one.is_parapet:
        frame.low.append(Path(Role.LOW_BUILDING, _above(frame, one, body), closed=True))
        return
    pitch = hatch_pitch_mm((one.top_m or 0.0) - one.base_m)
    frame.low.append(Path(Role.LOW_BUILDING if pitch is None else Role.BUILDING, body, closed=True))
    if pitch is None:
        return
    foot, edge = body[0][1], body[1:-1]
    x0, x1 = edge[0][0], edge[-1][0]
    width = min(BAND_MM, (x1 - x0) / 2.0)
    for left in (x0, x1 - width):
        frame.low += [
            Path(Role.HATCH, stroke) for stroke in hatch_band(_slice(edge, foot, left, width), pitch, BAND_MM)
        ]


def _above(frame: SectionFrame, one: Crossed, body: tuple[Point, ...]) -> tuple[Point, ...]:
    """Return a parapet from the roof that it stands on, not from the ground."""
    structure = one.structure
    roof_m = one.base_m + structure.eaves_height_m if isinstance(structure, Building) else one.base_m
    roof = frame.y(roof_m + frame.bulge_m(one.middle_m))
    return ((body[0][0], roof), *body[1:-1], (body[-1][0], roof))


def _slice(edge: tuple[Point, ...], foot: float, left: float, width: float) -> tuple[Point, ...]:
    """Return the upright strip of a body between two places, under its upper edge."""
    xs, ys = [x for x, _ in edge], [y for _, y in edge]
    inner = tuple((x, y) for x, y in edge if left < x < left + width)
    ends = (left, float(np.interp(left, xs, ys))), (left + width, float(np.interp(left + width, xs, ys)))
    return ((left, foot), ends[0], *inner, ends[1], (left + width, foot))


def _grown(frame: SectionFrame, one: Crossed) -> None:
    """Draw the upper edge and the sides of a crown in years to come."""
    edge = _upper_edge(frame, one)
    foot = frame.y((one.base_m if one.underside_m is None else one.underside_m) + frame.bulge_m(one.middle_m))
    x0, x1, top = edge[0][0], edge[-1][0], edge[0][1]
    frame.low.append(Path(Role.GROWN, ((x0, foot), *_scalloped(x0, x1, top), (x1, foot))))


def _crown(frame: SectionFrame, role: Role, body: tuple[Point, ...]) -> None:
    """Draw a crown with scallops above; where it begins over the ground, its underside and a trunk."""
    (x0, foot), (_, top), (x1, _) = body[0], body[1], body[-1]
    frame.low.append(Path(role, ((x0, foot), *_scalloped(x0, x1, top), (x1, foot)), closed=True))
    if x1 - x0 > 6.0 and top - foot > 6.0:
        for part in (0.25, 0.5, 0.75):
            frame.low.append(tree_star((x0 + part * (x1 - x0), top - 3.2)))


def _scalloped(x0: float, x1: float, top: float) -> tuple[Point, ...]:
    """Return the upper edge of a crown: bows of about one pitch, whose tops reach the height."""
    count = max(1, round((x1 - x0) / _SCALLOP_MM))
    width = (x1 - x0) / count
    rise = min(0.9, width / 2.0)
    points: list[Point] = []
    for n in range(count):
        left = x0 + n * width
        points.append((left, top - rise))
        points += [(left + part * width, top - rise + bow * rise) for part, bow in _BOW]
    return (*points, (x1, top - rise))


def _double_arrow(frame: SectionFrame, x: float, half: float, y: float) -> None:
    frame.low.append(Path(Role.FINE, ((x - half, y), (x + half, y))))
    for side, bearing in ((-1.0, 270.0), (1.0, 90.0)):
        frame.low.append(arrow_head((x + side * half, y), bearing, 1.3, 0.5, Role.SOLID))


def _wire(frame: SectionFrame, x: float, foot: float, top: float | None) -> None:
    """An overhead line seen along its run: a dot at its height; a dashed line where nobody measured it."""
    if top is None:
        frame.low.append(Path(Role.LEVEL_LINE, ((x, foot), (x, frame.top_mm))))
        return
    frame.low.append(Path(Role.THIN, ((x, foot), (x, top))))
    frame.low.append(Disc(Role.SOLID, (x, top), 0.6))


def draw_obstacle_words(frame: SectionFrame) -> None:
    """Write name and height over each obstacle; where there is no room the band below has the figure."""
    grown = _grown_tops(frame)
    for one in _named(frame):
        text, high = _words(frame, one, grown.get(one.structure.id))
        x = (frame.x(one.enter_m) + frame.x(one.leave_m)) / 2.0
        bulge = frame.bulge_m(one.middle_m)
        highest = max(one.top_m or one.base_m, grown.get(one.structure.id, -math.inf))
        top = frame.y(highest + bulge) if high else frame.top_mm - 3.0
        role = Role.WORDS_TREES if isinstance(one.structure, TreeStand) else Role.WORDS
        half = letters_width_mm(text, NOTE) / 2.0
        side = half + 1.2 + (frame.x(one.leave_m) - frame.x(one.enter_m)) / 2.0
        inside = (frame.y(one.base_m + bulge) + frame.y((one.top_m or one.base_m) + bulge)) / 2.0
        places = [(x, top + 2.2), (x + side, top - 1.6), (x - side, top - 1.6), (x + side, inside), (x - side, inside)]
        places += [(x, inside), (x, top + 5.4)]
        spot = frame.placer.first_free(places, half + 0.4, NOTE / 2.0 + 0.4)
        if spot is not None:
            frame.high.append(Words(role, spot, text, NOTE, align="middle", halo=True))


def _named(frame: SectionFrame) -> list[Crossed]:
    """Return one cut of each thing, its widest: an outline that the line enters twice is named once."""
    widest: dict[str, Crossed] = {}
    for one in obstacles_of(frame):
        known = widest.get(one.structure.id)
        if not one.is_parapet and (known is None or one.leave_m - one.enter_m > known.leave_m - known.enter_m):
            widest[one.structure.id] = one
    return list(widest.values())


def _grown_tops(frame: SectionFrame) -> dict[str, float]:
    """Return how high crowns will be that grow upward. [m]"""
    now = {one.structure.id: one.top_m or 0.0 for one in frame.scene.profile.crossed}
    grown = {one.structure.id: one.top_m or 0.0 for one in frame.scene.profile.grown}
    return {key: top_m for key, top_m in grown.items() if top_m > now.get(key, -math.inf)}


def _words(frame: SectionFrame, one: Crossed, grown_m: float | None) -> tuple[str, bool]:
    lengths = frame.scene.lengths
    name = one.structure.title.upper()
    if one.top_m is None:
        return f"{name}, height not measured", False
    text = f"{name} {lengths.words(one.top_m - one.base_m)} high"
    if grown_m is not None:
        text += f", {lengths.figure(grown_m - one.base_m)} in {frame.scene.grown_year}"
    return text, True
