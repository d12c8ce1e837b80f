"""Points of a grid without a height: filled from around them."""

from __future__ import annotations

import numpy as np

from survey_app.ground._arrays import FloatArray

__all__ = ["filled"]


def filled(rows: FloatArray) -> FloatArray:
    """Return a grid with its gaps filled: straight between the points round each gap.

    Parameters
    ----------
    rows : ndarray of float, shape (rows, columns)
        Heights, NaN where there is none.

    Returns
    -------
    ndarray of float, shape (rows, columns)
        A gap that reaches the border is filled as far as points stand on two sides of it; what is left stays NaN.

    Examples
    --------
    >>> filled(np.array([[0.0, 1.0, 2.0], [0.0, np.nan, 2.0], [0.0, 1.0, 2.0]]))[1].tolist()
    [0.0, 1.0, 2.0]
    """
    from scipy.interpolate import LinearNDInterpolator
    from scipy.ndimage import binary_dilation, find_objects, label
    from scipy.spatial import QhullError

    found = rows.copy()
    around = np.ones((3, 3), bool)
    gaps, _ = label(np.isnan(rows), around)
    for number, box in enumerate(find_objects(gaps), start=1):
        wide = tuple(
            slice(max(0, one.start - 1), min(size, one.stop + 1)) for one, size in zip(box, rows.shape, strict=True)
        )
        gap = gaps[wide] == number
        rim = np.argwhere(binary_dilation(gap, around) & ~np.isnan(rows[wide]))
        inside = np.argwhere(gap)
        try:
            between = LinearNDInterpolator(rim, rows[wide][tuple(rim.T)])
        except (QhullError, ValueError):  # too few points round it, or all on one line
            continue
        found[wide][tuple(inside.T)] = between(inside)
    return found
