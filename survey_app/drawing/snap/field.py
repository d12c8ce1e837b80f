"""All that can be caught on a plan, as arrays; made once per value of a site."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from survey_app.drawing.shapes import Point
from survey_app.ground.place import Placed
from survey_app.site.calling import called
from survey_app.site.collection import every_thing
from survey_app.site.site import Site
from survey_app.site.structure import Building, Mast, OverheadLine, Pole
from survey_app.site.surroundings import Room, Water, Zone
from survey_app.site.thing import Thing

__all__ = ["Outline", "SnapField", "field_from", "field_of"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


class Outline(NamedTuple):
    """An outline or a route that can be caught."""

    owner: int
    """Number of its thing in `SnapField.ids`."""
    points: Floats
    """Shape (n, 2). [m]"""
    closed: bool
    numbered: bool = True
    """Whether its corners are those of the thing's outline or route, by their numbers."""


@dataclass(frozen=True, slots=True, eq=False)
class SnapField:
    """Corners, edges and points of a plan.

    Attributes
    ----------
    ids, names : tuple of str
        Things, and how people call them.
    corners : ndarray of float, shape (n, 2)
        Corners of outlines and routes. [m]
    corner_owner, corner_number : ndarray of int, shape (n,)
        Number of the thing in `ids`; number of the corner in its outline or route, -1 where it has none.
    edges : ndarray of float, shape (m, 4)
        x and y of the first end, then of the second. [m]
    edge_owner, edge_number : ndarray of int, shape (m,)
        Likewise.
    points : ndarray of float, shape (k, 2)
        Poles, mounts, cameras and whatever else stands at one point. [m]
    point_owner : ndarray of int, shape (k,)
        Likewise.

    The coordinates are kept by column, so that a query runs through memory in one go.
    """

    ids: tuple[str, ...]
    names: tuple[str, ...]
    corners: Floats
    corner_owner: Ints
    corner_number: Ints
    edges: Floats
    edge_owner: Ints
    edge_number: Ints
    points: Floats
    point_owner: Ints
    edge_boxes: Floats = field(init=False)
    """Least x and y, then greatest, of every edge; shape (m, 4). [m]"""

    def __post_init__(self) -> None:
        for name in ("corners", "edges", "points"):
            object.__setattr__(self, name, np.asfortranarray(getattr(self, name)))
        ends = self.edges[:, :2], self.edges[:, 2:]
        boxes = np.hstack((np.minimum(*ends), np.maximum(*ends)))
        object.__setattr__(self, "edge_boxes", np.asfortranarray(boxes))

    def without(self, ids: Collection[str]) -> SnapField:
        """Return the field without some things, such as those that are being dragged."""
        gone = np.array([one in ids for one in self.ids], dtype=bool)
        if not gone.any():
            return self
        corner, edge, point = ~gone[self.corner_owner], ~gone[self.edge_owner], ~gone[self.point_owner]
        return SnapField(
            self.ids,
            self.names,
            self.corners[corner],
            self.corner_owner[corner],
            self.corner_number[corner],
            self.edges[edge],
            self.edge_owner[edge],
            self.edge_number[edge],
            self.points[point],
            self.point_owner[point],
        )


def field_from(
    ids: Sequence[str], names: Sequence[str], outlines: Iterable[Outline], points: Iterable[tuple[int, Point]]
) -> SnapField:
    """Make a field; corners and points that are no finite numbers are left out.

    Parameters
    ----------
    ids, names : sequence of str
        Things, and how people call them.
    outlines : iterable of Outline
        Outlines and routes.
    points : iterable of (int, (x, y))
        Number of a thing and where it stands. [m]
    """
    rings = [ring for ring in outlines if len(ring.points)]
    sizes = np.array([len(ring.points) for ring in rings], dtype=np.int64)
    # all rings in one array: a site has thousands
    xy = np.concatenate([np.empty((0, 2)), *(ring.points for ring in rings)])
    first = np.repeat(np.cumsum(sizes) - sizes, sizes)
    place = np.arange(len(xy)) - first
    owner = np.repeat(np.array([ring.owner for ring in rings], dtype=np.int64), sizes)
    number = np.where(np.repeat(np.array([ring.numbered for ring in rings], dtype=bool), sizes), place, -1)
    is_last = place == np.repeat(sizes, sizes) - 1
    following = np.where(is_last, first, np.arange(len(xy)) + 1)
    good = np.isfinite(xy).all(axis=1)
    open_end = is_last & ~np.repeat(np.array([ring.closed for ring in rings], dtype=bool), sizes)
    held = good & good[following] & ~open_end & (xy != xy[following]).any(axis=1)
    rows = [(one, at) for one, at in points if math.isfinite(at[0]) and math.isfinite(at[1])]
    return SnapField(
        tuple(ids),
        tuple(names),
        xy[good],
        owner[good],
        number[good],
        np.hstack((xy, xy[following]))[held],
        owner[held],
        number[held],
        np.array([at for _, at in rows], dtype=np.float64).reshape(-1, 2),
        np.array([one for one, _ in rows], dtype=np.int64),
    )


def field_of(site: Site, placed: Placed, *, without: Collection[str] = ()) -> SnapField:
    """Make the field of a site.

    Parameters
    ----------
    site : Site
        The document.
    placed : Placed
        Where its things are, of the same site.
    without : collection of str
        Things to leave out.

    Examples
    --------
    >>> import datetime
    >>> from survey_app.ground.place import place
    >>> from survey_app.site.new import new_site
    >>> site = new_site("Yard", as_of=datetime.date(2026, 12, 1))
    >>> field_of(site, place(site)).corners.shape
    (0, 2)
    """
    things = [thing for _, _, thing in every_thing(site.design) if thing.id not in without]
    return field_from(
        [thing.id for thing in things],
        [_name(thing) for thing in things],
        _outlines(things, placed),
        [(n, placed.points[t.id][:2]) for n, t in enumerate(things) if t.id in placed.points],
    )


def _outlines(things: Sequence[Thing], placed: Placed) -> Iterator[Outline]:
    for number, thing in enumerate(things):
        points = placed.outlines.get(thing.id)
        if points is not None:
            yield Outline(number, points, closed="outline" in type(thing).model_fields)
        for hole in thing.holes if isinstance(thing, Building) else ():
            # what is in degrees is no corner here: holes are not placed
            ring = [(getattr(one, "x_m", np.nan), getattr(one, "y_m", np.nan)) for one in hole]
            yield Outline(number, np.array(ring, dtype=np.float64), closed=True, numbered=False)


def _name(thing: Thing) -> str:
    if isinstance(thing, Pole | Mast | OverheadLine | Room | Water | Zone):
        return called(thing)
    # structures are lettered in capitals, as on the plan
    return thing.title.upper() if "outline" in type(thing).model_fields else called(thing)
