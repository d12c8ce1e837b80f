"""Cameras: where they hang, then what they are there to see."""

from __future__ import annotations

import math
from typing import Any

from survey_app.desktop.tools.camera_view import camera_words, target_at, view_shapes
from survey_app.desktop.tools.catching import Caught
from survey_app.desktop.tools.hang import mount_on
from survey_app.desktop.tools.named_things import called
from survey_app.desktop.tools.part import part_of
from survey_app.desktop.tools.perch import Perch, perch_at
from survey_app.desktop.tools.placing import Placing
from survey_app.desktop.tools.steps import Make, copies, in_one_step, made, plane_point
from survey_app.desktop.tools.strokes import line, ring
from survey_app.desktop.tools.tool import Pointer
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Disc, Path, Point, Shape, Symbol
from survey_app.errors import SurveyError
from survey_app.ground.straight import bearing_of
from survey_app.site.edits import Edit, add
from survey_app.site.edits.sharing import rebuilt, with_fields
from survey_app.site.network import Camera
from survey_app.site.site import Site
from survey_app.site.structure import Building

__all__ = ["CameraTool"]

_REACH_PX = 16.0
_DRAG_PX = 6.0
_HEIGHT_M = 4.0
_UNDER_EAVES_M = 0.3


class CameraTool(Placing):
    """Puts a camera on a wall, a pole, a roof or the ground, then points it: drag, or press its target."""

    name = "camera"
    hint = "Press where the camera hangs and drag to what it has to see."

    _pressed: Pointer | None = None

    def perch(self, at: Point) -> Perch | None:
        """Return where a camera dropped at a point hangs, at a height for cameras; None = it stands by itself."""
        found = perch_at(self.site, self.desk.placed, at, _REACH_PX / self.plan.px_per_m, take="any")
        if found is None or found.mount is not None or found.height_reference == "roof":
            return found
        structure = self.desk.things[found.structure]
        eaves_m = structure.eaves_height_m if isinstance(structure, Building) else math.inf
        top_m = found.height_m if found.height_reference == "ground" else eaves_m
        height_m = round(max(min(_HEIGHT_M, top_m - _UNDER_EAVES_M), 0.0), 3)
        return found._replace(height_m=height_m, height_reference="ground")

    def catch(self, pointer: Pointer) -> Caught:
        """Let the wall or pole under the pointer decide where the camera hangs; its target catches as usual."""
        return super().catch(pointer) if self.points else Caught(pointer.at)

    def _camera(self, site: Site, root: Point) -> tuple[Camera, Perch | None]:
        perch = self.perch(root)
        gear = self.choice.gear(site, "camera")
        new_id, name = called(site, "C", "Camera")
        fields: dict[str, Any] = {"id": new_id, "name": name, "gear": gear}
        if perch is None:
            fields |= {"position": self.position(root), "height_m": _HEIGHT_M}
        else:
            mount = self.desk.things.get(perch.mount or "")
            height_m = getattr(mount, "height_m", perch.height_m)
            fields |= {"height_m": max(height_m, 0.0), "height_reference": perch.height_reference}
        return made(Camera, **fields), perch

    def _root(self, root: Point) -> Point:
        perch = self.perch(root)
        return perch.at if perch is not None else root

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return where it hangs, then what it sees at the pointer."""
        if not self.points:
            perch = self.perch(at)
            return perch.words if perch is not None else "by itself, 4 m up"
        part, camera = self._pointed(at)
        return camera_words(part, camera)

    def _pointed(self, at: Point) -> tuple[Site, Camera]:
        """Return a small site with the camera's gear, and the camera as it would look at a point."""
        root = self.points[0]
        camera, _ = self._camera(self.site, root)
        spot = self._root(root)
        camera = rebuilt(camera, camera.title, position=plane_point(*spot))
        part = part_of(self.site, frozenset())
        gear = self.choice.catalogue.by_id.get(camera.gear)
        if gear is not None and all(row.id != gear.id for row in part.design.gear):
            part = with_fields(part, design=with_fields(part.design, gear=(*part.design.gear, gear)))
        return part, target_at(self.desk.placed, camera, spot, at)

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the camera, and its view once it is being pointed."""
        if not self.points:
            spot = self._root(at)
            return (ring(spot), *line(at, spot), _body(spot, 0.0))
        try:
            part, camera = self._pointed(at)
            spot = self._root(self.points[0])
            return (*view_shapes(part, camera), _body(spot, bearing_of(spot, at)))
        except SurveyError:
            return (_body(self._root(self.points[0]), 0.0),)

    def press(self, pointer: Pointer) -> None:
        """Take the place, or the target."""
        self._pressed = pointer
        super().press(pointer)

    def release(self, pointer: Pointer) -> None:
        """A drag from the place ends on the target."""
        pressed, self._pressed = self._pressed, None
        if pressed is None or not self.points:
            return
        if math.hypot(pointer.x_px - pressed.x_px, pointer.y_px - pressed.y_px) > _DRAG_PX:
            self._pointer = pointer
            self.give(self.catch(pointer).at, pointer)

    def take(self, at: Point, pointer: Pointer) -> None:
        """Take the place, then the target."""
        if not self.points:
            self.points = [at]
        elif at != self._root(self.points[0]):
            self._commit(at)

    def enough(self) -> None:
        """The camera is put without a target."""
        self._commit(None)

    def _commit(self, target: Point | None) -> None:
        root = self.points[0]

        def make(site: Site) -> Edit:
            camera, perch = self._camera(site, root)
            spot = self._root(root)
            if target is not None:
                camera = target_at(self.desk.placed, camera, spot, target)
            steps: list[Make] = [copies(self.choice.catalogue, [camera.gear])]
            if perch is not None:
                mount = None if perch.mount is not None else mount_on(site, perch)
                if mount is not None:
                    steps.append(lambda now: add(now, mount))
                values = {**camera.__dict__, "mount": perch.mount or (mount.id if mount is not None else None)}
                camera = made(Camera, **values)
            steps.append(lambda now: add(now, camera))
            return in_one_step(f"Add {camera.title}", steps)(site)

        self.commit(make)


def _body(at: Point, turn_deg: float) -> Symbol:
    """Return body and lens of a camera."""
    body = Path(Role.CAMERA, ((-0.9, -1.6), (0.9, -1.6), (0.9, 0.6), (-0.9, 0.6)), closed=True)
    return Symbol("camera", at, (body, Disc(Role.CAMERA_SOLID, (0.0, 1.2), 0.5)), turn_deg)
