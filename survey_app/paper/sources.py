"""A site and its assessment, indexed: what the builders of sheets read."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from survey_app.ground.place import Placed, place
from survey_app.site.gear_type import GearType, RadioType
from survey_app.site.mount import Mount
from survey_app.site.network_names import names_in_network
from survey_app.site.radio import Radio
from survey_app.site.site import Design, Site
from survey_app.site.structure import Structure

if TYPE_CHECKING:
    from survey_app.assess.record import (
        Assessment,
        ClimbRow,
        Finding,
        HopEndRow,
        HopRow,
        MountRow,
        NullReason,
        RadioRow,
    )

__all__ = ["Sources", "why_null"]


@dataclass(frozen=True)
class Sources:
    """What paper is made from.

    Parameters
    ----------
    site : Site
        The document.
    assessment : Assessment
        Its assessment; both must belong together.
    """

    site: Site
    assessment: Assessment

    @property
    def design(self) -> Design:
        """The designed half of the site."""
        return self.site.design

    @property
    def feet(self) -> bool:
        """Whether people also read feet."""
        return self.design.units != "metric"

    @cached_property
    def placed(self) -> Placed:
        """Where everything is."""
        return place(self.site)

    @cached_property
    def radios(self) -> dict[str, RadioRow]:
        """Assessed radios by id."""
        return {row.id: row for row in self.assessment.radios}

    @cached_property
    def hops(self) -> dict[str, HopRow]:
        """Assessed hops by id."""
        return {row.id: row for row in self.assessment.hops}

    @cached_property
    def mounts(self) -> dict[str, MountRow]:
        """Assessed mounts by id."""
        return {row.id: row for row in self.assessment.mounts}

    @cached_property
    def climbs(self) -> dict[str, ClimbRow]:
        """Climbs by id."""
        return {row.id: row for row in self.assessment.climbs}

    @cached_property
    def drawn_radios(self) -> dict[str, Radio]:
        """Radios of the design by id."""
        return {radio.id: radio for radio in self.design.radios}

    @cached_property
    def drawn_mounts(self) -> dict[str, Mount]:
        """Mounts of the design by id."""
        return {mount.id: mount for mount in self.design.mounts}

    @cached_property
    def structures(self) -> dict[str, Structure]:
        """Structures by id."""
        return {structure.id: structure for structure in self.design.structures}

    @cached_property
    def gear(self) -> dict[str, GearType]:
        """The site's copies of gear types by id."""
        return {item.id: item for item in self.design.gear}

    @cached_property
    def network_names(self) -> dict[str, str]:
        """Names in the network of all that has an address, by id."""
        return names_in_network(self.site)

    @cached_property
    def names(self) -> dict[str, str]:
        """What people call each thing, by id; a radio is called by the label that it wears."""
        design = self.design
        groups = (design.devices, design.supplies, design.cameras, design.head_ends, design.mounts, design.structures)
        names = {thing.id: thing.title for group in groups for thing in group}
        names.update({row.id: row.label for row in self.assessment.radios})
        return names

    def name(self, thing_id: str) -> str:
        """Return what people call a thing."""
        return self.names.get(thing_id, thing_id)

    def radio_type(self, row: RadioRow) -> RadioType | None:
        """Return a radio's gear type, if the site carries it."""
        found = self.gear.get(row.gear)
        return found if isinstance(found, RadioType) else None

    def hops_of(self, row: RadioRow) -> tuple[HopRow, ...]:
        """Return a radio's assessed hops, in the record's order."""
        return tuple(self.hops[hop_id] for hop_id in row.hops if hop_id in self.hops)

    def ends(self, row: RadioRow, hop: HopRow) -> tuple[HopEndRow, HopEndRow]:
        """Return a hop's end at a radio, and its far end."""
        near, far = hop.ends.access_point, hop.ends.station
        return (near, far) if hop.access_point == row.id else (far, near)

    def findings_of(self, row: RadioRow) -> tuple[Finding, ...]:
        """Return the findings of a radio, its hops and its mount, and all stops that concern one of them, by number."""
        about = {row.id, row.mount, *row.hops}
        return tuple(f for f in self.assessment.findings if f.stands_on_page_of(about))


def why_null(reasons: tuple[NullReason, ...], field: str) -> tuple[str, str]:
    """Return the kind of a null and its sentence; unknown without a word if the record says nothing.

    Examples
    --------
    >>> why_null((), "tilt_deg")
    ('unknown', 'Unknown.')
    """
    for reason in reasons:
        if reason.field == field:
            return reason.kind, reason.sentence
    return "unknown", "Unknown."
