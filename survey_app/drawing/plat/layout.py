"""Where symbols stand at one scale: at their true place, or fanned out where they would hide each other."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from survey_app.drawing.plat.records import RadioMark
from survey_app.drawing.shapes import Point
from survey_app.site.network import Camera

if TYPE_CHECKING:
    from survey_app.drawing.plat.scene import PlatScene

__all__ = ["CameraSpot", "Layout", "RadioSpot"]

_APART_MM = 5.6
_NEAR_MM = 4.6
_CAMERA_MM = 3.8
_CAMERA_APART_DEG = 46.0


@dataclass(frozen=True, slots=True)
class RadioSpot:
    """The symbol of a radio, or of the two of a relay."""

    ids: tuple[str, ...]
    label: str
    shape: str
    """`access point`, `station` or `relay`."""
    at: Point
    true_at: Point
    turn_deg: float
    radius_mm: float
    """From the middle to where hops begin. [mm]"""
    mark: RadioMark

    @property
    def moved(self) -> bool:
        """Whether it stands beside its true place."""
        return self.at != self.true_at


@dataclass(frozen=True, slots=True)
class CameraSpot:
    """The body of a camera beside its pole."""

    id: str
    record: Camera
    at: Point
    true_at: Point
    turn_deg: float
    target: Point | None


class Layout:
    """Symbols of a scene at one scale.

    Parameters
    ----------
    scene : PlatScene
        The site.
    mm_per_m : float
        Scale. [mm/m]
    tier : int
        Step of what is shown.
    """

    def __init__(self, scene: PlatScene, mm_per_m: float, tier: int) -> None:
        self.scene = scene
        self.mm_per_m = mm_per_m
        self.tier = tier
        self.wires: dict[str, NDArray[np.float64]] = {}
        """Runs of wires between the symbols, as `marks.draw_wires` has made them. [m]"""

    @cached_property
    def radios(self) -> dict[str, RadioSpot]:
        """Symbols by radio; both radios of a relay have the same one."""
        relays = self.scene.relays
        stations = set(relays.values())
        spots = [
            self._spot(mark, relays.get(mark.id)) for mark in self.scene.radios.values() if mark.id not in stations
        ]
        found: dict[str, RadioSpot] = {}
        for spot in self._fanned(spots):
            for one in spot.ids:
                found[one] = spot
        return found

    def _spot(self, mark: RadioMark, station_id: str | None) -> RadioSpot:
        at = mark.foot if self.tier >= 1 else mark.at
        if station_id is not None:
            station = self.scene.radios[station_id]
            label = f"{station.label} {mark.label}"
            turn = self._bearing(station)
            return RadioSpot((station_id, mark.id), label, "relay", at, at, turn, 3.0, mark)
        if mark.record.role == "access_point":
            return RadioSpot((mark.id,), mark.label, "access point", at, at, 0.0, 2.4, mark)
        return RadioSpot((mark.id,), mark.label, "station", at, at, self._bearing(mark), 1.9, mark)

    def _bearing(self, mark: RadioMark) -> float:
        """Return where an arrow points: along its beam, or to its far end where the beam is not known."""
        if mark.bearing_deg is not None:
            return mark.bearing_deg
        for hop_id in self.scene.hops_of.get(mark.id, ()):
            hop = self.scene.hops[hop_id]
            far = hop.access_point if hop.station.id == mark.id else hop.station
            return math.degrees(math.atan2(far.at[0] - mark.at[0], far.at[1] - mark.at[1])) % 360.0
        return 0.0

    def _fanned(self, spots: list[RadioSpot]) -> list[RadioSpot]:
        """Move symbols of one structure apart where they would hide each other."""
        groups: dict[str, list[RadioSpot]] = {}
        for spot in spots:
            groups.setdefault(spot.mark.structure, []).append(spot)
        found: list[RadioSpot] = []
        for group in groups.values():
            while group:
                first, *rest = group
                near = [first, *(s for s in rest if self._apart_mm(s, first) < _NEAR_MM)]
                group = [s for s in rest if s not in near]
                found += near if len(near) == 1 else self._around(near)
        return found

    def _apart_mm(self, a: RadioSpot, b: RadioSpot) -> float:
        return math.hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]) * self.mm_per_m

    def _around(self, spots: list[RadioSpot]) -> list[RadioSpot]:
        def side(spot: RadioSpot) -> float:
            # of the radio alone: a fan must not turn when a hop comes or goes
            mark = spot.mark
            return mark.side_deg if mark.side_deg is not None else mark.bearing_deg or 0.0

        ordered = sorted(spots, key=lambda spot: (side(spot), spot.ids))
        n = len(ordered)
        radius = max(_APART_MM / (2.0 * math.sin(math.pi / n)), 2.9) / self.mm_per_m
        # the fan turns as a whole to lie closest to the sides that the radios hang on
        x = sum(math.cos(math.radians(side(s) - 360.0 * k / n)) for k, s in enumerate(ordered))
        y = sum(math.sin(math.radians(side(s) - 360.0 * k / n)) for k, s in enumerate(ordered))
        start = math.degrees(math.atan2(y, x)) if math.hypot(x, y) > 1e-6 else side(ordered[0])
        cx = sum(s.at[0] for s in ordered) / n
        cy = sum(s.at[1] for s in ordered) / n
        moved = []
        for k, spot in enumerate(ordered):
            turn = math.radians(start + 360.0 * k / n)
            at = (cx + radius * math.sin(turn), cy + radius * math.cos(turn))
            moved.append(
                RadioSpot(spot.ids, spot.label, spot.shape, at, spot.true_at, spot.turn_deg, spot.radius_mm, spot.mark)
            )
        return moved

    @cached_property
    def cameras(self) -> dict[str, CameraSpot]:
        """Bodies of cameras: off their pole towards what they see, spread where several look the same way."""
        scene = self.scene
        taken: dict[Point, float] = {}
        for spot in self.radios.values():
            off_mm = math.hypot(spot.at[0] - spot.true_at[0], spot.at[1] - spot.true_at[1]) * self.mm_per_m
            taken[spot.true_at] = max(taken.get(spot.true_at, 0.0), off_mm)
        groups: dict[Point, list[tuple[float, str]]] = {}
        targets: dict[str, Point | None] = {}
        for key, (camera, at) in scene.cameras.items():
            target = scene.plan_point(camera.target.position) if camera.target is not None else None
            targets[key] = target if target is not None and math.isfinite(target[0]) else None
            bearing = 135.0
            if targets[key] is not None and target is not None:
                bearing = math.degrees(math.atan2(target[0] - at[0], target[1] - at[1])) % 360.0
            groups.setdefault(self._foot(camera, at), []).append((bearing, key))
        found: dict[str, CameraSpot] = {}
        for foot, rows in groups.items():
            reach = (_CAMERA_MM + taken.get(foot, 0.0)) / self.mm_per_m
            for (bearing, key), stand in zip(sorted(rows), _spread(sorted(rows)), strict=True):
                turn = math.radians(stand)
                at = (foot[0] + reach * math.sin(turn), foot[1] + reach * math.cos(turn))
                camera, true_at = scene.cameras[key]
                found[key] = CameraSpot(key, camera, at, true_at, bearing, targets[key])
        return found

    def _foot(self, camera: Camera, at: Point) -> Point:
        mount = self.scene.mounts.get(camera.mount or "")
        if mount is not None and self.tier >= 1:
            return self.scene.feet.get(mount.id, at)
        return at


def _spread(rows: list[tuple[float, str]]) -> list[float]:
    """Return bearings at least 46° apart, as near as may be to those asked for, in the same order round the pole."""
    n = len(rows)
    if n > 7:
        return [rows[0][0] + 360.0 * k / n for k in range(n)]
    stands = [bearing for bearing, _ in rows]
    for _ in range(32 if n > 1 else 0):
        moved = False
        for k in range(n):
            after = (k + 1) % n
            gap = stands[after] - stands[k] + (360.0 if after == 0 else 0.0)
            if gap < _CAMERA_APART_DEG - 1e-6:
                push = (_CAMERA_APART_DEG - gap) / 2.0
                stands[k] -= push
                stands[after] += push
                moved = True
        if not moved:
            break
    return stands
