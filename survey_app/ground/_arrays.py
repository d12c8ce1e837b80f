"""How a function of this room takes its numbers: as float64 arrays of one shape, never from text."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["FloatArray", "broadcast"]

FloatArray = NDArray[np.float64]


def _numbers(value: ArrayLike) -> FloatArray:
    array = np.asarray(value)
    if array.dtype.kind == "O":
        # None stands for what is not known; everything else in such an array must be a number by itself
        array = np.asarray([np.nan if item is None else _number(item) for item in array.flat]).reshape(array.shape)
    elif array.dtype.kind not in "fiu" and array.size:
        raise TypeError(f"expected numbers, got {array.dtype}")
    return array.astype(np.float64)


def _number(item: object) -> float:
    if isinstance(item, int | float | np.floating | np.integer) and not isinstance(item, bool):
        return float(item)
    raise TypeError(f"expected a number, got {item!r}")


def broadcast(*values: ArrayLike) -> tuple[FloatArray, ...]:
    """Return the values as float64 arrays of their common shape, each in memory of its own.

    None counts as NaN. The copies are made because numpy rounds some functions differently when an array runs through
    memory in steps: a result must not depend on how many others are asked for with it.

    Raises
    ------
    TypeError
        A value is text, a date, a truth value or a complex number: numpy would turn some of them into numbers in
        silence.
    ValueError
        The shapes do not fit together.
    """
    return tuple(np.array(array, order="C") for array in np.broadcast_arrays(*map(_numbers, values)))
