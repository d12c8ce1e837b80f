"""Words of radios: the id stands before anything else finds room, what it hangs on follows where room is left."""

from __future__ import annotations

import math

import numpy as np

from survey_app.drawing.labels import Box, Placed
from survey_app.drawing.plat.labelling import Labelling, Line, Run, line_size, plain_run, run_gap
from survey_app.drawing.plat.layout import RadioSpot
from survey_app.drawing.plat.lines import Level
from survey_app.drawing.plat.wording import height_words, number_words, short_name
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point
from survey_app.drawing.status import stands

__all__ = ["RadioWords"]

_SELECTED_MM, _ID_MM, _NAME_MM = 2.85, 2.66, 2.28
_OFF_MM, _OFF_RELAY_MM, _GRIPS_MM = 3.0, 3.6, 2.0
_FARTHER_MM = (0.0, 2.2, 4.4, 7.0, 10.0)
_LEADER_FROM_MM = 4.0
_FARTHER_CHOSEN_MM = (0.0, 2.5, 5.0, 8.0)
_LEADER_GAP_MM = 2.3
_NEIGHBOURS_MM = 40.0
"""Farther away no radio can be taken for the one that an id belongs to."""
_GRIP_AWAY_MM, _GRIP_HALF_MM = 3.75, 0.85


class RadioWords:
    """Places ids and words of the radios of one view.

    Parameters
    ----------
    labels : Labelling
        The view and what is taken on it.
    """

    def __init__(self, labels: Labelling) -> None:
        self._labels = labels
        self._held: list[tuple[RadioSpot, str, Run, Run | None, Placed]] = []
        selection = frozenset(labels.wish.selection)
        hops = (labels.scene.hops[one] for one in labels.wish.selection if one in labels.scene.hops)
        self._chosen = selection
        self._gripped = selection | {end for hop in hops for end in (hop.access_point.id, hop.station.id)}

    def place_ids(self) -> None:
        """Place all words of selected radios and of those that feel an event, and the ids of the others.

        A radio without its id is of no use.
        """
        labels = self._labels
        spots = [(mark.id, labels.layout.radios[mark.id]) for mark in labels.marks if mark.collection == "radios"]
        for _, spot in spots:
            if not self._gripped.isdisjoint(spot.ids):
                self._take_grips(spot)
        kept = labels.wish.kept
        chosen = [one for one in spots if not kept.isdisjoint(one[1].ids)]
        for mark_id, spot in chosen:
            self._place_whole(mark_id, spot)
        at = np.array([labels.mm(spot.at) for _, spot in spots], dtype=np.float64).reshape(-1, 2)
        for number, (mark_id, spot) in enumerate(spots):
            if kept.isdisjoint(spot.ids):
                away = np.abs(at - at[number]).max(axis=1)
                near = at[(away < _NEIGHBOURS_MM) & (away > 0.0)]
                self._hold(mark_id, spot, tuple((x, y) for x, y in near.tolist()))

    def place_cells(self) -> None:
        """Write the ids of access points with their channels, before the flags, which have all the plan to stand in."""
        left = []
        for one in self._held:
            spot, mark_id, head, rest, placed = one
            channel = _channel_words(spot) if rest is not None else ""
            if not channel:
                left.append(one)
                continue
            short = plain_run(channel, _NAME_MM, stale=not self._labels.scene.stale.isdisjoint(spot.ids))
            for words in (rest, short):
                lines, x, y, align = self._with_rest(spot, head, words, placed)
                if lines != ((head,),):
                    break
            self._labels.write((mark_id, "radios"), lines, x, y, align)
        self._held = left

    def place_rest(self) -> None:
        """Write the other ids, and beside them what the radios hang on where that finds room."""
        for spot, mark_id, head, rest, placed in self._held:
            lines, x, y, align = self._with_rest(spot, head, rest, placed)
            self._labels.write((mark_id, "radios"), lines, x, y, align)

    def _take_grips(self, spot: RadioSpot) -> None:
        x, y = self._labels.mm(spot.at)
        for dx in (-_GRIP_AWAY_MM, _GRIP_AWAY_MM):
            for dy in (-_GRIP_AWAY_MM, _GRIP_AWAY_MM):
                self._labels.placer.take(Box(x + dx, y + dy, _GRIP_HALF_MM, _GRIP_HALF_MM))

    def _off_mm(self, spot: RadioSpot) -> float:
        off_mm = _OFF_RELAY_MM if spot.shape == "relay" else _OFF_MM
        # words stand clear of the grips
        return off_mm + (0.0 if self._gripped.isdisjoint(spot.ids) else _GRIPS_MM)

    def _place_whole(self, mark_id: str, spot: RadioSpot) -> None:
        """Place all words of a selected radio, if need be farther off."""
        head, rest = _runs(self._labels, spot, chosen=not self._chosen.isdisjoint(spot.ids))
        variants: list[tuple[Line, ...]] = [((head,),)]
        if rest is not None:
            variants = [((head, rest),), ((head,), (rest,)), *variants]
        off_mm = self._off_mm(spot)
        for lines in variants:
            for more_mm in _FARTHER_CHOSEN_MM:
                if self._labels.beside((mark_id, "radios"), spot.at, [lines], off_mm + more_mm):
                    return

    def _hold(self, mark_id: str, spot: RadioSpot, others: tuple[Point, ...]) -> None:
        """Take the room of an id, nearer to its radio than to others; first where its other words will find theirs."""
        labels = self._labels
        x, y = labels.mm(spot.at)
        if not (-2.0 <= x <= labels.width_mm + 2.0 and -2.0 <= y <= labels.height_mm + 2.0):
            return
        head, rest = _runs(labels, spot, chosen=False)
        width, height = line_size((head,))
        beyond = 0.0 if rest is None else run_gap(rest) + rest.width_mm
        for more_mm in _FARTHER_MM:
            off_mm = self._off_mm(spot) + more_mm
            placed = labels.placer.head_at_point(
                (x, y), width / 2.0, height / 2.0, beyond, off_mm, others, between=more_mm > 0.0
            )
            if placed is not None:
                if more_mm > _LEADER_FROM_MM:
                    self._lead((x, y), placed, width / 2.0, height / 2.0)
                self._held.append((spot, mark_id, head, rest, placed))
                return

    def _lead(self, at: Point, placed: Placed, half_width: float, half_height: float) -> None:
        """Lead from a radio to its id that stands farther off. [mm]"""
        x = min(max(at[0], placed.x - half_width), placed.x + half_width)
        y = min(max(at[1], placed.y - half_height), placed.y + half_height)
        dx, dy = x - at[0], y - at[1]
        long = math.hypot(dx, dy)
        start, end = _LEADER_GAP_MM / long, 1.0 - 0.5 / long
        ends = tuple(self._labels.m(at[0] + dx * part, at[1] + dy * part) for part in (start, end))
        self._labels.stack.add(Level.LABELS, Path(Role.LEADER, ends))

    def _with_rest(
        self, spot: RadioSpot, head: Run, rest: Run | None, placed: Placed
    ) -> tuple[tuple[Line, ...], float, float, str]:
        """Return the lines of a radio with their middle and the side on which they stand. [mm]"""
        labels, x, y = self._labels, placed.x, placed.y
        at_x = labels.mm(spot.at)[0]
        align = "start" if x > at_x + 0.5 else "end" if x < at_x - 0.5 else "middle"
        if rest is None:
            return ((head,),), x, y, align
        half = line_size((head,))[0] / 2.0
        gap, width = run_gap(rest), rest.width_mm
        for side in {"start": (1.0,), "end": (-1.0,), "middle": (1.0, -1.0)}[align]:
            place = (x + side * (half + gap + width / 2.0), y, 0.0)
            if labels.placer.block_at([place], width / 2.0, rest.height_mm / 2.0) is not None:
                return ((head, rest),), x + side * (gap + width) / 2.0, y, "start" if side > 0.0 else "end"
        step = (head.height_mm + rest.height_mm) / 2.0 + labels.leading_mm
        shift = {"start": width / 2.0 - half, "end": half - width / 2.0, "middle": 0.0}[align]
        for side in (-1.0, 1.0):
            if labels.placer.block_at([(x + shift, y + side * step, 0.0)], width / 2.0, rest.height_mm / 2.0):
                return self._stacked(head, rest, x, y, side, align)
        return ((head,),), x, y, align

    def _stacked(
        self, head: Run, rest: Run, x: float, y: float, side: float, align: str
    ) -> tuple[tuple[Line, ...], float, float, str]:
        more_mm = (rest.height_mm + self._labels.leading_mm) / 2.0
        half, wide = line_size((head,))[0] / 2.0, max(head.width_mm, rest.width_mm) / 2.0
        shift = {"start": wide - half, "end": half - wide, "middle": 0.0}[align]
        lines: tuple[Line, ...] = ((head,), (rest,)) if side < 0.0 else ((rest,), (head,))
        return lines, x + shift, y + side * more_mm, align


def _runs(labels: Labelling, spot: RadioSpot, *, chosen: bool) -> tuple[Run, Run | None]:
    """Return the id of a radio and what else is written of it at this scale."""
    record, row = spot.mark.record, spot.mark.row
    size = _SELECTED_MM if chosen else _ID_MM
    word = next((one for key in spot.ids if (one := labels.wish.word(key))), "")
    struck = labels.wish.felt is not None and not labels.wish.felt.struck.isdisjoint(spot.ids)
    head = Run(spot.label, size, Role.WORDS_RADIO, bold=True, underlined=stands(record.status), struck=struck)
    if word:
        return head, Run(word, _NAME_MM, bold=True)
    if labels.view.tier >= 3 and not chosen:
        return head, None
    words = []
    mount = labels.scene.mounts.get(record.mount)
    if spot.shape == "relay":
        words.append("relay")
    elif mount is not None:
        words.append(f"on {short_name(mount)}")
    if row is not None:
        words.append(f"+{height_words(row.height_above_ground_m, feet=labels.wish.feet)}")
        words.append(_channel_words(spot))
    if not words:
        return head, None
    return head, plain_run(" ".join(words).strip(), _NAME_MM, stale=not labels.scene.stale.isdisjoint(spot.ids))


def _channel_words(spot: RadioSpot) -> str:
    """Return channel and width of a cell, at its access point; empty where there is none."""
    record, row = spot.mark.record, spot.mark.row
    if row is None or record.role != "access_point" or row.channel is None:
        return ""
    return f"ch {row.channel}/{number_words(row.width_mhz, 0)}"
