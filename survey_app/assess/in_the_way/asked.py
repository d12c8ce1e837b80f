"""A hop as it is asked about: what its answer depends on."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import HopArrays, RadioArrays
from survey_app.assess.in_the_way.stand import of_solids
from survey_app.assess.in_the_way.surroundings import Surroundings, ground_at_ends
from survey_app.assess.indoors import Inside
from survey_app.assess.job import Job
from survey_app.ground.clearance import Pairs, Rays
from survey_app.ground.relief.surface import LevelGround, Surface
from survey_app.site.structure import Structure

__all__ = ["Asked", "asked_of"]


@dataclass(frozen=True)
class Asked:
    """One hop as it is asked about: everything that its answer depends on.

    Attributes
    ----------
    start_m, end_m : (x, y, height)
        Antenna of the access point and of the station. [m]
    wavelength_m : float
        NaN where no channel is chosen. [m]
    centre_mhz, width_mhz : float
        Channel; the centre is NaN where none is chosen. [MHz]
    near : tuple of (Structure, float)
        What stands near, and its foot over the datum.
    inside : tuple of Inside
        What divides the buildings among them.
    carriers : tuple of str
        Structures that carry an end.
    ground : Surface
        The relief.
    feet_m : (float, float)
        Ground at both ends where the relief is flat. [m]
    low_k, years : float
        The site's figures of judgement.
    """

    start_m: tuple[float, float, float]
    end_m: tuple[float, float, float]
    wavelength_m: float
    centre_mhz: float
    width_mhz: float
    near: tuple[tuple[Structure, float], ...]
    inside: tuple[Inside, ...]
    carriers: tuple[str, str]
    ground: Surface
    feet_m: tuple[float, float]
    low_k: float
    years: float


def asked_of(
    job: Job,
    around: Surroundings,
    radios: RadioArrays,
    hops: HopArrays,
    rays: Rays,
    now: Pairs,
    grown: Pairs,
) -> list[Asked]:
    near: list[dict[str, None]] = [{} for _ in range(len(rays))]
    for stand, pairs in ((around.now, now), (around.grown, grown)):
        ids, things = stand.standing.solids.ids, of_solids(stand.thing, pairs)
        for ray, thing in zip(pairs.ray.tolist(), things.tolist(), strict=True):
            near[ray][ids[thing]] = None
    feet_m = job.placed.feet_m
    carrier = [job.mounts[job.radios[key].mount].structure for key in radios.ids]
    low = ground_at_ends(job, around, radios) if isinstance(around.ground, LevelGround) else None
    known = np.isfinite(hops.centre_mhz)
    found = []
    for n, ends in enumerate(zip(hops.access_point.tolist(), hops.station.tolist(), strict=True)):
        a, s = ends
        found.append(
            Asked(
                start_m=tuple(rays.start_m[n].tolist()),
                end_m=tuple(rays.end_m[n].tolist()),
                wavelength_m=float(rays.wavelength_m[n]) if known[n] else math.nan,
                centre_mhz=float(hops.centre_mhz[n]),
                width_mhz=float(hops.width_mhz[n]),
                near=tuple((around.structures[key], feet_m[key]) for key in sorted(near[n])),
                inside=tuple(around.inside[key] for key in sorted(near[n]) if key in around.inside),
                carriers=(carrier[a], carrier[s]),
                ground=around.ground,
                feet_m=(low[a], low[s]) if low is not None else (math.nan, math.nan),
                low_k=job.defaults.low_k,
                years=job.defaults.growth_years,
            )
        )
    return found
