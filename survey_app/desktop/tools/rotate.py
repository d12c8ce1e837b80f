"""Rotating the selection: about its middle, or about a point that is pressed with Alt."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.desktop.tools.catching import Catcher
from survey_app.desktop.tools.drags.moving import movable
from survey_app.desktop.tools.drags.turning import TurnDrag, pivot_mark
from survey_app.desktop.tools.extent import middle_of
from survey_app.desktop.tools.tool import NOTHING, Overlay, Pointer, Tool
from survey_app.desktop.tools.writing import Writing
from survey_app.drawing.shapes import Point
from survey_app.errors import SurveyError

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["RotateTool"]


class RotateTool(Tool):
    """Press, turn, press again; or type the angle."""

    name = "rotate"
    hint = "Press and turn, or type an angle; Alt and a press set the point about which it turns."

    def __init__(self, desk: Desk, plan: Plan) -> None:
        super().__init__(desk, plan)
        self.pivot: Point | None = None
        self._drag: TurnDrag | None = None
        self._writing = Writing(desk)
        self._wrong = ""

    def begin(self) -> None:
        """Take the middle of the selection as the pivot."""
        self.pivot = middle_of(self.desk, self.desk.selection)
        self._show()

    def _begin(self, start: Point) -> None:
        if self.pivot is None or not movable(dict(self.desk.things), self.desk.selection):
            self.desk.say("Nothing that can be turned is selected.")
            return
        self._drag = TurnDrag(self.desk, self.plan, self.desk.selection, start, self.pivot)
        self._drag.aim(Pointer(*start, 0.0, 0.0))

    def press(self, pointer: Pointer) -> None:
        """Begin to turn, or finish; with Alt set the pivot."""
        if self._drag is not None:
            self._drag.aim(pointer)
            self._finish()
        elif pointer.alt:
            self.pivot = Catcher(self.desk, self.plan).catch(pointer.at).at
        else:
            self._begin(pointer.at)
        self._show()

    def move(self, pointer: Pointer) -> None:
        """Turn to the pointer."""
        if self._drag is not None and not self._writing.text:
            self._drag.aim(pointer)
        self._show()

    def release(self, pointer: Pointer) -> None:
        """A drag ends where the button comes up; a press alone only begins."""
        drag = self._drag
        if drag is not None and abs(drag.angle_deg) > 0.05 and not self._writing.text:
            drag.aim(pointer)
            self._finish()
        self._show()

    def _finish(self) -> None:
        drag, self._drag = self._drag, None
        self._writing.clear()
        if drag is not None and drag.finish():
            self.plan.take_up("select")

    def typed(self, text: str) -> bool:
        """An angle is typed."""
        if not self._writing.write(text):
            return False
        if self._drag is None and self.pivot is not None:
            self._begin((self.pivot[0], self.pivot[1] + 40.0 / self.plan.px_per_m))
        self._typed_figures()
        return True

    def _typed_figures(self) -> None:
        self._wrong = ""
        if self._drag is not None and self._writing.text:
            self._wrong = self._drag.set_typed(self._writing.text)
        self._show()

    def key(self, name: str, *, shift: bool = False, control: bool = False, alt: bool = False) -> bool:
        """Enter takes the typed angle, Backspace a character of it."""
        if name in ("Enter", "Return") and self._writing.text:
            if self._wrong or self._drag is None:
                self.desk.say(f"{self._wrong[:1].upper()}{self._wrong[1:]}." if self._wrong else "Nothing to turn.")
            else:
                self._finish()
            self._show()
            return True
        if name == "Backspace" and self._writing.back():
            self._typed_figures()
            return True
        return False

    def cancel(self) -> bool:
        """Put back what was turned; else go back to selecting."""
        had = self._drag is not None or bool(self._writing.text)
        self._drag, self._wrong = None, ""
        self._writing.clear()
        self._show()
        if not had:
            self.plan.take_up("select")
        return True

    def end(self) -> None:
        """Another tool is taken up."""
        self._drag = None
        self._writing.clear()
        self.overlay = NOTHING

    def _show(self) -> None:
        if self._drag is None:
            marks = (pivot_mark(self.pivot),) if self.pivot is not None else ()
            self.overlay = Overlay(marks, words=self.hint, typed=self._writing.text)
            return
        try:
            shown = self._drag.overlay()
        except SurveyError as error:
            self._drag = None
            self.desk.say(error.sentence())
            return
        words, refused = (self._wrong, True) if self._wrong else (shown.words, shown.refused)
        self.overlay = Overlay(shown.shapes, shown.lifted, words, refused=refused, typed=self._writing.text)
