"""Evenly spread draws of independent errors: the same for every hop on every day."""

from __future__ import annotations

import functools
from statistics import NormalDist

import numpy as np

from survey_app.physics.arrays import FloatArray

__all__ = ["DRAWS", "normal_draws"]

DRAWS = 257
"""Number of draws; a prime, so that every unknown takes each of its steps once."""
_FACTOR = 155
_SHIFT = 101


@functools.lru_cache(maxsize=32)
def normal_draws(unknowns: int) -> FloatArray:
    r"""Return draws of independent errors of mean 0 and standard deviation 1.

    Parameters
    ----------
    unknowns : int
        How many.

    Returns
    -------
    ndarray of float, shape (unknowns, DRAWS)
        Each row runs once through the same steps, in an order of its own; not to be written to. [1]

    Notes
    -----
    A lattice rule of Korobov's kind: draw k of unknown j is the normal quantile of
    :math:`((k g^j + c j) \bmod n + 1/2) / n`, so that every unknown by itself is spread as evenly as can be and the
    draws fill the space of all of them without clusters. Source: [NIEDERREITER1992]_, 1992, chapter 5.
    """
    normal = NormalDist()
    steps = np.array([normal.inv_cdf((k + 0.5) / DRAWS) for k in range(DRAWS)])
    draws = np.arange(DRAWS)
    rows = [(draws * pow(_FACTOR, j, DRAWS) + _SHIFT * j) % DRAWS for j in range(unknowns)]
    found = steps[np.array(rows, np.int64).reshape(unknowns, DRAWS)]
    found.flags.writeable = False
    return found
