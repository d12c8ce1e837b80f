"""Words of a plan: ids of radios, flags, then what is selected, hops, structures and the rest, each where it has room.

All work is done in millimetres from the lower left corner of the window.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from survey_app.drawing.labels import Box, Placer
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.plat.areas import Area
from survey_app.drawing.plat.hops import HopLines
from survey_app.drawing.plat.layout import CameraSpot, Layout
from survey_app.drawing.plat.lines import Level, Stack
from survey_app.drawing.plat.marks import Mark
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.roles import Role
from survey_app.drawing.seen import line_seen
from survey_app.drawing.shapes import Path, Point, Words
from survey_app.drawing.symbols import level_mark

__all__ = ["Flagged", "Labelling", "Line", "Run", "WordsBox", "plain_run"]


@dataclass(frozen=True, slots=True)
class Run:
    """Letters of one kind in a line."""

    text: str
    height_mm: float
    role: Role = Role.WORDS
    bold: bool = False
    italic: bool = False
    level: bool = False
    """Whether a level mark stands before it."""
    underlined: bool = False
    struck: bool = False

    @property
    def width_mm(self) -> float:
        """Room along the line. [mm]"""
        return letters_width_mm(self.text, self.height_mm) + (2.9 if self.level else 0.0)


Line = tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class WordsBox:
    """Room that words of a thing take. Middle on the plane [m], half sizes on paper [mm], turn clockwise. [deg]"""

    id: str
    kind: str
    x_m: float
    y_m: float
    half_width_mm: float
    half_height_mm: float
    turn_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Flagged:
    """Where the flag of a finding stands. [m]"""

    finding: str
    number: int
    at: Point
    spot: Point


def line_size(line: Line) -> tuple[float, float]:
    """Return width and height of a line of runs. [mm]"""
    gaps = sum(run_gap(run) for run in line[1:])
    return sum(run.width_mm for run in line) + gaps, max(run.height_mm for run in line)


def plain_run(text: str, height_mm: float, *, stale: bool = False, role: Role = Role.WORDS) -> Run:
    """Return plain letters; figures that are not yet true again stand in brackets, italic, of little weight."""
    return Run(f"({text})", height_mm, Role.WORDS_SOFT, italic=True) if stale else Run(text, height_mm, role)


def run_gap(run: Run) -> float:
    """Return how far a run stands from the one before it. [mm]"""
    return run.height_mm * 0.75


_LEADING_MM = 1.25


def block_size(lines: Sequence[Line]) -> tuple[float, float]:
    """Return half width and half height of lines under one another. [mm]"""
    sizes = [line_size(line) for line in lines]
    height = sum(size[1] for size in sizes) + _LEADING_MM * (len(lines) - 1)
    return max(size[0] for size in sizes) / 2.0, height / 2.0


class Labelling:
    """Places flags and words on one view.

    Parameters
    ----------
    stack : Stack
        Takes what is placed.
    scene, layout, view, wish
        What is shown, and how.
    before : Placer or None
        What placed the words of this view last: those that nothing has changed are not looked for again.
    """

    def __init__(
        self,
        stack: Stack,
        scene: PlatScene,
        layout: Layout,
        view: PlatView,
        wish: Wish,
        before: Placer | None = None,
    ) -> None:
        self.stack, self.scene, self.layout, self.view, self.wish = stack, scene, layout, view, wish
        x0, y0, x1, y1 = view.window_m
        self.x0, self.y0, self.scale = x0, y0, view.mm_per_m
        self.width_mm, self.height_mm = (x1 - x0) * self.scale, (y1 - y0) * self.scale
        self.placer = Placer(self.width_mm, self.height_mm, before)
        self.boxes: list[WordsBox] = []
        self.flags: list[Flagged] = []
        self.leading_mm = _LEADING_MM
        self.marks: list[Mark] = []
        self.hops: HopLines | None = None
        self.cameras: list[CameraSpot] = []
        self.areas: list[Area] = []

    def mm(self, at: Point) -> Point:
        """Return a point of the plane from the window's lower left corner. [mm]"""
        return (at[0] - self.x0) * self.scale, (at[1] - self.y0) * self.scale

    def m(self, x: float, y: float) -> Point:
        """Return a point of the view on the plane. [m]"""
        return self.x0 + x / self.scale, self.y0 + y / self.scale

    def take(self, drawn: list[Mark], hops: HopLines, cameras: list[CameraSpot], areas: list[Area]) -> None:
        """Mark the room that symbols and hops take, and the outlines that letters avoid."""
        self.marks, self.hops, self.cameras, self.areas = drawn, hops, cameras, areas
        for kept in self.wish.kept_free:
            self.placer.take(Box(*kept))
        for mark in drawn:
            self.placer.take(Box(*self.mm(mark.symbol.at), mark.half_mm, mark.half_mm))
        for spot in cameras:
            self.placer.take(Box(*self.mm(spot.at), 1.5, 1.5))
        for a, b in zip(hops.a.tolist(), hops.b.tolist(), strict=True):
            part = self.clipped(self.mm((a[0], a[1])), self.mm((b[0], b[1])))
            if part is not None:
                self.placer.take_line(*part, 0.5)
        for area in areas:
            if area.kind in ("boundary", "room", "wall", "opening", "served_area") or area.extent_m * self.scale < 4.0:
                continue
            corners = [self.mm((x, y)) for x, y in area.ring.tolist()]
            ends = corners[1:] + (corners[:1] if area.closed else [])
            for a, b in zip(corners, ends, strict=False):
                if self._near(a, b):
                    self.placer.avoid_line(a, b)

    def _near(self, a: Point, b: Point) -> bool:
        return (
            min(a[0], b[0]) < self.width_mm
            and max(a[0], b[0]) > 0.0
            and min(a[1], b[1]) < self.height_mm
            and max(a[1], b[1]) > 0.0
        )

    def clipped(self, a: Point, b: Point) -> tuple[Point, Point] | None:
        """Return the part of a line in the view, where words look for room; None where no part is seen. [mm]"""
        return line_seen(a, b, self.width_mm, self.height_mm)

    def place(self, ids: frozenset[str] | None) -> None:
        """Place flags and words, the most needed first."""
        from survey_app.drawing.plat.flags import place_flags
        from survey_app.drawing.plat.landmarks import far_landmarks
        from survey_app.drawing.plat.names import place_names
        from survey_app.drawing.plat.radio_words import RadioWords

        far = far_landmarks(self, ids)
        radios = RadioWords(self)
        if "names" not in self.wish.hidden:
            # before the flags, which have all of the plan round their spot to stand in
            radios.place_ids()
            radios.place_cells()
        if "flags" not in self.wish.hidden:
            place_flags(self, ids)
        if "names" not in self.wish.hidden:
            place_names(self, ids, far, radios)

    def beside(
        self, subject: tuple[str, str], at: Point, variants: Iterable[Sequence[Line]], distance_mm: float = 3.0
    ) -> bool:
        """Place the first of several blocks beside a point of the plane; return whether any found room."""
        x, y = self.mm(at)
        if not (-2.0 <= x <= self.width_mm + 2.0 and -2.0 <= y <= self.height_mm + 2.0):
            return False
        for lines in variants:
            half_width, half_height = block_size(lines)
            placed = self.placer.block_at_point((x, y), half_width, half_height, distance_mm)
            if placed is not None:
                align = "start" if placed.x > x + 0.5 else "end" if placed.x < x - 0.5 else "middle"
                self.write(subject, lines, placed.x, placed.y, align)
                return True
        return False

    def at_places(self, subject: tuple[str, str], places: Sequence[Point], variants: Iterable[Sequence[Line]]) -> bool:
        """Place the first of several blocks with its middle at the first free place. [mm]"""
        for lines in variants:
            half_width, half_height = block_size(lines)
            placed = self.placer.block_at([(x, y, 0.0) for x, y in places], half_width, half_height)
            if placed is not None:
                self.write(subject, lines, placed.x, placed.y, "middle")
                return True
        return False

    def write(self, subject: tuple[str, str], lines: Sequence[Line], x: float, y: float, align: str) -> None:
        """Write a block round its middle; runs change sides where it stands left of what it names. [mm]"""
        half_width, half_height = block_size(lines)
        top = y + half_height
        for line in lines:
            width, height = line_size(line)
            left = {"start": x - half_width, "end": x + half_width - width, "middle": x - width / 2.0}[align]
            runs = line[::-1] if align == "end" and len(line) > 1 else line
            for k, run in enumerate(runs):
                if k:
                    left += run_gap(run)
                self._run(run, left, top - height / 2.0)
                left += run.width_mm
            top -= height + _LEADING_MM
        self._box(subject, x, y, half_width, half_height, 0.0)

    def _run(self, run: Run, left: float, y: float) -> None:
        if run.level:
            self.stack.add(Level.LABELS, level_mark(self.m(left + 1.0, y)))
            left += 2.9
        width = letters_width_mm(run.text, run.height_mm)
        self.stack.add(
            Level.LABELS,
            Words(run.role, self.m(left, y), run.text, run.height_mm, bold=run.bold, italic=run.italic, halo=True),
        )
        if run.struck:
            over = (self.m(left - 0.5, y), self.m(left + width + 0.5, y))
            self.stack.add(Level.LABELS, Path(Role.STRUCK, over))
        if run.underlined:
            below = y - run.height_mm / 2.0 - 0.55
            role = Role.HOP_THIN if run.role is Role.WORDS_RADIO else Role.FINE
            self.stack.add(Level.LABELS, Path(role, (self.m(left, below), self.m(left + width, below))))

    def turned(self, subject: tuple[str, str], run: Run, x: float, y: float, turn_deg: float) -> None:
        """Write one run round its middle, turned. [mm]"""
        self.stack.add(
            Level.LABELS,
            Words(
                run.role,
                self.m(x, y),
                run.text,
                run.height_mm,
                turn_deg=turn_deg,
                bold=run.bold,
                italic=run.italic,
                align="middle",
                halo=True,
            ),
        )
        self._box(subject, x, y, run.width_mm / 2.0, run.height_mm / 2.0, turn_deg)

    def _box(
        self, subject: tuple[str, str], x: float, y: float, half_width: float, half_height: float, turn_deg: float
    ) -> None:
        at = self.m(x, y)
        self.boxes.append(WordsBox(*subject, at[0], at[1], half_width, half_height, turn_deg))

    def inside_view(self, at: Point) -> bool:
        """Whether a point of the plane lies in the window."""
        x, y = self.mm(at)
        return 0.0 <= x <= self.width_mm and 0.0 <= y <= self.height_mm

    def hop_lines(self) -> Iterator[tuple[int, Point, Point]]:
        """Yield each hop's number with the part of it that is in the view. [mm]"""
        if self.hops is None:
            return
        for k, (a, b) in enumerate(zip(self.hops.a.tolist(), self.hops.b.tolist(), strict=True)):
            part = self.clipped(self.mm((a[0], a[1])), self.mm((b[0], b[1])))
            if part is None:
                continue
            one, two = part
            if math.hypot(two[0] - one[0], two[1] - one[1]) > 4.0:
                yield k, one, two
