"""What a surface of the ground can be asked, and the two that need no heights: flat ground and ground not known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike

from survey_app.ground._arrays import FloatArray, broadcast
from survey_app.ground.relief.profiles import Profiles, level_profiles

__all__ = ["LevelGround", "Surface"]


class Surface(Protocol):
    """The ground over the plane. A height that is not known is NaN, never a guess."""

    @property
    def words(self) -> str:
        """What it is, for people: where the heights come from, or why there are none."""

    @property
    def sigma_m(self) -> float:
        """Standard deviation of a height; NaN where nothing is known of the ground. [m]"""

    def heights_m(self, x_m: ArrayLike, y_m: ArrayLike) -> FloatArray:
        """Return the ground at points of the plane, over the site datum. [m]"""

    def profiles(self, start_m: FloatArray, end_m: FloatArray) -> Profiles:
        """Return the ground under lines.

        Parameters
        ----------
        start_m, end_m : ndarray of float, shape (lines, 2)
            Ends on the plane. [m]
        """

    def extremes_m(self, outlines: Sequence[FloatArray]) -> FloatArray:
        """Return the lowest and the highest ground inside outlines, exactly.

        Parameters
        ----------
        outlines : sequence of ndarray of float, shape (corners, 2)
            Corners in order; the last joins the first. A line of two corners has an inside without a width. [m]

        Returns
        -------
        ndarray of float, shape (outlines, 2)
            Over the site datum; NaN where any of the ground inside or any corner is not known. [m]
        """


@dataclass(frozen=True)
class LevelGround:
    """Ground of one height everywhere; NaN = nothing is known of it.

    Parameters
    ----------
    height_m : float
        Over the site datum. [m]
    words : str
        What it is, for people.
    """

    height_m: float
    words: str

    @property
    def sigma_m(self) -> float:
        """Nobody measured it. [m]"""
        return float("nan")

    def heights_m(self, x_m: ArrayLike, y_m: ArrayLike) -> FloatArray:
        """Return the ground at points of the plane. [m]"""
        x, y = broadcast(x_m, y_m)
        return np.where(np.isnan(x) | np.isnan(y), np.nan, self.height_m)

    def profiles(self, start_m: FloatArray, end_m: FloatArray) -> Profiles:  # noqa: ARG002  # level from end to end
        """Return the ground under lines."""
        return level_profiles(len(start_m), self.height_m)

    def extremes_m(self, outlines: Sequence[FloatArray]) -> FloatArray:
        """Return the lowest and the highest ground inside outlines. [m]"""
        return np.full((len(outlines), 2), self.height_m)
