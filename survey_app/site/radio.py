"""Radios, hops and what an installer sets on them."""

from typing import Annotated, Literal

from pydantic import AfterValidator

from survey_app.site.record import Id, Name, Record, said
from survey_app.site.thing import Thing

__all__ = ["AimByHand", "Hop", "Protection", "Radio"]

Protection = Literal["wpa3_sae", "wpa2_aes", "wpa2_enterprise", "wpa_tkip", "wep", "none", "unknown"]


_GUARD_INTERVALS_US = (0.4, 0.8, 1.6, 3.2)


def _guard_interval(value: float) -> float:
    if value not in _GUARD_INTERVALS_US:
        raise ValueError("the guard interval must be 0.4, 0.8, 1.6 or 3.2 µs")
    return value


class AimByHand(Record):
    """An aim fixed by hand instead of the computed one."""

    bearing_deg: Annotated[float, said("Bearing of the beam's axis", ge=0, lt=360)]
    north: Annotated[Literal["true", "plan"], said("Which north the bearing counts from")] = "true"
    tilt_deg: Annotated[float | None, said("Elevation of the beam's axis; null = computed", ge=-90, le=90)] = None


class Radio(Thing):
    """One unit on a mount, of one gear type, as access point or station."""

    role: Annotated[Literal["access_point", "station"], said("Its role in the cell")]
    gear: Annotated[Id, said("Gear id of the radio type")]
    mount: Annotated[Id, said("The mount it hangs on")]
    antenna: Annotated[Id | None, said("Gear id of the antenna, for a unit with connectors")] = None
    feeder: Annotated[Id | None, said("Gear id of the feeder between unit and antenna")] = None
    feeder_count: Annotated[int, said("Feeders in a row per chain", ge=0, le=20)] = 1
    channel: Annotated[
        int | None,
        said("Channel number of the middle of the block (centre = 5000 + 5 n MHz); access point only", ge=1, le=400),
    ] = None
    channel_locked: Annotated[bool, said("A proposed channel plan leaves channel and width as they are")] = False
    width_mhz: Annotated[Literal[5, 10, 20, 40, 80, 160] | None, said("Channel width; null = site default")] = None
    guard_interval_us: Annotated[
        float, said("Guard interval: 0.4, 0.8, 1.6 or 3.2"), AfterValidator(_guard_interval)
    ] = 0.8
    highest_mcs: Annotated[
        int | None, said("Highest rate index that is allowed; null = what the unit can", ge=0, le=13)
    ] = None
    power_mode: Annotated[Literal["automatic", "fixed"], said("How the power is set in service")] = "automatic"
    power_ceiling_dbm: Annotated[
        float | None,
        said(
            "Most total power that it may send, in aiming and in service; null = what unit and law allow", ge=-20, le=60
        ),
    ] = None
    aim: Annotated[AimByHand | None, said("Aim fixed by hand; null = computed")] = None
    rotation_deg: Annotated[float, said("Rotation of the unit about its axis from 'arrow up'", ge=-180, le=180)] = 0.0
    access: Annotated[Literal["contention", "scheduled"] | None, said("Air access; null = the unit's own")] = None
    protection: Annotated[Protection, said("Protection of the radio path")] = "wpa2_aes"
    isolation: Annotated[bool, said("Stations of this access point cannot reach each other")] = False
    bridge: Annotated[
        Literal["transparent", "single", "unknown"], said("Whether several devices may stand behind this station")
    ] = "transparent"
    radar_spare: Annotated[int | None, said("Spare channel that was checked beforehand", ge=1, le=400)] = None
    link_rule: Annotated[
        Literal["by_topology", "certified_point_to_point"],
        said(
            "Which power rule a station of a cell follows; the second needs the equipment's certificate named in the note"
        ),
    ] = "by_topology"
    address: Annotated[Name, said("Management address; empty = line to be filled in")] = ""
    network_name: Annotated[Name, said("Radio network name, access point only; never the site's name")] = ""
    label: Annotated[Name, said("Label on the unit; empty = its id")] = ""
    firmware: Annotated[Name, said("Firmware version wanted")] = ""
    serial: Annotated[Name, said("Serial number, typed back from the unit")] = ""
    hardware_address: Annotated[Name, said("Hardware address, typed back from the unit")] = ""
    shows_level_at: Annotated[Name, said("Where the level is read while aiming; empty = the unit's own")] = ""


class Hop(Thing):
    """One radio path between an access point and one of its stations."""

    access_point: Annotated[Id, said("The access point's radio id")]
    station: Annotated[Id, said("The station's radio id")]
    wanted_margin_db: Annotated[
        float | None, said("Wanted margin at the needed rate; null = site default", ge=0, le=60)
    ] = None
    chosen_mcs: Annotated[int | None, said("Rate index fixed by hand; null = chosen", ge=0, le=13)] = None
