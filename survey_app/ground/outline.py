"""Outlines as they were drawn, made fit to stand in a ray, or refused in a sentence."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from survey_app.ground._arrays import FloatArray

__all__ = ["clean_outline", "pushed_outward", "rim"]

LEAST_AREA_M2 = 1e-6
SAGITTA_M = 0.005
"""How far a round corner may be cut short by the chords that stand for it."""


def clean_outline(outline: FloatArray, holes: Sequence[FloatArray] = ()) -> tuple[list[FloatArray], list[str]]:
    """Return the rings of an area, and what is wrong with them.

    Parameters
    ----------
    outline : ndarray of float, shape (corners, 2)
        Corners in order. [m]
    holes : sequence of ndarray of float, shape (corners, 2)
        Courtyards. [m]

    Returns
    -------
    rings : list of ndarray of float, shape (corners, 2)
        Outline first; empty where there is no area to speak of. A corner given twice in a row is there once. An outline
        that crosses itself is kept: inside is what an odd number of rings encloses.
    faults : list of str
        One sentence each.
    """
    ring, faults = _clean_ring(outline, "outline")
    if ring is None:
        return [], faults
    rings = [ring]
    whole = shapely.Polygon(ring)
    if not whole.is_valid:
        faults.append(
            "Its outline crosses or touches itself: what an odd number of its sides encloses counts as solid."
        )
    for hole in holes:
        inner, more = _clean_ring(hole, "courtyard")
        faults += more
        if inner is None:
            continue
        if whole.is_valid and not whole.covers(shapely.LinearRing(inner)):
            faults.append("A courtyard reaches outside its outline and is left out.")
        else:
            rings.append(inner)
    return rings, faults


def _clean_ring(ring: FloatArray, what: str) -> tuple[FloatArray | None, list[str]]:
    if not np.isfinite(ring).all():
        return None, [f"Its {what} has corners in degrees, and the site has no anchor."]
    again = (ring == np.roll(ring, 1, axis=0)).all(axis=1)
    kept = ring[~again]
    faults = [f"Its {what} has a corner twice in a row, counted once."] if again.any() and len(kept) else []
    if len(np.unique(kept, axis=0)) < 3:
        return None, [f"Its {what} has fewer than three different corners."]
    if shapely.MultiPoint(kept - kept[0]).convex_hull.area < LEAST_AREA_M2:
        return None, [f"The corners of its {what} lie on one line."]
    return kept, faults


def pushed_outward(rings: Sequence[FloatArray], by_m: float) -> list[FloatArray]:
    """Return rings pushed outward, round at their corners.

    Parameters
    ----------
    rings : sequence of ndarray of float, shape (corners, 2)
        Outline and courtyards. [m]
    by_m : float
        >= 0. [m]

    Returns
    -------
    list of ndarray of float, shape (corners, 2)
        Rings, one inside the other; chords that stand for an arc lie within 5 mm of it.
    """
    if by_m <= 0.0 or not rings:
        return list(rings)
    # a chord over the angle 2 a falls short of its arc by r (1 - cos a)
    quarter = int(np.ceil(np.pi / 4.0 / np.arccos(max(0.0, 1.0 - SAGITTA_M / by_m))))
    return _rings_of(shapely.buffer(_area(rings), by_m, quad_segs=max(2, quarter)))


def rim(rings: Sequence[FloatArray], width_m: float) -> list[FloatArray]:
    """Return the rings of the strip along the inside of an area's edges.

    Parameters
    ----------
    rings : sequence of ndarray of float, shape (corners, 2)
        Outline and courtyards. [m]
    width_m : float
        > 0. [m]

    Returns
    -------
    list of ndarray of float, shape (corners, 2)
        The area's rings and those of what is left inside the strip; an area narrower than two strips is all strip.
    """
    inner = shapely.buffer(_area(rings), -width_m, join_style="mitre", mitre_limit=10.0)
    return [*rings, *_rings_of(inner)]


def _area(rings: Sequence[FloatArray]) -> shapely.Geometry:
    """Return what an odd number of rings encloses."""
    area: shapely.Geometry = shapely.Polygon()
    for ring in rings:
        area = shapely.symmetric_difference(area, shapely.make_valid(shapely.Polygon(ring)))
    return area


def _rings_of(area: shapely.Geometry) -> list[FloatArray]:
    rings: list[FloatArray] = []
    for part in shapely.get_parts(area):
        if isinstance(part, shapely.Polygon) and not part.is_empty:
            rings += [shapely.get_coordinates(ring)[:-1] for ring in (part.exterior, *part.interiors)]
    return rings
