"""Mounts, placed: heights over everything, what clamps there, how to find the foot with a tape."""

from __future__ import annotations

import math

import numpy as np

from survey_app.assess.job import Job
from survey_app.assess.record import MountRow
from survey_app.ground.place import Placed, Spot
from survey_app.site.gear_type import ClampType
from survey_app.site.mount import Mount
from survey_app.site.place import EdgePlace, HeightKnown
from survey_app.site.site import Defaults
from survey_app.site.structure import Building, Mast, Pole, Structure

__all__ = ["height_sigma_m", "mount_rows", "top_of"]

_SIGMAS = {
    "tape": "tape_sigma_m",
    "rangefinder": "rangefinder_sigma_m",
    "counted": "counted_sigma_m",
    "guessed": "guessed_sigma_m",
    "drawing": "drawing_sigma_m",
    "survey": "survey_sigma_m",
}


def height_sigma_m(known: HeightKnown, defaults: Defaults) -> float:
    """Return the standard deviation of a height: its own, or the site's for that way of measuring."""
    return known.sigma_m if known.sigma_m is not None else float(getattr(defaults, _SIGMAS[known.how]))


def top_of(structure: Structure | None) -> float | None:
    """Return the height of a structure's top over its foot: a building's eaves or ridge, an upright's tip."""
    if isinstance(structure, Building):
        ridge = structure.roof.ridge_height_m
        return structure.eaves_height_m + structure.roof.parapet_height_m if ridge is None else ridge
    return structure.height_m if isinstance(structure, Pole | Mast) else None


def _foot_tapes(mount: Mount, structure: Structure | None, placed: Placed) -> tuple[tuple[str, float], ...]:
    """Return two tape distances that find the place again: along the wall from either corner."""
    if not isinstance(mount.place, EdgePlace) or not isinstance(structure, Building):
        return ()
    corners = placed.outlines[structure.id]
    if np.isnan(corners).any():  # drawn by latitude and longitude on a plane without an anchor
        return ()
    here, there = corners[mount.place.edge], corners[(mount.place.edge + 1) % len(corners)]
    length = float(math.hypot(*(there - here)))
    middle = corners.mean(axis=0)
    rows = []
    for corner, tape in ((here, mount.place.along_m), (there, max(length - mount.place.along_m, 0.0))):
        rows.append((f"{_side(corner - middle)} corner of {structure.title}", tape))
    return tuple(rows)


def _side(offset: np.ndarray[tuple[int], np.dtype[np.float64]]) -> str:
    """Name the side of a corner in plan north words."""
    words = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
    return words[round(math.degrees(math.atan2(offset[0], offset[1])) / 45.0) % 8]


def _above_eaves(structure: Structure | None, spot: Spot) -> float | None:
    if isinstance(structure, Building):
        return spot.elevation_m - spot.foot_m - structure.eaves_height_m
    return None


def mount_rows(job: Job, placed: Placed, clamps: dict[str, ClampType | None]) -> tuple[MountRow, ...]:
    """Return one row per mount that has a place.

    Parameters
    ----------
    job, placed : Job, Placed
        The indexed site and its places.
    clamps : dict of str to ClampType or None
        Clamp of each mount.
    """
    radios: dict[str, list[str]] = {}
    for radio in job.radios.values():
        radios.setdefault(radio.mount, []).append(radio.id)
    cameras: dict[str, list[str]] = {}
    for camera in job.cameras.values():
        if camera.mount is not None:
            cameras.setdefault(camera.mount, []).append(camera.id)
    rows = []
    for mount in job.mounts.values():
        spot = placed.mounts.get(mount.id)
        if spot is None:
            continue
        structure = job.structures.get(mount.structure)
        top = top_of(structure)
        over_foot = spot.elevation_m - spot.foot_m
        clamp = clamps.get(mount.id)
        rows.append(
            MountRow(
                id=mount.id,
                name=mount.title,
                structure=mount.structure,
                structure_name=structure.title if structure is not None else mount.structure,
                structure_kind=structure.kind if structure is not None else "",
                x_m=spot.x_m,
                y_m=spot.y_m,
                lat_deg=spot.lat_deg,
                lon_deg=spot.lon_deg,
                elevation_m=spot.elevation_m,
                height_above_ground_m=over_foot,
                height_above_eaves_m=_above_eaves(structure, spot),
                below_top_m=top - over_foot if top is not None and isinstance(structure, Pole | Mast) else None,
                height_sigma_m=height_sigma_m(mount.height_known, job.defaults),
                position_sigma_m=mount.position_sigma_m,
                environment=mount.environment,
                permission=mount.permission.state,
                climb=mount.climb or mount.id,
                radios=tuple(sorted(radios.get(mount.id, ()))),
                cameras=tuple(sorted(cameras.get(mount.id, ()))),
                clamp=clamp.id if clamp is not None else None,
                clamp_range_mm=_clamp_range(clamp),
                pipe_mm=mount.pipe.diameter_mm if mount.pipe is not None else None,
                overhead_line_m=mount.overhead_line_m,
                foot_tapes=_foot_tapes(mount, structure, placed),
            )
        )
    return tuple(rows)


def _clamp_range(clamp: ClampType | None) -> tuple[float, float] | None:
    if clamp is None or clamp.body.pipe_min_mm is None or clamp.body.pipe_max_mm is None:
        return None
    return clamp.body.pipe_min_mm, clamp.body.pipe_max_mm
