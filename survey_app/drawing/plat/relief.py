"""The ground on a plan: contours, thin and dashed, and spot heights with their crosses."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.plat.lines import Level, Stack, piece
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Symbol, Words
from survey_app.ground.relief.contours import Contour, contours
from survey_app.ground.ring import ring_on_plane
from survey_app.site.relief import SpotRelief

if TYPE_CHECKING:
    from survey_app.drawing.plat.labelling import Labelling

__all__ = ["LAYER", "draw_relief", "name_relief"]

LAYER = "ground heights"
_FURTHEST_TIER = 2
_CROSS = (Path(Role.SPOT, ((-0.7, 0.0), (0.7, 0.0))), Path(Role.SPOT, ((0.0, -0.7), (0.0, 0.7))))
_WORDS_MM, _AWAY_MM = 1.8, 1.0
_LEAST_MM = 30.0
_MOST_SPOTS = 400
_FOOT_M = 0.3048


def draw_relief(stack: Stack, scene: PlatScene, view: PlatView, wish: Wish, ids: frozenset[str] | None) -> None:
    """Draw contours and the crosses of spot heights; a part of a site is drawn without."""
    if ids is not None or not _is_shown(scene, view, wish):
        return
    for contour in _contours(scene, view):
        stack.line(Level.WATER, Role.CONTOUR, piece(contour.points_m))
    for x, y, _ in _spots(scene, view):
        stack.add(Level.WATER, Symbol("spot height", (x, y), _CROSS))


def name_relief(labels: Labelling) -> None:
    """Write the heights of contours on them and of spots beside them, where there is room."""
    if not _is_shown(labels.scene, labels.view, labels.wish):
        return
    for x, y, height_m in _spots(labels.scene, labels.view):
        text = _height(height_m, labels.wish.feet, places=1)
        half = letters_width_mm(text, _WORDS_MM) / 2.0
        at = labels.mm((x, y))
        places = [(at[0] + side * (half + _AWAY_MM), at[1] + up) for up in (1.2, -1.2) for side in (1.0, -1.0)]
        _write(labels, places, text, half, Role.WORDS_SOFT)
    for contour in _contours(labels.scene, labels.view):
        points = np.array([labels.mm((x, y)) for x, y in contour.points_m.tolist()])
        run = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))))
        if run[-1] < _LEAST_MM:
            continue
        text = _height(contour.height_m, labels.wish.feet, places=1 if contour.height_m % 1.0 else 0)
        half = letters_width_mm(text, _WORDS_MM) / 2.0
        places = [
            (float(np.interp(part * run[-1], run, points[:, 0])), float(np.interp(part * run[-1], run, points[:, 1])))
            for part in (0.5, 0.35, 0.65, 0.2, 0.8)
        ]
        _write(labels, places, text, half, Role.WORDS_SOFT)


def _write(labels: Labelling, places: list[tuple[float, float]], text: str, half: float, role: Role) -> None:
    spot = labels.placer.first_free(places, half + 0.4, _WORDS_MM / 2.0 + 0.3, only_clear=True)
    if spot is not None:
        labels.stack.add(
            Level.LABELS,
            Words(role, labels.m(*spot), text, _WORDS_MM, italic=True, align="middle", halo=True),
        )


def _is_shown(scene: PlatScene, view: PlatView, wish: Wish) -> bool:
    return scene.site.design.relief is not None and LAYER not in wish.hidden and view.tier <= _FURTHEST_TIER


def _contours(scene: PlatScene, view: PlatView) -> tuple[Contour, ...]:
    """Return the contours of a window, made once."""
    pieces = scene.store.kept(view.mm_per_m)
    ground = scene.placed.ground
    known = pieces.get(("contours", 0))
    if known is None or known[0] is not ground or known[1][0] != view.window_m:
        known = (ground, (view.window_m, contours(ground, view.window_m)))
        pieces["contours", 0] = known
    found: tuple[Contour, ...] = known[1][1]
    return found


def _spots(scene: PlatScene, view: PlatView) -> list[tuple[float, float, float]]:
    """Return the spot heights in the window, shape (x, y, height); too many are left to the contours. [m]"""
    relief = scene.site.design.relief
    if not isinstance(relief, SpotRelief):
        return []
    places = ring_on_plane(scene.placed.plane, [point.position for point in relief.points])
    x0, y0, x1, y1 = view.window_m
    found = [
        (x, y, point.height_m)
        for (x, y), point in zip(places.tolist(), relief.points, strict=True)
        if x0 <= x <= x1 and y0 <= y <= y1
    ]
    return found if len(found) <= _MOST_SPOTS else []


def _height(height_m: float, feet: bool, places: int) -> str:
    text = f"{height_m / _FOOT_M:.0f}" if feet else f"{height_m:.{places}f}"
    return text.replace("-", "\N{MINUS SIGN}")
