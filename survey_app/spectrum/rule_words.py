"""Limits in words, for paper, screen and findings."""

from __future__ import annotations

from collections.abc import Sequence

from survey_app.physics.decibels import to_db
from survey_app.spectrum.rules import BandRow, Density, Place, PowerLimits, Topology
from survey_app.spectrum.topology import TOPOLOGY_WORDS

__all__ = ["rule_set_in_words", "topology_in_words"]


def topology_in_words(topology: Topology) -> str:
    """Return the words for a topology inside a sentence.

    Examples
    --------
    >>> topology_in_words("point_to_point")
    'fixed point to point'
    """
    words = TOPOLOGY_WORDS[topology]
    return words[0].lower() + words[1:]


def rule_set_in_words(
    rows: Sequence[BandRow], place: Place, topology: Topology, width_mhz: float, *, power_control: bool
) -> str:
    """Write the limits of one channel as one sentence with its documents.

    Parameters
    ----------
    rows : sequence of BandRow
        The rows that permit the channel, from the lowest band.
    place, topology, width_mhz, power_control
        As for `resolve`.

    Examples
    --------
    >>> from survey_app.spectrum import load_regions
    >>> row = load_regions().find("US").row("us.unii3.multipoint")
    >>> rule_set_in_words([row], "outdoor", "multipoint_hub", 20, power_control=True)  # doctest: +ELLIPSIS
    'Point to multipoint in 5725-5850 MHz: 30 dBm conducted, less 1 dB for each dB of gain over 6 dBi (47 CFR ...).'
    """
    parts = [
        f"{row.low_mhz:g}-{row.high_mhz:g} MHz{' indoors' if row.place == 'indoor' else ''}"
        f"{' outdoors' if row.place == 'outdoor' else ''}: "
        f"{_limits_in_words(row.limits, width_mhz, power_control=power_control)}"
        f"{_mask_in_words(row, place)} ({row.citation})"
        for row in rows
    ]
    if len(parts) == 1:
        return f"{TOPOLOGY_WORDS[topology]} in {parts[0]}."
    return f"{TOPOLOGY_WORDS[topology]} in two bands, of which the tighter limit holds: {'; '.join(parts)}."


def _limits_in_words(limits: PowerLimits, width_mhz: float, *, power_control: bool) -> str:
    words: list[str] = []
    if limits.conducted_dbm is not None:
        words.append(f"{_number(limits.conducted_dbm)} dBm conducted{_backoff_in_words(limits)}")
    without = limits.eirp_without_control_dbm
    if without is not None and not power_control:
        words.append(f"{_number(without)} dBm EIRP without power control")
    elif limits.eirp_dbm is not None:
        words.append(f"{_number(limits.eirp_dbm)} dBm EIRP")
    density = limits.density
    if density is not None and _density_counts(density, limits, width_mhz, power_control=power_control):
        dbm = _density_dbm(density, power_control=power_control)
        slice_width = f"{density.per_mhz:g} MHz" if density.per_mhz >= 1 else f"{density.per_mhz * 1000:g} kHz"
        words.append(f"{_number(dbm)} dBm {'EIRP' if density.kind == 'eirp' else 'conducted'} in any {slice_width}")
    return ", and ".join(words)


def _backoff_in_words(limits: PowerLimits) -> str:
    slope = limits.backoff_db_per_db
    if limits.free_gain_dbi is None:
        return " at any antenna gain" if limits.eirp_dbm is None else ""
    if slope == 0:
        return ""
    each = "each dB" if slope == 1 else f"every {_number(1 / slope)} dB"
    return f", less 1 dB for {each} of gain over {_number(limits.free_gain_dbi)} dBi"


def _density_dbm(density: Density, *, power_control: bool) -> float:
    lower = density.without_control_dbm
    return density.dbm if power_control or lower is None else lower


def _density_counts(density: Density, limits: PowerLimits, width_mhz: float, *, power_control: bool) -> bool:
    """Whether the density limits a channel of this width more than the other figures of its kind do."""
    whole_dbm = _density_dbm(density, power_control=power_control) + float(to_db(width_mhz / density.per_mhz))
    if density.kind == "conducted":
        other = limits.conducted_dbm
    else:
        lower = limits.eirp_without_control_dbm
        other = limits.eirp_dbm if power_control or lower is None else lower
    return other is None or whole_dbm < other


def _mask_in_words(row: BandRow, place: Place) -> str:
    mask = row.elevation_mask
    if mask is None or (mask.place == "outdoor" and place != "outdoor"):
        return ""
    if mask.kind == "eirp" and len({limit for _, limit in mask.points}) == 1:
        angle, limit = mask.points[0]
        return f", and {_number(limit)} dBm EIRP above {_number(angle)}° of elevation"
    above = "" if mask.above_eirp_dbm is None else f" beyond {_number(mask.above_eirp_dbm)} dBm EIRP"
    return f", and an elevation mask{above}"


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
