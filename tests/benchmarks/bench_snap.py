"""Speed of snapping on a plan of two thousand outlines, against a bare numpy pass over the same corners."""

from __future__ import annotations

import numpy as np

from survey_app.drawing.snap import SnapField, snap
from survey_app.drawing.snap.field import Outline, field_from
from tests.benchmarks.ratio import Ratio, best_of

__all__ = ["measure", "yard"]

_OUTLINES, _CORNERS, _SIDE_M = 2000, 8, 1500.0
_QUERIES = 200


def yard(seed: int = 1) -> SnapField:
    """Return two thousand outlines of eight corners and five hundred poles, from a seed."""
    rng = np.random.default_rng(seed)
    rings = []
    for number in range(_OUTLINES):
        turn, radius = np.sort(rng.uniform(0.0, 2.0 * np.pi, _CORNERS)), rng.uniform(5.0, 20.0)
        ring = rng.uniform(0.0, _SIDE_M, 2) + radius * np.column_stack((np.cos(turn), np.sin(turn)))
        rings.append(Outline(number, ring, closed=True))
    poles = [(number, (float(x), float(y))) for number, (x, y) in enumerate(rng.uniform(0.0, _SIDE_M, (500, 2)))]
    names = [f"b{number}" for number in range(_OUTLINES)]
    return field_from(names, names, rings, poles)


def measure() -> list[Ratio]:
    """Return what one query costs, in passes of a bare nearest-corner search."""
    field = yard()
    pointers = np.random.default_rng(2).uniform(0.0, _SIDE_M, (_QUERIES, 2)).tolist()

    def ours(reach_m: float) -> None:
        for x, y in pointers:
            snap(field, x, y, reach_m, anchor=(x + 30.0, y - 17.0), previous=(x + 60.0, y), grid_m=1.0)

    def bare() -> None:
        for x, y in pointers:
            np.argmin(np.hypot(field.corners[:, 0] - x, field.corners[:, 1] - y))

    reference = best_of(bare, 5) / _QUERIES
    rows = []
    for reach_m, scale, bar in ((2.5, 4, 6.0), (10.0, 1, 12.0)):
        once = best_of(lambda reach_m=reach_m: ours(reach_m), 5) / _QUERIES  # type: ignore[misc]
        rows.append(
            Ratio(
                f"a snap among {_OUTLINES} outlines at {scale} px/m",
                once / reference,
                "times a bare nearest-corner search",
                at_most=bar,
                ours_s=once,
                reference_s=reference,
            )
        )
    return rows


if __name__ == "__main__":
    for row in measure():
        print(row.words())
