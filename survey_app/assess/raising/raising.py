"""The least move of an end that clears a hop, as data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from survey_app.assess.raising.moves import End

__all__ = ["Raising"]


@dataclass(frozen=True, slots=True)
class Raising:
    """The least move of one kind that clears a hop.

    Attributes
    ----------
    hop : str
        Id of the hop.
    end : {"access_point", "station", "both"}
        What moves.
    way : {"up", "along"}
        Upwards, or along the edge that carries it.
    mounts : tuple of str
        What is moved.
    by_m : float or None
        How far, to a millimetre; None = no such move clears it. [m]
    to_m : tuple of float
        The new height of each mount over its own reference, or its new distance along the edge. [m]
    ratio : float or None
        Smallest clearance over the first zone then. [1]
    within_m : float
        How far it could go on what carries it. [m]
    pole_m : float or None
        Length of the pole or mast that it takes, where that is longer than the one that stands. [m]
    over_traffic : bool
        Whether lanes count too, as high as what passes there.
    reason : str
        Why there is none; empty where there is one.
    """

    hop: str
    end: End
    way: Literal["up", "along"]
    mounts: tuple[str, ...]
    by_m: float | None
    to_m: tuple[float, ...]
    ratio: float | None
    within_m: float
    pole_m: float | None
    over_traffic: bool
    reason: str = ""
