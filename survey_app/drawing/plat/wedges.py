"""Wedges of sectors and rings of all-round antennas: where the beam's edges lie and where the wanted rate ends."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from survey_app.drawing.plat.layout import Layout
from survey_app.drawing.plat.lines import Level, Piece, Stack, arc_points, piece, polar, segments
from survey_app.drawing.plat.records import Fan, RadioMark
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.shadows import PITCH_MM, hatch_of, open_tint, shaded
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.roles import Role

__all__ = ["SeenFan", "draw_wedges", "fan_of", "seen_fans", "shown_fans"]

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
    """Yield the wedges and rings that are drawn: of hubs and sectors always, of others when selected or asked for."""
    if "wedges" in wish.hidden:
        return
    for mark in scene.radios.values():
        if mark.row is None or mark.id in wish.lifted or (ids is not None and mark.id not in ids):
            continue
        if mark.record.status == "removed":
            continue
        row = mark.row
        wide = row.beamwidth_azimuth_deg is not None and row.beamwidth_azimuth_deg >= _WIDE_DEG
        hub = row.role == "access_point" and (len(row.far_ends) > 1 or wide or wish.every_shadow)
        if hub or mark.id in wish.selection:
            if mark.id not in scene.fans:
                scene.fans[mark.id] = fan_of(mark)
            fan = scene.fans[mark.id]
            if fan is not None:
                yield fan


class SeenFan(NamedTuple):
    """A wedge or ring that reaches into a window."""

    fan: Fan
    nearest_m: float
    """From its centre to the nearest point of the window. [m]"""
    farthest_m: float
    """From its centre to the farthest point of the window. [m]"""

    def crosses(self, radius_m: float, margin_m: float) -> bool:
        """Whether the window may show a circle of this radius round its centre."""
        return self.nearest_m - margin_m <= radius_m <= self.farthest_m + margin_m


def seen_fans(scene: PlatScene, view: PlatView, wish: Wish, ids: frozenset[str] | None = None) -> list[SeenFan]:
    """Return the wedges and rings that reach into the window."""
    fans = list(shown_fans(scene, wish, ids))
    if not fans:
        return []
    x0, y0, x1, y1 = view.window_m
    margin_m = 4.0 / view.mm_per_m
    rows = np.array([(*fan.centre, max(fan.reach_m, *fan.arcs_m, 0.0), fan.left_deg, fan.sweep_deg) for fan in fans])
    x, y, reach_m, left, sweep = rows.T
    nearest = np.hypot(np.maximum(np.maximum(x0 - x, x - x1), 0.0), np.maximum(np.maximum(y0 - y, y - y1), 0.0))
    farthest = np.hypot(np.maximum(abs(x0 - x), abs(x1 - x)), np.maximum(abs(y0 - y), abs(y1 - y)))
    corners = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    bearing = np.degrees(np.arctan2(corners[None, :, 0] - x[:, None], corners[None, :, 1] - y[:, None]))
    off = (bearing - (left + sweep / 2.0)[:, None] + 180.0) % 360.0 - 180.0
    beside = (abs(off) > sweep[:, None] / 2.0 + 2.0).all(axis=1) & (nearest > margin_m)
    one_side = (off > 0.0).all(axis=1) | (off < 0.0).all(axis=1) | (np.ptp(off, axis=1) > 180.0)
    seen = (nearest <= reach_m + margin_m) & ~(beside & one_side & (sweep < 359.0))
    return [SeenFan(fans[k], float(nearest[k]), float(farthest[k])) for k in np.flatnonzero(seen).tolist()]


class _Part(NamedTuple):
    """Lines of a wedge, and between which distances from its centre they lie. [m]"""

    level: int
    role: Role
    lines: Piece
    inner_m: float
    outer_m: float


def draw_wedges(
    stack: Stack, scene: PlatScene, layout: Layout, view: PlatView, wish: Wish, ids: frozenset[str] | None = None
) -> None:
    """Draw wedges and rings."""
    pieces = scene.store.kept(view.mm_per_m)
    for seen in seen_fans(scene, view, wish, ids):
        fan = seen.fan
        chosen = fan.radio.id in wish.selection
        plain = view.tier >= 4 and not chosen
        radius_mm = layout.radios[fan.radio.id].radius_mm
        cast = (chosen or wish.every_shadow) and not plain and "shadows" not in wish.hidden
        hidden = scene.shadows.get(fan.radio.id) if cast else None
        key = (f"fan {plain} {id(hidden)}", id(fan.row))
        entry = pieces.get(key)
        # a radio that was moved keeps its row until it is assessed again
        if entry is None or entry[0].row is not fan.row or entry[0].centre != fan.centre or entry[1][0] != radius_mm:
            made = _parts(fan, view.mm_per_m, radius_mm, hidden, plain=plain)
            # the shadow itself is held, for the key knows it by its identity
            entry = pieces[key] = (fan, (radius_mm, made, hidden))
        parts: list[_Part] = entry[1][1]
        for part in parts:
            if part.role is Role.RATE_ARC and not chosen and (part.outer_m > fan.reach_m or view.tier >= 3):
                # slower rates carry farther than anybody wants to know, but of the radio in hand
                continue
            if part.outer_m >= seen.nearest_m and part.inner_m <= seen.farthest_m:
                stack.line(part.level, part.role, part.lines, filled=part.role is Role.WEDGE)


def _parts(fan: Fan, mm_per_m: float, radius_mm: float, hidden: shapely.Geometry | None, *, plain: bool) -> list[_Part]:
    found: list[_Part] = []
    arc = arc_points(fan.centre, fan.reach_m, fan.left_deg, fan.sweep_deg, mm_per_m)
    centre, reach_m, near = np.array([fan.centre]), fan.reach_m, 0.5 / mm_per_m
    if hidden is not None:
        found += _shadow_parts(fan, mm_per_m, hidden)
    elif not plain:
        tint = arc if fan.is_ring else np.concatenate((centre, arc, centre))
        found.append(_Part(Level.TINTS, Role.WEDGE, piece(tint), 0.0, reach_m + near))
    found.append(_Part(Level.WEDGES, Role.REACH, piece(arc), reach_m - near, reach_m + near))
    foot = radius_mm / mm_per_m
    if fan.axis_deg is not None and reach_m > foot:
        for role, bearings in ((Role.LIMIT, [fan.left_deg, fan.right_deg]), (Role.AXIS, [fan.axis_deg])):
            turn = np.array(bearings)
            lines = segments(polar(fan.centre, foot, turn), polar(fan.centre, reach_m, turn))
            found.append(_Part(Level.WEDGES, role, lines, 0.0, reach_m))
    if plain:
        return found
    ticks = 4.0 / mm_per_m
    found.append(_Part(Level.WEDGES, Role.REACH, _ticks(fan, mm_per_m), reach_m - ticks, reach_m + ticks))
    circles = [(Role.RATE_ARC, radius_m) for radius_m in _apart(fan, 1.6 / mm_per_m)]
    if fan.near_in_m is not None and 0.0 < fan.near_in_m < reach_m:
        circles.append((Role.NEAR_IN, fan.near_in_m))
    for role, radius_m in circles:
        thin = arc_points(fan.centre, radius_m, fan.left_deg, fan.sweep_deg, mm_per_m)
        found.append(_Part(Level.WEDGES, role, piece(thin), radius_m - near, radius_m + near))
    return found


def _shadow_parts(fan: Fan, mm_per_m: float, hidden: shapely.Geometry) -> list[_Part]:
    """Return the tint where the radio sees, and the hatch where it does not."""
    reach_m = fan.reach_m
    tints = [_Part(Level.TINTS, Role.WEDGE, piece(ring), 0.0, reach_m) for ring in open_tint(fan, hidden)]
    hatch = hatch_of(shaded(fan, hidden), PITCH_MM / mm_per_m)
    return [*tints, _Part(Level.WEDGES, Role.SHADOW, hatch, 0.0, reach_m)]


def _apart(fan: Fan, least_m: float) -> list[float]:
    """Return the ends of the other rates that can be told apart from each other and from the wanted one."""
    kept = [fan.reach_m]
    for radius_m in sorted(fan.arcs_m, key=lambda radius_m: abs(radius_m - fan.reach_m)):
        if all(abs(radius_m - other) >= least_m for other in kept):
            kept.append(radius_m)
    return kept[1:]


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
