"""A site made ready for its plan: things by kind, what they show, what earlier scenes already made."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from numpy.typing import NDArray

from survey_app.drawing.plat.areas import Area, areas_of
from survey_app.drawing.plat.layout import Layout
from survey_app.drawing.plat.records import Fan, HopMark, RadioMark
from survey_app.drawing.plat.store import Store
from survey_app.drawing.plat.view import Wish
from survey_app.drawing.shapes import Point
from survey_app.ground.place import Placed
from survey_app.ground.plane import to_plane
from survey_app.site.collection import every_thing
from survey_app.site.gear_type import GearType
from survey_app.site.mount import Mount
from survey_app.site.network import Camera, Wire
from survey_app.site.place import PlanePoint, PolePlace, Position
from survey_app.site.site import Site
from survey_app.site.structure import Mast, Pole
from survey_app.site.thing import Thing

if TYPE_CHECKING:
    from survey_app.assess.record import AreaRow, Assessment, CameraRow, CellRow, Finding, HopRow, Leg, RadioRow

__all__ = ["PlatScene"]


class PlatScene:
    """What a plan shows of a site.

    Parameters
    ----------
    site : Site
        The document.
    placed : Placed
        Where everything of it is.
    assessment : Assessment or None
        Its numbers and findings; None = not known yet, then hops are hollow and carry no figures.
    before : PlatScene or None
        An earlier scene: what did not change is taken from it.
    stale : frozenset of str
        Radios, hops and cameras whose numbers are not yet true again: their figures stand in brackets.
    fresher : mapping of str to row
        Rows by id that go before those of the assessment (what a drag has just computed).
    shadows : mapping of str to shapely.Geometry
        What radios do not see, by radio; only those are hatched. [m]
    """

    def __init__(
        self,
        site: Site,
        placed: Placed,
        assessment: Assessment | None,
        before: PlatScene | None = None,
        *,
        stale: frozenset[str] = frozenset(),
        fresher: Mapping[str, Any] | None = None,
        shadows: Mapping[str, shapely.Geometry] | None = None,
    ) -> None:
        self.site = site
        self.placed = placed
        self.assessment = assessment
        self.stale = stale
        self.shadows: Mapping[str, shapely.Geometry] = shadows or {}
        self._fresher: Mapping[str, Any] = fresher or {}
        same_plane = before is not None and before.site.design.plane == site.design.plane
        self._areas_before: dict[str, Area] = before.areas_made if before is not None and same_plane else {}
        same_rows = before is not None and before.assessment is assessment
        self._row_tables: dict[str, dict[str, Any]] = before._row_tables if before is not None and same_rows else {}
        self.fans: dict[str, Fan | None] = {}
        """Wedges and rings by radio, as `wedges.fan_of` has made them."""
        self._layouts: dict[tuple[float, int], Layout] = {}
        self.store: Store = before.store if before is not None else Store()

    @cached_property
    def areas(self) -> dict[str, Area]:
        """Outlines and routes by id."""
        found = areas_of(self.site.design, self.placed.outlines, self._areas_before)
        self._areas_before = {}
        return found

    @property
    def areas_made(self) -> dict[str, Area]:
        """What a later scene may take from this one: its own outlines, or those it was to take itself."""
        made: dict[str, Area] = self.__dict__.get("areas", self._areas_before)
        return made

    @cached_property
    def area_table(self) -> tuple[list[Area], NDArray[np.float64]]:
        """Outlines and routes in a row, with their bounds, shape (n, 4). [m]"""
        rows = list(self.areas.values())
        return rows, np.array([area.bounds for area in rows], dtype=np.float64).reshape(-1, 4)

    @cached_property
    def things(self) -> dict[str, tuple[str, Thing]]:
        """Collection and record of every thing by its id."""
        return {thing.id: (collection.name, thing) for collection, _, thing in every_thing(self.site.design)}

    def _rows(self, field: str) -> dict[str, Any]:
        if field not in self._row_tables:
            rows = () if self.assessment is None else getattr(self.assessment, field)
            self._row_tables[field] = {row.id: row for row in rows}
        table = self._row_tables[field]
        fresher = {key: row for key, row in self._fresher.items() if type(row).__name__ == _ROWS[field]}
        return {**table, **fresher} if fresher else table

    @cached_property
    def radio_rows(self) -> dict[str, RadioRow]:
        """Rows of radios by id."""
        return self._rows("radios")

    @cached_property
    def hop_rows(self) -> dict[str, HopRow]:
        """Rows of hops by id."""
        return self._rows("hops")

    @cached_property
    def camera_rows(self) -> dict[str, CameraRow]:
        """Rows of cameras by id."""
        return self._rows("cameras")

    @cached_property
    def area_rows(self) -> dict[str, AreaRow]:
        """Rows of areas that must be served by id."""
        return self._rows("areas")

    @cached_property
    def cell_rows(self) -> dict[str, CellRow]:
        """Rows of cells by their access point."""
        return {} if self.assessment is None else {row.access_point: row for row in self.assessment.cells}

    @cached_property
    def leg_loads(self) -> Mapping[str, Leg]:
        """Hops and wires that video crosses, with what they carry."""
        from survey_app.drawing.plat.load_words import loads_of

        return {} if self.assessment is None else loads_of(self.assessment.routes)

    @cached_property
    def mounts(self) -> dict[str, Mount]:
        """Mounts by id."""
        return {mount.id: mount for mount in self.site.design.mounts}

    @cached_property
    def uprights(self) -> dict[str, tuple[Pole | Mast, Point]]:
        """Poles and masts with their feet. [m]"""
        found: dict[str, tuple[Pole | Mast, Point]] = {}
        for structure in self.site.design.structures:
            if isinstance(structure, Pole | Mast):
                at = self.point(structure.id)
                if at is not None:
                    found[structure.id] = (structure, at)
        return found

    def point(self, thing_id: str) -> Point | None:
        """Return where a thing is, or None for one without a place. [m]"""
        spot = self.placed.mounts.get(thing_id) or self.placed.points.get(thing_id)
        if spot is None or not (math.isfinite(spot.x_m) and math.isfinite(spot.y_m)):
            return None
        return spot.x_m, spot.y_m

    def plan_point(self, position: Position) -> Point:
        """Return a written position in metres of the plane; NaN for one in degrees without an anchor. [m]"""
        if isinstance(position, PlanePoint):
            return position.x_m, position.y_m
        if self.placed.plane is None:
            return math.nan, math.nan
        x, y = to_plane(self.placed.plane, position.lat_deg, position.lon_deg)
        return float(x), float(y)

    @cached_property
    def feet(self) -> dict[str, Point]:
        """Axis of the pole that each mount hangs on, or the mount's own place. [m]"""
        found: dict[str, Point] = {}
        for mount in self.site.design.mounts:
            at = self.point(mount.id)
            if at is not None:
                found[mount.id] = (self.point(mount.structure) or at) if isinstance(mount.place, PolePlace) else at
        return found

    @cached_property
    def radios(self) -> dict[str, RadioMark]:
        """Radios that have a place."""
        found: dict[str, RadioMark] = {}
        for radio in self.site.design.radios:
            at = self.point(radio.mount)
            mount = self.mounts.get(radio.mount)
            if at is None or mount is None:
                continue
            row = self.radio_rows.get(radio.id)
            side = mount.place.side_plan_deg if isinstance(mount.place, PolePlace) else None
            foot = self.feet[mount.id]
            label = row.label if row is not None else radio.label or radio.id
            bearing = row.bearing_plan_deg if row is not None else None
            found[radio.id] = RadioMark(radio.id, label, at, foot, mount.structure, radio, row, side, bearing)
        return found

    @cached_property
    def hops(self) -> dict[str, HopMark]:
        """Hops whose two radios have a place."""
        radios = self.radios
        return {
            hop.id: HopMark(hop.id, hop, self.hop_rows.get(hop.id), radios[hop.access_point], radios[hop.station])
            for hop in self.site.design.hops
            if hop.access_point in radios and hop.station in radios
        }

    @cached_property
    def hops_of(self) -> dict[str, tuple[str, ...]]:
        """Hops of each radio."""
        found: dict[str, list[str]] = {}
        for hop in self.hops.values():
            found.setdefault(hop.access_point.id, []).append(hop.id)
            found.setdefault(hop.station.id, []).append(hop.id)
        return {key: tuple(ids) for key, ids in found.items()}

    @cached_property
    def cameras(self) -> dict[str, tuple[Camera, Point]]:
        """Cameras that have a place."""
        found: dict[str, tuple[Camera, Point]] = {}
        for camera in self.site.design.cameras:
            at = self.point(camera.id)
            if at is not None:
                found[camera.id] = (camera, at)
        return found

    @cached_property
    def wired(self) -> dict[str, str]:
        """The representative of all things that wires of the site's own join."""
        root: dict[str, str] = {}

        def find(one: str) -> str:
            while root.setdefault(one, one) != one:
                one = root[one]
            return one

        for wire in self.site.design.wires:
            if wire.medium in ("copper", "fibre"):
                a, b = find(wire.a.thing), find(wire.b.thing)
                root[max(a, b)] = min(a, b)
        return {one: find(one) for one in root}

    @cached_property
    def relays(self) -> dict[str, str]:
        """Access points that are one relay with a station: on one mount with it and wired to it."""
        stations: dict[tuple[str, str], list[str]] = {}
        for radio in self.radios.values():
            if radio.record.role == "station" and radio.id in self.wired:
                stations.setdefault((radio.record.mount, self.wired[radio.id]), []).append(radio.id)
        found: dict[str, str] = {}
        for radio in self.radios.values():
            if radio.record.role == "access_point" and radio.id in self.wired:
                mates = stations.get((radio.record.mount, self.wired[radio.id]), [])
                if len(mates) == 1 and mates[0] not in found.values():
                    found[radio.id] = mates[0]
        return found

    @cached_property
    def wires(self) -> dict[str, Wire]:
        """Wires by id."""
        return {wire.id: wire for wire in self.site.design.wires}

    @cached_property
    def gear(self) -> dict[str, GearType]:
        """The site's own copies of gear types by id."""
        return {one.id: one for one in self.site.design.gear}

    @cached_property
    def findings(self) -> tuple[tuple[Finding, Point], ...]:
        """Findings that stand at a spot of the plan, by number. [m]"""
        found = []
        for finding in self.assessment.findings if self.assessment is not None else ():
            at = (finding.place.x_m, finding.place.y_m) if finding.place is not None else self.spot(finding.subject)
            if at is not None and math.isfinite(at[0]) and math.isfinite(at[1]):
                found.append((finding, at))
        return tuple(found)

    def hanging(self, ids: Iterable[str]) -> frozenset[str]:
        """Return things with all that hangs on them: mounts, radios, cameras, boxes, hops, wires."""
        found = set(ids)
        design = self.site.design
        found |= {mount.id for mount in design.mounts if mount.structure in found}
        for rows in (design.radios, design.cameras, design.devices):
            found |= {row.id for row in rows if getattr(row, "mount", None) in found}
        found |= {room.id for room in design.rooms if room.structure in found}
        found |= {wall.id for wall in design.walls if wall.structure in found}
        found |= {opening.id for opening in design.openings if opening.wall in found}
        found |= {area.id for area in design.served_areas if area.structure in found}
        found |= {head.id for head in design.head_ends if head.device in found}
        found |= {hop.id for hop in design.hops if hop.access_point in found or hop.station in found}
        found |= {wire.id for wire in design.wires if wire.a.thing in found or wire.b.thing in found}
        return frozenset(found)

    def part(self, ids: frozenset[str]) -> PlatScene:
        """Return a scene of some things alone, with what their symbols and hops need to stand where they do.

        Parameters
        ----------
        ids : frozenset of str
            Things with all that hangs on them, as `hanging` returns them.
        """
        design = self.site.design
        hops = [hop for hop in design.hops if hop.id in ids]
        wires = [wire for wire in design.wires if wire.id in ids]
        wired = {end.thing for wire in wires for end in (wire.a, wire.b)} | ids
        ends = {one for hop in hops for one in (hop.access_point, hop.station)} | wired
        carriers = {mount.id: mount.structure for mount in design.mounts}
        at = {radio.mount for radio in design.radios if radio.id in ends}
        at |= {camera.mount for camera in design.cameras if camera.id in ends and camera.mount is not None}
        structures = {carriers[mount] for mount in at if mount in carriers} | ids
        mounts = {key for key, structure in carriers.items() if structure in structures}
        kept: dict[str, tuple[Any, ...]] = {
            "structures": tuple(row for row in design.structures if row.id in structures),
            "mounts": tuple(row for row in design.mounts if row.id in mounts),
            "radios": tuple(row for row in design.radios if row.mount in mounts),
            "cameras": tuple(row for row in design.cameras if row.mount in mounts or row.id in wired),
            "hops": tuple(hops),
            "wires": tuple(wires),
            "devices": tuple(row for row in design.devices if row.id in wired or row.mount in mounts),
            "supplies": tuple(row for row in design.supplies if row.id in wired),
        }
        beside = ("rooms", "walls", "openings", "served_areas", "climbs", "landmarks", "notes", "head_ends")
        for field in ("waters", "zones", *beside):
            kept[field] = tuple(row for row in getattr(design, field) if row.id in ids)
        fields = {name: kept.get(name, getattr(design, name)) for name in type(design).model_fields}
        site = Site.model_construct(design=type(design).model_construct(**fields), evidence=self.site.evidence)
        return PlatScene(site, self.placed, self.assessment, self, stale=self.stale, fresher=self._fresher)

    def lifting(self, wish: Wish) -> Wish:
        """Return a wish whose lifted things bring along all that hangs on them."""
        if not wish.lifted:
            return wish
        return replace(wish, lifted=self.hanging(wish.lifted))

    def layout(self, mm_per_m: float, tier: int) -> Layout:
        """Return where symbols stand at a scale; the two scales used last are kept."""
        key = (mm_per_m, tier)
        made = self._layouts.pop(key, None) or Layout(self, mm_per_m, tier)
        self._layouts[key] = made
        while len(self._layouts) > 2:
            del self._layouts[next(iter(self._layouts))]
        return made

    def spot(self, thing_id: str) -> Point | None:
        """Return the spot at which a thing's finding stands: its place, the middle of its outline, of its hop. [m]"""
        at = self.point(thing_id)
        if at is not None:
            return at
        if thing_id in self.radios:
            return self.radios[thing_id].at
        if thing_id in self.hops:
            (x0, y0), (x1, y1) = self.hops[thing_id].access_point.at, self.hops[thing_id].station.at
            return (x0 + x1) / 2.0, (y0 + y1) / 2.0
        if thing_id in self.areas:
            b = self.areas[thing_id].bounds
            return (b[0] + b[2]) / 2.0, (b[1] + b[3]) / 2.0
        _, thing = self.things.get(thing_id, ("", None))
        for name in ("mount", "structure", "device", "access_point"):
            other = getattr(thing, name, None)
            if isinstance(other, str) and other != thing_id:
                return self.spot(other)
        return None


_ROWS = {"radios": "RadioRow", "hops": "HopRow", "cameras": "CameraRow"}
"""What the rows of a table are called: the record of the assessment is not read before there is one."""
