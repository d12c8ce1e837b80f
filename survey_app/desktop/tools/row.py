"""Duplicating the selection along a line: where the last copy stands, and how many there are."""

from __future__ import annotations

from survey_app.desktop.tools.extent import middle_of
from survey_app.desktop.tools.figures import leg, length
from survey_app.desktop.tools.placing import Placing
from survey_app.desktop.tools.steps import plane_point
from survey_app.desktop.tools.strokes import along, ghost_outline, ghost_point, line, ring
from survey_app.desktop.tools.tool import Pointer
from survey_app.desktop.tools.where import outline_of
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Point, Shape
from survey_app.ground.straight import distance_of
from survey_app.site.edits import duplicate_along

__all__ = ["RowTool"]

_MOST = 1000
_MOST_DRAWN = 200


class RowTool(Placing):
    """Puts copies of the selection at equal distances along a line."""

    name = "row"
    hint = "Type how many copies and press Enter, then press where the last one stands."
    locks_angles = True

    count = 1

    def begin(self) -> None:
        """Take the selection, which stands at the start of the line."""
        start = middle_of(self.desk, self.desk.selection)
        if start is not None:
            self.points = [start]
        super().begin()

    def reason(self, at: Point, pointer: Pointer) -> str:
        """Return why there can be no copies."""
        if not self.points:
            return "nothing is selected that has a place on the plan"
        return "the last copy stands on the first thing: press farther off" if at == self.points[0] else ""

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return how many there are, and how far apart."""
        if not self.points:
            return self.hint
        apart = length(self.site, distance_of(self.points[0], at) / self.count)
        copies = "1 copy" if self.count == 1 else f"{self.count} copies"
        return f"{copies}, {apart} apart, {leg(self.site, self.points[0], at)}"

    def _steps(self, at: Point) -> list[Point]:
        (x, y), n = self.points[0], self.count
        return [((at[0] - x) * k / n, (at[1] - y) * k / n) for k in range(1, n + 1)]

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the line, and where each copy will stand."""
        if not self.points:
            return ()
        start = self.points[0]
        shapes: list[Shape] = [*line(start, at, Role.TRAIL), *along(start, at, leg(self.site, start, at))]
        outlines = [corners for one in self.desk.selection if (corners := outline_of(self.desk.placed, one))]
        for dx, dy in self._steps(at)[:_MOST_DRAWN]:
            shapes.append(ghost_point((start[0] + dx, start[1] + dy)))
            for corners in outlines:
                shapes.extend(ghost_outline((x + dx, y + dy) for x, y in corners))
        return (*shapes, ring(at))

    def key(self, name: str, *, shift: bool = False, control: bool = False, alt: bool = False) -> bool:
        """Enter takes a typed number of copies; the start of the line is not taken back."""
        text = self.writing.text.strip()
        if name in ("Enter", "Return") and text.isdecimal():
            if 1 <= int(text) <= _MOST:
                self.count = int(text)
                self.desk.say(f"{self.count} copies.")
            else:
                self.desk.say(f"One to {_MOST} copies can be made.")
            self.writing.clear()
            self.show()
            return True
        if name == "Backspace" and not self.writing.text:
            return False
        return super().key(name, shift=shift, control=control, alt=alt)

    def take(self, at: Point, pointer: Pointer) -> None:
        """Make the copies."""
        ids, start, count = self.desk.selection, self.points[0], self.count
        before = set(self.desk.things)
        done = self.desk.perform(lambda site: duplicate_along(site, ids, plane_point(*start), plane_point(*at), count))
        if done:
            self.desk.select([*ids, *(one for one in self.desk.things if one not in before)])
            self.points = []
            self.plan.take_up("select")

    def enough(self) -> None:
        """The line ends where it is pressed."""
        self.desk.say(self.hint)

    def cancel(self) -> bool:
        """Drop what was typed; else go back to selecting."""
        if self.writing.text:
            return super().cancel()
        self.plan.take_up("select")
        return True
