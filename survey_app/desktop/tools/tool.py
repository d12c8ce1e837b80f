"""What the plan and a tool say to each other. A tool is one gesture: it shows what would be and commits once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from survey_app.drawing.shapes import Point, Shape

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["NOTHING", "Overlay", "Pointer", "Tool"]


class Pointer(NamedTuple):
    """Where the pointer is and which keys are held."""

    x_m: float
    y_m: float
    """On the plane. [m]"""
    x_px: float
    y_px: float
    """In the plan's window, device-independent, y down. [px]"""
    shift: bool = False
    control: bool = False
    alt: bool = False
    by_keys: bool = False
    """Whether it is the keyboard's cursor: Enter then presses there, while beside a mouse it ends what was begun."""

    @property
    def at(self) -> Point:
        """The point of the plane."""
        return self.x_m, self.y_m


@dataclass(frozen=True, slots=True)
class Overlay:
    """What a tool shows over the plan while it works.

    Attributes
    ----------
    shapes : tuple of Shape
        Low to high; metres and millimetres as in every drawing.
    lifted : frozenset of str
        Things that the plan below leaves out, for the tool draws them where they would be (with all their words).
    words : str
        One line beside the pointer: figures of the gesture, or why something is not allowed.
    refused : bool
        Whether `words` say why it is not allowed (pointer with a bar).
    typed : str
        What was typed so far, shown in a frame under the words.
    """

    shapes: tuple[Shape, ...] = ()
    lifted: frozenset[str] = frozenset()
    words: str = ""
    refused: bool = False
    typed: str = ""


NOTHING = Overlay()


class Tool:
    """One tool; subclasses override what they need. Every handler leaves `overlay` as it should now be shown.

    Parameters
    ----------
    desk : Desk
        Document, assessment, selection.
    plan : Plan
        What a tool may ask of the plan it works on: scale, window, what lies where, snapping.
    """

    name = ""
    """As the instruments call it."""
    hint = ""
    """One sentence on what to do next."""

    def __init__(self, desk: Desk, plan: Plan) -> None:
        self.desk = desk
        self.plan = plan
        self.overlay = NOTHING

    def begin(self) -> None:
        """The tool is taken up."""

    def press(self, pointer: Pointer) -> None:
        """The left button goes down."""

    def move(self, pointer: Pointer) -> None:
        """The pointer moves, with or without the button."""

    def release(self, pointer: Pointer) -> None:
        """The left button comes up."""

    def double(self, pointer: Pointer) -> None:
        """The left button was pressed twice."""

    def key(self, name: str, *, shift: bool = False, control: bool = False, alt: bool = False) -> bool:
        """A key that is no shortcut: `Enter`, `Backspace`, `Left`, …; return whether the tool took it."""
        return False

    def typed(self, text: str) -> bool:
        """Characters were typed (figures, `;`, blanks); return whether the tool took them."""
        return False

    def cancel(self) -> bool:
        """Esc: put back what was begun; return whether there was anything to put back."""
        return False

    def end(self) -> None:
        """Another tool is taken up; nothing half done may stay."""
        self.cancel()
        self.overlay = NOTHING
