"""Surveyors' grids: where grid north lies, and how positions come in from a grid.

PROJ's network stays off, and a transformation that only guesses at the shift between two datums is refused.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import InternalError, UnknownNameError, UsageError
from survey_app.ground._arrays import FloatArray, broadcast

if TYPE_CHECKING:
    from pyproj import Proj, Transformer

__all__ = [
    "GridNorth",
    "GridPosition",
    "from_grid",
    "grid_convergence",
    "grid_north",
    "to_grid",
    "to_reference",
    "utm_grid",
]


_GEOGRAPHIC = "EPSG:4326"


class GridNorth(NamedTuple):
    """Grid north at a point.

    Attributes
    ----------
    convergence_deg : ndarray of float
        Angle from true north to grid north, clockwise positive. [deg]
    scale : ndarray of float
        Length on the grid over length on the ellipsoid, along the meridian.
    """

    convergence_deg: FloatArray
    scale: FloatArray


class GridPosition(NamedTuple):
    """Positions that went through a change of reference, and how good the change is.

    Attributes
    ----------
    first, second : ndarray of float
        Latitude and longitude [deg], or easting and northing [m].
    accuracy_m : float
        What the EPSG data set states for the transformation; NaN where it states none. [m]
    """

    first: FloatArray
    second: FloatArray
    accuracy_m: float


@contextmanager
def _projections(grid: str) -> Iterator[None]:
    """Turn what PROJ says into one sentence."""
    with warnings.catch_warnings():
        # said once as an error below, or as a stated accuracy
        warnings.filterwarnings("ignore", message="Valid PROJ data directory not found", category=UserWarning)
        warnings.filterwarnings("ignore", message="Best transformation is not available", category=UserWarning)
        from pyproj.exceptions import CRSError, DataDirError, ProjError
        from pyproj.network import set_network_enabled  # type: ignore[attr-defined]  # defined in compiled code

        try:
            set_network_enabled(False)
            yield
        except DataDirError as error:
            raise InternalError(
                "the data files of the map projections are missing", where="pyproj", remedy="install pyproj again"
            ) from error
        except CRSError as error:
            raise UnknownNameError(
                f"{grid!r} is not a grid that is known here",
                remedy="name it by its EPSG code, such as EPSG:32630",
            ) from error
        except ProjError as error:
            raise UsageError(
                f"{grid!r} cannot be joined to latitude and longitude without guessing at the datum",
                remedy="write the positions as latitude and longitude",
            ) from error


def _check_is_grid(grid: str) -> None:
    from pyproj import CRS

    if not CRS.from_user_input(grid).is_projected:
        raise UsageError(f"{grid!r} is not a map grid", remedy="name a grid by its EPSG code, such as EPSG:32630")


@lru_cache(maxsize=16)
def _projection(grid: str) -> Proj:
    with _projections(grid):
        from pyproj import Proj

        _check_is_grid(grid)
        return Proj(grid)


@lru_cache(maxsize=16)
def _transformer(source: str, target: str) -> Transformer:
    grid = target if source == _GEOGRAPHIC else source
    with _projections(grid):
        from pyproj import Transformer

        _check_is_grid(grid)
        return Transformer.from_crs(source, target, always_xy=True, allow_ballpark=False)


@lru_cache(maxsize=16)
def _reference(reference: str) -> Transformer:
    # a name for the sentence: the text of a reference may fill a page
    name = reference if len(reference) <= 20 else reference.split('"')[1]
    with _projections(name):
        from pyproj import Transformer

        return Transformer.from_crs(_GEOGRAPHIC, reference, always_xy=True, allow_ballpark=False)


def utm_grid(lat_deg: float, lon_deg: float) -> str:
    """EPSG code of the regular UTM zone of a point.

    Parameters
    ----------
    lat_deg, lon_deg : float
        WGS 84 latitude, -80 to 84, and longitude. [deg]

    Returns
    -------
    str
        ``EPSG:326zz`` north of the equator, ``EPSG:327zz`` south of it.

    Raises
    ------
    UsageError
        The point is not in the range of UTM.

    Notes
    -----
    Zones are 6 degrees wide from 180 W. The widened zones off Norway and Svalbard are not applied: name the grid there.

    Examples
    --------
    >>> utm_grid(51.5, -0.12), utm_grid(-33.888, 151.187)
    ('EPSG:32630', 'EPSG:32756')
    """
    if not (math.isfinite(lon_deg) and -80.0 <= lat_deg <= 84.0):
        raise UsageError(f"{lat_deg}, {lon_deg} is outside UTM, which ends at 80 south and 84 north")
    zone = math.floor((lon_deg + 180.0) % 360.0 / 6.0) % 60 + 1
    return f"EPSG:{326 if lat_deg >= 0 else 327}{zone:02d}"


def grid_north(lat_deg: ArrayLike, lon_deg: ArrayLike, grid: str) -> GridNorth:
    """Convergence and scale of a map grid.

    Parameters
    ----------
    lat_deg, lon_deg : array_like of float, broadcast together
        Latitude and longitude. [deg]
    grid : str
        EPSG code of the grid, such as ``"EPSG:32630"``.

    Returns
    -------
    GridNorth
        Convergence, from true north to grid north, clockwise positive [deg], and scale along the meridian. NaN where an
        input is NaN or the grid does not reach.

    Raises
    ------
    UsageError
        `grid` is no map grid.
    UnknownNameError
        `grid` is not known.
    InternalError
        The data files of the map projections are missing.

    Notes
    -----
    On a transverse Mercator grid about ``atan(tan(lon - lon0) * sin(lat))``, [SNYDER1987]_ section 8.

    Examples
    --------
    >>> round(float(grid_north(51.5, -0.12, "EPSG:32630").convergence_deg), 4)
    2.2547
    """
    lat, lon = broadcast(lat_deg, lon_deg)
    factors = _projection(grid).get_factors(np.ravel(lon), np.ravel(lat))
    convergence = np.asarray(factors.meridian_convergence, dtype=np.float64).reshape(lat.shape)
    scale = np.asarray(factors.meridional_scale, dtype=np.float64).reshape(lat.shape)
    reached = np.isfinite(convergence) & np.isfinite(scale)
    return GridNorth(np.where(reached, convergence, np.nan), np.where(reached, scale, np.nan))


def grid_convergence(lat_deg: float, lon_deg: float) -> float:
    """Convergence of the regular UTM zone at a point.

    Parameters
    ----------
    lat_deg, lon_deg : float
        WGS 84 latitude and longitude. [deg]

    Returns
    -------
    float
        Angle from true north to grid north, clockwise positive; NaN where UTM does not reach. [deg]

    Examples
    --------
    >>> round(grid_convergence(51.5, -0.12), 4)
    2.2547
    """
    if not (math.isfinite(lon_deg) and -80.0 <= lat_deg <= 84.0):
        return math.nan
    return float(grid_north(lat_deg, lon_deg, utm_grid(lat_deg, lon_deg)).convergence_deg)


def from_grid(grid: str, easting_m: ArrayLike, northing_m: ArrayLike) -> GridPosition:
    """Latitude and longitude of positions on a map grid.

    Parameters
    ----------
    grid : str
        EPSG code of the grid.
    easting_m, northing_m : array_like of float, broadcast together
        Position, east before north whatever the grid's own order. [m]

    Returns
    -------
    GridPosition
        WGS 84 latitude and longitude [deg] and the stated accuracy of the change [m]. NaN where an input is NaN or the
        grid does not reach.

    Raises
    ------
    UnknownNameError, UsageError, InternalError
        As in :func:`grid_north`; also where nothing but a guess joins the grid's datum to WGS 84.

    Examples
    --------
    >>> position = from_grid("EPSG:32630", 699889.807, 5709362.293)
    >>> round(float(position.first), 6), round(float(position.second), 6), position.accuracy_m
    (51.5, -0.12, 0.0)
    """
    lon, lat, accuracy_m = _transformed(_transformer(grid, _GEOGRAPHIC), easting_m, northing_m)
    return GridPosition(lat, lon, accuracy_m)


def to_grid(grid: str, lat_deg: ArrayLike, lon_deg: ArrayLike) -> GridPosition:
    """Easting and northing of positions given by latitude and longitude.

    Parameters
    ----------
    grid : str
        EPSG code of the grid.
    lat_deg, lon_deg : array_like of float, broadcast together
        WGS 84 latitude and longitude. [deg]

    Returns
    -------
    GridPosition
        Easting and northing, and the stated accuracy of the change. [m] NaN where an input is NaN or the grid does not
        reach.

    Raises
    ------
    UnknownNameError, UsageError, InternalError
        As in :func:`from_grid`.

    Examples
    --------
    >>> position = to_grid("EPSG:32630", 51.5, -0.12)
    >>> round(float(position.first), 3), round(float(position.second), 3)
    (699889.807, 5709362.293)
    """
    easting, northing, accuracy_m = _transformed(_transformer(_GEOGRAPHIC, grid), lon_deg, lat_deg)
    return GridPosition(easting, northing, accuracy_m)


def to_reference(reference: str, lat_deg: ArrayLike, lon_deg: ArrayLike) -> GridPosition:
    """Coordinates in a reference of any kind, a map grid or degrees, of positions on WGS 84.

    Parameters
    ----------
    reference : str
        EPSG code or text of the coordinate reference.
    lat_deg, lon_deg : array_like of float, broadcast together
        Latitude and longitude. [deg]

    Returns
    -------
    GridPosition
        East before north in the unit of the reference, and the stated accuracy of the change. NaN where an input is
        NaN or the reference does not reach.

    Raises
    ------
    UnknownNameError, UsageError, InternalError
        As in :func:`from_grid`.

    Examples
    --------
    >>> position = to_reference("EPSG:4258", 51.5, -0.12)
    >>> round(float(position.first), 6), round(float(position.second), 6)
    (-0.12, 51.5)
    """
    x, y, accuracy_m = _transformed(_reference(reference), lon_deg, lat_deg)
    return GridPosition(x, y, accuracy_m)


def _accuracy_m(transformer: Transformer) -> float:
    from pyproj.exceptions import ProjError

    try:
        return float(transformer.get_last_used_operation().accuracy)
    except ProjError:  # between references that are one and the same nothing is done, and nothing is remembered
        return float(transformer.accuracy)


def _transformed(transformer: Transformer, first: ArrayLike, second: ArrayLike) -> tuple[FloatArray, FloatArray, float]:
    one, two = broadcast(first, second)
    answer = transformer.transform(np.ravel(one), np.ravel(two))
    x, y = (np.asarray(part, dtype=np.float64).reshape(one.shape) for part in answer)
    reached = np.isfinite(x) & np.isfinite(y)
    stated = math.nan
    if reached.any():
        stated = _accuracy_m(transformer)
    return np.where(reached, x, np.nan), np.where(reached, y, np.nan), stated if stated >= 0 else math.nan
