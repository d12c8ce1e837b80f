"""Flags of findings: an octagon, a triangle or a circle with its number, 8 to 25 mm from the spot it points at."""

from __future__ import annotations

import math

from survey_app.drawing.labels import Places
from survey_app.drawing.plat.labelling import Flagged, Labelling
from survey_app.drawing.plat.lines import Level
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Disc, Path, Symbol, Words
from survey_app.drawing.symbols import flag

__all__ = ["place_flags"]

_TURNS_DEG = (45.0, 135.0, 315.0, 225.0, 90.0, 270.0, 0.0, 180.0, 20.0, 70.0, 110.0, 160.0, 200.0, 250.0, 290.0, 340.0)
_REACHES_MM = (9.0, 12.5, 17.0, 21.0, 24.5)
_HALF_MM = 3.3
_NUMBER_ROLES = {"stop": Role.WORDS_LIGHT, "warn": Role.WORDS_ON_WARN}
_MOST = 160
"""More flags in one view nobody reads: the first by number stand, and all are in the list."""
_RIM_MM = 4.0
_AROUND = Places(
    (reach * math.sin(math.radians(turn)), reach * math.cos(math.radians(turn)))
    for reach in _REACHES_MM
    for turn in _TURNS_DEG
)


def _number_mm(severity: str, number: str) -> float:
    """Return the height of a flag's number: two figures stand clear of the sides of a triangle. [mm]"""
    if len(number) > 2:
        return 1.6
    return 1.9 if severity == "warn" and len(number) == 2 else 2.28


def place_flags(labels: Labelling, ids: frozenset[str] | None) -> None:
    """Place the flags of the findings whose spot lies in the window, by number."""
    full: set[tuple[int, int]] = set()
    chosen = frozenset(labels.wish.selection)
    for finding, at in labels.scene.findings:
        subjects = {finding.subject, finding.second_subject}
        if not subjects.isdisjoint(labels.wish.lifted) or (ids is not None and subjects.isdisjoint(ids)):
            continue
        if not labels.inside_view(at):
            continue
        x, y = labels.mm(at)
        corner = (int(x // 4.0), int(y // 4.0))
        selected = not subjects.isdisjoint(chosen)
        if (corner in full or len(labels.flags) >= _MOST) and not selected:
            continue
        place = labels.placer.first_free_round((x, y), _AROUND, _HALF_MM, _HALF_MM, _RIM_MM)
        if place is None:
            # no room: the list has it, and the plan shows it when its subject is selected
            full.add(corner)
            if selected:
                place = labels.placer.least_taken_round((x, y), _AROUND, _HALF_MM, _HALF_MM, _RIM_MM)
            if place is None:
                continue
        spot = labels.m(*place)
        stack = labels.stack
        stack.add(Level.FLAGS, Path(Role.LEADER, (at, spot)))
        stack.add(Level.FLAGS, Symbol("leader", at, (Disc(Role.SOLID, (0.0, 0.0), 0.4),)))
        accepted = finding.accepted is not None
        stack.add(Level.FLAGS, flag(spot, finding.severity, accepted=accepted, subject=finding.id))
        number = str(finding.number)
        height = _number_mm(finding.severity, number)
        role = _NUMBER_ROLES.get(finding.severity, Role.WORDS)
        lower = (-0.55 if len(number) < 2 else -0.75) if finding.severity == "warn" else 0.0
        stack.add(
            Level.FLAGS,
            Words(role, spot, number, height, (0.0, lower), bold=True, align="middle"),
        )
        labels.flags.append(Flagged(finding.id, finding.number, spot, at))
