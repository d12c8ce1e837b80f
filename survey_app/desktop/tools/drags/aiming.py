"""Turning a beam by its handle, and pointing a camera at what it is there to see."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from survey_app.desktop.tools.camera_view import camera_words, target_at, view_shapes
from survey_app.desktop.tools.drags.drag import Drag
from survey_app.desktop.tools.live_words import end_words
from survey_app.desktop.tools.part import part_ids, part_of
from survey_app.desktop.tools.strokes import beside, grip, line, polar
from survey_app.desktop.tools.tool import Pointer
from survey_app.desktop.tools.where import point_of
from survey_app.desktop.tools.writing import Writing, number_of
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Point, Shape
from survey_app.ground.plane import true_bearing
from survey_app.ground.straight import bearing_of
from survey_app.paper import rounding
from survey_app.site.edits import Edit, aim_by_hand, change
from survey_app.site.network import Camera
from survey_app.site.radio import Radio
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["AimDrag", "TargetDrag"]

_STEP_DEG = 0.1
_SHIFT_STEP_DEG = 5.0
_CATCH_PX = 6.0


class AimDrag(Drag):
    """Turns the axis of a radio's beam; what each far end loses by it stands there in words."""

    def __init__(self, desk: Desk, plan: Plan, radio_id: str, start: Point) -> None:
        super().__init__(desk, plan, (radio_id,), start)
        radio = desk.things[radio_id]
        assert isinstance(radio, Radio)
        self.radio = radio
        self.root = point_of(desk.placed, radio) or start
        self.far_ends = self._far_ends()
        self.bearing_plan_deg = bearing_of(self.root, start)

    def _far_ends(self) -> dict[str, Point]:
        found = {}
        for hop in self.desk.site.design.hops:
            pair = {hop.access_point: hop.station, hop.station: hop.access_point}
            far = pair.get(self.radio.id)
            at = point_of(self.desk.placed, self.desk.things.get(far or ""))
            if far is not None and at is not None and at != self.root:
                found[far] = at
        return found

    def aim(self, pointer: Pointer) -> None:
        """Look at the pointer; near a far end it looks there exactly, Shift turns in steps of five degrees."""
        bearing_deg = bearing_of(self.root, pointer.at)
        step_deg = _SHIFT_STEP_DEG if pointer.shift else _STEP_DEG
        bearing_deg = round(bearing_deg / step_deg) * step_deg % 360.0
        what = ""
        if not pointer.shift:
            reach_m = math.hypot(pointer.x_m - self.root[0], pointer.y_m - self.root[1])
            for far, at in self.far_ends.items():
                towards_deg = bearing_of(self.root, at)
                off_deg = (bearing_deg - towards_deg + 180.0) % 360.0 - 180.0
                if abs(math.radians(off_deg)) * reach_m * self.plan.px_per_m <= _CATCH_PX:
                    bearing_deg, what = towards_deg, f"on {far}"
        self._go(bearing_deg, what)

    def _go(self, bearing_plan_deg: float, what: str = "") -> None:
        self.bearing_plan_deg = bearing_plan_deg
        end = polar(self.root, bearing_plan_deg, 96.0 / self.plan.px_per_m)
        shown_deg, north = self._stored()
        self.words = f"{rounding.bearing(shown_deg)} {north}{f', {what}' if what else ''}"
        self.marks = (*line(self.root, end, Role.RUBBER), grip(end))

    def live_marks(self) -> tuple[Shape, ...]:
        """Return at each far end what it loses by this aim, and the level that is left."""
        live = self.preview.live
        shapes: list[Shape] = []
        for hop in live.hops.values() if live is not None else ():
            ends = (hop.access_point.radio, hop.station.radio)
            if live is None or self.radio.id not in ends:
                continue
            far = ends[1] if ends[0] == self.radio.id else ends[0]
            at = self.far_ends.get(far)
            if at is not None:
                shapes.extend(beside(at, end_words(hop, self.radio.id, settled=hop.id not in live.stale), bold=True))
        return tuple(shapes)

    def _stored(self) -> tuple[float, str]:
        """Return the bearing as the site keeps it, and from which north it counts."""
        plane = self.desk.placed.plane
        if plane is None:
            return self.bearing_plan_deg % 360.0, "plan"
        true_deg = float(true_bearing(plane, self.root[0], self.root[1], self.bearing_plan_deg))
        return round(true_deg, 6) % 360.0, "true"

    def set_typed(self, text: str) -> str:
        """Take a typed bearing, from the north that the words name."""
        value = number_of(text)
        if value is None or not 0.0 <= value <= 360.0:
            return "a bearing from 0 to 360 is needed"
        shown_deg, _ = self._stored()
        self._go((self.bearing_plan_deg + value - shown_deg) % 360.0)
        return ""

    def make(self, site: Site) -> Edit:
        """Return the edit as it stands."""
        bearing_deg, north = self._stored()
        tilt_deg = self.radio.aim.tilt_deg if self.radio.aim is not None else None
        edit = aim_by_hand(site, self.radio.id, bearing_deg, tilt_deg, "true" if north == "true" else "plan")
        return edit._replace(label=f"Aim {self.radio.title} at {rounding.bearing(bearing_deg)} {north}")


class TargetDrag(Drag):
    """Points a camera."""

    def __init__(self, desk: Desk, plan: Plan, camera_id: str, start: Point) -> None:
        super().__init__(desk, plan, (camera_id,), start)
        camera = desk.things[camera_id]
        assert isinstance(camera, Camera)
        self.camera = camera
        self._part = part_of(desk.site, part_ids(desk.site, (camera_id,)))
        self.root = point_of(desk.placed, camera, dict(desk.things)) or start
        self.at = start

    def aim(self, pointer: Pointer) -> None:
        """Look at the pointer or what it catches."""
        caught = self.catcher.catch(pointer.at, anchor=self.root, lock=pointer.shift, off=pointer.alt)
        self._go(caught.at)
        self.marks = (*self.marks, *caught.shapes)

    def _go(self, at: Point) -> None:
        self.at = at
        camera = self._camera()
        self.words = camera_words(self._part, camera)
        self.marks = view_shapes(self._part, camera)

    def _camera(self) -> Camera:
        return target_at(self.desk.placed, self.camera, self.root, self.at)

    def set_typed(self, text: str) -> str:
        """Take a typed bearing and distance from the camera, or a position."""
        writing = Writing(self.desk)
        writing.text = text
        typed = writing.point(self.root)
        if typed is None or typed.at is None:
            return typed.wrong if typed is not None else ""
        self._go(typed.at)
        return ""

    def make(self, site: Site) -> Edit:
        """Return the edit as it stands."""
        edit = change(site, self.camera.id, target=self._camera().target)
        return edit._replace(label=f"Point camera {self.camera.title}")
