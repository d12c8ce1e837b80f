"""Copies of things on the clipboard, as text that another window or site can take."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QGuiApplication

from survey_app.desktop.tools.arranging import NOTHING_SELECTED
from survey_app.desktop.tools.spoken import spoken
from survey_app.desktop.tools.steps import plane_point
from survey_app.drawing.shapes import Point
from survey_app.errors import SurveyError
from survey_app.ground.shifting import in_metres
from survey_app.site.edits import copy_things
from survey_app.site.edits import paste as pasted

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk

__all__ = ["copy", "copy_text", "paste"]


def copy(desk: Desk) -> bool:
    """Copy the selection with all that hangs on it; say what was copied, or why it cannot be."""
    if not desk.selection:
        desk.say(NOTHING_SELECTED)
        return False
    anchor = desk.site.design.plane.anchor
    try:
        # without an anchor positions in degrees stay as they are
        text = copy_things(desk.site, desk.selection, convert=in_metres(anchor) if anchor is not None else None)
    except SurveyError as error:
        desk.say(error.sentence())
        return False
    copy_text(text)
    desk.say(f"{spoken(desk.site, desk.selection)} copied.")
    return True


def copy_text(text: str) -> None:
    """Put words on the clipboard."""
    QGuiApplication.clipboard().setText(text)


def paste(desk: Desk, at: Point) -> bool:
    """Paste things from the clipboard with their middle at a point, and select them."""
    text = QGuiApplication.clipboard().text()
    if not text.strip():
        desk.say("The clipboard holds nothing to paste.")
        return False
    before = set(desk.things)
    if not desk.perform(lambda site: pasted(site, text, at=plane_point(*at))):
        return False
    desk.select(one for one in desk.things if one not in before)
    return True
