"""The receiver: which level each modulation needs, and which modulation a level carries."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.noise import noise_floor_dbm
from survey_app.physics.rates import at_mcs

__all__ = [
    "ADJACENT_REJECTION_DB",
    "ALTERNATE_REJECTION_DB",
    "LEGACY_ADJACENT_REJECTION_DB",
    "LEGACY_SENSITIVITY_DBM",
    "MAX_INPUT_2_GHZ_DBM",
    "MAX_INPUT_5_GHZ_DBM",
    "NO_MCS",
    "PRACTICE_SNR_DB",
    "STANDARD_NOISE_FIGURE_DB",
    "STANDARD_SENSITIVITY_20_MHZ_DBM",
    "TRANSMIT_EVM_DB",
    "adjacent_channel_isolation_db",
    "highest_mcs",
    "highest_mcs_by_power",
    "margin_table_db",
    "sensitivity_at_width_dbm",
    "snr_required_db",
    "standard_sensitivity_dbm",
    "standard_snr_db",
]

#: Minimum sensitivity in 20 MHz by modulation index (10 % of 4096-octet packets lost), the same for every number of
#: streams. [IEEE80211]_ as reproduced in [RUACCESS]_, table of receiver sensitivity.
STANDARD_SENSITIVITY_20_MHZ_DBM: Final = (-82, -79, -77, -74, -70, -66, -65, -64, -59, -57, -54, -52)

#: Rejection of the adjacent channel and of the one after it, wanted signal 3 dB above minimum sensitivity. [IEEE80211]_
#: from memory; the entries of BPSK 1/2 and 64-QAM 3/4 were seen printed, and the columns satisfy the identity of
#: `adjacent_channel_isolation_db`.
ADJACENT_REJECTION_DB: Final = (16, 13, 11, 8, 4, 0, -1, -2, -7, -9, -12, -14)
ALTERNATE_REJECTION_DB: Final = (32, 29, 27, 24, 20, 16, 15, 14, 9, 7, 4, 2)

#: Signal over noise that real radios want, common practice ([PRACTICE]_).
PRACTICE_SNR_DB: Final = (2, 5, 9, 11, 15, 18, 20, 25, 29, 31, 34, 36)

#: Relative constellation error that a transmitter may have, [IEEE80211]_ from memory (mode n: -28 at index 7).
TRANSMIT_EVM_DB: Final = (-5, -10, -13, -16, -19, -22, -25, -27, -30, -32, -35, -35)

#: Minimum sensitivity and adjacent rejection of the 802.11a rates 6 to 54 Mbit/s, [IEEE80211]_ 17.3.10 from memory.
LEGACY_SENSITIVITY_DBM: Final = (-82, -81, -79, -77, -74, -70, -66, -65)
LEGACY_ADJACENT_REJECTION_DB: Final = (16, 15, 13, 11, 8, 4, 0, -1)

#: Strongest signal that a receiver must still decode, [RUACCESS]_ after [IEEE80211]_.
MAX_INPUT_5_GHZ_DBM: Final = -30.0
MAX_INPUT_2_GHZ_DBM: Final = -20.0

#: Noise figure and implementation margin behind the sensitivity table, [IEEE80211A]_ 17.3.10 from memory.
STANDARD_NOISE_FIGURE_DB: Final = 10.0
_STANDARD_MARGIN_DB: Final = 5.0

#: What `highest_mcs` answers where no modulation is carried.
NO_MCS: Final = -1.0

_WIDTH_SHIFT_DB = {5: -6.0, 10: -3.0, 20: 0.0, 40: 3.0, 80: 6.0, 160: 9.0}


def sensitivity_at_width_dbm(sensitivity_20_mhz_dbm: ArrayLike, width_mhz: ArrayLike) -> FloatArray:
    """Shift sensitivities given for 20 MHz to another channel width.

    Parameters
    ----------
    sensitivity_20_mhz_dbm : array_like of float, shape (...)
        Sensitivity in 20 MHz. [dBm]
    width_mhz : array_like of float, broadcast with it
        5, 10, 20, 40, 80 or 160. [MHz]

    Returns
    -------
    ndarray of float, broadcast shape
        Sensitivity, 3 dB more for each doubling; NaN where the width is none of these. [dBm]

    Notes
    -----
    The tables of [IEEE80211]_ step by exactly 3 dB (the noise alone by 3.01). 5 and 10 MHz follow the same rule.

    Examples
    --------
    >>> sensitivity_at_width_dbm(-75, [20, 40, 80])
    array([-75., -72., -69.])
    """
    width = float_array(width_mhz)
    shift: FloatArray = np.full(width.shape, np.nan)
    for known_mhz, known_db in _WIDTH_SHIFT_DB.items():
        shift = np.where(width == known_mhz, known_db, shift)
    return float_array(sensitivity_20_mhz_dbm) + shift


def standard_sensitivity_dbm(mcs: ArrayLike, width_mhz: ArrayLike = 20) -> FloatArray:
    """Level at which a receiver must decode, by the standard.

    Parameters
    ----------
    mcs : array_like of int, shape (...)
        Modulation index per stream, 0 to 11.
    width_mhz : array_like of float, broadcast with `mcs`, default 20
        Channel width. [MHz]

    Returns
    -------
    ndarray of float, broadcast shape
        Level; NaN where index or width do not exist. [dBm]

    Notes
    -----
    Real radios do 5 to 13 dB better; a data sheet always outranks this. Source: [IEEE80211]_, 2020 and
    802.11ax-2021, as reproduced in [RUACCESS]_, consolidated 6 July 2020.

    Examples
    --------
    >>> float(standard_sensitivity_dbm(7, 40))
    -61.0
    """
    return sensitivity_at_width_dbm(at_mcs(STANDARD_SENSITIVITY_20_MHZ_DBM, mcs), width_mhz)


def standard_snr_db(mcs: ArrayLike) -> FloatArray:
    r"""Signal over noise on which the standard's sensitivities rest.

    Parameters
    ----------
    mcs : array_like of int, shape (...)
        Modulation index per stream, 0 to 11.

    Returns
    -------
    ndarray of float, shape (...)
        Ratio; NaN where the index does not exist. [dB]

    Notes
    -----
    .. math:: SNR = S - N_{20\,MHz} - F - M

    with noise figure F = 10 dB and implementation margin M = 5 dB, the assumptions of [IEEE80211A]_, 1999, 17.3.10
    (from memory).

    Examples
    --------
    >>> round(float(standard_snr_db(7)))
    22
    """
    reference_dbm = noise_floor_dbm(20, STANDARD_NOISE_FIGURE_DB) + _STANDARD_MARGIN_DB
    return at_mcs(STANDARD_SENSITIVITY_20_MHZ_DBM, mcs) - reference_dbm


def snr_required_db(sensitivity_dbm: ArrayLike, width_mhz: ArrayLike, noise_figure_db: ArrayLike) -> FloatArray:
    """Signal over noise at which a unit of known sensitivity just decodes.

    Parameters
    ----------
    sensitivity_dbm : array_like of float, shape (...)
        Sensitivity of the unit. [dBm]
    width_mhz, noise_figure_db : array_like of float, broadcast with it
        Channel width [MHz] and noise figure of the unit [dB].

    Returns
    -------
    ndarray of float, broadcast shape
        Ratio; NaN where an input is NaN or out of domain. [dB]

    Notes
    -----
    With interference, the level must exceed noise and neighbours together by this ratio.

    Examples
    --------
    >>> round(float(snr_required_db(-72, 20, 6)), 1)
    23.0
    """
    return float_array(sensitivity_dbm) - noise_floor_dbm(width_mhz, noise_figure_db)


def adjacent_channel_isolation_db(rejection_db: ArrayLike, snr_db: ArrayLike) -> FloatArray:
    r"""Isolation of transmitter and receiver together that a rejection test proves.

    Parameters
    ----------
    rejection_db : array_like of float, shape (...)
        Rejection in the test, wanted signal 3 dB above sensitivity. [dB]
    snr_db : array_like of float, broadcast with it
        Signal over noise at sensitivity. [dB]

    Returns
    -------
    ndarray of float, broadcast shape
        Isolation between the two channels; NaN where an input is NaN. [dB]

    Notes
    -----
    .. math:: ACIR = ACR + SNR + 3

    Three decibels above sensitivity the neighbour's leakage equals the noise, so it lies SNR below the level at
    sensitivity. With the standard's tables this gives 23 dB (adjacent) and 39 dB (alternate) for every modulation.
    Derived from the test of [IEEE80211]_, 2020.

    Examples
    --------
    >>> float(adjacent_channel_isolation_db(16, 4))
    23.0
    """
    return float_array(rejection_db) + float_array(snr_db) + 3.0


def margin_table_db(path_gain_db: ArrayLike, power_dbm: ArrayLike, sensitivity_dbm: ArrayLike) -> FloatArray:
    """Level above sensitivity for every modulation when each is sent with its own power.

    Parameters
    ----------
    path_gain_db : array_like of float, shape (...)
        Antenna gains less all losses between the connectors (a negative number). [dB]
    power_dbm, sensitivity_dbm : array_like of float, shape (m,) or (..., m)
        Transmit power and sensitivity by modulation index; NaN where an index is not to be had. [dBm]

    Returns
    -------
    ndarray of float, shape (..., m)
        Margin. [dB]

    Examples
    --------
    >>> margin_table_db(-80, [25, 21], [-93, -72])
    array([38., 13.])
    """
    return float_array(path_gain_db)[..., np.newaxis] + float_array(power_dbm) - float_array(sensitivity_dbm)


def _highest(margin_db: FloatArray, wanted_db: FloatArray, level: FloatArray) -> FloatArray:
    carried = margin_db >= wanted_db[..., np.newaxis]
    count = margin_db.shape[-1]
    highest = np.where(carried.any(axis=-1), count - 1.0 - np.argmax(carried[..., ::-1], axis=-1), NO_MCS)
    return nan_unless(~np.isnan(level) & ~np.isnan(wanted_db), highest)


def highest_mcs(level_dbm: ArrayLike, sensitivity_dbm: ArrayLike, margin_db: ArrayLike = 0.0) -> FloatArray:
    """Highest modulation that a level carries.

    Parameters
    ----------
    level_dbm : array_like of float, shape (...)
        Received level. [dBm]
    sensitivity_dbm : array_like of float, shape (m,) or (..., m)
        Sensitivity by modulation index; NaN where an index is not to be had. [dBm]
    margin_db : array_like of float, shape (...), default 0
        Margin that must be left. [dB]

    Returns
    -------
    ndarray of float, shape (...)
        Whole-numbered index of the highest modulation with sensitivity + margin <= level, -1 where none is carried, NaN
        where level or margin is NaN. `rates.at_mcs` picks what belongs to it.

    Examples
    --------
    >>> highest_mcs([-60, -80, -99], [-93, -90, -75])
    array([ 2.,  1., -1.])
    """
    level = float_array(level_dbm)
    return _highest(level[..., np.newaxis] - float_array(sensitivity_dbm), float_array(margin_db), level)


def highest_mcs_by_power(
    path_gain_db: ArrayLike, power_dbm: ArrayLike, sensitivity_dbm: ArrayLike, margin_db: ArrayLike = 0.0
) -> FloatArray:
    """Highest modulation that a path carries when each is sent with its own power.

    Parameters
    ----------
    path_gain_db : array_like of float, shape (...)
        Antenna gains less all losses between the connectors. [dB]
    power_dbm, sensitivity_dbm : array_like of float, shape (m,) or (..., m)
        Transmit power and sensitivity by modulation index; NaN where an index is not to be had. [dBm]
    margin_db : array_like of float, shape (...), default 0
        Margin that must be left. [dB]

    Returns
    -------
    ndarray of float, shape (...)
        Whole-numbered index, -1 where none is carried, NaN where path gain or margin is NaN.

    Notes
    -----
    Fast modulations are sent with less power, so that this is not `highest_mcs` at one level.

    Examples
    --------
    >>> float(highest_mcs_by_power(-86, [25, 24, 21], [-93, -80, -72], 10))
    1.0
    """
    gain = float_array(path_gain_db)
    return _highest(margin_table_db(gain, power_dbm, sensitivity_dbm), float_array(margin_db), gain)
