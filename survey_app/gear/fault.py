"""One fault of a gear type, beside the number that shows it."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["GearFault"]


@dataclass(frozen=True, slots=True)
class GearFault:
    """What a plausibility check says about one field of one gear type.

    Parameters
    ----------
    gear : str
        Id of the type.
    code : str
        Short code of the check, such as `power-rises`.
    field : str
        Path of the field, such as `power_per_mcs_dbm[3]`.
    message : str
        One sentence for people.
    value, limit : float or None
        The figure and what it is held against, where there are figures.
    unit : str
        Their unit; empty for plain numbers and words.
    source : str
        Key of the source of the rule; common practice unless another is named.
    """

    gear: str
    code: str
    field: str
    message: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    source: str = "PRACTICE"
