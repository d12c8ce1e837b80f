"""The plat of `survey_app.drawing` as the canvas asks for it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from survey_app.desktop.canvas.drawer import Window
from survey_app.desktop.desk import Desk
from survey_app.drawing.plat.hits import bounds, hits, within
from survey_app.drawing.plat.plat import Plat, plat, plat_lines, things_shapes
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import Hit, PlatView, Wish
from survey_app.drawing.shapes import Shape
from survey_app.site.site import Design, Site

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = ["PlatDrawer", "changed_since"]


class PlatDrawer:
    """One scene of the site, made anew from the one before, and the plat that was drawn last."""

    def __init__(self) -> None:
        self._scene: PlatScene | None = None
        self._plat: Plat | None = None
        self._assessed: Design | None = None
        self._shadows: tuple[Design | None, Mapping[str, Geometry]] = (None, {})

    def update(self, desk: Desk) -> None:
        """Take the site and its assessment as they now are; figures that are not yet true again are known."""
        design = desk.site.design
        if desk.is_fresh:
            self._assessed = design
        stale = changed_since(self._assessed, design) if self._assessed is not None else frozenset()
        of, shadows = self._shadows
        self._scene = PlatScene(
            desk.site, desk.placed, desk.assessment, self._scene, stale=stale, shadows=shadows if of is design else None
        )

    def cast(self, site: Site, shadows: Mapping[str, Geometry]) -> None:
        """Take what radios of a site do not see."""
        self._shadows = (site.design, shadows)

    @property
    def scene(self) -> PlatScene:
        """The scene as it was made last."""
        assert self._scene is not None
        return self._scene

    def whole(self, view: PlatView, wish: Wish) -> tuple[Shape, ...]:
        """Return everything in a view with its words, low to high."""
        self._plat = plat(self.scene, view, wish)
        return self._plat.shapes

    def lines(self, view: PlatView, wish: Wish) -> tuple[Shape, ...]:
        """Return everything in a view without words."""
        return plat_lines(self.scene, view, wish)

    def things(self, view: PlatView, wish: Wish, ids: tuple[str, ...]) -> tuple[Shape, ...]:
        """Return some things with all that hangs on them, with their words."""
        return things_shapes(self.scene, view, wish, frozenset(ids))

    def hits(self, view: PlatView, wish: Wish, x_m: float, y_m: float, tolerance_px: float) -> tuple[Hit, ...]:
        """Return what lies under a point, the uppermost first."""
        return hits(self.scene, self._plat, view, x_m, y_m, tolerance_px, wish)

    def within(self, window: Window, *, touching: bool) -> tuple[str, ...]:
        """Return what lies inside a rectangle, or also what it touches."""
        return within(self.scene, *window, touching)

    def bounds(self, ids: tuple[str, ...] | None = None) -> Window | None:
        """Return the part of the plane that some things, or all, take; None where there is nothing."""
        return bounds(self.scene, ids)


def changed_since(before: Design, after: Design) -> frozenset[str]:
    """Return the radios, hops and cameras that hang or stand otherwise than before, or are new."""
    if before is after:
        return frozenset()
    same = {id(row) for name in ("structures", "mounts", "radios", "cameras", "hops") for row in getattr(before, name)}
    kept = {row.id for name in ("structures", "mounts") for row in getattr(after, name) if id(row) in same}
    carriers = {mount.id for mount in after.mounts if mount.id in kept and mount.structure in kept}
    stale = {radio.id for radio in after.radios if id(radio) not in same or radio.mount not in carriers}
    stale.update(
        camera.id
        for camera in after.cameras
        if id(camera) not in same or (camera.mount is not None and camera.mount not in carriers)
    )
    stale.update(
        hop.id for hop in after.hops if id(hop) not in same or hop.access_point in stale or hop.station in stale
    )
    return frozenset(stale)
