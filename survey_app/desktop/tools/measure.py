"""Measuring: a chain of legs with distance, bearings and difference of heights; it stays until Esc."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.desktop.tools.chain import Chain, Mark
from survey_app.desktop.tools.figures import length
from survey_app.desktop.tools.placing import Placing
from survey_app.desktop.tools.strokes import along, line
from survey_app.desktop.tools.tool import Pointer
from survey_app.desktop.tools.where import elevation_of, point_of
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Point, Shape
from survey_app.paper import rounding

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["MeasureTool"]


class MeasureTool(Placing):
    """Measures from point to point; each point on a thing takes that thing's height."""

    name = "measure"
    hint = "Press from point to point; Enter ends the chain, Esc clears it."
    locks_angles = True

    def __init__(self, desk: Desk, plan: Plan) -> None:
        super().__init__(desk, plan)
        self.chain = Chain(desk)
        self._ended = False

    def text(self) -> str:
        """Return the chain as text to be copied."""
        return self.chain.text()

    def _under(self, at: Point) -> str | None:
        for hit in self.hits(at):
            if hit.part != "area" and elevation_of(self.desk.placed, self.desk.things.get(hit.id)) is not None:
                return hit.id
        return None

    def hold(self, at: Point, pointer: Pointer) -> Point:
        """A thing of one point that lies under the pointer is measured at that point."""
        thing = self.desk.things.get(self._under(pointer.at) or "")
        if thing is None or hasattr(thing, "outline") or hasattr(thing, "route"):
            return at
        return point_of(self.desk.placed, thing, dict(self.desk.things)) or at

    def take(self, at: Point, pointer: Pointer) -> None:
        """Add a point; after a chain that was ended, begin another."""
        if self._ended:
            self.points, self.chain.marks, self._ended = [], [], False
        if not self.points or at != self.points[-1]:
            self.points.append(at)
            self.chain.marks.append(Mark(at, self._under(at)))

    def enough(self) -> None:
        """The chain is whole: it stays on the plan, the next press begins another."""
        self._ended = True
        self.desk.say(self.chain.total())

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return the leg in hand and the sum."""
        marks = self.chain.marks
        if not marks:
            return self.hint
        if self._ended or at == marks[-1].at:
            return self.chain.total() if len(marks) > 1 else self.hint
        now = self.chain.leg(marks[-1], Mark(at, self._under(at)))
        words = self.chain.words_of(now)
        if len(marks) > 1:
            words += f"; {length(self.site, self.chain.length_m() + now.distance_m)} in all"
        return words

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the chain, and the leg in hand with its words."""
        marks = self.chain.marks
        if self._ended or not marks or at == marks[-1].at:
            return self.chain.shapes()
        now = self.chain.leg(marks[-1], Mark(at, None))
        bearing_deg = now.bearing_true_deg if now.bearing_true_deg is not None else now.bearing_plan_deg
        words = f"{rounding.bearing(bearing_deg)} {length(self.site, now.distance_m)}"
        rubber = (*line(now.start, at, Role.DIMENSION), *along(now.start, at, words))
        return (*self.chain.shapes(), *rubber)

    def key(self, name: str, *, shift: bool = False, control: bool = False, alt: bool = False) -> bool:
        """Backspace takes the last point back, Enter ends the chain."""
        taken = super().key(name, shift=shift, control=control, alt=alt)
        del self.chain.marks[len(self.points) :]
        self.show()
        return taken

    def cancel(self) -> bool:
        """Clear the chain."""
        had = super().cancel()
        if not self.points and self.chain.marks:
            self.chain.marks, self._ended = [], False
            self.show()
        return had

    def end(self) -> None:
        """Another tool is taken up: the chain is cleared."""
        super().end()
        self.chain.marks, self._ended = [], False
