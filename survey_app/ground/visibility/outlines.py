"""Areas where values on a grid are high enough, as outlines through the exact crossing values.

Cell by cell the border between positive and other points of the grid runs straight from edge to edge; its pieces are
joined by number. Nothing is overlaid, so an area and what is left of it beside another fit together without a gap.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from survey_app.ground._arrays import FloatArray

__all__ = ["area_above", "areas_apart"]

IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

_SOUTH, _EAST, _NORTH, _WEST = range(4)
# A cell's corners count 1, 2, 4, 8 from the south-west one round; the positive side lies left of the way from edge to
# edge. Of two opposite corners each is cut off by itself.
_FROM_TO = {
    1: ((_SOUTH, _WEST),), 2: ((_EAST, _SOUTH),), 3: ((_EAST, _WEST),), 4: ((_NORTH, _EAST),),
    5: ((_SOUTH, _WEST), (_NORTH, _EAST)), 6: ((_NORTH, _SOUTH),), 7: ((_NORTH, _WEST),), 8: ((_WEST, _NORTH),),
    9: ((_SOUTH, _NORTH),), 10: ((_EAST, _SOUTH), (_WEST, _NORTH)), 11: ((_EAST, _NORTH),), 12: ((_WEST, _EAST),),
    13: ((_SOUTH, _EAST),), 14: ((_WEST, _SOUTH),),
}  # fmt: skip
_LATER = (1, 0, 0, 1)
"""Whether a cell is the later of the two beside its southern, eastern, northern, western edge."""
_NEAREST = 1e-8
"""No outline comes closer to a point of the grid, in parts of a step: at the point itself it would touch itself."""
_APART = 4e-9
"""Two outlines that cross an edge of the grid closer than this run together, or are kept so far apart."""


class _Grid(NamedTuple):
    """A grid with a border of points without a value round it.

    Edges along a row are numbered as the points on their left, those along a column, after them, as the points below.
    """

    across: FloatArray
    up: FloatArray
    fields: tuple[FloatArray, ...]

    @property
    def columns(self) -> int:
        return len(self.across)

    @property
    def points(self) -> int:
        return len(self.across) * len(self.up)

    def positive(self) -> BoolArray:
        """Return where all fields are positive."""
        found = np.zeros((len(self.up), len(self.across)), np.bool_)
        inner = found[1:-1, 1:-1]
        np.greater(self.fields[0], 0.0, out=inner)
        for field in self.fields[1:]:
            inner &= field > 0.0
        return found

    def ends(self, edge: IntArray) -> tuple[IntArray, IntArray]:
        """Return the points at both ends of edges."""
        first = np.where(edge < self.points, edge, edge - self.points)
        return first, first + np.where(edge < self.points, 1, self.columns)

    def values(self, point: IntArray) -> Iterator[FloatArray]:
        """Yield each field at points; where it is not known it is infinitely far down, so it ends at the last known."""
        row, column = np.divmod(point, self.columns)
        inside = (row > 0) & (row <= len(self.up) - 2) & (column > 0) & (column <= self.columns - 2)
        place = np.where(inside, (row - 1) * (self.columns - 2) + column - 1, 0)
        for field in self.fields:
            found = field.ravel()[place]
            yield np.where(inside & np.isfinite(found), found, -np.inf)


class _Crossed(NamedTuple):
    """Edges that an outline crosses, by their number; how far from their positive end; whether that is the first."""

    edge: IntArray
    part: FloatArray
    from_first: BoolArray


class _Pieces(NamedTuple):
    """Straight pieces of outlines, each in one cell; an end is twice its place, and one more in the edge's later cell.

    Attributes
    ----------
    begin, end : ndarray of int, shape (pieces,)
    """

    begin: IntArray
    end: IntArray

    def without(self, rows: BoolArray) -> _Pieces:
        return _Pieces(self.begin[~rows], self.end[~rows])


def area_above(
    across: FloatArray,
    up: FloatArray,
    values: FloatArray,
    mapped: Callable[[FloatArray], FloatArray] | None = None,
) -> shapely.Geometry:
    """Return where values between the points of a grid are positive.

    Parameters
    ----------
    across : ndarray of float, shape (columns,)
        Where the columns stand, rising.
    up : ndarray of float, shape (rows,)
        Where the rows stand, rising.
    values : ndarray of float, shape (rows, columns)
        NaN = not known: no area there.
    mapped : callable, optional
        Takes corners of the outlines, shape (n, 2), to where they lie on the plan.

    Returns
    -------
    shapely.Geometry
        Marching squares, values taken linear along the lines of the grid.

    Examples
    --------
    >>> round(area_above(np.arange(3.0), np.arange(3.0), np.array([[-1, 0, 1], [-1, 0, 1], [-1, 0, 1.0]])).area, 6)
    2.0
    """
    return areas_apart(across, up, (values,), mapped=mapped)[0]


def areas_apart(
    across: FloatArray,
    up: FloatArray,
    fields: Sequence[FloatArray],
    *,
    mapped: Callable[[FloatArray], FloatArray] | None = None,
) -> tuple[shapely.Geometry, ...]:
    """Return how far one field after another is positive: where only the first is, then the first two, up to all.

    Parameters
    ----------
    across, up, mapped
        See `area_above`.
    fields : sequence of ndarray of float, shape (rows, columns)
        NaN = not known: no area there, nor in the fields after it.

    Returns
    -------
    tuple of shapely.Geometry
        As many as fields. They do not overlap, and together they are the area of the first, to a millionth of a step.

    Examples
    --------
    >>> x = np.arange(4.0)
    >>> high, right = np.tile(x - 1.5, (4, 1)).T, np.tile(x - 0.5, (4, 1))
    >>> [round(area.area, 6) for area in areas_apart(x, x, (high, right))]
    [0.875, 3.625]
    """
    if min(len(across), len(up)) < 2:
        return (shapely.Polygon(),) * len(fields)
    grids = [_framed(across, up, fields[: n + 1]) for n in range(len(fields))]
    outlines = [_outlines_of(grid) for grid in grids]
    between = [_beside(grids[0].points, *pair) for pair in itertools.pairwise(outlines)]
    return tuple(_areas(grids[0], _joined(pieces), at, mapped) for pieces, at in (*between, outlines[-1]))


def _framed(across: FloatArray, up: FloatArray, fields: Sequence[FloatArray]) -> _Grid:
    x, y = (np.concatenate(([2.0 * at[0] - at[1]], at, [2.0 * at[-1] - at[-2]])) for at in (across, up))
    return _Grid(x, y, tuple(fields))


def _outlines_of(grid: _Grid) -> tuple[_Pieces, _Crossed]:
    """Return the pieces of the outlines round where all fields are positive, and where they cross edges."""
    positive = grid.positive()
    # by number of the lower left corner; a cell from the end of a row to the next begin lies in the border
    beside = grid.columns
    code = _codes(positive.ravel().view(np.uint8), beside)
    base = np.flatnonzero((code - 1) < 14)  # neither 0 nor 15: nought less one is large
    kind = code[base]
    edge = np.stack((base, grid.points + base + 1, base + beside, grid.points + base)).astype(np.int64)
    begins, ends = [], []
    for number, ways in _FROM_TO.items():
        here = edge[:, kind == number]
        for one, other in ways:
            begins.append(2 * here[one] + _LATER[one])
            ends.append(2 * here[other] + _LATER[other])
    pieces = _Pieces(np.concatenate(begins), np.concatenate(ends))
    crossed = np.sort(pieces.begin // 2)  # each once: outlines run round
    first, second = grid.ends(crossed)
    from_first = positive.ravel()[first]
    high, low = np.where(from_first, first, second), np.where(from_first, second, first)
    return pieces, _Crossed(crossed, _parts(grid, high, low), from_first)


def _codes(corner: NDArray[np.uint8], beside: int) -> NDArray[np.uint8]:
    """Return which corners of each cell are positive, as `_FROM_TO` counts them."""
    right, over = corner[1:-beside] << 1, corner[beside + 1 :] << 2
    return np.asarray(corner[: -beside - 1] | right | over | corner[beside:-1] << 3, np.uint8)


def _parts(grid: _Grid, high: IntArray, low: IntArray) -> FloatArray:
    """Return how far from their positive ends edges are crossed: where the first of the fields comes down to nought."""
    part = np.ones(len(high))
    for one, two in zip(grid.values(high), grid.values(low), strict=True):
        part = np.minimum(part, np.where(two > 0.0, 1.0, one / (one - np.minimum(two, 0.0))))
    return np.clip(part, _NEAREST, 1.0 - _NEAREST)


def _beside(points: int, outer: tuple[_Pieces, _Crossed], inner: tuple[_Pieces, _Crossed]) -> tuple[_Pieces, _Crossed]:
    """Return the outlines between an outer and an inner area: the inner ones backwards, and neither where both run.

    A place on an edge where the inner outline comes to the outer one or leaves it is one place; where they only come
    close they are kept apart, so that no outline touches itself. Other places of the inner one are numbered anew.
    """
    (around, at), (within, at_in) = outer, inner
    if not len(within.begin):
        return outer
    same = np.minimum(np.searchsorted(at.edge, at_in.edge), len(at.edge) - 1)
    close = (at.edge[same] == at_in.edge) & (at_in.part > at.part[same] - _APART)
    part = np.where(close, at.part[same] - _APART, at_in.part)
    touching = np.zeros(2 * points, np.bool_)
    touching[at_in.edge[close]] = True
    together, together_in = _alike(around, within, touching)
    one_place = np.zeros(2 * points, np.bool_)
    one_place[around.begin[together] // 2] = one_place[around.end[together] // 2] = True
    ours, left = around.without(together), within.without(together_in)
    back = [np.where(one_place[end // 2], end, end + 4 * points) for end in (left.end, left.begin)]
    pieces = _Pieces(np.concatenate((ours.begin, back[0])), np.concatenate((ours.end, back[1])))
    anew = _Crossed(at_in.edge + 2 * points, part, at_in.from_first)
    return pieces, _Crossed(*(np.concatenate(pair) for pair in zip(at, anew, strict=True)))


def _alike(one: _Pieces, other: _Pieces, touching: BoolArray) -> tuple[BoolArray, BoolArray]:
    """Return which pieces of two sets run in one cell from the same edge to the same edge, close together on both."""
    # an end says its cell too, so from one edge of a cell only one piece of a set begins
    order = np.argsort(one.begin)
    begin = one.begin[order]
    at = np.minimum(np.searchsorted(begin, other.begin), len(begin) - 1)
    there = np.flatnonzero((begin[at] == other.begin) & touching[other.begin // 2] & touching[other.end // 2])
    here = order[at[there]]
    same = one.end[here] == other.end[there]
    found, found_other = np.zeros(len(one.begin), np.bool_), np.zeros(len(other.begin), np.bool_)
    found[here[same]], found_other[there[same]] = True, True
    return found, found_other


def _joined(pieces: _Pieces) -> tuple[IntArray, IntArray]:
    """Return the places of all rings one after another, and where each ring begins.

    From an end a ring goes on in the same cell if it can, for there two outlines meet, else in the next one.
    """
    order = np.argsort(pieces.begin)
    begin, ends = pieces.begin[order], pieces.end[order]
    following = np.empty(len(begin), np.int64)
    for end in (ends ^ 1, ends):
        at = np.minimum(np.searchsorted(begin, end), max(len(begin) - 1, 0))
        there = begin[at] == end
        following[there] = at[there]
    after = following.tolist()
    left = bytearray(b"\1" * len(after))
    rings: list[int] = []
    first, start = [0], left.find(1)
    while start >= 0:
        row = start
        while left[row]:
            left[row] = 0
            rings.append(row)
            row = after[row]
        first.append(len(rings))
        start = left.find(1, start)
    return begin[np.array(rings, np.int64)] // 2, np.array(first, np.int64)


def _areas(
    grid: _Grid,
    rings: tuple[IntArray, IntArray],
    crossed: _Crossed,
    mapped: Callable[[FloatArray], FloatArray] | None,
) -> shapely.Geometry:
    """Return rings as polygons with their holes."""
    place, first = rings
    if len(first) < 2:
        return shapely.Polygon()
    edge, along, points = _points_of(grid, place, crossed)
    owner = _owners(grid.points, edge, along, points, first)
    # what is mapped may not be straight between two places that lie on a line with a third
    kept = _corners(points, first) if mapped is None else np.arange(len(points))
    where = points if mapped is None else mapped(points)
    # round a ring, then the next one of the same polygon: the outer ring first
    ring = np.repeat(np.arange(len(first) - 1), np.diff(first))[kept]
    order = np.argsort(owner * 2 + (np.arange(len(owner)) != owner), kind="stable")
    rank = np.empty(len(order), np.int64)
    rank[order] = np.arange(len(order))
    rows = kept[np.argsort(rank[ring], kind="stable")]
    count = np.bincount(rank[ring], minlength=len(order))
    begin = np.concatenate(([0], np.cumsum(count)))
    closed = np.insert(rows, begin[1:], rows[begin[:-1]])
    ring_start = begin + np.arange(len(begin))
    outer = np.flatnonzero(owner[order] == order)
    polygons = shapely.from_ragged_array(
        shapely.GeometryType.POLYGON, where[closed], (ring_start, np.append(outer, len(order)))
    )
    if mapped is not None:
        polygons = np.array([one for area in shapely.make_valid(polygons) for one in shapely.get_parts(area)])
        polygons = polygons[shapely.get_type_id(polygons) == shapely.GeometryType.POLYGON]
    # outlines of one field lie apart or touch in single points
    return polygons[0] if len(polygons) == 1 else shapely.multipolygons(polygons)


def _points_of(grid: _Grid, place: IntArray, crossed: _Crossed) -> tuple[IntArray, FloatArray, FloatArray]:
    """Return the edge of each place, how far from the edge's first end it lies, and where on the plan, shape (n, 2)."""
    row = np.searchsorted(crossed.edge, place)
    along = np.where(crossed.from_first[row], crossed.part[row], 1.0 - crossed.part[row])
    edge = place % (2 * grid.points)
    one, two = grid.ends(edge)
    x, x2 = (grid.across[point % grid.columns] for point in (one, two))
    y, y2 = (grid.up[point // grid.columns] for point in (one, two))
    return edge, along, np.column_stack((x + along * (x2 - x), y + along * (y2 - y)))


def _owners(points: int, edge: IntArray, along: FloatArray, where: FloatArray, first: IntArray) -> IntArray:
    """Return the outer ring of each ring's polygon.

    A hole is met first, row by row from the left, at a place left of which its polygon goes on to the place before.
    """
    ring = np.repeat(np.arange(len(first) - 1), np.diff(first))
    level = np.flatnonzero(edge < points)
    order = level[np.lexsort((along[level], edge[level]))]
    owner = np.arange(len(first) - 1)
    met = ring[order]
    begins = np.empty(len(owner), np.int64)
    begins[met[::-1]] = np.arange(len(met))[::-1]  # of a ring's places the first stays
    for one in np.argsort(begins).tolist():
        if _turn(where[first[one] : first[one + 1]]) < 0.0:
            owner[one] = owner[met[begins[one] - 1]]
    return owner


def _turn(ring: FloatArray) -> float:
    """Return twice the area of a ring, negative where it runs round a hole."""
    away = ring - ring[0]
    return float(np.sum(away[:-1, 0] * away[1:, 1] - away[:-1, 1] * away[1:, 0]))


def _corners(points: FloatArray, first: IntArray) -> IntArray:
    """Return the places of rings that do not lie on a line between their neighbours."""
    way = np.empty_like(points)
    way[:-1] = points[1:] - points[:-1]
    way[first[1:] - 1] = points[first[:-1]] - points[first[1:] - 1]
    before = np.empty_like(way)
    before[1:] = way[:-1]
    before[first[:-1]] = way[first[1:] - 1]
    return np.flatnonzero(before[:, 0] * way[:, 1] != before[:, 1] * way[:, 0])
