"""Dragging what hangs: along its wall, round its pole, over to another structure."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from survey_app.desktop.tools.drags.drag import Drag
from survey_app.desktop.tools.perch import Perch, perch_at
from survey_app.desktop.tools.spoken import spoken
from survey_app.desktop.tools.strokes import line, ring
from survey_app.desktop.tools.tool import Pointer
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Point
from survey_app.errors import UsageError
from survey_app.site.edits import Edit, change
from survey_app.site.mount import Mount
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["MountDrag", "SideDrag"]

_REACH_PX = 16.0
_NOWHERE = "there is nothing to hang on here"


class MountDrag(Drag):
    """Moves a mount with all that hangs there to the wall, pole or roof under the pointer."""

    stays = False
    """Whether it keeps to its structure."""

    def __init__(self, desk: Desk, plan: Plan, mount_id: str, start: Point) -> None:
        super().__init__(desk, plan, (mount_id,), start)
        mount = desk.things[mount_id]
        assert isinstance(mount, Mount)
        self.mount = mount
        spot = desk.placed.mounts.get(mount_id)
        self.origin: Point = (spot.x_m, spot.y_m) if spot is not None else start
        self.perch: Perch | None = None

    def aim(self, pointer: Pointer) -> None:
        """Look for what can carry it under the pointer."""
        self.perch = perch_at(
            self.desk.site,
            self.desk.placed,
            pointer.at,
            _REACH_PX / self.plan.px_per_m,
            without=self.mount.id,
            only=self.mount.structure if self.stays else None,
            take="none",
        )
        if self.perch is None:
            self.words, self.marks = _NOWHERE, ()
            return
        self.words = self.perch.words
        self.marks = (*line(self.origin, self.perch.at, Role.TRAIL), ring(self.perch.at))

    def reached(self) -> frozenset[str]:
        """Return the structure that it hangs on now."""
        return frozenset() if self.perch is None else frozenset({self.perch.structure})

    def make(self, site: Site) -> Edit:
        """Return the edit as it stands."""
        perch = self.perch
        if perch is None:
            raise UsageError(_NOWHERE, remedy="drop it on a building, a pole or a mast")
        fields: dict[str, Any] = {"place": perch.place}
        name = spoken(site, (self.mount.id,))
        label = f"Move {name} along its structure"
        moved = perch.structure != self.mount.structure
        if moved:
            fields["structure"] = perch.structure
            label = f"Move {name} to {spoken(site, (perch.structure,))}"
        if moved or perch.place.kind != self.mount.place.kind:
            fields |= {"height_m": perch.height_m, "height_reference": perch.height_reference}
        return change(site, self.mount.id, **fields)._replace(label=label)


class SideDrag(MountDrag):
    """Turns a mount round its pole."""

    stays = True
