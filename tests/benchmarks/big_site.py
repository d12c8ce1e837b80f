"""A large invented site for the benchmarks: sectors with panels round them, every figure from a seed."""

from __future__ import annotations

import datetime
import math
import random

from survey_app.gear.catalogue import load_catalogue
from survey_app.site.mount import Mount
from survey_app.site.network import Camera, Device, HeadEnd, Wire, WireEnd
from survey_app.site.place import Anchor, PlanePoint, PolePlace
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Design, Plane, Site
from survey_app.site.structure import Building, Pole

__all__ = ["big_site", "drawn_site"]

_SECTOR, _PANEL, _CAMERA, _RECORDER = "clove-s20", "bowline-p16", "lens-b4", "logbook-16"


def big_site(cells: int, stations: int, seed: int = 1) -> Site:
    """Return a site of `cells` sectors with `stations` panels each, one camera behind every panel."""
    rnd = random.Random(seed)
    things: dict[str, list] = {
        key: [] for key in ("structures", "mounts", "radios", "hops", "cameras", "wires", "devices")
    }
    things["devices"].append(Device(id="recorder", gear=_RECORDER, position=PlanePoint(x_m=0.0, y_m=0.0)))

    def upright(key: str, x_m: float, y_m: float, height_m: float, **radio: object) -> None:
        things["structures"].append(
            Pole(kind="pole", id=f"pole-{key}", position=PlanePoint(x_m=x_m, y_m=y_m), height_m=height_m + 0.5)
        )
        things["mounts"].append(
            Mount(id=f"mount-{key}", structure=f"pole-{key}", place=PolePlace(kind="pole"), height_m=height_m)
        )
        things["radios"].append(Radio(id=f"radio-{key}", mount=f"mount-{key}", **radio))  # type: ignore[arg-type]

    for cell in range(cells):
        x_m, y_m = (cell % 20) * 600.0, (cell // 20) * 600.0
        upright(f"a{cell}", x_m, y_m, 14.0, role="access_point", gear=_SECTOR, channel=149, width_mhz=20)
        things["wires"].append(
            Wire(id=f"up-{cell}", a=WireEnd(thing=f"radio-a{cell}"), b=WireEnd(thing="recorder"), length_m=20.0)
        )
        for n in range(stations):
            turn, distance = math.radians(rnd.uniform(-40.0, 40.0)), rnd.uniform(50.0, 400.0)
            key = f"s{cell}-{n}"
            place = (x_m + distance * math.sin(turn), y_m + distance * math.cos(turn))
            upright(key, *place, 5.0 + 3.0 * rnd.random(), role="station", gear=_PANEL)
            things["hops"].append(Hop(id=f"hop-{key}", access_point=f"radio-a{cell}", station=f"radio-{key}"))
            things["cameras"].append(Camera(id=f"camera-{key}", gear=_CAMERA, mount=f"mount-{key}"))
            things["wires"].append(
                Wire(id=f"wire-{key}", a=WireEnd(thing=f"camera-{key}"), b=WireEnd(thing=f"radio-{key}"), length_m=3.0)
            )
    catalogue = load_catalogue()
    used = tuple(catalogue.find(key) for key in (_SECTOR, _PANEL, _CAMERA, _RECORDER))
    return Site(
        design=Design(
            name="Benchmark yard",
            as_of=datetime.date(2026, 12, 1),
            invented=True,
            region="US",
            country="US",
            plane=Plane(anchor=Anchor(lat_deg=43.55, lon_deg=-69.6)),
            gear=used,
            head_ends=(HeadEnd(id="head-end", device="recorder"),),
            **{key: tuple(rows) for key, rows in things.items()},  # type: ignore[arg-type]
        )
    )


def drawn_site(cells: int, outlines: int, pitch_m: float = 100.0, seed: int = 1) -> Site:
    """Return a site to draw: so many sectors with one station each, and buildings of all heights among them."""
    rnd = random.Random(seed)
    columns = math.ceil(math.sqrt(cells * 1.8))
    structures: list = []
    mounts: list[Mount] = []
    radios: list[Radio] = []
    hops: list[Hop] = []
    cameras: list[Camera] = []
    wires: list[Wire] = []

    def upright(key: str, x_m: float, y_m: float, height_m: float, **radio: object) -> None:
        position = PlanePoint(x_m=x_m, y_m=y_m)
        structures.append(Pole(kind="pole", id=f"pole-{key}", position=position, height_m=height_m + 0.5))
        mounts.append(
            Mount(id=f"mount-{key}", structure=f"pole-{key}", place=PolePlace(kind="pole"), height_m=height_m)
        )
        radios.append(Radio(id=key, mount=f"mount-{key}", **radio))  # type: ignore[arg-type]

    for cell in range(cells):
        x_m, y_m = (cell % columns) * pitch_m, (cell // columns) * pitch_m
        upright(f"A{cell}", x_m, y_m, 14.0, role="access_point", gear=_SECTOR, channel=149, width_mhz=20)
        turn, distance = rnd.uniform(0.0, 2.0 * math.pi), rnd.uniform(0.5, 1.2) * pitch_m
        spot = (x_m + distance * math.sin(turn), y_m + distance * math.cos(turn))
        upright(f"S{cell}", *spot, 6.0, role="station", gear=_PANEL)
        hops.append(Hop(id=f"H{cell}", access_point=f"A{cell}", station=f"S{cell}"))
        cameras.append(Camera(id=f"C{cell}", gear=_CAMERA, mount=f"mount-S{cell}"))
        ends = (WireEnd(thing=f"C{cell}"), WireEnd(thing=f"S{cell}"))
        wires.append(Wire(id=f"W{cell}", a=ends[0], b=ends[1], length_m=3.0))
        up = WireEnd(thing=f"A{cell}"), WireEnd(thing="recorder")
        wires.append(Wire(id=f"U{cell}", a=up[0], b=up[1], length_m=20.0))
    for n in range(outlines):
        corner = (rnd.uniform(0.0, columns * pitch_m), rnd.uniform(0.0, math.ceil(cells / columns) * pitch_m))
        structures.append(_building(f"b{n}", corner, rnd))
    catalogue = load_catalogue()
    return Site(
        design=Design(
            name="Benchmark town",
            as_of=datetime.date(2026, 12, 1),
            invented=True,
            region="US",
            country="US",
            plane=Plane(anchor=Anchor(lat_deg=43.55, lon_deg=-69.6)),
            gear=tuple(catalogue.find(key) for key in (_SECTOR, _PANEL, _CAMERA, _RECORDER)),
            devices=(Device(id="recorder", gear=_RECORDER, position=PlanePoint(x_m=0.0, y_m=0.0)),),
            head_ends=(HeadEnd(id="head-end", device="recorder"),),
            cameras=tuple(cameras),
            wires=tuple(wires),
            structures=tuple(structures),
            mounts=tuple(mounts),
            radios=tuple(radios),
            hops=tuple(hops),
        )
    )


def _building(key: str, corner: tuple[float, float], rnd: random.Random) -> Building:
    turn, long_m, wide_m = rnd.uniform(0.0, math.pi), rnd.uniform(15.0, 50.0), rnd.uniform(10.0, 30.0)
    cos, sin = math.cos(turn), math.sin(turn)
    return Building(
        kind="building",
        id=key,
        eaves_height_m=rnd.uniform(3.0, 15.0),
        outline=tuple(
            PlanePoint(x_m=corner[0] + u * cos - v * sin, y_m=corner[1] + u * sin + v * cos)
            for u, v in ((0.0, 0.0), (long_m, 0.0), (long_m, wide_m), (0.0, wide_m))
        ),
    )
