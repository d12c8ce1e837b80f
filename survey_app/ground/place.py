"""Where the things of a site are: plane and geographic coordinates of each, heights over the site datum."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.along_run import stretch_of
from survey_app.ground.feet import feet
from survey_app.ground.plane import Plane, to_geographic, to_plane
from survey_app.ground.relief.of_design import surface_of
from survey_app.ground.relief.surface import Surface
from survey_app.site.mount import Mount
from survey_app.site.place import EdgePlace, GeoPoint, HeightReference, PolePlace, Position
from survey_app.site.site import Design, Site
from survey_app.site.structure import Building, Mast, Obstacle, OverheadLine, Pole, Structure, TreeStand

__all__ = ["Placed", "Point", "Spot", "place"]


class Point(NamedTuple):
    """A point of the plan; latitude and longitude are None without an anchor, unless they were written."""

    x_m: float
    y_m: float
    lat_deg: float | None
    lon_deg: float | None


class Spot(NamedTuple):
    """Where an antenna or a lens is: the point, the foot of what it hangs on and itself, both over the site datum."""

    x_m: float
    y_m: float
    lat_deg: float | None
    lon_deg: float | None
    foot_m: float
    elevation_m: float


@dataclass(frozen=True)
class Placed:
    """Everything of a site that has a place.

    Attributes
    ----------
    plane : Plane or None
        The anchored plane; None = plan north only.
    mounts : dict of str to Spot
        Mounts; one that names a missing structure or edge is left out.
    cameras : dict of str to Spot
        Cameras, on their mount or at their own position; one that has neither is left out.
    points : dict of str to Point
        Mounts, cameras, devices, supplies, landmarks, notes, the feet of poles and masts, the middles of openings.
    outlines : dict of str to ndarray of float, shape (corners, 2)
        Outlines and routes of structures, waters, zones, rooms, served areas, walls, wires in the plane. [m]
    feet_m : dict of str to float
        Foot of every structure over the site datum: as written, else on the relief; NaN where the relief does not say
        it. [m]
    ground : Surface
        The relief.
    """

    plane: Plane | None
    mounts: dict[str, Spot]
    cameras: dict[str, Spot]
    points: dict[str, Point]
    outlines: dict[str, FloatArray]
    feet_m: dict[str, float]
    ground: Surface


def place(site: Site) -> Placed:
    """Place everything of a site.

    Parameters
    ----------
    site : Site
        The document; a position stays as it was written, in metres of the plane or in degrees.

    Returns
    -------
    Placed
        Coordinates of both kinds. Without an anchor a position in degrees is NaN in the plane and keeps its degrees,
        and a position in metres has no latitude and longitude: None.

    Notes
    -----
    The plane's origin lies at the anchor. A mount on an edge stands off it square to the edge, away from the building
    whichever way its corners run; a mount on a pole stands off its axis, on the axis where its side is still open. A
    height over ``eaves`` or ``roof`` counts from the structure's own: the roof of a building is its ridge, or the
    eaves where it has none, that of anything else is its top. A camera on no mount stands on the relief.

    A structure whose foot has no height of its own stands on the relief, see `feet`; what hangs on it has no height
    (NaN) where the relief does not say one there.

    Examples
    --------
    >>> import datetime
    >>> place(Site(design=Design(name="Empty yard", as_of=datetime.date(2026, 12, 1)))).mounts
    {}
    """
    design = site.design
    anchor = design.plane.anchor
    plane = Plane(anchor.lat_deg, anchor.lon_deg, anchor.rotation_deg) if anchor else None
    outline_rows, point_rows = _outline_rows(design), _point_rows(design)
    on_plan = [m.place.position for m in design.mounts if not isinstance(m.place, EdgePlace | PolePlace)]
    plan = _plan_of(plane, [*(p for row in outline_rows.values() for p in row), *point_rows.values(), *on_plan])
    outlines = {key: np.array([plan[p] for p in row], dtype=np.float64) for key, row in outline_rows.items()}
    xy = {key: plan[position] for key, position in point_rows.items()}
    xy.update(_middles(design, outlines))
    written = {key: position for key, position in point_rows.items() if isinstance(position, GeoPoint)}

    ground = surface_of(design)
    feet_m = feet(design.structures, ground, outlines, xy)
    structures = {structure.id: structure for structure in design.structures}
    carrier = {mount.id: structures[mount.structure] for mount in design.mounts if mount.structure in structures}
    heights: dict[str, tuple[float, float]] = {}
    for mount in design.mounts:
        structure = carrier.get(mount.id)
        point = None if structure is None else _mount_point(mount, structure, outlines.get(structure.id), plan)
        if structure is None or point is None:
            continue
        xy[mount.id] = point
        heights[mount.id] = _over_datum(mount.height_m, mount.height_reference, structure, feet_m[structure.id])
        if not isinstance(mount.place, EdgePlace | PolePlace) and isinstance(mount.place.position, GeoPoint):
            written[mount.id] = mount.place.position
    for key, mount_id in _hung(design):
        if mount_id in heights:
            # what hangs on a mount is where the mount is, whatever else was written
            xy[key] = xy[mount_id]
            written.pop(key, None)
            if mount_id in written:
                written[key] = written[mount_id]

    points = _points(plane, xy, written)
    lens: dict[str, tuple[float, float]] = {}
    for camera in design.cameras:
        if camera.id in points:
            structure = carrier.get(camera.mount or "")
            at = points[camera.id]
            foot_m = feet_m[structure.id] if structure is not None else float(ground.heights_m(at.x_m, at.y_m))
            lens[camera.id] = _over_datum(camera.height_m, camera.height_reference, structure, foot_m)
    return Placed(
        plane=plane,
        mounts={key: Spot(*points[key], *pair) for key, pair in heights.items()},
        cameras={key: Spot(*points[key], *pair) for key, pair in lens.items()},
        points=points,
        outlines=outlines,
        feet_m=feet_m,
        ground=ground,
    )


def _middles(design: Design, outlines: Mapping[str, FloatArray]) -> Iterator[tuple[str, tuple[float, float]]]:
    """Yield the middle of each opening that lies on its wall."""
    for opening in design.openings:
        run = outlines.get(opening.wall)
        if run is None or not np.isfinite(run).all():
            continue
        part = stretch_of(run, opening.along_m - opening.width_m / 2.0, opening.along_m)
        if len(part):
            yield opening.id, (float(part[-1, 0]), float(part[-1, 1]))


def _hung(design: Design) -> Iterator[tuple[str, str]]:
    """Yield each camera and device that hangs on a mount, with the mount."""
    for camera in design.cameras:
        if camera.mount is not None:
            yield camera.id, camera.mount
    for device in design.devices:
        if device.mount is not None:
            yield device.id, device.mount


def _outline_rows(design: Design) -> dict[str, tuple[Position, ...]]:
    rows: dict[str, tuple[Position, ...]] = {}
    for structure in design.structures:
        if isinstance(structure, OverheadLine):
            rows[structure.id] = structure.route
        elif not isinstance(structure, Pole | Mast):
            rows[structure.id] = structure.outline
    rows.update({water.id: water.outline for water in design.waters})
    rows.update({zone.id: zone.outline for zone in design.zones})
    rows.update({room.id: room.outline for room in design.rooms})
    rows.update({area.id: area.outline for area in design.served_areas})
    rows.update({wall.id: wall.route for wall in design.walls})
    rows.update({wire.id: wire.route for wire in design.wires if wire.route})
    return rows


def _point_rows(design: Design) -> dict[str, Position]:
    rows: dict[str, Position] = {s.id: s.position for s in design.structures if isinstance(s, Pole | Mast)}
    rows.update({landmark.id: landmark.position for landmark in design.landmarks})
    rows.update({note.id: note.position for note in design.notes})
    rows.update({camera.id: camera.position for camera in design.cameras if camera.position is not None})
    rows.update({device.id: device.position for device in design.devices if device.position is not None})
    rows.update({supply.id: supply.position for supply in design.supplies if supply.position is not None})
    return rows


def _plan_of(plane: Plane | None, positions: Iterable[Position]) -> dict[Position, tuple[float, float]]:
    """Return the plane coordinates of each position, with one conversion for all that are in degrees."""
    known: dict[Position, tuple[float, float]] = {}
    degrees: list[GeoPoint] = []
    for position in dict.fromkeys(positions):
        if isinstance(position, GeoPoint):
            known[position] = (math.nan, math.nan)
            degrees.append(position)
        else:
            known[position] = (position.x_m, position.y_m)
    if degrees and plane is not None:
        x, y = to_plane(plane, [p.lat_deg for p in degrees], [p.lon_deg for p in degrees])
        known.update(zip(degrees, zip(x.tolist(), y.tolist(), strict=True), strict=True))
    return known


def _points(
    plane: Plane | None, xy: Mapping[str, tuple[float, float]], written: Mapping[str, GeoPoint]
) -> dict[str, Point]:
    """Return points in both kinds of coordinates; degrees that were written are kept to the last digit."""
    lat: list[float | None] = [None] * len(xy)
    lon: list[float | None] = [None] * len(xy)
    if plane is not None and xy:
        array = np.array(list(xy.values()), dtype=np.float64)
        lat_deg, lon_deg = to_geographic(plane, array[:, 0], array[:, 1])
        lat, lon = lat_deg.tolist(), lon_deg.tolist()
    points = {key: Point(*pair, a, o) for (key, pair), a, o in zip(xy.items(), lat, lon, strict=True)}
    for key, position in written.items():
        points[key] = Point(*xy[key], position.lat_deg, position.lon_deg)
    return points


def _mount_point(
    mount: Mount, structure: Structure, corners: FloatArray | None, plan: Mapping[Position, tuple[float, float]]
) -> tuple[float, float] | None:
    where = mount.place
    if isinstance(where, EdgePlace):
        if not isinstance(structure, Building) or corners is None or where.edge >= len(corners):
            return None
        return _off_edge(corners, where)
    if isinstance(where, PolePlace):
        if not isinstance(structure, Pole | Mast):
            return None
        x_m, y_m = plan[structure.position]
        if where.side_plan_deg is None:
            return x_m, y_m
        side = math.radians(where.side_plan_deg)
        return x_m + where.stand_off_m * math.sin(side), y_m + where.stand_off_m * math.cos(side)
    return plan[where.position]


def _off_edge(corners: FloatArray, where: EdgePlace) -> tuple[float, float] | None:
    """Return the point off an edge, or None where the edge has no length and so no direction."""
    here, there = corners[where.edge], corners[(where.edge + 1) % len(corners)]
    length_m = math.hypot(*(there - here))
    if length_m == 0:
        return None
    along = (there - here) / length_m
    # from the first corner, so that far from the origin the area keeps its digits
    x, y = (corners - corners[0]).T
    counter_clockwise = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) > 0
    outward = np.array([along[1], -along[0]]) * (1.0 if counter_clockwise else -1.0)
    point = here + along * where.along_m + outward * where.stand_off_m
    return float(point[0]), float(point[1])


def _over_datum(
    height_m: float, reference: HeightReference, structure: Structure | None, foot_m: float
) -> tuple[float, float]:
    """Return the foot and the thing itself over the site datum."""
    if reference == "datum":
        return foot_m, height_m
    if reference == "ground" or structure is None:
        return foot_m, foot_m + height_m
    return foot_m, foot_m + _top_m(structure, reference) + height_m


def _top_m(structure: Structure, reference: HeightReference) -> float:
    """Return the height of a structure's eaves or roof over its foot."""
    if isinstance(structure, Building):
        ridge_m = structure.roof.ridge_height_m
        return structure.eaves_height_m if reference == "eaves" or ridge_m is None else ridge_m
    if isinstance(structure, Pole | Mast | Obstacle):
        return structure.height_m
    if isinstance(structure, TreeStand):
        return structure.crown_top_m
    # nothing can hang from the top of a lane or of a wire
    return 0.0
