"""Standard supply over the data cable: the classes and types of IEEE 802.3."""

from __future__ import annotations

from typing import Final, NamedTuple

from survey_app.errors import UnknownNameError

__all__ = ["POWER_CLASSES", "POWER_TYPES", "PowerClass", "PowerType", "class_for_load", "power_class", "power_type"]


class PowerClass(NamedTuple):
    """What a class promises.

    Attributes
    ----------
    number : int
        Class, 0 to 8.
    source_w : float
        Power that the source port must be able to give. [W]
    device_w : float
        Power that the device may take at its end. [W]
    first_type : int
        Lowest type of equipment that has the class.
    """

    number: int
    source_w: float
    device_w: float
    first_type: int


class PowerType(NamedTuple):
    """Voltages, current and cable of a type of equipment.

    Attributes
    ----------
    number : int
        Type, 1 to 4.
    source_min_v, source_max_v : float
        Voltage range at the source port. [V]
    device_min_v, device_max_v : float
        Voltage range in which the device must work. [V]
    pairset_a : float
        Highest current of a pair set, one pair out and one back. [A]
    pairset_ohm : float
        Highest resistance there and back of a pair set. [ohm]
    pairsets : int
        Pair sets that carry current: 1 (two pairs) or 2 (four pairs).
    """

    number: int
    source_min_v: float
    source_max_v: float
    device_min_v: float
    device_max_v: float
    pairset_a: float
    pairset_ohm: float
    pairsets: int


#: [IEEE8023]_; from copies of its table.
POWER_CLASSES: Final = (
    PowerClass(0, 15.4, 12.95, 1),
    PowerClass(1, 4.0, 3.84, 1),
    PowerClass(2, 7.0, 6.49, 1),
    PowerClass(3, 15.4, 12.95, 1),
    PowerClass(4, 30.0, 25.5, 2),
    PowerClass(5, 45.0, 40.0, 3),
    PowerClass(6, 60.0, 51.0, 3),
    PowerClass(7, 75.0, 62.0, 4),
    PowerClass(8, 90.0, 71.3, 4),
)

#: [IEEE8023]_; types 1, 2 and 4 from copies of its tables, type 3 and the 12.5 ohm of type 4 from memory.
POWER_TYPES: Final = (
    PowerType(1, 44.0, 57.0, 37.0, 57.0, 0.350, 20.0, 1),
    PowerType(2, 50.0, 57.0, 42.5, 57.0, 0.600, 12.5, 1),
    PowerType(3, 50.0, 57.0, 42.5, 57.0, 0.600, 12.5, 2),
    PowerType(4, 52.0, 57.0, 41.1, 57.0, 0.960, 12.5, 2),
)


def power_class(number: int) -> PowerClass:
    """Return a class by its number.

    Parameters
    ----------
    number : int
        0 to 8.

    Returns
    -------
    PowerClass
        Its powers.

    Raises
    ------
    UnknownNameError
        There is no such class.

    Examples
    --------
    >>> power_class(4).device_w
    25.5
    """
    if number not in range(len(POWER_CLASSES)):
        raise UnknownNameError(f"unknown power class {number!r}", remedy="use 0 to 8")
    return POWER_CLASSES[number]


def power_type(number: int) -> PowerType:
    """Return a type by its number.

    Parameters
    ----------
    number : int
        1 to 4.

    Returns
    -------
    PowerType
        Its voltages, current and cable.

    Raises
    ------
    UnknownNameError
        There is no such type.

    Examples
    --------
    >>> power_type(2).device_min_v
    42.5
    """
    if number not in range(1, len(POWER_TYPES) + 1):
        raise UnknownNameError(f"unknown power type {number!r}", remedy="use 1 to 4")
    return POWER_TYPES[number - 1]


def class_for_load(load_w: float) -> PowerClass | None:
    """Return the lowest class that grants a load.

    Parameters
    ----------
    load_w : float
        Highest power of the device, >= 0. [W]

    Returns
    -------
    PowerClass or None
        The class with the least power at the source, never class 0; None where the load is beyond class 8, negative or
        NaN.

    Notes
    -----
    Class 0 grants as much as class 3 and is given out by devices that do not classify.

    Examples
    --------
    >>> class_for_load(8.5).number
    3
    """
    if not load_w >= 0:
        return None
    return next((row for row in POWER_CLASSES[1:] if load_w <= row.device_w), None)
