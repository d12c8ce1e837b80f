"""Aiming by a turn from a landmark: independent of every magnet, and of north.

The installer sights a thing that stands on the plan and turns by a printed angle. The angle is as good as the
positions of the mount, the landmark and the far end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.ground._arrays import FloatArray, broadcast
from survey_app.ground.bearings import turn

__all__ = [
    "ALLOWED_PART",
    "GOOD_PART",
    "LandmarkAim",
    "LandmarkTurn",
    "angle_sigma",
    "choose_landmarks",
    "landmark_allowed",
    "landmark_error",
    "turn_to_aim",
]

# A landmark worse than this part of the beamwidth is refused.  [PRACTICE]
ALLOWED_PART = 0.25
# An error below this part of the beamwidth costs 0.12 dB on a parabolic main lobe: such landmarks are equally good.
GOOD_PART = 0.1


@dataclass(frozen=True, slots=True)
class LandmarkTurn:
    """A landmark as it serves one aim.

    Attributes
    ----------
    id : str
        The landmark.
    bearing_deg : float
        Bearing to it, from the same north as the aim. [deg]
    distance_m : float
        Ground distance to it. [m]
    turn_deg : float
        Turn from it to the aim, positive to the right. [deg]
    error_deg : float
        How wrong the bearing to it may be, one standard deviation. [deg]
    """

    id: str
    bearing_deg: float
    distance_m: float
    turn_deg: float
    error_deg: float


@dataclass(frozen=True, slots=True)
class LandmarkAim:
    """The landmark to aim by and, where there is a second, the check of one against the other.

    Attributes
    ----------
    first : LandmarkTurn
        The landmark to turn from.
    second : LandmarkTurn or None
        The one that checks it.
    check_deg : float or None
        Turn from the second landmark to the first, positive to the right: what the installer must find between
        them. [deg]
    check_sigma_deg : float or None
        Standard deviation of that angle: a reading further off than two of them says that a position is wrong. [deg]
    """

    first: LandmarkTurn
    second: LandmarkTurn | None = None
    check_deg: float | None = None
    check_sigma_deg: float | None = None


def turn_to_aim(landmark_bearing_deg: ArrayLike, aim_bearing_deg: ArrayLike) -> FloatArray:
    """Turn from a landmark to the aim.

    Parameters
    ----------
    landmark_bearing_deg, aim_bearing_deg : array_like of float, broadcast together
        Bearings from the mount, from the same north. [deg]

    Returns
    -------
    ndarray of float, shape (...)
        Turn, positive to the right, -180 < turn <= 180; NaN where an input is NaN. [deg]

    Examples
    --------
    >>> round(float(turn_to_aim(350.2, 13.6)), 6)
    23.4
    """
    return turn(landmark_bearing_deg, aim_bearing_deg)


def landmark_error(distance_m: ArrayLike, landmark_sigma_m: ArrayLike, mount_sigma_m: ArrayLike) -> FloatArray:
    r"""How wrong the bearing to a landmark may be.

    Parameters
    ----------
    distance_m : array_like of float, broadcast together
        Ground distance from the mount to the landmark, >= 0. [m]
    landmark_sigma_m, mount_sigma_m : array_like of float
        Standard deviation of either position across the line of sight, >= 0. [m]

    Returns
    -------
    ndarray of float, shape (...)
        One standard deviation; NaN where an input is NaN or negative, and where nothing is known: no distance and no
        error. [deg]

    Notes
    -----
    .. math:: \arctan(e / L), \quad e^2 = e_l^2 + e_m^2

    3 m at 100 m is 1.72 deg, 5 m at 1 km 0.29 deg.

    Examples
    --------
    >>> round(float(landmark_error(500.0, 5.0, 0.0)), 3)
    0.573
    """
    distance, of_landmark, of_mount = (
        np.where(value >= 0, value, np.nan) for value in broadcast(distance_m, landmark_sigma_m, mount_sigma_m)
    )
    across = np.hypot(of_landmark, of_mount)
    angle = np.degrees(np.arctan2(across, distance))
    return np.where((distance > 0) | (across > 0), angle, np.nan)


def landmark_allowed(
    error_deg: ArrayLike, beamwidth_deg: ArrayLike, *, allowed_part: float = ALLOWED_PART
) -> NDArray[np.bool_]:
    """Whether a landmark is good enough to aim a beam by.

    Parameters
    ----------
    error_deg : array_like of float, broadcast together
        Error of the bearing to it. [deg]
    beamwidth_deg : array_like of float
        3 dB beamwidth in azimuth. [deg]
    allowed_part : float, default 0.25
        Largest error over the beamwidth. Common practice [PRACTICE]_.

    Returns
    -------
    ndarray of bool, shape (...)
        False also where an input is NaN: what is not known is not good enough.

    Examples
    --------
    >>> landmark_allowed([1.72, 0.29], 6.0).tolist()
    [False, True]
    """
    error, beamwidth = broadcast(error_deg, beamwidth_deg)
    return np.asarray(error <= allowed_part * beamwidth)


def angle_sigma(
    angle_deg: ArrayLike,
    distance_1_m: ArrayLike,
    distance_2_m: ArrayLike,
    mount_sigma_m: ArrayLike,
    sigma_1_m: ArrayLike,
    sigma_2_m: ArrayLike,
) -> FloatArray:
    r"""How wrong the angle between two things may be, seen from a mount.

    Parameters
    ----------
    angle_deg : array_like of float, broadcast together
        The angle between them. [deg]
    distance_1_m, distance_2_m : array_like of float
        Ground distance from the mount to either, > 0. [m]
    mount_sigma_m, sigma_1_m, sigma_2_m : array_like of float
        Standard deviation of each position in any one direction, >= 0. [m]

    Returns
    -------
    ndarray of float, shape (...)
        One standard deviation; NaN where an input is NaN or outside its range. [deg]

    Notes
    -----
    A mount that stands elsewhere than drawn moves both bearings at once, by less in their difference where both things
    lie the same way, by more where they lie opposite:

    .. math:: \sigma^2 = \sigma_m^2 \left(\frac{1}{d_1^2} + \frac{1}{d_2^2} - \frac{2 \cos\alpha}{d_1 d_2}\right)
              + \frac{\sigma_1^2}{d_1^2} + \frac{\sigma_2^2}{d_2^2}

    First order, good while the errors are small against the distances.

    Examples
    --------
    >>> round(float(angle_sigma(0.0, 100.0, 100.0, 3.0, 0.0, 0.0)), 6)
    0.0
    >>> round(float(angle_sigma(180.0, 100.0, 100.0, 1.0, 0.0, 0.0)), 3)
    1.146
    """
    angle, *rest = broadcast(angle_deg, distance_1_m, distance_2_m, mount_sigma_m, sigma_1_m, sigma_2_m)
    one, two = (1.0 / np.where(value > 0, value, np.nan) for value in rest[:2])
    of_mount, of_one, of_two = (np.where(value >= 0, value, np.nan) for value in rest[2:])
    # the square of a difference of two vectors, written so that it cannot come out negative
    mount = np.square(one - two) + 4.0 * one * two * np.square(np.sin(np.radians(angle) / 2.0))
    variance = np.square(of_mount) * mount + np.square(of_one * one) + np.square(of_two * two)
    return np.asarray(np.degrees(np.sqrt(variance)), dtype=np.float64)


def choose_landmarks(
    ids: Sequence[str],
    bearing_deg: ArrayLike,
    distance_m: ArrayLike,
    sigma_m: ArrayLike,
    *,
    aim_bearing_deg: float,
    beamwidth_deg: float,
    mount_sigma_m: float,
    allowed_part: float = ALLOWED_PART,
    good_part: float = GOOD_PART,
) -> LandmarkAim | None:
    """Choose the landmark to turn from and the one that checks it.

    Parameters
    ----------
    ids : sequence of str, length n
        The landmarks; each id once.
    bearing_deg, distance_m, sigma_m : array_like of float, shape (n,)
        Bearing from the mount [deg], ground distance [m] and standard deviation of its position [m] for each.
    aim_bearing_deg : float
        The aim, from the same north. [deg]
    beamwidth_deg : float
        3 dB beamwidth in azimuth. [deg]
    mount_sigma_m : float
        Standard deviation of the mount's position. [m]
    allowed_part, good_part : float
        Parts of the beamwidth: a worse landmark is refused, a better one is as good as any. Common practice
        [PRACTICE]_.

    Returns
    -------
    LandmarkAim or None
        None where no landmark is good enough. Landmarks that are as good as any come first and among them the smallest
        turn, then the others by their error; what is still even goes by id, so that the order of the list has no say.

    Raises
    ------
    ValueError
        The arrays are not of the length of `ids`, or an id stands twice.

    Examples
    --------
    >>> aim = choose_landmarks(
    ...     ["church", "tower"], [100.0, 90.0], [400.0, 900.0], [3.0, 3.0],
    ...     aim_bearing_deg=123.4, beamwidth_deg=27.0, mount_sigma_m=0.5,
    ... )
    >>> aim.first.id, round(aim.first.turn_deg, 1), aim.second.id, aim.check_deg
    ('church', 23.4, 'tower', 10.0)
    """
    bearings, distances, sigmas = (np.asarray(value, dtype=np.float64) for value in (bearing_deg, distance_m, sigma_m))
    if {bearings.shape, distances.shape, sigmas.shape} != {(len(ids),)}:
        raise ValueError("bearing_deg, distance_m and sigma_m need one value for each id")
    if len(set(ids)) != len(ids):
        raise ValueError("an id stands twice")
    turns = turn_to_aim(bearings, aim_bearing_deg)
    errors = landmark_error(distances, sigmas, mount_sigma_m)
    allowed = landmark_allowed(errors, beamwidth_deg, allowed_part=allowed_part) & np.isfinite(turns)

    def rank(index: int) -> tuple[float, float, str]:
        worse = max(float(errors[index]), good_part * beamwidth_deg)
        return worse, abs(float(turns[index])), ids[index]

    best = sorted((int(index) for index in np.flatnonzero(allowed)), key=rank)[:2]
    chosen = [
        LandmarkTurn(ids[i], float(bearings[i]), float(distances[i]), float(turns[i]), float(errors[i])) for i in best
    ]
    if len(chosen) < 2:
        return LandmarkAim(chosen[0]) if chosen else None
    first, second = best
    check_deg = float(turn(bearings[second], bearings[first]))
    check_sigma_deg = float(
        angle_sigma(
            check_deg, distances[second], distances[first], mount_sigma_m, float(sigmas[second]), float(sigmas[first])
        )
    )
    return LandmarkAim(chosen[0], chosen[1], check_deg, check_sigma_deg)
