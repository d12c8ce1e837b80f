"""Things of one point: landmarks, survey notes, supplies, switches, head ends."""

from __future__ import annotations

from typing import Any

from survey_app.desktop.tools.named_things import called
from survey_app.desktop.tools.perch import carrier_at
from survey_app.desktop.tools.placing import Placing
from survey_app.desktop.tools.steps import Make, copies, in_one_step, made
from survey_app.desktop.tools.strokes import beside, ring
from survey_app.desktop.tools.tool import Pointer
from survey_app.drawing import symbols
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point, Shape, Symbol
from survey_app.errors import UsageError
from survey_app.site.edits import Edit, add, add_head_end
from survey_app.site.gear_type import DeviceType
from survey_app.site.network import Device, HeadEnd, Supply
from survey_app.site.site import Landmark, Note, Site
from survey_app.site.structure import Building

__all__ = ["DeviceTool", "HeadEndTool", "LandmarkTool", "NoteTool", "SupplyTool"]

_REACH_PX = 16.0
_NO_WORDS = "the note has no words yet"


class LandmarkTool(Placing):
    """Marks conspicuous things."""

    name = "landmark"
    hint = "Press where the landmark is, or type its position."

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return its symbol."""
        return (symbols.landmark(at),)

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return which one it becomes."""
        return called(self.site, "L", "Landmark").name

    def take(self, at: Point, pointer: Pointer) -> None:
        """Mark it."""
        where = self.position(at)

        def make(site: Site) -> Edit:
            new_id, name = called(site, "L", "Landmark")
            thing = made(Landmark, id=new_id, name=name, status="existing", position=where)
            return add(site, thing)._replace(label=f"Add {name}")

        self.commit(make)


class NoteTool(Placing):
    """Puts survey notes on the plan: first the spot, then the words."""

    name = "note"
    hint = "Press where the note belongs, then write it and press Enter."

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the small cross of a note, and its words so far."""
        spot = self.points[0] if self.points else at
        arms = (
            Path(Role.SURVEY_NOTE, ((-1.0, 0.0), (1.0, 0.0))),
            Path(Role.SURVEY_NOTE, ((0.0, -1.0), (0.0, 1.0))),
        )
        words = beside(spot, self.writing.text, role=Role.WORDS_SOFT) if self.points else ()
        return (Symbol("note", spot, arms), *words)

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return what is to be done next."""
        return "Write the note and press Enter." if self.points else self.hint

    def take(self, at: Point, pointer: Pointer) -> None:
        """Take the spot; the words follow. A second press sets what was written."""
        if self.points:
            self.enough()
        else:
            self.points = [at]
            self.writing.free = True

    def enough(self) -> None:
        """Put the note down."""
        at, words = self.points[0], self.writing.text.strip()
        where = self.position(at)
        if not words:
            raise UsageError(_NO_WORDS, remedy="write some, or leave with Esc")

        def make(site: Site) -> Edit:
            new_id, _ = called(site, "n")
            return add(site, made(Note, id=new_id, position=where, words=words))

        self.commit(make)

    def reason(self, at: Point, pointer: Pointer) -> str:
        """Return why it cannot be set down yet."""
        return _NO_WORDS if self.points and not self.writing.text.strip() else ""


class _IndoorTool(Placing):
    """Puts a box where it is pressed: in the building or at the pole that is there, else on the ground."""

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return what it becomes and where."""
        carrier = self.carrier(at)
        return f"{self.title} in {carrier.title.upper()}" if isinstance(carrier, Building) else (
            f"{self.title} at {carrier.title.upper()}" if carrier is not None else f"{self.title}, at no structure"
        )  # fmt: skip

    @property
    def title(self) -> str:
        """What it becomes."""
        return self.name

    def carrier(self, at: Point) -> Any:
        """Return the structure that it is in or at; None where there is none."""
        return carrier_at(self.site, self.desk.placed, at, _REACH_PX / self.plan.px_per_m)

    def where(self, at: Point) -> dict[str, Any]:
        """Return the fields that say where it is."""
        carrier = self.carrier(at)
        return {"position": self.position(at), "structure": carrier.id if carrier is not None else None}

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return its box."""
        return (_box(self.name, at),)


class SupplyTool(_IndoorTool):
    """Marks boards of the mains."""

    name = "supply"
    hint = "Press where the board is."

    @property
    def title(self) -> str:
        """What it becomes."""
        return called(self.site, "Q", "Board").name

    def take(self, at: Point, pointer: Pointer) -> None:
        """Mark the board."""
        where = self.where(at)

        def make(site: Site) -> Edit:
            new_id, name = called(site, "Q", "Board")
            thing = made(Supply, id=new_id, name=name, kind="mains", status="existing", **where)
            return add(site, thing)._replace(label=f"Add {name}")

        self.commit(make)


class DeviceTool(_IndoorTool):
    """Puts switches."""

    name = "switch"
    hint = "Press where the switch is."

    @property
    def title(self) -> str:
        """What it becomes."""
        return called(self.site, "D", "Switch").name

    def take(self, at: Point, pointer: Pointer) -> None:
        """Put the switch."""
        where = self.where(at)
        outdoors = not isinstance(self.carrier(at), Building)

        def make(site: Site) -> Edit:
            gear = self.choice.gear(site, "switch")
            new_id, name = called(site, "D", "Switch")
            device = made(
                Device, id=new_id, name=name, gear=gear, environment="outdoors" if outdoors else "indoors", **where
            )
            steps: list[Make] = [copies(self.choice.catalogue, [gear]), lambda now: add(now, device)]
            return in_one_step(f"Add {name}", steps)(site)

        self.commit(make)


class HeadEndTool(_IndoorTool):
    """Puts the recorder at which video has to arrive, or names one that is there."""

    name = "head end"
    hint = "Press where the recorder is, or on a recorder or switch that is there."

    @property
    def title(self) -> str:
        """What it becomes."""
        return f"head end {called(self.site, 'E').id}"

    def _there(self, at: Point) -> Device | None:
        """Return the recorder or switch under a point."""
        kinds = {row.id: row.kind for row in self.site.design.gear if isinstance(row, DeviceType)}
        for hit in self.hits(at):
            thing = self.desk.things.get(hit.id)
            if isinstance(thing, Device) and kinds.get(thing.gear) in ("recorder", "switch"):
                return thing
        return None

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return what it becomes and where."""
        there = self._there(at)
        return f"{self.title} is {there.title}" if there is not None else super().words(at, pointer)

    def reason(self, at: Point, pointer: Pointer) -> str:
        """Return why there can be none."""
        there = self._there(at)
        taken = there is not None and any(row.device == there.id for row in self.site.design.head_ends)
        return f"{there.title} is a head end already" if there is not None and taken else ""

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return its box, and a ring round a recorder that is there."""
        return (ring(at),) if self._there(at) is not None else super().ghost(at, pointer)

    def take(self, at: Point, pointer: Pointer) -> None:
        """Put it."""
        there, where = self._there(at), self.where(at)

        def make(site: Site) -> Edit:
            new_id, _ = called(site, "E")
            if there is not None:
                return add_head_end(site, made(HeadEnd, id=new_id, device=there.id))
            gear = self.choice.gear(site, "recorder")
            device_id, name = called(site, "R", "Recorder")
            device = made(Device, id=device_id, name=name, gear=gear, **where)
            steps: list[Make] = [
                copies(self.choice.catalogue, [gear]),
                lambda now: add(now, device),
                lambda now: add_head_end(now, made(HeadEnd, id=new_id, device=device_id)),
            ]
            return in_one_step(f"Add head end {new_id}", steps)(site)

        self.commit(make)


def _box(name: str, at: Point) -> Symbol:
    """Return the plain box that stands for a new box until the plan draws its own symbol."""
    role = Role.HEAD_END if name == "head end" else Role.SUPPLY
    square = Path(role, ((-2.3, -2.3), (2.3, -2.3), (2.3, 2.3), (-2.3, 2.3)), closed=True)
    return Symbol(name, at, (square,))
