"""Cells and the areas that they serve: what shares one airtime."""

from __future__ import annotations

from typing import Literal

from survey_app.assess.record.finding import NullReason
from survey_app.site.record import Record

__all__ = ["AreaRow", "CellRow"]


class AreaRow(Record):
    """An area inside in which a movable camera must be served, and what part of it is."""

    id: str
    name: str
    structure: str
    station: str | None
    access_points: tuple[str, ...]
    area_m2: float | None
    spots: int
    step_m: float | None
    needed_rate_mbps: float | None
    wanted_margin_db: float | None
    wanted_fraction: float
    goods_loss_db: float
    served_open_fraction: float | None
    served_fraction: float | None
    served_full_fraction: float | None
    rate_everywhere_mbps: float | None
    weakest_x_m: float | None
    weakest_y_m: float | None
    weakest_level_dbm: float | None
    weakest_behind: tuple[str, ...]
    null_reasons: tuple[NullReason, ...] = ()


class CellRow(Record):
    """A cell: one access point, one channel, one shared airtime."""

    id: str
    access_point: str
    channel: int | None
    centre_mhz: float | None
    width_mhz: float
    access: Literal["contention", "scheduled"]
    stations: tuple[str, ...]
    hops: tuple[str, ...]
    airtime_used_fraction: float | None
    airtime_limit_fraction: float | None
    load_fraction: float | None
    demand_mbps: float
    multicast_fraction: float = 0.0
    air_fraction: float | None
    heard_cells: tuple[str, ...]
    heard_fraction: float
    neighbours_fraction: float | None
    listened_at: str | None
    load_with_others_fraction: float | None
    delay_p99_ms: float | None
    delay_together_ms: float | None
    equal_share_mbps: float | None
    heaviest_station: str | None
    heaviest_share_fraction: float | None
    more_cameras: int | None
    null_reasons: tuple[NullReason, ...] = ()
