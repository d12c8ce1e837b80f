"""Figures that are typed while something is placed, and what is understood of them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from survey_app.desktop.tools.figures import north_deg
from survey_app.desktop.tools.where import point_of
from survey_app.drawing.shapes import Point
from survey_app.errors import SurveyError
from survey_app.ground import typed as grammar
from survey_app.site.place import GeoPoint

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk

__all__ = ["Typed", "Writing", "number_of"]

OPENING = "@"
"""Opens the line when a thing's id comes first: a letter alone would be a tool's key."""
_BEGIN = frozenset(f"0123456789.-−+{OPENING}")
_MOST = 120


class Typed(NamedTuple):
    """What typed figures mean: a point, or why they mean none."""

    at: Point | None
    words: str = ""
    wrong: str = ""
    position: GeoPoint | None = None
    """The point as it was written, where that was latitude and longitude."""


class Writing:
    """One line of figures in progress."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.text = ""
        self.free = False
        """Whether free words are written: those may begin with anything and mean no point."""

    @property
    def shown(self) -> str:
        """The line as it is shown: free words have a mark where the next letter goes, also before the first."""
        return f"{self.text}_" if self.free else self.text

    def write(self, text: str) -> bool:
        """Add characters; return whether they were taken: a line begins with a figure, a sign or `@`."""
        clean = "".join(letter for letter in text if letter.isprintable())
        if not clean or (not self.text and not self.free and clean[0] not in _BEGIN):
            return False
        self.text = (self.text + clean)[:_MOST]
        return True

    def back(self) -> bool:
        """Take the last character back; return whether there was one."""
        had = bool(self.text)
        self.text = self.text[:-1]
        return had

    def clear(self) -> None:
        """Forget what was typed."""
        self.text = ""
        self.free = False

    def point(self, anchor: Point | None, pointer: Point | None = None) -> Typed | None:
        """Return what was typed as a point; None where nothing was.

        Parameters
        ----------
        anchor : (x, y) or None
            The last point, from which bearings and distances count. [m]
        pointer : (x, y) or None
            Where the pointer is: a bare length goes that way. [m]
        """
        text = self.text.strip().removeprefix(OPENING).strip()
        if self.free or not self.text.strip():
            return None
        desk = self._desk
        things = desk.things
        try:
            read = grammar.parse_typed(text, units=desk.site.design.units, things=things.keys())
            named = point_of(desk.placed, things.get(read.thing), dict(things)) if read.thing else None
            origin = named or anchor
            at = grammar.point_of(
                read,
                last=anchor,
                pointer=pointer,
                points={read.thing: named} if named is not None else None,
                plane=desk.placed.plane,
                north_deg=north_deg(desk.site, origin) if origin is not None else 0.0,
            )
        except SurveyError as error:
            return Typed(None, wrong=error.sentence().rstrip("."))
        place = read.position
        written = GeoPoint(lat_deg=place.lat_deg, lon_deg=place.lon_deg) if place is not None else None
        return Typed(at, read.words, position=written)


def number_of(text: str) -> float | None:
    """Return a single typed figure; None where it is none.

    Examples
    --------
    >>> number_of(" 162.5 "), number_of("12 m")
    (162.5, None)
    """
    try:
        value = float(text.strip().replace("−", "-"))
    except ValueError:
        return None
    return value if math.isfinite(value) else None
