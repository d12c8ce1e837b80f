"""What the pointer catches while something is placed or dragged."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING, NamedTuple
from weakref import WeakKeyDictionary

from survey_app.desktop.tools.figures import reads_feet
from survey_app.drawing.shapes import Point, Shape
from survey_app.drawing.snap import Kind, SnapField, field_of, snap
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["REACH_PX", "Catcher", "Caught", "round_step_m"]

REACH_PX = 10.0
"""How near the pointer must be to catch something. [px]"""

_FOOT_M = 0.3048
_LENGTH = re.compile(r", [\d.]+ (m|ft)$")
_FIGURES = frozenset({Kind.ANGLE, Kind.METRES, Kind.GRID})
_STEPS = (0.1, 0.5, 1.0, 5.0, 10.0, 50.0, 100.0, 500.0, 1000.0)
_LEAST_STEP_PX = 8.0
_FIELDS: WeakKeyDictionary[Desk, tuple[Site, SnapField]] = WeakKeyDictionary()


class Caught(NamedTuple):
    """Where a point really goes."""

    at: Point
    words: str = ""
    shapes: tuple[Shape, ...] = ()
    id: str = ""
    """The thing that was caught, or empty."""


def round_step_m(px_per_m: float, *, feet: bool) -> float:
    """Return the step to which lengths are rounded at a scale: whole metres or feet, finer or coarser as one can see.

    Examples
    --------
    >>> round_step_m(10.0, feet=False), round_step_m(2.0, feet=False), round(round_step_m(10.0, feet=True), 4)
    (1.0, 5.0, 1.524)
    """
    unit_m = _FOOT_M if feet else 1.0
    seen = (step * unit_m for step in _STEPS)
    return next((step for step in seen if step * px_per_m >= _LEAST_STEP_PX), _STEPS[-1] * unit_m)


def _field(desk: Desk) -> SnapField:
    """Return what can be caught on the present site, made once for each value of it."""
    known = _FIELDS.get(desk)
    if known is None or known[0].design is not desk.site.design:
        known = _FIELDS[desk] = (desk.site, field_of(desk.site, desk.placed))
    return known[1]


class Catcher:
    """Catches corners, edges, poles, directions and whole metres of the present site.

    Parameters
    ----------
    desk, plan
        As for tools.
    without : collection of str
        Things that are not caught, such as those in hand.
    """

    def __init__(self, desk: Desk, plan: Plan, without: Collection[str] = ()) -> None:
        self._desk, self._plan = desk, plan
        self._without = frozenset(without)
        self._made: tuple[SnapField, SnapField] | None = None

    def catch(
        self,
        at: Point,
        *,
        anchor: Point | None = None,
        previous: Point | None = None,
        own: Sequence[Point] = (),
        lock: bool = False,
        grid: bool = True,
        off: bool = False,
    ) -> Caught:
        """Return what is caught at a point; the point itself where that is nothing.

        Parameters
        ----------
        at : (x, y)
            Where the pointer is. [m]
        anchor, previous : (x, y) or None
            The point drawn last, and the one before.
        own : sequence of (x, y)
            Corners of what is being drawn.
        lock : bool
            Keep to the nearest liked direction from the anchor.
        grid : bool
            Whether whole coordinates are caught where there is no anchor.
        off : bool
            Catch nothing: Alt is held.
        """
        if off:
            return Caught(at)
        scale, feet = self._plan.px_per_m, reads_feet(self._desk.site)
        step_m = round_step_m(scale, feet=feet)
        grid_m = step_m if grid and anchor is None else None
        found = snap(
            self._seen(), *at, REACH_PX / scale, anchor, previous, lock, grid_m, own=own, step_m=step_m, feet=feet
        )
        # bearing, length and coordinates stand beside the pointer already
        words = "" if found.kind in _FIGURES else _LENGTH.sub("", found.words)
        return Caught(found.at, words, found.marks, found.id)

    def _seen(self) -> SnapField:
        whole = _field(self._desk)
        if not self._without:
            return whole
        if self._made is None or self._made[0] is not whole:
            self._made = (whole, whole.without(self._without))
        return self._made[1]
