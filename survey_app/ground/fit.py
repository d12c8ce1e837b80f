"""Lays a picture under the plan: the turn, scale and shift, or the shear, that fit its known points best."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UsageError
from survey_app.ground._arrays import FloatArray, broadcast
from survey_app.ground.plane import Plane, to_plane
from survey_app.site.place import Anchor, PlanePoint, Position
from survey_app.site.plan_picture import PlanPicture

__all__ = ["PictureFit", "fit_picture", "fit_points"]

Mode = Literal["similarity", "affine"]
_FEWEST: dict[Mode, int] = {"similarity": 2, "affine": 3}
# Points that span less than this part of their extent lie on one spot or one line as far as figures can tell.
_FLAT = 1e-6


@dataclass(frozen=True, slots=True)
class PictureFit:
    """Where the pixels of a picture lie on the plan.

    Attributes
    ----------
    a, b, c, d, e, f : float
        ``x_m = a x_px + b y_px + c`` and ``y_m = d x_px + e y_px + f``; `y_px` counts down the picture. [m/px, m]
    residual_m : tuple of float
        What is left over at each known point: the distance from where the fit puts it to where it is. [m]
    """

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float
    residual_m: tuple[float, ...]

    @property
    def scale_m_per_px(self) -> float:
        """Size of a pixel: the side of a square as large as it. [m/px]"""
        return math.sqrt(abs(self.a * self.e - self.b * self.d))

    @property
    def turn_deg(self) -> float:
        """Plan bearing of the way up the picture, 0 <= turn < 360. [deg]"""
        return math.degrees(math.atan2(-self.b, -self.e)) % 360.0

    @property
    def rms_m(self) -> float:
        """Root mean square of the residuals. [m]"""
        return math.sqrt(sum(one * one for one in self.residual_m) / len(self.residual_m))

    def to_plan(self, x_px: ArrayLike, y_px: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """Return where pixels lie on the plane. [m]"""
        x, y = broadcast(x_px, y_px)
        return self.a * x + self.b * y + self.c, self.d * x + self.e * y + self.f

    def to_picture(self, x_m: ArrayLike, y_m: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """Return the pixels of points of the plane. [px]"""
        x, y = broadcast(x_m, y_m)
        det = self.a * self.e - self.b * self.d
        x, y = x - self.c, y - self.f
        return (self.e * x - self.b * y) / det, (self.a * y - self.d * x) / det

    def corners_m(self, width_px: float, height_px: float) -> FloatArray:
        """Return the corners of a picture on the plane: upper left, upper right, lower right, lower left.

        Returns
        -------
        ndarray of float, shape (4, 2)
            [m]
        """
        x, y = self.to_plan([0.0, width_px, width_px, 0.0], [0.0, 0.0, height_px, height_px])
        return np.column_stack((x, y))


def fit_points(
    x_px: ArrayLike, y_px: ArrayLike, x_m: ArrayLike, y_m: ArrayLike, mode: Mode = "similarity"
) -> PictureFit:
    """Fit pixels to points of the plane by least squares.

    Parameters
    ----------
    x_px, y_px : array_like of float, shape (n,)
        Points in the picture, `y_px` down. [px]
    x_m, y_m : array_like of float, shape (n,)
        The same points on the plane, y up. [m]
    mode : {"similarity", "affine"}
        Turned and scaled evenly (two points or more), or also sheared (three or more). A picture is never mirrored by
        the first; the second is refused where the points say so.

    Returns
    -------
    PictureFit
        Exact for two (three) points; with more, the sum of the squared residuals in metres is least.

    Raises
    ------
    UsageError
        Too few points, points in one spot or (affine) on one line, no finite number, or a mirrored picture.

    Notes
    -----
    With ``p = x_px - i y_px`` and ``q = x_m + i y_m`` taken from their means, a similarity is ``q = m p`` and
    ``m = sum(conj(p) q) / sum(|p|^2)``: linear least squares over the complex numbers. The affine fit is linear least
    squares in six unknowns. Both are taken about the means and in units of the extent, so that far from the origin no
    digits are lost.

    Examples
    --------
    >>> fit = fit_points([0, 100], [0, 0], [10.0, 10.0], [0.0, 50.0])
    >>> round(fit.scale_m_per_px, 6), round(fit.turn_deg, 6), fit.residual_m
    (0.5, 270.0, (0.0, 0.0))
    """
    picture = np.column_stack([one.ravel() for one in broadcast(x_px, y_px)])
    plan = np.column_stack([one.ravel() for one in broadcast(x_m, y_m)])
    _check(picture, plan, mode)
    here, there = picture.mean(axis=0), plan.mean(axis=0)
    extent_px = float(np.abs(picture - here).max())
    from_here, from_there = (picture - here) / extent_px, plan - there
    matrix = _similar(from_here, from_there) if mode == "similarity" else _sheared(from_here, from_there)
    residual = np.hypot(*(from_here @ matrix.T - from_there).T)
    # what only rounding left over is none: an exact fit says so
    residual[residual < 1e-12 * (1.0 + float(np.abs(plan).max()))] = 0.0
    matrix = matrix / extent_px
    if np.linalg.det(matrix) >= 0:
        raise UsageError(
            "the points lie the other way round on the plan than in the picture",
            where="plan picture",
            remedy="check which point is which",
        )
    shift = there - matrix @ here
    (a, b), (d, e) = matrix.tolist()
    return PictureFit(a, b, float(shift[0]), d, e, float(shift[1]), tuple(residual.tolist()))


def _check(picture: FloatArray, plan: FloatArray, mode: Mode) -> None:
    where = "plan picture"
    if len(picture) != len(plan):
        raise UsageError("there are not as many points in the picture as on the plan", where=where)
    if not (np.isfinite(picture).all() and np.isfinite(plan).all()):
        raise UsageError(
            "a known point has no place", where=where, remedy="give it in metres, or tie the plane to the earth"
        )
    need = _FEWEST[mode]
    if len(picture) < need:
        words = {2: "two", 3: "three"}[need]
        raise UsageError(f"a fit by {mode} needs {words} known points, {len(picture)} given", where=where)
    for points, place in ((picture, "in the picture"), (plan, "on the plan")):
        spread = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
        if spread[0] <= _FLAT * max(1.0, float(np.abs(points).max())) * 1e-3:
            raise UsageError(f"the known points stand on one spot {place}", where=where, remedy="take them far apart")
        if mode == "affine" and spread[1] <= _FLAT * spread[0]:
            raise UsageError(
                f"the known points lie on one line {place}", where=where, remedy="take one well off the line"
            )


def _similar(picture: FloatArray, plan: FloatArray) -> FloatArray:
    p, q = picture[:, 0] - 1j * picture[:, 1], plan[:, 0] + 1j * plan[:, 1]
    m = np.vdot(p, q) / np.vdot(p, p).real
    if abs(m) <= _FLAT * float(np.abs(plan).max()):
        raise UsageError("no turn and scale fits the known points", where="plan picture", remedy="check them")
    return np.array([[m.real, m.imag], [m.imag, -m.real]])


def _sheared(picture: FloatArray, plan: FloatArray) -> FloatArray:
    return np.asarray(np.linalg.lstsq(picture, plan, rcond=None)[0].T, dtype=np.float64)


def fit_picture(picture: PlanPicture, anchor: Anchor | None = None) -> PictureFit:
    """Fit a plan picture by its control points.

    Parameters
    ----------
    picture : PlanPicture
        The picture.
    anchor : Anchor or None
        Where the plane lies on the earth, for points given by latitude and longitude.

    Raises
    ------
    UsageError
        As `fit_points`; the sentence names the picture. A point in degrees needs the anchor.
    """
    points = picture.control_points
    x, y = np.array([_on_plane(point.position, anchor) for point in points]).T
    try:
        return fit_points([point.x_px for point in points], [point.y_px for point in points], x, y, picture.fit)
    except UsageError as error:
        raise UsageError(error.what, where=f"plan picture {picture.title}", remedy=error.remedy) from None


def _on_plane(position: Position, anchor: Anchor | None) -> Sequence[float]:
    if isinstance(position, PlanePoint):
        return position.x_m, position.y_m
    if anchor is None:
        return math.nan, math.nan
    x, y = to_plane(Plane(anchor.lat_deg, anchor.lon_deg, anchor.rotation_deg), position.lat_deg, position.lon_deg)
    return float(x), float(y)
