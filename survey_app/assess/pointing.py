"""How an installer finds an aim: turns from landmarks, how good the aim is, what the bracket can set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey_app.assess.budget import Aims
from survey_app.assess.gain import OMNI, gain_toward_dbi
from survey_app.assess.gather import HopArrays, RadioArrays
from survey_app.assess.geometry import HopGeometry
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.record import FromLandmark
from survey_app.ground import landmark as marks
from survey_app.ground import tolerance
from survey_app.ground.geodesic import inverse, plan_line
from survey_app.ground.place import Placed
from survey_app.ground.plane import plan_bearing
from survey_app.physics.arrays import FloatArray
from survey_app.site.gear_type import ClampType
from survey_app.site.mount import Mount

__all__ = [
    "Fans",
    "Sightings",
    "aim_spread",
    "bracket_setting",
    "close_enough_deg",
    "fans_of",
    "marks_of",
    "sightings",
    "spread_of",
]

_CLOSE_ENOUGH_DB = 0.5  # common practice: what a careless degree may cost the worst far end
_BY_EYE_SIGMA_DEG = 0.5  # common practice: sighting a landmark over the back of the unit


@dataclass(frozen=True)
class Fans:
    """Each radio's far ends: rows of hops, and whether the radio is their access point."""

    hop_rows: tuple[tuple[int, ...], ...]
    at_access_point: tuple[tuple[bool, ...], ...]

    def directions(self, radio: int, where: HopGeometry) -> tuple[FloatArray, FloatArray]:
        """Return bearing and elevation toward each far end of a radio. [deg]"""
        pairs = list(zip(self.hop_rows[radio], self.at_access_point[radio], strict=True))
        bearing = [where.bearing_a_deg[h] if at else where.bearing_s_deg[h] for h, at in pairs]
        upward = [where.elevation_a_deg[h] if at else where.elevation_s_deg[h] for h, at in pairs]
        return np.array(bearing, dtype=float), np.array(upward, dtype=float)


def fans_of(radios: RadioArrays, hops: HopArrays) -> Fans:
    """Return the far ends of each radio, in the order of the hops' ids."""
    rows: list[list[tuple[int, bool]]] = [[] for _ in radios.ids]
    for n in sorted(range(len(hops.ids)), key=lambda h: hops.ids[h]):
        rows[hops.access_point[n]].append((n, True))
        rows[hops.station[n]].append((n, False))
    return Fans(tuple(tuple(n for n, _ in row) for row in rows), tuple(tuple(at for _, at in row) for row in rows))


@dataclass(frozen=True)
class Sightings:
    """Landmarks as seen from each radio, shape (radios, landmarks): bearings true and plan, distances."""

    bearing_deg: FloatArray
    plan_deg: FloatArray
    distance_m: FloatArray
    sigma_m: FloatArray
    ids: tuple[str, ...]
    names: tuple[str, ...]


def sightings(job: Job, radios: RadioArrays, placed: Placed) -> Sightings:
    """Return bearings and distances from every radio to every landmark."""
    found = [mark for mark in job.design.landmarks if mark.status != "removed" and mark.id in placed.points]
    points = [placed.points[mark.id] for mark in found]
    x = np.array([point.x_m for point in points], dtype=float)
    y = np.array([point.y_m for point in points], dtype=float)
    plan = plan_line(radios.x_m[:, None], radios.y_m[:, None], x, y)
    bearing, plan_deg, distance = plan.bearing_at_1_deg, plan.bearing_at_1_deg, plan.ground_distance_m
    if placed.plane is not None and found:
        lat = np.array([point.lat_deg for point in points], dtype=float)
        lon = np.array([point.lon_deg for point in points], dtype=float)
        line = inverse(radios.lat_deg[:, None], radios.lon_deg[:, None], lat, lon)
        bearing, distance = line.bearing_at_1_deg, line.ground_distance_m
        plan_deg = plan_bearing(placed.plane, radios.x_m[:, None], radios.y_m[:, None], bearing)
    return Sightings(
        bearing_deg=bearing,
        plan_deg=plan_deg,
        distance_m=distance,
        sigma_m=np.array([mark.sigma_m for mark in found], dtype=float),
        ids=tuple(mark.id for mark in found),
        names=tuple(mark.title for mark in found),
    )


def landmark_turns(
    job: Job, seen: Sightings, radio: int, mount: str, aim_deg: float, beamwidth_deg: float, mount_sigma_m: float
) -> tuple[FromLandmark, ...]:
    """Return the turn to an aim from every landmark that can be seen from a mount, the best first, its check second.

    Landmarks that were noted as seen only from other mounts are left out; those too near or too uncertain are listed
    as not allowed.
    """
    design_marks = {mark.id: mark for mark in job.design.landmarks}
    columns = [
        n for n, key in enumerate(seen.ids) if not design_marks[key].seen_from or mount in design_marks[key].seen_from
    ]
    if not columns or np.isnan(aim_deg):
        return ()
    bearing, distance, sigma = seen.bearing_deg[radio][columns], seen.distance_m[radio][columns], seen.sigma_m[columns]
    plan = seen.plan_deg[radio]
    chosen = marks.choose_landmarks(
        [seen.ids[n] for n in columns],
        bearing,
        distance,
        sigma,
        aim_bearing_deg=aim_deg,
        beamwidth_deg=beamwidth_deg,
        mount_sigma_m=mount_sigma_m,
    )
    turns = marks.turn_to_aim(bearing, aim_deg)
    errors = marks.landmark_error(distance, sigma, mount_sigma_m)
    allowed = marks.landmark_allowed(errors, beamwidth_deg)
    first = [mark.id for mark in (chosen.first, chosen.second) if mark is not None] if chosen is not None else []
    rows = [
        FromLandmark(
            landmark=seen.ids[n],
            name=seen.names[n],
            bearing_true_deg=float(bearing[k]),
            bearing_plan_deg=float(plan[n]),
            distance_m=float(distance[k]),
            turn_deg=float(turns[k]),
            error_deg=float(errors[k]),
            allowed=bool(allowed[k]),
        )
        for k, n in enumerate(columns)
        if np.isfinite(turns[k])
    ]
    rank = {key: n for n, key in enumerate(first)}
    return tuple(
        sorted(rows, key=lambda row: (rank.get(row.landmark, 2), not row.allowed, row.error_deg, row.landmark))
    )


def marks_of(
    job: Job, radios: RadioArrays, seen: Sightings, aims: Aims, memo: Fresh
) -> tuple[tuple[FromLandmark, ...], ...]:
    """Return the landmarks of every radio, as `landmark_turns` sorts them; none for an omni."""
    given = [(n, job.mounts[radio.mount]) for n, radio in enumerate(job.radios.values())]
    return tuple(memo.watched("landmarks", _Seen(job, radios, seen, aims), radios.ids, given, _marks))


@dataclass(frozen=True)
class _Seen:
    """What turns from landmarks are made from."""

    job: Job
    radios: RadioArrays
    seen: Sightings
    aims: Aims


def _marks(known: _Seen, n: int, mount: Mount) -> tuple[FromLandmark, ...]:
    aim = float(known.aims.bearing_deg[n])
    if known.radios.kind[n] == OMNI or np.isnan(aim):
        return ()
    beam = float(known.radios.azimuth_beamwidth_deg[n])
    return landmark_turns(known.job, known.seen, n, mount.id, aim, beam, mount.position_sigma_m)


def aim_spread(
    beam_distance_m: float,
    mount_sigma_m: float,
    far_sigma_m: float,
    north_sigma_deg: float,
    compass_sigma_deg: float,
    mark: FromLandmark | None,
) -> tuple[float, float]:
    """Return how far an aim may be off by landmark (NaN without one) and by compass, one standard deviation. [deg]"""
    ends = float(tolerance.position_sigma(beam_distance_m, mount_sigma_m, far_sigma_m))
    by_compass = float(tolerance.combined_sigma(ends, north_sigma_deg, compass_sigma_deg))
    if mark is None:
        return float("nan"), by_compass
    return float(tolerance.combined_sigma(ends, mark.error_deg, _BY_EYE_SIGMA_DEG)), by_compass


def close_enough_deg(radios: RadioArrays, fans: Fans, where: HopGeometry, aims: Aims, radio: int) -> float:
    """Return the turn off the aim, either way, that costs the worst far end half a decibel at most. [deg]"""
    if radios.kind[radio] == OMNI or not fans.hop_rows[radio] or np.isnan(aims.bearing_deg[radio]):
        return float("nan")
    bearing, upward = fans.directions(radio, where)
    turns = np.arange(0.0, 30.01, 0.25)
    both = np.concatenate([turns, -turns])
    shape = (len(both), len(bearing))
    rows = np.full(shape, radio, dtype=np.intp)
    aim = np.broadcast_to(aims.bearing_deg[radio] + both[:, None], shape)
    bracket = np.full(shape, aims.bracket_deg[radio])
    gain = gain_toward_dbi(radios, rows, np.broadcast_to(bearing, shape), np.broadcast_to(upward, shape), aim, bracket)
    worst = (gain[0] - gain).max(axis=1)
    cost = np.maximum(worst[: len(turns)], worst[len(turns) :])
    beyond = np.flatnonzero(cost > _CLOSE_ENOUGH_DB)
    return float(turns[beyond[0] - 1]) if beyond.size else float(turns[-1])


def bracket_setting(
    radios: RadioArrays, fans: Fans, where: HopGeometry, aims: Aims, radio: int, clamp: ClampType | None
) -> tuple[float, float]:
    """Return the tilt that a bracket can set nearest to the wanted one, and what that costs the worst far end.

    Returns
    -------
    set_deg, cost_db : float
        NaN where the clamp is not known. [deg, dB]
    """
    wanted = aims.bracket_deg[radio]
    if clamp is None or np.isnan(wanted):
        return float("nan"), float("nan")
    step = clamp.tilt_step_deg
    settable = float(np.clip(np.round(wanted / step) * step, clamp.tilt_min_deg, clamp.tilt_max_deg)) + 0.0
    if not fans.hop_rows[radio]:
        return settable, float("nan")
    bearing, upward = fans.directions(radio, where)
    rows = np.full(len(bearing), radio, dtype=np.intp)
    aim = np.full(len(bearing), aims.bearing_deg[radio])
    there = gain_toward_dbi(radios, rows, bearing, upward, aim, np.full(len(bearing), wanted))
    here = gain_toward_dbi(radios, rows, bearing, upward, aim, np.full(len(bearing), settable))
    return settable, float(np.max(there - here))


def spread_of(values: Sequence[float]) -> float:
    """Return the largest of the standard deviations of positions, 0 for none. [m]"""
    return max(values, default=0.0)
