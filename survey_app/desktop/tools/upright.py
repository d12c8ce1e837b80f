"""Poles and masts: one press each."""

from __future__ import annotations

from survey_app.desktop.tools.figures import length
from survey_app.desktop.tools.named_things import called
from survey_app.desktop.tools.placing import Placing
from survey_app.desktop.tools.steps import made
from survey_app.desktop.tools.tool import Pointer
from survey_app.drawing import symbols
from survey_app.drawing.shapes import Point, Shape
from survey_app.site.edits import Edit, add_structure
from survey_app.site.site import Site
from survey_app.site.structure import Mast, Pole

__all__ = ["MastTool", "PoleTool"]


class PoleTool(Placing):
    """Puts up poles of six metres."""

    name = "pole"
    hint = "Press where the pole stands, or type x; y."
    kind: type[Pole] | type[Mast] = Pole

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the pole's symbol at the pointer."""
        return (symbols.pole(at),)

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return which pole it becomes and how high it is."""
        _, name = called(self.site, *self._called)
        height_m = self.kind.model_fields["height_m"].default
        return f"{name}, {length(self.site, height_m)} high"

    def take(self, at: Point, pointer: Pointer) -> None:
        """Put the pole up."""
        where = self.position(at)

        def make(site: Site) -> Edit:
            new_id, name = called(site, *self._called)
            word = self.name
            thing = made(self.kind, id=new_id, kind=word, name=name, position=where)
            return add_structure(site, thing)._replace(label=f"Add {name}")

        self.commit(make)

    @property
    def _called(self) -> tuple[str, str]:
        return "P", "Pole"


class MastTool(PoleTool):
    """Puts up masts: for antennas, on the ground or on a roof."""

    name = "mast"
    hint = "Press where the mast stands, or type x; y."
    kind = Mast

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the mast's symbol at the pointer."""
        return (symbols.mast(at),)

    @property
    def _called(self) -> tuple[str, str]:
        return "MA", "Mast"
