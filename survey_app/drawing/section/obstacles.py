"""What stands under and in the ray of a section, each in its own drawing habit, with name and height."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from survey_app.drawing.hatch import BAND_MM, hatch_band, hatch_pitch_mm
from survey_app.drawing.labels import Box
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.section.frame import NOTE, SectionFrame
from survey_app.drawing.shapes import Arc, Disc, Path, Point, Symbol, Words
from survey_app.drawing.symbols import arrow_head, tree_star
from survey_app.site.structure import Building, Mast, Obstacle, OverheadLine, Pole, TrafficArea, TreeStand

if TYPE_CHECKING:
    from survey_app.assess.section import Crossed

__all__ = ["draw_obstacle_words", "draw_obstacles", "obstacles_of"]

_LEAST_MM = 0.9
_WIDE_MM = 24.0
_CROSSED_FROM_MM = 2.0
_SCALLOP_MM = 2.0
_BOW = ((0.2, 0.6), (0.35, 0.9), (0.5, 1.0), (0.65, 0.9), (0.8, 0.6))


def obstacles_of(frame: SectionFrame) -> tuple[Crossed, ...]:
    """Return what is drawn: all that is crossed but the poles and masts that carry the ends."""
    carrying = {frame.scene.start.structure, frame.scene.end.structure}
    return tuple(
        one
        for one in frame.scene.profile.crossed
        if not (isinstance(one.structure, Pole | Mast) and one.structure.id in carrying)
    )


def draw_obstacles(frame: SectionFrame) -> None:
    """Draw every obstacle from its foot to its top."""
    for one in obstacles_of(frame):
        x0, x1 = frame.x(one.enter_m), frame.x(one.leave_m)
        if x1 - x0 < _LEAST_MM:
            middle = (x0 + x1) / 2.0
            x0, x1 = middle - _LEAST_MM / 2.0, middle + _LEAST_MM / 2.0
        foot = frame.y(one.base_m + frame.bulge_m(one.middle_m))
        top = None if one.top_m is None else frame.y(one.top_m + frame.bulge_m(one.middle_m))
        _draw(frame, one, x0, x1, foot, top)
        if top is not None:
            _take(frame, x0, x1, foot, top)


def _take(frame: SectionFrame, x0: float, x1: float, foot: float, top: float) -> None:
    """Keep letters off a narrow obstacle; a wide one may have letters inside it, but none on its edges."""
    if x1 - x0 < _WIDE_MM:
        frame.placer.take(Box((x0 + x1) / 2.0, (foot + top) / 2.0, (x1 - x0) / 2.0, max(top - foot, 0.1) / 2.0))
        return
    corners = ((x0, foot), (x0, top), (x1, top), (x1, foot))
    for a, b in pairwise(corners):
        frame.placer.take_line(a, b, 0.4)


def _draw(frame: SectionFrame, one: Crossed, x0: float, x1: float, foot: float, top: float | None) -> None:
    structure = one.structure
    box: tuple[Point, ...] = () if top is None else ((x0, foot), (x0, top), (x1, top), (x1, foot))
    if isinstance(structure, Building):
        _building(frame, box, one)
    elif isinstance(structure, TreeStand):
        _trees(frame, one, x0, x1, foot)
    elif isinstance(structure, Obstacle):
        frame.low.append(Path(Role.OBSTACLE, box, closed=True))
        if box[1][1] - foot > _CROSSED_FROM_MM:
            frame.low += [Path(Role.FINE, (box[0], box[2])), Path(Role.FINE, (box[1], box[3]))]
    elif isinstance(structure, TrafficArea):
        frame.low.append(Path(Role.ENVELOPE, box))
        if x1 - x0 > 8.0:
            _double_arrow(frame, (x0 + x1) / 2.0, min(x1 - x0 - 3.0, 7.0) / 2.0, foot + 1.6)
    elif isinstance(structure, OverheadLine):
        _wire(frame, (x0 + x1) / 2.0, foot, top)
    elif top is not None:
        x = (x0 + x1) / 2.0
        frame.low.append(Path(Role.POLE, ((x, foot), (x, top - 0.7))))
        frame.low.append(Symbol("pole", (x, top), (Arc(Role.POLE, (0.0, 0.0), 0.7),), subject=structure.id))


def _building(frame: SectionFrame, box: tuple[Point, ...], one: Crossed) -> None:
    pitch = hatch_pitch_mm((one.top_m or 0.0) - one.base_m)
    frame.low.append(Path(Role.LOW_BUILDING if pitch is None else Role.BUILDING, box, closed=True))
    if pitch is None:
        return
    (x0, foot), (_, top), (x1, _), _ = box
    width = min(BAND_MM, (x1 - x0) / 2.0)
    for left in (x0, x1 - width):
        side = ((left, foot), (left, top), (left + width, top), (left + width, foot))
        frame.low += [Path(Role.HATCH, stroke) for stroke in hatch_band(side, pitch, BAND_MM)]


def _trees(frame: SectionFrame, one: Crossed, x0: float, x1: float, foot: float) -> None:
    bulge = frame.bulge_m(one.middle_m)
    if one.grown_top_m is not None:
        grown = frame.y(one.grown_top_m + bulge)
        frame.low.append(Path(Role.GROWN, ((x0, foot), *_scalloped(x0, x1, grown), (x1, foot))))
    top = frame.y((one.top_m or 0.0) + bulge)
    frame.low.append(Path(Role.TREES, ((x0, foot), *_scalloped(x0, x1, top), (x1, foot)), closed=True))
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
    for one in obstacles_of(frame):
        text, high = _words(frame, one)
        x = (frame.x(one.enter_m) + frame.x(one.leave_m)) / 2.0
        bulge = frame.bulge_m(one.middle_m)
        top = frame.y((one.grown_top_m or one.top_m or one.base_m) + bulge) if high else frame.top_mm - 3.0
        role = Role.WORDS_TREES if isinstance(one.structure, TreeStand) else Role.WORDS
        half = letters_width_mm(text, NOTE) / 2.0
        side = half + 1.2 + (frame.x(one.leave_m) - frame.x(one.enter_m)) / 2.0
        inside = (frame.y(one.base_m + bulge) + frame.y((one.top_m or one.base_m) + bulge)) / 2.0
        places = [(x, top + 2.2), (x + side, top - 1.6), (x - side, top - 1.6), (x + side, inside), (x - side, inside)]
        places += [(x, inside), (x, top + 5.4)]
        spot = frame.placer.first_free(places, half + 0.4, NOTE / 2.0 + 0.4)
        if spot is not None:
            frame.high.append(Words(role, spot, text, NOTE, align="middle", halo=True))


def _words(frame: SectionFrame, one: Crossed) -> tuple[str, bool]:
    lengths = frame.scene.lengths
    name = one.structure.title.upper()
    if one.top_m is None:
        return f"{name}, height not measured", False
    text = f"{name} {lengths.words(one.top_m - one.base_m)} high"
    if one.grown_top_m is not None:
        text += f", {lengths.figure(one.grown_top_m - one.base_m)} in {frame.scene.grown_year}"
    return text, True
