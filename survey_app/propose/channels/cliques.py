"""Groups of which at most one may be chosen, so few that every pair that excludes each other lies in one."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.physics.arrays import BoolArray

__all__ = ["clique_cover"]


def clique_cover(clash: BoolArray, cell: IntArray) -> Iterator[IntArray]:
    """Yield cliques of a graph that together hold all its edges but those inside a cell.

    Parameters
    ----------
    clash : ndarray of bool, shape (nodes, nodes)
        Symmetric: which nodes exclude each other; nodes of one cell do.
    cell : ndarray of int, shape (nodes,)
        Cell of each node: one of its nodes is chosen whatever else holds.

    Yields
    ------
    ndarray of int
        Nodes of one clique, at least two.
    """
    left = clash & (cell[:, None] != cell[None, :])
    degree = clash.sum(axis=1)
    for n in np.argsort(-degree, kind="stable").tolist():
        while left[n].any():
            # the most entangled first: it leaves the most to go on with
            members = [n]
            open_to = clash[n].copy()
            here = np.flatnonzero(left[n])
            following = int(here[np.argmax(degree[here])])
            while True:
                members.append(following)
                open_to &= clash[following]
                candidates = np.flatnonzero(open_to)
                if not len(candidates):
                    break
                new = left[np.ix_(candidates, members)].sum(axis=1)
                following = int(candidates[np.lexsort((-degree[candidates], -new))[0]])
            group = np.array(sorted(members), dtype=np.intp)
            left[np.ix_(group, group)] = False
            yield group
