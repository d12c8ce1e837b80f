"""How a function of this room takes its numbers: as float64 arrays of one shape, never from text."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["FloatArray", "broadcast"]

FloatArray = NDArray[np.float64]


def broadcast(*values: ArrayLike) -> tuple[FloatArray, ...]:
    """Return the values as float64 arrays of their common shape.

    Raises
    ------
    TypeError
        A value is text, a date or a complex number: numpy would turn some of them into numbers in silence.
    ValueError
        The shapes do not fit together.
    """
    arrays = []
    for value in values:
        array = np.asarray(value)
        if array.dtype.kind not in "fiu" and array.size:
            raise TypeError(f"expected numbers, got {array.dtype}")
        arrays.append(array.astype(np.float64))
    return tuple(np.broadcast_arrays(*arrays))
