"""Domains: arguments as arrays in which everything outside a formula's domain has become NaN."""

from __future__ import annotations

from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless

__all__ = ["fraction", "not_negative", "positive"]


def positive(values: ArrayLike) -> FloatArray:
    """Return the values, NaN where they are not above zero.

    Parameters
    ----------
    values : array_like of float, shape (...)
        Values of any unit.

    Returns
    -------
    ndarray of float, shape (...)
        The same, NaN where <= 0 or NaN.

    Examples
    --------
    >>> positive([2, 0, -1])
    array([ 2., nan, nan])
    """
    array = float_array(values)
    return nan_unless(array > 0, array)


def not_negative(values: ArrayLike) -> FloatArray:
    """Return the values, NaN where they are below zero.

    Parameters
    ----------
    values : array_like of float, shape (...)
        Values of any unit.

    Returns
    -------
    ndarray of float, shape (...)
        The same, NaN where < 0 or NaN.

    Examples
    --------
    >>> not_negative([2, 0, -1])
    array([ 2.,  0., nan])
    """
    array = float_array(values)
    return nan_unless(array >= 0, array)


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
