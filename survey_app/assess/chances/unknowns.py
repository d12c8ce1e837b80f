"""What is not known for certain about a hop: heights, feet, places, growth, each with its standard deviation."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from survey_app.assess.mount_rows import height_sigma_m
from survey_app.physics.arrays import FloatArray
from survey_app.site.mount import Mount
from survey_app.site.site import Defaults
from survey_app.site.structure import Building, Mast, Obstacle, Pole, Structure, TreeStand

__all__ = ["GROWTH_SIGMA", "Unknown", "Unknowns", "unknowns_of"]

GROWTH_SIGMA = 0.3
"""Standard deviation of growth over its mean; common practice."""


@dataclass(frozen=True, slots=True)
class Unknown:
    """One independent error.

    Attributes
    ----------
    key : str
        What is not known, of which thing.
    sigma_m : float
        Standard deviation, > 0. [m]
    measure : str
        The measurement on site that would make it known, in words; empty where there is none.
    at_start_m, at_end_m : (float, float)
        By how many metres a metre of it lifts, and moves to the right, the access point's end and the station's.
    """

    key: str
    sigma_m: float
    measure: str
    at_start_m: tuple[float, float]
    at_end_m: tuple[float, float]


@dataclass(frozen=True)
class Unknowns:
    """All errors of one hop.

    Attributes
    ----------
    rows : tuple of Unknown
        Ends first.
    of_thing : mapping of str to tuple of int
        Which of them lift each structure, by its id.
    """

    rows: tuple[Unknown, ...]
    of_thing: Mapping[str, tuple[int, ...]]

    def sigmas_m(self) -> FloatArray:
        """Return the standard deviations, shape (unknowns,). [m]"""
        return np.array([row.sigma_m for row in self.rows], np.float64)

    def at_ends(self) -> FloatArray:
        """Return what a metre of each does to the ends, shape (unknowns, 4): lift and right of either. [1]"""
        return np.array([(*row.at_start_m, *row.at_end_m) for row in self.rows], np.float64).reshape(-1, 4)

    def lifts(self, thing: str) -> FloatArray:
        """Return what a metre of each lifts a structure, shape (unknowns,). [1]"""
        found = np.zeros(len(self.rows))
        found[list(self.of_thing.get(thing, ()))] = 1.0
        return found

    def foot(self, thing: str) -> FloatArray:
        """Return what a metre of each lifts the ground under a structure, shape (unknowns,). [1]"""
        key = f"foot of {thing}"
        return np.array([float(row.key == key) for row in self.rows])


def unknowns_of(
    mounts: tuple[Mount, Mount],
    carriers: tuple[Structure, Structure],
    over_foot_m: tuple[float, float],
    near: Iterable[Structure],
    defaults: Defaults,
) -> Unknowns:
    """Return the errors of one hop.

    Parameters
    ----------
    mounts, carriers : tuple of Mount, tuple of Structure
        Of the access point and of the station.
    over_foot_m : (float, float)
        Heights of both ends over the foot of what carries them. [m]
    near : iterable of Structure
        What stands near the ray.
    defaults : Defaults
        The site's figures of judgement.

    Returns
    -------
    Unknowns

    Notes
    -----
    A mount errs by how its height and its place are known, and by the lean of what carries it. Where its height counts
    from eaves or roof it errs with these too, and but for the site datum with the foot: a radio over its own parapet
    keeps its distance to it. A structure errs with its foot, where that is said to be known somehow, and with its
    height, a tree also with its growth. All else is taken as drawn.
    """
    rows: list[Unknown] = []
    for n, mount in enumerate(mounts):
        rows += _of_mount(n, mount, over_foot_m[n], defaults)
    of_thing: dict[str, list[int]] = {}
    things = {structure.id: structure for structure in (*carriers, *near)}
    for structure in things.values():
        ends = [n for n, mount in enumerate(mounts) if mount.structure == structure.id]
        for unknown, ridden in _of_structure(structure, defaults):
            rides = [n for n in ends if mounts[n].height_reference in ridden]
            lift = tuple((1.0, 0.0) if n in rides else (0.0, 0.0) for n in (0, 1))
            of_thing.setdefault(structure.id, []).append(len(rows))
            rows.append(Unknown(unknown.key, unknown.sigma_m, unknown.measure, lift[0], lift[1]))
    return Unknowns(tuple(rows), {key: tuple(found) for key, found in of_thing.items()})


_NOTHING = (0.0, 0.0)
_RIDE_FOOT = frozenset({"ground", "eaves", "roof"})
_RIDE_TOP = frozenset({"eaves", "roof"})


def _of_mount(n: int, mount: Mount, over_foot_m: float, defaults: Defaults) -> list[Unknown]:
    lean_m = abs(over_foot_m) * math.tan(math.radians(mount.lean_sigma_deg))
    found = []
    for key, sigma_m, words, lift in (
        ("height", height_sigma_m(mount.height_known, defaults), "Tape the height of", (1.0, 0.0)),
        ("place", math.hypot(mount.position_sigma_m, lean_m), "Tape the place of", (0.0, 1.0)),
    ):
        if sigma_m > 0.0:
            shifts = (lift, _NOTHING) if n == 0 else (_NOTHING, lift)
            found.append(Unknown(f"{key} of {mount.id}", sigma_m, f"{words} {mount.title}", *shifts))
    return found


def _of_structure(structure: Structure, defaults: Defaults) -> list[tuple[Unknown, frozenset[str]]]:
    """Return a structure's own errors, each with the references of heights that err with it."""
    found: list[tuple[Unknown, frozenset[str]]] = []

    def add(key: str, sigma_m: float, measure: str, ridden: frozenset[str]) -> None:
        if sigma_m > 0.0:
            found.append((Unknown(f"{key} of {structure.id}", sigma_m, measure, _NOTHING, _NOTHING), ridden))

    if isinstance(structure, Building | Pole | Mast):
        words = f"Level the foot of {structure.title}"
        add("foot", height_sigma_m(structure.base_known, defaults), words, _RIDE_FOOT)
    if isinstance(structure, Building | Pole | Mast | Obstacle | TreeStand):
        words = f"Tape the height of {structure.title}"
        add("height", height_sigma_m(structure.height_known, defaults), words, _RIDE_TOP)
    if isinstance(structure, TreeStand):
        years = max(0.0, defaults.growth_years)
        add("growth", GROWTH_SIGMA * years * structure.growth_m_per_year, "", frozenset())
    return found
