"""The rule that holds for each radio, and the power that it leaves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from survey_app.assess.gather import RadioArrays, pattern_of
from survey_app.assess.job import Job
from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import FloatArray
from survey_app.site.radio import Radio
from survey_app.spectrum.limits import correlated_chain_gain_db, power_limits
from survey_app.spectrum.permission import Refusal, RuleSet, resolve, why_not
from survey_app.spectrum.regions import Regions
from survey_app.spectrum.rules import Place, Region, Topology
from survey_app.spectrum.topology import topology_of

__all__ = ["Law", "chain_gain_db", "law_of", "place_of"]

RadioTopology = Literal["multipoint_hub", "point_to_point", "client", "alone"]
_CROSSED = frozenset({"v+h", "slant", "slant+slant", "circular"})


@dataclass(frozen=True)
class Law:
    """What the region's rules say of each radio, one entry per radio.

    Attributes
    ----------
    conducted_dbm, eirp_dbm : ndarray of float, shape (radios,)
        Most total power at the connectors, and the EIRP that it makes; NaN where no rule is known. [dBm]
    binding : tuple of str
        Which term of the rule binds.
    rule : tuple of str or None
        Id of the binding row.
    sentence : tuple of str
        The rule in words, or why there is none.
    rule_sets : tuple of RuleSet or None
    refusals : tuple of Refusal or None
        Why no row permits the radio on its channel; None where one does, or where region or channel is not chosen.
    topology : tuple of str
        By which topology it is judged.
    radar_wait_s : tuple of float or None
        How long a radar channel is listened to before it is used; None on other channels. [s]
    region : Region or None
    edition : str
        Edition of the rules.
    """

    conducted_dbm: FloatArray
    eirp_dbm: FloatArray
    binding: tuple[str, ...]
    rule: tuple[str | None, ...]
    sentence: tuple[str, ...]
    rule_sets: tuple[RuleSet | None, ...]
    refusals: tuple[Refusal | None, ...]
    topology: tuple[RadioTopology, ...]
    radar_wait_s: tuple[float | None, ...]
    region: Region | None
    edition: str


def place_of(job: Job, radio: Radio) -> Place:
    """Return where a radio hangs, as radio rules know it: what is not inside a building is outdoors."""
    return "indoor" if job.mounts[radio.mount].environment == "indoors" else "outdoor"


def _topology(job: Job, radio: Radio) -> RadioTopology:
    owner = job.access_point_of(radio.id)
    if owner is None:
        return "alone"
    pattern = pattern_of(job, owner)
    return topology_of(
        radio.role,
        len(job.hops_of[owner.id]),
        link_rule=radio.link_rule,
        certificate=radio.note,
        omnidirectional=pattern is not None and pattern.model == "omni",
    )


def _region(job: Job, regions: Regions) -> tuple[Region | None, str]:
    code = job.design.region
    if code is None:
        return None, "No region is chosen, so no rule is known: not allowed until one is."
    try:
        return regions.find(code), ""
    except UnknownNameError as error:
        return None, error.sentence()


def law_of(job: Job, radios: RadioArrays, regions: Regions) -> Law:
    """Return what the region's rules say of every radio.

    Parameters
    ----------
    job, radios : Job, RadioArrays
        The site, indexed and as arrays.
    regions : Regions
        The rules. What no row permits is not permitted.
    """
    region, missing = _region(job, regions)
    rule_sets: list[RuleSet | None] = []
    refusals: list[Refusal | None] = []
    sentences, waits, topologies = list[str](), list[float | None](), list[RadioTopology]()
    chain_gain = np.zeros(len(radios.ids))
    # many radios ask the same question of the rules
    answers: dict[tuple[Place, Topology, float, float, bool], tuple[RuleSet | None, Refusal | None, str]] = {}
    for n, radio in enumerate(job.radios.values()):
        topology = _topology(job, radio)
        topologies.append(topology)
        centre, width = float(radios.centre_mhz[n]), float(radios.width_mhz[n])
        found: RuleSet | None = None
        refusal: Refusal | None = None
        sentence = missing
        if region is not None and np.isnan(centre):
            sentence = "The access point has no channel, so no rule can be found."
        elif region is not None:
            known: Topology = "multipoint_hub" if topology == "alone" else topology
            asked = (place_of(job, radio), known, centre, width, radio.power_mode == "automatic")
            if asked not in answers:
                answers[asked] = _answer(region, *asked)
            found, refusal, sentence = answers[asked]
        rule_sets.append(found)
        refusals.append(refusal)
        sentences.append(sentence)
        waits.append(float(found.radar_wait_s) if found is not None and found.radar_duty else None)
        chain_gain[n] = chain_gain_db(job, radio, region)
    limits = power_limits(rule_sets, radios.gain_dbi, radios.feeder_loss_db, chain_gain)
    edition = region.rules_edition if region is not None else "none"
    return Law(
        conducted_dbm=limits.limit_conducted_dbm,
        eirp_dbm=limits.limit_eirp_dbm,
        binding=tuple(str(word) for word in limits.binding),
        rule=tuple(row or None for row in limits.binding_row),
        sentence=tuple(sentences),
        rule_sets=tuple(rule_sets),
        refusals=tuple(refusals),
        topology=tuple(topologies),
        radar_wait_s=tuple(waits),
        region=region,
        edition=edition,
    )


def _answer(
    region: Region, place: Place, topology: Topology, centre_mhz: float, width_mhz: float, power_control: bool
) -> tuple[RuleSet | None, Refusal | None, str]:
    found = resolve(region, place, topology, centre_mhz, width_mhz, power_control)
    if found is not None:
        return found, None, found.sentence
    refusal = why_not(region, place, topology, centre_mhz, width_mhz, power_control)
    return None, refusal, refusal.sentence if refusal is not None else ""


def chain_gain_db(job: Job, radio: Radio, region: Region | None) -> float:
    """Return what the chains of a radio add to its gain where a limit is held against it. [dB]

    Chains into antennas of one polarisation may add up in the air; a crossed pair does not, and not every region counts
    it.
    """
    found, pattern = job.radio_type(radio), pattern_of(job, radio)
    if found is None or pattern is None or pattern.polarisation in _CROSSED:
        return 0.0
    if region is not None and not region.counts_chains:
        return 0.0
    return float(correlated_chain_gain_db(found.chains))
