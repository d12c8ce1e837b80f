"""Heads, ticks and grid of a section."""

from __future__ import annotations

import math

from survey_app.drawing.labels import Box
from survey_app.drawing.letters import cut_line, letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.section.frame import DATA, HEAD, NAME, NOTE, SectionFrame
from survey_app.drawing.shapes import Path, Words

__all__ = ["draw_axes", "draw_head", "draw_small_head"]

_LEFT_MM, _GAP_MM = 4.0, 4.0
_HEIGHT_STEP_MM, _LENGTH_STEP_MM = 6.0, 24.0
_TICK_MM, _SMALL_TICK_MM = 1.4, 0.8
_SMALL_LEFT_MM, _SMALL_HEAD = 3.0, 1.8


def draw_head(frame: SectionFrame) -> None:
    """Write what is drawn: title, ends, exaggeration; at the right what is assumed."""
    scene = frame.scene
    y = frame.height_mm - 4.4
    said = scene.said(f"{scene.subtitle}, {frame.exaggeration_words}")
    role = Role.WORDS_SOFT if scene.is_stale else Role.WORDS
    frame.high.append(Words(Role.WORDS_SOFT, (_LEFT_MM, y), scene.title, HEAD, bold=False))
    x = _LEFT_MM + letters_width_mm(scene.title, HEAD) * 1.1 + _GAP_MM
    cut = cut_line(said, NAME, frame.width_mm - x - 4.0)
    frame.high.append(Words(role, (x, y), cut, NAME, italic=scene.is_stale))
    x += letters_width_mm(said, NAME) + _GAP_MM
    room = frame.width_mm - 4.0 - x
    for words in _assumed(frame):
        if letters_width_mm(words, NOTE) <= room:
            at = (frame.width_mm - 4.0, y)
            frame.high.append(Words(Role.WORDS_SOFT, at, words, NOTE, italic=True, align="end"))
            return


def draw_small_head(frame: SectionFrame) -> None:
    """Write over a small section between what it runs and how heights are drawn."""
    scene, room = frame.scene, frame.width_mm - 2.0 * _SMALL_LEFT_MM
    length = scene.lengths.words(scene.profile.length_m)
    head = f"SECTION, {scene.start.label} to {scene.end.label}, {length}, {frame.exaggeration_words}"
    at = (_SMALL_LEFT_MM, frame.height_mm - 2.2)
    frame.high.append(Words(Role.WORDS, at, cut_line(head, _SMALL_HEAD, room), _SMALL_HEAD, bold=True))
    frame.placer.take(Box(frame.width_mm / 2.0, at[1], frame.width_mm / 2.0, 1.6))


def _assumed(frame: SectionFrame) -> tuple[str, ...]:
    """Say what the way was held against, what is assumed and what nobody looked at, at length and shorter."""
    scene = frame.scene
    seen = "" if scene.seen else " Nobody has seen the far end yet."
    held = f"Held against {scene.checked_against}."
    ground = "Ground from the relief." if scene.profile.relief else "Ground assumed flat."
    return f"{held}{seen}", held, f"{ground}{seen}", ground


def draw_axes(frame: SectionFrame) -> None:
    """Draw heights at both sides with their grid, and distances under the plot."""
    _heights(frame)
    _distances(frame)


def _heights(frame: SectionFrame) -> None:
    lengths = frame.scene.lengths
    step = lengths.step(_HEIGHT_STEP_MM / frame.height_mm_per_m)
    places = lengths.places(step)
    for n in range(math.ceil(frame.low_m / step), math.floor(frame.high_m / step) + 1):
        y = frame.y(n * step)
        if not frame.bottom_mm + 0.5 <= y <= frame.top_mm + 0.01:
            continue
        frame.low.append(Path(Role.RULE, ((frame.left_mm, y), (frame.right_mm, y))))
        words = lengths.figure(n * step, places)
        out_mm = 2.0 if frame.is_small else 3.4
        frame.high.append(Words(Role.WORDS_SOFT, (frame.left_mm - out_mm, y), words, NOTE, align="end"))
        frame.high.append(Words(Role.WORDS_SOFT, (frame.right_mm + out_mm, y), words, NOTE))
        for x, out in ((frame.left_mm, -1.0), (frame.right_mm, 1.0)):
            frame.low.append(Path(Role.THIN, ((x, y), (x + out * _TICK_MM, y))))
    unit = f"{lengths.unit}"
    units = () if frame.is_small else ((frame.left_mm - 3.4, "end"), (frame.right_mm + 3.4, "start"))
    for x, align in units:
        frame.high.append(Words(Role.WORDS_SOFT, (x, frame.top_mm + 2.6), unit, NOTE, align=align))
    for x in (frame.left_mm, frame.right_mm):
        frame.low.append(Path(Role.THIN, ((x, frame.bottom_mm), (x, frame.top_mm))))
        frame.placer.take_line((x, frame.bottom_mm), (x, frame.top_mm), 0.4)
    middle, half = frame.height_mm / 2.0, frame.height_mm / 2.0
    frame.placer.take(Box(frame.left_mm / 2.0, middle, frame.left_mm / 2.0, half))
    frame.placer.take(
        Box((frame.right_mm + frame.width_mm) / 2.0, middle, (frame.width_mm - frame.right_mm) / 2.0, half)
    )


def _distances(frame: SectionFrame) -> None:
    lengths, length_m = frame.scene.lengths, frame.scene.profile.length_m
    step = lengths.step(_LENGTH_STEP_MM / frame.mm_per_m)
    minor = step / 5.0
    y = frame.bottom_mm
    frame.low.append(Path(Role.THIN, ((frame.left_mm, y), (frame.right_mm, y))))
    for n in range(math.floor(length_m / minor) + 1):
        x = frame.x(n * minor)
        tick = _TICK_MM if n % 5 == 0 else _SMALL_TICK_MM
        frame.low.append(Path(Role.THIN, ((x, y), (x, y - tick))))
    if frame.letters_distances:
        _distance_words(frame, step)
    frame.low.append(Path(Role.THIN, ((frame.right_mm, y), (frame.right_mm, y - _TICK_MM))))
    frame.placer.take(Box(frame.width_mm / 2.0, frame.bottom_mm / 2.0, frame.width_mm, frame.bottom_mm / 2.0))


def _distance_words(frame: SectionFrame, step: float) -> None:
    lengths, length_m, y = frame.scene.lengths, frame.scene.profile.length_m, frame.bottom_mm
    end = lengths.words(length_m)
    taken = frame.right_mm - letters_width_mm(end, DATA) / 2.0 - 2.0
    places = lengths.places(step)
    row = y - (3.0 if frame.is_small else 3.9)
    for n in range(math.floor(length_m / step) + 1):
        words = lengths.figure(n * step, places)
        x = frame.x(n * step)
        if x + letters_width_mm(words, DATA) / 2.0 < taken:
            frame.high.append(Words(Role.WORDS_SOFT, (x, row), words, NOTE, align="middle"))
    frame.high.append(Words(Role.WORDS_SOFT, (frame.right_mm, row), end, NOTE, align="middle"))
