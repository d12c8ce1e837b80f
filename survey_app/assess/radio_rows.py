"""One row per radio: everything that its sheet prints."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from survey_app.assess.beams import Beams
from survey_app.assess.budget import Aims
from survey_app.assess.climbs import SheetOrder
from survey_app.assess.gain import OMNI
from survey_app.assess.gather import RadioArrays, pattern_of
from survey_app.assess.geometry import HopGeometry
from survey_app.assess.job import Job
from survey_app.assess.law import Law
from survey_app.assess.memo import Fresh
from survey_app.assess.mount_rows import top_of
from survey_app.assess.north import North
from survey_app.assess.nulls import number, refused, unknown, without
from survey_app.assess.pointing import (
    Fans,
    aim_spread,
    bracket_setting,
    close_enough_deg,
    spread_of,
)
from survey_app.assess.power import Powers
from survey_app.assess.reach import Reach
from survey_app.assess.record import FromLandmark, HopRow, MountRow, NullReason, RadioRow, SupplyRow, WireRow
from survey_app.ground.bearings import to_magnetic
from survey_app.ground.place import Placed
from survey_app.ground.plane import plan_bearing
from survey_app.ground.tolerance import position_tolerance
from survey_app.physics.arrays import FloatArray
from survey_app.physics.exposure import keep_out_m
from survey_app.site.gear_type import ClampType
from survey_app.site.radio import Radio
from survey_app.site.structure import Building

__all__ = ["Feeds", "RadioStage", "feeds_of", "radio_rows"]

_COMPASS_STEP_DEG = 0.5
_FALSE_PEAK_BEAMWIDTHS = 1.6


@dataclass(frozen=True)
class Feeds:
    """Wires that carry the supply: into each thing, and out of it."""

    into: Mapping[str, tuple[str, ...]]
    out_of: Mapping[str, tuple[str, ...]]


def feeds_of(job: Job) -> Feeds:
    """Return which wires carry the supply to what."""
    into: dict[str, list[str]] = {}
    out_of: dict[str, list[str]] = {}
    for wire in job.wires.values():
        if wire.power != "none":
            source, load = (wire.a, wire.b) if wire.power == "a_to_b" else (wire.b, wire.a)
            into.setdefault(load.thing, []).append(wire.id)
            out_of.setdefault(source.thing, []).append(load.thing)
    return Feeds({k: tuple(v) for k, v in into.items()}, {k: tuple(sorted(v)) for k, v in out_of.items()})


@dataclass(frozen=True)
class RadioStage:
    """Everything that is known of the radios when their rows are written."""

    job: Job
    placed: Placed
    radios: RadioArrays
    fans: Fans
    where: HopGeometry
    aims: Aims
    law: Law
    powers: Powers
    answered_db: FloatArray
    north: North
    marks: tuple[tuple[FromLandmark, ...], ...]
    beams: Beams
    reach: Reach
    clamps: Mapping[str, ClampType | None]
    mounts: Mapping[str, MountRow]
    hops: Mapping[str, HopRow]
    order: SheetOrder
    supplies: Mapping[str, SupplyRow]
    wires: Mapping[str, WireRow]
    feeds: Feeds


def radio_rows(stage: RadioStage, memo: Fresh) -> tuple[RadioRow, ...]:
    """Return one row per radio, in the site's order."""
    aims = stage.aims.bearing_deg
    if stage.placed.plane is not None:
        aims = plan_bearing(stage.placed.plane, stage.radios.x_m, stage.radios.y_m, aims)
    given = [(n, radio, float(aims[n])) for n, radio in enumerate(stage.job.radios.values())]
    return tuple(memo.watched("radios", stage, stage.radios.ids, given, _row))


def _aim_fields(stage: RadioStage, n: int, radio: Radio, plan_deg: float) -> tuple[dict[str, object], list[NullReason]]:
    aim, reasons = float(stage.aims.bearing_deg[n]), list[NullReason]()
    anchored = stage.placed.plane is not None
    declination = float(stage.north.declination_deg[n])
    names = ["bearing_plan_deg", "bearing_true_deg", "bearing_magnetic_deg"]
    if stage.radios.kind[n] == OMNI and not np.isnan(stage.radios.gain_dbi[n]):
        aim_by = "all_round"
        reasons += without(names, "An omni looks all round.")
        aim = float("nan")
    elif np.isnan(aim):
        aim_by = "none"
        reasons += unknown(
            [*names, "tilt_deg", "bracket_tilt_deg"], "Give it a hop, and an antenna whose pattern is known."
        )
    else:
        aim_by = "by_hand" if radio.aim is not None else "computed"
        if not anchored:
            reasons += without(names[1:], "The site has no anchor: bearings count from plan north.")
        elif np.isnan(declination):
            reasons += refused(names[2:], stage.north.row.sentence)
    fields: dict[str, object] = {
        "bearing_plan_deg": number(plan_deg) if not np.isnan(aim) else None,
        "bearing_true_deg": number(aim) if anchored else None,
        "bearing_magnetic_deg": number(to_magnetic(aim, declination)) if anchored else None,
        "tilt_deg": number(stage.aims.tilt_deg[n]) if aim_by != "none" else None,
        "bracket_tilt_deg": number(stage.aims.bracket_deg[n]) if aim_by != "none" else None,
        "aim_by": aim_by,
    }
    return fields, reasons


def _finding_the_aim(stage: RadioStage, n: int, radio: Radio) -> dict[str, object]:
    """Return landmarks, sweep and how good the aim is."""
    mount = stage.job.mounts[radio.mount]
    beam = float(stage.radios.azimuth_beamwidth_deg[n])
    marks = stage.marks[n]
    all_round = stage.radios.kind[n] == OMNI
    allowed = [mark for mark in marks if mark.allowed]
    far = [stage.job.mounts[stage.job.radios[key].mount].position_sigma_m for key in stage.job.far_ends(radio.id)]
    nearest = min((stage.where.ground_distance_m[h] for h in stage.fans.hop_rows[n]), default=float("nan"))
    north_sigma = stage.north.row.sigma_deg or 0.0
    by_mark, by_compass = aim_spread(
        float(nearest),
        mount.position_sigma_m,
        spread_of(far),
        north_sigma,
        stage.job.defaults.compass_sigma_deg,
        allowed[0] if allowed else None,
    )
    several = len(stage.fans.hop_rows[n]) > 1
    return {
        "landmark": allowed[0] if allowed else None,
        "landmark_check": allowed[1] if len(allowed) > 1 else None,
        "landmark_turns": marks,
        "sweep_deg": number(2.0 * beam) if not several and not all_round and far else None,
        "close_enough_deg": number(close_enough_deg(stage.radios, stage.fans, stage.where, stage.aims, n))
        if several
        else None,
        "false_peak_deg": number(_FALSE_PEAK_BEAMWIDTHS * beam) if not all_round and beam < 60.0 else None,
        "aim_sigma_deg": number(by_mark if allowed else by_compass) if not all_round else None,
        "aim_sigma_compass_deg": number(by_compass) if not all_round else None,
        "position_tolerance_m": number(position_tolerance(nearest, beam)) if not all_round else None,
    }


def _beam_reasons(stage: RadioStage, n: int) -> list[NullReason]:
    """Say why a beam has no edges across."""
    names = [
        name
        for name, edge_deg in (("edge_left_deg", stage.beams.left_deg), ("edge_right_deg", stage.beams.right_deg))
        if np.isnan(edge_deg[n])
    ]
    if np.isnan(stage.radios.gain_dbi[n]):
        return unknown(names, "Give it an antenna whose pattern is known.")
    return without(names, "Its beam goes all round: across it falls nowhere by 3 dB.")


def _power_fields(stage: RadioStage, n: int) -> tuple[dict[str, object], list[NullReason]]:
    aiming = float(stage.powers.aiming_dbm[n])
    net_gain = float(stage.radios.gain_dbi[n] - stage.radios.feeder_loss_db[n])
    eirp = aiming + net_gain
    full_eirp = float(stage.powers.full_dbm[n]) + net_gain
    reasons: list[NullReason] = []
    if np.isnan(stage.law.conducted_dbm[n]):
        names = ["eirp_limit_dbm", "conducted_limit_dbm", "limit_rule"]
        reasons += unknown(names, stage.law.sentence[n])
    if np.isnan(eirp):
        reasons += unknown(
            ["tx_power_total_dbm", "eirp_dbm", "keep_out_m"], "Gear figures and a rule of the region are needed."
        )
    fields: dict[str, object] = {
        "tx_power_total_dbm": number(aiming),
        "tx_power_auto_dbm": number(stage.powers.service_dbm[n]),
        "tx_power_answer_db": float(stage.answered_db[n]),
        "tx_power_full_dbm": number(stage.powers.full_dbm[n]),
        "antenna_gain_dbi": number(stage.radios.gain_dbi[n]),
        "feeder_loss_db": float(stage.radios.feeder_loss_db[n]),
        "eirp_dbm": number(eirp),
        "eirp_limit_dbm": number(stage.law.eirp_dbm[n]),
        "conducted_limit_dbm": number(stage.law.conducted_dbm[n]),
        "limit_rule": stage.law.rule[n],
        "limit_sentence": stage.law.sentence[n],
        "keep_out_m": number(keep_out_m(full_eirp, stage.job.defaults.keep_out_limit_w_per_m2)),
    }
    return fields, reasons


def _supply_fields(stage: RadioStage, radio: Radio) -> tuple[dict[str, object], list[NullReason]]:
    row = stage.supplies.get(radio.id)
    found = stage.job.radio_type(radio)
    feeding = (
        [link for link in row.chain if link.kind in {"injector", "switch", "converter"}] if row is not None else []
    )
    to_it = [stage.wires[key] for key in stage.feeds.into.get(radio.id, ()) if key in stage.wires]
    reasons: list[NullReason] = []
    if row is None or row.volts_at_load is None:
        reasons += unknown(["supply_v"], "Draw the way from a source of power to this radio.")
    return {
        "supply_v": row.volts_at_load if row is not None else None,
        "supply_w": found.watts_w if found is not None else 0.0,
        "injector": feeding[-1].id if feeding else None,
        "cable_m": to_it[0].order_m if to_it else None,
        "feeds": stage.feeds.out_of.get(radio.id, ()),
    }, reasons


def _place_fields(stage: RadioStage, radio: Radio) -> dict[str, object]:
    mount = stage.mounts[radio.mount]
    structure = stage.job.structures.get(mount.structure)
    top = top_of(structure) if isinstance(structure, Building) else None
    return {
        "height_above_ground_m": mount.height_above_ground_m,
        "height_above_roof_m": mount.height_above_ground_m - top if top is not None else None,
        "below_top_m": mount.below_top_m,
        "antenna_elevation_m": mount.elevation_m,
        "elevation_datum": stage.job.design.plane.datum,
        "x_m": mount.x_m,
        "y_m": mount.y_m,
        "lat_deg": mount.lat_deg,
        "lon_deg": mount.lon_deg,
        "clamp_range_mm": mount.clamp_range_mm,
    }


def _bracket_fields(stage: RadioStage, n: int, radio: Radio) -> dict[str, object]:
    clamp = stage.clamps.get(radio.mount)
    settable, cost = bracket_setting(stage.radios, stage.fans, stage.where, stage.aims, n, clamp)
    return {
        "bracket_step_deg": clamp.tilt_step_deg if clamp is not None else None,
        "bracket_set_deg": number(settable),
        "bracket_step_cost_db": number(cost),
        "electrical_downtilt_deg": number(stage.radios.electrical_downtilt_deg[n]),
    }


def _row(stage: RadioStage, n: int, radio: Radio, plan_deg: float) -> RadioRow:
    job, north = stage.job, stage.north.row
    found, pattern = job.radio_type(radio), pattern_of(job, radio)
    owner = job.access_point_of(radio.id)
    aim, aim_reasons = _aim_fields(stage, n, radio, plan_deg)
    power, power_reasons = _power_fields(stage, n)
    supply, supply_reasons = _supply_fields(stage, radio)
    hops = job.hops_of[radio.id]
    lights = [
        (hop.ends.access_point if hop.access_point == radio.id else hop.ends.station).lights_expected
        for hop in (stage.hops[h.id] for h in hops)
    ]
    return RadioRow(
        id=radio.id,
        name=radio.title,
        role=radio.role,
        gear=radio.gear,
        gear_name=found.name if found is not None else radio.gear,
        antenna=radio.antenna,
        mount=radio.mount,
        cell=owner.id if owner is not None else None,
        hops=tuple(hop.id for hop in hops),
        far_ends=job.far_ends(radio.id),
        topology=stage.law.topology[n],
        pattern_model=pattern.model if pattern is not None else None,
        beamwidth_azimuth_deg=number(stage.radios.azimuth_beamwidth_deg[n]),
        beamwidth_elevation_deg=number(stage.radios.elevation_beamwidth_deg[n]),
        edge_left_deg=number(stage.beams.left_deg[n]),
        edge_right_deg=number(stage.beams.right_deg[n]),
        channel=owner.channel if owner is not None else radio.channel,
        centre_mhz=number(stage.radios.centre_mhz[n]),
        width_mhz=float(stage.radios.width_mhz[n]),
        radar_wait_s=stage.law.radar_wait_s[n],
        reach_m=number(stage.reach.reach_m[n]),
        reach_mcs=int(stage.reach.mcs[n]) if stage.reach.mcs[n] >= 0 else None,
        reach_rate_mbps=number(stage.reach.rate_mbps[n]),
        reach_arcs=stage.reach.arcs[n],
        near_in_m=number(stage.reach.near_in_m[n]),
        declination_deg=number(stage.north.declination_deg[n]),
        declination_model=north.model if north.anchored else None,
        declination_sigma_deg=north.sigma_deg,
        declination_change_deg=north.yearly_change_deg,
        compass_step_deg=_COMPASS_STEP_DEG,
        lights_expected=lights[0] if len(lights) == 1 else None,
        lights_total=len(found.lights_dbm) if found is not None else 0,
        level_per_chain_db_below=float(10.0 * np.log10(found.chains)) if found is not None else 0.0,
        climb=stage.mounts[radio.mount].climb,
        climb_order=stage.order.climb_order[stage.mounts[radio.mount].climb],
        sheet_number=stage.order.sheet_number[radio.id],
        first_up=stage.order.first_up[radio.id],
        looks_at_later=stage.order.looks_at_later[radio.id],
        label=radio.label or radio.id,
        null_reasons=tuple(aim_reasons + _beam_reasons(stage, n) + power_reasons + supply_reasons),
        **_place_fields(stage, radio),  # type: ignore[arg-type]  # checked by the record when it is built
        **aim,  # type: ignore[arg-type]
        **power,  # type: ignore[arg-type]
        **supply,  # type: ignore[arg-type]
        **_bracket_fields(stage, n, radio),  # type: ignore[arg-type]
        **_finding_the_aim(stage, n, radio),  # type: ignore[arg-type]
    )
