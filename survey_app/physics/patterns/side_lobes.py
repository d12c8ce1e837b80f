"""The two readings of a reference pattern: over the tops of the side lobes, or through their middle."""

from __future__ import annotations

from typing import Literal, TypeAlias

from survey_app.errors import UnknownNameError

__all__ = ["SideLobes", "takes_peaks"]

SideLobes: TypeAlias = Literal["peak", "average"]
"""`peak`: envelope of the side-lobe peaks, for one interferer; `average`: for many interferers at once."""


def takes_peaks(side_lobes: str) -> bool:
    """Return whether the peaks are meant.

    Parameters
    ----------
    side_lobes : {"peak", "average"}
        The wanted reading.

    Returns
    -------
    bool
        True for "peak".

    Raises
    ------
    UnknownNameError
        Any other word.

    Examples
    --------
    >>> takes_peaks("average")
    False
    """
    if side_lobes not in ("peak", "average"):
        raise UnknownNameError(f"side lobes cannot be '{side_lobes}'", remedy="write peak or average")
    return side_lobes == "peak"
