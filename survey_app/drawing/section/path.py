"""Ground, ray, first Fresnel zone and the two ends of a section."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from survey_app.drawing.labels import Box, Placed
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.section.frame import NAME, NOTE, SectionFrame
from survey_app.drawing.section.scene import SectionEnd
from survey_app.drawing.shapes import Path, Point, Words
from survey_app.drawing.symbols import access_point, station

__all__ = ["draw_ends", "draw_ground", "draw_path", "draw_path_words"]

_HATCH_PITCH_MM, _HATCH_MM = 2.2, 1.5
_HOLLOW_MM = 0.45
_LEAST_BULGE_M = 0.05
_LINING_MM = (1.1, 2.2, 3.3)
_ZONE_FROM_MM = 1.6
_WIDE_MM = 8.0
_EVERY = 8
_BAR_MM = 1.6
_FREE_WORDS = "must be free down to here"
_FREE_ROOM_MM = 5.5
_PLACES = (0.2, 0.28, 0.36, 0.5)


def draw_ground(frame: SectionFrame) -> None:
    """Draw the ground with the earth's curve, hatched below; water flat, with lining and its name."""
    profile = frame.scene.profile
    line = frame.line(profile.ground_m + profile.bulge_m)
    frame.low.append(
        Path(Role.EARTH, (*line, (frame.right_mm, frame.bottom_mm), (frame.left_mm, frame.bottom_mm)), closed=True)
    )
    wet = [(frame.x(one.enter_m), frame.x(one.leave_m)) for one in profile.waters]
    for x, y in _along(line, _HATCH_PITCH_MM):
        if not any(x0 - 0.2 < x < x1 + 0.2 for x0, x1 in wet) and y - _HATCH_MM > frame.bottom_mm:
            frame.low.append(Path(Role.GROUND_HATCH, ((x, y), (x - _HATCH_MM, y - _HATCH_MM))))
    for piece in _dry(line, wet):
        frame.low.append(Path(Role.GROUND, piece))
    for a, b in pairwise(line):
        frame.placer.take_line(a, b, 0.4)
    _waters(frame)
    _bulge(frame)


def _waters(frame: SectionFrame) -> None:
    for one in frame.scene.profile.waters:
        x0, x1 = frame.x(one.enter_m), frame.x(one.leave_m)
        y = frame.y(one.level_m + frame.bulge_m((one.enter_m + one.leave_m) / 2.0))
        bottom = max(frame.bottom_mm, y - 4.4)
        frame.low.append(Path(Role.WATER, ((x0, y), (x1, y), (x1, bottom), (x0, bottom)), closed=True))
        frame.low.append(Path(Role.BANK, ((x0, y), (x1, y))))
        for n, inset in enumerate(_LINING_MM, start=1):
            if y - inset > bottom and x1 - x0 > 6.0 * n:
                frame.low.append(Path(Role.LINING, ((x0 + 2.0 * n, y - inset), (x1 - 2.0 * n, y - inset))))
        if one.title:
            width = letters_width_mm(one.title, NOTE)
            spot = frame.placer.first_free(
                [((x0 + x1) / 2.0, y + 2.2), ((x0 + x1) / 2.0, y - 6.2)], width / 2.0, NOTE / 2.0
            )
            if spot and width < x1 - x0:
                frame.high.append(Words(Role.WORDS_WATER, spot, one.title, NOTE, italic=True, align="middle"))


def _bulge(frame: SectionFrame) -> None:
    """Draw the curved datum and letter the bulge where it is large enough to matter."""
    profile = frame.scene.profile
    highest = float(profile.bulge_m.max())
    if highest < _LEAST_BULGE_M:
        return
    lowest = float(profile.ground_m.min())
    if frame.low_m < 0.0 < lowest:
        frame.low.append(Path(Role.DATUM, frame.line(profile.bulge_m)))
    words = f"earth bulge {frame.scene.lengths.figure(highest, 2)} {frame.scene.lengths.unit} at mid path, k = 4/3"
    half = letters_width_mm(words, NOTE) / 2.0
    at = ((frame.left_mm + frame.right_mm) / 2.0, max(frame.y(lowest) - 4.0, frame.bottom_mm + 2.0))
    frame.placer.take(Box(*at, half, NOTE / 2.0 + 0.3))
    frame.high.append(Words(Role.WORDS_SOFT, at, words, NOTE, align="middle", halo=True))


def draw_path(frame: SectionFrame) -> None:
    """Draw the first zone, the line down to which it must be free, and the ray.

    The ray is hollow where nobody has seen the far end, and dashed behind the place where something cuts it.
    """
    profile = frame.scene.profile
    if bool(np.isfinite(profile.zone_radius_m).all()):
        upper = frame.line(profile.ray_m + profile.zone_radius_m)
        lower = frame.line(profile.ray_m - profile.zone_radius_m)
        frame.low.append(Path(Role.FRESNEL, (*upper, *reversed(lower)), closed=True))
        frame.low += [Path(Role.FRESNEL_EDGE, upper), Path(Role.FRESNEL_EDGE, lower)]
        sixty = frame.line(profile.ray_m - frame.scene.free_fraction * profile.zone_radius_m)
        frame.low.append(Path(Role.SIXTY, sixty))
        for line in (upper, lower, sixty):
            for first, second in pairwise(line[::_EVERY] + line[-1:]):
                frame.placer.avoid_line(first, second)
    a, b = _ends(frame)
    if frame.scene.cut_at_m is not None:
        cut = frame.ray_at(frame.scene.cut_at_m)
        frame.low += [Path(Role.RAY, (a, cut)), Path(Role.HOP_REST, (cut, b))]
        frame.low.append(Path(Role.POLE, ((cut[0], cut[1] - _BAR_MM), (cut[0], cut[1] + _BAR_MM))))
    elif frame.scene.seen:
        frame.low.append(Path(Role.RAY, (a, b)))
    else:
        turn = math.atan2(b[1] - a[1], b[0] - a[0])
        dx, dy = -math.sin(turn) * _HOLLOW_MM, math.cos(turn) * _HOLLOW_MM
        for side in (1.0, -1.0):
            shifted = (a[0] + side * dx, a[1] + side * dy), (b[0] + side * dx, b[1] + side * dy)
            frame.low.append(Path(Role.HOP_UNCHECKED, shifted))
    frame.placer.take_line(a, b, 0.8)


def draw_path_words(frame: SectionFrame) -> None:
    """Write along the ray what it is, and beside the zone how wide."""
    scene, placer = frame.scene, frame.placer
    profile = scene.profile
    a, b = _ends(frame)
    # above a thin zone, inside a wide one
    widest_mm = float(np.nan_to_num(profile.zone_radius_m).max()) * frame.height_mm_per_m
    off = 1.6 if widest_mm > _WIDE_MM else widest_mm + 1.0
    said = scene.said(scene.ray_words)
    _write(frame, placer.along_line(a, b, said, NAME, off, _PLACES), said, NAME)
    if not np.isfinite(profile.zone_radius_m).all():
        return
    widest = float(profile.zone_radius_m.max())
    words = f"first Fresnel zone, radius {scene.lengths.words(widest)} at mid path"
    upper = frame.line(profile.ray_m + profile.zone_radius_m)
    count = len(upper)
    half = letters_width_mm(words, NOTE) / 2.0
    for part in (0.7, 0.62, 0.5, 0.8):
        x = upper[int(part * count)][0]
        # over the highest point of the edge that lies under the words
        y = max(high for along, high in upper if abs(along - x) <= half) + NOTE / 2.0 + 0.9
        box = Box(x, y, half, NOTE / 2.0 + 0.4)
        if placer.free(box):
            placer.take(box)
            frame.high.append(Words(Role.WORDS_RADIO, (x, y), words, NOTE, align="middle", halo=True))
            break
    if scene.free_fraction * widest * frame.height_mm_per_m > _ZONE_FROM_MM:
        lower = frame.line(profile.ray_m - scene.free_fraction * profile.zone_radius_m)
        middle, half = lower[int(0.35 * count)][0], letters_width_mm(_FREE_WORDS, NOTE) / 2.0
        under = [point for point in lower if abs(point[0] - middle) <= half]
        if len(under) > 1:
            # between the line and the ray, or where that is too narrow below the line, which sags
            wide = scene.free_fraction * widest * frame.height_mm_per_m > _FREE_ROOM_MM
            off = 0.9 if wide else -0.6 - NOTE - _sag(under)
            _write(frame, placer.along_line(under[0], under[-1], _FREE_WORDS, NOTE, off, (0.5,)), _FREE_WORDS, NOTE)


def _sag(line: Sequence[Point]) -> float:
    """Return how far a line lies below the straight one between its ends. [mm]"""
    (x0, y0), (x1, y1) = line[0], line[-1]
    slope = (y1 - y0) / (x1 - x0) if x1 != x0 else 0.0
    return float(max(0.0, *(y0 + (x - x0) * slope - y for x, y in line)))


def draw_ends(frame: SectionFrame) -> None:
    """Draw both ends on what carries them, with the plan's own symbols, label and heights."""
    scene = frame.scene
    a, b = _ends(frame)
    ground = scene.profile.ground_m
    for end, at, foot_m, side in (
        (scene.start, a, float(ground[0]), 1.0),
        (scene.end, b, float(ground[-1]), -1.0),
    ):
        frame.low.append(Path(Role.GROUND, ((at[0], frame.y(foot_m)), at)))
        bearing = 90.0 * side
        frame.low.append(access_point(at) if end.is_access_point else station(at, bearing))
        frame.placer.take(Box(at[0], at[1], 2.4, 2.4))
        _end_words(frame, end, at, side)


def _end_words(frame: SectionFrame, end: SectionEnd, at: Point, side: float) -> None:
    scene = frame.scene
    head = f"{end.label} {scene.said(scene.lengths.figure(end.elevation_m))}"
    align = "start" if side > 0 else "end"
    for words, height, bold, role, rows in (
        (head, NAME, True, Role.WORDS_RADIO, (3.6, 6.8, -4.0, 10.0)),
        (scene.said(end.height_words), NOTE, False, Role.WORDS_SOFT, (6.8, 10.0, -4.0, -7.2)),
    ):
        half = letters_width_mm(words, height) / 2.0
        for up in rows:
            x = at[0] + side * (2.6 + half)
            box = Box(x, at[1] + up, half, height / 2.0 + 0.3)
            if frame.placer.free(box) and at[1] + up < frame.top_mm + 4.0:
                frame.placer.take(box)
                anchor = (at[0] + side * 2.6, at[1] + up)
                frame.high.append(Words(role, anchor, words, height, bold=bold, align=align, halo=True))
                break


def _ends(frame: SectionFrame) -> tuple[Point, Point]:
    scene = frame.scene
    return frame.at(0.0, scene.start.elevation_m), frame.at(scene.profile.length_m, scene.end.elevation_m)


def _write(frame: SectionFrame, placed: Placed | None, text: str, height: float) -> None:
    if placed is not None:
        words = Words(
            Role.WORDS_RADIO, (placed.x, placed.y), text, height, turn_deg=placed.turn_deg, align="middle", halo=True
        )
        frame.high.append(words)


def _along(line: tuple[Point, ...], pitch: float) -> list[Point]:
    """Return points along a line at an even pitch across the sheet."""
    xs, ys = np.array(line).T
    at = np.arange(xs[0] + pitch, xs[-1], pitch)
    return list(zip(at.tolist(), np.interp(at, xs, ys).tolist(), strict=True))


def _dry(line: tuple[Point, ...], wet: list[tuple[float, float]]) -> list[tuple[Point, ...]]:
    """Return the pieces of the ground line that no water covers."""
    pieces: list[list[Point]] = [[]]
    for point in line:
        if any(x0 + 1e-6 < point[0] < x1 - 1e-6 for x0, x1 in wet):
            pieces.append([])
        else:
            pieces[-1].append(point)
    return [tuple(piece) for piece in pieces if len(piece) > 1]
