"""The site, indexed: what every stage of the assessment reads."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeVar

from survey_app.ground.place import Placed, place
from survey_app.site.gear_type import AntennaType, FeederType, GearType, RadioType
from survey_app.site.mount import Climb, Mount
from survey_app.site.network import Camera, Device, HeadEnd, Supply, Wire
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Defaults, Design, Site
from survey_app.site.structure import Structure
from survey_app.site.thing import Thing

__all__ = ["Job"]

_T = TypeVar("_T", bound=Thing)
_GONE = frozenset({"removed", "later"})


def _present(things: tuple[_T, ...], *, with_later: bool) -> dict[str, _T]:
    gone = {"removed"} if with_later else _GONE
    return {thing.id: thing for thing in things if thing.status not in gone}


@dataclass(frozen=True)
class Job:
    """An indexed view of a site; things removed or planned for later are left out unless asked for.

    Parameters
    ----------
    site : Site
        The document.
    with_later : bool
        Count things with status `later` as present.
    """

    site: Site
    with_later: bool = field(default=False)

    @property
    def design(self) -> Design:
        """The designed half of the site."""
        return self.site.design

    @property
    def defaults(self) -> Defaults:
        """The site's figures of judgement."""
        return self.site.design.defaults

    @cached_property
    def structures(self) -> dict[str, Structure]:
        """Structures by id."""
        return {thing.id: thing for thing in self.design.structures}

    @cached_property
    def placed(self) -> Placed:
        """Where everything is."""
        return place(self.site)

    @cached_property
    def mounts(self) -> dict[str, Mount]:
        """Mounts by id (also those that carry nothing); one without a place on the plan or a height is left out."""
        found = _present(self.design.mounts, with_later=self.with_later)
        return {key: mount for key, mount in found.items() if self._on_plan(key)}

    @cached_property
    def unplaced(self) -> dict[str, Mount]:
        """Mounts that are present but have no place on the plan, or no height."""
        found = _present(self.design.mounts, with_later=self.with_later)
        return {key: mount for key, mount in found.items() if not self._on_plan(key)}

    def _on_plan(self, mount_id: str) -> bool:
        spot = self.placed.mounts.get(mount_id)
        return spot is not None and all(map(math.isfinite, (spot.x_m, spot.y_m, spot.elevation_m, spot.foot_m)))

    @cached_property
    def climbs(self) -> dict[str, Climb]:
        """Ways up by id."""
        return {thing.id: thing for thing in self.design.climbs}

    @cached_property
    def radios(self) -> dict[str, Radio]:
        """Radios by id, in the site's order, those on a mount that is present."""
        found = _present(self.design.radios, with_later=self.with_later)
        return {key: radio for key, radio in found.items() if radio.mount in self.mounts}

    @cached_property
    def hops(self) -> dict[str, Hop]:
        """Hops by id whose two radios are present."""
        found = _present(self.design.hops, with_later=self.with_later)
        return {k: h for k, h in found.items() if h.access_point in self.radios and h.station in self.radios}

    @cached_property
    def hops_of(self) -> dict[str, tuple[Hop, ...]]:
        """Hops of each radio, by id of the hop."""
        rows: dict[str, list[Hop]] = {radio_id: [] for radio_id in self.radios}
        for hop in self.hops.values():
            rows[hop.access_point].append(hop)
            rows[hop.station].append(hop)
        return {radio_id: tuple(sorted(hops, key=lambda h: h.id)) for radio_id, hops in rows.items()}

    @cached_property
    def cells(self) -> dict[str, tuple[Hop, ...]]:
        """Hops of each access point, by id; access points without a station are left out."""
        return {
            radio_id: self.hops_of[radio_id]
            for radio_id in sorted(self.radios)
            if self.radios[radio_id].role == "access_point" and self.hops_of[radio_id]
        }

    def far_ends(self, radio_id: str) -> tuple[str, ...]:
        """Return the radios at the other ends of a radio's hops, in the order of its hops."""
        hops = self.hops_of[radio_id]
        return tuple(hop.station if hop.access_point == radio_id else hop.access_point for hop in hops)

    def access_point_of(self, radio_id: str) -> Radio | None:
        """Return the access point whose channel a radio uses: itself, or the one its hop leads to."""
        radio = self.radios[radio_id]
        if radio.role == "access_point":
            return radio
        hops = self.hops_of[radio_id]
        return self.radios[hops[0].access_point] if hops else None

    @cached_property
    def cameras(self) -> dict[str, Camera]:
        """Cameras by id."""
        return _present(self.design.cameras, with_later=self.with_later)

    @cached_property
    def devices(self) -> dict[str, Device]:
        """Powered boxes by id."""
        return _present(self.design.devices, with_later=self.with_later)

    @cached_property
    def wires(self) -> dict[str, Wire]:
        """Wires by id."""
        return _present(self.design.wires, with_later=self.with_later)

    @cached_property
    def wires_at(self) -> dict[str, tuple[str, ...]]:
        """Ids of the wires at each thing, rising; a head end stands for its device."""
        found: dict[str, list[str]] = {}
        for wire_id, wire in sorted(self.wires.items()):
            for end in {wire.a.thing, wire.b.thing}:
                head_end = self.head_ends.get(end)
                found.setdefault(head_end.device if head_end else end, []).append(wire_id)
        return {key: tuple(ids) for key, ids in found.items()}

    @cached_property
    def supplies(self) -> dict[str, Supply]:
        """Sources of power by id."""
        return _present(self.design.supplies, with_later=self.with_later)

    @cached_property
    def head_ends(self) -> dict[str, HeadEnd]:
        """Head ends by id."""
        return _present(self.design.head_ends, with_later=self.with_later)

    @cached_property
    def gear(self) -> dict[str, GearType]:
        """The site's copies of gear types by id."""
        return {item.id: item for item in self.design.gear}

    def radio_type(self, radio: Radio) -> RadioType | None:
        """Return a radio's type, or None where the site carries no such radio type."""
        found = self.gear.get(radio.gear)
        return found if isinstance(found, RadioType) else None

    def antenna_type(self, radio: Radio) -> AntennaType | None:
        """Return the separate antenna of a radio, if it has one."""
        found = self.gear.get(radio.antenna) if radio.antenna else None
        return found if isinstance(found, AntennaType) else None

    def feeder_loss_db(self, radio: Radio) -> float:
        """Return the feeder loss per chain of a radio."""
        found = self.gear.get(radio.feeder) if radio.feeder else None
        return found.loss_db * radio.feeder_count if isinstance(found, FeederType) else 0.0
