"""From where something is seen: places along roof edges and on poles with the least height; a press hangs a mount."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from survey_app.desktop.strips.worker import Progress, Worker
from survey_app.desktop.tools.figures import length
from survey_app.desktop.tools.hang import REACH_PX, diamond, mount_on
from survey_app.desktop.tools.perch import Perch, perch_at
from survey_app.desktop.tools.strokes import beside, is_long, ring
from survey_app.desktop.tools.tool import NOTHING, Overlay, Pointer, Tool
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point, Shape
from survey_app.ground.straight import distance_of
from survey_app.site.edits import Edit, add
from survey_app.site.mount import Mount
from survey_app.site.network import Camera
from survey_app.site.radio import Radio
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.assess.coverage import EdgeSight, FreeRun, PoleSight
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["SeenFromTool"]

_NOTHING = (
    "Select one radio or mount to be seen, or a camera whose target is; structures besides are the only ones asked."
)
_WAIT = "Looking from where {name} is seen …"
_NOWHERE = "None of them sees {name}."
_UP_TO_M = 1e-3


class _Stretch(NamedTuple):
    """A stretch of a roof edge from which it is seen."""

    sight: EdgeSight
    run: FreeRun
    start: Point
    end: Point

    def nearest(self, at: Point) -> tuple[float, Point, float]:
        """Return how far a point is from it, the place on it that is nearest, and the least height there. [m]"""
        a, b = np.array(self.start), np.array(self.end)
        along = b - a
        square = float(along @ along)
        part = float(np.clip((np.array(at) - a) @ along / square, 0.0, 1.0)) if square > 0.0 else 0.0
        spot = (float(a[0] + part * along[0]), float(a[1] + part * along[1]))
        least = self.run.least_at_start_m + part * (self.run.least_at_end_m - self.run.least_at_start_m)
        return distance_of(at, spot), spot, least - self.sight.eaves_m


class _Caught(NamedTuple):
    """A place under the pointer."""

    at: Point
    perch: Perch


class SeenFromTool(Tool):
    """Shows from where the selected thing is seen, and hangs a mount where it is pressed.

    Straight sight alone is asked: a hop wants its first zone free besides, which the assessment tells once it is drawn.
    """

    name = "seen from"
    hint = "Marked places see it, from the height that is written; press on one to hang a mount there."

    def __init__(self, desk: Desk, plan: Plan) -> None:
        super().__init__(desk, plan)
        self._subject = ""
        self._only: frozenset[str] = frozenset()
        self._site: Site | None = None
        self._worker = Worker()
        self._worker.done.connect(self._take)
        self._worker.failed.connect(self._fail)
        self._stretches: tuple[_Stretch, ...] = ()
        self._poles: tuple[PoleSight, ...] = ()
        self._marks: tuple[Shape, ...] = ()
        self._words = _NOTHING
        self._is_asked = False
        self._drawn_at = 0.0
        """Scale for which words were chosen. [px/m]"""

    @property
    def is_busy(self) -> bool:
        """Whether it still looks."""
        return self._is_asked

    def begin(self) -> None:
        """Look from where the selected thing is seen."""
        things = self.desk.things
        chosen = [one for one in self.desk.selection if isinstance(things.get(one), Radio | Mount | Camera)]
        structures = {one.id for one in self.site.design.structures}
        self._only = frozenset(one for one in self.desk.selection if one in structures)
        self._subject = chosen[0] if len(chosen) == 1 else ""
        self._look()

    @property
    def site(self) -> Site:
        """The site."""
        return self.desk.site

    def _name(self) -> str:
        """Return what is to be seen, in words: of a camera with a target that, else where it hangs."""
        thing = self.desk.things.get(self._subject)
        aims = isinstance(thing, Camera) and thing.target is not None
        return f"the target of {self._subject}" if aims else self._subject

    def _far_end_m(self) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]] | None:
        thing = self.desk.things.get(self._subject)
        if isinstance(thing, Camera) and thing.target is not None:
            from survey_app.assess.camera_sight import line_of_sight

            line = line_of_sight(self.desk.placed, thing.id, thing.target)
            return None if line is None else np.array(line[1])
        mount = thing.id if isinstance(thing, Mount) else getattr(thing, "mount", None)
        spot = self.desk.placed.mounts.get(mount or "")
        if spot is None:
            return None
        point = np.array([spot.x_m, spot.y_m, spot.elevation_m])
        return point if np.isfinite(point).all() else None

    def _look(self) -> None:
        self._site, self._stretches, self._poles, self._marks = self.site, (), (), ()
        point, only = self._far_end_m(), self._only or self._in_window()
        if point is None:
            self._say(_NOTHING)
            return
        self._say(_WAIT.format(name=self._name()))
        self._is_asked, site = True, self.site

        def work(_progress: Progress) -> object:
            from survey_app.assess.coverage import places_that_see, what_stands
            from survey_app.assess.job import Job

            job = Job(site)
            return site, places_that_see(job, what_stands(job), point, structures=only)

        self._worker.start(work)

    def _in_window(self) -> frozenset[str]:
        """Return the structures that the plan shows: nobody waits for what is not seen."""
        return frozenset(self.plan.within(*self.plan.window_m, touching=True))

    def _say(self, words: str) -> None:
        self._words = words
        self.overlay = Overlay(self._marks, words=words)

    def _fail(self, _number: int, error: Exception) -> None:
        self._is_asked = False
        self._say(f"It could not be found out: {error}")
        self.plan.refresh()

    def _take(self, _number: int, made: object) -> None:
        self._is_asked = False
        assert isinstance(made, tuple)
        site, (edges, poles) = made
        if site is not self.site:
            self._look()
            return
        self._poles = tuple(one for one in poles if one.least_m is not None)
        self._stretches = tuple(stretch for sight in edges for stretch in self._of(sight))
        self._marks = self._drawn()
        found = bool(self._stretches or self._poles)
        self._say(self.hint if found else _NOWHERE.format(name=self._name()))
        self.plan.refresh()

    def _of(self, sight: EdgeSight) -> list[_Stretch]:
        outline = self.desk.placed.outlines[sight.structure]
        a, b = outline[sight.edge], outline[(sight.edge + 1) % len(outline)]
        along = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
        return [
            _Stretch(sight, run, _point(a + along * run.start_m), _point(a + along * run.end_m)) for run in sight.runs
        ]

    def _drawn(self) -> tuple[Shape, ...]:
        """Return stretches as lines, poles as rings, and the least height of every edge and pole where that is."""
        self._drawn_at = self.plan.px_per_m
        shapes: list[Shape] = [Path(Role.SNAP, (one.start, one.end)) for one in self._stretches]
        lowest: dict[tuple[str, int], tuple[float, Point]] = {}
        for one in self._stretches:
            for height, at in ((one.run.least_at_start_m, one.start), (one.run.least_at_end_m, one.end)):
                key, over = (one.sight.structure, one.sight.edge), height - one.sight.eaves_m
                if key not in lowest or over < lowest[key][0] - _UP_TO_M:
                    lowest[key] = (over, at)
        for (structure, edge), (over, at) in lowest.items():
            # what is seen from the eaves is said by the line alone
            if over >= _UP_TO_M and self._is_wide(structure, edge):
                shapes += beside(at, f"+{length(self.site, _up(over))}")
        for pole in self._poles:
            spot = self.desk.placed.points[pole.structure]
            at = (spot.x_m, spot.y_m)
            shapes += [
                ring(at, Role.SNAP),
                *(beside(at, f"from {length(self.site, up)}") if (up := _up(pole.least_m)) else ()),
            ]
        return tuple(shapes)

    def _is_wide(self, structure: str, edge: int) -> bool:
        outline = self.desk.placed.outlines[structure]
        a, b = _point(outline[edge]), _point(outline[(edge + 1) % len(outline)])
        return is_long(a, b, self.plan.px_per_m)

    # -- the hand

    def _caught(self, at: Point) -> _Caught | None:
        """Return the marked place under a point."""
        reach = REACH_PX / self.plan.px_per_m
        best: tuple[float, _Caught] | None = None
        for pole in self._poles:
            spot = self.desk.placed.points[pole.structure]
            away = distance_of(at, (spot.x_m, spot.y_m))
            if away <= reach and (best is None or away < best[0]):
                perch = self._perch(pole.structure, self._toward((spot.x_m, spot.y_m)), _up(pole.least_m), "ground")
                best = (away, perch) if perch is not None else best
        for one in self._stretches:
            away, spot_at, over = one.nearest(at)
            if away <= reach and (best is None or away < best[0]):
                perch = self._perch(one.sight.structure, spot_at, _up(over), "eaves")
                best = (away, perch) if perch is not None else best
        return None if best is None else best[1]

    def _toward(self, foot: Point) -> Point:
        """Return a point beside a pole on the side of what is to be seen."""
        there = self._far_end_m()
        assert there is not None
        away = (float(there[0]) - foot[0], float(there[1]) - foot[1])
        far = max(math.hypot(*away), 1e-9)
        return foot[0] + away[0] / far, foot[1] + away[1] / far

    def _perch(self, structure: str, at: Point, height_m: float, reference: str) -> _Caught | None:
        found = perch_at(self.site, self.desk.placed, at, 0.5, only=structure, take="none")
        if found is None:
            return None
        over = "over the ground" if reference == "ground" else "over the eaves"
        place = found.words.rsplit(", ", 1)[0]
        words = f"{place}, {length(self.site, height_m)} {over}: sees {self._name()}"
        perch = found._replace(height_m=height_m, height_reference=reference, words=words)  # type: ignore[arg-type]
        return _Caught(found.at, perch)

    def move(self, pointer: Pointer) -> None:
        """Say what the place under the pointer is."""
        if self._site is not self.site and not self._is_asked:
            self._look()
            return
        if self._drawn_at != self.plan.px_per_m:
            self._marks = self._drawn()
        caught = self._caught(pointer.at)
        if caught is None:
            self.overlay = Overlay(self._marks, words=self._words)
        else:
            self.overlay = Overlay((*self._marks, ring(caught.at), diamond(caught.at)), words=caught.perch.words)

    def press(self, pointer: Pointer) -> None:
        """Hang a mount at the marked place under the pointer, as high as it must be."""
        caught = self._caught(pointer.at) if self._site is self.site else None
        if caught is None:
            return
        made: list[str] = []

        def make(site: Site) -> Edit:
            mount = mount_on(site, caught.perch)
            made.append(mount.id)
            return add(site, mount)._replace(label=f"Hang mount {mount.id} where it sees {self._name()}")

        if self.desk.perform(make):
            self.desk.say(f"{made[-1]} hangs where it sees {self._name()}; a hop wants its first zone free besides.")
            self._look()

    def cancel(self) -> bool:
        """Go back to selecting."""
        self.plan.take_up("select")
        return True

    def end(self) -> None:
        """Another tool is taken up: nothing is looked for any more."""
        self._worker.stop()
        self._is_asked = False
        self.overlay = NOTHING


def _point(at: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> Point:
    return float(at[0]), float(at[1])


def _up(height_m: float | None) -> float:
    """Return a height rounded up to a centimetre: lower it would be hidden."""
    return math.ceil((height_m or 0.0) * 100.0 - 1e-6) / 100.0 + 0.0
