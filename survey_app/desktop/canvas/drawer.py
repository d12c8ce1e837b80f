"""What the canvas asks of the drawing of a site; the drawing itself is made in `survey_app.drawing.plat`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Protocol

from survey_app.desktop.desk import Desk
from survey_app.drawing.plat.view import Hit, PlatView, Wish
from survey_app.drawing.shapes import Shape
from survey_app.site.site import Site

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = ["Drawer", "Window"]

Window = tuple[float, float, float, float]


class Drawer(Protocol):
    """A site as shapes, and what lies where."""

    def update(self, desk: Desk) -> None:
        """Take the site and its assessment as they now are."""
        ...

    def cast(self, site: Site, shadows: Mapping[str, Geometry]) -> None:
        """Take what radios of a site do not see; the next `update` shows it if the site is still the same."""
        ...

    def whole(self, view: PlatView, wish: Wish) -> tuple[Shape, ...]:
        """Return everything in a view with its words, low to high."""
        ...

    def lines(self, view: PlatView, wish: Wish) -> tuple[Shape, ...]:
        """Return everything in a view without words."""
        ...

    def things(self, view: PlatView, wish: Wish, ids: tuple[str, ...]) -> tuple[Shape, ...]:
        """Return some things with all that hangs on them, with their words."""
        ...

    def hits(self, view: PlatView, wish: Wish, x_m: float, y_m: float, tolerance_px: float) -> tuple[Hit, ...]:
        """Return what lies under a point, the uppermost first."""
        ...

    def within(self, window: Window, *, touching: bool) -> tuple[str, ...]:
        """Return what lies inside a rectangle, or also what it touches."""
        ...

    def bounds(self, ids: tuple[str, ...] | None = None) -> Window | None:
        """Return the part of the plane that some things, or all, take; None where there is nothing."""
        ...
