"""Pairs of rays and solids with what was found of them."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from survey_app.assess.in_the_way.stand import Stand, of_solids
from survey_app.ground.clearance import Clearances, Pairs, Rays, clearances
from survey_app.ground.solids import SolidKind

__all__ = ["Held"]

_CLOSED = (int(SolidKind.BUILDING), int(SolidKind.PARAPET), int(SolidKind.OBSTACLE))


class Held:
    """Pairs of some rays with what was found of them, sorted by ray and then by ratio."""

    def __init__(self, stand: Stand, rays: Rays, pairs: Pairs, wanted: np.ndarray, k: float) -> None:
        mine = np.flatnonzero(wanted[pairs.ray])
        self.pairs = Pairs(pairs.ray[mine], pairs.family[mine], pairs.solid[mine])
        self.found: Clearances = clearances(stand.bodies, rays, self.pairs, k=k)
        self.kind = of_solids(stand.kind, self.pairs)
        self.thing = of_solids(stand.thing, self.pairs)
        self.ids = stand.standing.solids.ids
        # an antenna inside a building looks through its walls, one on a pole's axis past it: neither is in the way
        held = self.found.holds_start | self.found.holds_end
        self.counts = np.isfinite(self.found.ratio) & ~held
        order = np.lexsort((self.pairs.solid, self.pairs.family, self.found.ratio, self.pairs.ray))
        self.order = order[self.counts[order]]
        self.first = np.searchsorted(self.pairs.ray[self.order], np.arange(len(rays) + 1))

    def of(self, ray: int) -> np.ndarray:
        """Return the pairs of a ray that count, the nearest first."""
        return self.order[self.first[ray] : self.first[ray + 1]]

    def nearest(self, ray: int, leave_out: Callable[[int, str], bool]) -> int | None:
        """Return the pair of a ray that comes nearest of what is not left out, by kind and id."""
        for pair in self.of(ray).tolist():
            if not leave_out(int(self.kind[pair]), self.ids[self.thing[pair]]):
                return int(pair)
        return None

    def names(self, chosen: np.ndarray) -> set[str]:
        """Return the things of some pairs."""
        return {self.ids[thing] for thing in self.thing[chosen].tolist()}

    def things_held(self, ray: int) -> set[str]:
        """Return the things that an end is inside of."""
        return self.names((self.pairs.ray == ray) & (self.found.holds_start | self.found.holds_end))

    def holders(self, ray: int) -> tuple[set[str], set[str]]:
        """Return the buildings that the access point and the station are inside of."""
        mine = (self.pairs.ray == ray) & (self.kind == int(SolidKind.BUILDING))
        return self.names(mine & self.found.holds_start), self.names(mine & self.found.holds_end)

    def inside(self, ray: int) -> tuple[str | None, str | None]:
        """Return the building or obstacle that the first end is inside of, and the one that the other is."""
        mine = np.isin(self.kind, _CLOSED) & (self.pairs.ray == ray)
        first, last = (self.names(mine & held) for held in (self.found.holds_start, self.found.holds_end))
        return min(first, default=None), min(last, default=None)
