"""Sun and battery: what a mount without mains needs, and how long a battery carries it."""

from __future__ import annotations

from typing import Final, NamedTuple

from numpy.typing import ArrayLike

from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import FloatArray, nan_unless
from survey_app.physics.domains import fraction, not_negative, positive

__all__ = [
    "ARRAY_EFFICIENCY",
    "BATTERY_KINDS",
    "BatteryKind",
    "array_w",
    "autonomy_days",
    "backup_minutes",
    "battery_kind",
    "battery_wh",
    "capacity_ah",
    "daily_energy_wh",
]


class BatteryKind(NamedTuple):
    """How far a battery may be used.

    Attributes
    ----------
    usable_fraction : float
        Depth of discharge that it stands day by day.
    efficiency : float
        What comes out of what went in.
    """

    usable_fraction: float
    efficiency: float


#: Lead-acid and lithium iron phosphate: common practice, [PRACTICE]_; sizing by days of autonomy as in [IEEE1562]_.
BATTERY_KINDS: Final = {"lead": BatteryKind(0.5, 0.9), "lithium": BatteryKind(0.8, 0.95)}

#: What panels, regulator and wires leave of the sun's energy. [PRACTICE]_, 0.6 to 0.7.
ARRAY_EFFICIENCY: Final = 0.65


def battery_kind(name: str) -> BatteryKind:
    """Return a kind of battery by its name.

    Parameters
    ----------
    name : {"lead", "lithium"}
        Kind.

    Returns
    -------
    BatteryKind
        Usable fraction and efficiency.

    Raises
    ------
    UnknownNameError
        There is no such kind.

    Examples
    --------
    >>> battery_kind("lithium").usable_fraction
    0.8
    """
    if name not in BATTERY_KINDS:
        raise UnknownNameError(f"unknown battery kind {name!r}", remedy=f"use one of {', '.join(BATTERY_KINDS)}")
    return BATTERY_KINDS[name]


def daily_energy_wh(load_w: ArrayLike, hours: ArrayLike = 24.0) -> FloatArray:
    """Energy of a load in a day.

    Parameters
    ----------
    load_w : array_like of float, shape (...)
        Mean power while on, >= 0. [W]
    hours : array_like of float, broadcast with it, default 24
        Hours a day, 0 to 24. [h]

    Returns
    -------
    ndarray of float, broadcast shape
        Energy; NaN where an input is NaN or out of domain. Several loads add. [Wh]

    Examples
    --------
    >>> float(daily_energy_wh(18))
    432.0
    """
    duration = not_negative(hours)
    return not_negative(load_w) * nan_unless(duration <= 24, duration)


def battery_wh(
    energy_wh: ArrayLike, days: ArrayLike, usable_fraction: ArrayLike, efficiency: ArrayLike = 1.0
) -> FloatArray:
    r"""Capacity of a battery that carries a load for days without sun.

    Parameters
    ----------
    energy_wh : array_like of float, shape (...)
        Energy of the load in a day, >= 0. [Wh]
    days : array_like of float, broadcast with it
        Days of autonomy, >= 0; 3 to 5 is usual ([PRACTICE]_). [day]
    usable_fraction, efficiency : array_like of float, broadcast with it
        As in `BatteryKind`, > 0 and <= 1.

    Returns
    -------
    ndarray of float, broadcast shape
        Nominal capacity; NaN where an input is NaN or out of domain. [Wh]

    Notes
    -----
    .. math:: C = E N / (DoD\, \eta)

    Source: [IEEE1562]_ (method, from its scope page); cold takes more.

    Examples
    --------
    >>> round(float(battery_wh(432, 3, *battery_kind("lead"))))
    2880
    """
    return not_negative(energy_wh) * not_negative(days) / (fraction(usable_fraction) * fraction(efficiency))


def capacity_ah(capacity_wh: ArrayLike, battery_v: ArrayLike) -> FloatArray:
    """Capacity in the unit that is printed on batteries.

    Parameters
    ----------
    capacity_wh : array_like of float, shape (...)
        Nominal capacity, >= 0. [Wh]
    battery_v : array_like of float, broadcast with it
        Nominal voltage, > 0. [V]

    Returns
    -------
    ndarray of float, broadcast shape
        Capacity; NaN where an input is NaN or out of domain. [Ah]

    Examples
    --------
    >>> float(capacity_ah(2880, 12))
    240.0
    """
    return not_negative(capacity_wh) / positive(battery_v)


def array_w(energy_wh: ArrayLike, sun_hours: ArrayLike, efficiency: ArrayLike = ARRAY_EFFICIENCY) -> FloatArray:
    r"""Rated power of the panels that replace a day's energy in a day.

    Parameters
    ----------
    energy_wh : array_like of float, shape (...)
        Energy of the load in a day, >= 0. [Wh]
    sun_hours : array_like of float, broadcast with it
        Peak sun hours: kWh per m2 and day of the worst month in the plane of the panels, > 0. [h]
    efficiency : array_like of float, broadcast with it, default 0.65
        What arrives of the rated energy, > 0 and <= 1.

    Returns
    -------
    ndarray of float, broadcast shape
        Rated power; NaN where an input is NaN or out of domain. [W]

    Notes
    -----
    .. math:: A = E / (h\, \eta)

    Source: [IEEE1562]_ (method, from its scope page).

    Examples
    --------
    >>> round(float(array_w(432, 2.5)))
    266
    """
    return not_negative(energy_wh) / (positive(sun_hours) * fraction(efficiency))


def autonomy_days(
    capacity_wh: ArrayLike, energy_wh: ArrayLike, usable_fraction: ArrayLike, efficiency: ArrayLike = 1.0
) -> FloatArray:
    """Days without sun that a battery carries a load: `battery_wh` solved for the days.

    Parameters
    ----------
    capacity_wh : array_like of float, shape (...)
        Nominal capacity, >= 0. [Wh]
    energy_wh : array_like of float, broadcast with it
        Energy of the load in a day, > 0. [Wh]
    usable_fraction, efficiency : array_like of float, broadcast with it
        As in `BatteryKind`, > 0 and <= 1.

    Returns
    -------
    ndarray of float, broadcast shape
        Days; NaN where an input is NaN or out of domain. [day]

    Examples
    --------
    >>> round(float(autonomy_days(2880, 432, *battery_kind("lead"))), 6)
    3.0
    """
    usable_wh = not_negative(capacity_wh) * fraction(usable_fraction) * fraction(efficiency)
    return usable_wh / positive(energy_wh)


def backup_minutes(
    capacity_wh: ArrayLike, load_w: ArrayLike, usable_fraction: ArrayLike, efficiency: ArrayLike = 1.0
) -> FloatArray:
    """Minutes that a battery carries a load when the mains fails.

    Parameters
    ----------
    capacity_wh : array_like of float, shape (...)
        Nominal capacity, >= 0. [Wh]
    load_w : array_like of float, broadcast with it
        Power of everything behind it, > 0. [W]
    usable_fraction, efficiency : array_like of float, broadcast with it
        As in `BatteryKind`, > 0 and <= 1.

    Returns
    -------
    ndarray of float, broadcast shape
        Time; a chain lives as long as its weakest battery. NaN where an input is NaN or out of domain. [min]

    Examples
    --------
    >>> round(float(backup_minutes(100, 25, 0.8, 0.9)), 6)
    172.8
    """
    usable_wh = not_negative(capacity_wh) * fraction(usable_fraction) * fraction(efficiency)
    return 60.0 * usable_wh / positive(load_w)
