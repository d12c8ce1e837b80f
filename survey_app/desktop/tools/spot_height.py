"""Spot heights: first the spot, then its height."""

from __future__ import annotations

from survey_app.desktop.desk import Desk
from survey_app.desktop.tools.figures import reads_feet
from survey_app.desktop.tools.placing import Placing
from survey_app.desktop.tools.plan import Plan
from survey_app.desktop.tools.strokes import beside
from survey_app.desktop.tools.tool import Pointer
from survey_app.desktop.tools.writing import number_of
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point, Shape, Symbol
from survey_app.errors import UsageError
from survey_app.site.edits import add_spot_heights
from survey_app.site.edits.spots import LEAST_SPOTS
from survey_app.site.relief import SpotHeight

__all__ = ["SpotHeightTool"]

_FOOT_M = 0.3048
_ARMS = (Path(Role.SPOT, ((-1.0, 0.0), (1.0, 0.0))), Path(Role.SPOT, ((0.0, -1.0), (0.0, 1.0))))
_NO_FIGURE = "type the height of the ground here"


class SpotHeightTool(Placing):
    """Puts spot heights on the plan; a site without a ground of its own waits for three of them."""

    name = "spot height"
    hint = "Press where the height of the ground is known, then type it and press Enter."

    def __init__(self, desk: Desk, plan: Plan) -> None:
        super().__init__(desk, plan)
        self._waiting: list[tuple[Point, SpotHeight]] = []

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the cross with the figure so far, and the spots that wait for others."""
        spot = self.points[0] if self.points else at
        shapes: list[Shape] = [Symbol("spot height", place, _ARMS) for place, _ in self._waiting]
        for place, held in self._waiting:
            shapes += beside(place, f"{held.height_m:.1f}", role=Role.WORDS_SOFT)
        words = beside(spot, self.writing.text, role=Role.WORDS_SOFT) if self.points else ()
        return (*shapes, Symbol("spot height", spot, _ARMS), *words)

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return what is to be done next."""
        if self.points:
            unit = "feet" if reads_feet(self.site) else "metres"
            return f"Type its height over the site datum in {unit}, then Enter."
        return f"{self._missing} more make a ground." if self._waiting else self.hint

    @property
    def _missing(self) -> int:
        relief = self.site.design.relief
        return 0 if relief is not None else LEAST_SPOTS - len(self._waiting)

    def take(self, at: Point, pointer: Pointer) -> None:
        """Take the spot; the height follows. A second press sets it."""
        if self.points:
            self.enough()
        else:
            self.points = [at]
            self.writing.free = True

    def enough(self) -> None:
        """Set the height, or let it wait for others."""
        at, figure = self.points[0], _figure(self.writing.text)
        if figure is None:
            raise UsageError(_NO_FIGURE, remedy="a figure, or leave with Esc")
        height_m = figure * (_FOOT_M if reads_feet(self.site) else 1.0)
        if not -500.0 <= height_m <= 9000.0:
            raise UsageError("no ground is so high or so low", remedy="type another height")
        new = (at, SpotHeight(position=self.position(at), height_m=round(height_m, 3)))
        if self._missing > 1:
            self._waiting.append(new)
            self.points = []
            self.writing.clear()
            self.show()
            return
        spots = [spot for _, spot in (*self._waiting, new)]
        if self.commit(lambda site: add_spot_heights(site, spots)):
            self._waiting = []

    def reason(self, at: Point, pointer: Pointer) -> str:
        """Return why it cannot be set down yet."""
        typed = self.writing.text.strip()
        return _NO_FIGURE if self.points and typed and _figure(typed) is None else ""


def _figure(text: str) -> float | None:
    return number_of(text.replace(",", "."))
