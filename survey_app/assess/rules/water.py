"""Reflections from water and open surfaces that make the level rise and fall."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.record import Cure
from survey_app.assess.ripples import RIPPLE_DB, WaterRipple
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined

__all__ = ["CODES", "RULES"]

CODES = {"water-ripple": "A reflection moves the level"}


def water_ripple(view: View) -> Iterator[Draft]:
    """The reflection from a surface moves the level by three decibels or more: one finding an access point."""
    cells: dict[str, list[WaterRipple]] = {}
    for hop_id, one in view.ripples.items():
        if one.swing_db >= RIPPLE_DB:
            cells.setdefault(view.hops[hop_id].access_point, []).append(one)
    for access_point, found in cells.items():
        worst = max(found, key=lambda one: one.swing_db)
        hop = view.hops[worst.hop]
        yield Draft(
            code="water-ripple",
            severity="warn",
            subject=access_point,
            message=_words(view, worst, [one.hop for one in found]),
            source="P2040",
            value=worst.swing_db,
            limit=RIPPLE_DB,
            unit="dB",
            radio=access_point,
            place=view.along_hop(worst.hop, worst.point_m / hop.ground_distance_m),
            cures=_cures(view, worst),
            concerns=(*(one.hop for one in found), worst.water),
        )


def _words(view: View, one: WaterRipple, hops: list[str]) -> str:
    water = next(row.title for row in view.job.design.waters if row.id == one.water)
    chains = (
        f"{one.horizontal.highest_db:+.1f} {one.horizontal.lowest_db:.1f} dB on the horizontal chain and "
        f"{one.vertical.highest_db:+.1f} {one.vertical.lowest_db:.1f} dB on the vertical one"
    )
    if one.moves:
        return (
            f"{water} throws back a second ray: the level of {joined(hops)} moves {chains}, "
            f"{one.worse.cycles:.0f} times from low water to high, once every {one.period_m:.2f} m; "
            "two chains may differ by 6 dB."
        )
    avoid = joined([f"{height:.2f} m" for height in one.avoid_m])
    near = f"; heights of {one.lower} to avoid: {avoid} over the datum" if one.avoid_m else ""
    return f"{water} throws back a second ray: the level of {joined(hops)} may be {chains}{near}."


def _cures(view: View, one: WaterRipple) -> tuple[Cure, ...]:
    accept = work_on_site("Accept chains that differ by up to 6 dB here, and aim at a quiet time of the water.")
    hide = work_on_site("Hang an end where the shore, a deck or a roof hides the surface from it.")
    if one.better_m is None:
        return (accept, hide)
    mount = view.job.mounts[one.lower]
    height_m = round(mount.height_m + one.better_m, 2)
    text = f"Hang {one.lower} {abs(one.better_m):.2f} m {'higher' if one.better_m > 0.0 else 'lower'}."
    return (cure(text, "set_height", thing_id=mount.id, height_m=height_m), hide)


RULES = (water_ripple,)
