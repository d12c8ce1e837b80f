"""Roofs as planes over a building's outline."""

from __future__ import annotations

import math

import numpy as np
import shapely

from survey_app.ground._arrays import FloatArray
from survey_app.ground.solids import NO_PLANE_M, PLANES
from survey_app.site.structure import Roof

__all__ = ["flat_top", "roof_planes"]


def flat_top(height_m: float) -> FloatArray:
    """Return the planes of a level top, shape (4, 3); height over the site datum. [m]"""
    planes = np.zeros((PLANES, 3))
    planes[:, 2] = NO_PLANE_M
    planes[0, 2] = height_m
    return planes


def roof_planes(outline: FloatArray, roof: Roof, foot_m: float, eaves_height_m: float) -> tuple[FloatArray, str | None]:
    """Return the planes of a roof and what had to be taken for granted about it.

    Parameters
    ----------
    outline : ndarray of float, shape (corners, 2)
        Corners of a ring with some area. [m]
    roof : Roof
        Its shape.
    foot_m : float
        Foot of the building over the site datum. [m]
    eaves_height_m : float
        Height of the eaves over the foot. [m]

    Returns
    -------
    planes : ndarray of float, shape (4, 3)
        Rows (a, b, c) counted from the first corner, see `Prisms`.
    sentence : str or None
        Why a roof with slopes is counted as flat at its eaves.

    Notes
    -----
    The ridge runs along its bearing through the middle of the outline's extent across it; the eaves are the two lines
    that bound this extent. Under a hip all four slopes are equally steep, so its ridge is shorter than the outline, and
    runs the other way where the outline is longer that way. A shed roof (one slope) has its high edge to the right of
    the bearing, looking along it. Without a bearing the ridge lies along the longer side of the smallest rectangle
    round the outline. An outline that is no rectangle is cut out of the roof of that extent: its walls end where the
    slopes are, above the eaves where they stand back from them.

    Examples
    --------
    >>> barn = np.array([[0.0, 0.0], [20.0, 0.0], [20.0, 8.0], [0.0, 8.0]])
    >>> planes, _ = roof_planes(barn, Roof(kind="gable", ridge_height_m=7.0, ridge_plan_deg=90.0), 2.0, 5.0)
    >>> planes[:2, 1:].round(3).tolist()
    [[-0.5, 11.0], [0.5, 7.0]]
    """
    eaves_m = foot_m + eaves_height_m
    if roof.kind == "flat":
        return flat_top(eaves_m), None
    if roof.ridge_height_m is None:
        return flat_top(eaves_m), "The height of its ridge is not known, so its roof counts as flat at the eaves."
    rise_m = roof.ridge_height_m - eaves_height_m
    if rise_m <= 0.0:
        return flat_top(eaves_m), "Its ridge is not above its eaves, so its roof counts as flat at the eaves."
    bearing = math.radians(_longer_side_deg(outline) if roof.ridge_plan_deg is None else roof.ridge_plan_deg)
    along, right = np.array([math.sin(bearing), math.cos(bearing)]), np.array([math.cos(bearing), -math.sin(bearing)])
    corners = outline - outline[0]
    width_m, length_m = float(np.ptp(corners @ right)), float(np.ptp(corners @ along))
    planes = flat_top(NO_PLANE_M)
    if roof.kind == "shed":
        planes[0] = _slope(corners, right, rise_m / width_m, eaves_m)
        return planes, None
    hip = roof.kind == "hip"
    slopes = [right, -right, along, -along] if hip else [right, -right]
    pitch = 2.0 * rise_m / (min(width_m, length_m) if hip else width_m)
    for n, direction in enumerate(slopes):
        planes[n] = _slope(corners, direction, pitch, eaves_m)
    return planes, None


def _slope(corners: FloatArray, direction: FloatArray, pitch: float, eaves_m: float) -> FloatArray:
    """Return the plane that rises along a direction from the eaves on the outline's near side."""
    a, b = pitch * direction
    return np.array([a, b, eaves_m - pitch * float(np.min(corners @ direction))])


def _longer_side_deg(outline: FloatArray) -> float:
    """Return the bearing of the longer side of the smallest rectangle round an outline, below 180."""
    box = shapely.get_coordinates(shapely.oriented_envelope(shapely.MultiPoint(outline - outline[0])))
    sides = np.diff(box[:3], axis=0)
    east, north = sides[int(np.argmax(np.round(np.hypot(*sides.T), 6)))]
    return math.degrees(math.atan2(east, north)) % 180.0
