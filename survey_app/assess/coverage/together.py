"""What several radios cover together: areas by rate, the mounts that they serve, what moves about where they reach."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import shapely

from survey_app.assess.coverage.area import Coverage, RateArea, coverage
from survey_app.assess.coverage.around import what_stands
from survey_app.assess.coverage.pair import far_end_of
from survey_app.assess.coverage.served import ServedMount
from survey_app.assess.job import Job
from survey_app.assess.numbers import numbers
from survey_app.errors import SurveyError
from survey_app.site.site import Site
from survey_app.site.structure import TrafficArea
from survey_app.spectrum.regions import Regions, load_regions

__all__ = ["EVERYWHERE_PERCENT", "BestOfMount", "MovingArea", "RateShare", "Together", "covered_together"]

EVERYWHERE_PERCENT = 95.0
"""A rate that so much of an area has is to be had in all of it, as `ServedArea.wanted_fraction` has it. [%]"""


@dataclass(frozen=True)
class RateShare:
    """Where the best of several radios gives a link rate or a better one.

    Attributes
    ----------
    rate_mbps : float
        [Mbit/s]
    reached_m2 : float
        Where it would be without anything in the way. [m2]
    seen : shapely.Geometry
        The part of it that is seen; indoors, that has it through the walls.
    """

    rate_mbps: float
    reached_m2: float
    seen: shapely.Geometry

    @property
    def seen_m2(self) -> float:
        """[m2]"""
        return float(self.seen.area)


@dataclass(frozen=True)
class BestOfMount:
    """A mount and the radio of several that serves it best.

    Attributes
    ----------
    radio : str
        Which one; where none serves it, the one that comes nearest to it.
    mount : ServedMount
        As a far end of that radio.
    also : tuple of str
        The others that serve it, in the order in which they were asked.
    """

    radio: str
    mount: ServedMount
    also: tuple[str, ...]


@dataclass(frozen=True)
class MovingArea:
    """A yard or lane in which something moves about, and how much of it is covered.

    Attributes
    ----------
    id : str
        Its id.
    area_m2 : float
        [m2]
    rate_mbps : float
        The lowest rate that any of the radios has. [Mbit/s]
    percent : float
        How much of it has that rate or a better one. [%]
    everywhere_mbps : float or None
        The highest rate that `EVERYWHERE_PERCENT` of it has; None = none. [Mbit/s]
    """

    id: str
    area_m2: float
    rate_mbps: float
    percent: float
    everywhere_mbps: float | None


@dataclass(frozen=True)
class Together:
    """What several radios cover.

    Attributes
    ----------
    radios : tuple of str
        Those that are covered here.
    refused : tuple of str
        Why others are not, a sentence each.
    heights_m : tuple of float
        Height of each one's far end over the ground. [m]
    rates : tuple of RateShare
        The highest rate first.
    mounts : tuple of BestOfMount
        All mounts but those that carry the radios, by id.
    areas : tuple of MovingArea
        Traffic areas, in the site's order.
    """

    radios: tuple[str, ...]
    refused: tuple[str, ...]
    heights_m: tuple[float, ...]
    rates: tuple[RateShare, ...]
    mounts: tuple[BestOfMount, ...]
    areas: tuple[MovingArea, ...]


def covered_together(
    site: Site,
    radio_ids: Sequence[str],
    *,
    over_ground_m: float | None = None,
    regions: Regions | None = None,
    with_later: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> Together:
    """Return what several radios cover together.

    Parameters
    ----------
    site : Site
        The document.
    radio_ids : sequence of str
        Which radios.
    over_ground_m : float or None
        Height of every far end over the ground, >= 0; None = for each radio that of its lowest far end. [m]
    regions : Regions or None
        Radio rules; None reads those that travel with the program.
    with_later : bool
        Count things with status `later` as present.
    progress : callable or None
        Told how many radios are done, of how many; what it raises ends the work.
    """
    job = Job(site, with_later)
    rules = regions if regions is not None else load_regions()
    around = what_stands(job)
    found, covered, refused = numbers(job, rules), [], []
    for n, radio_id in enumerate(radio_ids):
        if progress is not None:
            progress(n, len(radio_ids))
        try:
            far_end = None
            if over_ground_m is not None and radio_id in job.radios:
                far_end = dataclasses.replace(far_end_of(job, radio_id), over_ground_m=over_ground_m)
            covered.append(coverage(job, radio_id, far_end, regions=rules, around=around, found=found))
        except SurveyError as error:
            refused.append(error.sentence())
    shares = _shares(covered)
    return Together(
        radios=tuple(one.radio for one in covered),
        refused=tuple(refused),
        heights_m=tuple(one.far_end.over_ground_m for one in covered),
        rates=shares,
        mounts=_mounts(covered),
        areas=_areas(job, shares),
    )


def _shares(covered: Sequence[Coverage]) -> tuple[RateShare, ...]:
    """Return the union at each rate; the areas of one radio hold those of its higher rates."""
    rates = sorted({one.rate_mbps for each in covered for one in each.rates}, reverse=True)
    found = []
    for rate in rates:
        lowest = [min(having, key=lambda one: one.rate_mbps) for each in covered if (having := _having(each, rate))]
        reached = shapely.union_all([one.reached for one in lowest])
        found.append(RateShare(rate, float(reached.area), shapely.union_all([one.seen for one in lowest])))
    return tuple(one for one in found if one.reached_m2 > 0.0)


def _having(covered: Coverage, rate_mbps: float) -> list[RateArea]:
    return [one for one in covered.rates if one.rate_mbps >= rate_mbps]


def _mounts(covered: Sequence[Coverage]) -> tuple[BestOfMount, ...]:
    offers: dict[str, list[tuple[str, ServedMount]]] = {}
    for each in covered:
        for mount in each.mounts:
            offers.setdefault(mount.mount, []).append((each.radio, mount))
    found = []
    for key in sorted(offers):
        radio, best = min(offers[key], key=lambda offer: (_rank(offer[1]), offer[0]))
        also = tuple(name for name, mount in offers[key] if mount.served and name != radio)
        found.append(BestOfMount(radio, best, also))
    return tuple(found)


def _rank(mount: ServedMount) -> tuple[bool, float, float, float]:
    level = mount.level_dbm if mount.level_dbm is not None else -1e3
    return not mount.served, -(mount.rate_mbps or 0.0) if mount.served else 0.0, -level, mount.distance_m


def _areas(job: Job, shares: Sequence[RateShare]) -> tuple[MovingArea, ...]:
    if not shares:
        return ()
    found = []
    for structure in job.structures.values():
        outline = job.placed.outlines.get(structure.id)
        if not isinstance(structure, TrafficArea) or outline is None or len(outline) < 3:
            continue
        area = shapely.make_valid(shapely.Polygon(outline))
        if not area.area > 0.0:
            continue
        parts = [100.0 * float(shapely.intersection(area, one.seen).area) / float(area.area) for one in shares]
        everywhere = [one.rate_mbps for one, part in zip(shares, parts, strict=True) if part >= EVERYWHERE_PERCENT]
        found.append(
            MovingArea(
                structure.id, float(area.area), shares[-1].rate_mbps, parts[-1], everywhere[0] if everywhere else None
            )
        )
    return tuple(found)
