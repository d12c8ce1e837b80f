"""Foliage: published rules for what trees take from a ray, each within its own range."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.domains import not_negative, positive

__all__ = [
    "DEEPEST_FOLIAGE_M",
    "FITTED_COST_235_MHZ",
    "FITTED_FITU_R_MHZ",
    "TABLED_WOODLAND_MHZ",
    "cost_235_loss_db",
    "early_itu_loss_db",
    "fitu_r_loss_db",
    "weissberger_loss_db",
    "woodland_loss_db",
    "woodland_parameters",
]

DEEPEST_FOLIAGE_M = 400.0
"""Depth of foliage beyond which no rule was measured. [m]"""

FITTED_FITU_R_MHZ: Final = (11_000.0, 20_000.0)
"""[FITUR]_ (1998): measured at 11.2 and 20 GHz. [MHz]"""
FITTED_COST_235_MHZ: Final = (9_600.0, 57_600.0)
"""[COST235]_ (1996). [MHz]"""

_DENSE_M = 14.0  # where the one law of [WEISSBERGER]_ gives way to the other
# [P833]_, P.833-9 (2016), section 2.1, Table 1, mixed forest: frequency in MHz, specific attenuation, most loss.
_WOODLAND: Final = (
    (105.9, 0.04, 9.4),
    (466.475, 0.12, 18.0),
    (949.0, 0.17, 26.5),
    (1852.2, 0.30, 29.0),
    (2117.5, 0.34, 34.1),
)
TABLED_WOODLAND_MHZ: Final = (_WOODLAND[0][0], _WOODLAND[-1][0])
"""Ends of the table of woods, [P833]_, P.833-9 (2016), section 2.1. [MHz]"""


def weissberger_loss_db(depth_m: ArrayLike, frequency_mhz: ArrayLike) -> FloatArray:
    r"""Loss in dense, dry trees in leaf, by the modified exponential decay.

    Parameters
    ----------
    depth_m : array_like of float, shape (...)
        Foliage along the ray, 0 to 400. [m]
    frequency_mhz : array_like of float, broadcast with `depth_m`
        Carrier frequency, 230 to 95,000. [MHz]

    Returns
    -------
    ndarray of float, broadcast shape
        Loss; NaN where an input is NaN or outside its range. [dB]

    Notes
    -----
    .. math:: L = 0.45 f^{0.284} d \quad (d \le 14), \qquad L = 1.33 f^{0.284} d^{0.588} \quad (14 < d \le 400)

    with f in GHz and d in m; at 14 m the second law begins 0.4 % below the first. Source: [WEISSBERGER]_ (1982).

    Examples
    --------
    >>> round(float(weissberger_loss_db(10, 5500)), 2)
    7.3
    """
    d, f_ghz = _depth(depth_m), _frequency(frequency_mhz, 230.0, 95_000.0) / 1000.0
    scale = np.power(f_ghz, 0.284)
    return np.where(d <= _DENSE_M, 0.45 * scale * d, 1.33 * scale * np.power(d, 0.588))


def early_itu_loss_db(depth_m: ArrayLike, frequency_mhz: ArrayLike) -> FloatArray:
    r"""Loss in trees in leaf, by the early rule of the CCIR.

    Parameters
    ----------
    depth_m : array_like of float, shape (...)
        Foliage along the ray, 0 to 400. [m]
    frequency_mhz : array_like of float, broadcast with `depth_m`
        Carrier frequency, 200 to 95,000. [MHz]

    Returns
    -------
    ndarray of float, broadcast shape
        Loss; NaN where an input is NaN or outside its range. [dB]

    Notes
    -----
    .. math:: L = 0.2 f^{0.3} d^{0.6}

    with f in MHz and d in m. Source: [CCIR236]_ (1986).

    Examples
    --------
    >>> round(float(early_itu_loss_db(10, 5500)), 2)
    10.55
    """
    d, f_mhz = _depth(depth_m), _frequency(frequency_mhz, 200.0, 95_000.0)
    return 0.2 * np.power(f_mhz, 0.3) * np.power(d, 0.6)


def fitu_r_loss_db(
    depth_m: ArrayLike, frequency_mhz: ArrayLike, in_leaf: bool, extrapolate: bool = False
) -> FloatArray:
    r"""Loss in trees, by the rule fitted to measurements at 11 and 20 GHz.

    Parameters
    ----------
    depth_m : array_like of float, shape (...)
        Foliage along the ray, 0 to 400. [m]
    frequency_mhz : array_like of float, broadcast with `depth_m`
        Carrier frequency, 11,000 to 20,000; with `extrapolate` 1000 to 95,000. [MHz]
    in_leaf : bool
        Whether the trees are in leaf.
    extrapolate : bool, default False
        Use the rule beyond the frequencies to which it was fitted.

    Returns
    -------
    ndarray of float, broadcast shape
        Loss; NaN where an input is NaN or outside its range. [dB]

    Notes
    -----
    .. math:: L = 0.39 f^{0.39} d^{0.25} \text{ in leaf}, \qquad L = 0.37 f^{0.18} d^{0.59} \text{ bare}

    with f in MHz and d in m. The first metre in leaf takes most of it: the rule was fitted to whole trees. Constants
    from memory. Source: [FITUR]_ (1998).

    Examples
    --------
    >>> round(float(fitu_r_loss_db(10, 11200, True)), 2)
    26.32
    """
    lowest, highest = (1_000.0, 95_000.0) if extrapolate else FITTED_FITU_R_MHZ
    d, f_mhz = _depth(depth_m), _frequency(frequency_mhz, lowest, highest)
    if in_leaf:
        return 0.39 * np.power(f_mhz, 0.39) * np.power(d, 0.25)
    return 0.37 * np.power(f_mhz, 0.18) * np.power(d, 0.59)


def cost_235_loss_db(
    depth_m: ArrayLike, frequency_mhz: ArrayLike, in_leaf: bool, extrapolate: bool = False
) -> FloatArray:
    r"""Loss in trees, by the rule fitted to measurements from 9.6 to 57.6 GHz.

    Parameters
    ----------
    depth_m : array_like of float, shape (...)
        Foliage along the ray, 0 to 400. [m]
    frequency_mhz : array_like of float, broadcast with `depth_m`
        Carrier frequency, 9600 to 57,600; with `extrapolate` 1000 to 95,000. [MHz]
    in_leaf : bool
        Whether the trees are in leaf.
    extrapolate : bool, default False
        Use the rule beyond the frequencies to which it was fitted.

    Returns
    -------
    ndarray of float, broadcast shape
        Loss; NaN where an input is NaN or outside its range. [dB]

    Notes
    -----
    .. math:: L = 15.6 f^{-0.009} d^{0.26} \text{ in leaf}, \qquad L = 26.6 f^{-0.2} d^{0.5} \text{ bare}

    with f in MHz and d in m. Constants from memory. Source: [COST235]_ (1996).

    Examples
    --------
    >>> round(float(cost_235_loss_db(10, 11200, True)), 2)
    26.1
    """
    lowest, highest = (1_000.0, 95_000.0) if extrapolate else FITTED_COST_235_MHZ
    d, f_mhz = _depth(depth_m), _frequency(frequency_mhz, lowest, highest)
    if in_leaf:
        return 15.6 * np.power(f_mhz, -0.009) * np.power(d, 0.26)
    return 26.6 * np.power(f_mhz, -0.2) * np.power(d, 0.5)


def woodland_loss_db(depth_m: ArrayLike, specific_db_per_m: ArrayLike, most_db: ArrayLike) -> FloatArray:
    r"""Excess loss where one end stands inside a wood.

    Parameters
    ----------
    depth_m : array_like of float, shape (...)
        Path inside the wood, >= 0. [m]
    specific_db_per_m : array_like of float, broadcast with the rest
        Specific attenuation for very short paths, > 0. [dB/m]
    most_db : array_like of float, broadcast with the rest
        Most excess loss of this wood, > 0. [dB]

    Returns
    -------
    ndarray of float, broadcast shape
        Loss; NaN where an input is NaN or outside its range. [dB]

    Notes
    -----
    .. math:: A = A_m (1 - e^{-d \gamma / A_m})

    Source: [P833]_, P.833-10 (2021), section 2.1, equation 1.

    Examples
    --------
    >>> round(float(woodland_loss_db(10, 1.08, 51)), 2)
    9.73
    """
    d, gamma, most_db = not_negative(depth_m), positive(specific_db_per_m), positive(most_db)
    return most_db * (0.0 - np.expm1(0.0 - d * gamma / most_db))


def woodland_parameters(frequency_mhz: ArrayLike, extrapolate: bool = False) -> tuple[FloatArray, FloatArray]:
    r"""Parameters of `woodland_loss_db` for mixed forest.

    Parameters
    ----------
    frequency_mhz : array_like of float, shape (...)
        Carrier frequency, 105.9 to 2117.5, where the table ends; with `extrapolate` 1000 to 95,000. [MHz]
    extrapolate : bool, default False
        Follow the published curves instead of the table.

    Returns
    -------
    specific_db_per_m, most_db : ndarray of float, shape (...)
        NaN where the frequency is NaN or outside its range. [dB/m, dB]

    Notes
    -----
    The table is interpolated in the logarithms of frequency and value. The curves, as others read them:

    .. math:: \gamma = 0.19 f^{1.02} \text{ (f in GHz)}, \qquad A_m = 1.37 f^{0.42} \text{ (f in MHz)}

    Source: [P833]_, P.833-9 (2016), section 2.1, Table 1 and Figure 2; the exponents from memory.

    Examples
    --------
    >>> [round(float(value), 2) for value in woodland_parameters(949)]
    [0.17, 26.5]
    """
    if extrapolate:
        f_mhz = _frequency(frequency_mhz, 1_000.0, 95_000.0)
        return 0.19 * np.power(f_mhz / 1000.0, 1.02), 1.37 * np.power(f_mhz, 0.42)
    table = np.log10(np.array(_WOODLAND))
    log_f = np.log10(_frequency(frequency_mhz, *TABLED_WOODLAND_MHZ))
    specific, most = (np.power(10.0, np.interp(log_f, table[:, 0], table[:, n])) for n in (1, 2))
    return specific, most


def _depth(depth_m: ArrayLike) -> FloatArray:
    d = float_array(depth_m)
    return nan_unless((d >= 0.0) & (d <= DEEPEST_FOLIAGE_M), d)


def _frequency(frequency_mhz: ArrayLike, lowest_mhz: float, highest_mhz: float) -> FloatArray:
    f_mhz = float_array(frequency_mhz)
    return nan_unless((f_mhz >= lowest_mhz) & (f_mhz <= highest_mhz), f_mhz)
