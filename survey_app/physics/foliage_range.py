"""Loss in foliage as a range: how far the published rules lie apart."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.foliage import (
    DEEPEST_FOLIAGE_M,
    FITTED_COST_235_MHZ,
    FITTED_FITU_R_MHZ,
    TABLED_WOODLAND_MHZ,
    cost_235_loss_db,
    early_itu_loss_db,
    fitu_r_loss_db,
    weissberger_loss_db,
    woodland_loss_db,
    woodland_parameters,
)

__all__ = ["RULE_NAMES", "FoliageRange", "foliage_loss_range_db", "wet_foliage_range_db"]

# Wet leaves add up to so much of the dB of dry ones: common practice ([PRACTICE]_).
_WET_FRACTION = 0.3


class FoliageRange(NamedTuple):
    """Loss in foliage as the lowest and the highest of the rules, never as one figure.

    Attributes
    ----------
    low_db, high_db : ndarray of float
        [dB]
    low_rule, high_rule : ndarray of int
        Whose they are, as places in `RULE_NAMES`; -1 where the loss is NaN.
    extrapolated : ndarray of bool
        Whether either of the two is used beyond the frequencies at which it was measured.
    """

    low_db: FloatArray
    high_db: FloatArray
    low_rule: NDArray[np.int64]
    high_rule: NDArray[np.int64]
    extrapolated: NDArray[np.bool_]


def foliage_loss_range_db(depth_m: ArrayLike, frequency_mhz: ArrayLike, in_leaf: bool) -> FoliageRange:
    """Loss in trees as a range from the lowest of the rules to the highest.

    Parameters
    ----------
    depth_m : array_like of float, shape (...)
        Foliage along the ray, 0 to 400. [m]
    frequency_mhz : array_like of float, broadcast with `depth_m`
        Carrier frequency, 1000 to 95,000. [MHz]
    in_leaf : bool
        Whether the trees are in leaf.

    Returns
    -------
    FoliageRange
        NaN where an input is NaN or outside its range.

    Notes
    -----
    In leaf: [WEISSBERGER]_, [CCIR236]_, [P833]_ section 2.1, [FITUR]_. Bare: [FITUR]_ and [COST235]_, each kept within
    the range in leaf, for a bare tree takes no more than the same tree in May. No rule holds at 5 GHz for any tree: the
    range says how far the published ones lie apart, and it is no licence to shoot through trees.

    Examples
    --------
    >>> found = foliage_loss_range_db(10, 5500, True)
    >>> round(float(found.low_db), 1), RULE_NAMES[int(found.low_rule)]
    (7.3, 'Weissberger')
    >>> round(float(found.high_db), 1), RULE_NAMES[int(found.high_rule)]
    (19.9, 'FITU-R in leaf')
    """
    d, f_mhz = (
        np.array(value, order="C") for value in np.broadcast_arrays(float_array(depth_m), float_array(frequency_mhz))
    )
    leaf = np.stack([_RULES[n].loss_db(d, f_mhz) for n in _IN_LEAF])
    low_db, low_rule = _end(leaf, _IN_LEAF, np.argmin)
    high_db, high_rule = _end(leaf, _IN_LEAF, np.argmax)
    if not in_leaf:
        bare = np.stack([_RULES[n].loss_db(d, f_mhz) for n in _BARE])
        bare_low_db, bare_low_rule = _end(bare, _BARE, np.argmin)
        bare_high_db, bare_high_rule = _end(bare, _BARE, np.argmax)
        low_rule = np.where(bare_low_db < low_db, bare_low_rule, low_rule)
        high_rule = np.where(bare_high_db < high_db, bare_high_rule, high_rule)
        low_db, high_db = np.minimum(bare_low_db, low_db), np.minimum(bare_high_db, high_db)
    beyond = np.stack([(f_mhz < rule.lowest_mhz) | (f_mhz > rule.highest_mhz) for rule in _RULES])
    extrapolated = _of(beyond, low_rule) | _of(beyond, high_rule)
    known = ~np.isnan(low_db) & ~np.isnan(high_db)
    return FoliageRange(
        nan_unless(known, low_db),
        nan_unless(known, high_db),
        np.where(known, low_rule, -1),
        np.where(known, high_rule, -1),
        extrapolated & known,
    )


def wet_foliage_range_db(dry: FoliageRange) -> FoliageRange:
    """Loss in wet trees, from that in dry ones.

    Parameters
    ----------
    dry : FoliageRange
        From `foliage_loss_range_db`.

    Returns
    -------
    FoliageRange
        The same low end, for leaves dry again, and 30 % more dB at the high end.

    Notes
    -----
    Common practice ([PRACTICE]_): that wet leaves take more is measured often, how much differs.

    Examples
    --------
    >>> dry = foliage_loss_range_db(10, 5500, True)
    >>> round(float(wet_foliage_range_db(dry).high_db - dry.high_db), 1)
    6.0
    """
    return dry._replace(high_db=dry.high_db * (1.0 + _WET_FRACTION))


class _Rule(NamedTuple):
    name: str
    loss_db: Callable[[FloatArray, FloatArray], FloatArray]
    lowest_mhz: float
    highest_mhz: float


def _in_woodland(depth_m: FloatArray, frequency_mhz: FloatArray) -> FloatArray:
    return woodland_loss_db(
        nan_unless(depth_m <= DEEPEST_FOLIAGE_M, depth_m), *woodland_parameters(frequency_mhz, extrapolate=True)
    )


_RULES: Final = (
    _Rule("Weissberger", weissberger_loss_db, 230.0, 95_000.0),
    _Rule("early ITU", early_itu_loss_db, 200.0, 95_000.0),
    _Rule("P.833 woodland", _in_woodland, *TABLED_WOODLAND_MHZ),
    _Rule("FITU-R in leaf", lambda d, f: fitu_r_loss_db(d, f, True, True), *FITTED_FITU_R_MHZ),
    _Rule("FITU-R bare", lambda d, f: fitu_r_loss_db(d, f, False, True), *FITTED_FITU_R_MHZ),
    _Rule("COST 235 bare", lambda d, f: cost_235_loss_db(d, f, False, True), *FITTED_COST_235_MHZ),
)
_IN_LEAF: Final = (0, 1, 2, 3)
_BARE: Final = (4, 5)

RULE_NAMES: Final = tuple(rule.name for rule in _RULES)
"""Names of the rules of a `FoliageRange`, for people."""


def _end(
    losses_db: FloatArray, rules: tuple[int, ...], pick: Callable[..., NDArray[np.int64]]
) -> tuple[FloatArray, NDArray[np.int64]]:
    """Return the lowest or highest loss and whose it is; NaN where a rule is."""
    at = np.asarray(pick(losses_db, axis=0))
    return np.take_along_axis(losses_db, at[None], axis=0)[0], np.asarray(rules, np.int64)[at]


def _of(rows: NDArray[np.bool_], rule: NDArray[np.int64]) -> NDArray[np.bool_]:
    found: NDArray[np.bool_] = np.take_along_axis(rows, np.asarray(rule)[None], axis=0)[0]
    return found
