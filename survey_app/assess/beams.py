"""The edges of every radio's beam: where its own pattern has fallen by 3 dB."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import KINDS, pattern_of
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.physics import patterns
from survey_app.physics.arrays import FloatArray
from survey_app.site.gear_part import Pattern

__all__ = ["Beams", "beams_of"]

_FALL_DB = 3.0


@dataclass(frozen=True)
class Beams:
    """Edges of the beams, shape (radios,) each; NaN where a pattern never falls so far, or is not known.

    Attributes
    ----------
    left_deg, right_deg : ndarray of float
        Bearing of either edge less that of the axis, clockwise positive: the left one is negative unless a measured
        beam leans to one side. [deg]
    lower_deg : ndarray of float
        Elevation of the lower edge above the antenna's mechanical plane. [deg]
    """

    left_deg: FloatArray
    right_deg: FloatArray
    lower_deg: FloatArray


def beams_of(job: Job, memo: Fresh | None = None) -> Beams:
    """Return the beam of every radio, in the site's order: each pattern is searched once.

    Parameters
    ----------
    job : Job
        The indexed site.
    memo : Fresh or None
        What is known from an earlier value of the site.
    """
    of_radio = [pattern_of(job, radio) for radio in job.radios.values()]
    # by identity: patterns that are equal but for the sign of a zero stay apart
    known = list({id(pattern): pattern for pattern in of_radio if pattern is not None}.values())
    row = {id(pattern): n for n, pattern in enumerate(known)}
    edges = np.full((len(known) + 1, 3), np.nan)
    names = [id(pattern) for pattern in known]

    def search(stale: list[int]) -> list[FloatArray]:
        return list(_edges_deg([known[n] for n in stale]))

    # a name may be given again; the entry holds the pattern itself
    for n, found in enumerate((memo or Fresh()).each("beams", names, known, search)):
        edges[n] = found
    each = edges[[row[id(pattern)] if pattern is not None else -1 for pattern in of_radio]]
    return Beams(left_deg=each[:, 0], right_deg=each[:, 1], lower_deg=each[:, 2])


# edges by the kind of antenna and its figures: the types of the catalogue stand in every site
_KNOWN_DEG: dict[tuple[str, ...], FloatArray] = {}
_MOST_KNOWN = 1000


def _edges_deg(found: list[Pattern]) -> FloatArray:
    """Return left, right and lower edge of each pattern, shape (n, 3)."""
    # by the letters of the figures: a zero and its negative stay apart
    keys = [(pattern.model, *map(repr, _figures(pattern))) for pattern in found]
    # taken out at once: another thread may empty the whole meanwhile
    held = {key: _KNOWN_DEG.get(key) for key in keys}
    unknown = {key: pattern for key, pattern in zip(keys, found, strict=True) if held[key] is None}
    searched = dict(zip(unknown, _searched_deg(list(unknown.values())), strict=True))
    if len(_KNOWN_DEG) > _MOST_KNOWN:
        _KNOWN_DEG.clear()
    _KNOWN_DEG.update(searched)
    rows = held | searched
    edges = np.array([rows[key] for key in keys]).reshape(-1, 3)
    for n, pattern in enumerate(found):
        if pattern.model == "table" and pattern.azimuth_cut and pattern.elevation_cut:
            cut = patterns.Cut.of(pattern.azimuth_cut.angle_deg, pattern.azimuth_cut.relative_db)
            edges[n, :2] = cut.edges_deg(_FALL_DB)
    return edges


def _searched_deg(found: list[Pattern]) -> FloatArray:
    kind = np.array([KINDS[pattern.model] for pattern in found], dtype=np.intp)
    figures = np.array([_figures(pattern) for pattern in found], dtype=float).reshape(-1, 5)
    half = patterns.half_power_azimuth_deg(kind, *figures[:, :4].T)
    lower, _ = patterns.elevation_edges_deg(kind, _FALL_DB, *figures.T)
    return np.stack([-half, half, lower], axis=1)


def _figures(pattern: Pattern) -> tuple[float, ...]:
    return (
        pattern.gain_dbi,
        pattern.azimuth_beamwidth_deg,
        pattern.elevation_beamwidth_deg,
        pattern.front_to_back_db,
        pattern.electrical_downtilt_deg,
    )
