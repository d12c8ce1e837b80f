"""The assessment: every number that reaches paper or screen, and every finding.

Angles and levels are full-precision numbers; rounding belongs to paper. A value that cannot be known is null, and a
row of `null_reasons` says what kind of null it is: unknown (a finding says what would make it known), not
applicable, or refused.
"""

from __future__ import annotations

import datetime
from collections.abc import Collection
from typing import Literal, NamedTuple

from survey_app.site.record import Record

__all__ = [
    "AreaRow",
    "Assessment",
    "CameraRow",
    "CellRow",
    "ClimbRow",
    "Cure",
    "CureArgument",
    "DirectionRow",
    "Finding",
    "FromLandmark",
    "HopEndRow",
    "HopRow",
    "Leg",
    "Maturity",
    "MountRow",
    "NorthRow",
    "NullReason",
    "ObstacleKind",
    "ObstacleRow",
    "Place",
    "RadioRow",
    "ReachArc",
    "ReadingWindow",
    "RouteRow",
    "Severity",
    "Side",
    "SupplyLink",
    "SupplyRow",
    "TallyRow",
    "WallKind",
    "WallMet",
    "WireRow",
]

Severity = Literal["stop", "warn", "note"]
Side = Literal["under", "left", "right", "over"]
"""Where an obstacle lies, seen from the access point along the ray."""
ObstacleKind = Literal["building", "parapet", "upright", "trees", "obstacle", "traffic", "wire", "ground", "radio"]
WallKind = Literal["wall", "opening", "floor", "ceiling", "outer_wall", "roof"]
Maturity = Literal["desk", "walked", "measured", "lamp-proven", "bench-proven", "accepted"]


class NullReason(Record):
    """Why a field is null."""

    field: str
    kind: Literal["unknown", "not_applicable", "refused"]
    sentence: str


class Place(Record):
    """A spot of the plan that a finding points at."""

    x_m: float
    y_m: float
    height_m: float | None = None


class CureArgument(Record):
    """One argument of an edit that cures a finding."""

    name: str
    value: str | float | int | bool | None


class Cure(Record):
    """One way to cure a finding; `edit` null = work on site, and `evidence` says which record of it is the cure."""

    text: str
    edit: str | None = None
    arguments: tuple[CureArgument, ...] = ()
    evidence: Literal["sight", "reading"] | None = None


class Acceptance(Record):
    """The acceptance of a finding that still holds."""

    by: str
    on: datetime.date
    reason: str


class Finding(Record):
    """One result of a design check; `concerns` lists every thing that it is about besides its subjects."""

    id: str
    number: int
    code: str
    severity: Severity
    subject: str
    second_subject: str | None = None
    place: Place | None = None
    message: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    source: str
    edition: str = ""
    concerns: tuple[str, ...] = ()
    cures: tuple[Cure, ...] = ()
    accepted: Acceptance | None = None

    def stands_on_page_of(self, ids: Collection[str]) -> bool:
        """Return whether it stands on the page of these things: its subjects', and of a stop all that it concerns."""
        if self.subject in ids or self.second_subject in ids:
            return True
        return self.severity == "stop" and any(one in ids for one in self.concerns)


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
    mcs: int | None
    phy_rate_mbps: float | None
    throughput_alone_mbps: float | None
    share_mbps: float | None
    demand_mbps: float
    needed_mcs: int | None
    needed_rate_mbps: float | None
    margin_at_needed_rate_db: float | None
    margin_at_lowest_rate_db: float | None
    margin_at_chosen_rate_db: float | None


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
    equal_share_mbps: float | None
    heaviest_station: str | None
    heaviest_share_fraction: float | None
    more_cameras: int | None
    null_reasons: tuple[NullReason, ...] = ()


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
    carries_mbps: float | None
    latency_ms: float | None


class RouteRow(Record):
    """The way of a camera's video to its head end."""

    camera: str
    head_end: str | None
    legs: tuple[Leg, ...]
    demand_mbps: float
    night_demand_mbps: float
    bottleneck_leg: str | None
    bottleneck_mbps: float | None
    latency_ms: float | None


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


class TallyPart(Record):
    """One share of a tally line: what needs it, at which mount and climb."""

    subject: str
    mount: str | None
    climb: str | None
    quantity: float
    rule: str


class TallyRow(Record):
    """One line of the tally."""

    item: int
    group: str
    gear: str | None
    what: str
    for_ids: tuple[str, ...]
    status: Literal["buy", "have", "reuse", "remove", "hire"]
    need: float
    spare: float
    order: float
    unit: str
    how_counted: str
    by_whom: Literal["installer", "electrician", "lift_firm", "customer", "it"]
    parts: tuple[TallyPart, ...]
    unit_price: float | None = None
    low: float | None = None
    high: float | None = None


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


class Assessment(Record):
    """The whole assessment of a site."""

    site: str
    revision: str
    checksum: str
    program_version: str
    rules_edition: str
    as_of: datetime.date
    north: NorthRow
    mounts: tuple[MountRow, ...]
    radios: tuple[RadioRow, ...]
    hops: tuple[HopRow, ...]
    cells: tuple[CellRow, ...]
    areas: tuple[AreaRow, ...] = ()
    cameras: tuple[CameraRow, ...]
    wires: tuple[WireRow, ...]
    supplies: tuple[SupplyRow, ...]
    routes: tuple[RouteRow, ...]
    head_ends: tuple[HeadEndRow, ...]
    climbs: tuple[ClimbRow, ...]
    findings: tuple[Finding, ...]
    tally: tuple[TallyRow, ...]
    assumptions: tuple[str, ...]
    stale_acceptances: tuple[str, ...]

    def radio(self, radio_id: str) -> RadioRow:
        """Return the row of one radio."""
        return next(row for row in self.radios if row.id == radio_id)

    def hop(self, hop_id: str) -> HopRow:
        """Return the row of one hop."""
        return next(row for row in self.hops if row.id == hop_id)

    def count(self, severity: Severity) -> int:
        """Return how many findings of one severity there are, accepted ones included."""
        return sum(finding.severity == severity for finding in self.findings)


HopRow.model_rebuild()
