"""Measured antennas: gain from the two cuts of a pattern table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UsageError
from survey_app.physics.arrays import FloatArray, float_array, nan_unless

__all__ = ["Cut", "table_gain_dbi"]


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """One cut through a measured pattern, made by `Cut.of`.

    Attributes
    ----------
    angles_deg : ndarray of float, shape (n,)
        Directions, rising, spread over less than a full turn. [deg]
    levels_db : ndarray of float, shape (n,)
        Levels below the peak of the antenna, 0 at most. [dB]
    """

    angles_deg: FloatArray
    levels_db: FloatArray

    @classmethod
    def of(cls, angles_deg: ArrayLike, levels_db: ArrayLike) -> Self:
        """Return a checked cut.

        Parameters
        ----------
        angles_deg : array_like of float, shape (n,), n >= 2
            Directions, strictly rising, over one turn at most. A last direction exactly one turn after the first may be
            given twice and is dropped. Azimuth counts clockwise, elevation upward. [deg]
        levels_db : array_like of float, shape (n,)
            Levels below the peak of the antenna, 0 at most. [dB]

        Returns
        -------
        Cut
            The cut.

        Raises
        ------
        UsageError
            Lengths that differ, fewer than two points, directions that do not rise or go round more than once, two
            levels for one direction, levels that are not numbers or above 0 dB.

        Examples
        --------
        >>> Cut.of([-180, 0, 180], [-20, 0, -20]).angles_deg
        array([-180.,    0.])
        """
        angles_deg, levels_db = float_array(angles_deg), float_array(levels_db)
        if angles_deg.ndim != 1 or angles_deg.shape != levels_db.shape or angles_deg.size < 2:
            raise UsageError("a cut needs as many levels as directions, at least two, each in one row")
        if not (np.isfinite(angles_deg).all() and np.isfinite(levels_db).all()):
            raise UsageError("a cut holds something that is not a number")
        if (levels_db > 0.0).any():
            raise UsageError(
                f"a cut has a level of {levels_db.max():g} dB above the peak", remedy="write levels below the peak"
            )
        if (np.diff(angles_deg) <= 0.0).any():
            raise UsageError("the directions of a cut do not rise", remedy="sort them and write each once")
        turn_deg = float(angles_deg[-1] - angles_deg[0])
        if turn_deg > 360.0:
            raise UsageError(f"a cut goes round {turn_deg:g} deg", remedy="keep one turn")
        if turn_deg == 360.0:
            if levels_db[0] != levels_db[-1]:
                raise UsageError("the first and the last level of a cut differ though the direction is the same")
            angles_deg, levels_db = angles_deg[:-1].copy(), levels_db[:-1].copy()
        return cls(angles_deg, levels_db)

    def level_db(self, angle_deg: ArrayLike) -> FloatArray:
        """Return the level in a direction.

        Parameters
        ----------
        angle_deg : array_like of float, shape (...)
            Direction; any turn is fine. [deg]

        Returns
        -------
        ndarray of float, shape (...)
            Level below the peak, linear in decibels between the points, around the back as well; NaN where the
            direction is NaN. [dB]

        Examples
        --------
        >>> float(Cut.of([-90, 0, 90], [-12, 0, -12]).level_db(45))
        -6.0
        """
        angle_deg = float_array(angle_deg)
        angle_deg = nan_unless(np.isfinite(angle_deg), angle_deg)
        start_deg = self.angles_deg[0]
        # Once round from the first point and back to it, so that the gap behind is a stretch like any other.
        around_deg = np.append(self.angles_deg - start_deg, 360.0)
        around_db = np.append(self.levels_db, self.levels_db[0])
        level_db: FloatArray = np.interp(np.remainder(angle_deg - start_deg, 360.0), around_deg, around_db)
        return level_db

    def edges_deg(self, fall_db: float) -> tuple[float, float]:
        """Return the directions beside the strongest one at which the level has fallen by a number of decibels.

        Parameters
        ----------
        fall_db : float
            Fall below the strongest level of the cut, > 0. [dB]

        Returns
        -------
        lower_deg, upper_deg : float
            The nearest such direction on the side of falling and on that of rising angles, -180 to 180; NaN where the
            level never falls so far. [deg]

        Raises
        ------
        UsageError
            A fall that is not above zero.

        Notes
        -----
        Linear in decibels between the points, as `level_db`; common practice, [PRACTICE]_.

        Examples
        --------
        >>> Cut.of([-90, -6, -2, 2, 90], [-28, -3, 0, -3, -28]).edges_deg(3)
        (-6.0, 2.0)
        """
        if not fall_db > 0.0:
            raise UsageError(f"the edge of a beam cannot lie where it has fallen by {fall_db:g} dB")
        strongest = int(np.argmax(self.levels_db))
        return self._edge_deg(strongest, fall_db, -1), self._edge_deg(strongest, fall_db, 1)

    def _edge_deg(self, strongest: int, fall_db: float, step: int) -> float:
        """Return the first direction, going round by steps of +1 or -1 point, at which the fall is reached."""
        wanted_db = self.levels_db[strongest] - fall_db
        for count in range(1, self.angles_deg.size + 1):
            here, there = strongest + step * (count - 1), strongest + step * count
            near_db, far_db = (self.levels_db[point % self.levels_db.size] for point in (here, there))
            if far_db <= wanted_db:
                near_deg, far_deg = self._unwound_deg(here), self._unwound_deg(there)
                angle_deg = near_deg + (far_deg - near_deg) * (near_db - wanted_db) / (near_db - far_db)
                return float((angle_deg + 180.0) % 360.0 - 180.0)
        return float("nan")

    def _unwound_deg(self, point: int) -> float:
        """Return the direction of a point, counted on past the first and the last one."""
        turns, index = divmod(point, self.angles_deg.size)
        return float(self.angles_deg[index]) + 360.0 * turns


def table_gain_dbi(
    peak_dbi: ArrayLike, azimuth_cut: Cut, elevation_cut: Cut, azimuth_off_deg: ArrayLike, elevation_off_deg: ArrayLike
) -> FloatArray:
    r"""Gain of an antenna known by the two cuts of a pattern table.

    Parameters
    ----------
    peak_dbi : array_like of float, shape (...)
        Gain in the strongest direction. [dBi]
    azimuth_cut : Cut
        Levels over the azimuth off the mechanical axis, clockwise positive.
    elevation_cut : Cut
        Levels over the elevation above the mechanical plane, up positive; an electrical tilt is in it.
    azimuth_off_deg : array_like of float, broadcast with the rest
        Angle off the mechanical axis in azimuth; any turn is fine. [deg]
    elevation_off_deg : array_like of float, broadcast with the rest
        Angle above the antenna's mechanical plane, -90 to 90. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Gain; NaN where an input is NaN or the elevation lies outside -90 to 90. [dBi]

    Notes
    -----
    .. math:: G = G_0 + \max(A_{az} + A_{el}, A_{min})

    with the deepest level of both cuts as the lower bound: adding two deep levels would promise an isolation that
    nobody measured. Exact in the two cuts only. Interpolation and combination are common practice, [PRACTICE]_; the
    cuts are those of [NSMA]_, WG16.99.050 (1999).

    Examples
    --------
    >>> azimuth_cut = Cut.of([-180, -45, 0, 45], [-25, -3, 0, -3])
    >>> elevation_cut = Cut.of([-90, -6, -2, 2, 90], [-28, -3, 0, -3, -28])
    >>> float(table_gain_dbi(16.5, azimuth_cut, elevation_cut, 45, -2))
    13.5
    """
    elevation_off_deg = float_array(elevation_off_deg)
    elevation_off_deg = nan_unless(np.abs(elevation_off_deg) <= 90.0, elevation_off_deg)
    level_db = azimuth_cut.level_db(azimuth_off_deg) + elevation_cut.level_db(elevation_off_deg)
    deepest_db = min(float(azimuth_cut.levels_db.min()), float(elevation_cut.levels_db.min()))
    return float_array(peak_dbi) + np.maximum(level_db, deepest_db)
