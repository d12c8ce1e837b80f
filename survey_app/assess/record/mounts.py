"""North, mounts and the ways up to them."""

from __future__ import annotations

import datetime
from typing import Literal

from survey_app.site.record import Record

__all__ = ["ClimbRow", "Maturity", "MountRow", "NorthRow"]

Maturity = Literal["desk", "walked", "measured", "lamp-proven", "bench-proven", "accepted"]


class NorthRow(Record):
    """North at the site: what turns a true bearing into what a compass shows."""

    anchored: bool
    declination_deg: float | None
    sigma_deg: float | None
    yearly_change_deg: float | None
    model: str
    date: datetime.date
    zone: Literal["ok", "caution", "blackout", "outside_dates", "unanchored"]
    sentence: str
    grid_convergence_deg: float | None
    plan_rotation_deg: float | None


class MountRow(Record):
    """A mount, placed."""

    id: str
    name: str
    structure: str
    structure_name: str
    structure_kind: str
    x_m: float
    y_m: float
    lat_deg: float | None
    lon_deg: float | None
    elevation_m: float
    height_above_ground_m: float
    height_above_eaves_m: float | None
    below_top_m: float | None
    height_sigma_m: float
    position_sigma_m: float
    environment: str
    permission: str
    climb: str
    radios: tuple[str, ...]
    cameras: tuple[str, ...]
    clamp: str | None
    clamp_range_mm: tuple[float, float] | None
    pipe_mm: float | None
    overhead_line_m: float | None
    foot_tapes: tuple[tuple[str, float], ...]


class ClimbRow(Record):
    """One climb: what is done up there, in which order."""

    id: str
    name: str
    order: int
    way: str
    reach_m: float
    key: str
    mounts: tuple[str, ...]
    radios: tuple[str, ...]
    cameras: tuple[str, ...]
    structure: str
