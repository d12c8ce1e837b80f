"""Which channels and widths each cell may take: rules, gear, radar duty, locks."""

from __future__ import annotations

import math
from typing import NamedTuple

from survey_app.assess.interference.outside import RUNNING
from survey_app.assess.job import Job
from survey_app.assess.law import Law, place_of
from survey_app.site.radio import Radio
from survey_app.spectrum.channels import middle_mhz
from survey_app.spectrum.choice import Band, valid_channels
from survey_app.spectrum.permission import RuleSet, resolve
from survey_app.spectrum.rules import Region, Topology

__all__ = ["Choice", "choices_of", "current_of", "rules_of"]

_LONGEST_WAIT_S = 60
"""Channels that are listened to for longer before use (weather radar) are not planned."""


class Choice(NamedTuple):
    """A channel with its width."""

    channel: int
    width_mhz: int

    @property
    def centre_mhz(self) -> float:
        """Middle of the block. [MHz]"""
        return middle_mhz(self.channel)

    def __str__(self) -> str:
        return f"{self.channel} at {self.width_mhz} MHz"


def current_of(job: Job, access_point: Radio) -> Choice | None:
    """Return what an access point is set to; None without a channel."""
    if access_point.channel is None:
        return None
    return Choice(access_point.channel, int(access_point.width_mhz or job.defaults.width_mhz))


def rules_of(job: Job, law: Law, members: tuple[str, ...], choice: Choice) -> list[RuleSet] | None:
    """Return the rules that permit every radio of a cell on a choice; None where one of them may not or cannot."""
    rows = list(job.radios)
    found: list[RuleSet] = []
    for key in members:
        radio = job.radios[key]
        topology = law.topology[rows.index(key)]
        known: Topology = "multipoint_hub" if topology == "alone" else topology
        assert law.region is not None
        rules = resolve(
            law.region,
            place_of(job, radio),
            known,
            choice.centre_mhz,
            choice.width_mhz,
            radio.power_mode == "automatic",
        )
        if rules is None or not _tunes(job, radio, choice):
            return None
        kind = job.radio_type(radio)
        if rules.radar_duty and (kind is None or kind.radar_certified is not True):
            return None
        found.append(rules)
    return found


def _tunes(job: Job, radio: Radio, choice: Choice) -> bool:
    kind, antenna = job.radio_type(radio), job.antenna_type(radio)
    if kind is None or choice.width_mhz not in kind.widths_mhz:
        return False
    low, high = choice.centre_mhz - choice.width_mhz / 2.0, choice.centre_mhz + choice.width_mhz / 2.0
    return all(
        one is None or (one.tunes_low_mhz <= low + 1e-9 and high <= one.tunes_high_mhz + 1e-9)
        for one in (kind, antenna)
    )


def choices_of(job: Job, law: Law, access_point: str, members: tuple[str, ...]) -> dict[Choice, list[RuleSet]]:
    """Return what a cell may take, with the rules that hold there for each of its radios.

    Parameters
    ----------
    job, law : Job, Law
        The indexed site, and what the rules say of it.
    access_point : str
        The cell.
    members : tuple of str
        Its radios, the access point first.

    Notes
    -----
    Radar channels only for units whose certificate for them is noted, and none that must be listened to for more than a
    minute; channels that want a registration only where the cell has one now. A locked cell keeps its channel. A
    channel that is set now may be kept although the list of the region does not offer it, as long as a rule permits it.
    """
    radio = job.radios[access_point]
    now = current_of(job, radio)
    if law.region is None:
        return {now: []} if now is not None else {}
    if radio.channel_locked and now is not None:
        return {now: rules_of(job, law, members, now) or []}
    own = rules_of(job, law, members, now) if now is not None else None
    licensed = own is not None and any(rules.needs_licence for rules in own)
    found: dict[Choice, list[RuleSet]] = {}
    for choice in _offered(job, law.region, radio):
        rules = rules_of(job, law, members, choice)
        if rules is None or (not licensed and any(one.needs_licence for one in rules)):
            continue
        if max((one.radar_wait_s for one in rules), default=0) <= _LONGEST_WAIT_S:
            found[choice] = rules
    if now is not None and own is not None:
        found[now] = own
    if now is not None and (radio.status in RUNNING or not found):
        found.setdefault(now, own or [])
    return dict(sorted(found.items()))


def _offered(job: Job, region: Region, radio: Radio) -> list[Choice]:
    kind = job.radio_type(radio)
    if kind is None:
        return []
    band: Band = "2.4 GHz" if kind.tunes_high_mhz < 5000.0 else "5 GHz"
    topologies: tuple[Topology, ...] = ("multipoint_hub", "point_to_point", "client")
    wanted = {
        Choice(channel, width)
        for width in kind.widths_mhz
        for topology in topologies
        for channel in valid_channels(
            region, place_of(job, radio), topology, width, radio.power_mode == "automatic", band=band
        )
    }
    return sorted(choice for choice in wanted if not math.isnan(choice.centre_mhz))
