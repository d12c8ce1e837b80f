"""Which gear a new thing gets: what was chosen or used last, else the first type that fits."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal
from weakref import WeakKeyDictionary

from survey_app.errors import UnknownNameError
from survey_app.gear.catalogue import Catalogue, load_catalogue
from survey_app.gear.user_folder import user_gear_folders
from survey_app.site.gear_type import CameraType, GearType, RadioType
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk

__all__ = ["SLOTS", "Choice", "Slot", "choice_of"]

Slot = Literal["access_point", "station", "camera", "switch", "recorder", "cable"]

SLOTS: dict[Slot, str] = {
    "access_point": "radio",
    "station": "radio",
    "camera": "camera",
    "switch": "switch",
    "recorder": "recorder",
    "cable": "cable",
}
"""What is chosen, and the kind of gear type that it is."""


class Choice:
    """The gear that new things get.

    Parameters
    ----------
    catalogue : Catalogue or None
        Gear types; None reads those that travel with the program and the user's own when they are first asked for.
    """

    def __init__(self, catalogue: Catalogue | None = None) -> None:
        self._catalogue = catalogue
        self._chosen: dict[Slot, str] = {}

    @property
    def catalogue(self) -> Catalogue:
        """Every gear type that can be chosen."""
        if self._catalogue is None:
            self._catalogue = load_catalogue(user_gear_folders())
        return self._catalogue

    def choose(self, slot: Slot, gear_id: str) -> None:
        """Take a gear type for new things from now on.

        Raises
        ------
        UnknownNameError
            There is no such type, or it is of another kind.
        """
        gear = self.catalogue.find(gear_id)
        if gear.kind != SLOTS[slot]:
            raise UnknownNameError(f"'{gear_id}' is no {SLOTS[slot]}", remedy=f"choose a {SLOTS[slot]} type")
        self._chosen[slot] = gear.id

    def options(self, site: Site, slot: Slot) -> tuple[GearType, ...]:
        """Return the types that can be chosen: those that the site carries, then the rest of the catalogue."""
        kind = SLOTS[slot]
        carried = {row.id: row for row in site.design.gear if row.kind == kind}
        others = [item for item in self.catalogue.of_kind(kind) if item.id not in carried]
        return (*carried.values(), *others)

    def gear(self, site: Site, slot: Slot) -> str:
        """Return the gear id that a new thing gets.

        Parameters
        ----------
        site : Site
            The site: what it used last for such a thing comes before what the catalogue begins with.
        slot : str
            What the thing is.

        Raises
        ------
        UnknownNameError
            Neither site nor catalogue has such a type.
        """
        chosen = self._chosen.get(slot)
        options = self.options(site, slot)
        if chosen is not None and any(item.id == chosen for item in options):
            return chosen
        used = _used_last(site, slot)
        if used is not None:
            return used
        fitting = [item for item in options if _fits(item, slot)] or list(options)
        if not fitting:
            raise UnknownNameError(f"there is no gear type for a new {slot.replace('_', ' ')}", remedy="add one first")
        # of those that fit one that standard powered ports can feed, or that has them: their chain needs no more parts
        return next((item.id for item in fitting if _standard(item, slot)), fitting[0].id)


def _used_last(site: Site, slot: Slot) -> str | None:
    design = site.design
    if slot in ("access_point", "station"):
        return next((radio.gear for radio in reversed(design.radios) if radio.role == slot), None)
    if slot == "camera":
        return design.cameras[-1].gear if design.cameras else None
    if slot == "cable":
        return next((wire.gear for wire in reversed(design.wires) if wire.gear and wire.medium == "copper"), None)
    kinds = {row.id: row.kind for row in design.gear}
    return next((device.gear for device in reversed(design.devices) if kinds.get(device.gear) == slot), None)


def _fits(item: GearType, slot: Slot) -> bool:
    """Whether a type serves without further parts: outdoors, with an antenna of its own."""
    if isinstance(item, RadioType):
        if item.indoor or item.pattern is None:
            return False
        wide = item.pattern.azimuth_beamwidth_deg >= 60.0
        return wide if slot == "access_point" else not wide
    if isinstance(item, CameraType):
        return True
    return slot != "cable" or getattr(item, "medium", "copper") == "copper"


def _standard(item: GearType, slot: Slot) -> bool:
    """Whether a type goes with powered ports of IEEE 802.3; a switch that gives them is fed by the mains."""
    takes = {one.scheme for one in getattr(item, "power_inputs", ())}
    gives = {one.scheme for one in getattr(item, "power_outputs", ())}
    if slot == "switch":
        return "mains" in takes and any(scheme.startswith("802.3") for scheme in gives)
    return any(scheme.startswith("802.3") for scheme in takes)


_CHOICES: WeakKeyDictionary[Desk, Choice] = WeakKeyDictionary()


def choice_of(desk: Desk) -> Choice:
    """Return the one choice of a desk; panels change it, tools read it."""
    choice = _CHOICES.get(desk)
    if choice is None:
        choice = _CHOICES[desk] = Choice()
    return choice
