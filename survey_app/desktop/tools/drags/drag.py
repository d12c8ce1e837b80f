"""The common part of all drags: an edit tried frame by frame on the part in hand, done once on the whole site."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.desktop.tools.catching import Catcher
from survey_app.desktop.tools.preview import Preview
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
        self.desk, self.plan = desk, plan
        self.start = start
        self.preview = Preview(desk, plan, ids)
        self.catcher = Catcher(desk, plan)
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
        """Return the edit as it stands; made of the part in hand for the preview and of the whole site at the end."""
        raise NotImplementedError

    # -- what the tool calls

    def overlay(self) -> Overlay:
        """Return what is shown now."""
        try:
            edited = self.make(self.preview.site).after
        except SurveyError as error:
            shapes = (*self.preview.ghost, *self.preview.shapes(self.preview.site), *self.marks)
            return Overlay(shapes, self.preview.lifted, error.sentence().rstrip("."), refused=True)
        shapes = (*self.preview.ghost, *self.preview.shapes(edited), *self.marks)
        return Overlay(shapes, self.preview.lifted, self.words)

    def finish(self) -> bool:
        """Do it on the whole site, as one step."""
        return self.desk.perform(lambda site: self.make(site)._replace(merge_key=""))
