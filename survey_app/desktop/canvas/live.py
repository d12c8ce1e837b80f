"""What lies over the settled plan and changes with every move: markers, hover signs, pointer, frame."""

from __future__ import annotations

from collections.abc import Callable

from survey_app.desktop.canvas.base import Base
from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.canvas.marks import grips, hovered, marker, pointer, spot
from survey_app.desktop.canvas.neatline import cursor_ticks, neatline
from survey_app.desktop.canvas.north import North, north_and_scale, taken_mm
from survey_app.desktop.canvas.whereabouts import Whereabouts, whereabouts
from survey_app.desktop.desk import Desk
from survey_app.desktop.tools.tool import Overlay
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point, Shape, Strokes, Symbol

__all__ = ["Live"]

_MOST_MARKED, _MOST_REDRAWN = 2000, 40
_REDRAWN = frozenset((Role.HOP, Role.HOP_THIN, Role.HOP_REST, Role.HOP_BEHIND_CUT, Role.HOP_UNCHECKED, Role.WIRE))


class Live:
    """Signs over the plan, kept while nothing changes them.

    Parameters
    ----------
    desk : Desk
        Site, selection, assessment.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.hovered: str | None = None
        """What the pointer has been over for a while."""
        self.spot_m: Point | None = None
        """A point of the plane that another part of the window points at. [m]"""
        self.area: tuple[Shape, ...] = ()
        """Outlines of an area that another part of the window points at."""
        self._seen: dict[str, Point] = {}
        self._seen_base: Base | None = None
        self._marked: tuple[tuple[str, ...], tuple[Whereabouts, ...]] | None = None
        self._redrawn: tuple[tuple[str, ...], Base | None, tuple[Shape, ...]] | None = None
        self._framed: tuple[Frame, North, bool, tuple[Shape, ...]] | None = None

    def forget(self) -> None:
        """The site has changed: nothing is where it was."""
        self._marked = self._redrawn = None
        if self.hovered is not None and self.hovered not in self._desk.things:
            self.hovered = None

    def seen_in(self, base: Base | None) -> None:
        """Take where symbols stand from a plan that was made."""
        if base is not None and base is not self._seen_base:
            self._seen_base = base
            self._seen = {s.subject: s.at for s in base.shapes if isinstance(s, Symbol) and s.subject}
            self._marked = None

    def _selected(self) -> tuple[Whereabouts, ...]:
        chosen = self._desk.selection
        if self._marked is None or self._marked[0] != chosen:
            found = (whereabouts(self._desk, one, self._seen) for one in chosen[:_MOST_MARKED])
            self._marked = (chosen, tuple(one for one in found if one is not None))
        return self._marked[1]

    def markers(self) -> tuple[Shape, ...]:
        """Return the marker strokes of what is selected, on the plane."""
        return tuple(shape for where in self._selected() for shape in marker(where))

    def above(self, draw: Callable[[tuple[str, ...]], tuple[Shape, ...]]) -> tuple[Shape, ...]:
        """Return lines and symbols of what is selected, to be drawn once more over the marker, on the plane.

        Parameters
        ----------
        draw : callable
            Takes ids, returns these things as shapes.
        """
        chosen = self._desk.selection
        if not chosen or len(chosen) > _MOST_REDRAWN:
            return ()
        known = self._redrawn
        if known is None or known[0] != chosen or known[1] is not self._seen_base:
            shapes = tuple(one for one in draw(chosen) if _lies_over(one, chosen))
            known = self._redrawn = (chosen, self._seen_base, shapes)
        return known[2]

    def signs(self) -> tuple[Shape, ...]:
        """Return grips and the hover sign, on the plane."""
        shapes = [*self.area, *(shape for where in self._selected() for shape in grips(where))]
        if self.hovered is not None:
            where = whereabouts(self._desk, self.hovered, self._seen)
            if where is not None:
                shapes.extend(hovered(where))
        if self.spot_m is not None:
            shapes.extend(spot(self.spot_m))
        return tuple(shapes)

    def furniture(self, frame: Frame, screen: Frame) -> tuple[Shape, ...]:
        """Return frame, scale bar and north arrow, in pixels with y turned."""
        north, feet = self._north(), self._desk.site.design.units == "feet"
        known = self._framed
        if known is None or known[:3] != (frame, north, feet):
            shapes = (
                *north_and_scale(frame, north, feet=feet),
                *neatline(frame, screen.width_px, screen.height_px),
            )
            known = self._framed = (frame, north, feet, shapes)
        return known[3]

    def taken_mm(self, frame: Frame) -> tuple[tuple[float, float, float, float], ...]:
        """Return the boxes from the plan's lower left corner that scale bar and north arrow take. [mm]"""
        return taken_mm(frame, self._north(), feet=self._desk.site.design.units == "feet")

    def _north(self) -> North:
        anchor = self._desk.site.design.plane.anchor
        if anchor is None:
            return North()
        assessment = self._desk.assessment
        row = assessment.north if assessment is not None else None
        if row is None:
            return North(anchor.rotation_deg, None, None)
        return North(anchor.rotation_deg, row.declination_deg, row.date)

    def pointer(self, frame: Frame, at_px: tuple[float, float] | None, overlay: Overlay) -> tuple[Shape, ...]:
        """Return the crosshair and what stands beside it, in pixels with y turned."""
        if at_px is None:
            return ()
        x, y = at_px
        inside = (
            frame.left_px <= x <= frame.left_px + frame.width_px and frame.top_px <= y <= frame.top_px + frame.height_px
        )
        if not inside:
            return pointer(frame, x, y, " ")
        return (
            *cursor_ticks(frame, x, y),
            *pointer(frame, x, y, overlay.words, overlay.typed, refused=overlay.refused),
        )


def _lies_over(shape: Shape, chosen: tuple[str, ...]) -> bool:
    """Whether a shape of a selected thing is drawn over the marker: its lines and its own symbol."""
    if isinstance(shape, Strokes | Path):
        return shape.role in _REDRAWN
    return isinstance(shape, Symbol) and shape.subject in chosen
