"""Where a straight line on the plan runs inside areas with their holes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from survey_app.ground._arrays import FloatArray

__all__ = ["Crossings", "area_spans"]

IntArray = NDArray[np.int64]


@dataclass(frozen=True)
class Crossings:
    """Where a line meets things, by thing and then along the line.

    Attributes
    ----------
    thing : ndarray of int, shape (n,)
        Place of the thing in what was asked.
    enter, leave : ndarray of float, shape (n,)
        Parts of the line's length, 0 at its start and 1 at its end. [1]
    """

    thing: IntArray
    enter: FloatArray
    leave: FloatArray


def area_spans(
    start: tuple[float, float], end: tuple[float, float], areas: Sequence[Sequence[FloatArray]]
) -> Crossings:
    """Return where a line runs inside areas.

    Parameters
    ----------
    start, end : (x, y)
        The line; without a length it is inside nothing. [m]
    areas : sequence of sequence of ndarray of float, shape (corners, 2)
        Each area's rings, outline and holes alike; inside is what an odd number of rings encloses. A ring with a NaN
        encloses nothing. [m]

    Returns
    -------
    Crossings
        Spans of positive length, cut at the ends of the line. One that begins or ends inside begins at 0 or ends at 1.

    Examples
    --------
    >>> square = np.array([[4.0, -1.0], [6.0, -1.0], [6.0, 1.0], [4.0, 1.0]])
    >>> found = area_spans((0.0, 0.0), (10.0, 0.0), [[square]])
    >>> found.enter.tolist(), found.leave.tolist()
    ([0.4], [0.6])
    """
    owner = [n for n, rings in enumerate(areas) for ring in rings for _ in range(len(ring))]
    here = [ring for rings in areas for ring in rings if len(ring)]
    if not here:
        return _sorted(np.empty(0, np.int64), np.empty(0), np.empty(0))
    first = np.concatenate(here)
    second = np.concatenate([np.roll(ring, -1, axis=0) for ring in here])
    usable = np.concatenate([np.full(len(ring), bool(np.isfinite(ring).all())) for ring in here])
    crossed, along = _edges_met(start, end, first, second)
    taken = crossed & usable
    thing, at = np.asarray(owner, np.int64)[taken], along[taken]
    order = np.lexsort((at, thing))
    thing, at = thing[order], at[order]
    # each closed ring is crossed an even number of times, so neighbours pair up within their thing
    enter, leave = np.clip(at[0::2], 0.0, 1.0), np.clip(at[1::2], 0.0, 1.0)
    long = leave > enter
    return _sorted(thing[0::2][long], enter[long], leave[long])


def _edges_met(
    start: tuple[float, float], end: tuple[float, float], first: FloatArray, second: FloatArray
) -> tuple[NDArray[np.bool_], FloatArray]:
    """Return which edges the endless line crosses, and where along it: 0 at its start, 1 at its end.

    A corner on the line belongs to its left side, so that a ring is crossed an even number of times however it lies.
    """
    direction = np.subtract(end, start)
    length_2 = float(direction @ direction)
    # from the start, so that far from the origin the corners keep their digits
    a, b = first - np.asarray(start, np.float64), second - np.asarray(start, np.float64)
    side_a = direction[0] * a[:, 1] - direction[1] * a[:, 0]
    side_b = direction[0] * b[:, 1] - direction[1] * b[:, 0]
    crossed = (side_a >= 0.0) != (side_b >= 0.0) if length_2 else np.zeros(len(a), bool)
    with np.errstate(divide="ignore", invalid="ignore"):
        part = np.where(crossed, side_a / (side_a - side_b), 0.0)
    met = a + part[:, None] * (b - a)
    return crossed, met @ direction / (length_2 or 1.0)


def _sorted(thing: IntArray, enter: FloatArray, leave: FloatArray) -> Crossings:
    order = np.lexsort((enter, thing))
    return Crossings(thing[order], enter[order], leave[order])
