"""One row per hop: the path, its two ends, its two directions."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from survey_app.assess.air import FineAir
from survey_app.assess.budget import Aims, Direction, Path
from survey_app.assess.cells import Air
from survey_app.assess.chances import HopChance
from survey_app.assess.gain import OMNI, off_axis_of_beam_deg
from survey_app.assess.gather import HopArrays, IntArray, RadioArrays
from survey_app.assess.geometry import HopGeometry
from survey_app.assess.hop_rates import CellNeed, HopRates
from survey_app.assess.interference import Left
from survey_app.assess.job import Job
from survey_app.assess.maturity import maturities
from survey_app.assess.memo import Fresh
from survey_app.assess.north import North
from survey_app.assess.nulls import number, unknown, without
from survey_app.assess.obstruction import HopObstruction, Obstruction
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
    ReadingWindow,
)
from survey_app.assess.routes import HopDemand
from survey_app.assess.through_walls import ThroughWalls
from survey_app.ground.bearings import to_magnetic, turn
from survey_app.physics.arrays import FloatArray
from survey_app.physics.window import lights_expected
from survey_app.site.evidence import Sight
from survey_app.site.radio import Hop

__all__ = ["HopStage", "fields_of_way", "hop_rows", "latest_sights"]


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
    obstruction: Obstruction
    anchored: bool
    marks: tuple[FromLandmark | None, ...]
    chances: tuple[HopChance, ...]
    left_up: Left
    left_down: Left
    fine: FineAir


def latest_sights(job: Job) -> dict[str, Sight]:
    """Return the newest sight along each hop."""
    newest: dict[str, Sight] = {}
    for sight in job.site.evidence.sights:
        held = newest.get(sight.hop)
        if held is None or sight.at >= held.at:
            newest[sight.hop] = sight
    return newest


@dataclass(frozen=True)
class _Ends:
    """One end of every hop, shape (hops,) each: what the rows are written from."""

    bearing_deg: FloatArray
    plan_deg: FloatArray
    elevation_deg: FloatArray
    magnetic_deg: FloatArray
    across_deg: FloatArray
    upright_deg: FloatArray
    gain_dbi: FloatArray
    loss_db: FloatArray
    level_dbm: FloatArray
    service_dbm: FloatArray
    windows: tuple[tuple[ReadingWindow | None, ReadingWindow | None], ...]


@dataclass(frozen=True)
class _Written:
    """What the rows are written from."""

    stage: HopStage
    sights: Mapping[str, Sight]
    maturities: Mapping[str, Maturity]
    access_point: _Ends
    station: _Ends


def hop_rows(stage: HopStage, memo: Fresh) -> tuple[HopRow, ...]:
    """Return one row per hop, in the site's order."""
    sights = latest_sights(stage.job)
    written = _Written(
        stage=stage,
        sights=sights,
        maturities=maturities(stage.job, sights),
        access_point=_ends(stage, memo, at_access_point=True),
        station=_ends(stage, memo, at_access_point=False),
    )
    given = [(n, hop) for n, hop in enumerate(stage.job.hops.values())]
    return tuple(memo.watched("hops", written, stage.hops.ids, given, _row))


def _row(written: _Written, n: int, hop: Hop) -> HopRow:
    stage, sight = written.stage, written.sights.get(hop.id)
    way = stage.obstruction.hops[n]
    likely = stage.chances[n]
    reasons: list[NullReason] = [*_way_reasons(way), *_chance_reasons(likely)]
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
        **fields_of_way(way),
        clear_probability_percent=number(likely.clear_percent),
        level_probability_percent=number(likely.level_percent),
        best_measurement=likely.best_measurement or None,
        gas_loss_db=number(stage.path.gas_loss_db[n]),
        rain_loss_db=number(stage.rain_db[n]),
        fresnel_radius_m=number(stage.fresnel_radius_m[n]),
        checked_against=_checked_against(stage.job, sight),
        sight_checked=sight.result if sight is not None else "not_tried",
        sight_by=sight.by if sight is not None else None,
        sight_on=sight.at.date() if sight is not None else None,
        maturity=written.maturities[hop.id],
        budget_basis="checked" if _is_checked(stage.job, sight) else "assumed clear",
        propagation_availability_percent=availability,
        wanted_margin_db=float(stage.hops.wanted_margin_db[n]),
        ends=HopEnds(
            access_point=_end(stage, written.access_point, n, int(stage.hops.access_point[n])),
            station=_end(stage, written.station, n, int(stage.hops.station[n])),
        ),
        directions=HopDirections(
            to_access_point=_direction(stage, n, demand.peak_to_access_point_mbps, up=True),
            to_station=_direction(stage, n, demand.peak_to_station_mbps, up=False),
        ),
        null_reasons=tuple(reasons),
    )


def fields_of_way(way: HopObstruction) -> dict[str, Any]:
    """Return the fields of a hop's row that say what stands in its way."""
    return {
        "diffraction_loss_db": number(way.diffraction_db),
        "diffraction_method": way.method or None,
        "foliage_loss_db": number(way.foliage_high_db),
        "foliage_loss_low_db": number(way.foliage_low_db),
        "foliage_depth_m": number(way.foliage_depth_m),
        "wall_loss_db": number(way.through.likely_db),
        "wall_loss_low_db": number(way.through.low_db),
        "wall_loss_high_db": number(way.through.high_db),
        "wall_method": way.through.method or None,
        "walls": way.through.walls,
        "entry_loss_low_db": number(way.through.entry_low_db),
        "entry_loss_high_db": number(way.through.entry_high_db),
        "line_of_sight": way.cut_by is None,
        "fresnel_clearance_ratio": number(way.ratio),
        "clearance_place_m": number(way.place_m),
        "clearance_obstacle": way.obstacle,
        "clearance_m": number(way.clearance_m),
        "clearance_side": way.side,
        "cut_at_m": number(way.cut_at_m),
        "cut_by": way.cut_by,
        "clearance_ratio_bare": number(way.ratio_bare),
        "clearance_ratio_grown": number(way.ratio_grown),
        "clearance_ratio_low_k": number(way.ratio_low_k),
        "clearance_ratio_moving": number(way.ratio_moving),
        "obstacles": way.obstacles,
    }


def way_of_row(row: HopRow) -> HopObstruction:
    """Return what stands in the way of a hop as its row says it."""

    def figure(value: float | None) -> float:
        return math.nan if value is None else value

    return HopObstruction(
        diffraction_db=figure(row.diffraction_loss_db),
        method=row.diffraction_method or "",
        foliage_low_db=figure(row.foliage_loss_low_db),
        foliage_high_db=figure(row.foliage_loss_db),
        foliage_depth_m=figure(row.foliage_depth_m),
        through=ThroughWalls(
            low_db=figure(row.wall_loss_low_db),
            likely_db=figure(row.wall_loss_db),
            high_db=figure(row.wall_loss_high_db),
            method=row.wall_method or "",
            walls=row.walls,
            entry_low_db=figure(row.entry_loss_low_db),
            entry_high_db=figure(row.entry_loss_high_db),
        ),
        ratio=figure(row.fresnel_clearance_ratio),
        place_m=figure(row.clearance_place_m),
        clearance_m=figure(row.clearance_m),
        side=row.clearance_side,
        obstacle=row.clearance_obstacle,
        cut_at_m=figure(row.cut_at_m),
        cut_by=row.cut_by,
        ratio_bare=figure(row.clearance_ratio_bare),
        ratio_grown=figure(row.clearance_ratio_grown),
        ratio_low_k=figure(row.clearance_ratio_low_k),
        ratio_moving=figure(row.clearance_ratio_moving),
        obstacles=row.obstacles,
    )


def _way_reasons(way: HopObstruction) -> list[NullReason]:
    """Say why figures of the way are null."""
    reasons: list[NullReason] = []
    if way.obstacle is None:
        fields = [
            "fresnel_clearance_ratio", "clearance_place_m", "clearance_obstacle", "clearance_m", "clearance_side",
            "clearance_ratio_bare", "clearance_ratio_grown", "clearance_ratio_low_k", "clearance_ratio_moving",
        ]  # fmt: skip
        reasons += without(fields, "Nothing that is drawn comes near the ray.")
    if way.cut_by is None:
        reasons += without(["cut_at_m", "cut_by"], "Nothing that is drawn cuts the ray.")
    if not way.through.method:
        reasons += without(["wall_method"], "It goes through no wall, so nothing is lost.")
    if way.through.method and math.isnan(way.through.entry_low_db):
        reasons += without(["entry_loss_low_db", "entry_loss_high_db"], "Both ends are inside the same building.")
    elif math.isnan(way.through.entry_low_db):
        reasons += without(["entry_loss_low_db", "entry_loss_high_db"], "It goes into no building.")
    if not way.method:
        reasons += without(["diffraction_method"], "Nothing stands in the zone, so nothing is lost.")
    return reasons


def _chance_reasons(likely: HopChance) -> list[NullReason]:
    """Say why chances are null."""
    reasons: list[NullReason] = []
    if np.isnan(likely.clear_percent):
        reasons += unknown(["clear_probability_percent"], "Give the access point a channel.")
    if np.isnan(likely.level_percent):
        reasons += unknown(["level_probability_percent"], "The margin at the needed rate is not known.")
    if not likely.best_measurement:
        sentence = "Nothing that a tape could tell changes whether the zone is free."
        reasons += without(["best_measurement"], sentence)
    return reasons


def _is_checked(job: Job, sight: Sight | None) -> bool:
    """Return whether the way was held against relief, or looked at on site."""
    return job.design.relief is not None or (sight is not None and sight.result != "not_tried")


def _checked_against(job: Job, sight: Sight | None) -> str:
    """Say what the way was held against."""
    ground = "flat ground" if job.design.relief is None else job.placed.ground.words
    seen = "" if sight is None else f"; walk of {sight.at.date().isoformat()}"
    return f"{ground}, what is drawn{seen}"


def _ends(stage: HopStage, memo: Fresh, *, at_access_point: bool) -> _Ends:
    """Return one end of every hop."""
    here = stage.hops.access_point if at_access_point else stage.hops.station
    there = stage.hops.station if at_access_point else stage.hops.access_point
    where, path, aims = stage.where, stage.path, stage.aims
    bearing = where.bearing_a_deg if at_access_point else where.bearing_s_deg
    elevation = where.elevation_a_deg if at_access_point else where.elevation_s_deg
    gain = path.gain_a_dbi if at_access_point else path.gain_s_dbi
    peak = path.peak_a_dbi if at_access_point else path.peak_s_dbi
    across, upright = off_axis_of_beam_deg(
        stage.radios, here, bearing, elevation, aims.bearing_deg[here], aims.bracket_deg[here]
    )
    level = stage.powers.aiming_dbm[there] + path.path_gain_db
    in_service = stage.powers.service_dbm[there] + path.path_gain_db
    return _Ends(
        bearing_deg=bearing,
        plan_deg=where.plan_a_deg if at_access_point else where.plan_s_deg,
        elevation_deg=elevation,
        magnetic_deg=to_magnetic(bearing, stage.north.declination_deg[here]),
        across_deg=across,
        upright_deg=upright,
        gain_dbi=gain,
        loss_db=peak - gain,
        level_dbm=level,
        service_dbm=in_service,
        windows=_windows(stage, memo, here, there, level, in_service),
    )


def _windows(
    stage: HopStage, memo: Fresh, here: IntArray, there: IntArray, level_dbm: FloatArray, service_dbm: FloatArray
) -> tuple[tuple[ReadingWindow | None, ReadingWindow | None], ...]:
    """Return what should be read at one end of every hop, at aiming power and in service."""
    job, ids = stage.job, stage.radios.ids
    known: dict[tuple[str, str | None, str, str | None], Causes] = {}
    causes = []
    for a, b in ((job.radios[ids[a]], job.radios[ids[b]]) for a, b in zip(here, there, strict=True)):
        key = (a.gear, a.antenna, b.gear, b.antenna)
        if key not in known:
            known[key] = spread_causes(job, a, b)
        causes.append(known[key])

    def make(stale: list[int]) -> list[tuple[ReadingWindow | None, ReadingWindow | None]]:
        chosen = [causes[n] for n in stale]
        pair = (reading_windows(chosen, level_dbm[stale]), reading_windows(chosen, service_dbm[stale]))
        return list(zip(*pair, strict=True))

    names = [(hop, ids[radio]) for hop, radio in zip(stage.hops.ids, here, strict=True)]
    given = list(zip(causes, level_dbm.tolist(), service_dbm.tolist(), strict=True))
    side = "access point" if here is stage.hops.access_point else "station"
    return tuple(memo.each(f"windows at the {side}", names, given, make))


def _end(stage: HopStage, ends: _Ends, n: int, here: int) -> HopEndRow:
    job = stage.job
    radio = job.radios[stage.radios.ids[here]]
    found, level = job.radio_type(radio), float(ends.level_dbm[n])
    lit = None
    if found is not None and found.lights_dbm and np.isfinite(level):
        lit = int(lights_expected(level, found.lights_dbm))
    window, in_service = ends.windows[n]
    return HopEndRow(
        radio=radio.id,
        bearing_plan_deg=number(ends.plan_deg[n]),
        bearing_true_deg=number(ends.bearing_deg[n]) if stage.anchored else None,
        bearing_magnetic_deg=number(ends.magnetic_deg[n]) if stage.anchored else None,
        tilt_deg=number(ends.elevation_deg[n]),
        off_axis_azimuth_deg=0.0 if stage.radios.kind[here] == OMNI else number(ends.across_deg[n]),
        off_axis_elevation_deg=number(ends.upright_deg[n]),
        pointing_loss_db=number(ends.loss_db[n]),
        gain_toward_far_end_dbi=number(ends.gain_dbi[n]),
        polarisation_loss_db=number(stage.path.polarisation_loss_db[n]),
        rx_level_dbm=number(ends.service_dbm[n]),
        expected_reading_dbm=number(level),
        expected_reading_auto_dbm=number(ends.service_dbm[n]),
        expected_as_shown_dbm=shown_level_dbm(job, radio, level),
        lights_expected=lit,
        window=window,
        window_auto=in_service,
        landmark_turn_deg=_turn_deg(stage.marks[here], float(ends.bearing_deg[n]), anchored=stage.anchored),
    )


def _turn_deg(mark: FromLandmark | None, bearing_deg: float, *, anchored: bool) -> float | None:
    return None if mark is None else number(turn(_north_of(mark, anchored=anchored), bearing_deg))


def _north_of(mark: FromLandmark, *, anchored: bool) -> float:
    return mark.bearing_true_deg if anchored else mark.bearing_plan_deg


def _direction(stage: HopStage, n: int, demand_mbps: float, *, up: bool) -> DirectionRow:
    row, left = (stage.up, stage.left_up) if up else (stage.down, stage.left_down)
    turns, gets = (stage.fine.up, stage.fine.gets_up) if up else (stage.fine.down, stage.fine.gets_down)
    cell = int(stage.hops.cell[n])
    efficiency = float(stage.need.efficiency[cell])
    rate = float(row.rate_mbps[n])
    mcs = row.mcs[n]
    own = demand_mbps / rate if demand_mbps > 0.0 and rate > 0.0 else 0.0
    free = efficiency - float(stage.air.used_fraction[cell]) + own
    needed, worst = int(stage.needed[n]), int(left.worst[n])
    return DirectionRow(
        tx_power_total_dbm=number(row.tx_power_dbm[n]),
        noise_dbm=number(row.noise_dbm[n]),
        interference_rise_db=stage.job.defaults.interference_rise_db,
        snr_db=number(row.snr_db[n]),
        interference_dbm=number(left.interference_dbm[n]),
        sinr_db=number(left.sinr_db[n]),
        worst_interferer=stage.radios.ids[worst] if worst >= 0 else None,
        mcs=int(mcs) if np.isfinite(mcs) and mcs >= 0 else None,
        phy_rate_mbps=number(rate),
        throughput_alone_mbps=number(rate * efficiency),
        share_mbps=number(max(0.0, free) * rate) if np.isfinite(free) else None,
        air_fraction=number(turns.air_fraction[n]),
        lost_frames_fraction=number(turns.lost_fraction[n]),
        equal_turn_mbps=number(gets.equal_turn_mbps[n]),
        equal_time_mbps=number(gets.equal_time_mbps[n]),
        demand_mbps=float(demand_mbps),
        needed_mcs=needed if needed >= 0 else None,
        needed_rate_mbps=number(stage.rates.rate_mbps[n, needed]) if needed >= 0 else None,
        margin_at_needed_rate_db=number(row.margin_needed_db[n]),
        margin_at_lowest_rate_db=number(row.margin_lowest_db[n]),
        margin_at_chosen_rate_db=number(row.margin_chosen_db[n]),
        margin_with_interference_db=number(left.margin_needed_db[n]),
    )
