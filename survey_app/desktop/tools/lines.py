"""Things drawn by their run: overhead lines, and what shares their gesture."""

from __future__ import annotations

import itertools

from survey_app.desktop.tools.figures import leg, length
from survey_app.desktop.tools.named_things import called
from survey_app.desktop.tools.outline import in_progress
from survey_app.desktop.tools.placing import Placing
from survey_app.desktop.tools.steps import made, plane_point
from survey_app.desktop.tools.strokes import grip
from survey_app.desktop.tools.tool import Pointer
from survey_app.drawing.shapes import Point, Shape
from survey_app.errors import UsageError
from survey_app.ground.straight import distance_of
from survey_app.site.edits import Edit, add_structure
from survey_app.site.site import Site
from survey_app.site.structure import OverheadLine

__all__ = ["OverheadLineTool", "RunTool", "run_m"]


def run_m(points: tuple[Point, ...]) -> float:
    """Return the length of a run. [m]"""
    return sum(distance_of(a, b) for a, b in itertools.pairwise(points))


class RunTool(Placing):
    """Draws one kind of thing by the points of its run; subclasses say what becomes of them."""

    locks_angles = True
    word = "line"

    def made_of(self, site: Site, points: tuple[Point, ...]) -> Edit:
        """Return the edit that adds the thing."""
        raise NotImplementedError

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the run so far with the length of each span."""
        corners = (*self.points, at)
        shapes = in_progress(self.site, corners, self.plan.px_per_m, closed=False)
        return (*shapes, *(grip(one) for one in self.points))

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return the span in hand and the whole run."""
        if not self.points:
            return self.hint
        whole = length(self.site, run_m((*self.points, at)))
        return f"{leg(self.site, self.points[-1], at)}, {whole} in all"

    def take(self, at: Point, pointer: Pointer) -> None:
        """Add a point."""
        if not self.points or at != self.points[-1]:
            self.points.append(at)

    def enough(self) -> None:
        """Make the thing of the points that were given."""
        if len(self.points) < 2:
            raise UsageError(f"a {self.word} needs two points", remedy="give another one, or leave with Esc")
        points = tuple(self.points)
        self.commit(lambda site: self.made_of(site, points))


class OverheadLineTool(RunTool):
    """Draws overhead lines as they were recorded on the walk."""

    name = "overhead line"
    hint = "Press along the line; Enter ends it."

    def made_of(self, site: Site, points: tuple[Point, ...]) -> Edit:
        """Return the new line."""
        new_id, name = called(site, "OL", "Overhead line")
        route = tuple(plane_point(*point) for point in points)
        thing = made(OverheadLine, id=new_id, kind="overhead_line", name=name, status="existing", route=route)
        return add_structure(site, thing)._replace(label=f"Add {name}")
