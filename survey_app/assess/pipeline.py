"""From a site to its assessment: one pass over arrays, then the record."""

from __future__ import annotations

import math

import survey_app
from survey_app.assess.air import FineAir, fine_air
from survey_app.assess.assumptions import assumptions
from survey_app.assess.at_rest import at_rest
from survey_app.assess.beams import beams_of
from survey_app.assess.camera_sight import hidden_targets
from survey_app.assess.cell_rows import cell_rows
from survey_app.assess.chances import HopChance, chances, level_in_hand
from survey_app.assess.clamp import clamp_of
from survey_app.assess.climbs import climb_rows, sheet_order
from survey_app.assess.demand import camera_rows
from survey_app.assess.failures import capacity_of, failure_rows
from survey_app.assess.findings import finish
from survey_app.assess.head_end import head_end_rows
from survey_app.assess.hop_rows import HopStage, hop_rows
from survey_app.assess.interference import Interference
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh, Memo
from survey_app.assess.mount_rows import mount_rows
from survey_app.assess.network import network_stage
from survey_app.assess.north import North, north_at
from survey_app.assess.numbers import Numbers, numbers
from survey_app.assess.pointing import marks_of, sightings
from survey_app.assess.radio_rows import RadioStage, feeds_of, radio_rows
from survey_app.assess.raising import offers
from survey_app.assess.reach import radio_reach
from survey_app.assess.record import Assessment, FromLandmark
from survey_app.assess.ripples import ripples
from survey_app.assess.routes import leg_loads, route_rows
from survey_app.assess.rules import all_drafts
from survey_app.assess.rules.view import View
from survey_app.assess.served import area_rows
from survey_app.assess.supply import arriving_by_wire, supply_rows
from survey_app.assess.tally import tally_rows
from survey_app.assess.weather import fresnel_and_rain
from survey_app.assess.wires import wire_rows
from survey_app.physics.arrays import FloatArray
from survey_app.site.checksum import checksum
from survey_app.site.gear_type import ClampType
from survey_app.site.site import Site
from survey_app.spectrum.regions import Regions

__all__ = ["assess"]


def assess(
    site: Site,
    regions: Regions | None = None,
    *,
    with_later: bool = False,
    memo: Memo | None = None,
    rain_mm_per_hour: float = 0.0,
) -> Assessment:
    """Assess a site.

    Parameters
    ----------
    site : Site
        The document. The same site gives the same assessment on any day: time is a field of the site.
    regions : Regions or None
        Radio rules; None reads those that travel with the program.
    with_later : bool, default False
        Count things with status `later` as present.
    memo : Memo or None
        What is known from an earlier value of the site, and learns this one; the answer is the same with it or without.
    rain_mm_per_hour : float, default 0
        Rain on all hops at once, which `gas_loss_db` then holds too: for what-if questions. [mm/h]

    Returns
    -------
    Assessment
        Every number that reaches paper or screen, and every finding.
    """
    from survey_app.spectrum.regions import load_regions

    rules = regions if regions is not None else load_regions()
    work = memo if memo is not None else Fresh()
    work.start()
    job = Job(site, with_later)
    rest = at_rest(job, numbers(job, rules, work, rain_mm_per_hour), work)
    found, between = rest.numbers, rest.between
    around = found.around
    north = north_at(job, found.radios.lat_deg, found.radios.lon_deg)
    north = North(work.settle("north", ["site"], [north.row])[0], north.declination_deg)
    clamps = _clamps(job, found)
    placed_mounts = mount_rows(job, found.placed, clamps)
    mounts = tuple(work.settle("mounts", [row.id for row in placed_mounts], placed_mounts))
    weather = fresnel_and_rain(job, found.hops, found.where, found.up, found.down)
    marks = marks_of(job, found.radios, sightings(job, found.radios, found.placed), found.aims, work)
    allowed = tuple(next((mark for mark in row if mark.allowed), None) for row in marks)
    fine = fine_air(job, found, between)
    likely = chances(
        job, around, found.radios, found.hops, found.obstruction, level_in_hand(job, found), work
    )  # fmt: skip
    hops = hop_rows(_hop_stage(job, found, north, weather, allowed, likely, between, fine), work)
    network = network_stage(job, found.placed)
    cameras = camera_rows(job, found.placed, network.volts_v(), work)
    wires = wire_rows(job, network.runs, network.earths, arriving_by_wire(network.supplied), work)
    supplies = supply_rows(job, network.supplied, work)
    ways_up = climb_rows(job, mounts, network.graph)
    climbs = tuple(work.settle("climbs", [row.id for row in ways_up], ways_up))
    order = sheet_order(job, climbs)
    beams = beams_of(job, work)
    stage = RadioStage(
        job=job,
        placed=found.placed,
        radios=found.radios,
        fans=found.fans,
        where=found.where,
        aims=found.aims,
        law=found.law,
        powers=found.powers,
        answered_db=rest.answered_db,
        north=north,
        marks=marks,
        beams=beams,
        reach=radio_reach(
            job, found.radios, found.hops, found.where, found.fans, found.path, found.rates, found.needed,
            found.powers.full_dbm, found.aims, beams, work,
        ),
        clamps=clamps,
        mounts={row.id: row for row in mounts},
        hops={row.id: row for row in hops},
        order=order,
        supplies={row.id: row for row in supplies},
        wires={row.id: row for row in wires},
        feeds=feeds_of(job),
    )  # fmt: skip
    radios = radio_rows(stage, work)
    best = found.at_full_power
    judged = cell_rows(job, found.hops, found.need, found.air, found.up.rate_mbps, best.air, best.up_rate_mbps, fine)
    cells = tuple(work.settle("cells", [row.id for row in judged], judged))
    areas = area_rows(job, found, work)
    ways_home = route_rows(job, hops, cells, network.graph)
    routes = tuple(work.settle("routes", [row.camera for row in ways_home], ways_home))
    capacity = capacity_of(job, found, leg_loads(job, network.graph))
    single = failure_rows(job, network.graph, network.supplied.forest, capacity)
    failures = tuple(work.settle("failures", [row.subject for row in single], single))
    recorders = head_end_rows(job, cameras, routes)
    head_ends = tuple(work.settle("head ends", [row.id for row in recorders], recorders))
    tally = tally_rows(job, mounts, wires, climbs, head_ends, clamps, work)
    view = View(
        job=job,
        numbers=found,
        interference=between,
        quiet=rest.quiet,
        restless=rest.restless,
        north=north,
        network=network,
        regions=rules,
        clamps=clamps,
        mounts={row.id: row for row in mounts},
        radios={row.id: row for row in radios},
        hops={row.id: row for row in hops},
        cells={row.id: row for row in cells},
        areas={row.id: row for row in areas},
        cameras={row.id: row for row in cameras},
        wires={row.id: row for row in wires},
        supplies={row.id: row for row in supplies},
        routes={row.camera: row for row in routes},
        head_ends={row.id: row for row in head_ends},
        failures={row.subject: row for row in failures},
        faults=around.faults,
        hidden=hidden_targets(job, found.placed, around, work),
        ripples=ripples(job, found.placed, found.radios, found.hops, found.where, found.aims, work),
        offers=offers(job, around, found.radios, found.hops, found.obstruction, work, over_traffic=False),
        offers_over_traffic=offers(job, around, found.radios, found.hops, found.obstruction, work, over_traffic=True),
    )
    findings, stale = finish(all_drafts(view, work), site.design.accepted, work)
    return Assessment(
        site=site.design.name,
        revision=site.design.revision,
        checksum=checksum(site.design),
        program_version=survey_app.__version__,
        rules_edition=found.law.edition,
        as_of=site.design.as_of,
        with_later=with_later,
        north=north.row,
        mounts=mounts,
        radios=radios,
        hops=hops,
        cells=cells,
        areas=areas,
        cameras=cameras,
        wires=wires,
        supplies=supplies,
        routes=routes,
        head_ends=head_ends,
        failures=failures,
        climbs=climbs,
        findings=findings,
        tally=tally,
        assumptions=assumptions(job, mounts, hops),
        stale_acceptances=stale,
    )


def _clamps(job: Job, found: Numbers) -> dict[str, ClampType | None]:
    """Choose the clamp of each mount that carries a radio, for the tilts that it has to set."""
    held: dict[str, list[str]] = {}
    for radio in job.radios.values():
        held.setdefault(radio.mount, []).append(radio.id)
    tilts = {key: float(found.aims.bracket_deg[n]) for n, key in enumerate(found.radios.ids)}
    return {
        mount_id: clamp_of(job, job.mounts[mount_id], ids, [tilts[key] for key in ids if not math.isnan(tilts[key])])
        for mount_id, ids in held.items()
    }


def _hop_stage(
    job: Job,
    found: Numbers,
    north: North,
    weather: tuple[FloatArray, FloatArray, FloatArray],
    marks: tuple[FromLandmark | None, ...],
    likely: tuple[HopChance, ...],
    between: Interference,
    fine: FineAir,
) -> HopStage:
    fresnel, rain, availability = weather
    return HopStage(
        job=job,
        radios=found.radios,
        hops=found.hops,
        where=found.where,
        aims=found.aims,
        path=found.path,
        rates=found.rates,
        need=found.need,
        needed=found.needed,
        up=found.up,
        down=found.down,
        air=found.air,
        powers=found.powers,
        north=north,
        demand=found.demand,
        rain_db=rain,
        availability_percent=availability,
        fresnel_radius_m=fresnel,
        obstruction=found.obstruction,
        anchored=found.placed.plane is not None,
        marks=marks,
        chances=likely,
        left_up=between.up,
        left_down=between.down,
        fine=fine,
    )
