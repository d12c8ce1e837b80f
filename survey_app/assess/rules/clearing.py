"""Moves of a mount that clear a hop, as cures."""

from __future__ import annotations

from survey_app.assess.findings import cure, work_on_site
from survey_app.assess.raising import Offer
from survey_app.assess.record import Cure
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined

__all__ = ["clearing"]


def clearing(view: View, hop_id: str, *, over_traffic: bool = False) -> tuple[Cure, ...]:
    """Return what clears a hop by a mount that is raised or moved along its edge; work on site where no edit does.

    Parameters
    ----------
    view : View
        What is known.
    hop_id : str
        The hop.
    over_traffic : bool, default False
        Clear what passes there too; else that is done where it can be, so that one visit is enough.
    """
    least = () if over_traffic else view.offers.get(hop_id, ())
    ways = ([_cure(view, one) for one in found] for found in (view.offers_over_traffic.get(hop_id, ()), least))
    higher, cures = ways
    edits = [one for one in higher if one.edit is not None] or [one for one in cures if one.edit is not None]
    return tuple(edits or higher or cures)


def _cure(view: View, one: Offer) -> Cure:
    moved = " and ".join(_moved(view, mount, one, to_m) for mount, to_m in zip(one.mounts, one.to_m, strict=True))
    clears = f"clears {joined(list(one.clears))}."
    if one.pole_m is not None:
        return work_on_site(f"{moved}, on a pole of {one.pole_m:.1f} m: {clears}")
    if len(one.mounts) > 1 or any(view.job.mounts[mount].locked for mount in one.mounts):
        return work_on_site(f"{moved}: {clears}")
    (mount,), (to_m,) = one.mounts, one.to_m
    if one.way == "up":
        return cure(f"{moved}: {clears}", "set_height", thing_id=mount, height_m=to_m)
    return cure(f"{moved}: {clears}", "slide", mount_id=mount, along_m=to_m)


def _moved(view: View, mount: str, one: Offer, to_m: float) -> str:
    """Return how a mount is moved, in words."""
    if one.way == "along":
        return f"Move {mount} {_figure(one.by_m)} m along its edge, to {_figure(to_m)} m from its corner"
    height_m = view.mounts[mount].height_above_ground_m + one.by_m
    return f"Raise {mount} by {_figure(one.by_m)} m, to {_figure(height_m)} m"


def _figure(length_m: float) -> str:
    """Return a length with as many digits as it needs, one at least and three at most.

    Examples
    --------
    >>> _figure(0.4), _figure(6.25), _figure(1.23456)
    ('0.4', '6.25', '1.235')
    """
    text = f"{length_m:.3f}".rstrip("0")
    return f"{text}0" if text.endswith(".") else text
