"""Where each radio looks: straight at its one far end, or the common aim that makes the smallest margin largest."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey_app.assess.gain import gain_toward_dbi
from survey_app.assess.gather import IntArray, RadioArrays
from survey_app.physics.arrays import FloatArray

__all__ = ["Fan", "common_aims"]

_COARSE = 37  # bearings tried first where the far ends spread over more than a beam
_ACROSS = 15  # points that divide a window of bearings
_HELD = 6  # far ends that are searched at once before the others are looked at
_BEYOND_BEAMS = 0.05
_GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
_FINEST_DEG = 0.001
# margins fall by some 3 dB a degree beside a summit: this keeps the noise of the inner search under 0.0003 dB
_FINEST_TILT_DEG = 0.0001
_TIE_DB = 1e-9


@dataclass(frozen=True)
class Fan:
    """The far ends of one radio.

    Attributes
    ----------
    radio : int
        Row of the radio.
    bearing_deg, elevation_deg : ndarray of float, shape (k,)
        Direction to each far end. [deg]
    margin_without_gain_db : ndarray of float, shape (k,)
        Margin at the needed rate in the worse direction, without this radio's gain. [dB]
    tilts_deg : tuple of float
        Lowest and highest tilt that is searched; follows from the elevations of all far ends unless given. [deg]
    """

    radio: int
    bearing_deg: FloatArray
    elevation_deg: FloatArray
    margin_without_gain_db: FloatArray
    tilts_deg: tuple[float, float] = (math.nan, math.nan)

    def __post_init__(self) -> None:
        if math.isnan(self.tilts_deg[0]):
            low, high = float(self.elevation_deg.min()), float(self.elevation_deg.max())
            # beside the axis a bracket's tilt turns the beam less than on it: up to 60 degrees off by half
            object.__setattr__(self, "tilts_deg", (min(low, 2.0 * low), max(high, 2.0 * high)))


@dataclass(frozen=True)
class _Fans:
    """Several fans as one table, shape (fans, k); missing far ends have an infinite margin."""

    radio: IntArray
    bearing_deg: FloatArray
    elevation_deg: FloatArray
    margin_db: FloatArray
    downtilt_deg: FloatArray
    low_deg: FloatArray
    high_deg: FloatArray


def common_aims(radios: RadioArrays, fans: Sequence[Fan]) -> tuple[FloatArray, FloatArray]:
    """Return the aims that make the smallest margin over each fan of far ends largest.

    Parameters
    ----------
    radios : RadioArrays
        All radios.
    fans : sequence of Fan
        Radios with two far ends or more, whose antennas are known and aimed (no omnis).

    Returns
    -------
    bearing_deg, tilt_deg : ndarray of float, shape (fans,)
        Aim of the beam's axis; NaN where a margin is unknown. Of equal aims the one with the lower bearing, then the
        higher tilt. [deg]

    Notes
    -----
    Max-min over both planes at once, not the mean of the bearings: a weak far end draws the beam towards itself. Inside
    the main lobe the directions in which a far end keeps a given gain form a convex patch: the smallest margin has one
    summit along the tilts of any bearing, and the best of the tilts one summit along the bearings: two nested searches
    find it. Where the far ends spread over more than a beam, the bearings are looked over
    first. Of many far ends only a few hold the aim: those are searched, and others join while one is left worse off.
    Every fan is searched by itself: its answer does not depend on the others.
    """
    bearing, tilt = np.full(len(fans), np.nan), np.full(len(fans), np.nan)
    known = [n for n, fan in enumerate(fans) if not np.isnan(fan.margin_without_gain_db).any()]
    held = dict(zip(known, _first_held(radios, [fans[n] for n in known]), strict=True))
    while held:
        open_fans = sorted(held)
        chosen = [_part(fans[n], held[n]) for n in open_fans]
        bearing[open_fans], tilt[open_fans] = _search(radios, _table(radios, chosen))
        held = _with_worst(radios, fans, held, bearing, tilt)
    return np.remainder(bearing, 360.0), tilt


def _first_held(radios: RadioArrays, fans: Sequence[Fan]) -> list[list[int]]:
    """Return the far ends of each fan that are likely to hold the aim: those worst off from some likely aims."""
    if not fans:
        return []
    table = _table(radios, fans)
    start, length = _covering_arc_deg(table.bearing_deg)
    across = start[:, None, None] + length[:, None, None] * np.array([0.0, 0.35, 0.5, 0.65, 1.0])[:, None]
    upright = np.stack([table.high_deg, (table.high_deg + table.low_deg) / 2.0, table.low_deg], axis=1)[:, None, :]
    worst = np.argmin(_margins_db(radios, table, np.arange(len(fans)), across, upright), axis=-1)
    return [
        list(range(len(fan.bearing_deg))) if len(fan.bearing_deg) <= _HELD else np.unique(worst[n]).tolist()
        for n, fan in enumerate(fans)
    ]


def _part(fan: Fan, held: list[int]) -> Fan:
    return Fan(
        fan.radio, fan.bearing_deg[held], fan.elevation_deg[held], fan.margin_without_gain_db[held], fan.tilts_deg
    )


def _with_worst(
    radios: RadioArrays, fans: Sequence[Fan], held: dict[int, list[int]], bearing: FloatArray, tilt: FloatArray
) -> dict[int, list[int]]:
    """Return the fans whose aim leaves a far end outside its choice worse off than those inside, with that far end.

    An aim that is best for some of the far ends, and leaves none of the others worse, is best for all.
    """
    again: dict[int, list[int]] = {}
    open_fans = [n for n in sorted(held) if len(held[n]) < len(fans[n].bearing_deg)]
    if not open_fans:
        return again
    table = _table(radios, [fans[n] for n in open_fans])
    margin = _margins_db(radios, table, np.arange(len(open_fans)), bearing[open_fans], tilt[open_fans])
    for row, n in enumerate(open_fans):
        worst = int(np.argmin(margin[row]))
        if margin[row, worst] < margin[row, held[n]].min() - _TIE_DB:
            again[n] = [*held[n], worst]
    return again


def _search(radios: RadioArrays, table: _Fans) -> tuple[FloatArray, FloatArray]:
    """Return the best aims of a table of fans."""
    start, length = _covering_arc_deg(table.bearing_deg)
    # a bracket's tilt turns the beam less beside its axis: the best aim may lie a little beyond the outermost far end
    beyond = _BEYOND_BEAMS * radios.azimuth_beamwidth_deg[table.radio]
    low, high = start - beyond, start + length + beyond
    wide = length > radios.azimuth_beamwidth_deg[table.radio]
    if wide.any():
        low[wide], high[wide] = _first_look(radios, table, np.flatnonzero(wide), start[wide], length[wide])
    every = np.arange(len(start))
    while float(np.max(high - low)) > _FINEST_DEG:
        across, steps = _divided(low, high, _ACROSS)
        margin, _ = _best_tilt(radios, table, every, across)
        # a fan that is found rests while others are still searched: its answer must not depend on them
        open_still = high - low > _FINEST_DEG
        narrower = _narrowed(margin, steps)
        low, high = np.where(open_still, narrower[0], low), np.where(open_still, narrower[1], high)
    bearing = (low + high) / 2.0
    _, tilt = _best_tilt(radios, table, every, bearing[:, None])
    return bearing, tilt[:, 0]


def _table(radios: RadioArrays, fans: Sequence[Fan]) -> _Fans:
    most = max(len(fan.bearing_deg) for fan in fans)

    def padded(rows: list[FloatArray], fill: float | None) -> FloatArray:
        filled = np.empty((len(rows), most))
        for n, row in enumerate(rows):
            filled[n, : len(row)] = row
            filled[n, len(row) :] = row[0] if fill is None else fill
        return filled

    elevation = padded([fan.elevation_deg for fan in fans], None)
    radio = np.array([fan.radio for fan in fans], dtype=np.intp)
    return _Fans(
        radio=radio,
        bearing_deg=padded([fan.bearing_deg for fan in fans], None),
        elevation_deg=elevation,
        margin_db=padded([fan.margin_without_gain_db for fan in fans], np.inf),
        downtilt_deg=radios.electrical_downtilt_deg[radio],
        low_deg=np.array([fan.tilts_deg[0] for fan in fans], dtype=float),
        high_deg=np.array([fan.tilts_deg[1] for fan in fans], dtype=float),
    )


def _covering_arc_deg(bearing_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return start and length of the smallest arc that holds all bearings of each row."""
    ordered = np.sort(np.remainder(bearing_deg, 360.0), axis=1)
    gaps = np.diff(np.concatenate([ordered, ordered[:, :1] + 360.0], axis=1), axis=1)
    widest = np.argmax(gaps, axis=1)[:, None]
    gap = np.take_along_axis(gaps, widest, axis=1)[:, 0]
    start = np.take_along_axis(ordered, (widest + 1) % ordered.shape[1], axis=1)[:, 0]
    return start, 360.0 - gap


def _divided(low: FloatArray, high: FloatArray, count: int) -> tuple[FloatArray, FloatArray]:
    """Return `count` points inside each window, and the same with both ends, along a new last axis."""
    steps = low[..., None] + (high - low)[..., None] * (np.arange(count + 2) / (count + 1))
    return steps[..., 1:-1], steps


def _narrowed(margin: FloatArray, steps: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the window between the neighbours of the best point; of equal ones the first counts."""
    best = np.argmax(margin >= margin.max(axis=-1, keepdims=True) - _TIE_DB, axis=-1)[..., None]
    return np.take_along_axis(steps, best, axis=-1)[..., 0], np.take_along_axis(steps, best + 2, axis=-1)[..., 0]


def _first_look(
    radios: RadioArrays, table: _Fans, rows: IntArray, start: FloatArray, length: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return the window round the best of a coarse set of bearings."""
    steps = start[:, None] + length[:, None] * np.linspace(0.0, 1.0, _COARSE)
    # the far ends' own bearings belong to the first look: a narrow beam may fit only one of them
    own = start[:, None] + np.remainder(table.bearing_deg[rows] - start[:, None], 360.0)
    across = np.sort(np.concatenate([steps, own], axis=1), axis=1)
    margin, _ = _best_tilt(radios, table, rows, across)
    best = np.argmax(margin >= margin.max(axis=1, keepdims=True) - _TIE_DB, axis=1)
    chosen = across[np.arange(len(rows)), best]
    reach = length / (_COARSE - 1)
    return chosen - reach, chosen + reach


def _best_tilt(radios: RadioArrays, table: _Fans, rows: IntArray, across: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the smallest margin at the best tilt for each bearing, and that tilt, shape (rows, bearings).

    Golden sections from the top down: each step tries one new tilt, and of equal ones the higher counts.
    """

    def margin(tilt_deg: FloatArray) -> FloatArray:
        return _smallest_margin_db(radios, table, rows, across, tilt_deg)

    top = np.broadcast_to(table.high_deg[rows][:, None], across.shape).copy()
    bottom = np.broadcast_to(table.low_deg[rows][:, None], across.shape).copy()
    upper, lower = top - (top - bottom) * (1.0 - _GOLDEN), top - (top - bottom) * _GOLDEN
    at_upper, at_lower = margin(upper), margin(lower)
    while float(np.max(top - bottom)) > _FINEST_TILT_DEG:
        up = at_upper >= at_lower
        new_top, new_bottom = np.where(up, top, upper), np.where(up, lower, bottom)
        part = np.where(up, 1.0 - _GOLDEN, _GOLDEN)
        fresh = new_top - (new_top - new_bottom) * part
        at_fresh = margin(fresh)
        # what is found rests, as above
        still = top - bottom > _FINEST_TILT_DEG
        top, bottom = np.where(still, new_top, top), np.where(still, new_bottom, bottom)
        upper, lower = (
            np.where(still & up, fresh, np.where(still, lower, upper)),
            np.where(still & up, upper, np.where(still, fresh, lower)),
        )
        at_upper, at_lower = (
            np.where(still & up, at_fresh, np.where(still, at_lower, at_upper)),
            np.where(still & up, at_upper, np.where(still, at_fresh, at_lower)),
        )
    tilt = (top + bottom) / 2.0
    return margin(tilt), tilt


def _smallest_margin_db(
    radios: RadioArrays, table: _Fans, rows: IntArray, across: FloatArray, upright: FloatArray
) -> FloatArray:
    """Return the smallest margin over the far ends at each aim; the first axis of the aims is that of `rows`."""
    return np.asarray(_margins_db(radios, table, rows, across, upright).min(axis=-1))


def _margins_db(
    radios: RadioArrays, table: _Fans, rows: IntArray, across: FloatArray, upright: FloatArray
) -> FloatArray:
    """Return the margin of every far end at each aim, along a new last axis."""
    lead = (slice(None), *([None] * (max(across.ndim, upright.ndim) - 1)))

    def per_fan(values: FloatArray) -> FloatArray:
        return values[rows][lead]

    # as small as they are: what is asked of a radio or a far end alone is then not worked out for every aim
    gain = gain_toward_dbi(
        radios,
        table.radio[rows][lead][..., None],
        per_fan(table.bearing_deg),
        per_fan(table.elevation_deg),
        across[..., None],
        (upright + per_fan(table.downtilt_deg))[..., None],
    )
    return np.asarray(per_fan(table.margin_db) + gain)
