"""Draws small sites from the catalogue: structures, mounts with permissions, radios with their supply, evidence."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Iterable
from typing import Any

from survey_app.gear import load_catalogue
from survey_app.gear.catalogue import Catalogue
from survey_app.site.evidence import Evidence, Scan, ScanRow, Sight
from survey_app.site.mount import Climb, Mount, Pipe
from survey_app.site.network import Camera, CameraTarget, Device, HeadEnd, Stream, Supply, Wire, WireEnd
from survey_app.site.place import Anchor, EdgePlace, HeightKnown, PlanePoint, PolePlace
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Defaults, Design, Landmark, Plane, Site
from survey_app.site.structure import Building, Mast, Pole
from survey_app.site.thing import Permission

__all__ = ["AS_OF", "Plot", "catalogue", "one_hop", "sector"]

AS_OF = datetime.date(2026, 12, 1)
WALK = datetime.datetime(2026, 11, 20, 10, 0, tzinfo=datetime.UTC)
TAPE = HeightKnown(how="tape")
GRANTED = Permission(state="granted", on=datetime.date(2026, 11, 1), by="the owner")
OFFICE_TUBE = Pipe(diameter_mm=60.3, measured=True)


@functools.cache
def catalogue() -> Catalogue:
    """Return the catalogue that travels with the program, read once."""
    return load_catalogue()


class Plot:
    """A site in the making: things go in by plain words, `site()` returns the record.

    Every mount is measured and granted, every hop was seen with a lamp, every access point's channel was listened to,
    unless told otherwise; a fault is then one thing that differs.
    """

    def __init__(
        self,
        region: str | None = "US",
        country: str | None = "US",
        anchor: Anchor | None = Anchor(lat_deg=43.55, lon_deg=-69.6),  # noqa: B008 - a frozen record
        as_of: datetime.date = AS_OF,
    ) -> None:
        self.fields: dict[str, Any] = {
            "region": region,
            "country": country,
            "plane": Plane(anchor=anchor),
            "as_of": as_of,
        }
        self.defaults: dict[str, Any] = {}
        self.rows: dict[str, list[Any]] = {}
        self.evidence: dict[str, list[Any]] = {}
        self.more_gear: list[Any] = []

    def add(self, collection: str, thing: Any) -> Any:
        """Add a thing to a collection of the design."""
        self.rows.setdefault(collection, []).append(thing)
        return thing

    def note(self, collection: str, row: Any) -> None:
        """Add a row of evidence."""
        self.evidence.setdefault(collection, []).append(row)

    def set(self, collection: str, thing_id: str, **more: Any) -> None:
        """Change fields of a thing that is drawn already."""
        rows = self.rows[collection]
        number = next(n for n, row in enumerate(rows) if row.id == thing_id)
        rows[number] = type(rows[number])(**{**rows[number].__dict__, **more})

    def drop(self, collection: str, *ids: str) -> None:
        """Take things out again."""
        self.rows[collection] = [row for row in self.rows[collection] if row.id not in ids]

    # --- what stands there ---------------------------------------------------------------------------------------

    def office(self, key: str = "office", x: float = 0.0, y: float = 0.0, eaves: float = 5.0, **more: Any) -> None:
        """Add a building of 20 m by 12 m with its lower left corner at a point."""
        corners = ((x, y), (x + 20.0, y), (x + 20.0, y + 12.0), (x, y + 12.0))
        outline = tuple(PlanePoint(x_m=a, y_m=b) for a, b in corners)
        fields: dict[str, Any] = {"eaves_height_m": eaves, "height_known": TAPE, "wall": "brick", **more}
        self.add("structures", Building(id=key, kind="building", outline=outline, **fields))

    def pole(self, key: str, x: float, y: float, height: float = 6.0, diameter: float = 76.0, **more: Any) -> None:
        """Add a pole."""
        fields: dict[str, Any] = {"diameter_top_mm": diameter, "diameter_foot_mm": diameter, "height_known": TAPE}
        position = PlanePoint(x_m=x, y_m=y)
        self.add("structures", Pole(id=key, kind="pole", position=position, height_m=height, **{**fields, **more}))

    def mast(self, key: str, x: float, y: float, height: float = 3.0, **more: Any) -> None:
        """Add a mast."""
        fields: dict[str, Any] = {"diameter_top_mm": 60.3, "diameter_foot_mm": 60.3, "height_known": TAPE, **more}
        position = PlanePoint(x_m=x, y_m=y)
        self.add("structures", Mast(id=key, kind="mast", position=position, height_m=height, **fields))

    def mount(self, key: str, structure: str, height: float = 5.0, **more: Any) -> None:
        """Add a mount on a pole or mast, measured and granted, with a ladder to it."""
        fields: dict[str, Any] = {
            "place": PolePlace(kind="pole"),
            "height_known": TAPE,
            "owner": "the owner",
            "permission": GRANTED,
            "climb": f"climb-{key}",
            "no_overhead_line": True,
            **more,
        }
        self.add("mounts", Mount(id=key, structure=structure, height_m=height, **fields))
        if fields["climb"] == f"climb-{key}":
            self.add(
                "climbs", Climb(id=f"climb-{key}", way="ladder", reach_m=max(height, 0.0) + 0.5, key="none needed")
            )

    def wall_mount(
        self, key: str, structure: str, edge: int, along: float, over_eaves: float = 1.0, **more: Any
    ) -> None:
        """Add a mount on a tube that rises over the eaves of a wall."""
        place = EdgePlace(kind="edge", edge=edge, along_m=along)
        fields: dict[str, Any] = {
            "place": place,
            "height_reference": "eaves",
            "pipe": OFFICE_TUBE,
            "arm": "arm-300",
            **more,
        }
        self.mount(key, structure, over_eaves, **fields)

    def landmark(self, key: str, x: float, y: float, **more: Any) -> None:
        """Add a landmark."""
        self.add("landmarks", Landmark(id=key, position=PlanePoint(x_m=x, y_m=y), **more))

    # --- radios --------------------------------------------------------------------------------------------------

    def access_point(self, key: str, mount: str, gear: str, channel: int | None, **more: Any) -> None:
        """Add an access point, and a quiet scan of its channel at its mount."""
        self.add("radios", Radio(id=key, role="access_point", gear=gear, mount=mount, channel=channel, **more))
        if channel is not None:
            quiet = ScanRow(channel=channel, level_dbm=-92.0, busy_percent=4.0)
            self.note("scans", Scan(at=WALK, by="walker", mount=mount, rows=(quiet,)))

    def station(self, key: str, mount: str, gear: str, access_point: str, **more: Any) -> None:
        """Add a station with its hop, seen with a lamp; the hop's id is `H-` and the station's."""
        self.add("radios", Radio(id=key, role="station", gear=gear, mount=mount, **more))
        self.hop(f"H-{key}", access_point, key)

    def hop(self, key: str, access_point: str, station: str, **more: Any) -> None:
        """Add a hop, seen with a lamp."""
        self.add("hops", Hop(id=key, access_point=access_point, station=station, **more))
        self.note("sights", Sight(at=WALK, by="walker", hop=key, result="seen_with_lamp"))

    # --- supply and network --------------------------------------------------------------------------------------

    def wire(self, key: str, a: str, b: str, power: str = "none", length: float = 10.0, **more: Any) -> None:
        """Add a wire; indoors and without a type where it is short."""
        short: dict[str, Any] = {"outdoors": False, "protectors": "none"} if length < 3.0 else {"gear": "line-24s"}
        ends = {"a": WireEnd(thing=a), "b": WireEnd(thing=b)}
        self.add("wires", Wire(id=key, power=power, length_m=length, **ends, **{**short, **more}))

    def head_end(self, structure: str = "office", **more: Any) -> None:
        """Add board, recorder and switch in a building."""
        self.add("supplies", Supply(id="board", kind="mains", structure=structure, status="existing"))
        for key, gear in (("recorder", "logbook-16"), ("core", "hitch-8")):
            self.add("devices", Device(id=key, gear=gear, structure=structure, fed_from="board"))
        self.wire("p-recorder", "core", "recorder", length=2.0)
        self.add("head_ends", HeadEnd(id="home", device="recorder", **{"days_wanted_days": 7.0, **more}))

    def feed_indoors(self, radio: str, gear: str, structure: str = "office", **more: Any) -> None:
        """Feed a radio from the core switch, through an injector where it takes 24 V."""
        if _passive(gear):
            self.add("devices", Device(id=f"plug-{radio}", gear="plug-24", structure=structure, fed_from="board"))
            self.wire(f"p-{radio}", "core", f"plug-{radio}", length=2.0)
            self.wire(f"w-{radio}", f"plug-{radio}", radio, "a_to_b", **more)
        else:
            self.wire(f"w-{radio}", "core", radio, "a_to_b", **more)

    def cabinet(self, mount: str, structure: str, radio: str, gear: str) -> None:
        """Add a board with a cabinet at a mount, and feed its radio from it."""
        self.add("supplies", Supply(id=f"board-{mount}", kind="mains", structure=structure, status="existing"))
        boxed = {"mount": mount, "environment": "outdoors", "enclosure": "coffer-50"}
        self.add("devices", Device(id=f"feed-{mount}", gear="feed-54", fed_from=f"board-{mount}", **boxed))
        self.add("devices", Device(id=f"hitch-{mount}", gear="hitch-5", fed_from=f"feed-{mount}", **boxed))
        giver = f"hitch-{mount}"
        if _passive(gear):
            giver = f"tap-{radio}"
            self.add("devices", Device(id=giver, gear="tap-54-24", **boxed))
            self.wire(f"p-{radio}", f"hitch-{mount}", giver, "a_to_b", length=0.5)
        self.wire(f"w-{radio}", giver, radio, "a_to_b", length=4.0)

    def camera(self, key: str, mount: str, **more: Any) -> None:
        """Add a camera that shows what it is there for, fed from the cabinet of its mount."""
        fields: dict[str, Any] = {
            "height_m": 3.5,
            "purpose": "detect",
            "stream": Stream(rate_mbps=4.0),
            "edge_recording_hours": 24.0,
            **more,
        }
        self.add("cameras", Camera(id=key, gear="lens-b4", mount=mount, **fields))
        self.wire(f"w-{key}", f"hitch-{mount}", key, "a_to_b", length=4.0)

    def aimed_camera(self, key: str, mount: str, x: float, y: float, width: float, **more: Any) -> None:
        """Add a camera with a target."""
        self.camera(key, mount, target=CameraTarget(position=PlanePoint(x_m=x, y_m=y), width_m=width), **more)

    # --- the record ----------------------------------------------------------------------------------------------

    def gear_ids(self) -> set[str]:
        """Return the catalogue types that the things name, and every clamp, arm and sundry."""
        ids = {item.id for kind in ("clamp", "arm", "sundry", "protector") for item in catalogue().of_kind(kind)}
        for rows in self.rows.values():
            for row in rows:
                for name in ("gear", "antenna", "feeder", "enclosure", "bracket", "arm", "battery", "panel"):
                    ids.update([value] if (value := getattr(row, name, None)) else [])
        return ids

    def site(self) -> Site:
        """Return the site as drawn."""
        own = {item.id: item for item in self.more_gear}
        gear = (*catalogue().copies_for(key for key in self.gear_ids() if key not in own), *own.values())
        rows: dict[str, Iterable[Any]] = {name: tuple(things) for name, things in self.rows.items()}
        design = Design(name="Plot", gear=gear, defaults=Defaults(**self.defaults), **self.fields, **rows)
        evidence = Evidence(**{name: tuple(found) for name, found in self.evidence.items()})
        return Site(design=design, evidence=evidence)


def _passive(gear: str) -> bool:
    found = catalogue().find(gear)
    return found.kind == "radio" and all(one.scheme == "passive" for one in found.power_inputs)


def one_hop(
    *,
    distance: float = 120.0,
    gear: str = "bowline-p16",
    channel: int | None = 157,
    cameras: int = 2,
    ceiling: float | None = 14.0,
    **more: Any,
) -> Plot:
    """Return an office with the head end and one hop to a pole with cameras; nothing is wrong with it."""
    plot = Plot(**more)
    plot.office()
    plot.head_end()
    plot.wall_mount("m-office", "office", 1, 6.0)
    plot.pole("column", 20.3 + distance, 6.0)
    plot.mount("m-column", "column", 5.5)
    plot.landmark("tower", 900.0, 700.0)
    plot.access_point("A", "m-office", gear, channel, power_ceiling_dbm=ceiling)
    plot.station("S", "m-column", gear, "A", power_ceiling_dbm=ceiling)
    plot.feed_indoors("A", gear)
    plot.cabinet("m-column", "column", "S", gear)
    for number in range(1, cameras + 1):
        plot.camera(f"C{number}", "m-column")
    return plot


def sector(
    *bearings: float,
    distance: float = 120.0,
    gear: str = "clove-s20",
    station_gear: str = "bowline-p16",
    channel: int | None = 157,
    cameras: int = 1,
    ceiling: float | None = 9.0,
    station_ceiling: float | None = 12.0,
    **more: Any,
) -> Plot:
    """Return a hub on the office's east wall with a station and its cameras at each of these plan bearings."""
    import math

    plot = Plot(**more)
    plot.office()
    plot.head_end()
    plot.wall_mount("m-office", "office", 1, 6.0)
    plot.landmark("tower", 900.0, 700.0)
    plot.access_point("A", "m-office", gear, channel, power_ceiling_dbm=ceiling)
    plot.feed_indoors("A", gear)
    for number, bearing in enumerate(bearings, start=1):
        x = 20.3 + distance * math.sin(math.radians(bearing))
        y = 6.0 + distance * math.cos(math.radians(bearing))
        plot.pole(f"column{number}", x, y)
        plot.mount(f"m{number}", f"column{number}", 5.5)
        plot.station(f"S{number}", f"m{number}", station_gear, "A", power_ceiling_dbm=station_ceiling)
        plot.cabinet(f"m{number}", f"column{number}", f"S{number}", station_gear)
        for camera in range(1, cameras + 1):
            plot.camera(f"C{number}-{camera}", f"m{number}")
    return plot
