"""Where magnetic north lies: the World Magnetic Model 2025, how sure it is, and where a compass is no use."""

from __future__ import annotations

import datetime
import math
import threading
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.errors import InternalError, UsageError
from survey_app.ground._arrays import FloatArray, broadcast
from survey_app.ground.bearings import to_magnetic

if TYPE_CHECKING:
    from pygeomag import GeoMag

__all__ = [
    "BLACKOUT_BELOW_NT",
    "CAUTION_BELOW_NT",
    "MODEL",
    "VALID_FROM_YEAR",
    "VALID_UNTIL_YEAR",
    "MagneticNorth",
    "compass_deflection",
    "decimal_year",
    "declination",
    "declination_sigma",
]

# Named outright: the library's default model changes with its version.
_COEFFICIENTS = "wmm/WMM_2025.COF"
MODEL = "WMM-2025"
_RELEASED = "11/13/2024"
VALID_FROM_YEAR = 2025.0
VALID_UNTIL_YEAR = 2030.0

# Horizontal intensity under which a compass needs caution, or shows nothing of use.  [WMM2025]
CAUTION_BELOW_NT = 6000.0
BLACKOUT_BELOW_NT = 2000.0

# Error model of the declination: a constant part, and one that grows as the horizontal field fails.  [WMM2025]
_SIGMA_CONSTANT_DEG = 0.26
_SIGMA_OVER_H_DEG_NT = 5417.0

# Heights over the ellipsoid for which the model is made.  [WMM2025]
_LOWEST_M, _HIGHEST_M = -1_000.0, 850_000.0


@dataclass(frozen=True, slots=True, eq=False)
class MagneticNorth:
    """Magnetic north at some points on one date.

    Attributes
    ----------
    status : str
        ``"ok"``, or ``"refused"`` where the date is outside the model's years: then every number is NaN.
    sentence : str or None
        Why it is refused.
    model : str
        Name of the model.
    decimal_year : float
        The date that was asked for. [yr]
    declination_deg : ndarray of float
        From true north to magnetic north, east positive, -180 to 180. [deg]
    inclination_deg : ndarray of float
        Dip of the field, down positive. [deg]
    horizontal_nt : ndarray of float
        Horizontal intensity. [nT]
    yearly_change_deg : ndarray of float
        Rate at which the declination grows. [deg/yr]
    sigma_deg : ndarray of float
        Standard deviation of the declination. [deg]
    zone : ndarray of str
        ``"ok"``; ``"caution"`` where the horizontal field is weak; ``"blackout"`` where no magnetic bearing may be
        given; empty where nothing is known.
    """

    status: str
    sentence: str | None
    model: str
    decimal_year: float
    declination_deg: FloatArray
    inclination_deg: FloatArray
    horizontal_nt: FloatArray
    yearly_change_deg: FloatArray
    sigma_deg: FloatArray
    zone: NDArray[np.str_]

    @property
    def usable(self) -> NDArray[np.bool_]:
        """True where a magnetic bearing may be given."""
        return np.asarray((self.zone == "ok") | (self.zone == "caution"))

    def magnetic_bearing(self, true_deg: ArrayLike) -> FloatArray:
        """Magnetic bearing of a true bearing, NaN where none may be given. [deg]"""
        return to_magnetic(true_deg, np.where(self.usable, self.declination_deg, np.nan))

    def required(self) -> MagneticNorth:
        """Return this, or raise where the model does not cover the date.

        Raises
        ------
        UsageError
            `status` is ``"refused"``.
        """
        if self.sentence is not None:
            raise UsageError(self.sentence, remedy="give a date from 2025 to 2029")
        return self


def decimal_year(date: datetime.date) -> float:
    """Date as a year and its fraction, at the start of the day.

    Parameters
    ----------
    date : datetime.date
        The date.

    Returns
    -------
    float
        Decimal year. [yr]

    Examples
    --------
    >>> decimal_year(datetime.date(2026, 7, 2))
    2026.4986301369863
    """
    start = datetime.date(date.year, 1, 1)
    days = datetime.date(date.year, 12, 31).toordinal() - start.toordinal() + 1
    return date.year + (date.toordinal() - start.toordinal()) / days


def declination_sigma(horizontal_nt: ArrayLike) -> FloatArray:
    r"""Standard deviation of the modelled declination.

    Parameters
    ----------
    horizontal_nt : array_like of float, shape (...)
        Horizontal intensity, > 0. [nT]

    Returns
    -------
    ndarray of float, shape (...)
        Standard deviation; NaN where the input is NaN or not positive. [deg]

    Notes
    -----
    .. math:: \sigma_D = \sqrt{0.26^2 + (5417 / H)^2}

    Source: error model of [WMM2025]_. It covers what the model leaves out on average; steel near the compass, local
    rock and magnetic storms come on top.

    Examples
    --------
    >>> round(float(declination_sigma(20000.0)), 3)
    0.375
    """
    (horizontal,) = broadcast(horizontal_nt)
    field = np.where(horizontal > 0, horizontal, np.nan)
    return np.asarray(np.hypot(_SIGMA_CONSTANT_DEG, _SIGMA_OVER_H_DEG_NT / field), dtype=np.float64)


def compass_deflection(stray_nt: ArrayLike, horizontal_nt: ArrayLike, *, worst: bool = False) -> FloatArray:
    """How far a stray field turns the needle.

    Parameters
    ----------
    stray_nt : array_like of float, broadcast together
        Horizontal stray field of steel, motors or vehicles, >= 0. [nT]
    horizontal_nt : array_like of float
        Horizontal intensity of the earth's field, > 0. [nT]
    worst : bool, default False
        The stray field in its worst direction instead of square to the earth's field.

    Returns
    -------
    ndarray of float, shape (...)
        Deflection; NaN where an input is NaN or outside its range. In the worst direction 90 and more cannot be told
        where the stray field is the stronger: NaN. [deg]

    Notes
    -----
    ``atan(B / H)`` square to the field, ``asin(B / H)`` in the worst direction: addition of two vectors.

    Examples
    --------
    >>> round(float(compass_deflection(1000.0, 20000.0)), 2)
    2.86
    """
    stray, horizontal = broadcast(stray_nt, horizontal_nt)
    ratio = np.where(stray >= 0, stray, np.nan) / np.where(horizontal > 0, horizontal, np.nan)
    angle = np.arcsin(np.where(ratio <= 1.0, ratio, np.nan)) if worst else np.arctan(ratio)
    return np.asarray(np.degrees(angle), dtype=np.float64)


def declination(
    lat_deg: ArrayLike, lon_deg: ArrayLike, height_m: ArrayLike, date: datetime.date | float
) -> MagneticNorth:
    """Declination with its date, its change, how sure it is and whether a compass serves.

    Parameters
    ----------
    lat_deg, lon_deg : array_like of float, broadcast together
        WGS 84 latitude -90 to 90, and longitude. [deg]
    height_m : array_like of float, broadcast with them
        Height over the ellipsoid, -1,000 to 850,000; a hundred metres change the declination by some 0.0005 deg. [m]
    date : datetime.date or float
        Date, or decimal year.

    Returns
    -------
    MagneticNorth
        Arrays of the common shape; NaN (and an empty zone) where an input is NaN or outside its range. Where the date
        is outside 2025.0 to the end of 2029 the status is ``"refused"``.

    Raises
    ------
    InternalError
        The coefficient file is not that of the model.

    Notes
    -----
    World Magnetic Model 2025, [WMM2025]_. The yearly change is the exact derivative: north and east component of the
    field are linear in time.

    Examples
    --------
    >>> north = declination(43.55, -69.6, 0.0, datetime.date(2026, 12, 1))
    >>> round(float(north.declination_deg), 2), round(float(north.sigma_deg), 2), str(north.zone)
    (-14.62, 0.37, 'ok')
    >>> round(float(north.magnetic_bearing(142.6)), 1)
    157.2
    """
    lat, lon, height = broadcast(lat_deg, lon_deg, height_m)
    year = decimal_year(date) if isinstance(date, datetime.date) else float(date)
    if not VALID_FROM_YEAR <= year < VALID_UNTIL_YEAR:
        return _refused(lat.shape, year)
    known = (np.abs(lat) <= 90) & np.isfinite(lon) & (height >= _LOWEST_M) & (height <= _HIGHEST_M)
    field = np.full((4, lat.size), np.nan)
    for index in np.flatnonzero(known):
        field[:, index] = _point_field(float(lat.flat[index]), float(lon.flat[index]), float(height.flat[index]), year)
    declination_deg, inclination_deg, horizontal_nt, yearly_change_deg = (part.reshape(lat.shape) for part in field)
    return MagneticNorth(
        status="ok",
        sentence=None,
        model=MODEL,
        decimal_year=year,
        declination_deg=declination_deg,
        inclination_deg=inclination_deg,
        horizontal_nt=horizontal_nt,
        yearly_change_deg=yearly_change_deg,
        sigma_deg=declination_sigma(horizontal_nt),
        zone=_zone(horizontal_nt),
    )


def _refused(shape: tuple[int, ...], year: float) -> MagneticNorth:
    def unknown() -> FloatArray:
        return np.full(shape, np.nan)

    when = f"{year:.1f}" if math.isfinite(year) else "no date"
    return MagneticNorth(
        status="refused",
        sentence=f"{MODEL} holds from 2025 to the end of 2029 and says nothing about {when}",
        model=MODEL,
        decimal_year=year,
        declination_deg=unknown(),
        inclination_deg=unknown(),
        horizontal_nt=unknown(),
        yearly_change_deg=unknown(),
        sigma_deg=unknown(),
        zone=np.full(shape, "", dtype="<U8"),
    )


def _zone(horizontal_nt: FloatArray) -> NDArray[np.str_]:
    conditions = [np.isnan(horizontal_nt), horizontal_nt < BLACKOUT_BELOW_NT, horizontal_nt < CAUTION_BELOW_NT]
    return np.asarray(np.select(conditions, ["", "blackout", "caution"], default="ok"))


# The library's model keeps its working values in itself: two threads must not share it at the same moment.
_lock = threading.Lock()


@lru_cache(maxsize=4096)
def _point_field(lat_deg: float, lon_deg: float, height_m: float, year: float) -> tuple[float, float, float, float]:
    """Declination, inclination, horizontal intensity and yearly change of one point."""
    with _lock:
        model = _model()
        now = model.calculate(lat_deg, lon_deg, height_m / 1000.0, year)
        later = model.calculate(lat_deg, lon_deg, height_m / 1000.0, year + 1.0, allow_date_outside_lifespan=True)
    change = (now.x * (later.y - now.y) - now.y * (later.x - now.x)) / now.h**2
    return float(now.d), float(now.i), float(now.h), math.degrees(change)


@lru_cache(maxsize=1)
def _model() -> GeoMag:
    from pygeomag import GeoMag

    where = f"pygeomag/{_COEFFICIENTS}"
    model = GeoMag(coefficients_file=_COEFFICIENTS)
    try:
        header = (model.model, model.release_date, *model.life_span)
    except (OSError, ValueError, TypeError) as error:  # the last: a file that ends before all its rows
        raise InternalError(
            "the coefficients of the magnetic model cannot be read", where=where, remedy="install pygeomag again"
        ) from error
    expected = (MODEL, _RELEASED, VALID_FROM_YEAR, VALID_UNTIL_YEAR)
    if header != expected:
        raise InternalError(
            f"the file says {header} where {expected} is wanted", where=where, remedy="install pygeomag 1.1 again"
        )
    return model
