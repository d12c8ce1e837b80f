"""The sketch of a hop from the side on a mounting sheet: which way is up, and which end is higher."""

from __future__ import annotations

from dataclasses import dataclass

from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Drawing, Path, Point, Shape, Words
from survey_app.drawing.symbols import arrow_head

__all__ = ["ElevationScene", "elevation_sketch"]


@dataclass(frozen=True, slots=True)
class ElevationScene:
    """What the sketch shows, as words.

    Attributes
    ----------
    near, near_height : str
        Label of the radio of the sheet and its height over the ground.
    far, far_height : str
        The same of the far end; empty for a radio with several.
    tilt_deg : float or None
        Tilt of the beam, up positive; decides only which way the ray is drawn. None draws no ray. [deg]
    tilt_words : str
        "2.0° up".
    bracket_words : str
        "bracket 0.6° up" where the bracket's tilt is not the beam's; else empty.
    bracket_deg : float or None
        Tilt of the bracket, up positive. [deg]
    to_left : bool
        Whether the far end lies to the left, as on the plan.
    """

    near: str
    near_height: str
    far: str
    far_height: str
    tilt_deg: float | None
    tilt_words: str
    bracket_words: str = ""
    bracket_deg: float | None = None
    to_left: bool = False


_GROUND = 4.8
_POST_LEAST = 4.6
_TOP = 3.2
_STEEPEST_RISE = 0.36
_FLATTEST_RISE = 0.12


def elevation_sketch(scene: ElevationScene, width_mm: float, height_mm: float) -> Drawing:
    """Return the sketch in a box; the slope is drawn flatter or steeper than it is, never the wrong way round.

    Parameters
    ----------
    scene : ElevationScene
        What is shown.
    width_mm, height_mm : float
        Size of the box. [mm]
    """
    top = _TOP + (3.0 if scene.bracket_words else 0.0)
    room = max(height_mm - _GROUND - _POST_LEAST - top, 0.0)
    run = width_mm - 36.0
    rise = 0.0 if scene.tilt_deg is None else _drawn_rise(scene.tilt_deg, run, room)
    low = _GROUND + _POST_LEAST + (room - abs(rise)) * 0.4
    near_y = low if rise >= 0.0 else low - rise
    side = -1.0 if scene.to_left else 1.0
    near_x = width_mm - 16.0 if scene.to_left else 16.0
    far_x = near_x + side * run
    far_y = near_y + rise
    shapes = _ground(width_mm)
    shapes += _post(near_x, near_y, scene.near, scene.near_height, side, filled=True)
    if scene.tilt_deg is not None:
        shapes += _ray(scene, (near_x, near_y), (far_x, far_y), side, height_mm)
    if scene.far:
        shapes += _post(far_x, far_y, scene.far, scene.far_height, -side, filled=False)
    return Drawing(tuple(shapes), (0.0, 0.0, width_mm, height_mm), 1.0)


def _drawn_rise(tilt_deg: float, run: float, room: float) -> float:
    if round(abs(tilt_deg), 1) == 0.0:
        return 0.0
    share = _FLATTEST_RISE + (_STEEPEST_RISE - _FLATTEST_RISE) * min(abs(tilt_deg), 30.0) / 30.0
    rise = min(share * run, room)
    return rise if tilt_deg > 0.0 else -rise


def _ground(width: float) -> list[Shape]:
    hatch = [Path(Role.GROUND_HATCH, ((x, _GROUND - 1.6), (x + 1.6, _GROUND))) for x in range(1, int(width) - 1, 4)]
    return [*hatch, Path(Role.GROUND, ((0.0, _GROUND), (width, _GROUND)))]


def _post(x: float, y: float, label: str, height: str, side: float, *, filled: bool) -> list[Shape]:
    """A post with the unit on the side that looks to the far end; label and height on the other side."""
    unit = ((x + side * 0.2, y - 1.3), (x + side * 1.8, y - 1.3), (x + side * 1.8, y + 1.3), (x + side * 0.2, y + 1.3))
    align = "end" if side > 0 else "start"
    return [
        Path(Role.GROUND, ((x, _GROUND), (x, y + 2.0))),
        Path(Role.SOLID if filled else Role.LOW_BUILDING, unit, closed=True),
        Words(Role.WORDS, (x - side * 1.4, y + 1.0), label, 2.5, bold=True, align=align),
        Words(Role.WORDS, (x - side * 1.4, y - 2.6), height, 2.5, align=align),
    ]


def _ray(scene: ElevationScene, near: Point, far: Point, side: float, height_mm: float) -> list[Shape]:
    start = (near[0] + side * 1.8, near[1])
    end = (far[0] - side * 1.8, far[1])
    slope = (end[1] - start[1]) / abs(end[0] - start[0])
    shapes: list[Shape] = []
    level_end = (start[0] + side * 44.0, start[1])
    roomy = abs(slope) * 44.0 > 4.0
    if slope:
        shapes.append(Path(Role.LEVEL_LINE, (start, level_end)))
    if slope and roomy:
        shapes.append(_words("level", level_end[0] + side * 1.2, start[1], "start" if side > 0 else "end"))
    if scene.bracket_words and scene.bracket_deg is not None:
        shapes += _bracket_line(scene, start, side, slope)
    if scene.far:
        shapes.append(Path(Role.AIM, (start, end)))
    else:
        angle = 90.0 * side - side * _degrees(slope)
        shapes.append(Path(Role.AIM, (start, (end[0] - side * 3.0, end[1] - slope * 3.0))))
        shapes.append(arrow_head(end, angle, 4.6, 1.5))
    if slope:
        arc_start = 90.0 * side
        shapes.append(Arc(Role.TURN, start, 26.0, arc_start, -side * _degrees(slope)))
    # the words of the tilt stand on the outer side of the ray, clear of the level line
    middle = start[0] + side * abs(end[0] - start[0]) * 0.56
    ray_y = start[1] + slope * abs(middle - start[0])
    above = slope >= 0.0
    y = ray_y + 3.4 + abs(slope) * 8.0 if above else ray_y - 3.2 - abs(slope) * 8.0
    y = min(max(y, _GROUND + 2.2), height_mm - 2.7)
    shapes.append(Words(Role.WORDS, (middle, y), scene.tilt_words, 3.0, bold=True, align="middle", halo=True))
    return shapes


def _bracket_line(scene: ElevationScene, start: Point, side: float, slope: float) -> list[Shape]:
    bracket = 0.0 if scene.bracket_deg is None else scene.bracket_deg
    own = 0.0 if round(abs(bracket), 1) == 0.0 else 0.07 if bracket > 0 else -0.07
    if own == 0.0 or abs(own - slope) < 0.03:
        return []
    end = (start[0] + side * 40.0, start[1] + own * 40.0)
    width = letters_width_mm(scene.bracket_words, 2.5)
    text_x = end[0] + side * 1.2 if side > 0 else end[0] - 1.2 - width
    return [
        Path(Role.LEVEL_LINE, (start, end)),
        Words(Role.WORDS, (text_x, end[1] + (1.6 if own > 0 else -1.6)), scene.bracket_words, 2.5),
    ]


def _degrees(slope: float) -> float:
    import math

    return math.degrees(math.atan(slope))


def _words(text: str, x: float, y: float, align: str) -> Words:
    return Words(Role.WORDS, (x, y), text, 2.5, align=align)
