"""Inside buildings: walls of which nobody knows the make, and areas in which a camera is not served everywhere."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.record import AreaRow, Cure, HopRow, Place, WallMet
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined, verb

__all__ = ["CODES", "RULES"]

CODES = {
    "indoor-wall-unknown": "A wall of unknown make decides",
    "area-not-served": "Part of the area is not served",
    "area-unknown": "Whether the area is served is not known",
}

_SLACK_DB = 0.05
_WORDS = {
    "wall": "an inner wall",
    "opening": "a door or window",
    "floor": "a floor",
    "ceiling": "a ceiling",
    "outer_wall": "the outer wall",
    "roof": "the roof",
}


@about_each("hops")
def indoor_wall_unknown(view: View, hop_id: str) -> Iterator[Draft]:
    """Whether the hop keeps its margin depends on what something is made of, and nobody wrote that down."""
    hop = view.hops[hop_id]
    walls = [wall for wall in hop.walls if not wall.known and wall.likely_db is not None]
    margin = _worst_margin_db(view, hop)
    if not walls or margin is None:
        return
    best = margin + sum((wall.likely_db or 0.0) - (wall.low_db or 0.0) for wall in walls)
    worst = margin - sum((wall.high_db or 0.0) - (wall.likely_db or 0.0) for wall in walls)
    wanted = hop.wanted_margin_db - _SLACK_DB
    if worst >= wanted or best < wanted:
        return
    widest = max(walls, key=lambda wall: (wall.high_db or 0.0) - (wall.low_db or 0.0))
    titles = [f"{_WORDS[wall.kind]} ({_title(view, wall)})" for wall in walls]
    yield Draft(
        code="indoor-wall-unknown",
        severity="warn",
        subject=hop.id,
        message=(
            f"It goes through {joined(titles)}, of which nobody knows the make: {worst:.0f} to {best:.0f} dB "
            f"of margin, {hop.wanted_margin_db:.0f} dB wanted."
        ),
        source="P2040",
        value=worst,
        limit=hop.wanted_margin_db,
        unit="dB",
        hop=hop.id,
        place=view.along_hop(hop.id, widest.place_m / hop.ground_distance_m if hop.ground_distance_m > 0.0 else 0.0),
        cures=(_find_out(view, widest),),
        concerns=tuple(dict.fromkeys(wall.thing for wall in walls)),
    )


def _worst_margin_db(view: View, hop: HopRow) -> float | None:
    """Return the margin at the needed rate in the worse direction, at full power; None where one is not known.

    Automatic control would raise the power behind a wall that takes more.
    """
    found = view.numbers
    n = found.hops.row[hop.id]
    needed, full, service = int(found.needed[n]), found.powers.full_dbm, found.powers.service_dbm
    rows = (
        (hop.directions.to_access_point, int(found.hops.station[n]), found.rates.power_s_dbm),
        (hop.directions.to_station, int(found.hops.access_point[n]), found.rates.power_a_dbm),
    )
    known = []
    for direction, sender, table in rows:
        if direction.margin_at_needed_rate_db is None or needed < 0:
            return None
        most = float(table[n, needed])
        held_back = min(most, float(full[sender])) - min(most, float(service[sender]))
        known.append(direction.margin_at_needed_rate_db + held_back)
    return min(known)


def _title(view: View, wall: WallMet) -> str:
    thing = view.job.within.get(wall.thing) or view.job.structures.get(wall.thing)
    return wall.thing if thing is None else thing.title


def _find_out(view: View, wall: WallMet) -> Cure:
    title = _title(view, wall)
    if wall.kind in ("wall", "opening"):
        return work_on_site(f"Knock on {title}, look at an edge of it or ask the owner, and write down its material.")
    if wall.kind == "outer_wall":
        return work_on_site(f"Write down what the outer wall of {title} is made of; draw windows that the ray meets.")
    if wall.kind == "floor" and wall.thing in view.job.within:
        return work_on_site(f"Write down what the floor of {title} is made of.")
    if wall.kind == "floor":
        return work_on_site(f"Draw the rooms of {title}, each with what its floor is made of.")
    return work_on_site(f"Bring the antenna out of {title}, so that its ray goes round the roof.")


@about_each("areas")
def area_not_served(view: View, area_id: str) -> Iterator[Draft]:
    """Less than the wanted part has the needed rate: a stop with doors open, a warning with them shut or goods in."""
    area = view.areas[area_id]
    opened, shut, full = area.served_open_fraction, area.served_fraction, area.served_full_fraction
    if opened is None or shut is None or full is None or min(opened, shut, full) >= area.wanted_fraction:
        return
    stop = opened < area.wanted_fraction
    value = opened if stop else min(shut, full)
    yield Draft(
        code="area-not-served",
        severity="stop" if stop else "warn",
        subject=area.id,
        message=(
            f"{_percent(opened)} % has {area.needed_rate_mbps:g} Mbit/s with doors open, "
            f"{_percent(shut)} % with them shut, {_percent(full)} % with goods in besides; "
            f"{_percent(area.wanted_fraction)} % wanted."
        ),
        source="P1238",
        value=value * 100.0,
        limit=area.wanted_fraction * 100.0,
        unit="%",
        place=_weakest(area),
        cures=_area_cures(view, area),
        concerns=tuple(key for key in (area.station, *area.access_points, *area.weakest_behind) if key is not None),
    )


def _percent(fraction: float) -> str:
    """Return a part in per cent, never rounded up to what is wanted or to all."""
    return f"{int(fraction * 1000.0 + 1e-9) / 10.0:g}"


def _weakest(area: AreaRow) -> Place | None:
    if area.weakest_x_m is None or area.weakest_y_m is None:
        return None
    return Place(x_m=area.weakest_x_m, y_m=area.weakest_y_m)


def _area_cures(view: View, area: AreaRow) -> tuple[Cure, ...]:
    """Offer a lower rate where one is served everywhere, and another access point where the level is lowest."""
    cures = []
    rate = area.rate_everywhere_mbps
    if rate is not None and area.needed_rate_mbps is not None and rate < area.needed_rate_mbps:
        cures.append(cure(f"Be content with {rate:g} Mbit/s in it.", "change", thing_id=area.id, needed_rate_mbps=rate))
    behind = [_within(view, key) for key in area.weakest_behind]
    why = f", which {joined(behind)} {verb(behind, 'hides', 'hide')} from it" if behind else ""
    cures.append(
        work_on_site(
            f"Hang a further access point in sight of the weakest place, at {area.weakest_x_m:.0f}, "
            f"{area.weakest_y_m:.0f}{why}, and let {area.station} join it too."
        )
    )
    return tuple(cures)


def _within(view: View, key: str) -> str:
    thing = view.job.within.get(key) or view.job.structures.get(key)
    return key if thing is None else thing.title


@about_each("areas")
def area_unknown(view: View, area_id: str) -> Iterator[Draft]:
    """Something is missing without which nobody can say what part is served."""
    area = view.areas[area_id]
    if area.served_fraction is not None:
        return
    yield Draft(
        code="area-unknown",
        severity="warn",
        subject=area.id,
        message="Nobody can say yet what part of it is served.",
        source="PRACTICE",
        cures=tuple(work_on_site(text) for text in dict.fromkeys(row.sentence for row in area.null_reasons)),
        concerns=() if area.station is None else (area.station,),
    )


RULES = (indoor_wall_unknown, area_not_served, area_unknown)
