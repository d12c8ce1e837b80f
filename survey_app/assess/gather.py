"""Radios and hops as arrays: the only loop over things before the numbers begin."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from survey_app.assess.job import Job
from survey_app.ground.place import Placed
from survey_app.physics import patterns, receiver
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.site.gear_part import Pattern
from survey_app.site.gear_type import RadioType
from survey_app.site.radio import Radio
from survey_app.spectrum.channels import middle_mhz

__all__ = [
    "KINDS",
    "RATES",
    "HopArrays",
    "IntArray",
    "RadioArrays",
    "gather_hops",
    "gather_radios",
    "pattern_of",
    "radios_at",
    "width_of",
    "with_margins",
]

IntArray = np.ndarray[tuple[int, ...], np.dtype[np.intp]]

RATES = 14
"""Columns of the rate tables: the highest rate index of any mode, plus one."""

KINDS = {"omni": patterns.OMNI, "sector": patterns.SECTOR, "lobe": patterns.LOBE, "table": patterns.LOBE}
_MODES = ("n", "ac", "ax")


@dataclass(frozen=True)
class RadioArrays:
    """All radios, one row each; a radio without known gear has NaN.

    Attributes
    ----------
    ids : tuple of str
        Ids, in the site's order.
    row : dict
        Row of an id.
    x_m, y_m, lat_deg, lon_deg, elevation_m : ndarray of float, shape (n,)
        Antenna's place; latitude and longitude NaN without an anchor. [m, deg]
    kind : ndarray of int, shape (n,)
        Kind of pattern, as `physics.patterns` counts them; `table` marks those with own cuts.
    gain_dbi, azimuth_beamwidth_deg, elevation_beamwidth_deg : ndarray of float, shape (n,)
    front_to_back_db, electrical_downtilt_deg : ndarray of float, shape (n,)
        Antenna figures.
    feeder_loss_db, noise_figure_db, width_mhz, centre_mhz : ndarray, shape (n,)
        Feeder, receiver, channel.
    power_dbm, sensitivity_dbm : ndarray of float, shape (n, RATES)
        Highest total power and sensitivity at the radio's width per rate index; NaN beyond the unit.
    power_floor_dbm, power_step_db, ceiling_dbm : ndarray, shape (n,)
        Setting range; the ceiling is infinite where none was set.
    mode, highest_mcs, streams : ndarray of int, shape (n,)
        Generation (0 n, 1 ac, 2 ax), highest rate index, streams.
    """

    ids: tuple[str, ...]
    row: dict[str, int]
    x_m: FloatArray
    y_m: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    elevation_m: FloatArray
    kind: IntArray
    tables: dict[int, Pattern]
    gain_dbi: FloatArray
    azimuth_beamwidth_deg: FloatArray
    elevation_beamwidth_deg: FloatArray
    front_to_back_db: FloatArray
    electrical_downtilt_deg: FloatArray
    feeder_loss_db: FloatArray
    noise_figure_db: FloatArray
    width_mhz: FloatArray
    centre_mhz: FloatArray
    power_dbm: FloatArray
    sensitivity_dbm: FloatArray
    power_floor_dbm: FloatArray
    power_step_db: FloatArray
    ceiling_dbm: FloatArray
    mode: IntArray
    highest_mcs: IntArray
    streams: IntArray


@dataclass(frozen=True)
class HopArrays:
    """All hops, one row each: the rows of their two radios, and what follows from the ends alone."""

    ids: tuple[str, ...]
    row: dict[str, int]
    access_point: IntArray
    station: IntArray
    cell: IntArray
    centre_mhz: FloatArray
    width_mhz: FloatArray
    wanted_margin_db: FloatArray
    guard_interval_us: FloatArray
    legacy_cap_mbps: FloatArray


def pattern_of(job: Job, radio: Radio) -> Pattern | None:
    """Return the pattern of a radio: its separate antenna's, or the unit's own."""
    antenna = job.antenna_type(radio)
    if antenna is not None:
        return antenna.pattern
    found = job.radio_type(radio)
    return found.pattern if found is not None else None


def width_of(job: Job, radio: Radio) -> float:
    """Return the channel width of a radio: its access point's, or the site's default."""
    owner = job.access_point_of(radio.id) or radio
    return float(owner.width_mhz or job.defaults.width_mhz)


def _table(values: tuple[float, ...]) -> FloatArray:
    row = np.full(RATES, np.nan)
    row[: min(len(values), RATES)] = values[:RATES]
    return row


def _antenna_columns(job: Job, radios: list[Radio]) -> tuple[IntArray, dict[int, Pattern], FloatArray]:
    """Return kinds, own-cut patterns by row, and (n, 5) figures of the antennas."""
    kind = np.full(len(radios), patterns.LOBE, dtype=np.intp)
    tables: dict[int, Pattern] = {}
    figures = np.full((len(radios), 5), np.nan)
    for n, radio in enumerate(radios):
        pattern = pattern_of(job, radio)
        if pattern is None:
            continue
        kind[n] = KINDS[pattern.model]
        if pattern.model == "table" and pattern.azimuth_cut and pattern.elevation_cut:
            tables[n] = pattern
        figures[n] = (
            pattern.gain_dbi,
            pattern.azimuth_beamwidth_deg,
            pattern.elevation_beamwidth_deg,
            pattern.front_to_back_db,
            pattern.electrical_downtilt_deg,
        )
    return kind, tables, figures


def gather_radios(job: Job, placed: Placed) -> RadioArrays:
    """Return all radios of a job as arrays.

    Parameters
    ----------
    job : Job
        The indexed site.
    placed : Placed
        Where its mounts are.
    """
    radios = list(job.radios.values())
    kind, tables, antenna = _antenna_columns(job, radios)
    types: list[RadioType | None] = [job.radio_type(radio) for radio in radios]
    spots = [placed.mounts[radio.mount] for radio in radios]
    width = np.array([width_of(job, radio) for radio in radios], dtype=float).reshape(-1)
    power = np.array([_table(t.power_per_mcs_dbm if t else ()) for t in types]).reshape(-1, RATES)
    narrow = np.array([_table(t.sensitivity_20mhz_dbm if t else ()) for t in types]).reshape(-1, RATES)
    owners = [job.access_point_of(radio.id) for radio in radios]
    channels = [
        owner.channel if owner is not None else radio.channel for owner, radio in zip(owners, radios, strict=True)
    ]

    def column(values: list[float | None]) -> FloatArray:
        return np.array(values, dtype=float).reshape(-1)

    def whole(values: list[int]) -> IntArray:
        return np.array(values, dtype=np.intp).reshape(-1)

    return RadioArrays(
        ids=tuple(radio.id for radio in radios),
        row={radio.id: n for n, radio in enumerate(radios)},
        x_m=column([spot.x_m for spot in spots]),
        y_m=column([spot.y_m for spot in spots]),
        lat_deg=column([spot.lat_deg for spot in spots]),
        lon_deg=column([spot.lon_deg for spot in spots]),
        elevation_m=column([spot.elevation_m for spot in spots]),
        kind=kind,
        tables=tables,
        gain_dbi=antenna[:, 0],
        azimuth_beamwidth_deg=antenna[:, 1],
        elevation_beamwidth_deg=antenna[:, 2],
        front_to_back_db=antenna[:, 3],
        electrical_downtilt_deg=antenna[:, 4],
        feeder_loss_db=column([job.feeder_loss_db(radio) for radio in radios]),
        noise_figure_db=column([t.noise_figure_db if t else None for t in types]),
        width_mhz=width,
        centre_mhz=column([middle_mhz(channel) if channel is not None else None for channel in channels]),
        power_dbm=power,
        sensitivity_dbm=receiver.sensitivity_at_width_dbm(narrow, width[:, None]),
        power_floor_dbm=column([t.power_floor_dbm if t else None for t in types]),
        power_step_db=column([t.power_step_db if t else None for t in types]),
        ceiling_dbm=column([np.inf if r.power_ceiling_dbm is None else r.power_ceiling_dbm for r in radios]),
        mode=whole([_MODES.index(t.mode) if t else 0 for t in types]),
        highest_mcs=whole([_highest_mcs(t, radio) for t, radio in zip(types, radios, strict=True)]),
        streams=whole([t.streams if t else 1 for t in types]),
    )


def _highest_mcs(found: RadioType | None, radio: Radio) -> int:
    if found is None:
        return -1
    own = min(found.highest_mcs, len(found.power_per_mcs_dbm) - 1, len(found.sensitivity_20mhz_dbm) - 1)
    return own if radio.highest_mcs is None else min(own, radio.highest_mcs)


def radios_at(radios: RadioArrays, job: Job, placed: Placed) -> RadioArrays:
    """Return radios where their mounts are now; all else stays as it is."""
    spots = [placed.mounts[radio.mount] for radio in job.radios.values()]
    # no anchor: latitude and longitude are None, and become NaN
    columns = np.array([(s.x_m, s.y_m, s.lat_deg, s.lon_deg, s.elevation_m) for s in spots], dtype=float)
    x, y, lat, lon, elevation = columns.reshape(-1, 5).T.copy()
    return dataclasses.replace(radios, x_m=x, y_m=y, lat_deg=lat, lon_deg=lon, elevation_m=elevation)


def with_margins(hops: HopArrays, job: Job, distance_m: FloatArray) -> HopArrays:
    """Return hops with the margins that the site wants at these distances, where none is fixed by hand."""
    by_hand = [np.nan if h.wanted_margin_db is None else h.wanted_margin_db for h in job.hops.values()]
    far: BoolArray = distance_m > 1000.0
    by_default = np.where(far, job.defaults.margin_far_db, job.defaults.margin_near_db)
    fixed = np.array(by_hand, dtype=float)
    return dataclasses.replace(hops, wanted_margin_db=np.where(np.isnan(fixed), by_default, fixed))


def gather_hops(job: Job, radios: RadioArrays) -> HopArrays:
    """Return all hops of a job as arrays; their wanted margins come with the distances, see `with_margins`."""
    hops = list(job.hops.values())
    access_point = np.array([radios.row[hop.access_point] for hop in hops], dtype=np.intp)
    station = np.array([radios.row[hop.station] for hop in hops], dtype=np.intp)
    caps = []
    for hop in hops:
        ends = (job.radios[hop.access_point], job.radios[hop.station])
        old = any(radio.protection in {"wpa_tkip", "wep"} for radio in ends)
        types = [job.radio_type(radio) for radio in ends]
        limits = [t.legacy_cipher_cap_mbps for t in types if t is not None and t.legacy_cipher_cap_mbps is not None]
        caps.append(min(limits) if old and limits else np.inf)
    cells = {radio_id: n for n, radio_id in enumerate(job.cells)}
    return HopArrays(
        ids=tuple(hop.id for hop in hops),
        row={hop.id: n for n, hop in enumerate(hops)},
        access_point=access_point,
        station=station,
        cell=np.array([cells[hop.access_point] for hop in hops], dtype=np.intp),
        centre_mhz=radios.centre_mhz[access_point],
        width_mhz=radios.width_mhz[access_point],
        wanted_margin_db=np.full(len(hops), np.nan),
        guard_interval_us=np.array([job.radios[hop.access_point].guard_interval_us for hop in hops], dtype=float),
        legacy_cap_mbps=np.array(caps, dtype=float),
    )
