"""Heights of the bands of a mounting sheet. What a stop band or more flags need is taken from the pictures."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from survey_app.drawing.letters import letters_width_mm, wrapped_to
from survey_app.paper.mounting_view import Flag, MountingView
from survey_app.paper.press import PAPERS, clean

__all__ = ["Bands", "bands_of", "flag_lines", "station_rows"]

Paper = Literal["a4", "letter"]

PLAN_WIDTH_MM = 88.0
ELEVATION_WIDTH_MM = 92.0
STATION_ROW_MM = 5.2
STATION_HEAD_MM = 6.6
STOP_MM = 13.0

_LEVEL_MM = 34.2
_ELEVATION_LEAST_MM = 15.0
_ELEVATION_MOST_MM = 29.0
_FLAG_FIRST_MM = 6.4
_FLAG_NEXT_MM = 5.8
_FLAG_LINE_MM = 3.7
_TEXT_MM = 2.5
_FLAG_LINES = 3
_FOOT_LINE_MM = 3.7
_PLAN_LEAST_MM = 24.0


@dataclass(frozen=True, slots=True)
class Bands:
    """Heights in order from the top. [mm]

    Attributes
    ----------
    first, next : float
        Rows of the aim's left part: the largest figure, and each of the two others.
    tilt, bar, height, beam : float
        Rows of its right part; the sweep takes the rest.
    flags : tuple of float
        One height a printed flag.
    flag_lines : int
        Lines a flag at most.
    shows_section : bool
        Whether the section stands in the place of the sketch from the side.
    foot_lines : tuple of str
        Lines under the plan.
    more_flags : str
        Words for the flags that found no room, or empty.
    """

    head: float
    stop: float
    ticks: float
    first: float
    next: float
    aim: float
    tilt: float
    bar: float
    height: float
    beam: float
    pictures: float
    elevation: float
    shows_section: bool
    foot: float
    foot_lines: tuple[str, ...]
    facts: float
    pitch: float
    flags: tuple[float, ...]
    flag_lines: int
    flag_band: float
    more_flags: str
    cautions: float
    write: float
    title: float


def bands_of(view: MountingView, paper: Paper) -> Bands:
    """Return the heights for one sheet.

    Parameters
    ----------
    view : MountingView
        What stands on the sheet.
    paper : {"a4", "letter"}
        Which paper.
    """
    a4 = paper == "a4"
    live = PAPERS[paper][2]
    head, ticks = (15.0, 6.2) if a4 else (14.0, 5.8)
    first, following = (38.4, 21.4) if a4 else (37.8, 21.0)
    pitch = 4.4 if a4 else 4.2
    facts = 11.6 + 6 * pitch
    cautions = 30.6
    write, title = (23.2, 17.2) if a4 else (21.2, 15.2)
    stop = STOP_MM if view.stop else 0.0
    aim = first + 2 * following
    room = live - head - ticks - aim - facts - cautions - write - title - stop
    flags, most, more = _flag_rows(view.flags, view.sight, room - _LEVEL_MM)
    flag_band = max(sum(flags) + (_FLAG_LINE_MM + 1.0 if more else 0.0), _FLAG_FIRST_MM)
    pictures = room - flag_band
    foot_lines = _foot_lines(view, pictures)
    foot = 1.6 + _FOOT_LINE_MM * len(foot_lines) if foot_lines else 0.0
    elevation = 0.0
    if view.elevation is not None or view.section is not None:
        listed = STATION_HEAD_MM + STATION_ROW_MM * len(view.stations)
        needed = _LEVEL_MM if view.level is not None else max(min(listed, pictures), 0.0)
        spare = pictures - needed
        elevation = min(spare, _ELEVATION_MOST_MM) if spare >= _ELEVATION_LEAST_MM else 0.0
    shows_section = view.section is not None and elevation > 0.0
    if view.elevation is None and not shows_section:
        elevation = 0.0
    return Bands(
        head=head,
        stop=stop,
        ticks=ticks,
        first=first,
        next=following,
        aim=aim,
        tilt=29.0 if a4 else 28.2,
        bar=13.4 if a4 else 13.0,
        height=16.6,
        beam=9.4 if a4 else 9.2,
        pictures=pictures,
        shows_section=shows_section,
        elevation=elevation,
        foot=foot,
        foot_lines=foot_lines,
        facts=facts,
        pitch=pitch,
        flags=flags,
        flag_lines=most,
        flag_band=flag_band,
        more_flags=more,
        cautions=cautions,
        write=write,
        title=title,
    )


def _foot_lines(view: MountingView, pictures_mm: float) -> tuple[str, ...]:
    """Return the lines under the plan: of the way the first always, the rest whole or not at all."""
    room_mm = pictures_mm - 1.6 - _FOOT_LINE_MM * (len(view.foot) + len(view.way))
    return (*view.foot, *(view.way if room_mm >= _PLAN_LEAST_MM else view.way[:1]))


def flag_lines(flag: Flag, width_mm: float, most: int) -> tuple[str, ...]:
    """Return a flag's words as lines, so many at most; the cover has them in full."""
    return wrapped_to(clean(flag.text), _TEXT_MM, width_mm, most)


def flag_width_mm(index: int, sight: str) -> float:
    """Return the width that a flag's words have; the first row shares it with the sight."""
    taken = min(letters_width_mm(sight, _TEXT_MM), 76.0) + 5.0 if index == 0 else 0.0
    return 177.0 - 11.0 - taken


def _flag_rows(flags: tuple[Flag, ...], sight: str, room: float) -> tuple[tuple[float, ...], int, str]:
    """Heights of the rows that fit into `room`, lines a flag at most, and the words for the flags left out.

    Where there is no room, flags are cut to fewer lines before any is left out.
    """
    heights: list[float] = []
    for most in range(_FLAG_LINES, 0, -1):
        heights = []
        for index, flag in enumerate(flags):
            lines = len(flag_lines(flag, flag_width_mm(index, sight), most))
            heights.append((_FLAG_FIRST_MM if index == 0 else _FLAG_NEXT_MM) + _FLAG_LINE_MM * (lines - 1))
        if sum(heights) <= room:
            return tuple(heights), most, ""
    kept = len(heights) - 1
    while kept > 0 and sum(heights[:kept]) + _FLAG_LINE_MM + 1.0 > room:
        kept -= 1
    left = len(heights) - kept
    count = f"And {left} more" if kept > 0 else f"{left} finding{'' if left == 1 else 's'}"
    return tuple(heights[: max(kept, 0)]), 1, f"{count}: read on the cover before you climb." if left else ""


def station_rows(bands: Bands, paper: Paper) -> tuple[int, int]:
    """Return how many stations stand on the first page, and on each further page."""
    first = math.floor((bands.pictures - bands.elevation - STATION_HEAD_MM) / STATION_ROW_MM + 1e-6)
    further = math.floor((PAPERS[paper][2] - bands.head - bands.title - STATION_HEAD_MM) / 7.0)
    return max(first, 1), further
