"""Words of wedges and rings: how far on the arc, which bearing on the limits."""

from __future__ import annotations

import math

import numpy as np

from survey_app.drawing.labels import LINE_PLACES
from survey_app.drawing.plat.labelling import Labelling, Run
from survey_app.drawing.plat.lines import polar
from survey_app.drawing.plat.records import Fan
from survey_app.drawing.plat.wedges import SeenFan, seen_fans
from survey_app.drawing.plat.wording import bearing_words, length_words
from survey_app.drawing.roles import Role

__all__ = ["place_wedge_words"]

_WORDS_MM = 2.09
_PARTS = np.array([0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88, 0.05, 0.95])


def place_wedge_words(labels: Labelling, ids: frozenset[str] | None) -> None:
    """Write the end of reach along the arc and the bearings along the limits."""
    for seen in seen_fans(labels.scene, labels.view, labels.wish, ids):
        fan = seen.fan
        if labels.view.tier >= 4 and fan.radio.id not in labels.wish.selection:
            continue
        if seen.crosses(fan.reach_m, 4.0 / labels.scale):
            _on_arc(labels, fan)
        if fan.radio.id in labels.wish.selection:
            _on_rates(labels, seen)
        if not fan.is_ring and (labels.view.tier < 3 or fan.radio.id in labels.wish.selection):
            for edge_deg in (fan.left_deg, fan.right_deg):
                _on_limit(labels, fan, edge_deg)


def _run(labels: Labelling, fan: Fan, text: str) -> Run:
    if fan.radio.id in labels.scene.stale:
        return Run(f"({text})", _WORDS_MM, Role.WORDS_SOFT, italic=True)
    return Run(text, _WORDS_MM, Role.WORDS_RADIO)


def _on_arc(labels: Labelling, fan: Fan) -> None:
    reach = length_words(fan.reach_m, feet=labels.wish.feet, places=0)
    rate = f" at MCS {fan.row.reach_mcs}" if fan.row.reach_mcs is not None else ""
    _along(labels, fan, fan.reach_m, f"{fan.radio.label} ends {reach}{rate}")


def _on_rates(labels: Labelling, seen: SeenFan) -> None:
    """Write at each nested arc of the selected radio which rate ends there."""
    for arc in seen.fan.row.reach_arcs:
        if arc.reach_m in seen.fan.arcs_m and seen.crosses(arc.reach_m, 4.0 / labels.scale):
            words = f"MCS {arc.mcs} {length_words(arc.reach_m, feet=labels.wish.feet, places=0)}"
            _along(labels, seen.fan, arc.reach_m, words)


def _along(labels: Labelling, fan: Fan, reach_m: float, text: str) -> None:
    run = _run(labels, fan, text)
    # ticks stand inside a wedge and outside a ring: the words are on the other side
    off_mm = (-1.0 if fan.is_ring else 1.0) * (1.0 + _WORDS_MM / 2.0)
    radius_m = reach_m + off_mm / labels.scale
    if run.width_mm >= 1.2 * radius_m * labels.scale:
        return
    bearings = fan.left_deg + _PARTS * fan.sweep_deg
    places = []
    for (x_m, y_m), bearing in zip(polar(fan.centre, radius_m, bearings).tolist(), bearings.tolist(), strict=True):
        if labels.inside_view((x_m, y_m)):
            x, y = labels.mm((x_m, y_m))
            places.append((x, y, math.radians(_upright(-bearing))))
    if places:
        placed = labels.placer.block_at(places, run.width_mm / 2.0, run.height_mm / 2.0)
        if placed is not None:
            labels.turned((fan.radio.id, "radios"), run, placed.x, placed.y, placed.turn_deg)


def _upright(turn_deg: float) -> float:
    """Return a turn of letters that do not stand on their head."""
    turn = math.remainder(turn_deg, 360.0)
    if turn > 90.0 or turn <= -90.0 - 1e-9:
        turn = math.remainder(turn + 180.0, 360.0)
    return turn


def _on_limit(labels: Labelling, fan: Fan, edge_deg: float) -> None:
    shift = _true_shift(fan)
    run = _run(labels, fan, f"{bearing_words(edge_deg + shift)} 3 dB")
    end = polar(fan.centre, fan.reach_m, np.array([edge_deg]))[0]
    part = labels.clipped(labels.mm(fan.centre), labels.mm((float(end[0]), float(end[1]))))
    if part is None:
        return
    a, b = part
    if math.hypot(b[0] - a[0], b[1] - a[1]) < run.width_mm + 8.0:
        return
    placed = labels.placer.along_line(a, b, run.text, run.height_mm, 0.9, (0.66, 0.58, 0.74, *LINE_PLACES))
    if placed is not None:
        labels.turned((fan.radio.id, "radios"), run, placed.x, placed.y, placed.turn_deg)


def _true_shift(fan: Fan) -> float:
    """Return what turns a plan bearing at a radio into the true one that is written; 0 without an anchor. [deg]"""
    true, plan = fan.row.bearing_true_deg, fan.row.bearing_plan_deg
    return 0.0 if true is None or plan is None else true - plan
