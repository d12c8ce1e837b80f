"""Doors and windows: dropped on an inner wall, or on the outline of a building."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar, Literal

import numpy as np

from survey_app.desktop.tools.catching import Caught, round_step_m
from survey_app.desktop.tools.figures import length, reads_feet
from survey_app.desktop.tools.indoors import WallUnder, wall_at
from survey_app.desktop.tools.named_things import called
from survey_app.desktop.tools.placing import Placing
from survey_app.desktop.tools.steps import made
from survey_app.desktop.tools.strokes import along
from survey_app.desktop.tools.tool import Overlay, Pointer
from survey_app.desktop.tools.writing import Typed
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point, Shape
from survey_app.errors import SurveyError
from survey_app.ground import typed as grammar
from survey_app.ground.along_run import run_length_m, stretch_of
from survey_app.site.edits import Edit, add_opening, add_outer_opening
from survey_app.site.site import Site
from survey_app.site.surroundings import Opening

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["DoorTool", "WindowTool", "along_words", "held_along", "opening_marks"]

REACH_PX = 16.0
"""How near a wall must be. [px]"""
_ROUND_PX = 4.0
_NOWHERE = "no wall here: put it on an inner wall or on the outline of a building"


def held_along(desk: Desk, plan: Plan, place: WallUnder, width_m: float, *, free: bool = False) -> float:
    """Return where along its wall the middle of an opening goes: all of it on it, a jamb on a round figure. [m]"""
    run_m = run_length_m(np.array(place.run))
    if width_m >= run_m:
        return run_m / 2.0
    from_m = min(max(place.along_m - width_m / 2.0, 0.0), run_m - width_m)
    if not free:
        step_m = round_step_m(plan.px_per_m, feet=reads_feet(desk.site))
        whole_m = round(from_m / step_m) * step_m
        if abs(whole_m - from_m) * plan.px_per_m <= _ROUND_PX and whole_m <= run_m - width_m:
            from_m = whole_m
    return round(from_m + width_m / 2.0, 4)


def along_words(site: Site, place: WallUnder, along_m: float, width_m: float) -> str:
    """Return how far both jambs are from the ends of the wall, and the width."""
    run_m = run_length_m(np.array(place.run))
    before, behind = max(along_m - width_m / 2.0, 0.0), max(run_m - along_m - width_m / 2.0, 0.0)
    return f"{length(site, before, 2)}, {length(site, width_m, 2)} wide, {length(site, behind, 2)}"


def opening_marks(site: Site, place: WallUnder, along_m: float, width_m: float) -> tuple[Shape, ...]:
    """Return an opening in hand: a bar on its wall with the lengths before and behind it."""
    run = np.array(place.run)
    parts = (
        stretch_of(run, 0.0, along_m - width_m / 2.0),
        stretch_of(run, along_m - width_m / 2.0, along_m + width_m / 2.0),
        stretch_of(run, along_m + width_m / 2.0, run_length_m(run)),
    )
    shapes: list[Shape] = []
    for n, part in enumerate(parts):
        points = tuple((float(x), float(y)) for x, y in part)
        if len(points) < 2:
            continue
        shapes.append(Path(Role.SNAP if n == 1 else Role.TRAIL, points))
        if len(points) == 2:
            size_m = float(np.hypot(*(part[1] - part[0])))
            shapes.extend(along(points[0], points[1], length(site, size_m, 2), below=n == 1))
    return tuple(shapes)


class _OpeningTool(Placing):
    """Puts one kind of opening where it is dropped; a typed length is its width."""

    prefix = "DR"
    word: Literal["Door", "Window"] = "Door"
    usual: ClassVar[dict[str, Any]] = {}

    def __init__(self, desk: Desk, plan: Plan) -> None:
        super().__init__(desk, plan)
        self._typed_width_m: float | None = None

    @property
    def like(self) -> dict[str, Any]:
        """Fields of a new one: those of the last of its kind, else the usual ones."""
        fields = ("width_m", "height_m", "sill_height_m", "material", "state")
        rows = [one for one in self.site.design.openings if (one.sill_height_m > 0.0) is (self.word == "Window")]
        taken = {name: getattr(rows[-1], name) for name in fields} if rows else dict(self.usual)
        if self._typed_width_m is not None:
            taken["width_m"] = self._typed_width_m
        return taken

    def under(self, at: Point) -> WallUnder | None:
        """Return the wall under a point."""
        return wall_at(self.desk, at, REACH_PX / self.plan.px_per_m)

    def catch(self, pointer: Pointer) -> Caught:
        """Catch nothing else: the wall under the pointer decides."""
        return Caught(pointer.at)

    def _place(self, at: Point, pointer: Pointer) -> tuple[WallUnder, float, float] | None:
        place = self.under(at)
        if place is None:
            return None
        width_m = float(self.like["width_m"])
        return place, held_along(self.desk, self.plan, place, width_m, free=pointer.alt), width_m

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the opening on its wall with the lengths beside it."""
        found = self._place(at, pointer)
        return opening_marks(self.site, *found) if found is not None else ()

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return which wall, and the lengths along it."""
        found = self._place(at, pointer)
        if found is None:
            return self.hint
        place = found[0]
        thing = self.desk.things[place.wall or place.building]
        name = thing.title if place.wall is not None else f"outer wall of {thing.title.upper()}"
        return f"{name}: {along_words(self.site, *found)}"

    def reason(self, at: Point, pointer: Pointer) -> str:
        """Return why it cannot be put here."""
        found = self._place(at, pointer)
        if found is None:
            return _NOWHERE
        place, _, width_m = found
        run_m = run_length_m(np.array(place.run))
        if width_m > run_m:
            return f"the wall is {length(self.site, run_m, 2)} long, too short for {length(self.site, width_m, 2)}"
        return ""

    def take(self, at: Point, pointer: Pointer) -> None:
        """Put it there."""
        found = self._place(at, pointer)
        if found is None:
            return
        place, along_m, _ = found
        fields = self.like

        def make(site: Site) -> Edit:
            new_id, name = called(site, self.prefix, self.word)
            opening = made(
                Opening,
                id=new_id,
                name=name,
                status="existing",
                wall=place.wall or place.building,
                along_m=along_m,
                **fields,
            )
            if place.wall is None:
                return add_outer_opening(site, place.building, place.edge, opening)._replace(label=f"Add {name}")
            return add_opening(site, opening)._replace(label=f"Add {name}")

        if self.commit(make):
            self._typed_width_m = None

    def to_select(self, added: list[str]) -> list[str]:
        """Return the opening: it was asked for, the wall came along."""
        return [one for one in added if isinstance(self.desk.things.get(one), Opening)]

    # -- typed figures: one length is the width, anything else a point

    def _width(self) -> float | None:
        try:
            read = grammar.parse_typed(self.writing.text.strip(), units=self.site.design.units)
        except SurveyError:
            return None
        return read.length_m if read.kind == "length" else None

    def _read(self) -> Typed | None:
        return None if self._width() is not None else super()._read()

    def show(self) -> None:
        """Show it with the width that is being typed."""
        super().show()
        width_m = self._width() if self.writing.text else None
        if width_m is not None:
            words, wrong = self._width_words(width_m)
            self.overlay = Overlay(self.overlay.shapes, words=words, refused=wrong, typed=self.writing.shown)

    def _width_words(self, width_m: float) -> tuple[str, bool]:
        if not 0.01 <= width_m <= 100.0:
            return "a width from 0.01 to 100 m is needed", True
        return f"{length(self.site, width_m, 2)} wide, Enter takes it", False

    def _enter(self) -> bool:
        width_m = self._width() if self.writing.text else None
        if width_m is None:
            return super()._enter()
        words, wrong = self._width_words(width_m)
        if wrong:
            self.desk.say(f"{words[:1].upper()}{words[1:]}.")
        else:
            self._typed_width_m = width_m
            self.desk.say(f"{length(self.site, width_m, 2)} wide: press where it goes.")
            self.writing.clear()
        self.show()
        return True


class DoorTool(_OpeningTool):
    """Puts doors and gates."""

    name = "door"
    hint = "Press on a wall where the door is; a typed length is its width."
    usual: ClassVar[dict[str, Any]] = {
        "width_m": 0.9, "height_m": 2.1, "sill_height_m": 0.0, "material": "unknown", "state": "changes",
    }  # fmt: skip


class WindowTool(_OpeningTool):
    """Puts windows."""

    name = "window"
    hint = "Press on a wall where the window is; a typed length is its width."
    prefix, word = "WN", "Window"
    usual: ClassVar[dict[str, Any]] = {
        "width_m": 1.2, "height_m": 2.1, "sill_height_m": 0.9, "material": "glazing", "state": "closed",
    }  # fmt: skip
