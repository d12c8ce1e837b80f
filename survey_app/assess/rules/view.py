"""What every rule reads: the job, the arrays, and the rows of the assessment by id."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from survey_app.assess.camera_sight import Hidden
from survey_app.assess.interference import Interference
from survey_app.assess.job import Job
from survey_app.assess.near import NearPairs, near_pairs
from survey_app.assess.network import NetworkStage
from survey_app.assess.north import North
from survey_app.assess.numbers import Numbers
from survey_app.assess.raising import Offer
from survey_app.assess.record import (
    AreaRow,
    CameraRow,
    CellRow,
    FailureRow,
    HeadEndRow,
    HopRow,
    MountRow,
    Place,
    RadioRow,
    RouteRow,
    SupplyRow,
    WireRow,
)
from survey_app.assess.ripples import WaterRipple
from survey_app.assess.wires import mount_of
from survey_app.ground.standing import OutlineFault
from survey_app.physics.arrays import FloatArray
from survey_app.site.gear_type import ClampType
from survey_app.site.structure import TrafficArea
from survey_app.spectrum.channels import middle_mhz
from survey_app.spectrum.permission import RuleSet, resolve
from survey_app.spectrum.regions import Regions
from survey_app.spectrum.rules import Place as RulePlace
from survey_app.spectrum.rules import Topology

__all__ = ["View"]


@dataclass(frozen=True)
class View:
    """Everything that is known when findings are made; a rule takes a view and yields drafts.

    `quiet` are the numbers at the powers that noise alone asks for, `restless` the radios whose automatic power never
    comes to rest. `offers` has the moves that clear the hops which are not clear, `offers_over_traffic` those that
    clear what passes.
    """

    job: Job
    numbers: Numbers
    interference: Interference
    quiet: Numbers
    restless: tuple[str, ...]
    north: North
    network: NetworkStage
    regions: Regions
    clamps: Mapping[str, ClampType | None]
    mounts: Mapping[str, MountRow]
    radios: Mapping[str, RadioRow]
    hops: Mapping[str, HopRow]
    cells: Mapping[str, CellRow]
    areas: Mapping[str, AreaRow]
    cameras: Mapping[str, CameraRow]
    wires: Mapping[str, WireRow]
    supplies: Mapping[str, SupplyRow]
    routes: Mapping[str, RouteRow]
    head_ends: Mapping[str, HeadEndRow]
    failures: Mapping[str, FailureRow]
    faults: tuple[OutlineFault, ...]
    hidden: Mapping[str, Hidden]
    ripples: Mapping[str, WaterRipple]
    offers: Mapping[str, tuple[Offer, ...]]
    offers_over_traffic: Mapping[str, tuple[Offer, ...]]

    def rules_on(
        self, place: RulePlace, topology: Topology, channel: int, width_mhz: float, *, power_control: bool
    ) -> RuleSet | None:
        """Return the rules that permit a radio on a channel, or None."""
        region = self.numbers.law.region
        if region is None:
            return None
        return resolve(region, place, topology, middle_mhz(channel), width_mhz, power_control)

    @cached_property
    def near_pairs(self) -> NearPairs:
        """Pairs of radios that hang near each other."""
        return near_pairs(self.numbers.radios)

    @cached_property
    def neighbours(self) -> dict[int, tuple[int, ...]]:
        """Rows of the radios that hang near each radio, by its row."""
        found: dict[int, list[int]] = {}
        for a, b in zip(self.near_pairs.a.tolist(), self.near_pairs.b.tolist(), strict=True):
            found.setdefault(a, []).append(b)
            found.setdefault(b, []).append(a)
        return {row: tuple(others) for row, others in found.items()}

    @cached_property
    def idle(self) -> dict[str, str]:
        """Hops that no camera's video crosses, each by its own name."""
        return {key: key for key in self.hops if not self.numbers.demand[key].cameras}

    @cached_property
    def traffic(self) -> dict[str, FloatArray]:
        """Outline of each traffic area that has a place, by id. [m]"""
        there = {"removed"} if self.job.with_later else {"removed", "later"}
        outlines = self.numbers.placed.outlines
        areas = (one for one in self.job.design.structures if isinstance(one, TrafficArea) and one.status not in there)
        return {one.id: outlines[one.id] for one in areas if math.isfinite(float(outlines[one.id].sum()))}

    @cached_property
    def channels(self) -> dict[str, int | None]:
        """Channel of each cell."""
        return {key: row.channel for key, row in self.cells.items()}

    @cached_property
    def unfed(self) -> dict[str, tuple[tuple[str, ...], tuple[str, ...]]]:
        """Loads from which no chain leads to a source, and where their chains break off, by place."""
        places: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {}
        for root, things in self.network.supplied.forest.unfed.items():
            mounts = (mount_of(self.job, thing) for thing in (*things, root))
            subject = next((mount for mount in mounts if mount is not None), root)
            loads, roots = places.get(subject, ((), ()))
            places[subject] = ((*loads, *things), (*roots, root))
        return places

    def at_radio(self, radio_id: str) -> Place:
        """Return the spot of a radio's antenna."""
        row = self.radios[radio_id]
        return Place(x_m=row.x_m, y_m=row.y_m, height_m=row.antenna_elevation_m)

    def at_mount(self, mount_id: str) -> Place:
        """Return the spot of a mount."""
        row = self.mounts[mount_id]
        return Place(x_m=row.x_m, y_m=row.y_m, height_m=row.elevation_m)

    def along_hop(self, hop_id: str, part: float) -> Place:
        """Return a point of a hop's ray, 0 at the access point and 1 at the station."""
        hop = self.hops[hop_id]
        a, s = self.radios[hop.access_point], self.radios[hop.station]
        return Place(
            x_m=a.x_m + part * (s.x_m - a.x_m),
            y_m=a.y_m + part * (s.y_m - a.y_m),
            height_m=a.antenna_elevation_m + part * (s.antenna_elevation_m - a.antenna_elevation_m),
        )

    def at_hop(self, hop_id: str) -> Place:
        """Return the middle of a hop."""
        hop = self.hops[hop_id]
        a, s = self.radios[hop.access_point], self.radios[hop.station]
        return Place(x_m=(a.x_m + s.x_m) / 2.0, y_m=(a.y_m + s.y_m) / 2.0)
