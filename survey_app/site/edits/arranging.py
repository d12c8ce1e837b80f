"""Put things in line, or the same distance apart."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Literal, NamedTuple

from survey_app.errors import UsageError
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.moving import by_metres, carried, put_along
from survey_app.site.edits.positions import Shift, own_positions, with_positions
from survey_app.site.edits.sharing import Found, find_all
from survey_app.site.place import PlanePoint
from survey_app.site.reference_table import named, references_of
from survey_app.site.site import Site

__all__ = ["Alignment", "Axis", "align", "distribute"]

Alignment = Literal["left", "right", "top", "bottom", "middle_x", "middle_y"]
"""Which sides, or which middles, come in line: `middle_x` puts all middles over one x."""

Axis = Literal["x", "y", "line"]
"""Along which things are spread: x, y, or the line between the two that are farthest apart."""

_WORDS: dict[str, str] = {
    "left": "left sides",
    "right": "right sides",
    "top": "upper sides",
    "bottom": "lower sides",
    "middle_x": "middles one above the other",
    "middle_y": "middles side by side",
}
_NOTHING_M = 1e-9


class _Box(NamedTuple):
    found: Found
    left_m: float
    bottom_m: float
    right_m: float
    top_m: float

    @property
    def middle(self) -> tuple[float, float]:
        return (self.left_m + self.right_m) / 2.0, (self.bottom_m + self.top_m) / 2.0


def _boxes(site: Site, ids: Iterable[str], need: int, where: str) -> list[_Box]:
    """Return the things that have a place of their own, in the given order; what rides on others of them goes along."""
    asked = find_all(site, ids)
    chosen = {found.thing.id for found in asked}
    boxes = []
    for found in asked:
        points = own_positions(found.thing)
        rides = any(
            one in chosen
            for reference in references_of(found.collection.name)
            if reference.path == "structure"
            for one in named(found.thing, reference)
        )
        if not points or rides:
            continue
        if not all(isinstance(point, PlanePoint) for point in points):
            raise UsageError(
                f"{found.title} is given by latitude and longitude", where=where, remedy="write it in metres first"
            )
        xs = [point.x_m for point in points if isinstance(point, PlanePoint)]
        ys = [point.y_m for point in points if isinstance(point, PlanePoint)]
        boxes.append(_Box(found, min(xs), min(ys), max(xs), max(ys)))
    if len(boxes) < need:
        words = {2: "two", 3: "three"}[need]
        raise UsageError(
            f"{words} things or more with a place of their own are needed, {len(boxes)} are selected", where=where
        )
    return boxes


def _shifted(site: Site, boxes: list[_Box], shifts: list[tuple[float, float]], label: str) -> Edit:
    after: Site = site
    touched: list[str] = []
    for box, (dx, dy) in zip(boxes, shifts, strict=True):
        if math.hypot(dx, dy) > _NOTHING_M:
            after, ids = _shift(after, box.found, by_metres(dx, dy), label)
            touched += ids
    return finished(label, site, after, tuple(dict.fromkeys(touched)))


def _shift(site: Site, found: Found, shift: Shift, label: str) -> tuple[Site, tuple[str, ...]]:
    return put_along(site, carried(site, [found]), lambda row: with_positions(row, shift, label), shift)


def align(site: Site, ids: Iterable[str], how: Alignment) -> Edit:
    """Bring sides or middles of things in line, with all that stands on them.

    Sides come to the outermost of them, middles to the middle of all.

    Parameters
    ----------
    site : Site
        The site.
    ids : iterable of str
        The things; those without a place of their own (radios, hops, mounts on a wall) follow what they are on.
    how : {"left", "right", "top", "bottom", "middle_x", "middle_y"}
        What comes in line.

    Raises
    ------
    UsageError
        Fewer than two things have a place of their own, one is in degrees, or one is locked.
    """
    if how not in _WORDS:
        raise UsageError(f"'{how}' is no way to align", remedy=f"take one of {', '.join(_WORDS)}")
    label = f"Align {_WORDS[how]}"
    boxes = _boxes(site, ids, 2, label)
    left, right = min(box.left_m for box in boxes), max(box.right_m for box in boxes)
    bottom, top = min(box.bottom_m for box in boxes), max(box.top_m for box in boxes)
    x, y = (left + right) / 2.0, (bottom + top) / 2.0
    shifts = []
    for box in boxes:
        every: dict[str, tuple[float, float]] = {
            "left": (left - box.left_m, 0.0),
            "right": (right - box.right_m, 0.0),
            "top": (0.0, top - box.top_m),
            "bottom": (0.0, bottom - box.bottom_m),
            "middle_x": (x - box.middle[0], 0.0),
            "middle_y": (0.0, y - box.middle[1]),
        }
        shifts.append(every[how])
    return _shifted(site, boxes, shifts, f"{label} of {len(boxes)} things")


def distribute(site: Site, ids: Iterable[str], axis: Axis = "line") -> Edit:
    """Spread things so that their middles are the same distance apart; the outermost two stay.

    Parameters
    ----------
    site : Site
        The site.
    ids : iterable of str
        The things, three or more with a place of their own.
    axis : {"x", "y", "line"}
        Along x or y alone, or on to the line between the two that are farthest apart.

    Raises
    ------
    UsageError
        Fewer than three things have a place of their own, one is in degrees, or one is locked.
    """
    if axis not in ("x", "y", "line"):
        raise UsageError(f"'{axis}' is no way to spread things", remedy="take x, y or line")
    boxes = _boxes(site, ids, 3, "Distribute")
    first, last = _outermost(boxes, axis)
    start, end = first.middle, last.middle
    ux = end[0] - start[0] if axis != "y" else 0.0
    uy = end[1] - start[1] if axis != "x" else 0.0
    between = [box for box in boxes if box is not first and box is not last]
    between.sort(
        key=lambda box: ((box.middle[0] - start[0]) * ux + (box.middle[1] - start[1]) * uy, box.found.thing.id)
    )
    steps = len(between) + 1
    shifts = []
    for number, box in enumerate(between, start=1):
        dx = start[0] + ux * number / steps - box.middle[0]
        dy = start[1] + uy * number / steps - box.middle[1]
        shifts.append((dx if axis != "y" else 0.0, dy if axis != "x" else 0.0))
    return _shifted(site, between, shifts, f"Distribute {len(boxes)} things evenly")


def _outermost(boxes: list[_Box], axis: Axis) -> tuple[_Box, _Box]:
    if axis == "line":
        pairs = [(one, other) for number, one in enumerate(boxes) for other in boxes[number + 1 :]]
        return max(pairs, key=lambda pair: math.dist(pair[0].middle, pair[1].middle))
    order = sorted(boxes, key=lambda box: (box.middle["xy".index(axis)], box.found.thing.id))
    return order[0], order[-1]
