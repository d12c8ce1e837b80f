"""Paints a drawing for black-only paper: strokes as one SVG picture, letters as a list for the typesetter.

Letters are set by the typesetter and not in the picture, so that they keep their font fallback and can be searched for.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Any

from survey_app.drawing.letters import CAPITAL_EM, letters_width_mm
from survey_app.drawing.roles import PENS, Pen, Role
from survey_app.drawing.shapes import Arc, Drawing, Path, Point, Strokes, Symbol, Words

__all__ = ["BLACK", "black_picture"]

BLACK: dict[str, str] = {
    "ink": "#000",
    "paper": "#fff",
    "card": "#fff",
    "building": "#fff",
    "water": "#000",
    "trees": "#000",
    "radio": "#000",
    "stop": "#000",
    "warn": "#fff",
    "on warn": "#000",
    "ink 2": "#000",
    "ink 3": "#666",
    "hair": "#666",
    "camera": "#000",
    "wire": "#000",
    "water fill": "#fff",
    "radio tint": "#fff",
    "camera tint": "#fff",
    "zone tint": "#fff",
    "selection": "#fff",
    "hover": "#000",
    "grip": "#fff",
}
_THINNEST_MM = 0.2
_HALO_MM = 0.5


class _Frame:
    """Turns metres on the plane, or millimetres round an anchor, into millimetres of the picture (y down)."""

    def __init__(self, drawing: Drawing) -> None:
        self._x0, _, _, self._y1 = drawing.window_m
        self._scale = drawing.mm_per_m

    def plane(self, point: Point) -> Point:
        return ((point[0] - self._x0) * self._scale, (self._y1 - point[1]) * self._scale)

    def length(self, metres: float) -> float:
        return metres * self._scale


def black_picture(drawing: Drawing) -> dict[str, Any]:
    """Return what a sheet template needs to print a drawing in black.

    Parameters
    ----------
    drawing : Drawing
        What to paint.

    Returns
    -------
    dict
        `svg` (text of the picture), `w`, `h` [mm], and `words`: rows of `[text, x, y, em, turn, weight, style, fill]`,
        where x, y is the left end of the baseline. [mm, mm, mm, deg]
    """
    frame = _Frame(drawing)
    width, height = drawing.width_mm, drawing.height_mm
    strokes = "".join(_merged(_elements(drawing, frame)))
    w, h = _n(width), _n(height)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">'
        f'<clipPath id="c"><rect width="{w}" height="{h}"/></clipPath>'
        f'<g clip-path="url(#c)" fill="none" stroke-linejoin="miter">{strokes}</g></svg>'
    )
    words = [_word(shape, frame) for shape in drawing.shapes if isinstance(shape, Words) and shape.text]
    return {"svg": svg, "w": round(width, 3), "h": round(height, 3), "words": words}


def _elements(drawing: Drawing, frame: _Frame) -> Iterator[tuple[Role, str]]:
    """Yield role and path data, in stacking order."""
    for shape in drawing.shapes:
        if isinstance(shape, Symbol):
            yield from _symbol(shape, frame)
        elif isinstance(shape, Words):
            if shape.halo and shape.text:
                yield Role.BLANK, _halo(shape, frame)
        elif isinstance(shape, Path):
            yield shape.role, _path(shape, [frame.plane(p) for p in shape.points])
        elif isinstance(shape, Strokes):
            yield shape.role, _strokes(shape, frame)
        elif isinstance(shape, Arc):
            yield shape.role, _arc(shape, frame.plane(shape.centre), frame.length(shape.radius), 0.0)
        else:
            yield shape.role, _circle(frame.plane(shape.centre), frame.length(shape.radius))


def _symbol(symbol: Symbol, frame: _Frame) -> Iterator[tuple[Role, str]]:
    ax, ay = frame.plane(symbol.at)
    turn = math.radians(symbol.turn_deg)
    cos, sin = math.cos(turn), math.sin(turn)

    def placed(point: Point) -> Point:
        x, y = point
        return (ax + x * cos + y * sin, ay - (y * cos - x * sin))

    for part in symbol.parts:
        if isinstance(part, Path):
            yield part.role, _path(part, [placed(p) for p in part.points])
        elif isinstance(part, Arc):
            yield part.role, _arc(part, placed(part.centre), part.radius, symbol.turn_deg)
        else:
            yield part.role, _circle(placed(part.centre), part.radius)


def _merged(elements: Iterable[tuple[Role, str]]) -> Iterator[str]:
    """Join neighbours of one role into one path; filled outlines stay apart, for they cover."""
    role: Role | None = None
    data: list[str] = []
    for next_role, next_data in elements:
        if data and (next_role is not role or PENS[next_role].fill):
            yield _element(PENS[role], "".join(data)) if role else ""
            data = []
        role = next_role
        data.append(next_data)
    if data and role:
        yield _element(PENS[role], "".join(data))


def _element(pen: Pen, data: str) -> str:
    attributes = f' fill="{BLACK[pen.fill]}" fill-rule="evenodd"' if pen.fill else ""
    if pen.width_mm:
        attributes += f' stroke="{BLACK[pen.ink]}" stroke-width="{_n(max(pen.width_mm, _THINNEST_MM))}"'
        if pen.dash_mm:
            attributes += f' stroke-dasharray="{" ".join(_n(d) for d in pen.dash_mm)}"'
        if pen.round_ends:
            attributes += ' stroke-linecap="round" stroke-linejoin="round"'
    return f'<path d="{data}"{attributes}/>'


def _path(path: Path, points: list[Point]) -> str:
    return _line(points) + ("Z" if path.closed else "")


def _strokes(strokes: Strokes, frame: _Frame) -> str:
    lines: list[list[Point]] = [[]]
    for (x, y), joined in zip(strokes.points.tolist(), strokes.joined.tolist(), strict=True):
        lines[-1].append(frame.plane((x, y)))
        if not joined:
            lines.append([])
    return "".join(_line(points) + ("Z" if strokes.filled else "") for points in lines if points)


def _line(points: list[Point]) -> str:
    return "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in points)


def _arc(arc: Arc, centre: Point, radius: float, turn_deg: float) -> str:
    if abs(arc.sweep_deg) >= 360.0:
        return _circle(centre, radius)
    start = math.radians(arc.start_deg + turn_deg)
    end = math.radians(arc.start_deg + turn_deg + arc.sweep_deg)
    x0, y0 = centre[0] + radius * math.sin(start), centre[1] - radius * math.cos(start)
    x1, y1 = centre[0] + radius * math.sin(end), centre[1] - radius * math.cos(end)
    large = int(abs(arc.sweep_deg) > 180.0)
    clockwise = int(arc.sweep_deg >= 0.0)
    return f"M{_n(x0)} {_n(y0)}A{_n(radius)} {_n(radius)} 0 {large} {clockwise} {_n(x1)} {_n(y1)}"


def _circle(centre: Point, radius: float) -> str:
    x, y, r = centre[0], centre[1], _n(radius)
    return f"M{_n(x - radius)} {_n(y)}a{r} {r} 0 1 1 {_n(2 * radius)} 0a{r} {r} 0 1 1 {_n(-2 * radius)} 0Z"


def _along(words: Words, frame: _Frame) -> tuple[Point, float, float]:
    """Return the left end of the middle line of the letters (picture mm), their width and the turn in radians."""
    ax, ay = frame.plane(words.at)
    width = letters_width_mm(words.text, words.height_mm)
    shift = {"start": 0.0, "middle": -width / 2.0, "end": -width}[words.align]
    turn = math.radians(words.turn_deg)
    x, y = words.offset_mm[0] + shift, words.offset_mm[1]
    return (ax + x * math.cos(turn) + y * math.sin(turn), ay - (y * math.cos(turn) - x * math.sin(turn))), width, turn


def _halo(words: Words, frame: _Frame) -> str:
    (x, y), width, turn = _along(words, frame)
    half = words.height_mm / 2.0 + _HALO_MM
    cos, sin = math.cos(turn), math.sin(turn)
    corners = ((-_HALO_MM, -half), (width + _HALO_MM, -half), (width + _HALO_MM, half), (-_HALO_MM, half))
    return _line([(x + u * cos - v * sin, y + u * sin + v * cos) for u, v in corners]) + "Z"


def _word(words: Words, frame: _Frame) -> list[Any]:
    (x, y), _, turn = _along(words, frame)
    half = words.height_mm / 2.0
    x, y = x - half * math.sin(turn), y + half * math.cos(turn)
    return [
        words.text,
        round(x, 2),
        round(y, 2),
        round(words.height_mm / CAPITAL_EM, 3),
        round(words.turn_deg, 2),
        "bold" if words.bold else "regular",
        "italic" if words.italic else "normal",
        BLACK[PENS[words.role].ink],
    ]


def _n(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
