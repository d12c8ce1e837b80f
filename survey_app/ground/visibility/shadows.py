"""Shadows of solids, as outlines: what a point does not see of a level plane, or of an upright one.

Every face of a solid is thrown from the viewer on to the target plane: a straight edge throws a straight edge, so the
outlines are exact. What is hidden is the union of what the faces throw and of what lies inside a solid.
"""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
import shapely

from survey_app.ground._arrays import FloatArray
from survey_app.ground.clearance import curvature_per_m
from survey_app.ground.solids import IntArray, SolidKind, Solids
from survey_app.ground.visibility.convex import cut
from survey_app.ground.visibility.faces import Block, blocks_of, lid, screens, walls
from survey_app.ground.visibility.frame import EVEN_M, TOUCH_M, Frame, level_frame, upright_frame
from survey_app.ground.visibility.swept import simple_apart, swept

__all__ = ["disc", "level_shadows", "upright_shadows"]

_ARC_SEGMENTS = 90


def disc(viewer_m: FloatArray, radius_m: float) -> shapely.Geometry:
    """Return the disc round a viewer, its outline in steps of one degree."""
    return shapely.buffer(shapely.Point(viewer_m[:2]), radius_m, quad_segs=_ARC_SEGMENTS)


def level_shadows(
    solids: Solids,
    viewer_m: FloatArray,
    height_m: float,
    radius_m: float,
    *,
    kinds: Collection[SolidKind] | None = None,
    k: float | None = None,
) -> shapely.Geometry:
    """Return what a point does not see of a level plane.

    Parameters
    ----------
    solids : Solids
        What stands. Wires hide nothing.
    viewer_m : ndarray of float, shape (3,)
        x, y, height over the site datum. One strictly inside a solid sees nothing.
    height_m : float
        The plane, over the site datum. [m]
    radius_m : float
        How far from the viewer on the plan, > 0. [m]
    kinds : collection of SolidKind, optional
        What counts; everything if left out.
    k : float, optional
        Factor of the earth's radius, > 0; left out, the earth is flat.

    Returns
    -------
    shapely.Geometry
        Area of the plan: hidden, within the radius. What is only touched is not hidden.

    Notes
    -----
    Without a bulge the outlines are exact, poles but for their rounding. With it every corner is exact and an edge
    between two corners straight: over 50 m at 1 km its true line bows by less than a part in a hundred thousand. A
    viewer at the plane's own height looks along it, without a bulge.
    """
    eye = np.asarray(viewer_m, np.float64)
    blocks, posts = _near(solids, eye, radius_m, kinds)
    whole = disc(eye, radius_m)
    if any(block.holds(eye) for block in blocks):
        return whole
    blocks, simple = simple_apart(blocks, eye)
    inside = [_slice(block, height_m) for block in blocks]
    if abs(height_m - eye[2]) < EVEN_M:
        found = _along(solids, eye, height_m, radius_m, blocks, posts)
        found += swept(None, simple, eye, height_m, radius_m)
    else:
        # a bent ray comes down elsewhere than the straight one by which faces are cut to the window
        bend = 0.0 if k is None else curvature_per_m(k)
        frame = level_frame(eye, height_m, radius_m * (2.0 if bend else 1.0), bend)
        found = _thrown(frame, blocks, screens(solids.uprights, posts, eye), min(height_m, float(eye[2])) - 1.0)
        found += swept(frame, simple, eye, height_m, radius_m)
    return shapely.intersection(_union([*found, *inside]), whole)


def upright_shadows(
    solids: Solids,
    viewer_m: FloatArray,
    start_m: FloatArray,
    end_m: FloatArray,
    low_m: float,
    high_m: float,
    *,
    kinds: Collection[SolidKind] | None = None,
    without: Collection[int] = (),
) -> shapely.Geometry:
    """Return what a point does not see of an upright plane over a line of the plan.

    Parameters
    ----------
    solids, viewer_m, kinds
        As in `level_shadows`.
    start_m, end_m : ndarray of float, shape (2,)
        Ends of the line, apart. [m]
    low_m, high_m : float
        Heights that count, over the site datum. [m]
    without : collection of int
        Things (places in `Solids.ids`) that do not count.

    Returns
    -------
    shapely.Geometry
        Hidden area; x is the distance from the start along the line, y the height over the site datum. [m]
    """
    eye = np.asarray(viewer_m, np.float64)
    frame = upright_frame(eye, start_m, end_m, low_m, high_m)
    corners = np.array([eye[:2], start_m, end_m])
    blocks, posts = _within(solids, corners.min(axis=0), corners.max(axis=0), kinds, without)
    if any(block.holds(eye) for block in blocks):
        return frame.whole
    found = _thrown(frame, blocks, screens(solids.uprights, posts, eye), min(low_m, float(eye[2])) - 1.0)
    found += [_standing(block, start_m, end_m, low_m) for block in blocks]
    return shapely.intersection(_union(found), frame.whole)


def _near(
    solids: Solids, eye: FloatArray, radius_m: float, kinds: Collection[SolidKind] | None
) -> tuple[list[Block], IntArray]:
    """Return the prisms and the places of the uprights that can throw a shadow within a radius."""
    return _within(solids, eye[:2] - radius_m, eye[:2] + radius_m, kinds, ())


def _within(
    solids: Solids,
    low_m: FloatArray,
    high_m: FloatArray,
    kinds: Collection[SolidKind] | None,
    without: Collection[int],
) -> tuple[list[Block], IntArray]:
    """Return the prisms and the places of the uprights that stand in a box of the plan."""
    prisms, posts, left_out = solids.prisms, solids.uprights, list(without)
    wanted = ~np.isin(prisms.thing, left_out)
    upright = ~np.isin(posts.thing, left_out)
    if kinds is not None:
        wanted &= np.isin(prisms.kind, [int(kind) for kind in kinds])
        upright &= SolidKind.UPRIGHT in kinds
    low, high = _bounds(solids)
    wanted &= ((low <= high_m) & (high >= low_m)).all(axis=1)
    radius = np.maximum(posts.radius_foot_m, posts.radius_top_m)[:, None]
    centre = posts.centre_m.reshape(-1, 2)
    upright &= ((centre - radius <= high_m) & (centre + radius >= low_m)).all(axis=1)
    return blocks_of(prisms, np.flatnonzero(wanted)), np.flatnonzero(upright).astype(np.int64)


def _bounds(solids: Solids) -> tuple[FloatArray, FloatArray]:
    prisms = solids.prisms
    if not len(prisms):
        return np.empty((0, 2)), np.empty((0, 2))
    first = prisms.ring_start[prisms.first_ring[:-1]]
    return np.minimum.reduceat(prisms.corners_m, first), np.maximum.reduceat(prisms.corners_m, first)


def _thrown(frame: Frame, blocks: list[Block], strips: FloatArray, foot_m: float) -> list[shapely.Geometry]:
    """Return what walls, lids and strips throw."""
    upright = [*(walls(block, foot_m) for block in blocks), strips]
    return [*_sides(frame, frame.seen(np.concatenate(upright))), *_lids(frame, blocks)]


def _sides(frame: Frame, seen: FloatArray) -> list[shapely.Geometry]:
    """Return what flat convex faces throw; view coordinates, shape (n, 4, 3)."""
    # what the viewer stands on is seen from its edge and throws nothing
    edge1, edge2 = seen[:, 1] - seen[:, 0], seen[:, 3] - seen[:, 0]
    normal = np.cross(edge1, edge2)
    size = np.hypot(np.hypot(normal[:, 0], normal[:, 1]), normal[:, 2])
    off = np.abs((normal * seen[:, 0]).sum(axis=1))
    seen = seen[off > TOUCH_M * size]
    corners, count = cut(seen, np.full(len(seen), 4), np.broadcast_to(frame.pyramid, (len(seen), 5, 4)))
    return _polygons(frame.thrown(corners), count)


def _polygons(points: FloatArray, count: IntArray) -> list[shapely.Geometry]:
    rows = np.flatnonzero(count)
    if not len(rows):
        return []
    there = np.arange(points.shape[1]) < count[rows, None]
    ring = points[rows][there]
    owner = np.repeat(np.arange(len(rows)), count[rows])
    # back to the first corner
    first = np.cumsum(count[rows]) - count[rows]
    order = np.argsort(np.concatenate((owner, np.arange(len(rows)))), kind="stable")
    closed = np.concatenate((ring, ring[first]))[order]
    owner = np.concatenate((owner, np.arange(len(rows))))[order]
    found = shapely.polygons(shapely.linearrings(closed, indices=owner))
    return list(found[shapely.area(found) > 0.0])


def _lids(frame: Frame, blocks: list[Block]) -> list[shapely.Geometry]:
    """Return what roof planes and undersides throw."""
    corners, spaces, planes, areas = [], [], [], []
    for block in blocks:
        flat = [(plane, n) for n, plane in enumerate(block.tops)]
        if block.underside_m > -np.inf:
            flat.append((np.array([0.0, 0.0, block.underside_m]), -1))
        for plane, n in flat:
            rectangle, under = lid(block, plane, n)
            if block.underside_m > -np.inf and n >= 0:
                under = np.vstack((under, [[0.0, 0.0, 1.0, -block.underside_m]]))
            else:
                under = np.vstack((under, [[0.0, 0.0, 0.0, 1.0]]))
            corners.append(rectangle)
            spaces.append(under)
            planes.append(plane)
            areas.append(block.area)
    if not corners:
        return []
    faces, table = np.array(corners), np.array(planes)
    eye_over = np.abs(table[:, 0] * frame.origin[0] + table[:, 1] * frame.origin[1] + table[:, 2] - frame.origin[2])
    off = eye_over > TOUCH_M
    # in the target plane itself a lid only touches
    seen = frame.seen(faces)
    off &= ~(np.abs(seen[:, :, 2] - 1.0) < 1e-12).all(axis=1)
    pyramid = frame.space(frame.pyramid)
    limits = np.concatenate((np.array(spaces), np.broadcast_to(pyramid, (len(faces), 5, 4))), axis=1)
    cutting, count = cut(faces, np.where(off, 4, 0), limits)
    found = []
    for n in np.flatnonzero(count).tolist():
        piece = shapely.intersection(areas[n], shapely.Polygon(cutting[n, : count[n], :2]))
        found += _on_plane(frame, piece, table[n])
    return found


def _on_plane(frame: Frame, piece: shapely.Geometry, plane: FloatArray) -> list[shapely.Geometry]:
    """Throw parts of a slanting plane that are known on the plan."""

    def thrown(points: FloatArray) -> FloatArray:
        heights = points[:, :1] * plane[0] + points[:, 1:] * plane[1] + plane[2]
        return frame.thrown(frame.seen(np.column_stack((points, heights))))

    parts = [part for part in shapely.get_parts(piece) if isinstance(part, shapely.Polygon) and part.area > 0.0]
    return [shapely.make_valid(shapely.transform(part, thrown)) for part in parts]


def _slice(block: Block, height_m: float) -> shapely.Geometry:
    """Return where a level plane runs inside a block."""
    if not block.underside_m < height_m - TOUCH_M:
        return shapely.Polygon()
    if block.is_plain:
        return block.area if float(block.tops[0, 2]) > height_m + TOUCH_M else shapely.Polygon()
    level = np.array([0.0, 0.0, height_m + TOUCH_M])
    rectangle, under = lid(block, level)
    corners, count = cut(rectangle[None], np.array([4]), under[None])
    if not count[0]:
        return shapely.Polygon()
    return shapely.intersection(block.area, shapely.Polygon(corners[0, : count[0], :2]))


def _along(
    solids: Solids, eye: FloatArray, height_m: float, radius_m: float, blocks: list[Block], posts: IntArray
) -> list[shapely.Geometry]:
    """Return what is hidden from a viewer who looks along a level plane: all that lies behind what cuts the plane."""
    edges = []
    for block in blocks:
        for part in shapely.get_parts(_slice(block, height_m)):
            if isinstance(part, shapely.Polygon):
                for ring in (part.exterior, *part.interiors):
                    points = shapely.get_coordinates(ring)
                    edges.append(np.stack((points[:-1], points[1:]), axis=1))
    uprights = solids.uprights
    cuts = (uprights.foot_m[posts] < height_m - TOUCH_M) & (uprights.top_m[posts] > height_m + TOUCH_M)
    strips = screens(uprights, posts[cuts], eye)
    if len(strips):
        # as wide as the pole is at this height
        part = ((height_m - strips[:, 0, 2]) / (strips[:, 3, 2] - strips[:, 0, 2]))[:, None]
        left = (1.0 - part) * strips[:, 0, :2] + part * strips[:, 3, :2]
        right = (1.0 - part) * strips[:, 1, :2] + part * strips[:, 2, :2]
        edges.append(np.stack((left, right), axis=1))
    if not edges:
        return []
    lines = np.concatenate(edges) - eye[:2]
    here, there = lines[:, 0], lines[:, 1]
    one, nought = np.ones((len(lines), 1)), np.zeros((len(lines), 1))
    # behind an edge lies what is got by scaling it up: as a face it stands from part 0 to part 1
    seen = np.stack(
        [np.hstack((here, nought)), np.hstack((there, nought)), np.hstack((there, one)), np.hstack((here, one))], axis=1
    )
    window = (-radius_m, -radius_m, radius_m, radius_m)
    return _sides(Frame(np.eye(3), eye, window, eye[:2].copy()), seen)


def _standing(block: Block, start_m: FloatArray, end_m: FloatArray, low_m: float) -> shapely.Geometry:
    """Return where an upright plane runs inside a block, as distance along its line and height."""
    line = shapely.LineString([start_m, end_m])
    length = shapely.length(line)
    found = []
    inner = shapely.intersection(line, shapely.buffer(block.area, -TOUCH_M, join_style="mitre"))
    for part in shapely.get_parts(inner):
        if not isinstance(part, shapely.LineString) or part.is_empty:
            continue
        ends = shapely.get_coordinates(part)
        a, b = (float(np.hypot(*(point - start_m))) for point in (ends[0], ends[-1]))
        found.append(_under_tops(block, start_m, (end_m - start_m) / length, min(a, b), max(a, b), low_m))
    return _union(found)


def _under_tops(
    block: Block, start_m: FloatArray, along: FloatArray, a: float, b: float, low_m: float
) -> shapely.Geometry:
    """Return the part of an upright plane between two distances that lies under all planes of a top."""
    low = max(block.underside_m, low_m - 1.0)
    high = float(np.max(block.tops @ np.append(start_m + a * along, 1.0), initial=low))
    high = max(high, float(np.max(block.tops @ np.append(start_m + b * along, 1.0), initial=low)))
    corners = np.array([[[a, low, 0.0], [b, low, 0.0], [b, high, 0.0], [a, high, 0.0]]])
    spaces = [[top[:2] @ along, -1.0, 0.0, top[:2] @ start_m + top[2]] for top in block.tops]
    cutting, count = cut(corners, np.array([4]), np.array([spaces]))
    return shapely.Polygon(cutting[0, : count[0], :2]) if count[0] else shapely.Polygon()


def _union(parts: list[shapely.Geometry]) -> shapely.Geometry:
    there = [part for part in parts if not part.is_empty]
    return shapely.union_all(there) if there else shapely.Polygon()
