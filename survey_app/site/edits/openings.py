"""Doors and windows: into inner walls, into the outer wall of a building, and along their walls."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from survey_app.errors import UsageError
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.naming import fresh_id
from survey_app.site.edits.sharing import find, rebuilt
from survey_app.site.edits.things import add, change
from survey_app.site.site import Site
from survey_app.site.structure import Building
from survey_app.site.surroundings import Opening, Wall

__all__ = ["OUTER_WALLS", "add_outer_opening", "move_opening"]

OUTER_WALLS: Mapping[str, dict[str, Any]] = {
    "brick": {"material": "brick", "thickness_mm": 220.0, "construction": "brick_220"},
    "concrete": {"material": "concrete", "thickness_mm": 200.0, "construction": "concrete_200_reinforced"},
    "stone": {"construction": "stone"},
    "timber": {"material": "wood", "construction": "boarding_timber"},
    "sheet_metal": {"material": "metal", "construction": "sheet_metal"},
    "insulated": {"material": "metal", "construction": "panel_insulated"},
    "glass": {"material": "glass", "construction": "glazing_unknown"},
    "unknown": {},
}
"""How a wall is written that is drawn along the outline of a building, so that it takes what the outer wall took."""


def add_outer_opening(site: Site, building: str, edge: int, opening: Opening) -> Edit:
    """Put a door or window into the outer wall of a building: that side is drawn as a wall of its own, of the same make.

    Parameters
    ----------
    site : Site
        The site.
    building : str
        Id of the building.
    edge : int
        Number of the side: from this corner of the outline to the next, from 0.
    opening : Opening
        The opening; the wall that it names is replaced by the new one.

    Raises
    ------
    UsageError
        It is no building, or has no such side.
    """
    found = find(site, building)
    thing = found.thing
    if not isinstance(thing, Building) or not 0 <= edge < len(thing.outline):
        raise UsageError("there is no such side of a building", where=found.title)
    ends = thing.outline[edge], thing.outline[(edge + 1) % len(thing.outline)]
    wall = Wall(
        id=fresh_id(site, "OW"),
        name=f"Outer wall {edge + 1} of {thing.title}",
        status=thing.status,
        structure=building,
        route=ends,
        floor_height_m=0.0,
        height_m=min(thing.eaves_height_m, 100.0),
        **OUTER_WALLS[thing.wall],
    )
    with_wall = add(site, wall)
    edit = add(with_wall.after, rebuilt(opening, opening.title, wall=wall.id))
    return finished(f"Add {opening.title}", site, edit.after, (*with_wall.touched, *edit.touched))


def move_opening(site: Site, opening_id: str, along_m: float, wall: str | None = None) -> Edit:
    """Move a door or window along its wall, or into another wall. [m]"""
    found = find(site, opening_id)
    if not isinstance(found.thing, Opening):
        raise UsageError("it is no door or window", where=found.title)
    fields: dict[str, Any] = {"along_m": along_m}
    if wall is not None:
        fields["wall"] = wall
    name = found.thing.title
    label = f"Move {name} along its wall"
    if wall is not None and wall != found.thing.wall:
        label = f"Move {name} to {find(site, wall).thing.title}"
    return change(site, opening_id, **fields)._replace(label=label)
