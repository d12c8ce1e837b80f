"""Indoors where the walls are drawn: what a straight ray loses, where that ends, and what part of places is served."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.free_space import free_space_loss_db
from survey_app.physics.indoor import IndoorPlace, indoor_loss_db, indoor_sigma_db
from survey_app.physics.loss_range import ONE_IN_TWENTY, LossRange

__all__ = ["BY_PLACE", "BY_WALLS", "IndoorLoss", "indoor_path_loss_db", "served_fraction"]

BY_WALLS, BY_PLACE = 0, 1
"""Which way a path loss was found: free space and the walls of the plan, or the statistic of such places."""


class IndoorLoss(NamedTuple):
    """Loss between two places of a building.

    Attributes
    ----------
    low_db, likely_db, high_db : ndarray of float
        Free space included. [dB]
    sigma_db : ndarray of float
        Standard deviation of the loss at such places. [dB]
    route : ndarray of int
        `BY_WALLS` or `BY_PLACE`: where `likely_db` is from.
    """

    low_db: FloatArray
    likely_db: FloatArray
    high_db: FloatArray
    sigma_db: FloatArray
    route: NDArray[np.int64]


def indoor_path_loss_db(
    distance_m: ArrayLike,
    frequency_mhz: ArrayLike,
    walls: LossRange,
    place: IndoorPlace,
    floors: ArrayLike = 0,
) -> IndoorLoss:
    """Loss between two places of a building whose walls are drawn.

    Parameters
    ----------
    distance_m : array_like of float, shape (...)
        Straight distance, > 0. [m]
    frequency_mhz : array_like of float, broadcast with the rest
        Carrier frequency, > 0. [MHz]
    walls : LossRange, broadcast with the rest
        Sum of what the straight ray crosses: walls, closed doors and floors (`wall_loss.rays_loss_db`). [dB]
    place : {"office", "corridor", "industrial"}
        Kind of building.
    floors : array_like of int, broadcast with the rest, default 0
        Floors among what is crossed, >= 0.

    Returns
    -------
    IndoorLoss
        NaN where an input is NaN or outside its range. `high_db` is always that of the walls.

    Raises
    ------
    ValueError
        `place` is none of the three.

    Notes
    -----
    Two ways lead to the loss and they must not be added: the coefficients of [P1238]_ hold the walls of such places
    already, and the source leaves it to a site-specific model to count each wall instead. Where the walls are drawn
    the latter is reported: free space and the walls of the straight ray (`BY_WALLS`). That ray overstates the loss
    behind many or metal walls, because power also comes through doors and round corners; nineteen of twenty places
    out of sight in such buildings lose no more than the median of P.1238-11 (2021), section 3.1, and 1.645 of its
    standard deviations. Low and likely therefore end there (`BY_PLACE`), within the distances and frequencies of the
    source and on one floor. Which of the two is reported is common practice ([PRACTICE]_), the rest is published.

    The standard deviation is that of places in sight, together with that of the walls; by place, the published one.

    Examples
    --------
    >>> from survey_app.physics.construction import construction
    >>> from survey_app.physics.wall_loss import construction_loss_db
    >>> brick = construction_loss_db(construction("brick-220"), 5500)
    >>> found = indoor_path_loss_db(20, 5500, brick, "industrial")
    >>> round(float(found.likely_db)), round(float(found.sigma_db), 1), int(found.route) == BY_WALLS
    (80, 3.0, True)
    """
    d, f_mhz, low_db, likely_db, high_db, count = (
        np.array(value, order="C")
        for value in np.broadcast_arrays(*map(float_array, (distance_m, frequency_mhz, *walls, floors)))
    )
    usable = (low_db >= 0.0) & (low_db <= likely_db) & (likely_db <= high_db) & (high_db < np.inf) & (count >= 0.0)
    low_db, likely_db, high_db = (nan_unless(usable, loss_db) for loss_db in (low_db, likely_db, high_db))
    free_db = nan_unless(usable, free_space_loss_db(d, f_mhz))
    in_sight_db, hidden_db = indoor_sigma_db(place, True), indoor_sigma_db(place, False)
    most_db = indoor_loss_db(d, f_mhz, place, False) + ONE_IN_TWENTY * hidden_db
    ends = (count == 0.0) & (free_db + likely_db > most_db) & (likely_db > 0.0)
    spread_db = (high_db - low_db) / (2.0 * ONE_IN_TWENTY)
    sigma_db = np.where(ends, hidden_db, np.sqrt(in_sight_db * in_sight_db + np.square(spread_db)))
    return IndoorLoss(
        np.where(ends, np.minimum(free_db + low_db, most_db), free_db + low_db),
        np.where(ends, most_db, free_db + likely_db),
        np.where(ends, np.maximum(free_db + high_db, most_db), free_db + high_db),
        nan_unless(~np.isnan(free_db), sigma_db),
        np.where(ends, BY_PLACE, BY_WALLS),
    )


def served_fraction(margin_db: ArrayLike, sigma_db: ArrayLike) -> FloatArray:
    """Share of places like this one that are served.

    Parameters
    ----------
    margin_db : array_like of float, shape (...)
        What the likely level has over the level needed; negative where it is below. [dB]
    sigma_db : array_like of float, broadcast with `margin_db`
        Standard deviation of the level from place to place, >= 0. [dB]

    Returns
    -------
    ndarray of float, broadcast shape
        Share, 0 to 1; its mean over the points of an area is the share of the area. NaN where an input is NaN or the
        deviation is negative. [1]

    Notes
    -----
    The level in dB is taken as normal round the likely one, as [P1238]_, P.1238-11 (2021), section 3.1 has it.

    Examples
    --------
    >>> served_fraction([0.0, 5.0, -5.0], 5.0).round(2).tolist()
    [0.5, 0.84, 0.16]
    """
    from scipy.special import ndtr  # loads slowly, and few sites ask for it

    margin_db, sigma_db = float_array(margin_db), float_array(sigma_db)
    sigma_db = nan_unless((sigma_db >= 0.0) & (sigma_db < np.inf), sigma_db)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = float_array(ndtr(margin_db / sigma_db))
    certain = nan_unless(~np.isnan(margin_db), np.where(margin_db >= 0.0, 1.0, 0.0))
    return np.where(sigma_db == 0.0, certain, share)
