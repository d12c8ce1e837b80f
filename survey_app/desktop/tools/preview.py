"""How the things in hand would look and what their hops would carry, while a gesture is not finished."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from survey_app.assess.live import Lift, Live
from survey_app.desktop.tools.figures import reads_feet
from survey_app.desktop.tools.fresh_rows import fresh_rows
from survey_app.desktop.tools.part import followers, part_ids, part_of
from survey_app.desktop.tools.strokes import ghost_outline, ghost_point
from survey_app.desktop.tools.where import outline_of
from survey_app.drawing.plat.plat import things_shapes
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.tiers import tier_of
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.shapes import Shape
from survey_app.ground.place import Placed, place
from survey_app.site.collection import every_thing
from survey_app.site.edits.sharing import with_fields
from survey_app.site.site import Site
from survey_app.site.structure import Mast, Pole
from survey_app.spectrum.regions import Regions, load_regions
from survey_app.spectrum.user_folder import user_regions_folder

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["Preview", "radio_rules"]

_NOTHING_TO_RADIO = ("cameras", "devices", "wires", "supplies", "head_ends")
PX_PER_MM = 4.0
"""Pixels of a millimetre of paper at an interface of 100 %. [px/mm]"""


@lru_cache(maxsize=1)
def radio_rules() -> Regions:
    """Return the radio rules that travel with the program and the user's own, read once."""
    return load_regions(user_regions_folder())


class Preview:
    """Things lifted off the plan, with all that hangs on them.

    Parameters
    ----------
    desk : Desk
        The site as it is.
    plan : Plan
        The plan that shows it.
    ids : tuple of str
        The things in hand.
    """

    def __init__(self, desk: Desk, plan: Plan, ids: tuple[str, ...]) -> None:
        site = desk.site
        self.site = site
        """The site before the gesture."""
        self.lifted = followers(site, ids)
        self.live: Live | None = None
        """Numbers of the hops in hand, of the site that was shown last."""
        self._plan = plan
        self._rows = desk.rows
        self._scene: PlatScene | None = None
        hops = tuple(hop.id for hop in site.design.hops if hop.id in self.lifted)
        self._wish = Wish(selection=(*ids, *hops), hop_words="level", feet=reads_feet(site))
        self._part = part_ids(site, ids)
        radios = {radio.id for radio in site.design.radios} & self.lifted
        known = desk.assessment if desk.is_fresh else None
        self._lift = Lift(site, radios, radio_rules(), known, may_compile=False) if radios else None
        self.ghost = self._old_places(desk.placed)

    def _old_places(self, placed: Placed) -> tuple[Shape, ...]:
        """Return the old places, dashed."""
        shapes: list[Shape] = []
        for _, _, thing in every_thing(part_of(self.site, self.lifted).design):
            corners = outline_of(placed, thing.id)
            at = placed.points.get(thing.id)
            if corners:
                shapes.extend(ghost_outline(corners, closed=hasattr(thing, "outline")))
            elif isinstance(thing, Pole | Mast) and at is not None:
                shapes.append(ghost_point((at.x_m, at.y_m)))
        return tuple(shapes)

    def shapes(self, edited: Site, also: frozenset[str] = frozenset()) -> tuple[Shape, ...]:
        """Return the lifted things as they are in an edited site, as the plan draws them, hops with live words.

        Parameters
        ----------
        edited : Site
            The whole site with the edit that the gesture would make.
        also : frozenset of str
            Things that the lifted ones have come to hang on.
        """
        self.live = self._lift.at(self._carriers_of(edited)) if self._lift is not None else None
        part = part_of(edited, self._part | also)
        placed = place(part)
        fresher = fresh_rows(part, placed, self._rows, self.live)
        stale = self.live.stale if self.live is not None else frozenset()
        self._scene = PlatScene(part, placed, None, self._scene, stale=stale, fresher=fresher)
        return things_shapes(self._scene, self._view(), self._wish, self.lifted)

    def _carriers_of(self, edited: Site) -> Site:
        """Return the edited site with boxes and wires as they were: where those stand is nothing to a radio path."""
        before = {name: getattr(self.site.design, name) for name in _NOTHING_TO_RADIO}
        return with_fields(edited, design=with_fields(edited.design, **before))

    def _view(self) -> PlatView:
        scale = self._plan.interface_scale
        px_per_m = self._plan.px_per_m
        return PlatView(self._plan.window_m, px_per_m, PX_PER_MM * scale, tier_of(px_per_m / scale))
