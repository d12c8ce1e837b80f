"""Plausibility of gear types: is what an entry says possible, and does it fit together?

A reader of a data sheet mistypes a figure sooner or later. The checks look at one type each and know no site.
Limits that are judgement say so in their source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from survey_app.gear.body_checks import body_faults, clamp_faults, pole_faults, protector_faults
from survey_app.gear.fault import GearFault
from survey_app.gear.pattern_checks import pattern_faults
from survey_app.gear.radio_checks import radio_faults
from survey_app.gear.supply_checks import (
    battery_faults,
    cable_faults,
    camera_faults,
    device_faults,
    radio_supply_faults,
)
from survey_app.site.gear_type import (
    AntennaType,
    BatteryType,
    CableType,
    CameraType,
    ClampType,
    DeviceType,
    GearType,
    PoleType,
    ProtectorType,
    RadioType,
)

__all__ = ["check_catalogue", "check_gear"]


def check_gear(gear: GearType) -> tuple[GearFault, ...]:
    """Check one gear type.

    Parameters
    ----------
    gear : GearType
        The type, already read as a valid record.

    Returns
    -------
    tuple of GearFault
        What is implausible, in the order of the checks; empty where nothing is.

    Examples
    --------
    >>> from survey_app.gear.catalogue import load_catalogue
    >>> check_gear(load_catalogue().find("bowline-p16"))
    ()
    """
    return (*body_faults(gear.id, gear.body), *_faults_of_kind(gear))


def check_catalogue(items: Iterable[GearType]) -> tuple[GearFault, ...]:
    """Check many gear types, such as a whole catalogue; the faults come in the order of the types."""
    return tuple(fault for gear in items for fault in check_gear(gear))


def _faults_of_kind(gear: GearType) -> Iterator[GearFault]:
    if isinstance(gear, RadioType):
        yield from radio_faults(gear)
        yield from radio_supply_faults(gear)
        if gear.pattern is not None:
            yield from pattern_faults(gear.id, gear.pattern)
    elif isinstance(gear, AntennaType):
        yield from pattern_faults(gear.id, gear.pattern)
    elif isinstance(gear, DeviceType):
        yield from device_faults(gear)
    elif isinstance(gear, CameraType):
        yield from camera_faults(gear)
    elif isinstance(gear, CableType):
        yield from cable_faults(gear)
    elif isinstance(gear, BatteryType):
        yield from battery_faults(gear)
    elif isinstance(gear, ClampType):
        yield from clamp_faults(gear)
    elif isinstance(gear, PoleType):
        yield from pole_faults(gear)
    elif isinstance(gear, ProtectorType):
        yield from protector_faults(gear)
