"""Power limits of many radios at once: what each may be set to, what it may radiate, and which term binds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.physics.arrays import FloatArray, float_array
from survey_app.physics.decibels import to_db
from survey_app.spectrum.permission import RuleSet
from survey_app.spectrum.rules import BandRow

__all__ = ["BINDING_TERMS", "Limits", "correlated_chain_gain_db", "elevation_limit_dbm", "power_limits"]

TextArray: TypeAlias = NDArray[np.str_]

BINDING_TERMS = ("conducted", "gain back-off", "eirp", "density")
"""Which figure of a rule limits the power."""


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits of several radios.

    Parameters
    ----------
    limit_conducted_dbm : ndarray of float, shape (n,)
        Most total power over all chains at the radio's connectors; NaN where no rule is known. [dBm]
    limit_eirp_dbm : ndarray of float, shape (n,)
        EIRP along the beam's axis at that power. [dBm]
    binding : ndarray of str, shape (n,)
        One of `BINDING_TERMS`; empty where no rule is known.
    binding_row : tuple of str
        Id of the row that binds; empty where no rule is known.
    """

    limit_conducted_dbm: FloatArray
    limit_eirp_dbm: FloatArray
    binding: TextArray
    binding_row: tuple[str, ...]


def power_limits(
    rule_sets: Sequence[RuleSet | None],
    antenna_gain_dbi: ArrayLike,
    feeder_loss_db: ArrayLike = 0.0,
    chain_gain_db: ArrayLike = 0.0,
    density_width_mhz: ArrayLike | None = None,
) -> Limits:
    r"""Power limits of many radios in one call.

    Parameters
    ----------
    rule_sets : sequence of RuleSet or None, length n
        One for each radio, from `resolve`; None = no rule known.
    antenna_gain_dbi : array_like of float, broadcast to shape (n,)
        Gain of the antenna along the beam's axis, without the feeder. [dBi]
    feeder_loss_db : array_like of float, broadcast to shape (n,)
        Loss between the radio's connector and the antenna, >= 0. [dB]
    chain_gain_db : array_like of float, broadcast to shape (n,)
        What chains that send the same signal add to the gain, from `correlated_chain_gain_db`; 0 for a cross-polarised
        pair. [dB]
    density_width_mhz : array_like of float, broadcast to shape (n,), or None
        Width over which density limits are summed. None = the channel width, as the published worked cases do; the
        occupied width (17.8 MHz for a 20 MHz channel) is the cautious choice. [MHz]

    Returns
    -------
    Limits
        NaN where no rule is known or an input is NaN.

    Raises
    ------
    ValueError
        The arrays do not fit the number of rule sets.

    Notes
    -----
    For each row, with free gain :math:`G_0`, slope :math:`k` and directional gain :math:`G` (antenna and chains):

    .. math::
        P \le P_0, \qquad P - L \le P_0 - k \max(0, G - G_0), \qquad P \le E_0 - G + L

    and the same with :math:`P_0` or :math:`E_0` replaced by the density summed over the width,
    :math:`D + 10 \log_{10} (B / B_0)`. Conducted power counts where it is delivered to the antennas, so that a
    feeder's loss gives back what it takes, but never more than the conducted limit at the radio. The least of all
    terms and rows holds.

    Source: [CFR15407]_, text of 2024-02-06, (a)(1)-(3); [CFR15247]_, text of mid-2020, (b)(3) (power delivered to all
    antennas), (c); [ECCDEC0408]_, 2004, decides 2 to 4.

    Examples
    --------
    >>> from survey_app.spectrum import load_regions, resolve
    >>> us = load_regions().find("US")
    >>> rules = [resolve(us, "outdoor", use, 5785.0, 20.0, True) for use in ("point_to_point", "multipoint_hub")]
    >>> limits = power_limits(rules, 19.0)
    >>> limits.limit_conducted_dbm, limits.limit_eirp_dbm, limits.binding
    (array([30., 17.]), array([49., 36.]), array(['conducted', 'gain back-off'], dtype='<U13'))
    """
    count = len(rule_sets)
    gain = _column(antenna_gain_dbi, count) + _column(chain_gain_db, count)
    loss = _column(feeder_loss_db, count)
    loss = np.where(loss >= 0, loss, np.nan)
    widths = [1.0 if rules is None else rules.width_mhz for rules in rule_sets]
    width = _column(widths if density_width_mhz is None else density_width_mhz, count)
    terms, kinds = _terms(_parameters(rule_sets), gain, loss, width)
    least_row = np.argmin(terms.min(axis=2), axis=1) if count else np.zeros(0, dtype=np.intp)
    of_row = terms[np.arange(count), least_row]
    least_term = np.argmin(of_row, axis=1) if count else least_row
    known = np.array([rules is not None for rules in rule_sets], dtype=bool)
    conducted = np.where(known, of_row[np.arange(count), least_term], np.nan)
    names = np.array(BINDING_TERMS)[kinds[np.arange(count), least_row, least_term]]
    binding = np.where(np.isnan(conducted), "", names)
    rows = tuple(
        "" if rules is None or not name else rules.rows[int(index)].id
        for rules, name, index in zip(rule_sets, binding, least_row, strict=True)
    )
    return Limits(conducted, conducted - loss + gain, binding, rows)


def correlated_chain_gain_db(chains: ArrayLike) -> FloatArray:
    r"""What chains that send the same signal into antennas of one polarisation add to the antenna gain.

    Parameters
    ----------
    chains : array_like of int, shape (...)
        Number of chains, >= 1.

    Returns
    -------
    ndarray of float, shape (...)
        Added gain; NaN below 1. [dB]

    Notes
    -----
    .. math:: 10 \log_{10} N

    A cross-polarised pair needs none. From memory of the authority's guidance on transmitters with several outputs,
    [MEMORY]_.

    Examples
    --------
    >>> round(float(correlated_chain_gain_db(2)), 2)
    3.01
    """
    number = float_array(chains)
    return to_db(np.where(number >= 1, number, np.nan))


def elevation_limit_dbm(rules: RuleSet, elevation_deg: ArrayLike, eirp_dbm: float) -> FloatArray:
    """Limit of the EIRP towards each angle above the horizon.

    Parameters
    ----------
    rules : RuleSet
        From `resolve`.
    elevation_deg : array_like of float, shape (...)
        Angle above the horizon, -90 to 90. [degree]
    eirp_dbm : float
        The radio's greatest EIRP, which decides whether some masks hold at all. [dBm]

    Returns
    -------
    ndarray of float, shape (...)
        Limit of the EIRP in that direction, to be held against power less feeder loss plus the gain there; infinite
        where no mask holds, NaN where the angle is NaN or beyond 90 degrees. [dBm]

    Notes
    -----
    Straight lines between the points of the mask. Source: [CFR15407]_, text of 2024-02-06, (a)(1)(i); [RSS247]_,
    Issue 4, figures from memory.

    Examples
    --------
    >>> from survey_app.spectrum import load_regions, resolve
    >>> rules = resolve(load_regions().find("US"), "outdoor", "multipoint_hub", 5180.0, 20.0, True)
    >>> elevation_limit_dbm(rules, [0, 45], 36.0)
    array([inf, 21.])
    """
    angle = float_array(elevation_deg)
    limit = np.full(angle.shape, np.inf)
    for row in rules.rows:
        mask = row.elevation_mask
        if mask is None or (mask.place == "outdoor" and rules.place != "outdoor"):
            continue
        if mask.above_eirp_dbm is not None and not eirp_dbm > mask.above_eirp_dbm:
            continue
        angles = np.array([point[0] for point in mask.points])
        levels = np.array([point[1] for point in mask.points])
        if mask.kind == "eirp_density":
            levels = levels + float(to_db(rules.width_mhz))
        limit = np.minimum(limit, np.where(angle >= angles[0], np.interp(angle, angles, levels), np.inf))
    return np.where(np.abs(angle) <= 90, limit, np.nan)


@dataclass(frozen=True, slots=True)
class _Parameters:
    """Figures of the rows, shape (n, k); infinite where a row has no such limit or a radio has fewer rows."""

    conducted_dbm: FloatArray
    free_gain_dbi: FloatArray
    backoff: FloatArray
    eirp_dbm: FloatArray
    density_conducted_dbm: FloatArray
    density_eirp_dbm: FloatArray
    per_mhz: FloatArray


def _parameters(rule_sets: Sequence[RuleSet | None]) -> _Parameters:
    most = max((len(rules.rows) for rules in rule_sets if rules is not None), default=1)
    table = np.full((7, len(rule_sets), most), np.inf)
    table[2], table[6] = 0.0, 1.0
    for i, rules in enumerate(rule_sets):
        if rules is not None:
            for j, row in enumerate(rules.rows):
                table[:, i, j] = _figures(row, power_control=rules.power_control)
    return _Parameters(*table)


def _figures(row: BandRow, *, power_control: bool) -> tuple[float, ...]:
    limits, density = row.limits, row.limits.density
    eirp = limits.eirp_dbm
    if not power_control and limits.eirp_without_control_dbm is not None:
        eirp = limits.eirp_without_control_dbm
    slice_dbm = None
    if density is not None:
        lower = density.without_control_dbm
        slice_dbm = density.dbm if power_control or lower is None else lower
    conducted_slice = slice_dbm if density is not None and density.kind == "conducted" else None
    eirp_slice = slice_dbm if density is not None and density.kind == "eirp" else None
    return (
        _or_none(limits.conducted_dbm),
        _or_none(limits.free_gain_dbi),
        limits.backoff_db_per_db,
        _or_none(eirp),
        _or_none(conducted_slice),
        _or_none(eirp_slice),
        1.0 if density is None else density.per_mhz,
    )


def _or_none(value: float | None) -> float:
    return np.inf if value is None else value


def _terms(
    rows: _Parameters, gain: FloatArray, loss: FloatArray, width: FloatArray
) -> tuple[FloatArray, NDArray[np.int_]]:
    """Every term of every row as power at the radio's connectors, shape (n, k, 3), and the word that names it."""
    gain, loss = gain[:, None], loss[:, None]
    back_off = rows.backoff * np.maximum(0.0, np.where(rows.backoff > 0, gain - rows.free_gain_dbi, 0.0))
    given_back = np.minimum(0.0, loss - back_off)
    slices_db = to_db(np.where(width > 0, width, np.nan)[:, None] / rows.per_mhz)
    conducted = rows.conducted_dbm + given_back
    eirp = rows.eirp_dbm - gain + loss
    density = np.minimum(
        rows.density_conducted_dbm + given_back + slices_db, rows.density_eirp_dbm - gain + loss + slices_db
    )
    # A NaN gain must not hide behind a limit that does not depend on the gain.
    unknown = np.where(np.isnan(gain + loss), np.nan, 0.0)
    kinds = np.zeros((*conducted.shape, 3), dtype=np.int_)
    kinds[..., 0] = np.where(given_back < 0, 1, 0)
    kinds[..., 1], kinds[..., 2] = 2, 3
    return np.stack([conducted, eirp, density], axis=-1) + unknown[..., None], kinds


def _column(values: ArrayLike, count: int) -> FloatArray:
    return np.array(np.broadcast_to(float_array(values), (count,)))
