"""Radios and mounts: they hang where they are dropped, on a pole's side, a wall, a roof."""

from __future__ import annotations

from typing import Literal

from survey_app.desktop.tools.catching import Caught
from survey_app.desktop.tools.named_things import called
from survey_app.desktop.tools.perch import Perch, perch_at
from survey_app.desktop.tools.placing import Placing
from survey_app.desktop.tools.steps import Make, copies, in_one_step, made
from survey_app.desktop.tools.strokes import line, ring
from survey_app.desktop.tools.tool import Pointer
from survey_app.drawing import symbols
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point, Shape, Symbol
from survey_app.site.edits import Edit, add, fresh_id
from survey_app.site.mount import Mount
from survey_app.site.radio import Radio
from survey_app.site.site import Site

__all__ = ["AccessPointTool", "MountTool", "StationTool", "mount_on"]

REACH_PX = 16.0
"""How near a pole or wall must be for something to hang on it. [px]"""

_NOWHERE = "nothing to hang on here: drop it on a building, a pole or a mast"


def mount_on(site: Site, perch: Perch) -> Mount:
    """Return the mount that a place needs, with the next free id."""
    return made(
        Mount,
        id=fresh_id(site, "M"),
        structure=perch.structure,
        place=perch.place,
        height_m=perch.height_m,
        height_reference=perch.height_reference,
    )


def diamond(at: Point) -> Symbol:
    """Return the mark of a mount without radio."""
    corners = ((0.0, 1.5), (1.5, 0.0), (0.0, -1.5), (-1.5, 0.0))
    return Symbol("mount", at, (Path(Role.MOUNT, corners, closed=True),))


class HangingTool(Placing):
    """Puts up what needs a place on a structure."""

    def perch(self, at: Point) -> Perch | None:
        """Return where a thing dropped at a point hangs."""
        return perch_at(self.site, self.desk.placed, at, REACH_PX / self.plan.px_per_m)

    def catch(self, pointer: Pointer) -> Caught:
        """Catch nothing else: the wall or pole under the pointer decides."""
        return Caught(pointer.at)

    def reason(self, at: Point, pointer: Pointer) -> str:
        """Return why it cannot hang here."""
        return "" if self.perch(at) is not None else _NOWHERE

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return where it hangs."""
        perch = self.perch(at)
        return perch.words if perch is not None else ""

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the thing at its place, and a ring round what carries it."""
        perch = self.perch(at)
        if perch is None:
            return self.symbol(at)
        carrier = self.desk.placed.points.get(perch.structure)
        foot = (carrier.x_m, carrier.y_m) if carrier is not None else at
        return (ring(perch.at), *line(foot, perch.at), *self.symbol(perch.at))

    def symbol(self, at: Point) -> tuple[Shape, ...]:
        """Return the symbol of what is being hung."""
        return (diamond(at),)


class MountTool(HangingTool):
    """Marks places where something can hang."""

    name = "mount"
    hint = "Press on a wall, a pole or a roof."

    def perch(self, at: Point) -> Perch | None:
        """Return where the mount goes; one that is there already is not taken a second time."""
        found = super().perch(at)
        return None if found is not None and found.mount is not None else found

    def reason(self, at: Point, pointer: Pointer) -> str:
        """Return why there can be no mount here."""
        found = super().perch(at)
        if found is None:
            return _NOWHERE
        return "" if found.mount is None else "there is a free mount here already"

    def take(self, at: Point, pointer: Pointer) -> None:
        """Make the mount."""
        perch = self.perch(at)
        if perch is not None:
            self.commit(lambda site: add(site, mount_on(site, perch)))


class RadioTool(HangingTool):
    """Hangs radios of one role."""

    role: Literal["access_point", "station"] = "access_point"
    prefix = "A"

    def take(self, at: Point, pointer: Pointer) -> None:
        """Hang the radio, on a mount of its own unless a free one is there."""
        perch = self.perch(at)
        if perch is not None:
            self.commit(self.hung(perch))

    def hung(self, perch: Perch) -> Make:
        """Return the step that hangs a radio at a place."""

        def make(site: Site) -> Edit:
            gear = self.choice.gear(site, self.role)
            new_id, _ = called(site, self.prefix)
            mount = None if perch.mount is not None else mount_on(site, perch)
            radio = made(
                Radio, id=new_id, role=self.role, gear=gear, mount=perch.mount or (mount.id if mount else ""),
                **self._as_last(site),
            )  # fmt: skip
            steps: list[Make] = [copies(self.choice.catalogue, [gear])]
            if mount is not None:
                steps.append(lambda now: add(now, mount))
            steps.append(lambda now: add(now, radio))
            return in_one_step(f"Hang {self.name} {new_id}", steps)(site)

        return make

    def to_select(self, added: list[str]) -> list[str]:
        """Return the radio: it was asked for, its mount came along."""
        return [one for one in added if isinstance(self.desk.things.get(one), Radio)]

    def _as_last(self, site: Site) -> dict[str, int | None]:
        """Return what a new one takes over from the last of its role."""
        last = next((radio for radio in reversed(site.design.radios) if radio.role == self.role), None)
        if last is None or self.role != "access_point":
            return {}
        return {"width_mhz": last.width_mhz}


class AccessPointTool(RadioTool):
    """Hangs access points."""

    name = "access point"
    hint = "Press on the wall, pole or roof that carries the access point."

    def symbol(self, at: Point) -> tuple[Shape, ...]:
        """Return the hub."""
        return (symbols.access_point(at),)


class StationTool(RadioTool):
    """Hangs stations."""

    name = "station"
    hint = "Press on the wall, pole or roof that carries the station."
    role = "station"
    prefix = "S"

    def symbol(self, at: Point) -> tuple[Shape, ...]:
        """Return the arrowhead."""
        return (symbols.station(at, 0.0),)
