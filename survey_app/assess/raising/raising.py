"""The least move of an end that clears a hop, as data and as cures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from survey_app.assess.findings import cure, work_on_site
from survey_app.assess.raising.moves import End
from survey_app.assess.record import Cure

__all__ = ["Raising", "raising_cures"]


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


def raising_cures(found: Sequence[Raising], names: Mapping[str, str]) -> tuple[Cure, ...]:
    """Return least moves as cures of a finding, the shortest first; those that take a longer pole last.

    Parameters
    ----------
    found : sequence of Raising
        Of one hop.
    names : mapping of str to str
        How the mounts are called.

    Returns
    -------
    tuple of Cure
        Edits that clear the hop each by itself; what takes a longer pole or both ends is said as work.
    """
    ready = [one for one in found if one.by_m is not None and one.by_m > 0.0]
    edits = sorted((one for one in ready if one.end != "both" and one.pole_m is None), key=lambda one: one.by_m or 0.0)
    cures = [_edit(one, names) for one in edits]
    longer = sorted((one for one in ready if one.end != "both" and one.pole_m), key=lambda one: one.by_m or 0.0)
    cures += [work_on_site(f"{_raised(one, names)}, on a pole of {one.pole_m:.1f} m.") for one in longer]
    if not edits:
        both = [one for one in ready if one.end == "both"]
        cures += [work_on_site(f"{_raised(one, names)}{_on_pole(one)}.") for one in both]
    return tuple(cures)


def _edit(one: Raising, names: Mapping[str, str]) -> Cure:
    (mount,), (to_m,) = one.mounts, one.to_m
    if one.way == "up":
        return cure(f"{_raised(one, names)}.", "set_height", thing_id=mount, height_m=to_m)
    text = f"Move {names[mount]} {one.by_m:.2f} m along its edge, to {to_m:.2f} m from its corner."
    return cure(text, "slide", mount_id=mount, along_m=to_m)


def _raised(one: Raising, names: Mapping[str, str]) -> str:
    targets = " and ".join(f"{names[key]} to {to_m:.2f} m" for key, to_m in zip(one.mounts, one.to_m, strict=True))
    return f"Raise {targets}, by {one.by_m:.2f} m"


def _on_pole(one: Raising) -> str:
    return "" if one.pole_m is None else f", on a pole of {one.pole_m:.1f} m"
