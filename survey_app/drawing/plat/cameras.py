"""Cameras beside their poles, and what they see."""

from __future__ import annotations

import math

import numpy as np

from survey_app.drawing.plat.layout import CameraSpot, Layout
from survey_app.drawing.plat.lines import Level, Stack, arc_points, piece
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path
from survey_app.drawing.status import with_status
from survey_app.drawing.symbols import camera

__all__ = ["angle_of_view_deg", "draw_cameras", "shown_cameras"]


def angle_of_view_deg(scene: PlatScene, spot: CameraSpot) -> float | None:
    """Return the angle that a camera's view is drawn with: its own, or the one that spans its scene at the target."""
    row = scene.camera_rows.get(spot.id)
    known = row.angle_of_view_deg if row is not None else None
    if known is None:
        known = spot.record.angle_of_view_deg
    if known is not None or spot.target is None or spot.record.target is None:
        return known
    distance_m = math.hypot(spot.target[0] - spot.true_at[0], spot.target[1] - spot.true_at[1])
    return math.degrees(2.0 * math.atan2(spot.record.target.width_m / 2.0, max(distance_m, 1e-6)))


def shown_cameras(layout: Layout, view: PlatView, wish: Wish, ids: frozenset[str] | None = None) -> list[CameraSpot]:
    """Return the cameras whose body may be in the window."""
    if "cameras" in wish.hidden:
        return []
    x0, y0, x1, y1 = view.window_m
    kept = wish.kept
    margin = 4.0 / view.mm_per_m
    return [
        spot
        for spot in layout.cameras.values()
        if spot.id not in wish.lifted
        and (ids is None or spot.id in ids)
        and (view.tier < 4 or spot.id in kept)
        and x0 - margin <= spot.at[0] <= x1 + margin
        and y0 - margin <= spot.at[1] <= y1 + margin
    ]


def draw_cameras(
    stack: Stack, scene: PlatScene, layout: Layout, view: PlatView, wish: Wish, ids: frozenset[str] | None = None
) -> None:
    """Draw views and bodies; what is dark sees nothing."""
    dark = wish.felt.dark if wish.felt is not None else frozenset()
    if "views" not in wish.hidden and "cameras" not in wish.hidden:
        for spot in layout.cameras.values():
            if spot.id in wish.lifted or spot.id in dark or (ids is not None and spot.id not in ids):
                continue
            if view.tier < 3 or spot.id in wish.selection:
                _view(stack, scene, spot, view)
    for spot in shown_cameras(layout, view, wish, ids):
        body = camera(spot.at, spot.turn_deg, spot.id)
        stack.add(Level.CAMERAS, *with_status(body, spot.record.status))


def _view(stack: Stack, scene: PlatScene, spot: CameraSpot, view: PlatView) -> None:
    angle = angle_of_view_deg(scene, spot)
    if angle is None or spot.target is None or spot.record.status in ("removed", "later"):
        return
    apex = spot.true_at
    reach_m = math.hypot(spot.target[0] - apex[0], spot.target[1] - apex[1])
    x0, y0, x1, y1 = view.window_m
    if not (x0 - reach_m <= apex[0] <= x1 + reach_m and y0 - reach_m <= apex[1] <= y1 + reach_m) or reach_m <= 0.0:
        return
    arc = arc_points(apex, reach_m, spot.turn_deg - angle / 2.0, angle, view.mm_per_m)
    tip = np.array([apex])
    stack.line(Level.VIEWS, Role.VIEW, piece(np.concatenate((tip, arc, tip))), filled=True)
    stack.line(Level.VIEWS, Role.VIEW_LIMIT, piece(np.concatenate((tip, arc[:1]))))
    stack.line(Level.VIEWS, Role.VIEW_LIMIT, piece(np.concatenate((tip, arc[-1:]))))
    stack.line(Level.VIEWS, Role.VIEW_FAR, piece(arc))
    if math.hypot(spot.at[0] - apex[0], spot.at[1] - apex[1]) * view.mm_per_m > 6.5:
        stack.add(Level.CAMERAS, Path(Role.THIN, (apex, spot.at)))
