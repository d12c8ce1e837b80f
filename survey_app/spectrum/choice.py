"""Which channels a radio may choose from, and which others to offer instead of a bad one."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Literal, TypeAlias

from survey_app.spectrum.channels import middle_mhz
from survey_app.spectrum.permission import RuleSet, resolve
from survey_app.spectrum.rules import Place, Region, Topology

__all__ = ["Band", "most_eirp_dbm", "other_channels", "valid_channels"]

Band: TypeAlias = Literal["2.4 GHz", "5 GHz"]
"""Which of the two bands that a radio tunes."""


def valid_channels(
    region: Region,
    place: Place,
    topology: Topology,
    width_mhz: int,
    power_control: bool = True,
    *,
    band: Band = "5 GHz",
) -> tuple[int, ...]:
    """Return the channels that the region's rows offer and permit.

    Parameters
    ----------
    region, place, topology, power_control
        As for `resolve`.
    width_mhz : int
        Channel width. [MHz]
    band : {"2.4 GHz", "5 GHz"}
        Which band.

    Returns
    -------
    tuple of int
        Channel numbers, rising. Further channels between them may be legal; these are the ones that equipment offers.

    Examples
    --------
    >>> from survey_app.spectrum import load_regions
    >>> valid_channels(load_regions().find("EU"), "indoor", "client", 80)
    (42, 58, 106, 122, 155)
    """
    return _valid(region, place, topology, width_mhz, power_control, band)


@lru_cache(maxsize=512)
def _valid(
    region: Region, place: Place, topology: Topology, width_mhz: int, power_control: bool, band: Band
) -> tuple[int, ...]:
    numbers = {
        number
        for row in region.rows
        if row.usable
        for part in row.channels
        if part.width_mhz == width_mhz
        for number in part.channels
        if (middle_mhz(number) > 5000) == (band == "5 GHz")
    }
    return tuple(
        number
        for number in sorted(numbers)
        if resolve(region, place, topology, middle_mhz(number), width_mhz, power_control) is not None
    )


def other_channels(
    region: Region,
    place: Place,
    topology: Topology,
    width_mhz: int,
    power_control: bool = True,
    *,
    band: Band = "5 GHz",
    longest_wait_s: int = 60,
    least_eirp_dbm: float = 20.0,
) -> tuple[int, ...]:
    """Return the channels worth offering to somebody whose channel is not permitted.

    Parameters
    ----------
    region, place, topology, width_mhz, power_control, band
        As for `valid_channels`.
    longest_wait_s : int, default 60
        Channels with a longer radar check are left out. [s]
    least_eirp_dbm : float, default 20.0
        Channels on which less EIRP than this is permitted are left out: too weak for an outdoor hop. [dBm]

    Returns
    -------
    tuple of int
        Channel numbers, rising; `channels_in_words` writes them.

    Examples
    --------
    >>> from survey_app.spectrum import channels_in_words, load_regions
    >>> channels_in_words(other_channels(load_regions().find("EU"), "outdoor", "point_to_point", 20))
    '100-116, 132-140'
    """
    return _others(region, place, topology, width_mhz, power_control, band, longest_wait_s, least_eirp_dbm)


@lru_cache(maxsize=512)
def _others(
    region: Region,
    place: Place,
    topology: Topology,
    width_mhz: int,
    power_control: bool,
    band: Band,
    longest_wait_s: int,
    least_eirp_dbm: float,
) -> tuple[int, ...]:
    offered = []
    for number in _valid(region, place, topology, width_mhz, power_control, band):
        rules = resolve(region, place, topology, middle_mhz(number), width_mhz, power_control)
        if rules is not None and rules.radar_wait_s <= longest_wait_s and most_eirp_dbm(rules) >= least_eirp_dbm:
            offered.append(number)
    return tuple(offered)


def most_eirp_dbm(rules: RuleSet) -> float:
    """Return the most EIRP that a rule set permits with any antenna; infinite where only conducted power is limited.

    Density limits are left out.

    Examples
    --------
    >>> from survey_app.spectrum import load_regions
    >>> us = load_regions().find("US")
    >>> most_eirp_dbm(resolve(us, "outdoor", "multipoint_hub", 5785.0, 20.0, True))
    36.0
    """
    most = math.inf
    for row in rules.rows:
        limits = row.limits
        if limits.conducted_dbm is not None and limits.free_gain_dbi is not None and limits.backoff_db_per_db >= 1:
            most = min(most, limits.conducted_dbm + limits.free_gain_dbi)
        without = limits.eirp_without_control_dbm
        eirp = limits.eirp_dbm if rules.power_control or without is None else without
        most = min(most, math.inf if eirp is None else eirp)
    return most
