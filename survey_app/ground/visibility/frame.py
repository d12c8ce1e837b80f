"""A point that looks at a plane: coordinates in which every ray is a scaling, so that shadows are plain divisions."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from survey_app.ground._arrays import FloatArray

__all__ = ["EVEN_M", "TOUCH_M", "Frame", "level_frame", "upright_frame"]

EVEN_M = 1e-6
"""A viewer so close to a plane counts as standing in it. [m]"""
TOUCH_M = 1e-6
"""A face so close to the viewer is one that the viewer stands on; what only touches hides nothing. [m]"""


@dataclass(frozen=True)
class Frame:
    """View coordinates: two along the target plane from the viewer's foot on it, and the part of the way to it.

    A ray from the viewer keeps the quotients of the first two and the third; the third is 0 at the viewer and 1 on the
    target plane.

    Attributes
    ----------
    matrix : ndarray of float, shape (3, 3)
    origin : ndarray of float, shape (3,)
        View coordinates are `matrix @ (point - viewer)`.
    window : (left, low, right, high)
        The part of the target plane that counts, from the viewer's foot. [m]
    shift : ndarray of float, shape (2,)
        The viewer's foot in the target's own coordinates. [m]
    fall_m : float
        How much higher the target plane is than the viewer, for the earth's bulge; NaN where it is not level. [m]
    bend_per_m : float
        Earth's bulge: the ground falls away by this times the square of the distance; 0 = flat. [1/m]
    """

    matrix: FloatArray
    origin: FloatArray
    window: tuple[float, float, float, float]
    shift: FloatArray
    fall_m: float = float("nan")
    bend_per_m: float = 0.0

    def seen(self, points_m: FloatArray) -> FloatArray:
        """Return points in view coordinates, shape (..., 3)."""
        away = points_m - self.origin
        # written out: a point's answer must not depend on how many are asked for
        rows = [away[..., 0] * m[0] + away[..., 1] * m[1] + away[..., 2] * m[2] for m in self.matrix]
        return np.stack(rows, axis=-1)

    def space(self, half: FloatArray) -> FloatArray:
        """Return half spaces of view coordinates, shape (n, 4), for points of the site."""
        turned = half[:, :3] @ self.matrix
        return np.column_stack((turned, half[:, 3] - turned @ self.origin))

    @property
    def pyramid(self) -> FloatArray:
        """Half spaces of view coordinates between the viewer and the window, shape (5, 4)."""
        left, low, right, high = self.window
        return np.array(
            [
                [1.0, 0.0, -left, 0.0],
                [-1.0, 0.0, right, 0.0],
                [0.0, 1.0, -low, 0.0],
                [0.0, -1.0, high, 0.0],
                [0.0, 0.0, -1.0, 1.0],
            ]
        )

    def thrown(self, seen: FloatArray) -> FloatArray:
        """Return where rays through points meet the target plane, in its own coordinates, shape (..., 2). [m]"""
        scale = self.scale(seen)
        return np.stack((seen[..., 0] * scale + self.shift[0], seen[..., 1] * scale + self.shift[1]), axis=-1)

    def scale(self, seen: FloatArray) -> FloatArray:
        """Return how many times as far as points the target plane is met, shape (...)."""
        p, q, part = seen[..., 0], seen[..., 1], seen[..., 2]
        with np.errstate(divide="ignore", invalid="ignore"):
            return 1.0 / part if self.bend_per_m == 0.0 else self._bent(p * p + q * q, part)

    def _bent(self, plan2: FloatArray, part: FloatArray) -> FloatArray:
        """Return the scale where the ray is bent over the earth: the root of a s² + b s - fall = 0 next to 1 / part."""
        a = self.bend_per_m * plan2
        b = part * self.fall_m - a
        root2 = b * b + 4.0 * a * self.fall_m
        # beyond its horizon a ray comes down nowhere
        return np.where(
            root2 >= 0.0, 2.0 * self.fall_m / (b + np.copysign(np.sqrt(np.maximum(root2, 0.0)), b)), 1.0 / part
        )

    @property
    def whole(self) -> shapely.Geometry:
        """The window in the target's own coordinates."""
        left, low, right, high = self.window
        return shapely.box(left + self.shift[0], low + self.shift[1], right + self.shift[0], high + self.shift[1])


def level_frame(viewer_m: FloatArray, height_m: float, radius_m: float, bend_per_m: float) -> Frame:
    """Return the frame of a viewer who looks at a level plane that is not at eye height.

    Parameters
    ----------
    viewer_m : ndarray of float, shape (3,)
        [m]
    height_m : float
        The plane, over the site datum. [m]
    radius_m : float
        Half the side of the window. [m]
    bend_per_m : float
        See `Frame`. [1/m]
    """
    fall = height_m - float(viewer_m[2])
    matrix = np.diag([1.0, 1.0, 1.0 / fall])
    return Frame(matrix, viewer_m, (-radius_m, -radius_m, radius_m, radius_m), viewer_m[:2].copy(), fall, bend_per_m)


def upright_frame(viewer_m: FloatArray, start_m: FloatArray, end_m: FloatArray, low_m: float, high_m: float) -> Frame:
    """Return the frame of a viewer who looks at an upright plane through a line on the plan.

    The target's own coordinates are the distance from the line's start and the height over the site datum. A viewer on
    the line's own plane is taken a millimetre beside it.

    Parameters
    ----------
    viewer_m : ndarray of float, shape (3,)
        [m]
    start_m, end_m : ndarray of float, shape (2,)
        Ends of the line, apart. [m]
    low_m, high_m : float
        Heights that count, over the site datum. [m]
    """
    along = (end_m - start_m) / np.hypot(*(end_m - start_m))
    across = np.array([-along[1], along[0]])
    eye = viewer_m.astype(np.float64).copy()
    if abs(float(across @ (start_m - eye[:2]))) < 1e-3:
        eye[:2] = eye[:2] + across * (1e-3 - float(across @ (eye[:2] - start_m)))
    depth = float(across @ (start_m - eye[:2]))
    matrix = np.array([[along[0], along[1], 0.0], [0.0, 0.0, 1.0], [across[0] / depth, across[1] / depth, 0.0]])
    foot = float(along @ (start_m - eye[:2]))
    length = float(np.hypot(*(end_m - start_m)))
    window = (foot, low_m - float(eye[2]), foot + length, high_m - float(eye[2]))
    return Frame(matrix, eye, window, np.array([-foot, float(eye[2])]))
