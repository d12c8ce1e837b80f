"""The common part of all drags: an edit tried frame by frame, shown for what is in hand, done once at the end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.desktop.tools.catching import Catcher
from survey_app.desktop.tools.tool import Overlay, Pointer
from survey_app.drawing.shapes import Point, Shape
from survey_app.errors import SurveyError
from survey_app.site.edits import Edit
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["Drag"]


class Drag:
    """One gesture from press to release.

    Parameters
    ----------
    desk, plan
        As for tools.
    ids : tuple of str
        The things in hand.
    start : (x, y)
        Where the button went down. [m]
    """

    def __init__(self, desk: Desk, plan: Plan, ids: tuple[str, ...], start: Point) -> None:
        # what it works out with is read when something is first dragged, not before the window is seen
        from survey_app.desktop.tools.preview import Preview

        self.desk, self.plan = desk, plan
        self.start = start
        self.preview: Preview = Preview(desk, plan, ids)
        self.catcher = Catcher(desk, plan, self.preview.lifted)
        self.marks: tuple[Shape, ...] = ()
        """What shows what was caught, where it came from and went to."""
        self.words = ""

    # -- what subclasses say

    def aim(self, pointer: Pointer) -> None:
        """Take the pointer's place: set what `make` uses, `marks` and `words`."""

    def set_typed(self, text: str) -> str:
        """Take typed figures in place of the pointer; return why they mean nothing, or an empty line."""
        return "figures mean nothing here"

    def make(self, site: Site) -> Edit:
        """Return the edit as it stands."""
        raise NotImplementedError

    def reached(self) -> frozenset[str]:
        """Return the things that those in hand have come to hang on."""
        return frozenset()

    def live_marks(self) -> tuple[Shape, ...]:
        """Return what is made of the live numbers, after these were found."""
        return ()

    # -- what the tool calls

    def overlay(self) -> Overlay:
        """Return what is shown now."""
        wrong = ""
        try:
            edited = self.make(self.desk.site).after
        except SurveyError as error:
            edited, wrong = self.desk.site, error.sentence().rstrip(".")
        shapes = self.preview.shapes(edited, self.reached())
        shapes = (*self.preview.ghost, *shapes, *self.marks, *self.live_marks())
        return Overlay(shapes, self.preview.lifted, wrong or self.words, refused=bool(wrong))

    def finish(self) -> bool:
        """Do it on the whole site, as one step."""
        return self.desk.perform(lambda site: self.make(site)._replace(merge_key=""))
