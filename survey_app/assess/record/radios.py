"""Radios: where they look, what they send, how far they reach."""

from __future__ import annotations

from typing import Literal, NamedTuple

from survey_app.assess.record.finding import NullReason
from survey_app.site.record import Record

__all__ = ["FromLandmark", "RadioRow", "ReachArc"]


class FromLandmark(Record):
    """A turn from a landmark to an aim."""

    landmark: str
    name: str
    bearing_true_deg: float
    bearing_plan_deg: float
    distance_m: float
    turn_deg: float
    error_deg: float
    allowed: bool


class ReachArc(NamedTuple):
    """How far a radio carries one rate index: as `reach_m`, but for this index."""

    mcs: int
    phy_rate_mbps: float
    reach_m: float


class RadioRow(Record):
    """A radio: where it is, where it looks, what it sends, what feeds it."""

    id: str
    name: str
    role: Literal["access_point", "station"]
    gear: str
    gear_name: str
    antenna: str | None
    mount: str
    cell: str | None
    hops: tuple[str, ...]
    far_ends: tuple[str, ...]
    topology: Literal["multipoint_hub", "point_to_point", "client", "alone"]
    height_above_ground_m: float
    height_above_roof_m: float | None
    below_top_m: float | None
    antenna_elevation_m: float
    elevation_datum: str
    x_m: float
    y_m: float
    lat_deg: float | None
    lon_deg: float | None
    pattern_model: str | None
    bearing_plan_deg: float | None
    bearing_true_deg: float | None
    bearing_magnetic_deg: float | None
    tilt_deg: float | None
    electrical_downtilt_deg: float | None
    bracket_tilt_deg: float | None
    aim_by: Literal["computed", "by_hand", "all_round", "none"]
    tx_power_total_dbm: float | None
    tx_power_auto_dbm: float | None
    tx_power_answer_db: float
    tx_power_full_dbm: float | None
    antenna_gain_dbi: float | None
    beamwidth_azimuth_deg: float | None
    beamwidth_elevation_deg: float | None
    edge_left_deg: float | None
    edge_right_deg: float | None
    feeder_loss_db: float
    eirp_dbm: float | None
    eirp_limit_dbm: float | None
    conducted_limit_dbm: float | None
    limit_rule: str | None
    limit_sentence: str
    channel: int | None
    centre_mhz: float | None
    width_mhz: float
    radar_wait_s: float | None
    supply_v: float | None
    supply_w: float
    injector: str | None
    cable_m: float | None
    feeds: tuple[str, ...]
    keep_out_m: float | None
    reach_m: float | None
    reach_mcs: int | None
    reach_rate_mbps: float | None
    reach_arcs: tuple[ReachArc, ...]
    near_in_m: float | None
    declination_deg: float | None
    declination_model: str | None
    declination_sigma_deg: float | None
    declination_change_deg: float | None
    landmark: FromLandmark | None
    landmark_check: FromLandmark | None
    landmark_turns: tuple[FromLandmark, ...]
    sweep_deg: float | None
    close_enough_deg: float | None
    false_peak_deg: float | None
    aim_sigma_deg: float | None
    aim_sigma_compass_deg: float | None
    position_tolerance_m: float | None
    compass_step_deg: float
    bracket_step_deg: float | None
    bracket_set_deg: float | None
    bracket_step_cost_db: float | None
    lights_expected: int | None
    lights_total: int
    level_per_chain_db_below: float
    clamp_range_mm: tuple[float, float] | None
    climb: str
    climb_order: int
    sheet_number: int
    first_up: bool
    looks_at_later: tuple[str, ...]
    label: str
    null_reasons: tuple[NullReason, ...] = ()
