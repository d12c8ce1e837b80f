"""Words along hops: bearing and distance above, id and tilt below, or that nobody checked, or what they carry."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from survey_app.drawing.labels import LINE_PLACES
from survey_app.drawing.plat.hops import hop_state
from survey_app.drawing.plat.labelling import Labelling, Line, Run
from survey_app.drawing.plat.lines import Level
from survey_app.drawing.plat.load_words import load_words
from survey_app.drawing.plat.records import HopMark
from survey_app.drawing.plat.wording import bearing_words, length_words, level_words, tilt_words
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point

if TYPE_CHECKING:
    from survey_app.assess.record import HopRow

__all__ = ["hop_lines", "place_hop_words"]

_WORDS_MM = 2.28
_OFF_MM = 1.15
_BESIDE_MM = (2.0, 5.0, 9.0, 14.0, 20.0)
_BESIDE_MOST = 8
"""Of how many selected hops the words are looked for beside them."""


def hop_lines(labels: Labelling, hop: HopMark) -> tuple[str, str]:
    """Return the words above and below a hop; empty where its figures are not known."""
    row = hop.row
    feet = labels.wish.feet
    if row is None:
        return "", hop.id
    if labels.wish.word(hop.id):
        distance = length_words(row.distance_m, feet=feet)
        return distance, f"{hop.id} {labels.wish.word(hop.id)}"
    if labels.wish.hop_words == "load":
        # what was asked for stands above: where there is room for one of the two it is that
        return f"{hop.id} {load_words(labels.scene.leg_loads.get(hop.id))}", length_words(row.distance_m, feet=feet)
    end = row.ends.access_point
    bearing = end.bearing_true_deg if end.bearing_true_deg is not None else end.bearing_plan_deg
    distance = length_words(row.distance_m, feet=feet)
    above = distance if bearing is None else f"{bearing_words(bearing)} {distance}"
    name = "not checked" if hop_state(hop) == "unchecked" else hop.id
    if labels.wish.hop_words == "level":
        words = [name]
        if end.rx_level_dbm is not None:
            words.append(level_words(end.rx_level_dbm))
        mcs = row.directions.to_access_point.mcs
        if mcs is not None:
            words.append(f"MCS {mcs}")
        return above, " ".join(words)
    if hop_state(hop) == "unchecked" or end.tilt_deg is None:
        return above, name
    return above, f"{name} {tilt_words(end.tilt_deg)}"


def place_hop_words(labels: Labelling, selection: frozenset[str], *, only_selected: bool) -> None:
    """Place the words of the selected hops, or of the others."""
    if labels.hops is None:
        return
    tier = labels.view.tier
    for k, a, b in labels.hop_lines():
        hop = labels.hops.hops[k]
        chosen, felt = hop.id in selection, bool(labels.wish.word(hop.id))
        if chosen is not only_selected or (tier >= 4 and not (chosen or felt)):
            continue
        above, below = hop_lines(labels, hop)
        if tier == 3 and not (chosen or felt) and hop.row is not None:
            above, below = _on_a_small_plan(labels, hop, hop.row), ""
        _place(labels, hop, a, b, (above, below), selection)


def _on_a_small_plan(labels: Labelling, hop: HopMark, row: HopRow) -> str:
    if labels.wish.hop_words == "load":
        return load_words(labels.scene.leg_loads.get(hop.id), short=True)
    return length_words(row.distance_m, feet=labels.wish.feet)


def _place(
    labels: Labelling, hop: HopMark, a: Point, b: Point, words: tuple[str, str], selection: frozenset[str]
) -> None:
    (above, below), chosen = words, hop.id in selection
    subject = (hop.id, "hops")
    upper, lower = _run(labels, hop, above, chosen), _run(labels, hop, below, chosen)
    room = math.hypot(b[0] - a[0], b[1] - a[1])
    places = [t for t in LINE_PLACES if room * 2.0 * min(t, 1.0 - t) > 0.6 * max(upper.width_mm, lower.width_mm)]
    if above and below:
        pair = labels.placer.pair_along_line(
            a, b, (upper.width_mm / 2.0, _WORDS_MM / 2.0), (lower.width_mm / 2.0, _WORDS_MM / 2.0), _OFF_MM, places
        )
        if pair is not None:
            labels.turned(subject, upper, pair[0].x, pair[0].y, pair[0].turn_deg)
            labels.turned(subject, lower, pair[1].x, pair[1].y, pair[1].turn_deg)
            return
    if (
        chosen
        and len(selection) <= _BESIDE_MOST
        and _beside(labels, subject, a, b, [(run,) for run in (upper, lower) if run.text])
    ):
        return
    for run in dict.fromkeys((upper, lower, _run(labels, hop, hop.id, chosen))):
        if not run.text:
            continue
        placed = labels.placer.along_line(a, b, run.text, run.height_mm, _OFF_MM, places)
        if placed is not None:
            labels.turned(subject, run, placed.x, placed.y, placed.turn_deg)
            return


def _beside(labels: Labelling, subject: tuple[str, str], a: Point, b: Point, lines: list[Line]) -> bool:
    """Place the words of a selected hop, which keep all they have, level beside it where there is no room along it."""
    for away_mm in _BESIDE_MM:
        for part in LINE_PLACES:
            at = labels.m(a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1]))
            if labels.beside(subject, at, (lines,), away_mm):
                if away_mm > _BESIDE_MM[0]:
                    _lead(labels, at)
                return True
    return False


def _lead(labels: Labelling, at: Point) -> None:
    """Draw a leader from a spot of the line to the words that were placed last."""
    box = labels.boxes[-1]
    half_width, half_height = (half / labels.scale for half in (box.half_width_mm, box.half_height_mm))
    x = min(max(at[0], box.x_m - half_width), box.x_m + half_width)
    y = min(max(at[1], box.y_m - half_height), box.y_m + half_height)
    labels.stack.add(Level.LABELS, Path(Role.HOP_THIN, (at, (x, y))))


def _run(labels: Labelling, hop: HopMark, text: str, chosen: bool) -> Run:
    if text and hop.id in labels.scene.stale:
        return Run(f"({text})", _WORDS_MM, Role.WORDS_SOFT, italic=True)
    return Run(text, _WORDS_MM, Role.WORDS_RADIO, bold=chosen)
