"""What each camera sees, sends and draws."""

from __future__ import annotations

from dataclasses import dataclass

from survey_app.assess.graph import device_type, encoder_of
from survey_app.assess.job import Job
from survey_app.site.gear_type import CameraType
from survey_app.site.network import Camera

__all__ = ["CameraRate", "camera_rates", "camera_type"]


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


def _target_distance_m(camera: Camera, spot: Spot | None, target: tuple[float, float] | None, ground_m: float) -> float:
    """Distance from the lens to the middle of the target; NaN where one of them has no place."""
    if spot is None or target is None or camera.target is None:
        return math.nan
    rise = spot.elevation_m - ground_m - camera.target.height_m
    return math.hypot(target[0] - spot.x_m, target[1] - spot.y_m, rise)


def _density(camera: Camera, kind: CameraType | None, distance_m: float) -> float:
    """Pixels on a metre of the target; the angle of view decides where it is known, else the width that is wanted."""
    if kind is None or camera.target is None:
        return math.nan
    scene_m = camera.target.width_m
    if camera.angle_of_view_deg is not None and not math.isnan(distance_m):
        scene_m = float(scene_width_m(camera.angle_of_view_deg, distance_m))
    return float(px_per_m(kind.width_px, scene_m))


def _supply_v(kind: CameraType | None) -> float | None:
    """Nominal voltage of a camera's first way to be fed: the middle of its range is no use, its lower end is."""
    return kind.power_inputs[0].volts_min_v if kind and kind.power_inputs else None


def camera_rows(
    job: Job, placed: Placed, volts_v: Mapping[str, float | None] | None = None
) -> tuple[CameraRow, ...]:
    """Return the rows of all cameras.

    Parameters
    ----------
    job : Job
        The indexed site.
    placed : Placed
        Where its things are.
    volts_v : mapping of str to float or None
        Voltage that arrives at each camera, where the supply is solved. [V]
    """
    rates, plane = camera_rates(job), placed.plane
    return tuple(_row(job, placed, plane, camera, rates[key], (volts_v or {}).get(key)) for key, camera in sorted(job.cameras.items()))
