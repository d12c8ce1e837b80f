"""North at the site: declination with its model, date, spread and yearly change, or why there is none."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.job import Job
from survey_app.assess.nulls import number
from survey_app.assess.record import NorthRow
from survey_app.ground.grid import grid_convergence
from survey_app.ground.magnetic import declination
from survey_app.physics.arrays import FloatArray

__all__ = ["North", "north_at"]


@dataclass(frozen=True)
class North:
    """North for the site and for each radio.

    Attributes
    ----------
    row : NorthRow
        The site's own, at its anchor.
    declination_deg : ndarray of float, shape (radios,)
        Declination at each radio; NaN where no magnetic bearing may be printed. [deg]
    """

    row: NorthRow
    declination_deg: FloatArray


def _unanchored(job: Job, count: int) -> North:
    row = NorthRow(
        anchored=False,
        declination_deg=None,
        sigma_deg=None,
        yearly_change_deg=None,
        model="none",
        date=job.design.as_of,
        zone="unanchored",
        sentence="The site has no anchor: every bearing counts from plan north, and no compass can be used.",
        grid_convergence_deg=None,
        plan_rotation_deg=None,
    )
    return North(row, np.full(count, np.nan))


def north_at(job: Job, lat_deg: FloatArray, lon_deg: FloatArray) -> North:
    """Return north at the site and at points of it.

    Parameters
    ----------
    job : Job
        The indexed site; its planned date of installation decides the declination.
    lat_deg, lon_deg : ndarray of float, shape (n,)
        Where the radios are. [deg]
    """
    anchor = job.design.plane.anchor
    if anchor is None:
        return _unanchored(job, len(lat_deg))
    height_m = job.design.plane.datum_elevation_m
    # a hundredth of a degree is about a kilometre: the model does not change within it by what anyone can read
    cells = np.unique(np.round(np.column_stack([lat_deg, lon_deg]), 2), axis=0)
    lat = np.concatenate([[anchor.lat_deg], cells[:, 0]])
    lon = np.concatenate([[anchor.lon_deg], cells[:, 1]])
    found = declination(lat, lon, height_m, job.design.as_of)
    usable = found.usable
    each = {(a, o): (d if ok else np.nan) for a, o, d, ok in zip(lat, lon, found.declination_deg, usable, strict=True)}
    # within one cell of the anchor everything shares the anchor's own figure, so that all sheets of a campus agree
    here = float(found.declination_deg[0]) if usable[0] else np.nan
    home = (round(anchor.lat_deg, 2), round(anchor.lon_deg, 2))
    near = {(a, o): here for a, o in each if abs(a - home[0]) < 0.021 and abs(o - home[1]) < 0.031}
    values = [
        (near.get((a, o), each[(a, o)]))
        for a, o in zip(np.round(lat_deg, 2).tolist(), np.round(lon_deg, 2).tolist(), strict=True)
    ]
    zone = "outside_dates" if found.status == "refused" else str(found.zone[0])
    row = NorthRow(
        anchored=True,
        declination_deg=number(here),
        sigma_deg=number(found.sigma_deg[0]) if usable[0] else None,
        yearly_change_deg=number(found.yearly_change_deg[0]) if usable[0] else None,
        model=found.model,
        date=job.design.as_of,
        zone=zone,  # type: ignore[arg-type]  # the words are those of the record; pydantic checks them
        sentence=found.sentence or _sentence(zone),
        grid_convergence_deg=number(grid_convergence(anchor.lat_deg, anchor.lon_deg)),
        plan_rotation_deg=anchor.rotation_deg,
    )
    return North(row, np.array(values, dtype=float))


def _sentence(zone: str) -> str:
    if zone == "blackout":
        return "The horizontal field is too weak here: no magnetic bearing can be given; aim by landmark."
    if zone == "caution":
        return "The horizontal field is weak here: a compass swings; check every bearing by landmark."
    return "Magnetic = true minus declination, east positive."
