"""What each camera sees, sends and draws."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from survey_app.assess.graph import device_type, encoder_of
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.nulls import number, unknown, without
from survey_app.assess.record import CameraRow, NullReason
from survey_app.ground.geodesic import plan_line
from survey_app.ground.place import Placed, Spot
from survey_app.ground.plane import to_plane
from survey_app.physics.picture import purpose_reached, px_per_m, scene_width_m, view_angle_deg
from survey_app.site.gear_type import CameraType
from survey_app.site.network import Camera, CameraTarget
from survey_app.site.place import GeoPoint

__all__ = [
    "CameraRate",
    "camera_rates",
    "camera_rows",
    "camera_type",
    "scene_m",
    "target_distance_m",
    "view_bearing_plan_deg",
]


@dataclass(frozen=True, slots=True)
class CameraRate:
    """The planned rate of one camera.

    Parameters
    ----------
    day_mbps, night_mbps : float
        Video rate by day and by night. [Mbit/s]
    network_day_mbps, network_night_mbps : float
        What the network carries: with packet overhead and with viewers that the recorder does not serve. [Mbit/s]
    stored_mbps : float
        Mean rate over a day, what a recorder keeps. [Mbit/s]
    """

    day_mbps: float
    night_mbps: float
    network_day_mbps: float
    network_night_mbps: float
    stored_mbps: float

    @property
    def peak_mbps(self) -> float:
        """The higher of both network rates. [Mbit/s]"""
        return max(self.network_day_mbps, self.network_night_mbps)


def camera_type(job: Job, camera: Camera) -> CameraType | None:
    """Return a camera's type, or None where the site carries no such camera type."""
    found = job.gear.get(camera.gear)
    return found if isinstance(found, CameraType) else None


def _set_rate(job: Job, camera: Camera, kind: CameraType | None, encoder: str | None) -> float:
    if camera.stream.rate_mbps is not None:
        return camera.stream.rate_mbps
    encoder_type = device_type(job, encoder) if camera.analogue and encoder else None
    if encoder_type is not None and encoder_type.stream_mbps is not None:
        return encoder_type.stream_mbps
    return kind.cap_mbps if kind else 0.0


def _rate(job: Job, camera: Camera, encoder: str | None) -> CameraRate:
    kind = camera_type(job, camera)
    mean = _set_rate(job, camera, kind, encoder)
    day = night = stored = mean
    if camera.stream.mode == "variable":
        factor = camera.stream.night_factor or (kind.night_factor if kind else 1.0)
        day = mean * job.defaults.variable_rate_factor
        night = day * factor
        stored = mean * (1.0 + factor) / 2.0
    carried = job.defaults.overhead_factor * (1 + camera.stream.viewers)
    return CameraRate(day, night, day * carried, night * carried, stored)


def camera_rates(job: Job) -> dict[str, CameraRate]:
    """Return the planned rate of every camera.

    A constant or capped stream is planned at its setting by day and by night; a variable stream at its mean times the
    site's factor, and by night times its night factor. An analogue camera takes the rate of its encoder's channel.
    Settings left open take the gear type's figures.

    Parameters
    ----------
    job : Job
        The indexed site.

    Returns
    -------
    dict of str to CameraRate
        By camera id.
    """
    encoders = encoder_of(job)
    return {camera_id: _rate(job, camera, encoders.get(camera_id)) for camera_id, camera in job.cameras.items()}


def target_xy(placed: Placed, target: CameraTarget) -> tuple[float, float]:
    """Return a target on the plan; NaN where it is in degrees and the plane has no anchor."""
    position = target.position
    if not isinstance(position, GeoPoint):
        return position.x_m, position.y_m
    if placed.plane is None:
        return math.nan, math.nan
    x_m, y_m = to_plane(placed.plane, position.lat_deg, position.lon_deg)
    return float(x_m), float(y_m)


def target_distance_m(placed: Placed, camera: Camera) -> float | None:
    """Return the distance from a camera's lens to the middle of its target, or None where one has no place. [m]

    The target stands on the ground at the foot of what the camera hangs on.
    """
    spot = placed.cameras.get(camera.id)
    if spot is None or camera.target is None:
        return None
    x_m, y_m = target_xy(placed, camera.target)
    rise_m = spot.elevation_m - spot.foot_m - camera.target.height_m
    distance_m = math.hypot(x_m - spot.x_m, y_m - spot.y_m, rise_m)
    return None if math.isnan(distance_m) or distance_m == 0.0 else distance_m


def scene_m(job: Job, placed: Placed, camera: Camera) -> float | None:
    """Return the width of what a camera sees at its target, or None where that is not known. [m]

    The angle of view decides; where it is left open, the width wanted at the target, which the lens is then set to,
    but never wider or narrower than the lens can.
    """
    kind, distance_m = camera_type(job, camera), target_distance_m(placed, camera)
    if kind is None or camera.target is None:
        return None
    if distance_m is None:
        return camera.target.width_m
    if camera.angle_of_view_deg is not None:
        return float(scene_width_m(camera.angle_of_view_deg, distance_m))
    narrowest = float(scene_width_m(kind.angle_min_deg, distance_m)) if kind.angle_min_deg < 180 else math.inf
    widest = float(scene_width_m(kind.angle_max_deg, distance_m)) if kind.angle_max_deg < 180 else math.inf
    return min(max(camera.target.width_m, narrowest), widest)


def view_bearing_plan_deg(placed: Placed, camera: Camera) -> float | None:
    """Return the bearing on the plan from a camera to the middle of its target, or None where there is none. [deg]"""
    spot = placed.cameras.get(camera.id)
    if spot is None or camera.target is None:
        return None
    return number(plan_line(spot.x_m, spot.y_m, *target_xy(placed, camera.target)).bearing_at_1_deg)


def _view_angle_deg(camera: Camera, width_m: float | None, distance_m: float | None) -> float | None:
    """Return the horizontal angle of view: as set, or what the lens is set to for its scene. [deg]"""
    if camera.angle_of_view_deg is not None:
        return camera.angle_of_view_deg
    return None if width_m is None or distance_m is None else number(view_angle_deg(width_m, distance_m))


@dataclass(frozen=True)
class _Written:
    """What the rows are written from."""

    job: Job
    placed: Placed


def camera_rows(
    job: Job, placed: Placed, volts_v: Mapping[str, float | None] | None = None, memo: Fresh | None = None
) -> tuple[CameraRow, ...]:
    """Return the rows of all cameras.

    Parameters
    ----------
    job : Job
        The indexed site.
    placed : Placed
        Where its things are.
    volts_v : mapping of str to float or None
        Voltage that arrives at each camera by night, where the supply is solved. [V]
    memo : Fresh or None
        What is known from an earlier value of the site.
    """
    rates, arriving = camera_rates(job), volts_v or {}
    cameras = sorted(job.cameras.items())
    given = [(camera, rates[key], arriving.get(key)) for key, camera in cameras]
    written = _Written(job, placed)
    return tuple((memo or Fresh()).watched("cameras", written, [key for key, _ in cameras], given, _written))


def _written(known: _Written, camera: Camera, rate: CameraRate, volts_v: float | None) -> CameraRow:
    return _row(known.job, known.placed, camera, rate, volts_v)


def _over_foot_m(camera: Camera, spot: Spot | None) -> float:
    """Return the height over the foot of what carries it; as written where there is none or nobody knows that. [m]"""
    height_m = spot.elevation_m - spot.foot_m if spot is not None else math.nan
    return camera.height_m if math.isnan(height_m) else height_m


def _row(job: Job, placed: Placed, camera: Camera, rate: CameraRate, volts_v: float | None) -> CameraRow:
    kind, spot = camera_type(job, camera), placed.cameras.get(camera.id)
    width_m, distance_m = scene_m(job, placed, camera), target_distance_m(placed, camera)
    bearing_deg = view_bearing_plan_deg(placed, camera)
    angle_deg = _view_angle_deg(camera, width_m, distance_m)
    density = number(px_per_m(kind.width_px, width_m)) if kind is not None and width_m is not None else None
    return CameraRow(
        id=camera.id,
        name=camera.title,
        gear=camera.gear,
        mount=camera.mount,
        x_m=number(spot.x_m) if spot else None,
        y_m=number(spot.y_m) if spot else None,
        height_above_ground_m=_over_foot_m(camera, spot),
        px_per_m=density,
        purpose=camera.purpose,
        purpose_met=purpose_reached(density) if density is not None else None,
        target_distance_m=distance_m,
        view_bearing_plan_deg=bearing_deg,
        angle_of_view_deg=angle_deg,
        view_width_m=number(width_m),
        rate_mbps=rate.day_mbps,
        rate_night_mbps=rate.night_mbps,
        network_rate_mbps=rate.network_day_mbps,
        network_rate_night_mbps=rate.network_night_mbps,
        supply_w_day=kind.watts_day_w if kind else 0.0,
        supply_w_night=kind.watts_night_w if kind else 0.0,
        supply_v=volts_v,
        edge_recording_hours=camera.edge_recording_hours,
        null_reasons=(
            *_reasons(camera, spot, density, volts_v, typed=kind is not None),
            *_view_reasons(camera, bearing_deg, angle_deg, distance_m),
        ),
    )


_NO_TARGET = "No target is drawn for this camera."
_NOWHERE = "Put the camera on a mount or at a place of the plan, and its target on the plan."


def _view_reasons(
    camera: Camera, bearing_deg: float | None, angle_deg: float | None, distance_m: float | None
) -> list[NullReason]:
    """Say why there is no direction or angle of view."""
    if camera.target is None:
        return without(["view_bearing_plan_deg", *(["angle_of_view_deg"] if angle_deg is None else [])], _NO_TARGET)
    reasons = []
    if bearing_deg is None and distance_m is None:
        reasons += unknown(["view_bearing_plan_deg"], _NOWHERE)
    elif bearing_deg is None:
        reasons += without(["view_bearing_plan_deg"], "Its target lies straight below: it looks in no direction.")
    if angle_deg is None and distance_m is None:
        reasons += unknown(["angle_of_view_deg"], _NOWHERE)
    elif angle_deg is None:
        reasons += unknown(["angle_of_view_deg"], "Give the camera a gear type.")
    return reasons


def _reasons(
    camera: Camera, spot: Spot | None, density: float | None, volts_v: float | None, *, typed: bool
) -> list[NullReason]:
    reasons = []
    if spot is None or math.isnan(spot.x_m):
        reasons += unknown(["x_m", "y_m"], "Put the camera on a mount or at a place of the plan.")
    if camera.target is None:
        fields = ["px_per_m", "purpose_met", "target_distance_m", "view_width_m"]
        reasons += without(fields, _NO_TARGET)
    elif density is None and typed:
        sentence = "At this angle of view the scene has no width: it sees half of everything."
        reasons += without(["px_per_m", "purpose_met", "view_width_m"], sentence)
    elif density is None:
        reasons += unknown(["px_per_m", "purpose_met", "view_width_m"], "Give the camera a gear type.")
    if volts_v is None:
        reasons += without(["supply_v"], "Its voltage is not worked out: no cable that feeds it is drawn.")
    return reasons
