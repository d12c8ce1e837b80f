"""Where a drawing lies on the screen: a point of the plane, a scale, and how large a millimetre of paper is."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

__all__ = ["Frame", "on_screen"]

_WIDEST_M, _NARROWEST_M = 200_000.0, 0.02


@dataclass(frozen=True, slots=True)
class Frame:
    """A rectangle of the screen that shows the plane, y of the plane up, y of the screen down.

    Attributes
    ----------
    x_m, y_m : float
        The point of the plane in the middle. [m]
    px_per_m : float
        Scale. [px/m]
    width_px, height_px : float
        Size, device-independent. [px]
    px_per_mm : float
        Pixels of a millimetre of paper: 4, times the interface scale. [px/mm]
    left_px, top_px : float
        Where the rectangle begins in the coordinates of the painter. [px]

    Notes
    -----
    Differences to the middle are formed in double precision before they are scaled, so that ten centimetres across
    the screen stand still a thousand kilometres from the origin.
    """

    x_m: float
    y_m: float
    px_per_m: float
    width_px: float
    height_px: float
    px_per_mm: float = 4.0
    left_px: float = 0.0
    top_px: float = 0.0

    @property
    def window_m(self) -> tuple[float, float, float, float]:
        """The part of the plane that is shown: x_min, y_min, x_max, y_max. [m]"""
        half_x, half_y = self.width_px / 2.0 / self.px_per_m, self.height_px / 2.0 / self.px_per_m
        return self.x_m - half_x, self.y_m - half_y, self.x_m + half_x, self.y_m + half_y

    @property
    def middle_px(self) -> tuple[float, float]:
        """Where the middle lies on the screen. [px]"""
        return self.left_px + self.width_px / 2.0, self.top_px + self.height_px / 2.0

    def px(self, x_m: float, y_m: float) -> tuple[float, float]:
        """Return where a point of the plane lies on the screen. [px]"""
        middle_x, middle_y = self.middle_px
        return middle_x + (x_m - self.x_m) * self.px_per_m, middle_y - (y_m - self.y_m) * self.px_per_m

    def px_of(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return where many points, shape (n, 2), lie on the screen. [px]"""
        scaled = (points - (self.x_m, self.y_m)) * (self.px_per_m, -self.px_per_m)
        return np.asarray(scaled + self.middle_px, dtype=np.float64)

    def m(self, x_px: float, y_px: float) -> tuple[float, float]:
        """Return the point of the plane under a point of the screen. [m]"""
        middle_x, middle_y = self.middle_px
        return self.x_m + (x_px - middle_x) / self.px_per_m, self.y_m - (y_px - middle_y) / self.px_per_m

    def zoomed(self, factor: float, x_px: float, y_px: float) -> Frame:
        """Return the frame enlarged about a point of the screen, which keeps its point of the plane."""
        scale = min(max(self.px_per_m * factor, self.width_px / _WIDEST_M), self.width_px / _NARROWEST_M)
        middle_x, middle_y = self.middle_px
        away = 1.0 / self.px_per_m - 1.0 / scale
        return replace(
            self,
            x_m=self.x_m + (x_px - middle_x) * away,
            y_m=self.y_m - (y_px - middle_y) * away,
            px_per_m=scale,
        )

    def panned(self, dx_px: float, dy_px: float) -> Frame:
        """Return the frame with the plane moved by so many pixels to the right and down."""
        return replace(self, x_m=self.x_m - dx_px / self.px_per_m, y_m=self.y_m + dy_px / self.px_per_m)

    def fitted(self, window_m: tuple[float, float, float, float], margin_px: float) -> Frame:
        """Return the frame that shows a part of the plane with a margin round it."""
        x0, y0, x1, y1 = window_m
        room_x = max(self.width_px - 2.0 * margin_px, self.width_px / 4.0)
        room_y = max(self.height_px - 2.0 * margin_px, self.height_px / 4.0)
        scale = min(room_x / max(x1 - x0, 1.0), room_y / max(y1 - y0, 1.0))
        scale = max(scale, self.width_px / _WIDEST_M)
        return replace(self, x_m=(x0 + x1) / 2.0, y_m=(y0 + y1) / 2.0, px_per_m=scale)

    def resized(self, left_px: float, top_px: float, width_px: float, height_px: float) -> Frame:
        """Return the frame in another rectangle; the middle and the scale stay."""
        return replace(self, left_px=left_px, top_px=top_px, width_px=width_px, height_px=height_px)

    def widened(self, margin_px: float) -> Frame:
        """Return the frame with so many pixels more on every side, its own corner at (0, 0)."""
        return replace(
            self,
            width_px=self.width_px + 2.0 * margin_px,
            height_px=self.height_px + 2.0 * margin_px,
            left_px=0.0,
            top_px=0.0,
        )

    def holds(self, window_m: tuple[float, float, float, float]) -> bool:
        """Whether all of a part of the plane is shown."""
        own = self.window_m
        slack = 0.01 / self.px_per_m
        return (
            own[0] <= window_m[0] + slack
            and own[1] <= window_m[1] + slack
            and own[2] >= window_m[2] - slack
            and own[3] >= window_m[3] - slack
        )


def on_screen(width_px: float, height_px: float, px_per_mm: float) -> Frame:
    """Return the frame in which furniture is drawn: one metre is one pixel, x to the right, −y down."""
    return Frame(width_px / 2.0, -height_px / 2.0, 1.0, width_px, height_px, px_per_mm)
