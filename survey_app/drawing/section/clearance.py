"""The smallest clearance of a hop in words: how far, where, which part of the first zone, and what changes it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from survey_app.drawing.section.lengths import METRES, Lengths
from survey_app.site.site import Design

if TYPE_CHECKING:
    from survey_app.assess.record import Finding, HopRow, Side

__all__ = ["SectionClearance", "SectionFlag", "clearance_of"]

_CODES = ("not-clear", "own-edge", "leaf-and-growth", "moving-blocker")
_SIDE_WORDS = {"under": "", "over": " overhead", "left": " on the left", "right": " on the right"}
_FINE_M = 1.0
_SAME = 0.005


@dataclass(frozen=True)
class SectionFlag:
    """The finding that a clearance belongs to: its number, severity, and whether somebody has accepted it."""

    number: int
    severity: str
    accepted: bool


@dataclass(frozen=True)
class SectionClearance:
    """Where something comes nearest to the ray.

    Attributes
    ----------
    thing : str
        Id of the structure, or `ground`.
    name : str
        What it is, in capitals.
    place_m : float
        Ground distance from the access point. [m]
    clearance_m : float
        How far the ray passes it; negative: how far the ray would have to give way. [m]
    side : str
        Where it lies, seen from the access point.
    lines : tuple of (str, bool)
        What is said beside it, the most needed first; bold where less is free than wanted.
    flag : SectionFlag or None
        The finding that says so.
    """

    thing: str
    name: str
    place_m: float
    clearance_m: float
    side: Side
    lines: tuple[tuple[str, bool], ...]
    flag: SectionFlag | None


def clearance_of(
    design: Design, hop: HopRow, findings: tuple[Finding, ...], lengths: Lengths
) -> SectionClearance | None:
    """Return the smallest clearance of a hop, or None where nothing comes near it.

    Parameters
    ----------
    design : Design
        Names, and what is wanted.
    hop : HopRow
        As assessed.
    findings : tuple of Finding
        Those about the hop.
    lengths : Lengths
        Unit of all words.
    """
    if hop.clearance_obstacle is None or hop.clearance_place_m is None or hop.clearance_m is None:
        return None
    titles = {one.id: one.title for one in design.structures}
    name = titles.get(hop.clearance_obstacle, hop.clearance_obstacle).upper()
    side = hop.clearance_side or "under"
    wanted = design.defaults.free_zone_fraction
    lines = [(_metres(hop.clearance_m, hop.clearance_place_m, side, lengths), True)]
    lines += _ratios(design, hop, wanted, titles)
    flag = next((one for code in _CODES for one in findings if one.code == code), None)
    return SectionClearance(
        thing=hop.clearance_obstacle,
        name=name,
        place_m=hop.clearance_place_m,
        clearance_m=hop.clearance_m,
        side=side,
        lines=tuple(lines),
        flag=None if flag is None else SectionFlag(flag.number, flag.severity, flag.accepted is not None),
    )


def _metres(clearance_m: float, place_m: float, side: Side, lengths: Lengths) -> str:
    places = 2 if abs(clearance_m) < _FINE_M else 1
    far = lengths.words(abs(clearance_m), places)
    where = f"at {lengths.words(place_m)}"
    return f"{far} into the ray {where}" if clearance_m < 0.0 else f"clear {far}{_SIDE_WORDS[side]} {where}"


def _ratios(design: Design, hop: HopRow, wanted: float, titles: dict[str, str]) -> list[tuple[str, bool]]:
    """Return the parts of the zone that are free: now, grown, while something passes, when the air bends less."""
    now = hop.fresnel_clearance_ratio
    if now is None:
        return [("No channel is chosen: no first zone.", False)]
    figure = METRES.figure
    lines = [(f"{figure(now, 2)} of the first zone, {figure(wanted, 2)} wanted", now < wanted)]
    year = design.as_of.year + round(design.defaults.growth_years)
    for ratio, words in (
        (hop.clearance_ratio_grown, f"in {year}, grown"),
        (hop.clearance_ratio_moving, f"past {_passing(hop, titles)}"),
        (hop.clearance_ratio_low_k, f"at k = {design.defaults.low_k:g}"),
    ):
        if ratio is not None and ratio < now - _SAME:
            lines.append((f"{figure(ratio, 2)} {words}", ratio < wanted))
    return lines


def _passing(hop: HopRow, titles: dict[str, str]) -> str:
    """Return what passes under the ray and comes nearest to it."""
    moving = next((one.thing for one in hop.obstacles if one.kind == "traffic"), "")
    return titles.get(moving, "what moves").upper() if moving else "what moves"
