"""The line between two positions, without a site: bearings, tilts, distances and free-space loss."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass

import numpy as np

from survey_app.errors import UsageError
from survey_app.ground.geodesic import inverse
from survey_app.ground.magnetic import MagneticNorth, declination
from survey_app.ground.parse import Position
from survey_app.physics.arrays import FloatArray
from survey_app.physics.free_space import free_space_loss_db
from survey_app.physics.geometry import elevation_deg, slant_distance_m

__all__ = ["AimEnd", "AimLine", "aim_line"]


@dataclass(frozen=True, slots=True)
class AimEnd:
    """One end of a line, looking at the other.

    Attributes
    ----------
    bearing_true_deg, bearing_magnetic_deg : float or None
        Bearing to the other end; None where the ends stand above each other, or where no magnetic one may be given.
        [deg]
    tilt_deg : float
        Elevation of the other end at k = 4/3, down negative. [deg]
    declination_deg : float or None
        Declination here, east positive; None where the model gives none. [deg]
    """

    bearing_true_deg: float | None
    bearing_magnetic_deg: float | None
    tilt_deg: float
    declination_deg: float | None


@dataclass(frozen=True, slots=True)
class AimLine:
    """A line between two positions.

    Attributes
    ----------
    start, end : AimEnd
        Its two ends.
    distance_m, ground_distance_m : float
        From antenna to antenna, and along the ground at sea level. [m]
    free_space_loss_db : float
        Loss between isotropic antennas with nothing in the way. [dB]
    sentences : tuple of str
        What is missing or doubtful, and why.
    """

    start: AimEnd
    end: AimEnd
    distance_m: float
    ground_distance_m: float
    free_space_loss_db: float
    sentences: tuple[str, ...]


def aim_line(start: Position, end: Position, *, frequency_mhz: float, date: datetime.date) -> AimLine:
    """Return the line between two positions.

    Parameters
    ----------
    start, end : Position
        WGS 84 latitude and longitude [deg] and height of the antenna over the sea [m]; heights over another level that
        is common to both ends change the distance by less than 0.02 % for each kilometre between the two levels.
    frequency_mhz : float
        Carrier frequency, > 0. [MHz]
    date : datetime.date
        Date of the declination.

    Raises
    ------
    UsageError
        A height is missing, both positions are one spot, or the frequency is not positive.

    Notes
    -----
    Bearings on the ellipsoid [KARNEY2013]_, declination [WMM2025]_, tilt with the earth's curve at k = 4/3 [P452]_,
    loss [P525]_. Where the magnetic model gives no declination, for its date or near the magnetic poles, the magnetic
    bearings are None and a sentence says why.

    Examples
    --------
    >>> line = aim_line(
    ...     Position(43.55, -69.6, 16.0), Position(43.551, -69.598, 8.0),
    ...     frequency_mhz=5785.0, date=datetime.date(2026, 12, 1),
    ... )
    >>> round(line.start.bearing_true_deg, 1), round(line.start.bearing_magnetic_deg, 1), round(line.start.tilt_deg, 1)
    (55.5, 70.1, -2.3)
    """
    if start.height_m is None or end.height_m is None:
        raise UsageError("a height is missing", remedy="write LAT,LON,HEIGHT with the antenna's height in metres")
    if not (math.isfinite(frequency_mhz) and frequency_mhz > 0.0):
        raise UsageError(f"a frequency of {frequency_mhz:g} MHz does not exist", remedy="give it in MHz, such as 5800")
    line = inverse(start.lat_deg, start.lon_deg, end.lat_deg, end.lon_deg)
    ground_m = float(line.ground_distance_m)
    distance_m = float(slant_distance_m(ground_m, start.height_m, end.height_m))
    if distance_m == 0.0:
        raise UsageError("both positions are one spot", remedy="give two different positions")
    north = declination(
        np.array([start.lat_deg, end.lat_deg]),
        np.array([start.lon_deg, end.lon_deg]),
        np.array([start.height_m, end.height_m]),
        date,
    )
    true_deg = np.array([line.bearing_at_1_deg, line.bearing_at_2_deg], dtype=np.float64)
    ends = _ends(true_deg, _tilts_deg(start.height_m, end.height_m, ground_m), north)
    sentences = list(_doubts(north))
    if ground_m == 0.0:
        sentences.append("Both ends stand above each other: there is no bearing.")
    return AimLine(
        start=ends[0],
        end=ends[1],
        distance_m=distance_m,
        ground_distance_m=ground_m,
        free_space_loss_db=float(free_space_loss_db(distance_m, frequency_mhz)),
        sentences=tuple(sentences),
    )


def _tilts_deg(start_m: float, end_m: float, ground_m: float) -> tuple[float, float]:
    if ground_m == 0.0:
        return (90.0, -90.0) if end_m > start_m else (-90.0, 90.0)
    return float(elevation_deg(start_m, end_m, ground_m)), float(elevation_deg(end_m, start_m, ground_m))


def _ends(true_deg: FloatArray, tilts_deg: tuple[float, float], north: MagneticNorth) -> tuple[AimEnd, AimEnd]:
    magnetic = north.magnetic_bearing(true_deg)
    known = np.where(north.usable, north.declination_deg, np.nan)
    first, second = (
        AimEnd(_or_none(true_deg[n]), _or_none(magnetic[n]), tilts_deg[n], _or_none(known[n])) for n in (0, 1)
    )
    return first, second


def _or_none(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


def _doubts(north: MagneticNorth) -> tuple[str, ...]:
    """Say why there is no declination, or why a compass is doubtful."""
    if north.sentence is not None:
        return (f"No magnetic bearing: {north.sentence}.",)
    zones = set(north.zone.tolist())
    if "blackout" in zones:
        return ("No magnetic bearing: the horizontal field is too weak near the magnetic pole; aim by landmark.",)
    if "caution" in zones:
        return ("The horizontal field is weak here: a compass swings; check the bearing by landmark.",)
    return ()
