"""Spot heights: points of the ground whose height is known, added to the relief of a site."""

from __future__ import annotations

from collections.abc import Sequence

from survey_app.errors import UsageError
from survey_app.site.edits.edit import Edit
from survey_app.site.edits.site_wide import set_relief
from survey_app.site.relief import GridRelief, SpotHeight, SpotRelief
from survey_app.site.site import Site

__all__ = ["LEAST_SPOTS", "add_spot_heights"]

LEAST_SPOTS = 3
"""So many spot heights make a ground: a triangle."""


def add_spot_heights(site: Site, spots: Sequence[SpotHeight]) -> Edit:
    """Add spot heights to the ground of a site; the first three of a site make its ground.

    Parameters
    ----------
    site : Site
        The site.
    spots : sequence of SpotHeight
        Over the site datum.

    Raises
    ------
    UsageError
        The ground comes from a grid, there are too few, or two are at one place.
    """
    relief = site.design.relief
    label = "Add spot height" if len(spots) == 1 else f"Add {len(spots)} spot heights"
    if isinstance(relief, GridRelief):
        raise UsageError(
            "the ground comes from a grid of heights", where=label, remedy="take it away first: Ground heights"
        )
    known = relief.points if relief is not None else ()
    points = (*known, *spots)
    if len(points) < LEAST_SPOTS:
        raise UsageError("three spot heights make a ground", where=label, remedy=f"{len(points)} are there")
    if len({point.position for point in points}) < len(points):
        raise UsageError("two spot heights are at one place", where=label, remedy="press beside it")
    base = relief if relief is not None else SpotRelief(kind="spots", points=points)
    return set_relief(site, base.model_copy(update={"points": points}))._replace(label=label)
