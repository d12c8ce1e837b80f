"""Cameras, wires, supplies, routes and head ends."""

from __future__ import annotations

from typing import Literal

from survey_app.assess.record.finding import NullReason
from survey_app.site.record import Record

__all__ = ["CameraRow", "HeadEndRow", "Leg", "RouteRow", "SupplyLink", "SupplyRow", "WireRow"]


class CameraRow(Record):
    """A camera: what it sees, what it sends, what it draws."""

    id: str
    name: str
    gear: str
    mount: str | None
    x_m: float | None
    y_m: float | None
    height_above_ground_m: float
    px_per_m: float | None
    purpose: str
    purpose_met: str | None
    target_distance_m: float | None
    view_bearing_plan_deg: float | None
    angle_of_view_deg: float | None
    view_width_m: float | None
    rate_mbps: float
    rate_night_mbps: float
    network_rate_mbps: float
    network_rate_night_mbps: float
    supply_w_day: float
    supply_w_night: float
    supply_v: float | None
    edge_recording_hours: float
    null_reasons: tuple[NullReason, ...] = ()


class WireRow(Record):
    """A wire: how long, what to order, what arrives."""

    id: str
    medium: str
    gear: str | None
    a: str
    b: str
    route_m: float | None
    order_m: float | None
    loop_ohm: float | None
    load_w: float | None
    volts_far_end_v: float | None
    protectors: int
    metal_between_buildings: bool
    outdoors: bool
    null_reasons: tuple[NullReason, ...] = ()


class SupplyLink(Record):
    """One link of the chain from a source to a load."""

    id: str
    kind: str
    volts_v: float | None
    load_w: float | None
    limit_w: float | None


class SupplyRow(Record):
    """A fed thing: the chain from its source, and what arrives."""

    id: str
    source: str | None
    volts_at_load: float | None
    volts_min: float | None
    volts_max: float | None
    load_w: float
    limit_w: float | None
    chain: tuple[SupplyLink, ...]
    null_reasons: tuple[NullReason, ...] = ()


class Leg(Record):
    """One leg of a route."""

    kind: Literal["hop", "wire"]
    id: str
    direction: Literal["to_access_point", "to_station", "a_to_b", "b_to_a"]
    demand_mbps: float
    carries_mbps: float | None
    left_mbps: float | None
    latency_ms: float | None
    delay_p99_ms: float | None


class RouteRow(Record):
    """The way of a camera's video to its head end.

    `second_way` names the legs of the way that it takes when the part of the first fails that another can stand in for;
    none where there is but one way.
    """

    camera: str
    head_end: str | None
    legs: tuple[Leg, ...]
    second_way: tuple[str, ...] = ()
    demand_mbps: float
    night_demand_mbps: float
    bottleneck_leg: str | None
    bottleneck_mbps: float | None
    latency_ms: float | None
    delay_p99_ms: float | None


class HeadEndRow(Record):
    """A head end as a machine: what comes in, how long it keeps it."""

    id: str
    device: str
    cameras: tuple[str, ...]
    channels_used: int
    channels: int | None
    input_mbps: float
    input_limit_mbps: float | None
    gb_per_day: float
    days: float | None
    days_wanted_days: float | None
    disks: int | None
