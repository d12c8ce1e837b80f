"""Selecting, moving and shaping what is on the plan."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from survey_app.desktop.supposed import REFUSAL
from survey_app.desktop.tools import arranging
from survey_app.desktop.tools.drags.aiming import AimDrag, TargetDrag
from survey_app.desktop.tools.drags.drag import Drag
from survey_app.desktop.tools.drags.hanging import MountDrag, SideDrag
from survey_app.desktop.tools.drags.moving import MoveDrag, movable
from survey_app.desktop.tools.drags.shaping import CornerDrag, EdgeDrag, InsertDrag
from survey_app.desktop.tools.drags.sliding import OpeningDrag
from survey_app.desktop.tools.grips import Grip, grip_shapes, grips_of, nearest_grip
from survey_app.desktop.tools.strokes import ring
from survey_app.desktop.tools.tool import NOTHING, Overlay, Pointer, Tool
from survey_app.desktop.tools.where import point_of
from survey_app.desktop.tools.writing import Writing
from survey_app.drawing.plat.view import Hit
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point
from survey_app.errors import SurveyError
from survey_app.site.mount import Mount
from survey_app.site.network import Camera, Device
from survey_app.site.radio import Radio
from survey_app.site.surroundings import Opening

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["SelectTool"]

_DRAG_PX = 4.0


class _Pressed(NamedTuple):
    """What the button went down on."""

    pointer: Pointer
    thing: str | None
    grip: Grip | None
    hit: Hit | None


class SelectTool(Tool):
    """Press selects, drag moves, handles shape; a drag over empty ground selects what lies inside."""

    name = "select"
    hint = (
        "Press selects, Shift adds; drag moves; drag over empty ground selects what lies inside, Alt what it touches."
    )

    def __init__(self, desk: Desk, plan: Plan) -> None:
        super().__init__(desk, plan)
        self._pressed: _Pressed | None = None
        self._drag: Drag | None = None
        self._band: Point | None = None
        self._wrong = ""
        self._listens = False
        self._was_selected = False
        """Whether what was pressed was the selection before: only then its edges can be taken."""
        self._writing = Writing(desk)

    def begin(self) -> None:
        """The tool is taken up; from now on its handles follow what is selected elsewhere."""
        if not self._listens:
            for signal in (self.desk.selection_changed, self.desk.site_changed, self.desk.assessed):
                signal.connect(self._again)
            self._listens = True
        self._show()

    def _again(self) -> None:
        """Show the handles anew, unless something is in hand."""
        if self._drag is None and self._band is None:
            self._show()
            self.plan.refresh()

    # -- the hand

    def press(self, pointer: Pointer) -> None:
        """Take what lies under the pointer."""
        self._writing.clear()
        grip = nearest_grip(self._grips(), pointer.at, self.plan.px_per_m)
        hit = self._hit(pointer) if grip is None else None
        thing = grip.thing if grip is not None else hit.id if hit is not None else None
        self._pressed = _Pressed(pointer, thing, grip, hit)
        corner = (grip.thing, grip.number) if grip is not None and grip.kind == "corner" else None
        arranging.take_corner(self.desk, corner)
        self._was_selected = self.desk.selection == (thing,)
        if grip is None:
            self._choose(thing, pointer)
        self._show()

    def _choose(self, thing: str | None, pointer: Pointer) -> None:
        if thing is None:
            if not pointer.shift:
                self.desk.select(())
        elif pointer.shift:
            self.desk.toggle(thing)
        elif thing not in self.desk.selection:
            self.desk.select((thing,))

    def move(self, pointer: Pointer) -> None:
        """Say what is under the pointer, or go on with what was begun."""
        pressed = self._pressed
        if pressed is None:
            hit = self._hit(pointer)
            self.desk.hover(hit.id if hit is not None else None)
            self._show()
            return
        if self._drag is None and self._band is None and _far(pressed.pointer, pointer):
            self._start(pressed)
        if self._drag is not None and not self._writing.text:
            self._drag.aim(pointer)
        self._show(pointer)

    def _start(self, pressed: _Pressed) -> None:
        if pressed.thing is None:
            self._band = pressed.pointer.at
        elif self.desk.supposed is not None:
            self.desk.say(REFUSAL)
            self._pressed = None
        elif pressed.thing in self.desk.selection:
            try:
                self._drag = self._drag_for(pressed)
            except SurveyError as error:
                self.desk.say(error.sentence())
                self._pressed = None

    def _drag_for(self, pressed: _Pressed) -> Drag | None:
        desk, plan, start = self.desk, self.plan, pressed.pointer.at
        assert pressed.thing is not None
        if pressed.grip is not None:
            return self._grip_drag(pressed.grip, start)
        thing = desk.things[pressed.thing]
        if len(desk.selection) == 1:
            mount = _mount_of(thing)
            if mount is not None and mount in desk.things:
                return MountDrag(desk, plan, mount, start)
            if isinstance(thing, Opening):
                return OpeningDrag(desk, plan, thing, start)
            edge = _edge_of(pressed.hit)
            if edge is not None and self._was_selected and hasattr(thing, "outline"):
                return EdgeDrag(desk, plan, thing.id, edge, start)
        ids = movable(dict(desk.things), desk.selection)
        if not ids:
            desk.say(arranging.NO_PLACE)
            return None
        return MoveDrag(desk, plan, desk.selection, start, pressed.thing)

    def _grip_drag(self, grip: Grip, start: Point) -> Drag:
        desk, plan = self.desk, self.plan
        if grip.kind == "corner":
            return CornerDrag(desk, plan, grip.thing, grip.number, start)
        if grip.kind == "middle":
            return InsertDrag(desk, plan, grip.thing, grip.number, start)
        if grip.kind == "side":
            return SideDrag(desk, plan, grip.thing, start)
        if grip.kind == "target":
            return TargetDrag(desk, plan, grip.thing, start)
        return AimDrag(desk, plan, grip.thing, start)

    def release(self, pointer: Pointer) -> None:
        """Finish what was begun."""
        pressed, drag, band = self._pressed, self._drag, self._band
        self._pressed, self._drag, self._band = None, None, None
        if drag is not None:
            if not self._writing.text:
                drag.aim(pointer)
            drag.finish()
        elif band is not None:
            inside = self.plan.within(*_ordered(band, pointer.at), touching=pointer.alt)
            self.desk.select((*self.desk.selection, *inside) if pointer.shift else inside)
        elif pressed is not None and pressed.grip is None and pressed.thing is not None and not pointer.shift:
            self.desk.select((pressed.thing,))
        self._writing.clear()
        self._show()

    def _hit(self, pointer: Pointer) -> Hit | None:
        for hit in self.plan.hits(*pointer.at):
            if hit.kind != "findings" and hit.id in self.desk.things:
                return hit
        return None

    # -- the keyboard

    def key(self, name: str, *, shift: bool = False, control: bool = False, alt: bool = False) -> bool:
        """Arrows nudge, Delete removes, Enter takes typed figures, Backspace a character of them."""
        if name in ("Enter", "Return") and self._writing.text:
            return self._enter()
        if name == "Backspace" and self._writing.back():
            self._typed_figures()
            return True
        if name == "Delete" and self._drag is None:
            return self._delete()
        if name in arranging.ARROWS and self._drag is None and self.desk.selection:
            step_m = 10.0 if shift else 0.1 if alt else 1.0
            arranging.nudge(self.desk, name, step_m)
            self._show()
            return True
        return False

    def _delete(self) -> bool:
        if not self.desk.selection:
            return False
        arranging.remove_selection(self.desk)
        self._show()
        return True

    def typed(self, text: str) -> bool:
        """Figures set a drag exactly; without one they move the selection, `0` gives an aim back to computation."""
        if not self.desk.selection:
            return False
        radio = self.desk.things.get(self.desk.selection[0]) if len(self.desk.selection) == 1 else None
        if self._drag is None and isinstance(radio, Radio) and text == "0" and not self._writing.text:
            arranging.compute_aims(self.desk)
            return True
        if self._drag is None and not self._begin_by_keyboard(text):
            return False
        if not self._writing.write(text):
            return False
        self._typed_figures()
        return True

    def _begin_by_keyboard(self, text: str) -> bool:
        """Take the selection in hand without the mouse, when a figure begins."""
        if not Writing(self.desk).write(text):
            return False
        thing_id = self.desk.selection[0]
        thing = self.desk.things[thing_id]
        at = point_of(self.desk.placed, thing, dict(self.desk.things))
        if at is None:
            return False
        alone = len(self.desk.selection) == 1
        if alone and isinstance(thing, Radio):
            self._drag = AimDrag(self.desk, self.plan, thing_id, at)
        elif alone and isinstance(thing, Camera) and thing.mount is not None:
            self._drag = TargetDrag(self.desk, self.plan, thing_id, at)
        elif alone and isinstance(thing, Opening):
            self._drag = OpeningDrag(self.desk, self.plan, thing, at)
        elif movable(dict(self.desk.things), self.desk.selection):
            self._drag = MoveDrag(self.desk, self.plan, self.desk.selection, at, thing_id)
        return self._drag is not None

    def _typed_figures(self) -> None:
        self._wrong = ""
        if self._drag is not None and self._writing.text:
            self._wrong = self._drag.set_typed(self._writing.text)
        elif self._pressed is None:
            self._drag = None
        self._show()

    def _enter(self) -> bool:
        drag = self._drag
        if drag is None or self._wrong:
            if self._wrong:
                self.desk.say(f"{self._wrong[:1].upper()}{self._wrong[1:]}.")
            return True
        self._pressed = self._drag = None
        self._writing.clear()
        drag.finish()
        self._show()
        return True

    def cancel(self) -> bool:
        """Put back what was begun; else let go of the selection."""
        begun = self._drag is not None or self._band is not None
        had = begun or bool(self.desk.selection)
        self._drop()
        if not begun:
            self.desk.select(())
        self._show()
        return had

    def _drop(self) -> None:
        self._pressed = self._drag = self._band = None
        arranging.take_corner(self.desk, None)
        self._wrong = ""
        self._writing.clear()

    def end(self) -> None:
        """Another tool is taken up; the selection stays."""
        if self._listens:
            for signal in (self.desk.selection_changed, self.desk.site_changed, self.desk.assessed):
                signal.disconnect(self._again)
            self._listens = False
        self._drop()
        self.desk.hover(None)
        self.overlay = NOTHING

    # -- what is seen

    def _grips(self) -> tuple[Grip, ...]:
        return grips_of(self.desk, self.plan.px_per_m)

    def _show(self, pointer: Pointer | None = None) -> None:
        if self._drag is not None:
            shown = self._drag.overlay()
            if self._writing.text:
                shown = replace(shown, typed=self._writing.text)
                if self._wrong:
                    shown = replace(shown, words=self._wrong, refused=True)
            self.overlay = shown
        elif self._band is not None and pointer is not None:
            x0, y0, x1, y1 = _ordered(self._band, pointer.at)
            band = Path(Role.TRAIL, ((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True)
            found = self.plan.within(x0, y0, x1, y1, touching=pointer.alt)
            how = "touched" if pointer.alt else "inside"
            self.overlay = Overlay((band,), words=f"{len(found)} {how}")
        else:
            grips = self._grips()
            corner = arranging.corner_in_hand(self.desk)
            held = [ring(one.at, radius_mm=1.6) for one in grips if corner == (one.thing, one.number)]
            self.overlay = Overlay((*grip_shapes(self.desk, grips), *held[:1]))


def _far(a: Pointer, b: Pointer) -> bool:
    return math.hypot(a.x_px - b.x_px, a.y_px - b.y_px) > _DRAG_PX


def _ordered(a: Point, b: Point) -> tuple[float, float, float, float]:
    return min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])


def _edge_of(hit: Hit | None) -> int | None:
    number = hit.part.removeprefix("edge ") if hit is not None and hit.part.startswith("edge ") else ""
    return int(number) if number.isdigit() else None


def _mount_of(thing: object) -> str | None:
    """Return the mount that moves when a thing is dragged: it, or what it hangs on."""
    if isinstance(thing, Mount):
        return thing.id
    return thing.mount if isinstance(thing, Radio | Camera | Device) else None
