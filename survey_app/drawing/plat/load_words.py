"""What each leg carries of what it can: of all cameras, in the direction of their video."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from survey_app.drawing.labels import LINE_PLACES
from survey_app.drawing.plat.labelling import Labelling, Run
from survey_app.drawing.plat.marks import box_places, wire_points
from survey_app.drawing.plat.wording import number_words
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Point

if TYPE_CHECKING:
    from survey_app.assess.record import Leg, RouteRow

__all__ = ["load_words", "loads_of", "place_wire_loads"]

_WORDS_MM, _OFF_MM = 2.09, 1.0
_OF_WORDS = 0.8
"""A stretch shorter than this part of the words has no room for them."""
_LAST_TIER = 2
"""On a smaller plan wires are not drawn."""


def loads_of(routes: Iterable[RouteRow]) -> Mapping[str, Leg]:
    """Return the legs that video crosses, by id; of one that it crosses both ways the fuller direction."""
    found: dict[str, Leg] = {}
    for route in routes:
        for leg in route.legs:
            known = found.get(leg.id)
            if known is None or _fullness(leg) > _fullness(known):
                found[leg.id] = leg
    return found


def _fullness(leg: Leg) -> tuple[float, float]:
    part = leg.demand_mbps / leg.carries_mbps if leg.carries_mbps else math.inf
    return part, leg.demand_mbps


def load_words(leg: Leg | None, *, short: bool = False) -> str:
    """Return what a leg carries of what it can, in words; short ones leave the unit out."""
    if leg is None:
        return "no video"
    demand, unit = number_words(leg.demand_mbps, 1), "" if short else " Mbit/s"
    if leg.carries_mbps is None:
        return f"{demand}{unit} of a rate not known"
    return f"{demand} of {number_words(leg.carries_mbps, 0)}{unit}"


def place_wire_loads(labels: Labelling) -> None:
    """Write along the wires that video crosses what they carry, where there is room."""
    if labels.wish.hop_words != "load" or "wires" in labels.wish.hidden or labels.view.tier > _LAST_TIER:
        return
    boxes = box_places(labels.scene, labels.marks)
    for wire_id, leg in labels.scene.leg_loads.items():
        if leg.kind != "wire" or wire_id not in labels.scene.wires or wire_id in labels.wish.lifted:
            continue
        points = [labels.mm(at) for at in wire_points(labels.scene, labels.layout, boxes, wire_id)]
        run = Run(load_words(leg), _WORDS_MM, Role.WORDS_WIRE)
        # along the longest stretch first: a short one has no room for words
        stretches = sorted(itertools.pairwise(points), key=lambda ends: -math.dist(*ends))
        next((True for a, b in stretches if _has_room(run, a, b) and _write(labels, wire_id, run, a, b)), False)


def _has_room(run: Run, a: Point, b: Point) -> bool:
    return math.dist(a, b) > _OF_WORDS * run.width_mm


def _write(labels: Labelling, wire_id: str, run: Run, a: Point, b: Point) -> bool:
    part = labels.clipped(a, b)
    if part is None:
        return False
    placed = labels.placer.along_line(*part, run.text, run.height_mm, _OFF_MM, LINE_PLACES)
    if placed is not None:
        labels.turned((wire_id, "wires"), run, placed.x, placed.y, placed.turn_deg)
    return placed is not None
