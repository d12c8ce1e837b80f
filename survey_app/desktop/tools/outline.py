"""Outlines in progress: their corners, edges, area, and whether their lines cross."""

from __future__ import annotations

import itertools
import math

from survey_app.desktop.tools.figures import area, length
from survey_app.desktop.tools.strokes import along, is_long
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point, Shape
from survey_app.ground.straight import bearing_of, distance_of
from survey_app.site.site import Site

__all__ = ["area_m2", "counter_clockwise", "crosses_itself", "edge_words", "in_progress", "rectangle", "squared"]


def area_m2(corners: tuple[Point, ...]) -> float:
    """Return the area of an outline, whichever way its corners run. [m²]

    Examples
    --------
    >>> area_m2(((0, 0), (4, 0), (4, 3), (0, 3)))
    12.0
    """
    if len(corners) < 3:
        return 0.0
    x0, y0 = corners[0]
    twice = sum(
        (ax - x0) * (by - y0) - (bx - x0) * (ay - y0)
        for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True)
    )
    return abs(twice) / 2.0


def counter_clockwise(corners: tuple[Point, ...]) -> bool:
    """Whether the corners of an outline run against the clock."""
    x0, y0 = corners[0]
    twice = 0.0
    for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True):
        twice += (ax - x0) * (by - y0) - (bx - x0) * (ay - y0)
    return twice > 0.0


def squared(before: Point | None, last: Point, at: Point) -> Point:
    """Return the point held square to the edge before, or in line with it; the first edge runs along the plan's axes.

    Examples
    --------
    >>> squared((0, 0), (10, 0), (10.4, 6))
    (10.0, 6.0)
    """
    along_deg = 0.0 if before is None or before == last else bearing_of(before, last)
    turn = math.radians(along_deg)
    ux, uy = math.sin(turn), math.cos(turn)
    dx, dy = at[0] - last[0], at[1] - last[1]
    forth, across = dx * ux + dy * uy, dx * uy - dy * ux
    # noise below the micrometre is no angle
    if abs(forth) >= abs(across):
        return round(last[0] + ux * forth, 9) + 0.0, round(last[1] + uy * forth, 9) + 0.0
    return round(last[0] + uy * across, 9) + 0.0, round(last[1] - ux * across, 9) + 0.0


def rectangle(a: Point, b: Point, at: Point) -> tuple[Point, ...]:
    """Return the rectangle on an edge whose other side goes through a point.

    Examples
    --------
    >>> rectangle((0, 0), (10, 0), (3, 4))
    ((0, 0), (10, 0), (10.0, 4.0), (0.0, 4.0))
    """
    edge_m = distance_of(a, b)
    if edge_m == 0.0:
        return (a, b)
    nx, ny = -(b[1] - a[1]) / edge_m, (b[0] - a[0]) / edge_m
    depth_m = (at[0] - a[0]) * nx + (at[1] - a[1]) * ny
    dx, dy = nx * depth_m, ny * depth_m
    return a, b, (b[0] + dx, b[1] + dy), (a[0] + dx, a[1] + dy)


def crosses_itself(corners: tuple[Point, ...]) -> bool:
    """Whether two edges of an outline cross or touch each other away from a common corner.

    Examples
    --------
    >>> crosses_itself(((0, 0), (4, 4), (4, 0), (0, 4))), crosses_itself(((0, 0), (4, 0), (4, 4)))
    (True, False)
    """
    count = len(corners)
    edges = [(corners[n], corners[(n + 1) % count]) for n in range(count)]
    for one in range(count):
        for other in range(one + 1, count):
            if other - one in (1, count - 1):
                continue
            if _meet(*edges[one], *edges[other]):
                return True
    return False


def _meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    def within(p: Point, q: Point, r: Point) -> bool:
        return min(p[0], q[0]) <= r[0] <= max(p[0], q[0]) and min(p[1], q[1]) <= r[1] <= max(p[1], q[1])

    s1, s2, s3, s4 = side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
    if ((s1 > 0) != (s2 > 0)) and ((s3 > 0) != (s4 > 0)) and 0.0 not in (s1, s2, s3, s4):
        return True
    touching = ((s1, (a, b, c)), (s2, (a, b, d)), (s3, (c, d, a)), (s4, (c, d, b)))
    return any(s == 0.0 and within(*points) for s, points in touching)


def edge_words(site: Site, a: Point, b: Point, px_per_m: float) -> tuple[Shape, ...]:
    """Return the length of an edge along it, where the edge is long enough on the screen to carry it."""
    return along(a, b, length(site, distance_of(a, b))) if is_long(a, b, px_per_m) else ()


def in_progress(
    site: Site, corners: tuple[Point, ...], px_per_m: float, *, closed: bool = True, role: Role = Role.RUBBER
) -> tuple[Shape, ...]:
    """Return an outline in progress with the length of each edge along it; the edge that closes it is dashed."""
    if len(corners) < 2:
        return ()
    pairs = list(itertools.pairwise(corners))
    shapes: list[Shape] = [Path(role, corners)]
    if closed and len(corners) > 2:
        pairs.append((corners[-1], corners[0]))
        shapes.append(Path(Role.TRAIL, (corners[-1], corners[0])))
    for a, b in pairs:
        shapes.extend(edge_words(site, a, b, px_per_m))
    return tuple(shapes)


def outline_words(site: Site, corners: tuple[Point, ...]) -> str:
    """Return the area of an outline in words; empty where it has none yet."""
    return area(site, area_m2(corners)) if len(corners) > 2 else ""
