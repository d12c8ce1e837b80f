"""What comes nearest to a hop, as rows of the record."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from survey_app.assess.in_the_way.held import Held
from survey_app.assess.in_the_way.stand import LOOKED_AT_ZONES
from survey_app.assess.record import ObstacleKind, ObstacleRow, Side
from survey_app.ground.solids import SolidKind

__all__ = ["near_rows", "side_of"]

_SHOWN = 8
_KINDS: Mapping[int, ObstacleKind] = {
    SolidKind.BUILDING: "building",
    SolidKind.PARAPET: "parapet",
    SolidKind.UPRIGHT: "upright",
    SolidKind.TREES: "trees",
    SolidKind.OBSTACLE: "obstacle",
    SolidKind.TRAFFIC: "traffic",
    SolidKind.WIRE: "wire",
}
_SIDES: tuple[Side, ...] = ("over", "right", "under", "left")


def side_of(clock_deg: float) -> Side:
    """Return where something lies that is seen in such a direction, clockwise from straight over the ray."""
    return _SIDES[int(((clock_deg + 45.0) % 360.0) // 90.0)]


def near_rows(
    held: Held,
    ray: int,
    spans_m: Mapping[str, tuple[float, float]],
    carriers: Collection[str],
    flat_part: float,
    *,
    known: bool,
) -> tuple[ObstacleRow, ...]:
    """Return what comes nearest to a hop, each thing once, by rising ratio.

    Parameters
    ----------
    held : Held
        What stands near.
    ray : int
        The hop there.
    spans_m : mapping of str to (float, float)
        Where the ray lies over or in each thing. [m]
    carriers : collection of str
        What carries its ends.
    flat_part : float
        Metres along the ground for a metre along the ray. [1]
    known : bool
        Whether the frequency is, and with it the zone.
    """
    found: dict[str, ObstacleRow] = {}
    for pair in held.of(ray).tolist():
        key, ratio = held.ids[held.thing[pair]], float(held.found.ratio[pair])
        if key in found or ratio > LOOKED_AT_ZONES or len(found) == _SHOWN:
            continue
        span_m = spans_m.get(key)
        found[key] = ObstacleRow(
            thing=key,
            kind=_KINDS[int(held.kind[pair])],
            own=key in carriers,
            place_m=float(held.found.from_start_m[pair]) * flat_part,
            clearance_m=float(held.found.clearance_m[pair]),
            ratio=ratio if known else None,
            side=side_of(float(held.found.clock_deg[pair])),
            enter_m=span_m[0] if span_m is not None else None,
            leave_m=span_m[1] if span_m is not None else None,
        )
    return tuple(found.values())
