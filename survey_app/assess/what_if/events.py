"""Events that may befall a site."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["ChannelLost", "Event", "Fails", "Grown", "NeighbourMore", "RadarHeard", "Rain"]


@dataclass(frozen=True, slots=True)
class Fails:
    """One thing works no longer: a radio, hop, wire, device, supply, or a mount with all that hangs on it."""

    subject: str


@dataclass(frozen=True, slots=True)
class RadarHeard:
    """A radar is heard on the channel of one access point."""

    access_point: str


@dataclass(frozen=True, slots=True)
class ChannelLost:
    """A channel can be used no longer, by anybody on the site."""

    channel: int


@dataclass(frozen=True, slots=True)
class Rain:
    """It rains on all hops at once. [mm/h]"""

    rate_mm_per_hour: float


@dataclass(frozen=True, slots=True)
class Grown:
    """Trees have grown for some years, and are in leaf. [year]"""

    years: float


@dataclass(frozen=True, slots=True)
class NeighbourMore:
    """A neighbour comes on the air and is heard at a mount, at this level and for this part of the time."""

    mount: str
    channel: int
    level_dbm: float
    busy_percent: float
    width_mhz: float = 20.0


Event = Fails | RadarHeard | ChannelLost | Rain | Grown | NeighbourMore
