"""Hops: what lies in their way, what arrives at either end, what is left each way."""

from __future__ import annotations

import datetime
from typing import Literal

from survey_app.assess.record.finding import NullReason
from survey_app.assess.record.mounts import Maturity
from survey_app.site.record import Record

__all__ = [
    "DirectionRow",
    "HopDirections",
    "HopEndRow",
    "HopEnds",
    "HopRow",
    "ObstacleKind",
    "ObstacleRow",
    "ReadingWindow",
    "Side",
    "WallKind",
    "WallMet",
]

Side = Literal["under", "left", "right", "over"]
"""Where an obstacle lies, seen from the access point along the ray."""


ObstacleKind = Literal["building", "parapet", "upright", "trees", "obstacle", "traffic", "wire", "ground", "radio"]


WallKind = Literal["wall", "opening", "floor", "ceiling", "outer_wall", "roof"]


class ReadingWindow(Record):
    """What the installer should read, and how far off is still right."""

    expected_dbm: float
    sigma_db: float
    good_low_dbm: float
    good_high_dbm: float
    low_dbm: float
    causes: tuple[tuple[str, float], ...]


class HopEndRow(Record):
    """One end of a hop."""

    radio: str
    bearing_plan_deg: float | None
    bearing_true_deg: float | None
    bearing_magnetic_deg: float | None
    tilt_deg: float | None
    off_axis_azimuth_deg: float | None
    off_axis_elevation_deg: float | None
    pointing_loss_db: float | None
    gain_toward_far_end_dbi: float | None
    polarisation_loss_db: float | None
    rx_level_dbm: float | None
    expected_reading_dbm: float | None
    expected_reading_auto_dbm: float | None
    expected_as_shown_dbm: float | None
    lights_expected: int | None
    window: ReadingWindow | None
    window_auto: ReadingWindow | None
    landmark_turn_deg: float | None
    first_peak_db: float | None = None


class DirectionRow(Record):
    """One direction of a hop."""

    tx_power_total_dbm: float | None
    noise_dbm: float | None
    interference_rise_db: float
    snr_db: float | None
    interference_dbm: float | None = None
    sinr_db: float | None = None
    worst_interferer: str | None = None
    mcs: int | None
    phy_rate_mbps: float | None
    throughput_alone_mbps: float | None
    share_mbps: float | None
    air_fraction: float | None
    lost_frames_fraction: float | None
    equal_turn_mbps: float | None
    equal_time_mbps: float | None
    demand_mbps: float
    needed_mcs: int | None
    needed_rate_mbps: float | None
    margin_at_needed_rate_db: float | None
    margin_at_lowest_rate_db: float | None
    margin_at_chosen_rate_db: float | None
    margin_with_interference_db: float | None = None

    @property
    def margin_left_db(self) -> float | None:
        """Margin at the needed rate, with interference where that is known. [dB]"""
        told = self.margin_with_interference_db
        return told if told is not None else self.margin_at_needed_rate_db


class ObstacleRow(Record):
    """One thing beside, under or in the ray of a hop; distances count from the access point along the ground."""

    thing: str
    kind: ObstacleKind
    own: bool
    place_m: float
    clearance_m: float
    ratio: float | None
    side: Side
    enter_m: float | None
    leave_m: float | None


class WallMet(Record):
    """One wall, door, floor or roof that the ray of a hop goes through, in the order from the access point."""

    thing: str
    kind: WallKind
    made: str
    known: bool
    place_m: float
    incidence_deg: float
    low_db: float | None
    likely_db: float | None
    high_db: float | None


class HopRow(Record):
    """A hop: one path, two ends, two directions."""

    id: str
    name: str
    access_point: str
    station: str
    cell: str
    channel: int | None
    centre_mhz: float | None
    width_mhz: float
    distance_m: float
    ground_distance_m: float
    free_space_loss_db: float | None
    diffraction_loss_db: float | None
    diffraction_method: str | None
    foliage_loss_db: float | None
    foliage_loss_low_db: float | None
    foliage_depth_m: float | None
    wall_loss_db: float | None
    wall_loss_low_db: float | None
    wall_loss_high_db: float | None
    wall_method: str | None
    walls: tuple[WallMet, ...]
    entry_loss_low_db: float | None
    entry_loss_high_db: float | None
    gas_loss_db: float | None
    rain_loss_db: float | None
    line_of_sight: bool | None
    fresnel_clearance_ratio: float | None
    fresnel_radius_m: float | None
    clearance_place_m: float | None
    clearance_obstacle: str | None
    clearance_m: float | None
    clearance_side: Side | None
    cut_at_m: float | None
    cut_by: str | None
    clearance_ratio_bare: float | None
    clearance_ratio_grown: float | None
    clearance_ratio_low_k: float | None
    clearance_ratio_moving: float | None
    obstacles: tuple[ObstacleRow, ...]
    clear_probability_percent: float | None
    level_probability_percent: float | None
    best_measurement: str | None
    checked_against: str
    sight_checked: Literal["seen", "seen_with_lamp", "not_seen", "not_tried"]
    sight_by: str | None
    sight_on: datetime.date | None
    maturity: Maturity = "desk"
    budget_basis: Literal["checked", "assumed clear"]
    propagation_availability_percent: float | None
    wanted_margin_db: float
    ends: HopEnds
    directions: HopDirections
    null_reasons: tuple[NullReason, ...] = ()


class HopEnds(Record):
    """Both ends of a hop."""

    access_point: HopEndRow
    station: HopEndRow


class HopDirections(Record):
    """Both directions of a hop."""

    to_access_point: DirectionRow
    to_station: DirectionRow
