"""Domains: arguments as arrays in which everything outside a formula's domain has become NaN.

Infinity counts as outside: no length, load or speed is infinite.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless

__all__ = ["at_least_one", "finite", "fraction", "not_negative", "positive"]


def positive(values: ArrayLike) -> FloatArray:
    """Return the values, NaN where they are not above zero.

    Parameters
    ----------
    values : array_like of float, shape (...)
        Values of any unit.

    Returns
    -------
    ndarray of float, shape (...)
        The same, NaN where <= 0, infinite or NaN.

    Examples
    --------
    >>> positive([2, 0, -1])
    array([ 2., nan, nan])
    """
    array = float_array(values)
    return nan_unless((array > 0) & (array < np.inf), array)


def not_negative(values: ArrayLike) -> FloatArray:
    """Return the values, NaN where they are below zero.

    Parameters
    ----------
    values : array_like of float, shape (...)
        Values of any unit.

    Returns
    -------
    ndarray of float, shape (...)
        The same, NaN where < 0, infinite or NaN.

    Examples
    --------
    >>> not_negative([2, 0, -1])
    array([ 2.,  0., nan])
    """
    array = float_array(values)
    return nan_unless((array >= 0) & (array < np.inf), array)


def fraction(values: ArrayLike) -> FloatArray:
    """Return the values, NaN where they are no share of a whole above nothing.

    Parameters
    ----------
    values : array_like of float, shape (...)
        Shares.

    Returns
    -------
    ndarray of float, shape (...)
        The same, NaN where <= 0, > 1 or NaN.

    Examples
    --------
    >>> fraction([0.5, 1, 0, 1.1])
    array([0.5, 1. , nan, nan])
    """
    array = float_array(values)
    return nan_unless((array > 0) & (array <= 1), array)


def at_least_one(values: ArrayLike) -> FloatArray:
    """Return the values, NaN where they are below one.

    Parameters
    ----------
    values : array_like of float, shape (...)
        Counts or factors.

    Returns
    -------
    ndarray of float, shape (...)
        The same, NaN where < 1, infinite or NaN.

    Examples
    --------
    >>> at_least_one([2, 1, 0])
    array([ 2.,  1., nan])
    """
    array = float_array(values)
    return nan_unless((array >= 1) & (array < np.inf), array)


def finite(values: ArrayLike) -> FloatArray:
    """Return the values, NaN where they are infinite.

    Parameters
    ----------
    values : array_like of float, shape (...)
        Values of any unit.

    Returns
    -------
    ndarray of float, shape (...)
        The same, NaN where infinite or NaN.

    Examples
    --------
    >>> finite([2, float("inf")])
    array([ 2., nan])
    """
    array = float_array(values)
    return nan_unless(np.isfinite(array), array)
