"""Wedges of sectors and rings of all-round antennas: where the beam's edges lie and where the wanted rate ends."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from survey_app.drawing.plat.layout import Layout
from survey_app.drawing.plat.lines import Level, Piece, Stack, arc_points, piece, polar, segments
from survey_app.drawing.plat.records import Fan, RadioMark
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.roles import Role

__all__ = ["draw_wedges", "fan_of", "shown_fans"]

Floats = NDArray[np.float64]
_TICK_MM, _LONG_MM = 1.3, 2.6
_WIDE_DEG = 40.0
"""A beam at least so wide is a sector's: its wedge is always drawn. [deg]"""


def fan_of(mark: RadioMark) -> Fan | None:
    """Return what a radio covers; None where its reach or its aim is not known."""
    row = mark.row
    if row is None or row.reach_m is None or row.reach_m <= 0.0:
        return None
    others = tuple(sorted({arc.reach_m for arc in row.reach_arcs if abs(arc.reach_m - row.reach_m) > 0.5}))
    if row.aim_by == "all_round":
        return Fan(mark, row, mark.at, row.reach_m, 0.0, 360.0, None, others, row.near_in_m)
    axis, left, right = row.bearing_plan_deg, row.edge_left_deg, row.edge_right_deg
    if axis is None or left is None or right is None:
        return None
    return Fan(mark, row, mark.at, row.reach_m, axis + left, axis + right, axis, others, None)


def shown_fans(scene: PlatScene, wish: Wish, ids: frozenset[str] | None = None) -> Iterator[Fan]:
    """Yield the wedges and rings that are drawn: of hubs and sectors always, of other radios when selected."""
    if "wedges" in wish.hidden:
        return
    for mark in scene.radios.values():
        if mark.row is None or mark.id in wish.lifted or (ids is not None and mark.id not in ids):
            continue
        if mark.record.status == "removed":
            continue
        row = mark.row
        wide = row.beamwidth_azimuth_deg is not None and row.beamwidth_azimuth_deg >= _WIDE_DEG
        hub = row.role == "access_point" and (len(row.far_ends) > 1 or wide)
        if hub or mark.id in wish.selection:
            if mark.id not in scene.fans:
                scene.fans[mark.id] = fan_of(mark)
            fan = scene.fans[mark.id]
            if fan is not None:
                yield fan


def draw_wedges(
    stack: Stack, scene: PlatScene, layout: Layout, view: PlatView, wish: Wish, ids: frozenset[str] | None = None
) -> None:
    """Draw wedges and rings."""
    x0, y0, x1, y1 = view.window_m
    for fan in shown_fans(scene, wish, ids):
        cx, cy = fan.centre
        nearest = math.hypot(max(x0 - cx, cx - x1, 0.0), max(y0 - cy, cy - y1, 0.0))
        if nearest > max((fan.reach_m, *fan.arcs_m)) + 4.0 / view.mm_per_m:
            continue
        selected = fan.radio.id in wish.selection
        plain = view.tier >= 4 and not selected
        radius_mm = layout.radios[fan.radio.id].radius_mm
        pieces = scene.store.kept(view.mm_per_m)
        key = (f"fan {plain}", id(fan.row))
        entry = pieces.get(key)
        if entry is None or entry[0] is not fan.row:
            entry = pieces[key] = (fan.row, _lines(fan, view.mm_per_m, radius_mm, plain=plain))
        rows: list[tuple[int, Role, Piece]] = entry[1]
        for level, role, points in rows:
            stack.line(level, role, points, filled=role is Role.WEDGE)


def _lines(fan: Fan, mm_per_m: float, radius_mm: float, *, plain: bool) -> list[tuple[int, Role, Piece]]:
    found: list[tuple[int, Role, Piece]] = []
    arc = arc_points(fan.centre, fan.reach_m, fan.left_deg, fan.sweep_deg, mm_per_m)
    centre = np.array([fan.centre])
    if not plain:
        tint = arc if fan.is_ring else np.concatenate((centre, arc, centre))
        found.append((Level.TINTS, Role.WEDGE, piece(tint)))
    found.append((Level.WEDGES, Role.REACH, piece(arc)))
    if not fan.is_ring:
        foot = radius_mm / mm_per_m
        if fan.reach_m > foot:
            edges = np.array([fan.left_deg, fan.right_deg])
            found.append(
                (
                    Level.WEDGES,
                    Role.LIMIT,
                    segments(polar(fan.centre, foot, edges), polar(fan.centre, fan.reach_m, edges)),
                )
            )
            axis = np.array([fan.axis_deg])
            found.append(
                (Level.WEDGES, Role.AXIS, segments(polar(fan.centre, foot, axis), polar(fan.centre, fan.reach_m, axis)))
            )
    if plain:
        return found
    found.append((Level.WEDGES, Role.REACH, _ticks(fan, mm_per_m)))
    for radius_m in fan.arcs_m:
        thin = arc_points(fan.centre, radius_m, fan.left_deg, fan.sweep_deg, mm_per_m)
        found.append((Level.WEDGES, Role.RATE_ARC, piece(thin)))
    if fan.near_in_m is not None and 0.0 < fan.near_in_m < fan.reach_m:
        ring = arc_points(fan.centre, fan.near_in_m, fan.left_deg, fan.sweep_deg, mm_per_m)
        found.append((Level.WEDGES, Role.NEAR_IN, piece(ring)))
    return found


def _ticks(fan: Fan, mm_per_m: float) -> Piece:
    """Ticks of bearing at the end of reach: inward every 2° on a wedge, outward every 10° on a ring."""
    step, every, sign = (10, 30, 1.0) if fan.is_ring else (2, 10, -1.0)
    if math.radians(step) * fan.reach_m * mm_per_m < 0.8:
        step = every
    first, last = math.ceil(fan.left_deg / step), math.floor(fan.right_deg / step)
    numbers = np.arange(first, last + 1, dtype=np.float64) * step
    if fan.is_ring:
        numbers = numbers[:-1]
    length_mm = np.where(numbers % every == 0, _LONG_MM, _TICK_MM)
    foot = polar(fan.centre, fan.reach_m, numbers)
    return segments(foot, polar(fan.centre, fan.reach_m + sign * length_mm / mm_per_m, numbers))
