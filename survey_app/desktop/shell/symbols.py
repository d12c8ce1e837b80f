"""Symbols of the instruments: the plan's own where it has one, else a small sketch in the same pens."""

from __future__ import annotations

import math

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.canvas.painter import Brushes, ShapePainter
from survey_app.desktop.palette import Palette
from survey_app.desktop.shell.instruments import Draw, Instrument
from survey_app.desktop.tools.all_tools import TOOLS
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Disc, Path, Point, Shape, Symbol
from survey_app.drawing.symbols import (
    access_point,
    device,
    landmark,
    mast,
    mount,
    obstacle_cross,
    pole,
    station,
    supply,
    survey_note,
    tree_star,
)

__all__ = ["IN_COLUMN", "instruments_of_tools", "symbol_of"]

IN_COLUMN = 13
"""So many of the tools, from the first, have a place in the column."""

_AT: Point = (0.0, 0.0)
_Parts = tuple[Path | Arc | Disc, ...]


def _sketch(*parts: Path | Arc | Disc) -> tuple[Shape, ...]:
    return (Symbol("instrument", _AT, parts),)


def _select() -> tuple[Shape, ...]:
    arrow = ((-1.6, 2.6), (-1.6, -1.9), (-0.5, -0.9), (0.3, -2.6), (1.0, -2.3), (0.3, -0.6), (1.8, -0.6))
    return _sketch(Path(Role.POLE, arrow, closed=True))


def _building() -> tuple[Shape, ...]:
    corners = ((-2.6, -1.5), (2.6, -1.8), (2.6, 1.8), (-2.6, 1.6))
    strokes: _Parts = tuple(Path(Role.HATCH, ((x, -1.7), (x + 0.8, -0.9))) for x in (-2.4, -1.0, 0.4, 1.7)) + tuple(
        Path(Role.HATCH, ((x, 0.9), (x + 0.8, 1.7))) for x in (-2.4, -1.0, 0.4, 1.7)
    )
    return _sketch(Path(Role.BUILDING, corners, closed=True), *strokes)


def _trees() -> tuple[Shape, ...]:
    crown = tuple(
        (
            (2.1 + 0.35 * math.cos(8 * math.radians(step))) * math.sin(math.radians(step)),
            (2.1 + 0.35 * math.cos(8 * math.radians(step))) * math.cos(math.radians(step)),
        )
        for step in range(0, 360, 5)
    )
    return (*_sketch(Path(Role.TREES, crown, closed=True)), tree_star(_AT))


def _camera() -> tuple[Shape, ...]:
    body = ((-2.0, -0.9), (0.8, -0.9), (0.8, 0.9), (-2.0, 0.9))
    lens = ((0.8, -0.5), (2.0, -1.1), (2.0, 1.1), (0.8, 0.5))
    return _sketch(Path(Role.CAMERA, body, closed=True), Path(Role.CAMERA_SOLID, lens, closed=True))


def _hop() -> tuple[Shape, ...]:
    return _sketch(
        Path(Role.HOP, ((-2.0, -1.6), (2.0, 1.6))),
        Disc(Role.RADIO_SOLID, (-2.0, -1.6), 0.7),
        Disc(Role.RADIO_SOLID, (2.0, 1.6), 0.7),
    )


def _wire() -> tuple[Shape, ...]:
    return _sketch(Path(Role.WIRE, ((-2.6, -1.6), (-0.6, -1.6), (0.8, 1.6), (2.6, 1.6))))


def _head_end() -> tuple[Shape, ...]:
    frame = ((-2.2, -2.2), (2.2, -2.2), (2.2, 2.2), (-2.2, 2.2))
    half = ((-1.3, -1.3), (1.3, 1.3), (-1.3, 1.3))
    inner = ((-1.3, -1.3), (1.3, -1.3), (1.3, 1.3), (-1.3, 1.3))
    return _sketch(
        Path(Role.HEAD_END, frame, closed=True),
        Path(Role.FINE, inner, closed=True),
        Path(Role.SOLID, half, closed=True),
    )


def _measure() -> tuple[Shape, ...]:
    ticks = tuple(
        Path(Role.FINE, ((x, -0.9), (x, 0.9 if n % 2 == 0 else 0.1))) for n, x in enumerate((-2.6, -1.3, 0.0, 1.3, 2.6))
    )
    return _sketch(Path(Role.FINE, ((-2.6, -0.9), (2.6, -0.9))), *ticks)


def _rectangle() -> tuple[Shape, ...]:
    corners = ((-2.6, -1.6), (2.6, -1.6), (2.6, 1.6), (-2.6, 1.6))
    ends = tuple(Disc(Role.SOLID, at, 0.5) for at in corners[:2])
    return _sketch(Path(Role.BUILDING, corners, closed=True), *ends)


def _traffic() -> tuple[Shape, ...]:
    lane = ((-2.6, -1.6), (2.6, -1.6), (2.6, 1.6), (-2.6, 1.6))
    heads = tuple(
        Path(Role.SOLID, ((side * 1.9, 0.0), (side * 0.9, 0.5), (side * 0.9, -0.5)), closed=True) for side in (-1, 1)
    )
    return _sketch(Path(Role.ENVELOPE, lane, closed=True), Path(Role.FINE, ((-1.4, 0.0), (1.4, 0.0))), *heads)


def _overhead_line() -> tuple[Shape, ...]:
    letter = (
        Path(Role.FINE, ((0.5, 0.9), (-0.5, 0.9), (-0.5, -0.9), (0.5, -0.9))),
        Path(Role.FINE, ((-0.5, 0.0), (0.3, 0.0))),
    )
    ends = tuple(Path(Role.OVERHEAD_LINE, ((side * 2.8, 0.0), (side * 1.2, 0.0))) for side in (-1, 1))
    return _sketch(*ends, *letter)


def _water() -> tuple[Shape, ...]:
    lines = tuple(
        Path(role, tuple((x / 5.0, high + 0.35 * math.sin(x / 5.0 * 2.2)) for x in range(-13, 14)))
        for role, high in ((Role.BANK, 1.4), (Role.LINING, 0.2), (Role.LINING, -1.0))
    )
    return _sketch(*lines)


def _zone() -> tuple[Shape, ...]:
    return _sketch(Path(Role.ZONE, ((-2.4, -1.6), (2.4, -1.9), (2.6, 1.5), (-2.2, 1.9)), closed=True))


def _served_area() -> tuple[Shape, ...]:
    area = Path(Role.VIEW, ((-2.6, -1.6), (2.6, -1.6), (2.6, 1.6), (-2.6, 1.6)), closed=True)
    return _sketch(area, Disc(Role.SOLID, (0.0, 0.0), 0.5))


def _spot_height() -> tuple[Shape, ...]:
    return _sketch(
        Path(Role.FINE, ((-1.4, 0.0), (1.4, 0.0))),
        Path(Role.FINE, ((0.0, -1.4), (0.0, 1.4))),
        Path(Role.FINE, ((1.0, 1.0), (1.8, 1.9), (2.8, 1.9))),
    )


def _room() -> tuple[Shape, ...]:
    outer = Path(Role.LOW_BUILDING, ((-2.8, -1.9), (2.8, -1.9), (2.8, 1.9), (-2.8, 1.9)), closed=True)
    inner = ((-2.3, -1.4), (0.9, -1.4), (0.9, 1.4), (-2.3, 1.4))
    return _sketch(outer, Path(Role.THIN, inner, closed=True), *(Disc(Role.SOLID, at, 0.4) for at in inner))


def _room_rectangle() -> tuple[Shape, ...]:
    outer = Path(Role.LOW_BUILDING, ((-2.8, -1.9), (2.8, -1.9), (2.8, 1.9), (-2.8, 1.9)), closed=True)
    inner = ((-2.3, -1.4), (0.9, -1.4), (0.9, 1.4), (-2.3, 1.4))
    return _sketch(outer, Path(Role.THIN, inner, closed=True), *(Disc(Role.SOLID, at, 0.5) for at in inner[:2]))


def _inner_wall() -> tuple[Shape, ...]:
    outer = Path(Role.THIN, ((-2.8, -1.9), (2.8, -1.9), (2.8, 1.9), (-2.8, 1.9)), closed=True)
    return _sketch(outer, Path(Role.BUILDING, ((-2.8, 0.3), (0.5, 0.3), (0.5, -1.9))))


def _door() -> tuple[Shape, ...]:
    wall = tuple(Path(Role.POLE, ((side * 2.8, -1.4), (side * 1.4, -1.4))) for side in (-1, 1))
    leaf = Path(Role.FINE, ((-1.4, -1.4), (-1.4, 1.4)))
    return _sketch(*wall, leaf, Arc(Role.THIN, (-1.4, -1.4), 2.8, 0.0, 90.0))


def _window() -> tuple[Shape, ...]:
    wall = tuple(Path(Role.POLE, ((side * 2.8, 0.0), (side * 1.7, 0.0))) for side in (-1, 1))
    jambs = tuple(Path(Role.FINE, ((x, -0.8), (x, 0.8))) for x in (-1.7, 1.7))
    panes = tuple(Path(Role.THIN, ((-1.7, y), (1.7, y))) for y in (-0.4, 0.4))
    return _sketch(*wall, *jambs, *panes)


_SYMBOLS = {
    "select": _select(),
    "building": _building(),
    "pole": (pole(_AT),),
    "trees": _trees(),
    "obstacle": (obstacle_cross(_AT),),
    "camera": _camera(),
    "access point": (access_point(_AT),),
    "station": (station(_AT, 60.0),),
    "hop": _hop(),
    "wire": _wire(),
    "head end": _head_end(),
    "landmark": (landmark(_AT),),
    "measure": _measure(),
    "rectangle": _rectangle(),
    "mast": (mast(_AT),),
    "traffic area": _traffic(),
    "overhead line": _overhead_line(),
    "mount": (mount((0.0, -1.6), 0.0),),
    "switch": (device(_AT, 4),),
    "supply": (supply(_AT),),
    "water": _water(),
    "zone": _zone(),
    "note": (survey_note(_AT),),
    "room": _room(),
    "room rectangle": _room_rectangle(),
    "inner wall": _inner_wall(),
    "door": _door(),
    "window": _window(),
    "served area": _served_area(),
    "spot height": _spot_height(),
}
_HINTS = {
    "select": "Pick, move and turn what stands on the plan.",
    "building": "Draw the outline of a building.",
    "pole": "Place a pole.",
    "trees": "Draw the outline of a stand of trees.",
    "obstacle": "Draw something that stands on the ground.",
    "camera": "Place a camera and point it at its target.",
    "access point": "Hang an access point where it is dropped.",
    "station": "Hang a station where it is dropped.",
    "hop": "Drag from a station to an access point.",
    "wire": "Lay a wire from thing to thing.",
    "head end": "Place where the video has to arrive.",
    "landmark": "Mark a conspicuous thing of known position.",
    "measure": "Measure distance, bearing and height along a chain of legs.",
}
_BRUSHES: dict[str, Brushes] = {}


class _Drawn:
    """Paints one symbol into a rectangle."""

    def __init__(self, shapes: tuple[Shape, ...]) -> None:
        self._shapes = shapes

    def __call__(self, painter: QPainter, room: QRectF, palette: Palette) -> None:
        brushes = _BRUSHES.setdefault(palette.name, Brushes(palette))
        frame = Frame(
            0.0, 0.0, 1.0, room.width(), room.height(), room.width() / 6.0, left_px=room.left(), top_px=room.top()
        )
        ShapePainter(painter, brushes).paint(self._shapes, frame)


def symbol_of(tool_name: str) -> Draw | None:
    """Return what draws the symbol of a tool; None where it has none."""
    shapes = _SYMBOLS.get(tool_name)
    return _Drawn(shapes) if shapes is not None else None


def instruments_of_tools() -> tuple[Instrument, ...]:
    """Return the instruments of the column, from top to bottom."""
    return tuple(
        Instrument(tool.name, tool.word, tool.key, _Drawn(_SYMBOLS[tool.name]), _HINTS[tool.name])
        for tool in TOOLS[:IN_COLUMN]
    )
