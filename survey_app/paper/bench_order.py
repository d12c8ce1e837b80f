"""In which order ends are changed on a system that runs: the end that is farther from the head end first."""

from __future__ import annotations

from survey_app.assess.record import HopRow, RadioRow
from survey_app.drawing.status import stands
from survey_app.paper.bench_rows import listed
from survey_app.paper.sources import Sources

__all__ = ["change_order_lines"]


def change_order_lines(sources: Sources, row: RadioRow) -> list[str]:
    """Return the line on changes to a radio whose hops run already; nothing where none does.

    Who changes the near end first cuts off the far one, which then can be reached by a climb only.

    Parameters
    ----------
    sources : Sources
        Site and assessment.
    row : RadioRow
        The radio.
    """
    running = [hop for hop in sources.hops_of(row) if _runs(sources, hop)]
    if not running:
        return []
    first: list[str] = []
    last: list[str] = []
    for hop in running:
        other = hop.station if hop.access_point == row.id else hop.access_point
        (last if _is_far(sources, row.id, hop) else first).append(sources.name(other))
    steps = [listed(first), f"this end ({row.label})", listed(last)]
    ordered = ", then ".join(step for step in steps if step)
    return [
        f"On a live system change the far end first: {ordered}. Never channel and protection in one step; after each "
        "step see that both ends are back."
    ]


def _runs(sources: Sources, hop: HopRow) -> bool:
    drawn = next((one for one in sources.design.hops if one.id == hop.id), None)
    if drawn is not None and stands(drawn.status):
        return True
    ends = (sources.drawn_radios.get(hop.access_point), sources.drawn_radios.get(hop.station))
    return all(radio is not None and stands(radio.status) for radio in ends)


def _is_far(sources: Sources, radio: str, hop: HopRow) -> bool:
    """Whether a radio is the end that video leaves from; the station is where no video crosses the hop."""
    ways = {leg.direction for route in sources.assessment.routes for leg in route.legs if leg.id == hop.id}
    toward = hop.station if ways == {"to_station"} else hop.access_point
    return radio != toward
