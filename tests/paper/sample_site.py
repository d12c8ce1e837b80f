"""A small invented site with an assessment whose figures are made up: paper must print them, not judge them."""

from __future__ import annotations

import datetime
from typing import Any

from survey_app.assess.record import (
    Assessment,
    CellRow,
    ClimbRow,
    Cure,
    DirectionRow,
    Finding,
    FromLandmark,
    HopDirections,
    HopEndRow,
    HopEnds,
    HopRow,
    Leg,
    MountRow,
    NorthRow,
    NullReason,
    Place,
    RadioRow,
    ReadingWindow,
    RouteRow,
    TallyPart,
    TallyRow,
)
from survey_app.site.mount import Mount, Pipe
from survey_app.site.place import Anchor, EdgePlace, PlanePoint, PolePlace
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Design, Landmark, Plane, Site
from survey_app.site.structure import Building, Mast, OverheadLine, Pole, TreeStand
from survey_app.site.surroundings import Water

AS_OF = datetime.date(2026, 12, 1)


def point(x: float, y: float) -> PlanePoint:
    return PlanePoint(x_m=float(x), y_m=float(y))


def outline(*corners: tuple[float, float]) -> tuple[PlanePoint, ...]:
    return tuple(point(*corner) for corner in corners)


def sample_site(**changes: Any) -> Site:
    """Mast M1 with access point A1, stations S1 on a pile and S2 on a wall."""
    fields: dict[str, Any] = {
        "name": "Quillon Reach",
        "revision": "C",
        "as_of": AS_OF,
        "units": "both",
        "call_number": "Yard office",
        "plane": Plane(anchor=Anchor(lat_deg=43.55, lon_deg=-69.6)),
        "structures": (
            Mast(id="m1", name="Mast M1", kind="mast", position=point(96, 238), height_m=15.0),
            Pole(id="p3", name="Pile light P3", kind="pole", position=point(330, 58), height_m=7.0),
            Building(
                id="loft",
                name="Sail loft",
                kind="building",
                outline=outline((232, 206), (264, 208), (262, 240), (230, 238)),
                eaves_height_m=9.0,
            ),
            TreeStand(
                id="t1",
                name="Willows",
                kind="tree_stand",
                outline=outline((345, 170), (400, 200), (455, 160), (380, 125)),
            ),
            OverheadLine(id="e1", kind="overhead_line", route=outline((450, 275), (520, 200))),
        ),
        "waters": (
            Water(id="w1", name="River", outline=outline((-900, -900), (1600, -900), (1600, 100), (-900, 120))),
        ),
        "mounts": (
            Mount(id="mount-a", structure="m1", place=PolePlace(kind="pole"), height_m=13.0, no_overhead_line=True),
            Mount(
                id="mount-s",
                structure="p3",
                place=PolePlace(kind="pole"),
                height_m=6.0,
                pipe=Pipe(diameter_mm=114.0, measured=True),
                earth_point="pile lug",
                overhead_line_m=210.0,
            ),
            Mount(
                id="mount-l",
                structure="loft",
                place=EdgePlace(kind="edge", edge=3, along_m=10.0),
                height_m=-1.0,
                height_reference="eaves",
                wall_fixing="Brick, checked by the owner.",
            ),
        ),
        "radios": (
            Radio(id="A1", role="access_point", gear="panel", mount="mount-a", channel=102),
            Radio(id="S1", role="station", gear="panel", mount="mount-s", address="192.0.2.11"),
            Radio(id="S2", role="station", gear="panel", mount="mount-l"),
        ),
        "hops": (
            Hop(id="H1", access_point="A1", station="S1"),
            Hop(id="H2", access_point="A1", station="S2"),
        ),
        "landmarks": (Landmark(id="tower", name="Water tower", position=point(-290, 215)),),
    }
    fields.update(changes)
    return Site(design=Design(**fields))


TOWER = FromLandmark(
    landmark="tower",
    name="Water tower",
    bearing_true_deg=284.2,
    bearing_plan_deg=284.2,
    distance_m=640.0,
    turn_deg=23.44,
    error_deg=0.27,
    allowed=True,
)
SPIRE = TOWER.model_copy(
    update={"landmark": "spire", "name": "Chapel spire", "bearing_true_deg": 9.4, "turn_deg": -61.75}
)


def radio_row(radio_id: str, **changes: Any) -> RadioRow:
    station = radio_id.startswith("S")
    fields: dict[str, Any] = {
        "id": radio_id,
        "name": radio_id,
        "role": "station" if station else "access_point",
        "gear": "panel",
        "gear_name": "Panel 16",
        "antenna": None,
        "mount": "mount-s",
        "cell": "A1",
        "hops": ("H1",),
        "far_ends": ("A1",),
        "topology": "client",
        "height_above_ground_m": 6.0,
        "height_above_roof_m": None,
        "below_top_m": 1.0,
        "antenna_elevation_m": 6.0,
        "elevation_datum": "mean water",
        "x_m": 330.0,
        "y_m": 58.0,
        "lat_deg": 43.55,
        "lon_deg": -69.6,
        "pattern_model": "lobe",
        "bearing_plan_deg": 307.64,
        "bearing_true_deg": 307.64,
        "bearing_magnetic_deg": 322.26,
        "tilt_deg": 2.04,
        "electrical_downtilt_deg": 0.0,
        "bracket_tilt_deg": 2.04,
        "aim_by": "computed",
        "tx_power_total_dbm": 14.0,
        "tx_power_auto_dbm": 12.0,
        "tx_power_full_dbm": 25.0,
        "antenna_gain_dbi": 16.0,
        "beamwidth_azimuth_deg": 27.0,
        "beamwidth_elevation_deg": 27.0,
        "edge_left_deg": -13.5,
        "edge_right_deg": 13.5,
        "feeder_loss_db": 0.0,
        "eirp_dbm": 30.0,
        "eirp_limit_dbm": 30.0,
        "conducted_limit_dbm": 24.0,
        "limit_rule": "r1",
        "limit_sentence": "",
        "channel": 102,
        "centre_mhz": 5510.0,
        "width_mhz": 40.0,
        "radar_wait_s": 60.0,
        "supply_v": 46.1,
        "supply_w": 8.2,
        "injector": None,
        "cable_m": 38.0,
        "feeds": (),
        "keep_out_m": 0.4,
        "reach_m": 412.0,
        "reach_mcs": 7,
        "reach_rate_mbps": 150.0,
        "reach_arcs": (),
        "near_in_m": 21.0,
        "declination_deg": -14.62,
        "declination_model": "WMM2025",
        "declination_sigma_deg": 0.37,
        "declination_change_deg": 0.06,
        "landmark": TOWER,
        "landmark_check": SPIRE,
        "landmark_turns": (TOWER, SPIRE),
        "sweep_deg": 54.0,
        "close_enough_deg": None,
        "false_peak_deg": 44.0,
        "aim_sigma_deg": 0.41,
        "aim_sigma_compass_deg": 2.1,
        "position_tolerance_m": 2.2,
        "compass_step_deg": 0.5,
        "bracket_step_deg": 0.5,
        "bracket_set_deg": 2.0,
        "bracket_step_cost_db": 0.0,
        "lights_expected": 4,
        "lights_total": 4,
        "level_per_chain_db_below": 3.01,
        "tx_power_answer_db": 0.0,
        "clamp_range_mm": (90.0, 120.0),
        "climb": "c3",
        "climb_order": 2,
        "sheet_number": 2,
        "first_up": False,
        "looks_at_later": (),
        "label": radio_id,
    }
    fields.update(changes)
    return RadioRow(**fields)


def mount_row(mount_id: str, **changes: Any) -> MountRow:
    fields: dict[str, Any] = {
        "id": mount_id,
        "name": mount_id,
        "structure": "p3",
        "structure_name": "Pile light P3",
        "structure_kind": "pole",
        "x_m": 330.0,
        "y_m": 58.0,
        "lat_deg": None,
        "lon_deg": None,
        "elevation_m": 6.0,
        "height_above_ground_m": 6.0,
        "height_above_eaves_m": None,
        "below_top_m": 1.0,
        "height_sigma_m": 0.05,
        "position_sigma_m": 0.1,
        "environment": "outdoors",
        "permission": "granted",
        "climb": "c3",
        "radios": ("S1",),
        "cameras": (),
        "clamp": "b2",
        "clamp_range_mm": (90.0, 120.0),
        "pipe_mm": 114.0,
        "overhead_line_m": None,
        "foot_tapes": (),
    }
    fields.update(changes)
    return MountRow(**fields)


def end_row(radio_id: str, true_deg: float, tilt_deg: float, **changes: Any) -> HopEndRow:
    fields: dict[str, Any] = {
        "radio": radio_id,
        "bearing_plan_deg": true_deg,
        "bearing_true_deg": true_deg,
        "bearing_magnetic_deg": (true_deg + 14.62) % 360.0,
        "tilt_deg": tilt_deg,
        "off_axis_azimuth_deg": 0.0,
        "off_axis_elevation_deg": 0.0,
        "pointing_loss_db": 0.0,
        "gain_toward_far_end_dbi": 16.0,
        "polarisation_loss_db": 0.0,
        "rx_level_dbm": -51.3,
        "expected_reading_dbm": -51.3,
        "expected_reading_auto_dbm": -55.0,
        "expected_as_shown_dbm": -51.0,
        "lights_expected": 4,
        "window": ReadingWindow(
            expected_dbm=-51.3, sigma_db=3.0, good_low_dbm=-54.3, good_high_dbm=-48.3, low_dbm=-57.3, causes=()
        ),
        "window_auto": None,
        "landmark_turn_deg": 23.44,
    }
    fields.update(changes)
    return HopEndRow(**fields)


def direction_row(**changes: Any) -> DirectionRow:
    fields: dict[str, Any] = {
        "tx_power_total_dbm": 14.0,
        "noise_dbm": -92.0,
        "interference_rise_db": 3.0,
        "snr_db": 40.0,
        "mcs": 9,
        "phy_rate_mbps": 400.0,
        "throughput_alone_mbps": 310.0,
        "share_mbps": 86.0,
        "demand_mbps": 8.5,
        "air_fraction": 0.1,
        "lost_frames_fraction": 0.0,
        "equal_turn_mbps": 86.0,
        "equal_time_mbps": 90.0,
        "needed_mcs": 2,
        "needed_rate_mbps": 20.0,
        "margin_at_needed_rate_db": 19.6,
        "margin_at_lowest_rate_db": 30.0,
        "margin_at_chosen_rate_db": 9.0,
    }
    fields.update(changes)
    return DirectionRow(**fields)


def hop_row(hop_id: str, station: str, near: HopEndRow, far: HopEndRow, distance_m: float, **changes: Any) -> HopRow:
    fields: dict[str, Any] = {
        "id": hop_id,
        "name": hop_id,
        "access_point": "A1",
        "station": station,
        "cell": "A1",
        "channel": 102,
        "centre_mhz": 5510.0,
        "width_mhz": 40.0,
        "distance_m": distance_m,
        "ground_distance_m": distance_m,
        "free_space_loss_db": 96.7,
        "diffraction_loss_db": None,
        "diffraction_method": None,
        "foliage_loss_db": None,
        "foliage_loss_low_db": None,
        "foliage_depth_m": None,
        "wall_loss_db": None,
        "wall_loss_low_db": None,
        "wall_loss_high_db": None,
        "wall_method": None,
        "walls": (),
        "entry_loss_low_db": None,
        "entry_loss_high_db": None,
        "gas_loss_db": 0.0,
        "rain_loss_db": 0.0,
        "line_of_sight": None,
        "fresnel_clearance_ratio": 1.9,
        "fresnel_radius_m": 2.0,
        "clearance_place_m": None,
        "clearance_obstacle": None,
        "clearance_m": None,
        "clearance_side": None,
        "cut_at_m": None,
        "cut_by": None,
        "clearance_ratio_bare": None,
        "clearance_ratio_grown": None,
        "clearance_ratio_low_k": None,
        "clearance_ratio_moving": None,
        "obstacles": (),
        "clear_probability_percent": 100.0,
        "level_probability_percent": 99.9,
        "best_measurement": None,
        "checked_against": "flat ground, what is drawn",
        "sight_checked": "seen",
        "sight_by": "surveyor",
        "sight_on": datetime.date(2026, 11, 2),
        "budget_basis": "assumed clear",
        "propagation_availability_percent": None,
        "wanted_margin_db": 10.0,
        "ends": HopEnds(access_point=near, station=far),
        "directions": HopDirections(to_access_point=direction_row(), to_station=direction_row()),
    }
    fields.update(changes)
    return HopRow(**fields)


def sample_assessment(site: Site, **changes: Any) -> Assessment:
    h1 = hop_row(
        "H1", "S1", end_row("A1", 127.64, -2.04, off_axis_azimuth_deg=10.6), end_row("S1", 307.64, 2.04), 295.4
    )
    h2 = hop_row(
        "H2",
        "S2",
        end_row("A1", 95.9, 1.0, off_axis_azimuth_deg=-21.1),
        end_row("S2", 275.9, -1.0),
        154.9,
        sight_checked="not_tried",
        sight_by=None,
        sight_on=None,
    )
    fields: dict[str, Any] = {
        "site": site.design.name,
        "revision": site.design.revision,
        "checksum": "7F3A 91C2 0E5D",
        "program_version": "0.1.0",
        "rules_edition": "2026-11",
        "as_of": AS_OF,
        "north": NorthRow(
            anchored=True,
            declination_deg=-14.62,
            sigma_deg=0.37,
            yearly_change_deg=0.06,
            model="WMM2025",
            date=AS_OF,
            zone="ok",
            sentence="",
            grid_convergence_deg=None,
            plan_rotation_deg=0.0,
        ),
        "mounts": (
            mount_row("mount-a", structure="m1", structure_name="Mast M1", radios=("A1",), climb="c1", pipe_mm=76.0),
            mount_row("mount-s"),
            mount_row(
                "mount-l",
                structure="loft",
                structure_name="Sail loft",
                structure_kind="building",
                x_m=230.7,
                y_m=228.0,
                radios=("S2",),
                climb="c1",
                pipe_mm=48.0,
                below_top_m=None,
                height_above_eaves_m=-1.0,
                foot_tapes=(("NW corner of Sail loft", 10.0), ("SW corner of Sail loft", 22.1)),
            ),
        ),
        "radios": (
            radio_row(
                "A1",
                mount="mount-a",
                x_m=96.0,
                y_m=238.0,
                hops=("H1", "H2"),
                far_ends=("S1", "S2"),
                topology="multipoint_hub",
                bearing_plan_deg=117.0,
                bearing_true_deg=117.0,
                bearing_magnetic_deg=131.62,
                tilt_deg=-1.4,
                electrical_downtilt_deg=2.0,
                bracket_tilt_deg=0.6,
                bracket_set_deg=0.5,
                bracket_step_cost_db=0.1,
                beamwidth_azimuth_deg=90.0,
                sweep_deg=None,
                close_enough_deg=2.0,
                false_peak_deg=None,
                landmark=None,
                landmark_check=None,
                landmark_turns=(),
                climb="c1",
                climb_order=1,
                sheet_number=1,
                first_up=True,
                looks_at_later=("S1", "S2"),
            ),
            radio_row("S1"),
            radio_row(
                "S2",
                mount="mount-l",
                x_m=230.7,
                y_m=228.0,
                hops=("H2",),
                bearing_plan_deg=275.9,
                bearing_true_deg=275.9,
                tilt_deg=-1.0,
                bracket_tilt_deg=-1.0,
                climb="c1",
                climb_order=1,
                sheet_number=3,
            ),
        ),
        "hops": (h1, h2),
        "cells": (
            CellRow(
                id="A1",
                access_point="A1",
                channel=102,
                centre_mhz=5510.0,
                width_mhz=40.0,
                access="contention",
                stations=("S1", "S2"),
                hops=("H1", "H2"),
                airtime_used_fraction=0.185,
                airtime_limit_fraction=0.45,
                load_fraction=0.41,
                demand_mbps=12.7,
                air_fraction=0.2,
                heard_cells=(),
                heard_fraction=0.0,
                neighbours_fraction=None,
                listened_at=None,
                load_with_others_fraction=0.41,
                delay_p99_ms=9.0,
                delay_together_ms=14.0,
                equal_share_mbps=86.0,
                heaviest_station="S1",
                heaviest_share_fraction=0.6,
                more_cameras=2,
            ),
        ),
        "cameras": (),
        "wires": (),
        "supplies": (),
        "routes": (
            RouteRow(
                camera="C1",
                head_end="E1",
                legs=(
                    Leg(
                        kind="hop",
                        id="H1",
                        direction="to_access_point",
                        demand_mbps=8.5,
                        carries_mbps=86.0,
                        left_mbps=60.0,
                        latency_ms=4.0,
                        delay_p99_ms=9.0,
                    ),
                    Leg(
                        kind="wire",
                        id="W1",
                        direction="a_to_b",
                        demand_mbps=8.5,
                        carries_mbps=1000.0,
                        left_mbps=991.5,
                        latency_ms=0.1,
                        delay_p99_ms=0.1,
                    ),
                ),
                demand_mbps=8.5,
                night_demand_mbps=8.5,
                bottleneck_leg="H1",
                bottleneck_mbps=86.0,
                latency_ms=6.0,
                delay_p99_ms=11.0,
            ),
        ),
        "head_ends": (),
        "climbs": (
            ClimbRow(
                id="c1",
                name="Lift at the mast",
                order=1,
                way="lift",
                reach_m=13.5,
                key="none needed",
                mounts=("mount-a", "mount-l"),
                radios=("A1", "S2"),
                cameras=(),
                structure="m1",
            ),
            ClimbRow(
                id="c3",
                name="Ladder at the pile",
                order=2,
                way="ladder",
                reach_m=6.5,
                key="K2",
                mounts=("mount-s",),
                radios=("S1",),
                cameras=(),
                structure="p3",
            ),
        ),
        "findings": (
            Finding(
                id="not-checked:H2",
                number=1,
                code="not-checked",
                severity="warn",
                subject="H2",
                place=Place(x_m=170.0, y_m=232.0),
                message="Nobody has looked along this hop.",
                source="PRACTICE",
                cures=(Cure(text="Look along it with a lamp."),),
            ),
            Finding(
                id="radar:A1",
                number=2,
                code="radar",
                severity="note",
                subject="A1",
                message="Channel 102 listens 60 s or more.",
                source="PRACTICE",
            ),
        ),
        "tally": (
            TallyRow(
                item=1,
                group="Radios",
                gear="panel",
                what="radio, panel, 16 dBi",
                for_ids=("A1", "S1", "S2"),
                status="buy",
                need=3.0,
                spare=1.0,
                order=4.0,
                unit="piece",
                how_counted="one a mount",
                by_whom="installer",
                parts=(TallyPart(subject="A1", mount="mount-a", climb="c1", quantity=1.0, rule="one a mount"),),
            ),
        ),
        "assumptions": ("1 mount height guessed, not measured.",),
        "stale_acceptances": (),
    }
    fields.update(changes)
    return Assessment(**fields)


def refused(*fields: str, sentence: str = "The field is too weak here.") -> tuple[NullReason, ...]:
    return tuple(NullReason(field=field, kind="refused", sentence=sentence) for field in fields)
