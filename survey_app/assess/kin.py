"""Which rows of an assessment belong to which: the names by which a lineage goes from one row to the next."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeVar

from survey_app.assess.record import (
    AreaRow,
    Assessment,
    CameraRow,
    CellRow,
    ClimbRow,
    DirectionRow,
    FailureRow,
    FromLandmark,
    HeadEndRow,
    HopEndRow,
    HopRow,
    Leg,
    MountRow,
    NorthRow,
    ObstacleRow,
    RadioRow,
    ReadingWindow,
    RouteRow,
    SupplyLink,
    SupplyRow,
    TallyRow,
    WallMet,
    WireRow,
)
from survey_app.site.network import Camera, Device, Wire
from survey_app.site.record import Record
from survey_app.site.site import Design

__all__ = ["KINDS", "Kin", "Subject"]

_R = TypeVar("_R", bound=Record)

KINDS: Mapping[str, tuple[str, str]] = {
    "radio": ("radios", "id"),
    "hop": ("hops", "id"),
    "cell": ("cells", "id"),
    "area": ("areas", "id"),
    "camera": ("cameras", "id"),
    "route": ("routes", "camera"),
    "mount": ("mounts", "id"),
    "wire": ("wires", "id"),
    "supply": ("supplies", "id"),
    "head end": ("head_ends", "id"),
    "failure": ("failures", "subject"),
    "climb": ("climbs", "id"),
    "tally": ("tally", "item"),
    "finding": ("findings", "id"),
}
"""Kinds of rows in the order in which an id is looked up: collection, and the field that names a row."""


@dataclass(frozen=True, slots=True)
class Subject:
    """A row, or a part of one, whose numbers can be asked for.

    Parameters
    ----------
    kind, id : str
        The row: one of `KINDS` or `site`, and its name.
    slot : str
        The part of the row, such as `ends.station`; empty = the row itself.
    row : Record
        The record.
    parent : Subject or None
        What it is a part of.
    """

    kind: str
    id: str
    slot: str
    row: Record
    parent: Subject | None = None

    @property
    def name(self) -> str:
        """How people call it."""
        head = "site" if self.kind == "site" else f"{self.kind} {self.id}"
        return f"{head}, {self.slot}" if self.slot else head

    @property
    def field(self) -> str:
        """The field of the parent that holds it."""
        return self.slot.rpartition(".")[2].partition("[")[0]

    def part(self, field: str, number: int | None = None) -> Subject:
        """Return a part of this row: the record in a field, or the record at a place of a field."""
        value: Any = getattr(self.row, field)
        step = field if number is None else f"{field}[{number}]"
        row = value if number is None else value[number]
        return Subject(self.kind, self.id, f"{self.slot}.{step}" if self.slot else step, row, self)

    def within(self, kind: type[_R]) -> Subject | None:
        """Return the nearest row of a kind that this is a part of."""
        here: Subject | None = self
        while here is not None and not isinstance(here.row, kind):
            here = here.parent
        return here


@dataclass(frozen=True)
class Kin:
    """The rows of one assessment with their relations, and the design behind them.

    Parameters
    ----------
    design : Design
        What was assessed.
    assessment : Assessment
        What came out.
    """

    design: Design
    assessment: Assessment

    @cached_property
    def tops(self) -> Mapping[tuple[str, str], Subject]:
        """Every row by kind and name."""
        found = {("site", "site"): Subject("site", "site", "", self.assessment.north)}
        for kind, (collection, key) in KINDS.items():
            for row in getattr(self.assessment, collection):
                name = str(getattr(row, key))
                found[(kind, name)] = Subject(kind, name, "", row)
        return found

    @cached_property
    def _devices(self) -> Mapping[str, Device]:
        return {device.id: device for device in self.design.devices}

    @cached_property
    def _wires(self) -> Mapping[str, Wire]:
        return {wire.id: wire for wire in self.design.wires}

    def of(self, kind: str, names: Iterable[str | None]) -> tuple[Subject, ...]:
        """Return the rows of a kind that have these names; names without a row are left out."""
        found = (self.tops.get((kind, name)) for name in names if name is not None)
        return tuple(subject for subject in found if subject is not None)

    def relatives(self, subject: Subject, name: str) -> tuple[Subject | Record, ...] | None:
        """Return what a name means at a row: rows, or records of the design; None where it is no such name."""
        if name == "north":
            return (self.tops[("site", "site")],)
        known = _RELATIVES.get(type(subject.row), {}).get(name)
        return None if known is None else known(self, subject)

    def fed_by(self, feeder: str) -> tuple[Subject, ...]:
        """Return the supplies of what hangs directly on a feeder."""
        return tuple(
            top
            for (kind, name), top in self.tops.items()
            if kind == "supply"
            and name != feeder
            and isinstance(top.row, SupplyRow)
            and self.feeder_of(top.row) == feeder
        )

    @staticmethod
    def feeder_of(row: SupplyRow) -> str | None:
        """Return what a fed thing hangs on directly."""
        things = [link.id for link in row.chain if link.kind != "wire" and link.id != row.id]
        return things[-1] if things else None

    def device(self, name: str | None) -> tuple[Device, ...]:
        """Return a device of the design."""
        found = self._devices.get(name or "")
        return (found,) if found is not None else ()

    def boxed_with(self, name: str | None) -> tuple[Device, ...]:
        """Return the devices that share a device's box, itself included; itself alone where it is in none."""
        here = self._devices.get(name or "")
        if here is None:
            return ()
        if here.enclosure is None:
            return (here,)
        place = (here.enclosure, here.mount, here.structure, here.position)
        return tuple(d for d in self._devices.values() if (d.enclosure, d.mount, d.structure, d.position) == place)

    def behind_box(self, name: str | None) -> tuple[Subject, ...]:
        """Return the supplies of everything that the devices of a box feed."""
        return tuple(fed for device in self.boxed_with(name) for fed in self.fed_by(device.id))

    def taker(self, wire_id: str) -> tuple[Subject, ...]:
        """Return the supply of what a wire feeds."""
        wire = self._wires.get(wire_id)
        if wire is None or wire.power == "none":
            return ()
        return self.of("supply", [wire.b.thing if wire.power == "a_to_b" else wire.a.thing])

    def fed_camera(self, wire_id: str) -> tuple[Subject, ...]:
        """Return the camera that a wire feeds."""
        wire = self._wires.get(wire_id)
        if wire is None or wire.power == "none":
            return ()
        return self.of("camera", [wire.b.thing if wire.power == "a_to_b" else wire.a.thing])

    def giver(self, thing: str) -> tuple[Device, ...]:
        """Return the device that feeds a thing over a wire."""
        givers = (w.a.thing if w.power == "a_to_b" else w.b.thing for w in self._feeding_wires(thing))
        return tuple(device for key in givers for device in self.device(key))

    def feeding_wires(self, thing: str) -> tuple[Subject, ...]:
        """Return the wires that feed a thing."""
        return self.of("wire", [wire.id for wire in self._feeding_wires(thing)])

    def _feeding_wires(self, thing: str) -> tuple[Wire, ...]:
        return tuple(
            wire
            for wire in self._wires.values()
            if (wire.power == "a_to_b" and wire.b.thing == thing) or (wire.power == "b_to_a" and wire.a.thing == thing)
        )

    def analogue_behind(self, feeder: str) -> tuple[Camera, ...]:
        """Return the analogue cameras that a device feeds: they have no supply of their own."""
        return tuple(
            camera
            for camera in self.design.cameras
            if camera.analogue and feeder in {device.id for device in self.giver(camera.id)}
        )

    def beside(self, row: SupplyRow) -> tuple[Subject, ...]:
        """Return the supplies of what hangs on the same feeder."""
        feeder = self.feeder_of(row)
        return () if feeder is None else tuple(fed for fed in self.fed_by(feeder) if fed.id != row.id)

    def joined(self, wire_id: str) -> tuple[Record, ...]:
        """Return the things of the design at both ends of a wire."""
        wire = self._wires.get(wire_id)
        if wire is None:
            return ()
        devices = {head_end.id: head_end.device for head_end in self.design.head_ends}
        ends = {devices.get(end.thing, end.thing) for end in (wire.a, wire.b)}
        holders: list[Any] = [*self.design.radios, *self.design.cameras, *self.design.devices]
        return tuple(item for item in holders if item.id in ends)

    def leads_to(self, leg: Leg) -> tuple[Record, ...]:
        """Return the device to which a wire of a route leads."""
        wire = self._wires.get(leg.id) if leg.kind == "wire" else None
        return () if wire is None else self.device(wire.b.thing if leg.direction == "a_to_b" else wire.a.thing)

    def feeders(self, row: SupplyRow) -> tuple[Record, ...]:
        """Return the devices of a chain, the fed thing itself left out."""
        return tuple(self._devices[link.id] for link in row.chain if link.id in self._devices and link.id != row.id)

    def crossing(self, leg: Leg) -> tuple[Subject, ...]:
        """Return the cameras whose video crosses a leg, whichever way."""
        return self.of("camera", [r.camera for r in self.assessment.routes if any(x.id == leg.id for x in r.legs)])


_Find = Callable[[Kin, Subject], tuple[Subject | Record, ...]]


def _hop_of(subject: Subject) -> Subject:
    found = subject.within(HopRow)
    assert found is not None  # ends and directions only exist inside hops
    return found


def _end(subject: Subject, side: str) -> Subject:
    return _hop_of(subject).part("ends").part(side)


def _direction(subject: Subject, way: str) -> Subject:
    return _hop_of(subject).part("directions").part(way)


def _other(side: str) -> str:
    return "station" if side == "access_point" else "access_point"


def _all_radios(kin: Kin) -> tuple[Subject, ...]:
    return tuple(row for name, row in kin.tops.items() if name[0] == "radio")


def _radio_at(kin: Kin, end: Subject) -> tuple[Subject, ...]:
    return kin.of("radio", [end.row.radio]) if isinstance(end.row, HopEndRow) else ()


def _receiving_side(direction: Subject) -> str:
    return "access_point" if direction.field == "to_access_point" else "station"


def _ends_of_radio(kin: Kin, radio: RadioRow, *, far: bool) -> tuple[Subject, ...]:
    sides = []
    for hop in kin.of("hop", radio.hops):
        here = "access_point" if getattr(hop.row, "access_point", None) == radio.id else "station"
        sides.append(_end(hop, _other(here) if far else here))
    return tuple(sides)


def _directions_of_radio(kin: Kin, radio: RadioRow, *, sent: bool) -> tuple[Subject, ...]:
    found = []
    for hop in kin.of("hop", radio.hops):
        at_access_point = getattr(hop.row, "access_point", None) == radio.id
        found.append(_direction(hop, "to_station" if at_access_point == sent else "to_access_point"))
    return tuple(found)


def _records(items: Iterable[Any], ids: Iterable[str | None]) -> tuple[Record, ...]:
    wanted = set(ids)
    return tuple(item for item in items if item.id in wanted)


def _carried(kin: Kin, subject: Subject) -> tuple[Subject, ...]:
    """Cameras whose video crosses a hop, either way."""
    hop = _hop_of(subject).id
    crossing = [
        route.camera
        for route in kin.assessment.routes
        if any(leg.kind == "hop" and leg.id == hop for leg in route.legs)
    ]
    return kin.of("camera", crossing)


def _leads_to(hop: Subject, area: Subject) -> bool:
    """Return whether a hop is that of the station that moves about in an area."""
    return getattr(hop.row, "station", None) == getattr(area.row, "station", "")


def _radio(name: str) -> _Find:
    """Return a finder for the radio that a field of the row names."""
    return lambda kin, s: kin.of("radio", [getattr(s.row, name)])


def _mounts_of_wire(kin: Kin, subject: Subject) -> tuple[Subject, ...]:
    row = subject.row
    assert isinstance(row, WireRow)
    holders: list[Any] = [*kin.design.radios, *kin.design.cameras, *kin.design.devices]
    return kin.of("mount", [item.mount for item in holders if item.id in (row.a, row.b)])


def _supply(subject: Subject) -> SupplyRow:
    assert isinstance(subject.row, SupplyRow)
    return subject.row


def _failure(subject: Subject) -> FailureRow:
    assert isinstance(subject.row, FailureRow)
    return subject.row


def _fullest_hops(kin: Kin, subject: Subject) -> tuple[Subject, ...]:
    cells = kin.of("cell", [_failure(subject).fullest])
    return kin.of("hop", [hop for cell in cells for hop in getattr(cell.row, "hops", ())])


def _wires_of(kin: Kin, cameras: Iterable[Camera]) -> tuple[Subject, ...]:
    return tuple(wire for camera in cameras for wire in kin.feeding_wires(camera.id))


def _link(subject: Subject) -> SupplyLink:
    assert isinstance(subject.row, SupplyLink)
    return subject.row


_RELATIVES: Mapping[type[Record], Mapping[str, _Find]] = {
    NorthRow: {},
    MountRow: {"radios_here": lambda kin, s: kin.of("radio", getattr(s.row, "radios", ()))},
    FromLandmark: {"radio": lambda kin, s: kin.of("radio", [s.id])},
    RadioRow: {
        "mount": lambda kin, s: kin.of("mount", [getattr(s.row, "mount", None)]),
        "climb": lambda kin, s: kin.of("climb", [getattr(s.row, "climb", None)]),
        "cell": lambda kin, s: kin.of("cell", [getattr(s.row, "cell", None)]),
        "hops": lambda kin, s: kin.of("hop", getattr(s.row, "hops", ())),
        "far": lambda kin, s: kin.of("radio", getattr(s.row, "far_ends", ())),
        "others": lambda kin, _: _all_radios(kin),
        "ends": lambda kin, s: _ends_of_radio(kin, s.row, far=False) if isinstance(s.row, RadioRow) else (),
        "far_ends_here": lambda kin, s: _ends_of_radio(kin, s.row, far=True) if isinstance(s.row, RadioRow) else (),
        "sent": lambda kin, s: _directions_of_radio(kin, s.row, sent=True) if isinstance(s.row, RadioRow) else (),
        "heard": lambda kin, s: _directions_of_radio(kin, s.row, sent=False) if isinstance(s.row, RadioRow) else (),
        "supply": lambda kin, s: kin.of("supply", [s.id]),
        "feeding_wire": lambda kin, s: kin.feeding_wires(s.id),
        "site_radio": lambda kin, s: _records(kin.design.radios, [s.id]),
    },
    HopRow: {
        "access_point": _radio("access_point"),
        "station": _radio("station"),
        "cell": lambda kin, s: kin.of("cell", [getattr(s.row, "cell", None)]),
    },
    ObstacleRow: {
        "hop": lambda _, s: (_hop_of(s),),
        "access_point": lambda kin, s: kin.of("radio", [getattr(_hop_of(s).row, "access_point", None)]),
        "station": lambda kin, s: kin.of("radio", [getattr(_hop_of(s).row, "station", None)]),
    },
    WallMet: {
        "hop": lambda _, s: (_hop_of(s),),
        "access_point": lambda kin, s: kin.of("radio", [getattr(_hop_of(s).row, "access_point", None)]),
        "station": lambda kin, s: kin.of("radio", [getattr(_hop_of(s).row, "station", None)]),
    },
    HopEndRow: {
        "hop": lambda _, s: (_hop_of(s),),
        "radio": lambda kin, s: _radio_at(kin, s),
        "far": lambda _, s: (_end(s, _other(s.field)),),
        "far_radio": lambda kin, s: _radio_at(kin, _end(s, _other(s.field))),
    },
    ReadingWindow: {"end": lambda _, s: (s.parent,) if s.parent is not None else ()},
    DirectionRow: {
        "hop": lambda _, s: (_hop_of(s),),
        "at": lambda _, s: (_end(s, _receiving_side(s)),),
        "from_end": lambda _, s: (_end(s, _other(_receiving_side(s))),),
        "receiver": lambda kin, s: _radio_at(kin, _end(s, _receiving_side(s))),
        "sender": lambda kin, s: _radio_at(kin, _end(s, _other(_receiving_side(s)))),
        "cell": lambda kin, s: kin.of("cell", [getattr(_hop_of(s).row, "cell", None)]),
        "carried": _carried,
        "others": lambda kin, _: _all_radios(kin),
    },
    CellRow: {
        "others": lambda kin, s: kin.of("cell", getattr(s.row, "heard_cells", ())),
        "owner": _radio("access_point"),
        "hops": lambda kin, s: kin.of("hop", getattr(s.row, "hops", ())),
    },
    AreaRow: {
        "hop": lambda kin, s: tuple(hop for name, hop in kin.tops.items() if name[0] == "hop" and _leads_to(hop, s)),
        "joined": lambda kin, s: kin.of("radio", getattr(s.row, "access_points", ())),
        "moving": _radio("station"),
    },
    CameraRow: {
        "mount": lambda kin, s: kin.of("mount", [getattr(s.row, "mount", None)]),
        "supply": lambda kin, s: kin.of("supply", [s.id]),
        "feeding_wire": lambda kin, s: kin.feeding_wires(s.id),
        "wire_giver": lambda kin, s: kin.giver(s.id),
    },
    WireRow: {
        "ends_mounts": _mounts_of_wire,
        "fed": lambda kin, s: kin.taker(s.id),
        "fed_camera": lambda kin, s: kin.fed_camera(s.id),
        "protectors_here": lambda kin, _: tuple(item for item in kin.design.gear if item.kind == "protector"),
    },
    SupplyRow: {
        "radio": lambda kin, s: kin.of("radio", [s.id]),
        "camera": lambda kin, s: kin.of("camera", [s.id]),
        "device": lambda kin, s: kin.device(s.id),
        "wires": lambda kin, s: kin.of("wire", [link.id for link in _supply(s).chain if link.kind == "wire"]),
        "behind": lambda kin, s: kin.fed_by(s.id),
        "analogue": lambda kin, s: kin.analogue_behind(s.id),
        "analogue_wires": lambda kin, s: _wires_of(kin, kin.analogue_behind(s.id)),
        "beside": lambda kin, s: kin.beside(_supply(s)),
        "beside_radios": lambda kin, s: kin.of("radio", [fed.id for fed in kin.beside(_supply(s))]),
        "beside_cameras": lambda kin, s: kin.of("camera", [fed.id for fed in kin.beside(_supply(s))]),
        "beside_devices": lambda kin, s: tuple(d for fed in kin.beside(_supply(s)) for d in kin.device(fed.id)),
        "feeders": lambda kin, s: kin.feeders(_supply(s)),
        "feeding_radios": lambda kin, s: kin.of(
            "radio", [link.id for link in _supply(s).chain if link.kind == "radio" and link.id != s.id]
        ),
        "feeder": lambda kin, s: kin.device(kin.feeder_of(_supply(s))),
        "box": lambda kin, s: kin.boxed_with(kin.feeder_of(_supply(s))),
        "box_behind": lambda kin, s: kin.behind_box(kin.feeder_of(_supply(s))),
        "feeder_radio": lambda kin, s: kin.of("radio", [kin.feeder_of(_supply(s))]),
    },
    SupplyLink: {
        "own": lambda kin, s: (*kin.of("supply", [_link(s).id]), *kin.taker(_link(s).id)),
        "fed_by_wire": lambda kin, s: kin.taker(_link(s).id),
        "behind": lambda kin, s: kin.fed_by(_link(s).id),
        "analogue": lambda kin, s: kin.analogue_behind(_link(s).id),
        "analogue_wires": lambda kin, s: _wires_of(kin, kin.analogue_behind(_link(s).id)),
        "device": lambda kin, s: kin.device(_link(s).id),
        "radio": lambda kin, s: kin.of("radio", [_link(s).id]),
        "box": lambda kin, s: kin.boxed_with(_link(s).id),
        "box_behind": lambda kin, s: kin.behind_box(_link(s).id),
    },
    RouteRow: {"of_camera": lambda kin, s: kin.of("camera", [s.id])},
    Leg: {
        "hop": lambda kin, s: kin.of("hop", [getattr(s.row, "id", None)]),
        "wire": lambda kin, s: kin.of("wire", [getattr(s.row, "id", None)]),
        "crossing": lambda kin, s: kin.crossing(s.row) if isinstance(s.row, Leg) else (),
        "joined": lambda kin, s: kin.joined(getattr(s.row, "id", "")) if getattr(s.row, "kind", "") == "wire" else (),
        "next_device": lambda kin, s: kin.leads_to(s.row) if isinstance(s.row, Leg) else (),
    },
    FailureRow: {
        "dark_cameras": lambda kin, s: kin.of("camera", _failure(s).dark),
        "felt": lambda kin, s: kin.of("camera", (*_failure(s).dark, *_failure(s).moved)),
        "fullest_cell": lambda kin, s: kin.of("cell", [_failure(s).fullest]),
        "fullest_hops": _fullest_hops,
    },
    HeadEndRow: {
        "arriving": lambda kin, s: kin.of("route", getattr(s.row, "cameras", ())),
        "seen": lambda kin, s: kin.of("camera", getattr(s.row, "cameras", ())),
        "device_record": lambda kin, s: kin.device(getattr(s.row, "device", None)),
    },
    ClimbRow: {"mounts": lambda kin, s: kin.of("mount", getattr(s.row, "mounts", ()))},
    TallyRow: {},
}
"""By kind of row: what each name leads to."""
