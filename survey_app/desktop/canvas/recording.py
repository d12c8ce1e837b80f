"""What would be on the screen, noted instead of painted: where each shape lies in pixels and in metres."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from survey_app.desktop.canvas.frame import Frame
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Disc, Path, Point, Shape, Strokes, Symbol, Words

__all__ = ["Noted", "Recording"]


class Noted(NamedTuple):
    """One shape that would be seen.

    Attributes
    ----------
    kind : str
        "path", "strokes", "arc", "disc", "words" or "symbol".
    role : Role or None
        None for a symbol, whose parts have roles of their own.
    text : str
        Letters of words, name of a symbol, else empty.
    subject : str
        Id of the thing that a symbol stands for, else empty.
    points_px, points_m : tuple of (x, y)
        Anchor, centre or corners: on the screen, and on the plane (of furniture, on the screen too).
    shape : Shape
        The shape itself.
    """

    kind: str
    role: Role | None
    text: str
    subject: str
    points_px: tuple[Point, ...]
    points_m: tuple[Point, ...]
    shape: Shape


class Recording:
    """Takes shapes as a painter does."""

    def __init__(self) -> None:
        self.noted: list[Noted] = []

    def paint(self, shapes: Iterable[Shape], frame: Frame) -> None:
        """Note shapes where a frame says, low to high."""
        for shape in shapes:
            kind, role, text, subject, points = _described(shape)
            self.noted.append(Noted(kind, role, text, subject, tuple(frame.px(*p) for p in points), points, shape))

    def words(self) -> tuple[str, ...]:
        """Return all letters, in the order in which they would be drawn."""
        return tuple(one.text for one in self.noted if one.kind == "words")

    def of_role(self, role: Role) -> tuple[Noted, ...]:
        """Return all that has a role."""
        return tuple(one for one in self.noted if one.role is role)

    def symbols(self, name: str | None = None) -> tuple[Noted, ...]:
        """Return the symbols, all or of one name."""
        return tuple(one for one in self.noted if one.kind == "symbol" and name in (None, one.text))


def _described(shape: Shape) -> tuple[str, Role | None, str, str, tuple[Point, ...]]:
    if isinstance(shape, Words):
        return "words", shape.role, shape.text, "", (shape.at,)
    if isinstance(shape, Symbol):
        return "symbol", None, shape.name, shape.subject, (shape.at,)
    if isinstance(shape, Strokes):
        return "strokes", shape.role, "", "", tuple((float(x), float(y)) for x, y in shape.points)
    if isinstance(shape, Path):
        return "path", shape.role, "", "", shape.points
    if isinstance(shape, Arc):
        return "arc", shape.role, "", "", (shape.centre,)
    assert isinstance(shape, Disc)
    return "disc", shape.role, "", "", (shape.centre,)
