"""How much each radio sends: while aiming, in service, and at the most."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import HopArrays, RadioArrays
from survey_app.assess.hop_rates import HopRates
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.rates import at_mcs

__all__ = ["Powers", "aiming_and_full_dbm", "automatic_dbm"]


@dataclass(frozen=True)
class Powers:
    """Total power over all chains, shape (radios,) each. [dBm]

    Attributes
    ----------
    aiming_dbm : ndarray of float
        Fixed while aiming: the least of ceiling, law and the unit's power at its highest rate, so that all frames
        are sent alike.
    full_dbm : ndarray of float
        The most that ceiling, law and unit allow.
    service_dbm : ndarray of float
        In service: automatic or fixed.
    """

    aiming_dbm: FloatArray
    full_dbm: FloatArray
    service_dbm: FloatArray


def aiming_and_full_dbm(radios: RadioArrays, law_dbm: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return aiming power and full power of all radios.

    Parameters
    ----------
    radios : RadioArrays
        All radios.
    law_dbm : ndarray of float, shape (radios,)
        Conducted limit that applies; NaN where no rule is known. [dBm]

    Returns
    -------
    aiming_dbm, full_dbm : ndarray of float, shape (radios,)
        Never under the unit's floor: a unit cannot send less. [dBm]
    """
    columns = np.arange(radios.power_dbm.shape[1])
    usable = (columns <= radios.highest_mcs[:, None]) & ~np.isnan(radios.power_dbm)
    usable &= ~_no_mcs_9_at_20_mhz(radios, columns)
    has = usable.any(axis=1)
    last = np.where(has, usable.shape[1] - 1 - np.argmax(usable[:, ::-1], axis=1), -1)
    at_highest = at_mcs(radios.power_dbm, last.astype(float))
    most = np.where(has, np.max(np.where(usable, radios.power_dbm, -np.inf), axis=1), np.nan)
    bound = np.minimum(radios.ceiling_dbm, law_dbm)
    floor = radios.power_floor_dbm
    # settings are whole steps above the floor: a limit between two steps means the lower one
    aiming = _step_down(np.minimum(at_highest, bound), radios)
    full = _step_down(np.minimum(most, bound), radios)
    return np.maximum(aiming, floor), np.maximum(full, floor)


def _no_mcs_9_at_20_mhz(radios: RadioArrays, columns: np.ndarray[tuple[int, ...], np.dtype[np.intp]]) -> BoolArray:
    not_to_be_had: BoolArray = (radios.mode == 1) & (radios.width_mhz <= 20.0) & (radios.streams <= 2)
    unusable: BoolArray = not_to_be_had[:, None] & (columns == 9)
    return unusable


def _step_down(power_dbm: FloatArray, radios: RadioArrays) -> FloatArray:
    steps = np.floor((power_dbm - radios.power_floor_dbm) / radios.power_step_db + 1e-9)
    return radios.power_floor_dbm + steps * radios.power_step_db


def automatic_dbm(
    radios: RadioArrays,
    hops: HopArrays,
    rates: HopRates,
    path_gain_db: FloatArray,
    needed: FloatArray,
    full_dbm: FloatArray,
    target_level_dbm: float,
    rise_db: float,
) -> FloatArray:
    """Return the power that automatic control settles at: what the needed rate wants at every far end, and no more.

    Parameters
    ----------
    radios, hops, rates
        The site as arrays.
    path_gain_db, needed : ndarray of float, shape (hops,)
        Path gain and needed rate index.
    full_dbm : ndarray of float, shape (radios,)
        The ceiling of control. [dBm]
    target_level_dbm : float
        Level that the site aims for; a hop that needs more asks for more. [dBm]
    rise_db : float
        Planned rise of the noise by others. [dB]

    Returns
    -------
    ndarray of float, shape (radios,)
        Power, rounded up to the unit's step, between floor and ceiling; full power for a radio without a hop. [dBm]
    """
    wanted_at_s = at_mcs(rates.sensitivity_s_dbm, needed) + rise_db + hops.wanted_margin_db
    wanted_at_a = at_mcs(rates.sensitivity_a_dbm, needed) + rise_db + hops.wanted_margin_db
    asked = np.full(len(radios.ids), -np.inf)
    # a hop whose path is unknown asks for nothing: it must not take the power from the others
    np.fmax.at(asked, hops.access_point, np.maximum(wanted_at_s, target_level_dbm) - path_gain_db)
    np.fmax.at(asked, hops.station, np.maximum(wanted_at_a, target_level_dbm) - path_gain_db)
    floor, step = radios.power_floor_dbm, radios.power_step_db
    stepped = floor + np.ceil((asked - floor) / step - 1e-9) * step
    return np.where(np.isinf(asked), full_dbm, np.clip(stepped, floor, full_dbm))
