"""Placing a plan picture: a spot of the picture, then where it belongs on the plan; two or three such pairs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.desktop.tools.catching import Caught
from survey_app.desktop.tools.figures import length
from survey_app.desktop.tools.placing import Placing
from survey_app.desktop.tools.steps import made, plane_point
from survey_app.desktop.tools.strokes import beside, grip, line
from survey_app.desktop.tools.tool import Pointer
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point, Shape
from survey_app.errors import SurveyError, UsageError
from survey_app.ground.fit import PictureFit, fit_picture
from survey_app.paper import rounding
from survey_app.site.edits import Edit, change
from survey_app.site.edits.sharing import rebuilt
from survey_app.site.plan_picture import ControlPoint, PlanPicture
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["PictureTool"]

_NONE = "no plan picture is selected: add one first"


class PictureTool(Placing):
    """Lays a plan picture where its known points belong."""

    name = "picture"
    hint = "Press a known spot of the picture, then where it belongs; two pairs turn and scale, Enter sets them."

    def __init__(self, desk: Desk, plan: Plan) -> None:
        super().__init__(desk, plan)
        self.pairs: list[tuple[Point, Point]] = []
        """Where a spot of the picture lies now, and where it belongs. [m]"""

    @property
    def picture(self) -> PlanPicture | None:
        """The picture in hand: the selected one, or the only one."""
        selected = [self.desk.things.get(one) for one in self.desk.selection]
        pictures = [one for one in selected if isinstance(one, PlanPicture)] or list(self.site.design.plan_pictures)
        return pictures[0] if len(pictures) == 1 else None

    def _fit(self, picture: PlanPicture) -> PictureFit:
        return fit_picture(picture, self.site.design.plane.anchor)

    def catch(self, pointer: Pointer) -> Caught:
        """A spot of the picture is where it is; its place catches what is drawn, from no direction."""
        if not self.points:
            return Caught(pointer.at)
        return self.catcher.catch(pointer.at, off=pointer.alt)

    def reason(self, at: Point, pointer: Pointer) -> str:
        """Return why no point can be taken."""
        picture = self.picture
        if picture is None:
            return _NONE
        if self.points:
            return ""
        x_px, y_px = self._pixel(picture, at)
        inside = 0.0 <= x_px <= picture.width_px and 0.0 <= y_px <= picture.height_px
        return "" if inside else "that is beside the picture: press a spot that can be seen in it"

    def _pixel(self, picture: PlanPicture, at: Point) -> Point:
        try:
            x_px, y_px = self._fit(picture).to_picture(*at)
        except SurveyError:
            return -1.0, -1.0
        return float(x_px), float(y_px)

    def take(self, at: Point, pointer: Pointer) -> None:
        """Take the spot of the picture, then its place; with three pairs the picture is laid."""
        if not self.points:
            self.points = [at]
            return
        self.pairs.append((self.points[0], at))
        self.points = []
        if len(self.pairs) == 3:
            self._lay()

    def key(self, name: str, *, shift: bool = False, control: bool = False, alt: bool = False) -> bool:
        """Enter lays the picture by the pairs so far; Backspace takes the last pair back."""
        if name in ("Enter", "Return") and not self.writing.text and not self.points and self.pairs:
            self._tried(self._lay)
            self.show()
            return True
        if name == "Backspace" and not self.writing.text and not self.points and self.pairs:
            self.pairs.pop()
            self.show()
            return True
        return super().key(name, shift=shift, control=control, alt=alt)

    def enough(self) -> None:
        """A spot alone says nothing."""
        raise UsageError("where that spot belongs is not known yet", remedy="press there, or type its position")

    def _laid(self, pairs: list[tuple[Point, Point]]) -> PlanPicture:
        """Return the picture as it would lie with these pairs; one pair alone moves it as it is."""
        picture = self.picture
        if picture is None:
            raise UsageError(_NONE)
        fit = self._fit(picture)
        if len(pairs) == 1:
            (ax, ay), (bx, by) = pairs[0]
            old = [fit.to_plan(point.x_px, point.y_px) for point in picture.control_points]
            places = [(float(x) + bx - ax, float(y) + by - ay) for x, y in old]
            pixels = [(point.x_px, point.y_px) for point in picture.control_points]
        else:
            places = [there for _, there in pairs]
            pixels = [self._pixel(picture, here) for here, _ in pairs]
        rows = tuple(
            made(ControlPoint, x_px=round(x_px, 2), y_px=round(y_px, 2), position=plane_point(*place))
            for (x_px, y_px), place in zip(pixels, places, strict=True)
        )
        kind = picture.fit if len(rows) > 2 else "similarity"
        laid = rebuilt(picture, picture.title, control_points=rows, fit=kind)
        self._fit(laid)
        return laid

    def _lay(self) -> None:
        pairs = list(self.pairs)
        laid = self._laid(pairs)
        done, by = ("Lay", f" by {len(pairs)} points") if len(pairs) > 1 else ("Move", "")
        rest = self._fit(laid).rms_m

        def make(site: Site) -> Edit:
            edit = change(site, laid.id, control_points=laid.control_points, fit=laid.fit)
            return edit._replace(label=f"{done} plan picture {laid.title}{by}", merge_key="")

        self.pairs = []
        if self.commit(make):
            self.desk.select((laid.id,))
            count = f"{len(pairs)} points" if len(pairs) > 1 else "one point"
            self.desk.say(f"The picture lies by {count}, {length(self.site, rest, 2)} is left over.")

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return what comes next, and what the pairs leave over."""
        if not self.points:
            if not self.pairs:
                return self.hint
            sets = "moves the picture" if len(self.pairs) == 1 else "lays the picture"
            return f"press the next known spot; Enter {sets} by {len(self.pairs)}"
        try:
            fit = self._fit(self._laid([*self.pairs, (self.points[0], at)]))
        except SurveyError as error:
            return error.what
        words = "where that spot belongs"
        if self.pairs:
            scale = rounding.number(fit.scale_m_per_px * 1000.0, 1)
            words += f"; {scale} mm for a pixel, turned {rounding.bearing(fit.turn_deg)}"
        return f"{words}, {length(self.site, fit.rms_m, 2)} left over" if len(self.pairs) > 1 else words

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the pairs, and the frame of the picture as it would lie."""
        shapes: list[Shape] = []
        for number, (here, there) in enumerate(self.pairs, 1):
            shapes += [*line(here, there, Role.TRAIL), grip(there), *beside(there, str(number), bold=True)]
        pairs = [*self.pairs, (self.points[0], at)] if self.points else self.pairs
        if self.points:
            shapes += [*line(self.points[0], at, Role.TRAIL), grip(self.points[0])]
        try:
            laid = self._laid(pairs) if pairs else self.picture
            frame = self._frame(laid) if laid is not None else ()
        except SurveyError:
            frame = ()
        return (*shapes, *frame)

    def _frame(self, laid: PlanPicture) -> tuple[Shape, ...]:
        corners = self._fit(laid).corners_m(laid.width_px, laid.height_px)
        return (Path(Role.GHOST, tuple((float(x), float(y)) for x, y in corners), closed=True),)

    def cancel(self) -> bool:
        """Drop the spot in hand, else all pairs."""
        if not self.points and not self.writing.text and self.pairs:
            self.pairs = []
            self.show()
            return True
        return super().cancel()

    def end(self) -> None:
        """Another tool is taken up."""
        self.pairs = []
        super().end()
