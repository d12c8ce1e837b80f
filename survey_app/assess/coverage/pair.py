"""A radio and the far end that it is asked about: their budget without places, on the house's own arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey_app.assess.gain import OMNI
from survey_app.assess.gather import HopArrays, RadioArrays
from survey_app.assess.hop_rates import HopRates
from survey_app.assess.job import Job
from survey_app.assess.numbers import Numbers, numbers
from survey_app.errors import UsageError
from survey_app.physics.arrays import FloatArray
from survey_app.physics.gases import gas_attenuation_db_per_km
from survey_app.site.edits.sharing import rebuilt, with_rows
from survey_app.site.gear_type import RadioType
from survey_app.site.place import PlanePoint, PointPlace
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Site
from survey_app.spectrum.regions import Regions

__all__ = ["SPARE_ID", "FarEnd", "Pair", "far_end_of", "pair_of"]

SPARE_ID = "far-end-asked-about"
"""Id of what is put at the far end of a radio that has none."""
_AWAY_M = 100.0


@dataclass(frozen=True)
class FarEnd:
    """What is put at the far end.

    Attributes
    ----------
    gear : str
        Gear id of the unit.
    over_ground_m : float
        Height of its antenna over the ground, >= 0. [m]
    antenna, feeder : str or None
        Gear ids, for a unit with connectors.
    """

    gear: str
    over_ground_m: float
    antenna: str | None = None
    feeder: str | None = None


@dataclass(frozen=True)
class Pair:
    """A radio, its far end, and what a budget between them has whatever the place; see `Numbers`.

    Attributes
    ----------
    job : Job
        The site with the far end in it.
    found : Numbers
        Its numbers.
    radio, other, hop : int
        Rows of the radio, of its far end, and of the hop between them.
    aim_deg, bracket_deg : float
        Where the radio looks, as in `Aims`. [deg]
    """

    job: Job
    found: Numbers
    radio: int
    other: int
    hop: int
    aim_deg: float
    bracket_deg: float

    @property
    def radios(self) -> RadioArrays:
        """All radios."""
        return self.found.radios

    @property
    def eye_m(self) -> FloatArray:
        """The radio's antenna: x, y, height over the site datum. [m]"""
        rows, n = self.radios, self.radio
        return np.array([rows.x_m[n], rows.y_m[n], rows.elevation_m[n]])

    @property
    def centre_mhz(self) -> float:
        """Carrier frequency. [MHz]"""
        return float(self.found.hops.centre_mhz[self.hop])

    @property
    def gas_db_per_km(self) -> float:
        """Loss in the air. [dB/km]"""
        return float(gas_attenuation_db_per_km(self.centre_mhz))

    @property
    def fixed_loss_db(self) -> float:
        """What feeders and unlike polarisation take. [dB]"""
        feeders = self.radios.feeder_loss_db[[self.radio, self.other]].sum()
        return float(feeders + self.found.path.polarisation_loss_db[self.hop])

    @property
    def rate_mbps(self) -> FloatArray:
        """Rates that both ends can run, shape (RATES,); NaN where an index is not to be had. [Mbit/s]"""
        return np.asarray(self.found.rates.rate_mbps[self.hop], np.float64)

    @property
    def power_over_sensitivity_db(self) -> FloatArray:
        """The loss at which no margin is left, by rate, in the worse direction at full power, shape (RATES,). [dB]"""
        rates: HopRates = self.found.rates
        hops: HopArrays = self.found.hops
        full, h = self.found.powers.full_dbm, self.hop
        sent_a = np.minimum(rates.power_a_dbm[h], full[hops.access_point[h]])
        sent_s = np.minimum(rates.power_s_dbm[h], full[hops.station[h]])
        over = np.minimum(sent_a - rates.sensitivity_s_dbm[h], sent_s - rates.sensitivity_a_dbm[h])
        return np.asarray(over - self.job.defaults.interference_rise_db, np.float64)

    def wanted_db(self, distance_m: FloatArray) -> FloatArray:
        """Return the margin that is wanted at distances. [dB]"""
        by_hand = self.job.hops[self.found.hops.ids[self.hop]].wanted_margin_db
        if by_hand is not None:
            return np.full_like(distance_m, by_hand)
        defaults = self.job.defaults
        return np.where(distance_m > 1000.0, defaults.margin_far_db, defaults.margin_near_db)


def far_end_of(job: Job, radio_id: str) -> FarEnd:
    """Return what a radio's far end is if nobody says: the type it already has, else a unit like itself.

    It is as high over the ground as the lowest far end of the radio; without one, as the radio itself.

    Parameters
    ----------
    job : Job
        The indexed site.
    radio_id : str
        A radio on a mount with a place.
    """
    ends = job.far_ends(radio_id)
    lowest = min(ends, key=lambda other: _over_ground_m(job, other)) if ends else radio_id
    radio = job.radios[lowest]
    return FarEnd(radio.gear, max(_over_ground_m(job, lowest), 0.0), radio.antenna, radio.feeder)


def _over_ground_m(job: Job, radio_id: str) -> float:
    spot = job.placed.mounts[job.radios[radio_id].mount]
    ground = float(job.placed.ground.heights_m(spot.x_m, spot.y_m))
    return spot.elevation_m - (ground if np.isfinite(ground) else spot.foot_m)


def pair_of(
    job: Job,
    regions: Regions,
    radio_id: str,
    far_end: FarEnd,
    *,
    gear: RadioType | None = None,
    found: Numbers | None = None,
) -> Pair:
    """Return a radio with a far end.

    A far end of the very kind that the radio has is the one there is, so that the power rules stay those of the design;
    another kind replaces it; a radio alone gets one. The radio keeps its aim.

    Parameters
    ----------
    job : Job
        The indexed site.
    regions : Regions
        Radio rules.
    radio_id : str
        The radio.
    far_end : FarEnd
        What is put at the far end.
    gear : RadioType or None
        The far end's type, where the site carries no copy of it.
    found : Numbers or None
        Numbers of the site, if already made.

    Raises
    ------
    UsageError
        There is no such radio on a mount with a place, it has no aim or no channel, or nobody knows the far end's type.
    """
    if radio_id not in job.radios:
        raise UsageError(f"{radio_id} is no radio on a mount with a place", where=f"radio {radio_id}")
    if gear is None and not isinstance(job.gear.get(far_end.gear), RadioType):
        raise UsageError(f"{far_end.gear} is no radio type of this site", remedy="add it to the site's gear")
    found = found if found is not None else numbers(job, regions)
    row = found.radios.row[radio_id]
    aim = float(found.aims.bearing_deg[row]), float(found.aims.bracket_deg[row])
    if found.radios.kind[row] != OMNI and not np.isfinite(aim).all():
        raise UsageError(f"{radio_id} has no aim yet", remedy="give it an aim or a far end", where=f"radio {radio_id}")
    kind = (far_end.gear, far_end.antenna, far_end.feeder)
    hops: Sequence[Hop] = [hop for hop in job.hops_of[radio_id] if _kind(job.radios[_other(hop, radio_id)]) == kind]
    if not hops:
        site, hop_id = _with_far_end(job, radio_id, far_end, gear)
        job = Job(site, job.with_later)
        found, hops = numbers(job, regions), [job.hops[hop_id]]
    pair = _paired(job, found, radio_id, hops, aim)
    if not np.isfinite(pair.centre_mhz):
        raise UsageError(f"the cell of {radio_id} has no channel", remedy="choose one", where=f"radio {radio_id}")
    return pair


def _kind(radio: Radio) -> tuple[str, str | None, str | None]:
    return radio.gear, radio.antenna, radio.feeder


def _other(hop: Hop, radio_id: str) -> str:
    return hop.station if hop.access_point == radio_id else hop.access_point


def _paired(job: Job, found: Numbers, radio_id: str, hops: Sequence[Hop], aim: tuple[float, float]) -> Pair:
    """Return the pair of the hop whose budget is the least: what it cannot do counts."""
    rows = found.radios.row
    pairs = [
        Pair(job, found, rows[radio_id], rows[_other(hop, radio_id)], found.hops.row[hop.id], *aim) for hop in hops
    ]

    def strength(pair: Pair) -> float:
        gain = pair.radios.gain_dbi[pair.other] - pair.fixed_loss_db
        return float(np.nanmin([np.inf, *(pair.power_over_sensitivity_db + gain)]))

    return min(pairs, key=strength)


def _with_far_end(job: Job, radio_id: str, far_end: FarEnd, gear: RadioType | None) -> tuple[Site, str]:
    """Return the site in which a radio's far end is this one, and the id of the hop between them."""
    site, radio = job.site, job.radios[radio_id]
    if gear is not None:
        old = {n: gear for n, one in enumerate(site.design.gear) if one.id == gear.id}
        site = with_rows(site, "design", "gear", put=old, add=() if old else (gear,))
    fitting = {"gear": far_end.gear, "antenna": far_end.antenna, "feeder": far_end.feeder}
    hops = job.hops_of[radio_id]
    if hops:
        other = _other(hops[0], radio_id)
        changed = {n: rebuilt(one, other, **fitting) for n, one in enumerate(site.design.radios) if one.id == other}
        return with_rows(site, "design", "radios", put=changed), hops[0].id
    spot, mount = job.placed.mounts[radio.mount], job.mounts[radio.mount]
    beside = PointPlace(kind="point", position=PlanePoint(x_m=spot.x_m + _AWAY_M, y_m=spot.y_m))
    away = rebuilt(mount, mount.id, id=SPARE_ID, place=beside, climb=None)
    hub = radio.role == "access_point"
    far = Radio(
        id=SPARE_ID,
        role="station" if hub else "access_point",
        mount=away.id,
        channel=None if hub else radio.channel,
        gear=far_end.gear,
        antenna=far_end.antenna,
        feeder=far_end.feeder,
    )
    ends = (radio_id, SPARE_ID) if hub else (SPARE_ID, radio_id)
    hop = Hop(id=SPARE_ID, access_point=ends[0], station=ends[1])
    for name, row in (("mounts", away), ("radios", far), ("hops", hop)):
        site = with_rows(site, "design", name, add=(row,))
    return site, hop.id
