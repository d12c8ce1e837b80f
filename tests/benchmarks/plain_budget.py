"""The reference of the speed of the assessment: the same budget hop by hop, in plain Python, with the same formulas.

No arrays, no record: numbers and `math` alone, as a careful person would write it first. It aims every radio at its one
far end, or searches the common aim of several; it judges both directions of every hop at every rate.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from survey_app.assess.job import Job
from survey_app.ground.place import place
from survey_app.site.gear_type import RadioType

__all__ = ["PlainHop", "plain_budgets"]

_EARTH_M = 6371000.0
_GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
_NOISE_DBM_PER_HZ = 10.0 * math.log10(1.380649e-23 * 290.0) + 30.0
_BITS = ((1, 0.5), (2, 0.5), (2, 0.75), (4, 0.5), (4, 0.75), (6, 2 / 3), (6, 0.75), (6, 5 / 6), (8, 0.75), (8, 5 / 6))
_SUBCARRIERS = {20.0: 52, 40.0: 108, 80.0: 234}


@dataclass
class _End:
    x_m: float
    y_m: float
    height_m: float
    lat: float
    lon: float
    gain: float
    width_h: float
    width_v: float
    floor: float
    downtilt: float
    sector: bool
    kind: RadioType
    law: float
    aim: float = 0.0
    tilt: float = 0.0


@dataclass
class PlainHop:
    """What the plain loop says of one hop."""

    path_gain_db: float
    level_dbm: float
    rate_index: int
    margin_db: float
    noise_dbm: float
    distance_m: float


def _geodesic(lat1: float, lon1: float, lat2: float, lon2: float) -> tuple[float, float, float]:
    from geographiclib.geodesic import Geodesic

    line = Geodesic.WGS84.Inverse(lat1, lon1, lat2, lon2)
    return line["s12"], line["azi1"] % 360.0, (line["azi2"] + 180.0) % 360.0


def _upward(h1: float, h2: float, distance: float) -> float:
    return math.degrees(math.atan((h2 - h1) / distance - distance / (2.0 * _EARTH_M * 4.0 / 3.0)))


def _frame(bearing: float, up: float, aim: float, tilt: float) -> tuple[float, float]:
    azimuth, elevation, down = math.radians(bearing - aim), math.radians(up), math.radians(-tilt)
    ahead, right, rise = (
        math.cos(elevation) * math.cos(azimuth),
        math.cos(elevation) * math.sin(azimuth),
        math.sin(elevation),
    )
    ahead_off = ahead * math.cos(down) - rise * math.sin(down)
    rise_off = rise * math.cos(down) + ahead * math.sin(down)
    return math.degrees(math.atan2(right, ahead_off)), math.degrees(math.atan2(rise_off, math.hypot(ahead_off, right)))


def _sector_gain(end: _End, across: float, upright: float) -> float:
    k_h, k_v, k_p = 0.8, 0.7, 0.7
    turned = upright + end.downtilt
    upright = 90.0 * turned / (90.0 + end.downtilt) if turned >= 0 else 90.0 * turned / (90.0 - end.downtilt)
    behind = -12.0 + 10.0 * math.log10(1.0 + 8.0 * k_p) - 15.0 * math.log10(180.0 / end.width_v)

    def flat(x: float) -> float:
        if x <= 0.5:
            return max(-12.0 * x * x, behind)
        return max(-12.0 * x ** (2.0 - k_h) - 3.0 * (1.0 - 0.5**-k_h), behind)

    x_h, x_v = abs(across) / end.width_h, abs(upright) / end.width_v
    ratio = (flat(x_h) - flat(180.0 / end.width_h)) / (flat(0.0) - flat(180.0 / end.width_h))
    edge = 10.0 * math.log10((180.0 / end.width_v) ** 1.5 * (4.0**-1.5 + k_v) / (1.0 + 8.0 * k_p))
    slope = edge / math.log10(22.5 / end.width_v)
    offset = 12.0 - slope * math.log10(4.0) - 10.0 * math.log10(4.0**-1.5 + k_v)
    if x_v < math.sqrt(1.0 - 0.36 * k_v):
        high = -12.0 * x_v * x_v
    elif x_v < 4.0:
        high = -12.0 + 10.0 * math.log10(x_v**-1.5 + k_v)
    elif x_v < 90.0 / end.width_v:
        high = -offset - slope * math.log10(x_v)
    else:
        high = behind
    return end.gain + flat(x_h) + ratio * high


def _lobe_gain(end: _End, across: float, upright: float) -> float:
    upright += end.downtilt
    loss = 12.0 * (across / end.width_h) ** 2 + 12.0 * (upright / end.width_v) ** 2
    return end.gain - min(loss, end.floor)


def _gain(end: _End, bearing: float, up: float, aim: float, tilt: float) -> float:
    across, upright = _frame(bearing, up, aim, tilt + end.downtilt)
    return _sector_gain(end, across, upright) if end.sector else _lobe_gain(end, across, upright)


def _common_aim(end: _End, far: list[tuple[float, float, float]]) -> tuple[float, float]:
    """Return the aim that makes the smallest margin largest, by two nested searches."""
    ordered = sorted(bearing for bearing, _, _ in far)
    gaps = [(ordered[(n + 1) % len(ordered)] - ordered[n]) % 360.0 or 360.0 for n in range(len(ordered))]
    widest = max(range(len(gaps)), key=lambda n: gaps[n])
    low, length = ordered[(widest + 1) % len(ordered)], 360.0 - gaps[widest]
    top, bottom = max(up for _, up, _ in far), min(up for _, up, _ in far)
    top, bottom = max(top, 2.0 * top), min(bottom, 2.0 * bottom)

    def smallest(aim: float, tilt: float) -> float:
        return min(margin + _gain(end, bearing, up, aim, tilt) for bearing, up, margin in far)

    def best_tilt(aim: float) -> tuple[float, float]:
        a, b = top, bottom
        upper, lower = a - (a - b) * (1.0 - _GOLDEN), a - (a - b) * _GOLDEN
        at_upper, at_lower = smallest(aim, upper), smallest(aim, lower)
        while a - b > 1e-3:
            if at_upper >= at_lower:
                b, lower, at_lower = lower, upper, at_upper
                upper = a - (a - b) * (1.0 - _GOLDEN)
                at_upper = smallest(aim, upper)
            else:
                a, upper, at_upper = upper, lower, at_lower
                lower = a - (a - b) * _GOLDEN
                at_lower = smallest(aim, lower)
        tilt = (a + b) / 2.0
        return smallest(aim, tilt), tilt

    low, high = low - 0.05 * end.width_h, low + length + 0.05 * end.width_h
    while high - low > 1e-3:
        steps = [low + (high - low) * n / 8.0 for n in range(9)]
        inside = [best_tilt(aim)[0] for aim in steps[1:-1]]
        best = inside.index(max(inside))
        low, high = steps[best], steps[best + 2]
    aim = (low + high) / 2.0
    return aim % 360.0, best_tilt(aim)[1]


def _rates(width_mhz: float, most: int, streams: int, interval_us: float) -> list[float]:
    return [_SUBCARRIERS[width_mhz] * bits * code * streams / (3.2 + interval_us) for bits, code in _BITS[: most + 1]]


def _direction(
    sender: _End, receiver: _End, path_gain: float, rates: list[float], wanted: float
) -> tuple[int, float, float]:
    """Return rate index, level and margin of one direction at full legal power."""
    best, level, margin = 0, -math.inf, -math.inf
    for n in range(len(rates)):
        power = min(sender.kind.power_per_mcs_dbm[n], sender.law)
        left = power + path_gain - receiver.kind.sensitivity_20mhz_dbm[n] - 3.0
        if left >= wanted or n == 0:
            best, level, margin = n, power + path_gain, left
    return best, level, margin


def plain_budgets(job: Job, gas_db_per_km: float) -> dict[str, PlainHop]:
    """Return the budgets of all hops, one after the other.

    Parameters
    ----------
    job : Job
        A site of sectors and panels in 20 MHz channels under the US rules of 5725-5850 MHz.
    gas_db_per_km : float
        Loss by gases, worked out once: nobody would do it per hop.
    """
    placed = place(job.site)
    ends: dict[str, _End] = {}
    for radio in job.radios.values():
        kind = job.radio_type(radio)
        assert kind is not None
        assert kind.pattern is not None
        spot, pattern = placed.mounts[radio.mount], kind.pattern
        ends[radio.id] = _End(
            spot.x_m, spot.y_m, spot.elevation_m, spot.lat_deg or 0.0, spot.lon_deg or 0.0, pattern.gain_dbi,
            pattern.azimuth_beamwidth_deg, pattern.elevation_beamwidth_deg, pattern.front_to_back_db,
            pattern.electrical_downtilt_deg, pattern.model == "sector", kind, 30.0 - max(0.0, pattern.gain_dbi - 6.0),
        )  # fmt: skip
    geometry: dict[str, tuple[float, float, float, float, float]] = {}
    bare: dict[str, float] = {}
    for hop in job.hops.values():
        a, s = ends[hop.access_point], ends[hop.station]
        ground, there, back = _geodesic(a.lat, a.lon, s.lat, s.lon)
        half = math.sin(ground / (2.0 * _EARTH_M))
        distance = math.sqrt(
            4.0 * (_EARTH_M + a.height_m) * (_EARTH_M + s.height_m) * half * half + (s.height_m - a.height_m) ** 2
        )
        up, down = _upward(a.height_m, s.height_m, ground), _upward(s.height_m, a.height_m, ground)
        geometry[hop.id] = (distance, there, back, up, down)
        loss = 20.0 * math.log10(4.0 * math.pi * distance * 5745e6 / 299792458.0) + gas_db_per_km * distance / 1000.0
        bare[hop.id] = -loss
    for radio_id, end in ends.items():
        far = []
        for hop in job.hops_of[radio_id]:
            distance, there, back, up, down = geometry[hop.id]
            at_access_point = hop.access_point == radio_id
            other = ends[hop.station if at_access_point else hop.access_point]
            n = 7
            margin = bare[hop.id] + other.gain + min(
                min(end.kind.power_per_mcs_dbm[n], end.law) - other.kind.sensitivity_20mhz_dbm[n],
                min(other.kind.power_per_mcs_dbm[n], other.law) - end.kind.sensitivity_20mhz_dbm[n],
            )  # fmt: skip
            far.append((there if at_access_point else back, up if at_access_point else down, margin))
        end.aim, end.tilt = (far[0][0], far[0][1]) if len(far) == 1 else _common_aim(end, far)
    found: dict[str, PlainHop] = {}
    for hop in job.hops.values():
        a, s = ends[hop.access_point], ends[hop.station]
        distance, there, back, up, down = geometry[hop.id]
        path = bare[hop.id] + _gain(a, there, up, a.aim, a.tilt) + _gain(s, back, down, s.aim, s.tilt)
        most = min(a.kind.highest_mcs, s.kind.highest_mcs)
        rates = _rates(20.0, most, 2, 0.8)
        upward = _direction(s, a, path, rates, 10.0)
        _direction(a, s, path, rates, 10.0)
        noise = _NOISE_DBM_PER_HZ + 10.0 * math.log10(20e6) + a.kind.noise_figure_db
        found[hop.id] = PlainHop(path, upward[1], upward[0], upward[2], noise, distance)
    return found
