"""Places antennas of a demo site by hand, without the program's own geometry."""

from __future__ import annotations

import math

from survey_app.data import demo_sites_folder
from survey_app.site.file import read_site
from survey_app.site.place import EdgePlace, PlanePoint, PolePlace
from survey_app.site.site import Design
from survey_app.site.structure import Building

Point = tuple[float, float, float]


def files() -> list[str]:
    """Every site file of every demo, as `boatyard/site.json`."""
    folder = demo_sites_folder()
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.json"))


def design_of(file: str) -> Design:
    return read_site(demo_sites_folder() / file).design


def antenna(design: Design, mount_id: str) -> Point:
    """Wall edge plus stand-off, the pole's foot, or the point itself; height over the site datum."""
    mount = next(m for m in design.mounts if m.id == mount_id)
    structure = next(s for s in design.structures if s.id == mount.structure)
    place = mount.place
    if isinstance(place, EdgePlace):
        assert isinstance(structure, Building)
        first, second = (structure.outline * 2)[place.edge : place.edge + 2]
        assert isinstance(first, PlanePoint)
        assert isinstance(second, PlanePoint)
        dx, dy = second.x_m - first.x_m, second.y_m - first.y_m
        length = math.hypot(dx, dy)
        assert 0 <= place.along_m <= length
        # outlines of the demo sites run anticlockwise: outward is to the right of the edge
        x = first.x_m + dx / length * place.along_m + dy / length * place.stand_off_m
        y = first.y_m + dy / length * place.along_m - dx / length * place.stand_off_m
    else:
        assert not isinstance(place, PolePlace) or place.stand_off_m == 0
        spot = structure.position if isinstance(place, PolePlace) else place.position
        assert isinstance(spot, PlanePoint)
        x, y = spot.x_m, spot.y_m
    above = {"ground": 0.0, "datum": -(structure.base_m or 0.0)}
    if isinstance(structure, Building):
        above |= {"eaves": structure.eaves_height_m, "roof": structure.eaves_height_m}
    return x, y, (structure.base_m or 0.0) + above[mount.height_reference] + mount.height_m


def ends(design: Design, hop_id: str) -> tuple[Point, Point]:
    """Antennas of a hop: at its access point, at its station."""
    hop = next(h for h in design.hops if h.id == hop_id)
    mounts = {r.id: r.mount for r in design.radios}
    return antenna(design, mounts[hop.access_point]), antenna(design, mounts[hop.station])


def seen_from_access_point(design: Design, hop_id: str) -> tuple[float, float, float]:
    """Plan bearing, slant distance and tilt of a hop at its access point."""
    (x1, y1, z1), (x2, y2, z2) = ends(design, hop_id)
    ground = math.hypot(x2 - x1, y2 - y1)
    bearing = math.degrees(math.atan2(x2 - x1, y2 - y1)) % 360
    return bearing, math.hypot(ground, z2 - z1), math.degrees(math.atan2(z2 - z1, ground))
