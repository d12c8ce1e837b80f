"""Another unit close in front of an antenna, and the least move that leaves it beside the zone."""

from __future__ import annotations

import math
from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.raising.moves import Move, moves_of, written_m
from survey_app.assess.record import Cure, HopRow
from survey_app.assess.rules.view import View
from survey_app.physics.fresnel import fresnel_zone_radius_m

__all__ = ["next_unit"]

_NEAR_M = 20.0
_UNIT_M = 0.15  # half a unit of the common size, where its sheet is silent; common practice
_IN_FRONT_M = 0.3
_MOST_M, _STEP_M = 3.0, 0.1  # farther than that it is another place
Point = tuple[float, float, float]


def next_unit(view: View, hop: HopRow, end: str, other: str) -> Iterator[Draft]:
    """Find other units in front of an antenna.

    Parameters
    ----------
    view : View
        What is known.
    hop : HopRow
        The hop.
    end, other : str
        The radio in front of which is looked, and its far end.
    """
    free = view.job.defaults.free_zone_fraction
    if hop.centre_mhz is None:
        return
    for unit in _units(view, end, other):
        along_m, beside_m, ratio = _passed(view, hop.centre_mhz, _at(view, end), _at(view, other), unit)
        if ratio >= free:
            continue
        yield Draft(
            code="own-edge",
            severity="warn",
            subject=hop.id,
            second_subject=unit,
            message=f"{unit} hangs {along_m:.1f} m in front of {end}, {beside_m:.2f} m beside its ray.",
            source="P526",
            value=ratio,
            limit=free,
            unit="1",
            hop=hop.id,
            radio=end,
            place=view.at_radio(unit),
            cures=(
                *_moved(view, hop, end, other, unit),
                work_on_site("Hang one of the two or the other way round."),
            ),
        )


def _units(view: View, end: str, other: str) -> list[str]:
    radios = view.numbers.radios
    names = (view.radios[radios.ids[row]].id for row in view.neighbours.get(radios.row[end], ()))
    return [name for name in names if name != other]


def _at(view: View, radio_id: str) -> Point:
    row = view.radios[radio_id]
    return row.x_m, row.y_m, row.antenna_elevation_m


def _passed(view: View, centre_mhz: float, start: Point, end: Point, unit: str) -> tuple[float, float, float]:
    """Return how far in front a unit hangs, how far beside the ray, and that in zone radii; infinite elsewhere."""
    ray, off = ([q - p for p, q in zip(start, there, strict=True)] for there in (end, _at(view, unit)))
    length_m = math.hypot(*ray)
    along_m = sum(p * q for p, q in zip(off, ray, strict=True)) / length_m if length_m > 0.0 else math.nan
    if not _IN_FRONT_M <= along_m <= min(_NEAR_M, length_m / 2.0):
        return along_m, math.inf, math.inf
    beside_m = math.sqrt(max(0.0, sum(p * p for p in off) - along_m * along_m))
    zone_m = float(fresnel_zone_radius_m(along_m, length_m - along_m, centre_mhz))
    return along_m, beside_m, (beside_m - _half_m(view, unit)) / zone_m


def _half_m(view: View, radio_id: str) -> float:
    """Return how far what hangs there reaches to each side: half a square of its wind area, which is no smaller."""
    radio = view.job.radios[radio_id]
    gear = view.job.antenna_type(radio) or view.job.radio_type(radio)
    area_m2 = gear.body.wind_area_m2 if gear is not None else None
    return _UNIT_M if area_m2 is None else math.sqrt(area_m2) / 2.0


def _moved(view: View, hop: HopRow, end: str, other: str, unit: str) -> list[Cure]:
    """Return the least moves of the end's mount, upwards and along its edge, that leave every unit beside the zone."""
    mount = view.job.mounts[view.job.radios[end].mount]
    if mount.locked or mount.id == view.job.radios[unit].mount:
        return []
    side = "access_point" if end == hop.access_point else "station"
    found: list[tuple[float, Cure]] = []
    for move in moves_of(view.job, view.job.hops[hop.id]):
        if move.end != side or (by_m := _least_m(view, hop, end, other, move)) is None:
            continue
        to_m = round(written_m(view.job, mount.id, move, by_m), 3)
        if move.way == "up":
            text = f"Raise {mount.id} by {by_m:.1f} m: {unit} is then beside the zone."
            found.append((by_m, cure(text, "set_height", thing_id=mount.id, height_m=to_m)))
        else:
            text = f"Move {mount.id} {by_m:.1f} m along its edge, to {to_m:.1f} m from its corner."
            found.append((by_m, cure(text, "slide", mount_id=mount.id, along_m=to_m)))
    return [one for _, one in sorted(found, key=lambda pair: pair[0])]


def _least_m(view: View, hop: HopRow, end: str, other: str, move: Move) -> float | None:
    """Return the least move in whole tenths of a metre on what carries the end, or None where there is none."""
    free, centre_mhz = view.job.defaults.free_zone_fraction, hop.centre_mhz
    direction = move.direction_m[0] if end == hop.access_point else move.direction_m[1]
    mount = view.job.radios[end].mount
    units = [unit for unit in _units(view, end, other) if view.job.radios[unit].mount != mount]
    for n in range(1, int(min(move.within_m, _MOST_M) / _STEP_M + 1e-9) + 1):
        by_m = n * _STEP_M
        x, y, z = (p + by_m * step for p, step in zip(_at(view, end), direction, strict=True))
        start = x, y, z
        if centre_mhz and all(_passed(view, centre_mhz, start, _at(view, other), it)[2] >= free for it in units):
            return by_m
    return None
