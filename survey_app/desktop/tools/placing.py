"""What all tools that place things share: points by hand or typed, one after the other, until the thing is whole."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from survey_app.desktop.tools.catching import Catcher, Caught
from survey_app.desktop.tools.choice import choice_of
from survey_app.desktop.tools.figures import leg
from survey_app.desktop.tools.steps import Make, plane_point
from survey_app.desktop.tools.strokes import along, line
from survey_app.desktop.tools.tool import NOTHING, Overlay, Pointer, Tool
from survey_app.desktop.tools.writing import Typed, Writing
from survey_app.drawing.plat.view import Hit
from survey_app.drawing.shapes import Point, Shape
from survey_app.errors import SurveyError
from survey_app.ground.straight import distance_of
from survey_app.site.place import GeoPoint, Position
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["Placing"]

_REST_PX = 3.0


class Placing(Tool):
    """A tool that takes points of the plan; subclasses say what becomes of them.

    A subclass overrides `take` (a point was given), `ghost` (what would be there) and, where the number of points is
    open, `enough` (Enter or a second press ends it).
    """

    locks_angles = False
    """Whether Shift keeps to the directions that are liked: along and square to what was drawn, steps of 15 degrees."""

    def __init__(self, desk: Desk, plan: Plan) -> None:
        super().__init__(desk, plan)
        self.points: list[Point] = []
        self.catcher = Catcher(desk, plan)
        self.choice = choice_of(desk)
        self.writing = Writing(desk)
        self._pointer: Pointer | None = None
        self._given: Point | None = None
        self._last: Point | None = None
        self._hits: tuple[tuple[Site, Point, float], tuple[Hit, ...]] | None = None
        self._written: tuple[Point, GeoPoint] | None = None

    # -- what subclasses say

    def take(self, at: Point, pointer: Pointer) -> None:
        """A point was given."""
        self.points.append(at)

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return what would be there if the next point were this one."""
        return self.rubber(at)

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return the line beside the pointer."""
        return leg(self.site, self.points[-1], at) if self.points else self.hint

    def reason(self, at: Point, pointer: Pointer) -> str:
        """Return why nothing can be placed here; empty where it can."""
        return ""

    def to_select(self, added: list[str]) -> list[str]:
        """Return which of the things that were added is selected, as the first one."""
        return added

    def enough(self) -> None:
        """The points that were given are all."""

    def hold(self, at: Point, pointer: Pointer) -> Point:
        """Return where a point goes that was caught; a tool may hold it to a line of its own."""
        return at

    # -- what they use

    @property
    def site(self) -> Site:
        """The site as it is now."""
        return self.desk.site

    @property
    def anchor(self) -> Point | None:
        """The last point."""
        return self.points[-1] if self.points else None

    def rubber(self, at: Point) -> tuple[Shape, ...]:
        """Return the rubber line from the last point with bearing and distance along it."""
        if not self.points:
            return ()
        last = self.points[-1]
        return (*line(last, at), *along(last, at, leg(self.site, last, at)))

    def hits(self, at: Point) -> tuple[Hit, ...]:
        """Return what lies under a point; asked of the plan once while site, point and scale stay."""
        key = (self.site, at, self.plan.px_per_m)
        known = self._hits
        if known is None or known[0][0] is not key[0] or known[0][1:] != key[1:]:
            known = self._hits = (key, self.plan.hits(*at))
        return known[1]

    def position(self, at: Point) -> Position:
        """Return a point as the site keeps it: in degrees where it was typed so, else to the millimetre."""
        written = self._written
        return written[1] if written is not None and written[0] == at else plane_point(*at)

    def commit(self, make: Make) -> bool:
        """Hand an edit in, select what it added, and begin anew; a refusal stays beside the pointer."""
        before = set(self.desk.things)
        done = self.desk.perform(make)
        self.points = []
        self.writing.clear()
        self.overlay = NOTHING
        if done:
            added = [one for one in self.desk.things if one not in before]
            self.desk.select(self.to_select(added)[:1])
        self.show()
        return done

    def catch(self, pointer: Pointer) -> Caught:
        """Return what the pointer catches."""
        previous = self.points[-2] if len(self.points) > 1 else None
        caught = self.catcher.catch(
            pointer.at,
            anchor=self.anchor,
            previous=previous,
            own=self.points,
            lock=pointer.shift and self.locks_angles,
            off=pointer.alt,
        )
        return caught._replace(at=self.hold(caught.at, pointer))

    def towards(self, at: Point) -> Point:
        """Return the point towards which a bare typed length goes; a tool may hold it to a line of its own."""
        return at

    def _read(self) -> Typed | None:
        """Return what is typed so far as a point."""
        if not self.writing.text:
            return None
        towards = self.towards(self.catch(self._pointer).at) if self._pointer is not None else None
        # with nothing begun a bearing counts from what was placed last: pole after pole along a road
        return self.writing.point(self.anchor or self._last, towards)

    def show(self) -> None:
        """Show what would be there with the pointer where it was last, or with what is typed."""
        read = self._read()
        if read is not None:
            self._show_typed(read)
        elif self._pointer is None:
            self.overlay = Overlay(words=self.hint, typed=self.writing.shown)
        else:
            self._show_caught(self._pointer)

    def _show_typed(self, read: Typed) -> None:
        if read.at is None:
            self.overlay = Overlay(self._begun(), words=read.wrong, refused=True, typed=self.writing.shown)
            return
        pointer = self._pointer or Pointer(*read.at, 0.0, 0.0)
        reason = self.reason(read.at, pointer)
        shapes = self.ghost(read.at, pointer)
        self.overlay = Overlay(shapes, words=reason or read.words, refused=bool(reason), typed=self.writing.shown)

    def _begun(self) -> tuple[Shape, ...]:
        """Return what was begun, with its last point where it is."""
        return self.ghost(self.points[-1], self._pointer or Pointer(*self.points[-1], 0.0, 0.0)) if self.points else ()

    def _show_caught(self, pointer: Pointer) -> None:
        caught = self.catch(pointer)
        reason, words = self.reason(caught.at, pointer), self.words(caught.at, pointer)
        if caught.words:
            words = f"{words}, {caught.words}" if words and words != self.hint else caught.words
        shapes = (*self.ghost(caught.at, pointer), *caught.shapes)
        self.overlay = Overlay(shapes, words=reason or words, refused=bool(reason), typed=self.writing.shown)

    # -- the hand

    def begin(self) -> None:
        """The tool is taken up."""
        self.show()

    def press(self, pointer: Pointer) -> None:
        """A point is given by hand."""
        self._pointer = pointer
        self.give(self.catch(pointer).at, pointer)

    def move(self, pointer: Pointer) -> None:
        """Show what would be."""
        self._pointer = pointer
        self.show()

    def double(self, pointer: Pointer) -> None:
        """The second press ends what has an open number of points."""
        self.finish()

    def give(self, at: Point, pointer: Pointer) -> None:
        """Take a point unless there is a reason not to, which is said."""
        reason = self.reason(at, pointer)
        if reason:
            self.desk.say(_sentence(reason))
        else:
            self._given, self._last = pointer.at, at
            self._tried(lambda: self.take(at, pointer))
        self.show()

    def finish(self) -> None:
        """End what has an open number of points."""
        if self.points:
            self._tried(self.enough)
        self.show()

    def _tried(self, work: Callable[[], None]) -> None:
        try:
            work()
        except SurveyError as error:
            self.desk.say(_sentence(error.sentence()))

    # -- the keyboard

    def key(self, name: str, *, shift: bool = False, control: bool = False, alt: bool = False) -> bool:
        """Enter takes what was typed, or ends the thing where the last point is; Backspace takes one back."""
        if name in ("Enter", "Return"):
            return self._enter()
        if name == "Backspace":
            if not self.writing.back():
                if not self.points:
                    return False
                self.points.pop()
            self.show()
            return True
        return False

    def _enter(self) -> bool:
        read = self._read()
        if read is not None:
            self._take_typed(read)
            return True
        if not self.points or not self._rests():
            # what is shown is taken: the plan presses where the pointer or the keyboard's cursor is
            return False
        self.finish()
        return True

    def _take_typed(self, read: Typed) -> None:
        if read.at is None:
            self.desk.say(_sentence(read.wrong))
            self.show()
            return
        self._written = (read.at, read.position) if read.position is not None else None
        self.desk.say(_sentence(read.words))
        self.writing.clear()
        pointer = self._pointer or Pointer(*read.at, 0.0, 0.0)
        self.give(read.at, pointer._replace(x_m=read.at[0], y_m=read.at[1]))
        # the hand rests where it was: the next Enter ends the thing
        self._given = self._pointer.at if self._pointer is not None else None

    def _rests(self) -> bool:
        """Whether Enter ends the thing: a mouse leads, or the keyboard's cursor is where the last point was given."""
        pointer = self._pointer
        return (
            pointer is None
            or not pointer.by_keys
            or distance_of(pointer.at, self.given_at) * self.plan.px_per_m <= _REST_PX
        )

    @property
    def given_at(self) -> Point:
        """Where the pointer was when the last point was given."""
        return self._given or self.points[-1]

    def typed(self, text: str) -> bool:
        """Figures were typed."""
        taken = self.writing.write(text)
        if taken:
            self.show()
        return taken

    def cancel(self) -> bool:
        """Drop what was typed, else the points that were given; with nothing begun go back to selecting."""
        had = bool(self.writing.text or self.points)
        if not had:
            self.plan.take_up("select")
            return True
        if self.writing.text and not self.writing.free:
            self.writing.clear()
        else:
            self.points = []
            self.writing.clear()
        self.show()
        return had

    def end(self) -> None:
        """Another tool is taken up."""
        self.writing.clear()
        self.points = []
        self._pointer = None
        self.overlay = NOTHING


def _sentence(words: str) -> str:
    text = words[:1].upper() + words[1:]
    return text if text.endswith((".", "?")) else f"{text}."
