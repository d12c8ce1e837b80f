"""Numbers of what is being dragged or turned: the same arrays as in the assessment, for the few things concerned."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass

import numpy as np

from survey_app.assess.beams import Beams, beams_of
from survey_app.assess.budget import Aims
from survey_app.assess.gain import OMNI, off_axis_of_beam_deg
from survey_app.assess.hop_rows import way_of_row
from survey_app.assess.in_the_way import Surroundings, surroundings_of, things_near
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh, Memo
from survey_app.assess.nulls import number
from survey_app.assess.numbers import Numbers, Steady, at_powers, moved, steady_of
from survey_app.assess.obstruction import NOTHING_KNOWN, HopObstruction, obstruction_of_rows
from survey_app.assess.reach import Reach, radio_reach
from survey_app.assess.record import Assessment, ReachArc
from survey_app.assess.routes import HopDemand, demand_by_hop
from survey_app.ground.plane import plan_bearing
from survey_app.physics.arrays import FloatArray
from survey_app.physics.kernels import NotCompiledError, compiled_only
from survey_app.site.edits.sharing import with_fields
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Design, Site
from survey_app.site.thing import Thing
from survey_app.spectrum.regions import Regions, load_regions

__all__ = ["Lift", "Live", "LiveCell", "LiveDirection", "LiveEnd", "LiveHop", "LiveRadio", "live"]

_STEADY = ("gear", "defaults", "plane", "region", "country", "cameras", "devices", "wires", "head_ends", "hops")


@dataclass(frozen=True, slots=True)
class LiveRadio:
    """A radio while something moves; fields as in `RadioRow`.

    Attributes
    ----------
    aim_is_held : bool
        Several far ends share its beam, and their common aim is that of the beginning: it settles afterwards.
    """

    id: str
    x_m: float
    y_m: float
    antenna_elevation_m: float
    height_above_ground_m: float
    bearing_plan_deg: float | None
    bearing_true_deg: float | None
    tilt_deg: float | None
    bracket_tilt_deg: float | None
    edge_left_deg: float | None
    edge_right_deg: float | None
    reach_m: float | None
    reach_mcs: int | None
    reach_rate_mbps: float | None
    reach_arcs: tuple[ReachArc, ...]
    near_in_m: float | None
    aim_is_held: bool


@dataclass(frozen=True, slots=True)
class LiveEnd:
    """One end of a hop while something moves; fields as in `HopEndRow`."""

    radio: str
    bearing_plan_deg: float | None
    bearing_true_deg: float | None
    tilt_deg: float | None
    off_axis_azimuth_deg: float | None
    off_axis_elevation_deg: float | None
    pointing_loss_db: float | None
    gain_toward_far_end_dbi: float | None
    rx_level_dbm: float | None
    expected_reading_dbm: float | None


@dataclass(frozen=True, slots=True)
class LiveDirection:
    """One direction of a hop while something moves; fields as in `DirectionRow`."""

    snr_db: float | None
    mcs: int | None
    phy_rate_mbps: float | None
    margin_at_needed_rate_db: float | None
    margin_at_chosen_rate_db: float | None


@dataclass(frozen=True, slots=True)
class LiveHop:
    """A hop while something moves; fields as in `HopRow`, its two ends and directions beside each other.

    Attributes
    ----------
    way : HopObstruction
        What stands in its way.
    """

    id: str
    distance_m: float
    ground_distance_m: float
    free_space_loss_db: float | None
    way: HopObstruction
    access_point: LiveEnd
    station: LiveEnd
    to_access_point: LiveDirection
    to_station: LiveDirection


@dataclass(frozen=True, slots=True)
class LiveCell:
    """A cell while something moves; fields as in `CellRow`."""

    id: str
    airtime_used_fraction: float | None
    load_fraction: float | None


@dataclass(frozen=True, slots=True)
class Live:
    """What a drag touches, by id.

    Attributes
    ----------
    radios, hops, cells : mapping of str to row
        The radios that move, their hops and the whole cells of these.
    unjudged : frozenset of str
        Hops of which what stands in the way is as it was assessed before.
    stale : frozenset of str
        Radios whose aim is held, hops whose way is not judged anew, and hops and cells that are judged by such an aim
        or way: their levels, rates and loads are near the truth and settle with the next assessment. Everything that
        is not named here or in no row (findings, magnetic bearings, landmarks, supplies, tally) is left to the
        assessment.
    """

    radios: Mapping[str, LiveRadio]
    hops: Mapping[str, LiveHop]
    cells: Mapping[str, LiveCell]
    unjudged: frozenset[str]
    stale: frozenset[str]


def live(site: Site, ids: Iterable[str], regions: Regions | None = None) -> Live:
    """Return the numbers of some things as an assessment would have them; for a drag keep a `Lift`.

    Parameters
    ----------
    site : Site
        The document.
    ids : iterable of str
        Structures, mounts, radios or hops.
    regions : Regions or None
        Radio rules; None reads those that travel with the program.
    """
    return Lift(site, ids, regions).at(site, settled=True)


class Lift:
    """Things taken up to be moved or turned: what stays as it is, is worked out once.

    Parameters
    ----------
    site : Site
        The document before the drag.
    ids : iterable of str
        Structures, mounts, radios or hops that will move or turn.
    regions : Regions or None
        Radio rules; None reads those that travel with the program.
    assessment : Assessment or None
        That of the site, if there is one: the common aims that are held need not be searched then, and what automatic
        power answers other cells is held; without it power answers noise alone.
    may_compile : bool, default True
        Whether to wait for kernels that have no machine code yet. Else what stands in the way stays as assessed until
        another thread has had them compiled, and the hops are named as stale.
    """

    def __init__(
        self,
        site: Site,
        ids: Iterable[str],
        regions: Regions | None = None,
        assessment: Assessment | None = None,
        *,
        may_compile: bool = True,
    ) -> None:
        self._ids = frozenset(ids)
        self._guard: Callable[[], AbstractContextManager[None]] = nullcontext if may_compile else compiled_only
        self._ways = {row.id: way_of_row(row) for row in assessment.hops} if assessment is not None else {}
        self._known = {row.id: row for row in assessment.radios} if assessment is not None else {}
        self._regions = regions if regions is not None else load_regions()
        self._take_up(site)

    def _take_up(self, site: Site) -> None:
        job = Job(site)
        self._start = site.design
        hops, radios = _concerned(job, self._ids)
        mounts = {job.radios[key].mount for key in radios}
        structures = {job.mounts[key].structure for key in mounts}
        self._kept = {"radios": radios, "mounts": mounts, "structures": structures, "hops": hops}
        self._places = {
            name: tuple(n for n, row in enumerate(getattr(site.design, name)) if row.id in ids)
            for name, ids in self._kept.items()
        }
        self._names = {name: tuple(row.id for row in self._rows_of(site.design, name)) for name in self._kept}
        demand: dict[str, HopDemand] = demand_by_hop(job)
        small = Job(self._small(site))
        self._steady: Steady = steady_of(small, self._regions, {key: demand[key] for key in small.hops})
        self._beams: Beams = beams_of(small)
        self._radios = tuple(small.radios.values())
        self._environments = tuple(small.mounts[radio.mount].environment for radio in self._radios)
        self._whole = job
        self._rest: Surroundings | None = None
        # solids of what does not move, from frame to frame
        self._solids = Memo()
        self._aims = self._held_aims(small, site)

    def _held_aims(self, small: Job, site: Site) -> Aims:
        """Return the aims of the beginning: as assessed, else searched."""
        if any(radio.id not in self._known for radio in self._radios):
            return self._moved(small, site)[0].aims
        rows = [self._known[radio.id] for radio in self._radios]
        anchored = small.placed.plane is not None
        bearing = [row.bearing_true_deg if anchored else row.bearing_plan_deg for row in rows]
        table = np.array([bearing, [r.tilt_deg for r in rows], [r.bracket_tilt_deg for r in rows]], dtype=float)
        return Aims(*table)

    def _rows_of(self, design: Design, name: str) -> tuple[Thing, ...]:
        rows: tuple[Thing, ...] = getattr(design, name)
        return tuple(rows[n] for n in self._places[name] if n < len(rows))

    def _small(self, site: Site, around: frozenset[str] = frozenset()) -> Site:
        """Return the site with nothing but what is concerned, and some of the structures around it."""
        rows = {name: self._rows_of(site.design, name) for name in self._kept}
        if around:
            wanted = around | self._kept["structures"]
            rows["structures"] = tuple(one for one in site.design.structures if one.id in wanted)
        empty = {"cameras": (), "devices": (), "wires": (), "supplies": (), "head_ends": (), "landmarks": ()}
        more = {"notes": (), "waters": (), "zones": (), "served_areas": (), "climbs": ()}
        return with_fields(site, design=with_fields(site.design, **rows, **empty, **more))

    def _moved(self, job: Job, site: Site, held: Aims | None = None) -> tuple[Numbers, bool]:
        """Return the numbers of what is concerned, and whether what stands in the way is of the edited site."""
        try:
            with self._guard():
                return self._answering(job, moved(*self._in_its_place(job, site), held=held)), True
        except NotCompiledError:
            ways = [self._ways.get(key, NOTHING_KNOWN) for key in job.hops]
            return self._answering(job, moved(job, self._steady, obstruction_of_rows(ways), held=held)), False

    def _answering(self, job: Job, found: Numbers) -> Numbers:
        """Return the same with what automatic power answers other cells, held as it was assessed."""
        known = (self._known.get(key) for key in found.radios.ids)
        answered = np.array([row.tx_power_answer_db if row is not None else 0.0 for row in known], dtype=float)
        if not answered.any():
            return found
        return at_powers(job, found, np.minimum(found.powers.service_dbm + answered, found.powers.full_dbm))

    def _in_its_place(self, job: Job, site: Site) -> tuple[Job, Steady, Surroundings]:
        """Return what is concerned among the structures near its hops, which stand where the edited site has them."""
        hops = list(job.hops.values())
        spots = [
            tuple(job.placed.mounts[job.radios[key].mount]) for hop in hops for key in (hop.access_point, hop.station)
        ]
        table = np.array([(x, y, over) for x, y, _, _, _, over in spots], dtype=float).reshape(-1, 2, 3)
        if self._rest is None:
            self._rest = surroundings_of(self._whole, Fresh())
        moving = {one.id for one in site.design.structures if one.id in self._ids}
        around = frozenset(things_near(self._rest, table[:, 0], table[:, 1]) | moving)
        placed = Job(self._small(site, around))
        return placed, self._steady, surroundings_of(placed, self._solids)

    def _still_holds(self, design: Design, job: Job) -> bool:
        """Return whether nothing but places and aims differs from what was taken up."""
        if any(getattr(design, name) is not getattr(self._start, name) for name in _STEADY):
            return False
        if any(len(getattr(design, name)) != len(getattr(self._start, name)) for name in self._kept):
            return False
        if any(tuple(row.id for row in self._rows_of(design, name)) != ids for name, ids in self._names.items()):
            return False
        # a radio may also have lost its place on the plan, or found one
        radios = tuple(job.radios.values())
        return (
            tuple(job.mounts[radio.mount].environment for radio in radios) == self._environments
            and len(radios) == len(self._radios)
            and all(map(_same_but_aim, radios, self._radios))
        )

    def at(self, site: Site, *, settled: bool = False) -> Live:
        """Return the numbers where the things are in an edited site.

        Parameters
        ----------
        site : Site
            The site with the edit that the drag would make. What else an edit changes is noticed, and taken up anew.
        settled : bool, default False
            Search the common aims of several far ends anew, as an assessment does; that takes longer than a frame.
        """
        job = Job(self._small(site))
        if site.design is not self._start and not self._still_holds(site.design, job):
            self._take_up(site)
            job = Job(self._small(site))
        found, way_is_true = self._moved(job, site, None if settled else self._aims)
        reach = radio_reach(
            job, found.radios, found.hops, found.where, found.fans, found.path, found.rates, found.needed,
            found.powers.full_dbm, found.aims, self._beams,
        )  # fmt: skip
        held = frozenset() if settled else _held(job, found)
        return _rows(job, found, reach, self._beams, held, frozenset() if way_is_true else frozenset(job.hops))


def _concerned(job: Job, ids: frozenset[str]) -> tuple[set[str], set[str]]:
    """Return hops and radios that the moved things touch: their radios, these radios' hops, and the whole cells."""
    radios = {
        radio.id
        for radio in job.radios.values()
        if radio.id in ids or radio.mount in ids or job.mounts[radio.mount].structure in ids
    }
    hops = {key for key in job.hops if key in ids}
    waiting = set(radios)
    for key in hops:
        waiting |= {job.hops[key].access_point, job.hops[key].station}
    seen: set[str] = set()
    while waiting:
        key = waiting.pop()
        seen.add(key)
        for hop in job.hops_of[key]:
            hops.add(hop.id)
            # the moved radio's cells whole: the access point of each hop, and all its stations
            around = {hop.access_point} | {other.station for other in job.hops_of[hop.access_point]}
            waiting |= around - seen
    return hops, seen


def _same_but_aim(now: Radio, before: Radio) -> bool:
    return now is before or all(
        value is before.__dict__[name] or value == before.__dict__[name]
        for name, value in now.__dict__.items()
        if name != "aim"
    )


def _held(job: Job, found: Numbers) -> frozenset[str]:
    """Return the radios whose common aim was not searched."""
    return frozenset(
        radio.id
        for n, radio in enumerate(job.radios.values())
        if len(found.fans.hop_rows[n]) > 1
        and found.radios.kind[n] != OMNI
        and (radio.aim is None or radio.aim.tilt_deg is None)
    )


def _rows(job: Job, found: Numbers, reach: Reach, beams: Beams, held: frozenset[str], unjudged: frozenset[str]) -> Live:
    anchored = found.placed.plane is not None
    hops = _hops(job, found, anchored=anchored)
    judged = {hop.id for hop in job.hops.values() if held & {hop.access_point, hop.station}} | unjudged
    cells = {key for key, rows in job.cells.items() if any(hop.id in judged for hop in rows)}
    return Live(
        radios=_radios(job, found, reach, beams, held),
        hops=hops,
        cells=_cells(job, found),
        unjudged=unjudged,
        stale=frozenset(held | judged | cells),
    )


def _radios(job: Job, found: Numbers, reach: Reach, beams: Beams, held: frozenset[str]) -> dict[str, LiveRadio]:
    radios, aims = found.radios, found.aims
    plane, plan = found.placed.plane, aims.bearing_deg
    if plane is not None:
        plan = plan_bearing(plane, radios.x_m, radios.y_m, aims.bearing_deg)
    rows = {}
    for n, key in enumerate(radios.ids):
        all_round = bool(radios.kind[n] == OMNI) and not math.isnan(radios.gain_dbi[n])
        aimed = not math.isnan(aims.bearing_deg[n]) and not all_round
        spot = found.placed.mounts[job.radios[key].mount]
        rows[key] = LiveRadio(
            id=key,
            x_m=float(radios.x_m[n]),
            y_m=float(radios.y_m[n]),
            antenna_elevation_m=float(radios.elevation_m[n]),
            height_above_ground_m=spot.elevation_m - spot.foot_m,
            bearing_plan_deg=number(plan[n]) if aimed else None,
            bearing_true_deg=number(aims.bearing_deg[n]) if aimed and plane is not None else None,
            tilt_deg=number(aims.tilt_deg[n]) if aimed or all_round else None,
            bracket_tilt_deg=number(aims.bracket_deg[n]) if aimed or all_round else None,
            edge_left_deg=number(beams.left_deg[n]),
            edge_right_deg=number(beams.right_deg[n]),
            reach_m=number(reach.reach_m[n]),
            reach_mcs=int(reach.mcs[n]) if reach.mcs[n] >= 0 else None,
            reach_rate_mbps=number(reach.rate_mbps[n]),
            reach_arcs=reach.arcs[n],
            near_in_m=number(reach.near_in_m[n]),
            aim_is_held=key in held,
        )
    return rows


def _hops(job: Job, found: Numbers, *, anchored: bool) -> dict[str, LiveHop]:
    ends = _ends(found, anchored=anchored, at_access_point=True), _ends(found, anchored=anchored, at_access_point=False)
    where, path = found.where, found.path
    return {
        key: LiveHop(
            id=key,
            distance_m=float(where.distance_m[n]),
            ground_distance_m=float(where.ground_distance_m[n]),
            free_space_loss_db=number(path.free_space_loss_db[n]),
            way=found.obstruction.hops[n],
            access_point=ends[0][n],
            station=ends[1][n],
            to_access_point=_direction(found, n, upward=True),
            to_station=_direction(found, n, upward=False),
        )
        for n, key in enumerate(job.hops)
    }


def _ends(found: Numbers, *, anchored: bool, at_access_point: bool) -> list[LiveEnd]:
    hops, where, path, aims, powers = found.hops, found.where, found.path, found.aims, found.powers
    here, there = hops.access_point, hops.station
    bearing, plan, elevation = where.bearing_a_deg, where.plan_a_deg, where.elevation_a_deg
    gain, peak = path.gain_a_dbi, path.peak_a_dbi
    if not at_access_point:
        here, there = there, here
        bearing, plan, elevation = where.bearing_s_deg, where.plan_s_deg, where.elevation_s_deg
        gain, peak = path.gain_s_dbi, path.peak_s_dbi
    across, upright = off_axis_of_beam_deg(
        found.radios, here, bearing, elevation, aims.bearing_deg[here], aims.bracket_deg[here]
    )
    across = np.where(found.radios.kind[here] == OMNI, 0.0, across)
    columns: list[FloatArray] = [
        plan, bearing if anchored else np.full(len(here), np.nan), elevation, across, upright, peak - gain, gain,
        powers.service_dbm[there] + path.path_gain_db, powers.aiming_dbm[there] + path.path_gain_db,
    ]  # fmt: skip
    table = np.array(columns).T.tolist()
    return [
        LiveEnd(found.radios.ids[radio], *(number(value) for value in row))
        for radio, row in zip(here.tolist(), table, strict=True)
    ]


def _direction(found: Numbers, n: int, *, upward: bool) -> LiveDirection:
    row = found.up if upward else found.down
    mcs = row.mcs[n]
    return LiveDirection(
        snr_db=number(row.snr_db[n]),
        mcs=int(mcs) if np.isfinite(mcs) and mcs >= 0 else None,
        phy_rate_mbps=number(row.rate_mbps[n]),
        margin_at_needed_rate_db=number(row.margin_needed_db[n]),
        margin_at_chosen_rate_db=number(row.margin_chosen_db[n]),
    )


def _cells(job: Job, found: Numbers) -> dict[str, LiveCell]:
    rows = {}
    for n, (key, hops) in enumerate(job.cells.items()):
        known = _known(found, hops)
        rows[key] = LiveCell(
            id=key,
            airtime_used_fraction=number(found.air.used_fraction[n]) if known else None,
            load_fraction=number(found.air.load_fraction[n]) if known else None,
        )
    return rows


def _known(found: Numbers, hops: tuple[Hop, ...]) -> bool:
    shares = found.air.hop_airtime_fraction[[found.hops.row[hop.id] for hop in hops]]
    return bool(np.all(np.isfinite(shares)))
