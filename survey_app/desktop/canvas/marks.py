"""Signs of the hand: pointer, what it hovers over, what is selected, figures beside it."""

from __future__ import annotations

import math

from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.canvas.neatline import COORDINATE_MM
from survey_app.desktop.canvas.whereabouts import Whereabouts
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Path, Point, Shape, Symbol, Words

__all__ = ["coordinate_words", "grips", "hovered", "marker", "pointer", "spot"]

_DATA_MM = 13.0 * 0.76 / 4.0
_ARM_MM, _OPEN_MM = 11.0 / 4.0, 3.0 / 4.0
_RING_MM = 3.1
_HOVER_RING_MM = 3.4
_GRIP_MM = 6.0 / 4.0
_WIDEST_MM = 80.0
"""Longer figures of a gesture are broken into lines: the plan round the hand is to be seen."""
_GRIP_AWAY_MM = 3.75


def marker(where: Whereabouts) -> tuple[Shape, ...]:
    """Return the marker stroke of a selected thing: along its line, or a ring round its point."""
    if where.is_point:
        return (Symbol("selected", where.points[0], (Arc(Role.SELECTED, (0.0, 0.0), _RING_MM),)),)
    return (Path(Role.SELECTED, where.points, closed=where.closed),)


def grips(where: Whereabouts) -> tuple[Shape, ...]:
    """Return four square grips round each end of a selected thing; outlines have theirs at their corners."""
    if where.closed:
        return ()
    half, away = _GRIP_MM / 2.0, _GRIP_AWAY_MM
    squares = tuple(
        Path(
            Role.GRIP,
            ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)),
            closed=True,
        )
        for x in (-away, away)
        for y in (-away, away)
    )
    ends = dict.fromkeys((where.points[0], where.points[-1]))
    return tuple(Symbol("grips", end, squares) for end in ends)


def hovered(where: Whereabouts) -> tuple[Shape, ...]:
    """Return the sign that the pointer is over a thing: a ring, or a line drawn again."""
    if where.is_point:
        return (Symbol("hovered", where.points[0], (Arc(Role.HOVER, (0.0, 0.0), _HOVER_RING_MM),)),)
    return (Path(Role.HOVER, where.points, closed=where.closed),)


def spot(at: Point) -> tuple[Shape, ...]:
    """Return the mark of a point that another part of the window points at: a small ring with four ticks."""
    ticks = tuple(
        Path(Role.HOVER, ((1.2 * x, 1.2 * y), (2.4 * x, 2.4 * y)))
        for x, y in ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))
    )
    return (Symbol("spot", at, (Arc(Role.HOVER, (0.0, 0.0), 1.2), *ticks)),)


def coordinate_words(x_m: float, y_m: float, px_per_m: float) -> str:
    """Return the pointer's place as people read it: as many decimals as a pixel can tell, one at least.

    Examples
    --------
    >>> coordinate_words(440.0, -92.04, 2.3)
    '440.0 E 92.0 S'
    """
    decimals = 1 if px_per_m < 40.0 else 2 if px_per_m < 400.0 else 3
    across, up = round(x_m, decimals), round(y_m, decimals)
    east, north = "W" if across < 0 else "E", "S" if up < 0 else "N"
    return f"{abs(across):.{decimals}f} {east} {abs(up):.{decimals}f} {north}"


def pointer(
    frame: Frame, x_px: float, y_px: float, words: str = "", typed: str = "", *, refused: bool = False
) -> tuple[Shape, ...]:
    """Return the crosshair with what stands beside it, in pixels with y turned (x, −y).

    Parameters
    ----------
    frame : Frame
        Where the plan lies in its window.
    x_px, y_px : float
        The pointer. [px]
    words : str
        Figures of the gesture or why something is not allowed; empty shows the coordinates.
    typed : str
        What was typed so far, shown in a frame.
    refused : bool
        Whether a bar through the pointer says that it is not allowed.
    """
    at = (x_px, -y_px)
    arms = [
        Path(Role.FINE, (inner, outer))
        for inner, outer in (
            ((_OPEN_MM, 0.0), (_ARM_MM, 0.0)),
            ((-_OPEN_MM, 0.0), (-_ARM_MM, 0.0)),
            ((0.0, _OPEN_MM), (0.0, _ARM_MM)),
            ((0.0, -_OPEN_MM), (0.0, -_ARM_MM)),
        )
    ]
    if refused:
        arms.append(Path(Role.STRUCK, ((-2.0, -2.0), (2.0, 2.0))))
        arms.append(Path(Role.STRUCK, ((-2.0, 2.0), (2.0, -2.0))))
    shapes: list[Shape] = [Symbol("pointer", at, tuple(arms))]
    shown = words or coordinate_words(*frame.m(x_px, y_px), frame.px_per_m)
    shapes.extend(_beside(frame, at, shown, _DATA_MM if words else COORDINATE_MM, typed))
    return tuple(shapes)


def _broken(words: str, height_mm: float, widest_mm: float) -> list[str]:
    """Return words in lines that are no wider than there is room; a single word is never cut."""
    lines: list[str] = []
    for word in words.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and letters_width_mm(longer, height_mm) <= widest_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _beside(frame: Frame, at: Point, words: str, height_mm: float, typed: str) -> list[Shape]:
    """Return words to the right of the pointer and above it, to the other side where they would be cut.

    Words that fit on neither side are broken into lines.
    """
    mm = frame.px_per_mm
    to_right_mm = (frame.left_px + frame.width_px - 2.0 - at[0]) / mm - 2.6
    to_left_mm = (at[0] - frame.left_px - 2.0) / mm - 2.6
    lines = _broken(words, height_mm, min(max(to_right_mm, to_left_mm), _WIDEST_MM))
    width = max(letters_width_mm(text, height_mm) for text in lines)
    if typed:
        width = max(width, letters_width_mm(typed, _DATA_MM) + 2.4)
    to_left = width > to_right_mm
    below = -at[1] - (2.6 + 3.4 * len(lines)) * mm < frame.top_px
    align, side = ("end", -2.6) if to_left else ("start", 2.6)
    first = -2.6 if below else 2.6 + 3.4 * (len(lines) - 1)
    shapes: list[Shape] = []
    if height_mm == _DATA_MM and words.strip():
        # figures of a gesture are read over whatever the plan has there
        high, low = first + 1.9, first - 3.4 * (len(lines) - 1) - 1.9
        wide = max(letters_width_mm(text, height_mm) for text in lines)
        x0, x1 = sorted((side - math.copysign(0.6, side), side + math.copysign(wide + 0.6, side)))
        shapes.append(
            Symbol("ground", at, (Path(Role.BLANK, ((x0, low), (x1, low), (x1, high), (x0, high)), closed=True),))
        )
    shapes += [
        Words(Role.WORDS, at, text, height_mm, (side, first - 3.4 * n), align=align, halo=True)
        for n, text in enumerate(lines)
    ]
    if typed:
        middle = -4.0 if not below else -3.2 - 3.4 * len(lines)
        x0, x1 = sorted((side, side + (-1 if to_left else 1) * (letters_width_mm(typed, _DATA_MM) + 2.4)))
        frame_mm = ((x0, middle - 2.0), (x1, middle - 2.0), (x1, middle + 2.0), (x0, middle + 2.0))
        shapes.append(Symbol("typed", at, (Path(Role.NOTE, frame_mm, closed=True),)))
        shapes.append(Words(Role.WORDS, at, typed, _DATA_MM, (x0 + 1.2, middle)))
    return shapes
