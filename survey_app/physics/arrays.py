"""What every formula does at its door: arguments become arrays of float64, unusable elements become NaN.

Two habits keep a result bit-for-bit independent of how many elements stand beside it, and every module here keeps them:

* arguments are copied into ordinary memory order first, because numpy's vector code rounds ``exp``, ``log10``,
  ``power`` and ``arctan`` differently when an array runs backwards through memory;
* powers are written ``np.power``, never ``**``, because ``**`` on a lone number takes another route than on an array.
"""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["BoolArray", "ComplexArray", "FloatArray", "float_array", "nan_unless"]

FloatArray: TypeAlias = NDArray[np.float64]
BoolArray: TypeAlias = NDArray[np.bool_]
ComplexArray: TypeAlias = NDArray[np.complex128]


def float_array(values: ArrayLike) -> FloatArray:
    """Return the values as float64 in C order.

    Parameters
    ----------
    values : array_like of float, any shape
        Numbers; None counts as NaN.

    Returns
    -------
    ndarray of float64, same shape
        The values; a copy only where type or memory order had to change.

    Raises
    ------
    ValueError, TypeError
        Something that is not a number.

    Examples
    --------
    >>> float_array([1, None, 3])
    array([ 1., nan,  3.])
    """
    return np.asarray(values, dtype=np.float64, order="C")


def nan_unless(condition: Any, values: FloatArray) -> FloatArray:
    """Return the values where the condition holds and NaN elsewhere.

    Parameters
    ----------
    condition : array_like of bool
        What makes an element usable; a comparison with NaN is False, so that NaN stays NaN.
    values : ndarray of float, broadcast with `condition`
        Values of any unit.

    Returns
    -------
    ndarray of float, broadcast shape
        `values` with NaN where the condition does not hold.

    Examples
    --------
    >>> nan_unless([True, False], float_array([1.0, 2.0]))
    array([ 1., nan])
    """
    return np.where(condition, values, np.nan)
