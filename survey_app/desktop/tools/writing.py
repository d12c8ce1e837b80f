"""Figures that are typed while something is placed, and what is understood of them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from survey_app.desktop.tools.figures import leg
from survey_app.desktop.tools.strokes import polar
from survey_app.drawing.shapes import Point

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk

__all__ = ["Typed", "Writing", "number_of"]

_BEGIN = frozenset("0123456789.,-−+@=\"'")
_MOST = 120


class Typed(NamedTuple):
    """What typed figures mean: a point, or why they mean none."""

    at: Point | None
    words: str = ""
    wrong: str = ""


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
        """Add characters; return whether they were taken: a line begins with a figure or a sign."""
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

    def point(self, anchor: Point | None, before: Point | None = None) -> Typed | None:
        """Return what was typed as a point; None where nothing was.

        Parameters
        ----------
        anchor : (x, y) or None
            The last point, from which a bearing and a distance count.
        before : (x, y) or None
            The point before that.
        """
        if self.free or not self.text.strip():
            return None
        try:
            bearing_deg, distance_m = (float(part.replace(",", ".")) for part in self.text.replace(";", " ").split())
        except ValueError:
            return Typed(None, wrong="two figures are needed")
        if anchor is None or not math.isfinite(bearing_deg + distance_m):
            return Typed(None, wrong="there is no point yet to count from")
        at = polar(anchor, bearing_deg, distance_m)
        return Typed(at, leg(self._desk.site, anchor, at))


def number_of(text: str) -> float | None:
    """Return a single typed figure; None where it is none.

    Examples
    --------
    >>> number_of(" 162,5 "), number_of("12 m")
    (162.5, None)
    """
    try:
        value = float(text.strip().replace(",", ".").replace("−", "-"))
    except ValueError:
        return None
    return value if math.isfinite(value) else None
