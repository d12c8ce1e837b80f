"""What each way of protecting a hop leaves of its rate: what both ends run, an old cipher, a new station."""

from __future__ import annotations

from dataclasses import dataclass

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.errors import UnknownNameError
from survey_app.site.edits import change
from survey_app.site.gear_type import RadioType
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Site
from survey_app.spectrum.regions import Regions, load_regions

__all__ = ["STRENGTH", "ProtectionChoice", "protection_choices"]

#: Protections, the strongest first. 802.11n and later bar their rates to the last two, [IEEE80211]_, [HOSTAPD]_.
STRENGTH = ("wpa3_sae", "wpa2_enterprise", "wpa2_aes", "wpa_tkip", "wep", "none")


@dataclass(frozen=True)
class ProtectionChoice:
    """One way of protecting a hop, tried on a copy of the site.

    Parameters
    ----------
    protection : str
        What both ends are set to.
    station_gear : str or None
        Gear type that has to take the station's place for it; None = the units as they are.
    rate_mbps, carries_mbps : float or None
        Link rate to the access point, and what the hop carries alone. [Mbit/s]
    load_fraction : float or None
        Load of its cell then.
    """

    protection: str
    station_gear: str | None
    rate_mbps: float | None
    carries_mbps: float | None
    load_fraction: float | None


def protection_choices(site: Site, hop_id: str, regions: Regions | None = None) -> tuple[ProtectionChoice, ...]:
    """Return every way of protecting a hop, the strongest first.

    Parameters
    ----------
    site : Site
        The document; it is not changed.
    hop_id : str
        The hop.
    regions : Regions or None
        Radio rules; None reads those that travel with the program.

    Returns
    -------
    tuple of ProtectionChoice
        Those that both units run; and where the strongest of the access point is not among them, that one with a new
        station: the access point's own type, or another of the site that runs it. Empty where a type is not known.

    Raises
    ------
    UnknownNameError
        The site has no such hop.
    """
    rules = regions if regions is not None else load_regions()
    hop = next((one for one in site.design.hops if one.id == hop_id), None)
    if hop is None:
        raise UnknownNameError(f"the site has no hop called '{hop_id}'")
    radios = {one.id: one for one in site.design.radios}
    types = {one.id: one for one in site.design.gear if isinstance(one, RadioType)}
    near, far = types.get(radios[hop.access_point].gear), types.get(radios[hop.station].gear)
    if near is None or far is None:
        return ()
    choices: list[tuple[str, str | None]] = [
        (word, None) for word in STRENGTH if word in near.protections and word in far.protections
    ]
    strongest = next((word for word in STRENGTH if word in near.protections), None)
    if strongest is not None and strongest not in far.protections:
        new = _other_station(types, radios[hop.station], near, strongest)
        choices = [*([(strongest, new)] if new is not None else []), *choices]
    return tuple(_tried(site, rules, hop, protection, gear) for protection, gear in choices)


def _other_station(types: dict[str, RadioType], station: Radio, near: RadioType, protection: str) -> str | None:
    """A type for the station's place: for the same surroundings and with an antenna, or it keeps the one it has."""
    old = types[station.gear]
    alike = [
        one
        for one in (near, *sorted(types.values(), key=lambda row: row.id))
        if protection in one.protections and one.indoor == old.indoor and (one.pattern is None) == (old.pattern is None)
    ]
    return alike[0].id if alike else None


def _tried(site: Site, rules: Regions, hop: Hop, protection: str, gear: str | None) -> ProtectionChoice:
    copy = site
    for radio_id in (hop.access_point, hop.station):
        copy = change(copy, radio_id, protection=protection).after
    if gear is not None:
        copy = change(copy, hop.station, gear=gear).after
    found: Assessment = assess(copy, rules)
    way = found.hop(hop.id).directions.to_access_point
    cell = next(row for row in found.cells if row.id == hop.access_point)
    return ProtectionChoice(protection, gear, way.phy_rate_mbps, way.throughput_alone_mbps, cell.load_fraction)
