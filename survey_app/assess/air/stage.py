"""The stage of the air, global by nature: what each direction gets, how late pictures are, who else is on the air."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from survey_app.assess.air.others import Others, others_of
from survey_app.assess.air.turns import VIDEO_OCTETS, Turns, is_video, slots_us, turns_of
from survey_app.assess.demand import camera_type
from survey_app.assess.hop_rates import access_of
from survey_app.assess.interference import Interference
from survey_app.assess.job import Job
from survey_app.assess.numbers import Numbers
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.bursts import picture_bits, picture_delay_ms
from survey_app.physics.efficiency import exchange_us
from survey_app.physics.latency import typical_latency_ms
from survey_app.physics.turns import equal_time_mbps, turns_mbps

__all__ = ["FineAir", "Gets", "fine_air"]


@dataclass(frozen=True)
class Gets:
    """What one direction of each hop gets when all want as much as they can, shape (hops,) each. [Mbit/s]

    Attributes
    ----------
    equal_turn_mbps, equal_time_mbps : ndarray of float
        When all that send have turns alike; and when each station has the same time and uses it all this way. NaN
        where it carries no rate.
    """

    equal_turn_mbps: FloatArray
    equal_time_mbps: FloatArray


@dataclass(frozen=True)
class FineAir:
    """The air in detail.

    Attributes
    ----------
    up, down : Turns
        Turns to the access point and to the station.
    gets_up, gets_down : Gets
        What they get.
    air_fraction : ndarray of float, shape (cells,)
        Time on the air that all directions of a cell take, waits and repeats counted.
    delay_ms, together_ms : ndarray of float, shape (cells,)
        How late the last of 99 of 100 pictures is; and the last key picture when all cameras send theirs at one moment.
    others : Others
        Who else is on the air.
    """

    up: Turns
    down: Turns
    gets_up: Gets
    gets_down: Gets
    air_fraction: FloatArray
    delay_ms: FloatArray
    together_ms: FloatArray
    others: Others


def fine_air(job: Job, found: Numbers, between: Interference) -> FineAir:
    """Return the air in detail.

    Parameters
    ----------
    job : Job
        The indexed site.
    found : Numbers
        The array half of its assessment.
    between : Interference
        What radios do to each other.
    """
    hops, radios = found.hops, found.radios
    wanted_up = np.array([found.demand[key].peak_to_access_point_mbps for key in hops.ids], dtype=float)
    wanted_down = np.array([found.demand[key].peak_to_station_mbps for key in hops.ids], dtype=float)
    by_schedule = np.array([access_of(job, key) == "scheduled" for key in job.cells], dtype=bool)
    scheduled: BoolArray = by_schedule[hops.cell] if len(hops.ids) else np.zeros(0, dtype=bool)
    video_up, video_down = is_video(wanted_up, wanted_down), is_video(wanted_down, wanted_up)
    distance = found.where.distance_m
    up = turns_of(
        radios, hops, distance, scheduled, found.up.mcs, found.up.margin_chosen_db - between.up.lost_db, wanted_up,
        video_up | ~video_down,
    )  # fmt: skip
    down = turns_of(
        radios, hops, distance, scheduled, found.down.mcs, found.down.margin_chosen_db - between.down.lost_db,
        wanted_down, video_down,
    )  # fmt: skip
    others = others_of(job, radios, hops, found.need, found.air, between)
    free = np.clip(1.0 - others.taken_fraction, 0.0, 1.0)
    gets_up, gets_down = _gets(found, by_schedule, up, down, free)
    air = _repeated(job, found)
    np.add.at(air, hops.cell, up.air_fraction + down.air_fraction)
    delay, together = _delays(job, found, free, (wanted_up, wanted_down), (video_up, video_down), by_schedule)
    return FineAir(up, down, gets_up, gets_down, air, delay, together, others)


def _repeated(job: Job, found: Numbers) -> FloatArray:
    """Return the time on the air of multicast that access points repeat, packet by packet at the lowest rate."""
    air = np.zeros(len(job.cells))
    for n in np.flatnonzero(found.need.multicast_fraction > 0.0).tolist():
        radio = job.radios[list(job.cells)[n]]
        kind, width = job.radio_type(radio), float(radio.width_mhz or job.defaults.width_mhz)
        if kind is not None:
            # nobody answers a packet to all: the answer's time stands for the wait till stations that sleep are awake
            each_us = exchange_us(kind.mode, max(width, 20.0), 0, 1, payload_octets=VIDEO_OCTETS)
            slowed = 20.0 / width if width < 20.0 else 1.0
            air[n] = found.need.multicast_mbps[n] * float(each_us) * slowed / (8.0 * VIDEO_OCTETS)
    return air


def _gets(found: Numbers, by_schedule: BoolArray, up: Turns, down: Turns, free: FloatArray) -> tuple[Gets, Gets]:
    """Return what all get: stations contend for themselves, the access point gives its own turns round in order."""
    hops = found.hops
    count = len(hops.ids)
    gets = np.full((4, count), np.nan)
    slots = slots_us(found.where.distance_m)
    order = [np.flatnonzero(hops.cell == n) for n in range(len(by_schedule))]
    most = max((len(rows) for rows in order), default=0)
    if not most:
        return Gets(gets[0], gets[1]), Gets(gets[2], gets[3])
    shape = (len(order), most + 1)
    bits, busy = np.zeros(shape), np.full(shape, np.nan)
    lost, frames, slot = np.zeros(shape), np.ones(shape), np.full(len(order), 9.0)
    for n, every in enumerate(order):
        rows = every[np.isfinite(up.busy_us[every]) & np.isfinite(down.busy_us[every])]
        if not len(rows):
            continue
        slot[n] = np.max(slots[rows])
        for column, row in enumerate(rows.tolist()):
            bits[n, column], busy[n, column] = up.bits[row], up.busy_us[row]
            lost[n, column], frames[n, column] = up.lost_fraction[row], up.frames[row]
        last = len(rows)
        bits[n, last] = np.mean(down.bits[rows] * (1.0 - down.lost_fraction[rows]))
        busy[n, last] = np.mean(down.busy_us[rows])
    contended = turns_mbps(bits, busy, lost, frames, slot)
    with np.errstate(divide="ignore", invalid="ignore"):
        in_turn = bits * (1.0 - lost) / np.nansum(busy, axis=1)[:, None]
    same_turns = np.where(by_schedule[:, None], in_turn, contended) * free[:, None]
    for n, every in enumerate(order):
        rows = every[np.isfinite(up.busy_us[every]) & np.isfinite(down.busy_us[every])]
        places = np.arange(len(rows))
        gets[0, rows] = same_turns[n, places]
        gets[2, rows] = same_turns[n, len(rows)] / max(len(rows), 1)
        for place, way in ((1, up), (3, down)):
            gets[place, rows] = free[n] * equal_time_mbps(way.bits[rows], way.turn_us[rows], way.lost_fraction[rows])
    return Gets(gets[0], gets[1]), Gets(gets[2], gets[3])


def _delays(
    job: Job,
    found: Numbers,
    free: FloatArray,
    wanted: tuple[FloatArray, FloatArray],
    video: tuple[BoolArray, BoolArray],
    by_schedule: BoolArray,
) -> tuple[FloatArray, FloatArray]:
    """Return how late pictures are in each cell: 99 of 100, and when all key pictures come at one moment. [ms]"""
    hops, count = found.hops, len(by_schedule)
    rates = (found.up.rate_mbps, found.down.rate_mbps)
    kinds: list[list[tuple[float, float]]] = [[] for _ in range(count)]
    # what is repeated to all takes its time from the queue, whatever waits there
    repeated = found.need.multicast_fraction
    returned = np.where(repeated > 0.0, repeated / found.need.efficiency, 0.0)
    together, unknown = np.zeros(count), np.zeros(count, dtype=bool)
    for row, key in enumerate(hops.ids):
        cell = int(hops.cell[row])
        for demand, rate, carries in zip(wanted, rates, video, strict=True):
            if not demand[row] > 0.0:
                continue
            if not rate[row] > 0.0:
                unknown[cell] = True
                continue
            used_fraction = demand[row] / (rate[row] * found.need.efficiency[cell])
            speeds = [_pictures_fps(job, camera) for camera in found.demand[key].cameras]
            if not carries[row] or not speeds:
                returned[cell] += used_fraction
                continue
            fps = sum(speeds) / len(speeds)
            sizes = picture_bits(demand[row] / len(speeds), fps)
            ms_per_bit = 1e-3 / (rate[row] * found.need.efficiency[cell])
            key_every = min(1.0, 1.0 / (fps * 2.0))
            per_ms = fps * len(speeds) / 1e3
            kinds[cell] += [
                (float(sizes[0]) * ms_per_bit, per_ms * key_every),
                (float(sizes[1]) * ms_per_bit, per_ms * (1.0 - key_every)),
            ]
            together[cell] += float(sizes[0]) * ms_per_bit * len(speeds)
    left = free - returned
    most = max((len(rows) for rows in kinds), default=0)
    service, often = np.zeros((count, max(most, 1))), np.zeros((count, max(most, 1)))
    for cell, rows in enumerate(kinds):
        for column, (length_ms, each_per_ms) in enumerate(rows):
            service[cell, column] = length_ms / left[cell] if left[cell] > 0.0 else math.inf
            often[cell, column] = each_per_ms
    crowded: BoolArray = np.any(np.isinf(service), axis=1)
    delay = picture_delay_ms(np.where(crowded[:, None], 1.0, service), np.where(crowded[:, None], 2.0, often))
    least = np.where(by_schedule, typical_latency_ms("polled", 0.0)[0], typical_latency_ms("contention", 0.0)[0])
    with np.errstate(divide="ignore", invalid="ignore"):
        worst = np.where(left > 0.0, together / left, np.inf) + least
    idle = np.array([not rows for rows in kinds], dtype=bool)
    hidden = unknown | idle | np.isnan(found.need.efficiency)
    return np.where(hidden, np.nan, delay + least), np.where(hidden, np.nan, worst)


def _pictures_fps(job: Job, camera_id: str) -> float:
    kind = camera_type(job, job.cameras[camera_id])
    return kind.frames_fps if kind is not None else 15.0
