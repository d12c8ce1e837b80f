"""Landmarks outside the window: an arrow at the neatline with name, bearing and distance."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from survey_app.drawing.labels import Box
from survey_app.drawing.plat.labelling import Labelling, Run
from survey_app.drawing.plat.lines import Level
from survey_app.drawing.plat.wording import bearing_words, length_words
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point, Symbol
from survey_app.drawing.symbols import landmark

if TYPE_CHECKING:
    from survey_app.assess.record import FromLandmark

__all__ = ["far_landmarks", "name_far_landmarks"]

_NAME_MM = 2.28


def far_landmarks(labels: Labelling, ids: frozenset[str] | None) -> dict[str, Point]:
    """Draw the arrows and take their room; return where the marks stand. [mm]"""
    found: dict[str, Point] = {}
    if "landmarks" in labels.wish.hidden:
        return found
    for mark in labels.scene.site.design.landmarks:
        at = labels.scene.point(mark.id)
        if at is None or mark.id in labels.wish.lifted or (ids is not None and mark.id not in ids):
            continue
        if labels.inside_view(at):
            continue
        x, y = labels.mm(at)
        cx, cy = labels.width_mm / 2.0, labels.height_mm / 2.0
        dx, dy = x - cx, y - cy
        part = min((cx - 1.0) / abs(dx) if dx else math.inf, (cy - 1.0) / abs(dy) if dy else math.inf)
        if part <= 0.0:
            continue
        length = math.hypot(dx, dy)
        tip = (cx + dx * part, cy + dy * part)
        rings = [
            (
                min(max(tip[0] - dx / length * off, 3.2), labels.width_mm - 3.2),
                min(max(tip[1] - dy / length * off, 3.2), labels.height_mm - 3.2),
            )
            for off in (5.0, 9.0, 13.0, 17.0, 21.0)
        ]
        # inward along the line of sight where something stands at the neatline
        ring = next((place for place in rings if labels.placer.free(Box(*place, 2.5, 2.5))), rings[0])
        turn = math.degrees(math.atan2(dx, dy))
        head = Path(Role.SOLID, ((0.0, 0.0), (0.8, -2.2), (-0.8, -2.2)), closed=True)
        labels.stack.add(Level.BOXES, Symbol("to landmark", labels.m(*tip), (head,), turn, mark.id))
        labels.stack.add(Level.BOXES, landmark(labels.m(*ring), mark.id))
        labels.placer.take(Box(*ring, 2.5, 2.5))
        # words beside the ring leave the arrow alone
        labels.placer.take(Box(tip[0] - 1.1 * dx / length, tip[1] - 1.1 * dy / length, 1.3, 1.3))
        found[mark.id] = ring
    return found


def name_far_landmarks(labels: Labelling, stood: dict[str, Point]) -> None:
    """Write names, bearings and distances at the arrows."""
    for landmark_id, ring in stood.items():
        _, mark = labels.scene.things[landmark_id]
        name = Run(mark.title.upper(), _NAME_MM, bold=True)
        figures = _figures(labels, landmark_id)
        variants = [((name,), (Run(figures, _NAME_MM),))] if figures else []
        labels.beside((landmark_id, "landmarks"), labels.m(*ring), [*variants, ((name,),)], 3.2)


def _figures(labels: Labelling, landmark_id: str) -> str:
    """Return bearing and distance from the selected radio, else from the first one that is turned from it."""
    rows = labels.scene.radio_rows
    chosen = [rows[one] for one in labels.wish.selection if one in rows]
    for hop_id in labels.wish.selection:
        hop = labels.scene.hops.get(hop_id)
        if hop is not None and hop.station.row is not None:
            chosen.append(hop.station.row)
    for row in [*chosen, *rows.values()]:
        seen: list[FromLandmark] = [one for one in row.landmark_turns if one.landmark == landmark_id]
        if row.landmark is not None and row.landmark.landmark == landmark_id:
            seen.insert(0, row.landmark)
        if seen:
            first = seen[0]
            anchored = labels.scene.assessment is not None and labels.scene.assessment.north.anchored
            bearing = first.bearing_true_deg if anchored else first.bearing_plan_deg
            distance = length_words(first.distance_m, feet=labels.wish.feet, places=0)
            return f"from {row.label} {bearing_words(bearing)} {distance}"
    return ""
