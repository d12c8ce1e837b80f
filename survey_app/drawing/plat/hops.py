"""Hops: solid where drawn and seen clear, hollow where nobody checked, broken where the ray is cut."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from survey_app.drawing.plat.felt import with_break
from survey_app.drawing.plat.layout import Layout
from survey_app.drawing.plat.lines import Level, Stack, piece, segments
from survey_app.drawing.plat.records import HopMark
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.roles import Role
from survey_app.drawing.symbols import struck

__all__ = ["HopLines", "hop_state", "shown_hops"]

Floats = NDArray[np.float64]
_HALF_GAP_MM, _CUT_MM, _BAR_MM = 0.45, 3.25, 1.6


def hop_state(hop: HopMark) -> str:
    """Return how a hop is drawn: `clear`, `cut`, `unchecked`, `later` or `removed`."""
    if hop.record.status in ("later", "removed"):
        return hop.record.status
    row = hop.row
    if row is None:
        return "unchecked"
    if row.line_of_sight is False and row.cut_at_m is not None:
        return "cut"
    seen = row.sight_checked in ("seen", "seen_with_lamp") and row.line_of_sight is not False
    return "clear" if seen else "unchecked"


@dataclass(frozen=True, slots=True, eq=False)
class HopLines:
    """Hops of a view with their ends at the symbols' edges.

    Attributes
    ----------
    hops : tuple of HopMark
        In the order of the design.
    a, b : ndarray of float, shape (n, 2)
        Ends at the access point and at the station. [m]
    """

    hops: tuple[HopMark, ...]
    a: Floats
    b: Floats

    def draw(self, stack: Stack, view: PlatView, silent: frozenset[str] = frozenset()) -> None:
        """Draw the lines; those that carry nothing are broken by a zigzag."""
        scale = view.mm_per_m
        states = np.array([hop_state(hop) for hop in self.hops], dtype=object)
        still = np.array([hop.id in silent for hop in self.hops], dtype=np.bool_)
        along = self.b - self.a
        length = np.maximum(np.hypot(*along.T), 1e-9)[:, None] if len(self.hops) else np.empty((0, 1))
        unit = along / length
        side = np.stack((-unit[:, 1], unit[:, 0]), axis=1)
        for state, role in (("clear", Role.HOP), ("later", Role.LATER), ("removed", Role.HOP_UNCHECKED)):
            chosen = (states == state) & ~still
            stack.line(Level.HOPS, role, segments(self.a[chosen], self.b[chosen]))
            for k in np.flatnonzero((states == state) & still).tolist():
                _broken(stack, role, np.stack((self.a[k], self.b[k])), scale)
        hollow = (states == "unchecked") & ~still
        for sign in (1.0, -1.0):
            shift = sign * _HALF_GAP_MM / scale * side[hollow]
            stack.line(Level.HOPS, Role.HOP_UNCHECKED, segments(self.a[hollow] + shift, self.b[hollow] + shift))
        for k in np.flatnonzero((states == "unchecked") & still).tolist():
            _broken(stack, Role.HOP_UNCHECKED, np.stack((self.a[k], self.b[k])), scale, _HALF_GAP_MM)
        for k in np.flatnonzero(states == "removed").tolist():
            x, y = (self.a[k] + self.b[k]) / 2.0
            stack.add(Level.HOPS, struck((float(x), float(y)), subject=self.hops[k].id))
        self._cut(stack, scale, np.flatnonzero(states == "cut"), unit, side)

    def _cut(self, stack: Stack, scale: float, chosen: NDArray[np.int64], unit: Floats, side: Floats) -> None:
        if len(chosen) == 0:
            return
        a, b, unit, side = self.a[chosen], self.b[chosen], unit[chosen], side[chosen]
        length = np.hypot(*(b - a).T)
        parts = np.array([self.hops[k].row.cut_at_m / max(self.hops[k].row.ground_distance_m, 1e-9) for k in chosen])
        true = np.array([self.hops[k].access_point.at for k in chosen.tolist()])
        far = np.array([self.hops[k].station.at for k in chosen.tolist()])
        spot = true + (far - true) * parts[:, None]
        at = np.clip(((spot - a) * unit).sum(axis=1), 0.0, length)
        half = np.minimum(_CUT_MM / scale, length / 4.0)
        at = np.clip(at, half, length - half)
        first, second = a + unit * (at - half)[:, None], a + unit * (at + half)[:, None]
        stack.line(Level.HOPS, Role.HOP, segments(a, first))
        stack.line(Level.HOPS, Role.HOP_REST, segments(second, b))
        for bar in (first, second):
            stack.line(Level.HOPS, Role.HOP, segments(bar - side * _BAR_MM / scale, bar + side * _BAR_MM / scale))


def _broken(stack: Stack, role: Role, line: Floats, scale: float, half_gap_mm: float = 0.0) -> None:
    """Draw a line that carries nothing; a hollow one has two edges."""
    parts, sign = with_break(line, scale)
    unit = (line[1] - line[0]) / max(float(np.hypot(*(line[1] - line[0]))), 1e-9)
    side = np.array((-unit[1], unit[0])) * half_gap_mm / scale
    for shift in (side, -side) if half_gap_mm else (side,):
        for part in parts:
            stack.line(Level.HOPS, role, piece(part + shift))
    stack.line(Level.HOPS, Role.HOP_THIN, piece(sign))


def shown_hops(
    scene: PlatScene, layout: Layout, view: PlatView, wish: Wish, ids: frozenset[str] | None = None
) -> HopLines:
    """Return the hops that meet the window and that nobody hid or lifted."""
    lifted = wish.lifted
    hops = [
        hop
        for hop in ([] if "hops" in wish.hidden else scene.hops.values())
        if (ids is None or hop.id in ids)
        and not (lifted and not lifted.isdisjoint((hop.id, hop.access_point.id, hop.station.id)))
    ]
    a = np.array([layout.radios[hop.access_point.id].at for hop in hops]).reshape(-1, 2)
    b = np.array([layout.radios[hop.station.id].at for hop in hops]).reshape(-1, 2)
    kept = _meets(a, b, view.window_m)
    hops, a, b = [hop for hop, keep in zip(hops, kept.tolist(), strict=True) if keep], a[kept], b[kept]
    length = np.hypot(*(b - a).T) if len(hops) else np.empty(0)
    unit = (b - a) / np.maximum(length, 1e-9)[:, None]
    if view.tier >= 4:
        trim_a = trim_b = np.full(len(hops), 0.6 / view.mm_per_m)
    else:
        trim_a = _radii(layout, (hop.access_point.id for hop in hops)) / view.mm_per_m
        trim_b = _radii(layout, (hop.station.id for hop in hops)) / view.mm_per_m
    room = np.minimum(1.0, 0.9 * length / np.maximum(trim_a + trim_b, 1e-12))
    return HopLines(tuple(hops), a + unit * (trim_a * room)[:, None], b - unit * (trim_b * room)[:, None])


def _radii(layout: Layout, ids: Iterable[str]) -> Floats:
    return np.array([layout.radios[one].radius_mm for one in ids])


def _meets(a: Floats, b: Floats, window: tuple[float, float, float, float]) -> NDArray[np.bool_]:
    """Whether lines may meet a window: their bounds do, and it does not lie on one side of them."""
    x0, y0, x1, y1 = window
    low, high = np.minimum(a, b), np.maximum(a, b)
    bounds = (low[:, 0] <= x1) & (high[:, 0] >= x0) & (low[:, 1] <= y1) & (high[:, 1] >= y0)
    along = b - a
    corners = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    side = along[:, None, 0] * (corners[None, :, 1] - a[:, None, 1]) - along[:, None, 1] * (
        corners[None, :, 0] - a[:, None, 0]
    )
    result: NDArray[np.bool_] = bounds & ~((side > 0.0).all(axis=1) | (side < 0.0).all(axis=1))
    return result
