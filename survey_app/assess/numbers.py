"""The array half of an assessment: every budget in one pass, before any record is built."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from survey_app.assess.aim import Fan, common_aims
from survey_app.assess.budget import Aims, Direction, Path, best_rate_mbps, direction_budget, hop_path, path_losses
from survey_app.assess.cells import Air, cell_air
from survey_app.assess.gain import OMNI
from survey_app.assess.gather import (
    HopArrays,
    IntArray,
    RadioArrays,
    gather_hops,
    gather_radios,
    pattern_of,
    radios_at,
    with_margins,
)
from survey_app.assess.geometry import HopGeometry, hop_geometry
from survey_app.assess.hop_rates import CellNeed, HopRates, cell_needs, hop_rates, needed_mcs
from survey_app.assess.in_the_way import Surroundings, obstructions, surroundings_of
from survey_app.assess.job import Job
from survey_app.assess.law import Law, law_of
from survey_app.assess.mask import under_masks
from survey_app.assess.memo import Fresh
from survey_app.assess.obstruction import Obstruction
from survey_app.assess.pointing import Fans, fans_of
from survey_app.assess.power import Powers, aiming_and_full_dbm, automatic_dbm
from survey_app.assess.routes import HopDemand, demand_by_hop
from survey_app.ground.place import Placed
from survey_app.ground.plane import true_bearing
from survey_app.physics import gases, rain
from survey_app.physics.arrays import FloatArray
from survey_app.physics.pointing import polarisation_mismatch_db, rotation_loss_db
from survey_app.physics.rates import at_mcs
from survey_app.spectrum.regions import Regions

__all__ = ["AtFullPower", "Numbers", "Steady", "at_powers", "moved", "numbers", "polarisation_losses_db", "steady_of"]

_LONE = np.array(["v", "h", "v+v"])


@dataclass(frozen=True)
class AtFullPower:
    """What automatic control could reach if more traffic asked for it: rates both ways, and the air then."""

    up_rate_mbps: FloatArray
    down_rate_mbps: FloatArray
    air: Air


@dataclass(frozen=True)
class Steady:
    """What no place and no aim changes; the places in `radios` and the margins in `hops` are those of the beginning.

    Attributes
    ----------
    radios, hops, fans, law, demand, rates, need, needed
        As in `Numbers`; the law without what masks take.
    polarisation_loss_db, gas_db_per_km : ndarray of float, shape (hops,)
        Loss by unlike polarisation, and of the air for each kilometre.
    chosen : ndarray of float, shape (hops,)
        Rate index fixed by hand; NaN = none.
    up_demand_mbps, down_demand_mbps : ndarray of float, shape (hops,)
        Traffic to the access point and to the station. [Mbit/s]
    """

    radios: RadioArrays
    hops: HopArrays
    fans: Fans
    law: Law
    demand: dict[str, HopDemand]
    rates: HopRates
    need: CellNeed
    needed: IntArray
    polarisation_loss_db: FloatArray
    gas_db_per_km: FloatArray
    chosen: FloatArray
    up_demand_mbps: FloatArray
    down_demand_mbps: FloatArray


@dataclass(frozen=True)
class Numbers:
    """The array half of an assessment: everything that needs no record; `stands` is None where the way was given."""

    placed: Placed
    radios: RadioArrays
    hops: HopArrays
    where: HopGeometry
    fans: Fans
    law: Law
    demand: dict[str, HopDemand]
    rates: HopRates
    need: CellNeed
    needed: IntArray
    aims: Aims
    path: Path
    stands: Surroundings | None
    obstruction: Obstruction
    powers: Powers
    up: Direction
    down: Direction
    air: Air
    at_full_power: AtFullPower

    @property
    def around(self) -> Surroundings:
        """What stands round the hops; only of numbers that were made from it."""
        assert self.stands is not None
        return self.stands


def polarisation_losses_db(job: Job, hops: HopArrays) -> FloatArray:
    """Return what unlike polarisations and rotations cost each hop, in the worse direction. [dB]"""
    a, s = hops.access_point, hops.station
    if not len(a):
        return np.zeros(0)
    kinds, discrimination, turned = [], [], []
    for radio in job.radios.values():
        pattern = pattern_of(job, radio)
        kinds.append(pattern.polarisation if pattern is not None else "v+h")
        discrimination.append(pattern.cross_polar_db if pattern is not None else np.nan)
        turned.append(radio.rotation_deg)
    names, cross = np.array(kinds, dtype=np.str_), np.array(discrimination, dtype=float)
    worse_cross = np.fmin(cross[a], cross[s])
    # traffic flows both ways: the worse direction counts
    there = polarisation_mismatch_db(list(names[a]), list(names[s]), worse_cross)
    back = polarisation_mismatch_db(list(names[s]), list(names[a]), worse_cross)
    # a crossed pair at both ends is complete however it is turned; a lone polarisation is not
    rotation = np.array(turned, dtype=float)
    lone = np.isin(names, _LONE)
    turn = np.where(lone[a] & lone[s], rotation_loss_db(rotation[a] - rotation[s], worse_cross), 0.0)
    # an antenna that is not known makes the gain unknown, and with it the level: the loss itself is no second unknown
    loss: FloatArray = np.nan_to_num(np.maximum(there, back) + turn)
    return loss


def _bare_margin_db(
    hops: HopArrays,
    rates: HopRates,
    needed: IntArray,
    bare_path_db: FloatArray,
    law_dbm: FloatArray,
    rise_db: float,
) -> FloatArray:
    """Return the margin at the needed rate at full legal power, worse direction, without the antennas' gains."""
    index = needed.astype(float)
    from_a = np.minimum(at_mcs(rates.power_a_dbm, index), law_dbm[hops.access_point]) - at_mcs(
        rates.sensitivity_s_dbm, index
    )
    from_s = np.minimum(at_mcs(rates.power_s_dbm, index), law_dbm[hops.station]) - at_mcs(
        rates.sensitivity_a_dbm, index
    )
    return np.minimum(from_a, from_s) + bare_path_db - rise_db


def _fan(radio: int, toward: FloatArray, upward: FloatArray, margin_db: FloatArray) -> Fan | None:
    """Leave out far ends whose direction or margin is unknown: one bad hop does not take the aim from the others.

    Where no margin is known (no channel, no rule) all far ends count alike.
    """
    pointed = np.isfinite(toward) & np.isfinite(upward)
    if not np.isfinite(margin_db[pointed]).any():
        margin_db = np.where(pointed, 0.0, np.nan)
    known = pointed & np.isfinite(margin_db)
    if not known.any():
        return None
    return Fan(radio, toward[known], upward[known], margin_db[known])


def _aims(
    job: Job,
    placed: Placed,
    radios: RadioArrays,
    hops: HopArrays,
    where: HopGeometry,
    fans: Fans,
    bare_margin_db: Callable[[], FloatArray],
    held: Aims | None,
    memo: Fresh,
) -> Aims:
    """Return where every radio looks: by hand, at its one far end, or at the common aim of several."""
    count = len(radios.ids)
    bearing, tilt = np.full(count, np.nan), np.full(count, np.nan)
    several: list[int] = []
    for n in range(count):
        if radios.kind[n] == OMNI:
            tilt[n] = -radios.electrical_downtilt_deg[n]
        elif fans.hop_rows[n] and not np.isnan(radios.gain_dbi[n]):
            if len(fans.hop_rows[n]) > 1:
                several.append(n)
                continue
            toward, upward = fans.directions(n, where)
            bearing[n], tilt[n] = toward[0], upward[0]
    if held is not None:
        bearing[several], tilt[several] = held.bearing_deg[several], held.tilt_deg[several]
    elif several:
        margin_db = bare_margin_db()
        shared = [fan for n in several if (fan := _shared_fan(radios, hops, where, fans, margin_db, n)) is not None]
        index = [fan.radio for fan in shared]
        bearing[index], tilt[index] = _searched(job, radios, shared, memo)
    for n, radio in enumerate(job.radios.values()):
        if radio.aim is not None and radios.kind[n] != OMNI:
            bearing[n] = _by_hand_deg(placed, radios, n, radio.aim.bearing_deg, radio.aim.north)
            if radio.aim.tilt_deg is not None:
                tilt[n] = radio.aim.tilt_deg
            elif np.isnan(tilt[n]):
                tilt[n] = 0.0
    return Aims(bearing_deg=bearing, tilt_deg=tilt, bracket_deg=tilt + radios.electrical_downtilt_deg)


def _shared_fan(
    radios: RadioArrays, hops: HopArrays, where: HopGeometry, fans: Fans, bare_margin_db: FloatArray, n: int
) -> Fan | None:
    """Return the far ends of a radio that has several."""
    rows, at = fans.hop_rows[n], fans.at_access_point[n]
    far = [hops.station[h] if here else hops.access_point[h] for h, here in zip(rows, at, strict=True)]
    return _fan(n, *fans.directions(n, where), bare_margin_db[list(rows)] + radios.gain_dbi[far])


def _searched(job: Job, radios: RadioArrays, fans: list[Fan], memo: Fresh) -> tuple[FloatArray, FloatArray]:
    """Return the common aims; every fan is searched by itself, so those that have not changed keep theirs."""

    def search(stale: list[int]) -> list[tuple[float, float]]:
        bearing, tilt = common_aims(radios, [fans[n] for n in stale])
        return list(zip(bearing.tolist(), tilt.tolist(), strict=True))

    ids = [radios.ids[fan.radio] for fan in fans]
    inputs = [
        (pattern_of(job, job.radios[key]), fan.bearing_deg, fan.elevation_deg, fan.margin_without_gain_db)
        for key, fan in zip(ids, fans, strict=True)
    ]
    found = np.array(memo.each("aims", ids, inputs, search), dtype=float).reshape(-1, 2)
    return found[:, 0], found[:, 1]


def _by_hand_deg(placed: Placed, radios: RadioArrays, n: int, bearing_deg: float, north: str) -> float:
    if placed.plane is None or north == "true":
        return bearing_deg
    return float(true_bearing(placed.plane, radios.x_m[n], radios.y_m[n], bearing_deg))


def steady_of(job: Job, regions: Regions, demand: dict[str, HopDemand] | None = None) -> Steady:
    """Return what stays as it is while things only move or turn.

    Parameters
    ----------
    job : Job
        The indexed site.
    regions : Regions
        Radio rules.
    demand : dict of str to HopDemand or None
        Traffic of each hop, if already known; it depends on what is joined to what alone.
    """
    radios = gather_radios(job, job.placed)
    hops = gather_hops(job, radios)
    wanted = demand if demand is not None else demand_by_hop(job)
    rates = hop_rates(radios, hops)
    need = cell_needs(job, hops, wanted)
    up_demand, down_demand = _demand_mbps(hops, wanted)
    return Steady(
        radios=radios,
        hops=hops,
        fans=fans_of(radios, hops),
        law=law_of(job, radios, regions),
        demand=wanted,
        rates=rates,
        need=need,
        needed=needed_mcs(rates, hops, need),
        polarisation_loss_db=polarisation_losses_db(job, hops),
        gas_db_per_km=gases.gas_attenuation_db_per_km(hops.centre_mhz),
        chosen=_chosen(job),
        up_demand_mbps=up_demand,
        down_demand_mbps=down_demand,
    )


def numbers(job: Job, regions: Regions, memo: Fresh | None = None, rain_mm_per_hour: float = 0.0) -> Numbers:
    """Return the array half of an assessment.

    Parameters
    ----------
    job : Job
        The indexed site.
    regions : Regions
        Radio rules.
    memo : Fresh or None
        What is known from an earlier value of the site.
    rain_mm_per_hour : float, default 0
        Rain on all hops at once; it counts with the loss of the air. [mm/h]
    """
    keep = memo or Fresh()
    # all that `steady_of` reads: where a mount is matters to it no more than that it is indoors
    things = (job.radios, job.hops, job.cameras, job.devices, job.wires, job.head_ends, job.design.gear)
    indoors = tuple(job.mounts[radio.mount].environment for radio in job.radios.values())
    given = (things, indoors, job.defaults, job.design.region, regions)
    (steady,) = keep.each("steady", ["site"], [given], lambda _: [steady_of(job, regions)])
    if rain_mm_per_hour > 0.0:
        steady = _in_rain(steady, rain_mm_per_hour)
    return moved(job, steady, surroundings_of(job, keep), memo=keep)


def _in_rain(steady: Steady, rate_mm_per_hour: float) -> Steady:
    """Return the same in rain all along every hop: the worse polarisation, and no part of the path left dry."""
    centre = steady.hops.centre_mhz
    taken = rain.rain_specific_attenuation_db_per_km(rate_mm_per_hour, centre, rain.HORIZONTAL_TILT_DEG)
    return replace(steady, gas_db_per_km=steady.gas_db_per_km + taken)


def moved(
    job: Job,
    steady: Steady,
    around: Surroundings | Obstruction,
    held: Aims | None = None,
    memo: Fresh | None = None,
) -> Numbers:
    """Return the numbers of a site whose radios are where the job has them.

    Parameters
    ----------
    job : Job
        The indexed site.
    steady : Steady
        What stays as it is.
    around : Surroundings or Obstruction
        What stands round the hops; or what is known to stand in their way.
    held : Aims or None
        Aims that radios with several far ends keep instead of having them searched.
    memo : Fresh or None
        What is known from an earlier value of the site.
    """
    placed, rates, need, needed = job.placed, steady.rates, steady.need, steady.needed
    radios = radios_at(steady.radios, job, placed)
    where = hop_geometry(radios, steady.hops, placed, job.design.plane.datum_elevation_m)
    hops = with_margins(steady.hops, job, where.distance_m)
    rise = job.defaults.interference_rise_db
    stands = None if isinstance(around, Obstruction) else around
    way = around if isinstance(around, Obstruction) else obstructions(job, around, radios, hops, memo or Fresh())
    losses = path_losses(radios, hops, where, steady.gas_db_per_km, steady.polarisation_loss_db, way.loss_db)

    def bare_margin_db() -> FloatArray:
        return _bare_margin_db(hops, rates, needed, losses.bare_path_db, steady.law.conducted_dbm, rise)

    aims = _aims(job, placed, radios, hops, where, steady.fans, bare_margin_db, held, memo or Fresh())
    law = under_masks(steady.law, radios, aims)
    path = hop_path(radios, hops, where, aims, losses)
    aiming, full = aiming_and_full_dbm(radios, law.conducted_dbm)
    service = _service_dbm(job, radios, hops, rates, path, needed, full, rise)
    powers = Powers(aiming_dbm=aiming, full_dbm=full, service_dbm=service)
    chosen, a, s = steady.chosen, hops.access_point, hops.station
    wanted_up, wanted_down = steady.up_demand_mbps, steady.down_demand_mbps
    up, down = both_directions(radios, hops, rates, path, service, rise, needed, chosen)
    air = cell_air(hops, need, wanted_up, wanted_down, up.rate_mbps, down.rate_mbps)
    gain, wanted = path.path_gain_db, hops.wanted_margin_db
    best_up = best_rate_mbps(gain, full[s], rates.power_s_dbm, rates.sensitivity_a_dbm, rates, rise, wanted, chosen)
    best_down = best_rate_mbps(gain, full[a], rates.power_a_dbm, rates.sensitivity_s_dbm, rates, rise, wanted, chosen)
    best = cell_air(hops, need, wanted_up, wanted_down, best_up, best_down)
    return Numbers(
        placed, radios, hops, where, steady.fans, law, steady.demand, rates, need, needed, aims, path, stands, way,
        powers, up, down, air, AtFullPower(best_up, best_down, best),
    )  # fmt: skip


def both_directions(
    radios: RadioArrays,
    hops: HopArrays,
    rates: HopRates,
    path: Path,
    service_dbm: FloatArray,
    rise_db: float,
    needed: IntArray,
    chosen: FloatArray,
) -> tuple[Direction, Direction]:
    """Return the budgets of all hops to the access point and to the station at the powers that are set in service."""
    a, s, index = hops.access_point, hops.station, needed.astype(float)
    up = direction_budget(
        path.path_gain_db, service_dbm[s], rates.power_s_dbm, rates.sensitivity_a_dbm, rates,
        radios.noise_figure_db[a], hops.width_mhz, rise_db, hops.wanted_margin_db, index, chosen,
    )  # fmt: skip
    down = direction_budget(
        path.path_gain_db, service_dbm[a], rates.power_a_dbm, rates.sensitivity_s_dbm, rates,
        radios.noise_figure_db[s], hops.width_mhz, rise_db, hops.wanted_margin_db, index, chosen,
    )  # fmt: skip
    return up, down


def at_powers(job: Job, found: Numbers, service_dbm: FloatArray) -> Numbers:
    """Return the same with other powers in service.

    Parameters
    ----------
    job : Job
        The indexed site.
    found : Numbers
        Its numbers.
    service_dbm : ndarray of float, shape (radios,)
        Power of each radio in service. [dBm]
    """
    hops = found.hops
    rise, chosen = job.defaults.interference_rise_db, _chosen(job)
    up, down = both_directions(
        found.radios, hops, found.rates, found.path, service_dbm, rise, found.needed, chosen
    )  # fmt: skip
    air = cell_air(hops, found.need, *_demand_mbps(hops, found.demand), up.rate_mbps, down.rate_mbps)
    return replace(found, powers=replace(found.powers, service_dbm=service_dbm), up=up, down=down, air=air)


def _chosen(job: Job) -> FloatArray:
    rows = [np.nan if hop.chosen_mcs is None else hop.chosen_mcs for hop in job.hops.values()]
    return np.array(rows, dtype=float)


def _demand_mbps(hops: HopArrays, demand: dict[str, HopDemand]) -> tuple[FloatArray, FloatArray]:
    """Return the traffic of all hops, to the access point and to the station."""
    return (
        np.array([demand[key].peak_to_access_point_mbps for key in hops.ids], dtype=float),
        np.array([demand[key].peak_to_station_mbps for key in hops.ids], dtype=float),
    )


def _service_dbm(
    job: Job,
    radios: RadioArrays,
    hops: HopArrays,
    rates: HopRates,
    path: Path,
    needed: IntArray,
    full: FloatArray,
    rise: float,
) -> FloatArray:
    automatic = automatic_dbm(
        radios, hops, rates, path.path_gain_db, needed.astype(float), full, job.defaults.target_level_dbm, rise
    )
    fixed = np.array([radio.power_mode == "fixed" for radio in job.radios.values()], dtype=bool)
    return np.where(fixed, full, automatic)
