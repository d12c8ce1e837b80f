"""Is a radio type possible: rates, power, sensitivity, levels, widths, connectors."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise

from survey_app.gear.fault import GearFault
from survey_app.physics.decibels import to_db
from survey_app.physics.noise import noise_floor_dbm
from survey_app.physics.rates import mcs_count, phy_rate_mbps
from survey_app.site.gear_type import RadioType

__all__ = ["radio_faults"]

# Channel widths [IEEE80211]; the two narrow ones are an extension that is usual outdoors [PRACTICE].
_WIDTHS_MHZ = {"n": {5, 10, 20, 40}, "ac": {5, 10, 20, 40, 80, 160}, "ax": {5, 10, 20, 40, 80, 160}}
_VHT_MCS_NOT_AT_20_MHZ = 9
_SENSITIVITY_WIDTH_MHZ = 20.0
_SPECTRAL_WIDTH_MHZ = 40.0  # here every rate index exists


def radio_faults(radio: RadioType) -> Iterator[GearFault]:
    """Give the faults of one radio type, apart from its antenna, its supply and its body."""
    for check in _CHECKS:
        yield from check(radio)


def _rates(radio: RadioType) -> Iterator[GearFault]:
    highest = mcs_count(radio.mode) - 1
    if radio.highest_mcs > highest:
        yield GearFault(
            radio.id,
            "rate-index",
            "highest_mcs",
            f"a unit of generation '{radio.mode}' has rate indices 0 to {highest} per stream, not {radio.highest_mcs}.",
            float(radio.highest_mcs),
            float(highest),
            "",
            "IEEE80211",
        )
    if radio.mode == "ac" and radio.highest_mcs == _VHT_MCS_NOT_AT_20_MHZ and max(radio.widths_mhz) <= 20:
        yield GearFault(
            radio.id,
            "rate-index",
            "highest_mcs",
            "rate index 9 does not exist at 20 MHz with one or two streams, and this unit has no wider channel.",
            9.0,
            8.0,
            "",
            "IEEE80211",
        )
    if radio.streams > radio.chains:
        yield GearFault(
            radio.id,
            "streams",
            "streams",
            f"{radio.streams} streams need as many chains, but there are {radio.chains}.",
            float(radio.streams),
            float(radio.chains),
            "",
            "IEEE80211",
        )
    for field in ("power_per_mcs_dbm", "sensitivity_20mhz_dbm"):
        count = len(getattr(radio, field))
        if count != radio.highest_mcs + 1:
            yield GearFault(
                radio.id,
                "rate-list-length",
                field,
                f"rate indices 0 to {radio.highest_mcs} need {radio.highest_mcs + 1} values, not {count}.",
                float(count),
                float(radio.highest_mcs + 1),
                "",
            )


def _widths(radio: RadioType) -> Iterator[GearFault]:
    for number, width in enumerate(radio.widths_mhz):
        if width not in _WIDTHS_MHZ[radio.mode]:
            yield GearFault(
                radio.id,
                "width-unknown",
                f"widths_mhz[{number}]",
                f"a unit of generation '{radio.mode}' has no channel of {width} MHz.",
                float(width),
                float(max(_WIDTHS_MHZ[radio.mode])),
                "MHz",
                "IEEE80211",
            )
    if radio.tunes_high_mhz - radio.tunes_low_mhz < max(radio.widths_mhz):
        yield GearFault(
            radio.id,
            "tuning-range",
            "tunes_high_mhz",
            f"between {radio.tunes_low_mhz:g} and {radio.tunes_high_mhz:g} MHz its widest channel does not fit.",
            radio.tunes_high_mhz - radio.tunes_low_mhz,
            float(max(radio.widths_mhz)),
            "MHz",
        )


def _power(radio: RadioType) -> Iterator[GearFault]:
    for number, (before, after) in enumerate(pairwise(radio.power_per_mcs_dbm), start=1):
        if after > before:
            yield GearFault(
                radio.id,
                "power-rises",
                f"power_per_mcs_dbm[{number}]",
                f"power at rate index {number} is above that at {number - 1}; a faster rate never allows more.",
                after,
                before,
                "dBm",
            )
    lowest = min(radio.power_per_mcs_dbm)
    if radio.power_floor_dbm > lowest:
        yield GearFault(
            radio.id,
            "power-floor",
            "power_floor_dbm",
            f"the lowest setting lies above the highest power of {lowest:g} dBm at the fastest rate.",
            radio.power_floor_dbm,
            lowest,
            "dBm",
        )
    radiated_w = 10.0 ** (max(radio.power_per_mcs_dbm) / 10.0) / 1000.0
    if radiated_w >= radio.watts_w:
        yield GearFault(
            radio.id,
            "power-out-above-in",
            "watts_w",
            f"it would radiate {radiated_w:.2f} W from {radio.watts_w:g} W of supply.",
            radio.watts_w,
            radiated_w,
            "W",
        )


def _sensitivity(radio: RadioType) -> Iterator[GearFault]:
    floor_dbm = float(noise_floor_dbm(_SENSITIVITY_WIDTH_MHZ, radio.noise_figure_db))
    indices = range(min(len(radio.sensitivity_20mhz_dbm), mcs_count(radio.mode)))
    bits_per_hz = phy_rate_mbps(radio.mode, _SPECTRAL_WIDTH_MHZ, list(indices), 1) / _SPECTRAL_WIDTH_MHZ
    needed_db = to_db(2.0**bits_per_hz - 1.0)
    for number in indices:
        level, limit = radio.sensitivity_20mhz_dbm[number], floor_dbm + max(0.0, float(needed_db[number]))
        if level < limit:
            yield GearFault(
                radio.id,
                "sensitivity-below-noise",
                f"sensitivity_20mhz_dbm[{number}]",
                f"{level:g} dBm is better than noise and noise figure allow at rate index {number}: {limit:.1f} dBm.",
                level,
                limit,
                "dBm",
                "SHANNON",
            )
    for number, (before, after) in enumerate(pairwise(radio.sensitivity_20mhz_dbm), start=1):
        if after <= before:
            yield GearFault(
                radio.id,
                "sensitivity-falls",
                f"sensitivity_20mhz_dbm[{number}]",
                f"rate index {number} must need more level than {number - 1}.",
                after,
                before,
                "dBm",
                "IEEE80211",
            )


def _levels(radio: RadioType) -> Iterator[GearFault]:
    if radio.max_input_dbm >= radio.damage_input_dbm:
        yield GearFault(
            radio.id,
            "input-order",
            "max_input_dbm",
            "the level that it must stand in use lies at or above the level that damages it.",
            radio.max_input_dbm,
            radio.damage_input_dbm,
            "dBm",
        )
    if max(radio.sensitivity_20mhz_dbm) >= radio.max_input_dbm:
        yield GearFault(
            radio.id,
            "input-order",
            "max_input_dbm",
            "the fastest rate needs more than the level that it stands.",
            radio.max_input_dbm,
            max(radio.sensitivity_20mhz_dbm),
            "dBm",
        )
    if any(after <= before for before, after in pairwise(radio.lights_dbm)):
        yield GearFault(
            radio.id,
            "lights-order",
            "lights_dbm",
            "the lights must come on at rising levels.",
        )
    if any(after < before for before, after in pairwise(radio.acir_db)):
        yield GearFault(
            radio.id,
            "rejection-order",
            "acir_db",
            "a channel farther off must be rejected at least as well as a nearer one.",
        )


def _air(radio: RadioType) -> Iterator[GearFault]:
    if radio.efficiency_many_stations > radio.efficiency_one_station:
        yield GearFault(
            radio.id,
            "efficiency-order",
            "efficiency_many_stations",
            "several stations cannot share the air better than one has it alone.",
            radio.efficiency_many_stations,
            radio.efficiency_one_station,
            "",
        )


def _antenna(radio: RadioType) -> Iterator[GearFault]:
    if radio.pattern is None and radio.connectors == 0:
        yield GearFault(
            radio.id,
            "no-antenna",
            "pattern",
            "it has neither an antenna of its own nor connectors for one.",
        )
    if 0 < radio.connectors < radio.chains:
        yield GearFault(
            radio.id,
            "connectors",
            "connectors",
            f"{radio.chains} chains need as many connectors, but there are {radio.connectors}.",
            float(radio.connectors),
            float(radio.chains),
            "",
        )


_CHECKS: tuple[Callable[[RadioType], Iterator[GearFault]], ...] = (
    _rates,
    _widths,
    _power,
    _sensitivity,
    _levels,
    _air,
    _antenna,
)
