"""What stands in one season, ready to be held against rays."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from survey_app.ground import clearance_pairs
from survey_app.ground.clearance import Bodies, Pairs, Rays
from survey_app.ground.ray.index import RayIndex, ray_index
from survey_app.ground.solids import SolidKind
from survey_app.ground.standing import Standing

__all__ = ["LOOKED_AT_ZONES", "PASSING", "Stand", "of_solids", "pairs_near"]

LOOKED_AT_ZONES = 3.0
"""What stays farther off than this many zone radii is not worth a line."""
PASSING = (int(SolidKind.TRAFFIC), int(SolidKind.WIRE))
"""Kinds of solids that are not in the way for good."""


@dataclass(frozen=True)
class Stand:
    """What stands in one season, ready to be held against rays."""

    standing: Standing
    bodies: Bodies
    index: RayIndex

    @classmethod
    def of(cls, standing: Standing) -> Stand:
        """Return a season's solids."""
        return cls(standing, Bodies.of(standing.solids), ray_index(standing.solids))

    @cached_property
    def thing(self) -> tuple[np.ndarray, ...]:
        """Place of the thing of each solid, by family."""
        solids = self.standing.solids
        return solids.prisms.thing, solids.uprights.thing, solids.wires.thing

    @cached_property
    def kind(self) -> tuple[np.ndarray, ...]:
        """Kind of each solid, by family."""
        solids = self.standing.solids
        return (
            solids.prisms.kind,
            np.full(len(solids.uprights), int(SolidKind.UPRIGHT)),
            np.full(len(solids.wires), int(SolidKind.WIRE)),
        )


def pairs_near(stand: Stand, rays: Rays, farther_m: float = 0.0) -> Pairs:
    """Return what stands so near to each ray that it may count, or that much farther off on the plan."""
    return clearance_pairs.pairs_near(stand.index, rays, zones=LOOKED_AT_ZONES, farther_m=farther_m)


def of_solids(values: tuple[np.ndarray, ...], pairs: Pairs) -> np.ndarray:
    """Return what belongs to the solid of each pair."""
    found = np.zeros(len(pairs), np.int64)
    for family, row in enumerate(values):
        here = pairs.family == family
        found[here] = row[pairs.solid[here]]
    return found
