"""What is other in the assessment of a changed copy: figures before and after, cameras that it makes dark or slower."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.record import Assessment, DirectionRow, HopRow, RouteRow
from survey_app.assess.what_if.answer import Changed

__all__ = ["changed_figures", "cut_off", "slowed"]

_LEAST = 0.05
"""Figures are shown to a tenth: what differs by less than half of that is the same."""


def changed_figures(before: Assessment, after: Assessment) -> tuple[Changed, ...]:
    """Return the figures of cells, hops and routes that are other, in that order, each by id."""
    return tuple(row for row in _pairs(before, after) if _differs(row.before, row.after))


def _pairs(before: Assessment, after: Assessment) -> Iterator[Changed]:
    cells = {row.id: row for row in after.cells}
    for cell in before.cells:
        then = cells.get(cell.id)
        if then is not None:
            was, will = _percent(cell.load_with_others_fraction), _percent(then.load_with_others_fraction)
            yield Changed(id=cell.id, quantity="air, all together", before=was, after=will, unit="%")
            was, will = cell.delay_together_ms, then.delay_together_ms
            yield Changed(id=cell.id, quantity="delay, 99 of 100", before=was, after=will, unit="ms")
    hops = {row.id: row for row in after.hops}
    for hop in before.hops:
        if hop.id in hops:
            yield from _of_hop(hop, hops[hop.id])
    routes = {row.camera: row for row in after.routes}
    for route in before.routes:
        if route.camera in routes:
            was, will = route.bottleneck_mbps, routes[route.camera].bottleneck_mbps
            yield Changed(id=route.camera, quantity="narrowest leg carries", before=was, after=will, unit="Mbit/s")


def _of_hop(before: HopRow, after: HopRow) -> Iterator[Changed]:
    for end in ("access_point", "station"):
        was: DirectionRow = getattr(before.directions, f"to_{end}")
        will: DirectionRow = getattr(after.directions, f"to_{end}")
        towards = f"to {getattr(before, end)}"
        for what, one, other, unit in (
            ("margin", was.margin_left_db, will.margin_left_db, "dB"),
            ("SINR", was.sinr_db, will.sinr_db, "dB"),
            ("link rate", was.phy_rate_mbps, will.phy_rate_mbps, "Mbit/s"),
        ):
            yield Changed(id=before.id, quantity=f"{what} {towards}", before=one, after=other, unit=unit)


def _percent(fraction: float | None) -> float | None:
    return None if fraction is None else 100.0 * fraction


def _differs(before: float | None, after: float | None) -> bool:
    if before is None or after is None:
        return before is not after
    return abs(after - before) > _LEAST


def cut_off(before: Assessment, after: Assessment) -> tuple[str, ...]:
    """Return the cameras whose video came home, and comes home no longer because a leg carries nothing any more."""
    hops = {row.id: row for row in before.hops}, {row.id: row for row in after.hops}
    was = {row.camera: row for row in before.routes}
    return tuple(
        row.camera
        for row in after.routes
        if row.camera in was and _is_home(was[row.camera], hops[0]) and not _is_home(row, hops[1])
    )


def _is_home(route: RouteRow, hops: dict[str, HopRow]) -> bool:
    if route.head_end is None:
        return False
    return all(leg.kind == "wire" or _carries(hops[leg.id], leg.direction) for leg in route.legs)


def _carries(hop: HopRow, direction: str) -> bool:
    up = direction == "to_access_point"
    way = hop.directions.to_access_point if up else hop.directions.to_station
    return way.mcs is not None


def slowed(before: Assessment, after: Assessment, allowed: float) -> tuple[str, ...]:
    """Return the cameras whose video crosses a cell that is fuller than before, and than the site allows.

    Parameters
    ----------
    before, after : Assessment
        Without the event and with it.
    allowed : float
        Part of a cell's air that the site allows to be used.
    """
    loads = {row.id: row.load_with_others_fraction for row in before.cells}
    full = {
        hop
        for cell in after.cells
        for hop in cell.hops
        if (will := cell.load_with_others_fraction) is not None
        and will > allowed
        and will > (loads.get(cell.id) or 0.0) + 1e-9
    }
    return tuple(row.camera for row in after.routes if any(leg.id in full for leg in row.legs))
