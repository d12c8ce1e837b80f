"""Wires: how long, what to order, how many ohms, and whether metal joins two earths."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np

from survey_app.assess.graph import things_joined
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.nulls import refused, unknown, without
from survey_app.assess.record import NullReason, WireRow
from survey_app.ground.place import Placed
from survey_app.physics.conductors import (
    CABLING_LIMIT_OHM_PER_KM,
    loop_resistance_ohm,
    resistance_at_temperature_ohm,
)
from survey_app.site.gear_type import CableType, ProtectorType
from survey_app.site.network import Wire
from survey_app.site.structure import Building, Mast, Pole

__all__ = [
    "PATCH_LEAD_M",
    "Earths",
    "WireRun",
    "cable_type",
    "is_patch_lead",
    "mount_of",
    "protector_count",
    "spot_of",
    "wire_rows",
    "wire_runs",
]

#: Length of a ready-made lead whose ends have no place on the plan; common practice.
PATCH_LEAD_M = 2.0


@dataclass(frozen=True, slots=True)
class WireRun:
    """One wire as it will lie.

    Parameters
    ----------
    route_m : float or None
        Along its run on the plan; None where an end has no place and nothing was measured. [m]
    installed_m : float or None
        With what goes up and down, drip loop and service length. [m]
    order_m : float or None
        With waste. [m]
    loop_ohm : float or None
        There and back at the worst temperature, with plugs and protectors; None = carries no supply. [ohm]
    protectors : int
        Surge protectors on it.
    """

    route_m: float | None
    installed_m: float | None
    order_m: float | None
    loop_ohm: float | None
    protectors: int


def cable_type(job: Job, wire: Wire) -> CableType | None:
    """Return the type of a wire's cable, or None where it names none."""
    found = job.gear.get(wire.gear) if wire.gear else None
    return found if isinstance(found, CableType) else None


def mount_of(job: Job, thing_id: str) -> str | None:
    """Return the mount that a radio, camera or device hangs on, if it hangs on one."""
    if thing_id in job.radios:
        return job.radios[thing_id].mount
    if thing_id in job.cameras:
        return job.cameras[thing_id].mount
    return job.devices[thing_id].mount if thing_id in job.devices else None


def spot_of(job: Job, placed: Placed, thing_id: str) -> tuple[float, float] | None:
    """Return where a thing is on the plan, or None where that is not known."""
    head_end = job.head_ends.get(thing_id)
    key = head_end.device if head_end else thing_id
    point = placed.points.get(key) or placed.points.get(mount_of(job, key) or "")
    if point is None or math.isnan(point.x_m):
        return None
    return point.x_m, point.y_m


def protector_count(wire: Wire) -> int:
    """Return how many surge protectors a wire gets: two on a copper run outdoors, unless it says otherwise."""
    by_hand = {"both_ends": 2, "a": 1, "b": 1, "none": 0}
    if wire.protectors in by_hand:
        return by_hand[wire.protectors]
    return 2 if wire.medium == "copper" and wire.outdoors else 0


def is_patch_lead(wire: Wire) -> bool:
    """Return whether a wire is a ready-made lead: copper indoors of which no cable type is named."""
    return wire.medium == "copper" and not wire.outdoors and wire.gear is None


def _route_m(job: Job, placed: Placed, wire: Wire) -> float | None:
    if wire.length_m is not None:
        return wire.length_m
    ends = [spot_of(job, placed, end.thing) for end in (wire.a, wire.b)]
    if ends[0] is None or ends[1] is None:
        return PATCH_LEAD_M if is_patch_lead(wire) else None
    between = placed.outlines[wire.id].tolist() if wire.route else []
    points = [ends[0], *between, ends[1]]
    length_m = sum(math.dist(here, there) for here, there in pairwise(points))
    return None if math.isnan(length_m) else length_m


def _protector_ohm(job: Job) -> float:
    """Resistance of one pass through the site's protector, the first type by id."""
    types = [item for _, item in sorted(job.gear.items()) if isinstance(item, ProtectorType)]
    return types[0].extra_ohm if types else ProtectorType.model_fields["extra_ohm"].default


def _wiring(wire: Wire, kind: CableType | None) -> str:
    if wire.medium == "dc":
        return "two-wire"
    return "four-pair" if kind is not None and kind.four_pair_feed else "two-pair"


def _loops_ohm(
    job: Job, installed_m: Mapping[str, float | None], extra_ohm: Mapping[str, float]
) -> dict[str, float | None]:
    """Resistance there and back of every run that can carry a supply, in one call for all."""
    found: dict[str, float | None] = dict.fromkeys(job.wires)
    known = {
        key: metres
        for key, metres in installed_m.items()
        if metres is not None and job.wires[key].medium in ("copper", "dc")
    }
    if not known:
        return found
    kinds = {key: cable_type(job, job.wires[key]) for key in known}
    cold = [kind.ohm_per_km if kind and kind.ohm_per_km else CABLING_LIMIT_OHM_PER_KM for kind in kinds.values()]
    loops = loop_resistance_ohm(
        resistance_at_temperature_ohm(cold, job.defaults.cable_temp_c),
        list(known.values()),
        [_wiring(job.wires[key], kind) for key, kind in kinds.items()],
        [extra_ohm[key] for key in known],
    )
    found.update(zip(known, loops.tolist(), strict=True))
    return found


def _installed_m(job: Job, wire: Wire, route_m: float | None) -> float | None:
    if route_m is None:
        return None
    loops = wire.outdoors and wire.medium != "existing"
    return route_m + wire.drops_m + (job.defaults.cable_drip_m + job.defaults.cable_service_m if loops else 0.0)


def wire_runs(job: Job, placed: Placed) -> dict[str, WireRun]:
    """Return length and resistance of every wire.

    Parameters
    ----------
    job : Job
        The indexed site.
    placed : Placed
        Where its things are.

    Returns
    -------
    dict of str to WireRun
        By wire id. A measured length counts before the drawn run, a drawn run before the straight line. Drip loop and
        service length are added to runs outdoors.
    """
    routes = {key: _route_m(job, placed, wire) for key, wire in job.wires.items()}
    installed = {key: _installed_m(job, wire, routes[key]) for key, wire in job.wires.items()}
    counts = {key: protector_count(wire) for key, wire in job.wires.items()}
    pass_ohm = _protector_ohm(job)
    extra = {key: wire.extra_ohm + counts[key] * pass_ohm for key, wire in job.wires.items()}
    loops = _loops_ohm(job, installed, extra)
    waste = 1.0 + job.defaults.cable_waste_percent / 100.0
    return {
        key: WireRun(routes[key], metres, metres * waste if metres is not None else None, loops[key], counts[key])
        for key, metres in installed.items()
    }


def _placed(coordinates: Any) -> bool:
    return coordinates is not None and not bool(np.isnan(np.asarray(coordinates, dtype=float)).any())


@dataclass(frozen=True)
class Earths:
    """Which earth a thing is bonded to.

    A building has one, a pole or mast has its own unless it stands within a building's outline; two mounts that name
    the same earth point share it.
    """

    job: Job
    placed: Placed

    @cached_property
    def _on_building(self) -> dict[str, str]:
        """Poles and masts that stand within a building."""
        from shapely import STRtree, points, polygons

        structures = self.job.structures.values()
        outlines, spots = self.placed.outlines, self.placed.points
        # what has no place on the plane (latitude and longitude without an anchor) stands in nothing
        buildings = [s.id for s in structures if isinstance(s, Building) and _placed(outlines.get(s.id))]
        uprights = [s.id for s in structures if isinstance(s, Pole | Mast) and _placed(spots.get(s.id))]
        if not buildings or not uprights:
            return {}
        tree = STRtree([polygons(outlines[key]) for key in buildings])
        feet = points([spots[key][:2] for key in uprights])
        inside, holder = tree.query(feet, predicate="within")
        return {uprights[i]: buildings[j] for i, j in zip(inside.tolist(), holder.tolist(), strict=True)}

    def of(self, thing_id: str) -> str | None:
        """Return a word for the earth of a thing; None where it has none of its own."""
        mount = self.job.mounts.get(mount_of(self.job, thing_id) or "")
        device = self.job.devices.get(thing_id)
        structure_id = mount.structure if mount else device.structure if device else None
        structure = self.job.structures.get(structure_id or "")
        if structure is None or not isinstance(structure, Building | Pole | Mast):
            return None
        return self._on_building.get(structure.id, structure.id)

    def joined_by(self, wire: Wire) -> bool:
        """Return whether a wire joins two earths by metal, outdoors."""
        if wire.medium not in ("copper", "dc") or not wire.outdoors:
            return False
        a, b = things_joined(self.job, wire)
        if self._bonded_at(a) is not None and self._bonded_at(a) == self._bonded_at(b):
            return False
        earths = {self.of(a), self.of(b)} - {None}
        return len(earths) == 2

    def _bonded_at(self, thing_id: str) -> str | None:
        mount = self.job.mounts.get(mount_of(self.job, thing_id) or "")
        return mount.earth_point.strip().casefold() or None if mount else None


def wire_rows(
    job: Job,
    runs: Mapping[str, WireRun],
    earths: Earths,
    arriving: Mapping[str, tuple[float | None, float | None]],
    memo: Fresh,
) -> tuple[WireRow, ...]:
    """Return the rows of all wires.

    Parameters
    ----------
    job : Job
        The indexed site.
    runs : mapping of str to WireRun
        Lengths and resistances.
    earths : Earths
        What is bonded to what.
    arriving : mapping of str to (float or None, float or None)
        Power into the far end of each wire that carries the supply, and the voltage that arrives. [W], [V]
    memo : Fresh
        What is known from an earlier value of the site.
    """
    wires = sorted(job.wires.items())
    given = [(wire, runs[key], earths.joined_by(wire), arriving.get(key)) for key, wire in wires]
    return tuple(memo.each("wires", [key for key, _ in wires], given, lambda stale: [_row(*given[n]) for n in stale]))


def _row(wire: Wire, run: WireRun, joins: bool, arriving: tuple[float | None, float | None] | None) -> WireRow:
    load_w, volts_v = arriving or (None, None)
    return WireRow(
        id=wire.id,
        medium=wire.medium,
        gear=wire.gear,
        a=wire.a.thing,
        b=wire.b.thing,
        route_m=run.route_m,
        order_m=run.order_m,
        loop_ohm=run.loop_ohm if wire.power != "none" else None,
        load_w=load_w,
        volts_far_end_v=volts_v,
        protectors=run.protectors,
        metal_between_buildings=joins,
        outdoors=wire.outdoors,
        null_reasons=tuple(_reasons(wire, run, arriving)),
    )


def _reasons(wire: Wire, run: WireRun, arriving: tuple[float | None, float | None] | None) -> list[NullReason]:
    reasons: list[NullReason] = []
    if run.route_m is None:
        reasons += unknown(["route_m", "order_m"], "Draw its run, place both its ends, or measure its length.")
    if wire.power == "none":
        return [*reasons, *without(["loop_ohm", "load_w", "volts_far_end_v"], "It carries no supply.")]
    if run.loop_ohm is None:
        reasons += unknown(["loop_ohm"], "Its length is not known, or it is no copper.")
    if arriving is None:
        reasons += unknown(["load_w", "volts_far_end_v"], "Draw the way from a source of power to this wire.")
    elif arriving[1] is None:
        words = "There is no voltage at which cable and load agree: the load will not start."
        reasons += refused(["volts_far_end_v"], words)
    return reasons
