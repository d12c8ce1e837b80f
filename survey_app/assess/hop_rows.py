"""One row per hop: the path, its two ends, its two directions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from survey_app.assess.budget import Aims, Direction, Path
from survey_app.assess.cells import Air
from survey_app.assess.gain import OMNI, off_axis_of_beam_deg
from survey_app.assess.gather import HopArrays, IntArray, RadioArrays
from survey_app.assess.geometry import HopGeometry
from survey_app.assess.hop_rates import CellNeed, HopRates
from survey_app.assess.job import Job
from survey_app.assess.maturity import maturities
from survey_app.assess.north import North
from survey_app.assess.nulls import number, unknown, without
from survey_app.assess.power import Powers
from survey_app.assess.reading import Causes, reading_windows, shown_level_dbm, spread_causes
from survey_app.assess.record import (
    DirectionRow,
    FromLandmark,
    HopDirections,
    HopEndRow,
    HopEnds,
    HopRow,
    Maturity,
    NullReason,
)
from survey_app.assess.routes import HopDemand
from survey_app.ground.bearings import to_magnetic, turn
from survey_app.physics.arrays import FloatArray
from survey_app.physics.window import lights_expected
from survey_app.site.evidence import Sight
from survey_app.site.radio import Hop

__all__ = ["HopStage", "hop_rows", "latest_sights"]

_LATER = (
    "diffraction_loss_db",
    "diffraction_method",
    "foliage_loss_db",
    "wall_loss_db",
    "line_of_sight",
    "fresnel_clearance_ratio",
    "clearance_place_m",
    "clearance_obstacle",
    "clearance_m",
    "cut_at_m",
)


@dataclass(frozen=True)
class HopStage:
    """Everything that is known of the hops when their rows are written."""

    job: Job
    radios: RadioArrays
    hops: HopArrays
    where: HopGeometry
    aims: Aims
    path: Path
    rates: HopRates
    need: CellNeed
    needed: IntArray
    up: Direction
    down: Direction
    air: Air
    powers: Powers
    north: North
    demand: Mapping[str, HopDemand]
    rain_db: FloatArray
    availability_percent: FloatArray
    fresnel_radius_m: FloatArray
    anchored: bool
    marks: tuple[FromLandmark | None, ...]


def latest_sights(job: Job) -> dict[str, Sight]:
    """Return the newest sight along each hop."""
    newest: dict[str, Sight] = {}
    for sight in job.site.evidence.sights:
        held = newest.get(sight.hop)
        if held is None or sight.at >= held.at:
            newest[sight.hop] = sight
    return newest


def hop_rows(stage: HopStage) -> tuple[HopRow, ...]:
    """Return one row per hop, in the site's order."""
    sights = latest_sights(stage.job)
    words = maturities(stage.job, sights)
    off_a = off_axis_of_beam_deg(
        stage.radios,
        stage.hops.access_point,
        stage.where.bearing_a_deg,
        stage.where.elevation_a_deg,
        stage.aims.bearing_deg[stage.hops.access_point],
        stage.aims.bracket_deg[stage.hops.access_point],
    )
    off_s = off_axis_of_beam_deg(
        stage.radios,
        stage.hops.station,
        stage.where.bearing_s_deg,
        stage.where.elevation_s_deg,
        stage.aims.bearing_deg[stage.hops.station],
        stage.aims.bracket_deg[stage.hops.station],
    )
    ends = (_ends(stage, off_a, at_access_point=True), _ends(stage, off_s, at_access_point=False))
    return tuple(
        _row(stage, n, hop, sights.get(hop.id), words[hop.id], (ends[0][n], ends[1][n]))
        for n, hop in enumerate(stage.job.hops.values())
    )


def _row(
    stage: HopStage, n: int, hop: Hop, sight: Sight | None, maturity: Maturity, ends: tuple[HopEndRow, HopEndRow]
) -> HopRow:
    reasons: list[NullReason] = unknown(
        _LATER, "What stands in the way of the ray has not been computed; look along it on site."
    )
    centre = number(stage.hops.centre_mhz[n])
    if centre is None:
        names = ["centre_mhz", "free_space_loss_db"]
        if stage.job.radios[hop.access_point].channel is None:
            names.insert(0, "channel")
        reasons += unknown(names, "Give the access point a channel.")
    if not stage.anchored:
        reasons += without(
            ["bearing_true_deg", "bearing_magnetic_deg"], "The site has no anchor: bearings count from plan north."
        )
    owner = stage.job.radios[hop.access_point]
    demand = stage.demand[hop.id]
    availability = number(stage.availability_percent[n])
    if availability is None:
        reasons += without(
            ["propagation_availability_percent"],
            "The method begins beyond this length, or the margin is unknown; a fixed margin is kept instead.",
        )
    return HopRow(
        id=hop.id,
        name=hop.title,
        access_point=hop.access_point,
        station=hop.station,
        cell=hop.access_point,
        channel=owner.channel,
        centre_mhz=centre,
        width_mhz=float(stage.hops.width_mhz[n]),
        distance_m=float(stage.where.distance_m[n]),
        ground_distance_m=float(stage.where.ground_distance_m[n]),
        free_space_loss_db=number(stage.path.free_space_loss_db[n]),
        diffraction_loss_db=None,
        diffraction_method=None,
        foliage_loss_db=None,
        wall_loss_db=None,
        gas_loss_db=number(stage.path.gas_loss_db[n]),
        rain_loss_db=number(stage.rain_db[n]),
        line_of_sight=None,
        fresnel_clearance_ratio=None,
        fresnel_radius_m=number(stage.fresnel_radius_m[n]),
        clearance_place_m=None,
        clearance_obstacle=None,
        clearance_m=None,
        cut_at_m=None,
        sight_checked=sight.result if sight is not None else "not_tried",
        sight_by=sight.by if sight is not None else None,
        sight_on=sight.at.date() if sight is not None else None,
        maturity=maturity,
        budget_basis="assumed clear",
        propagation_availability_percent=availability,
        wanted_margin_db=float(stage.hops.wanted_margin_db[n]),
        ends=HopEnds(access_point=ends[0], station=ends[1]),
        directions=HopDirections(
            to_access_point=_direction(stage, n, stage.up, demand.peak_to_access_point_mbps),
            to_station=_direction(stage, n, stage.down, demand.peak_to_station_mbps),
        ),
        null_reasons=tuple(reasons),
    )


def _ends(stage: HopStage, off: tuple[FloatArray, FloatArray], *, at_access_point: bool) -> list[HopEndRow]:
    """Return one end of every hop."""
    here = stage.hops.access_point if at_access_point else stage.hops.station
    there = stage.hops.station if at_access_point else stage.hops.access_point
    where, path, job = stage.where, stage.path, stage.job
    bearing = where.bearing_a_deg if at_access_point else where.bearing_s_deg
    plan = where.plan_a_deg if at_access_point else where.plan_s_deg
    elevation = where.elevation_a_deg if at_access_point else where.elevation_s_deg
    gain = path.gain_a_dbi if at_access_point else path.gain_s_dbi
    peak = path.peak_a_dbi if at_access_point else path.peak_s_dbi
    level = stage.powers.aiming_dbm[there] + path.path_gain_db
    in_service = stage.powers.service_dbm[there] + path.path_gain_db
    magnetic = to_magnetic(bearing, stage.north.declination_deg[here])
    ids = stage.radios.ids
    pairs = [(job.radios[ids[a]], job.radios[ids[b]]) for a, b in zip(here, there, strict=True)]
    known: dict[tuple[str, str | None, str, str | None], Causes] = {}
    causes = []
    for a, b in pairs:
        key = (a.gear, a.antenna, b.gear, b.antenna)
        if key not in known:
            known[key] = spread_causes(job, a, b)
        causes.append(known[key])
    windows, in_service_windows = reading_windows(causes, level), reading_windows(causes, in_service)
    rows = []
    for n, (radio, _) in enumerate(pairs):
        found = job.radio_type(radio)
        lit = None
        if found is not None and found.lights_dbm and np.isfinite(level[n]):
            lit = int(lights_expected(level[n], found.lights_dbm))
        mark = stage.marks[here[n]]
        all_round = stage.radios.kind[here[n]] == OMNI
        rows.append(
            HopEndRow(
                radio=radio.id,
                bearing_plan_deg=number(plan[n]),
                bearing_true_deg=number(bearing[n]) if stage.anchored else None,
                bearing_magnetic_deg=number(magnetic[n]) if stage.anchored else None,
                tilt_deg=number(elevation[n]),
                off_axis_azimuth_deg=0.0 if all_round else number(off[0][n]),
                off_axis_elevation_deg=number(off[1][n]),
                pointing_loss_db=number(peak[n] - gain[n]),
                gain_toward_far_end_dbi=number(gain[n]),
                polarisation_loss_db=number(path.polarisation_loss_db[n]),
                rx_level_dbm=number(in_service[n]),
                expected_reading_dbm=number(level[n]),
                expected_reading_auto_dbm=number(in_service[n]),
                expected_as_shown_dbm=shown_level_dbm(job, radio, float(level[n])),
                lights_expected=lit,
                window=windows[n],
                window_auto=in_service_windows[n],
                landmark_turn_deg=_turn_deg(mark, float(bearing[n]), anchored=stage.anchored),
            )
        )
    return rows


def _turn_deg(mark: FromLandmark | None, bearing_deg: float, *, anchored: bool) -> float | None:
    return None if mark is None else number(turn(_north_of(mark, anchored=anchored), bearing_deg))


def _north_of(mark: FromLandmark, *, anchored: bool) -> float:
    return mark.bearing_true_deg if anchored else mark.bearing_plan_deg


def _direction(stage: HopStage, n: int, row: Direction, demand_mbps: float) -> DirectionRow:
    cell = int(stage.hops.cell[n])
    efficiency = float(stage.need.efficiency[cell])
    rate = float(row.rate_mbps[n])
    mcs = row.mcs[n]
    own = demand_mbps / rate if demand_mbps > 0.0 and rate > 0.0 else 0.0
    free = efficiency - float(stage.air.used_fraction[cell]) + own
    needed = int(stage.needed[n])
    return DirectionRow(
        tx_power_total_dbm=number(row.tx_power_dbm[n]),
        noise_dbm=number(row.noise_dbm[n]),
        interference_rise_db=stage.job.defaults.interference_rise_db,
        snr_db=number(row.snr_db[n]),
        mcs=int(mcs) if np.isfinite(mcs) and mcs >= 0 else None,
        phy_rate_mbps=number(rate),
        throughput_alone_mbps=number(rate * efficiency),
        share_mbps=number(max(0.0, free) * rate) if np.isfinite(free) else None,
        demand_mbps=float(demand_mbps),
        needed_mcs=needed if needed >= 0 else None,
        needed_rate_mbps=number(stage.rates.rate_mbps[n, needed]) if needed >= 0 else None,
        margin_at_needed_rate_db=number(row.margin_needed_db[n]),
        margin_at_lowest_rate_db=number(row.margin_lowest_db[n]),
        margin_at_chosen_rate_db=number(row.margin_chosen_db[n]),
    )
