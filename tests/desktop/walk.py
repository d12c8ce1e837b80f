"""A random walk over the tools: from a seed, events as a hand would make them, on any desk and plan.

`events(seed, count)` yields them; `play(event, …)` does one. Both are free of Qt, so that the same walk can drive tools
directly or be turned into mouse and key events on a window.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from typing import NamedTuple

from survey_app.desktop.desk import Desk
from survey_app.desktop.tools.all_tools import TOOLS
from survey_app.desktop.tools.tool import Pointer, Tool
from survey_app.desktop.tools.where import point_of

__all__ = ["Event", "Walker", "events"]

_KEYS = ("Enter", "Backspace", "Delete", "Left", "Right", "Up", "Down", "Escape", "Tab", "F2")
_TYPED = ("1", "0", "27.6", " ", "4", "-", ";", "@", "x", "12'", "9e9", "P1 ", "43.5N 69.6W", "\t", "½")


class Event(NamedTuple):
    """One thing that a hand does."""

    kind: str
    """`tool`, `move`, `press`, `release`, `double`, `key`, `type`, `select`, `undo`, `redo`."""
    at: tuple[float, float] = (0.0, 0.0)
    """In parts of the window, 0 to 1 from its lower left corner."""
    name: str = ""
    shift: bool = False
    alt: bool = False
    thing: float = -1.0
    """Which thing it is aimed at, 0 to 1 over all of them by id; negative = at the place."""


def events(seed: int, count: int) -> Iterator[Event]:
    """Yield random events; the same seed gives the same walk.

    The hand comes back to places where it was, so that it often meets what it made.
    """
    chance = random.Random(seed)
    places = [(chance.random(), chance.random()) for _ in range(12)]
    for _ in range(count):
        kind = chance.choices(
            ("tool", "move", "press", "release", "double", "key", "type", "select", "undo", "redo"),
            (4, 25, 30, 24, 2, 12, 6, 3, 2, 2),
        )[0]
        if chance.random() < 0.1:
            places[chance.randrange(len(places))] = (chance.random(), chance.random())
        x, y = chance.choice(places)
        at = (x + chance.gauss(0, 0.002), y + chance.gauss(0, 0.002))
        name = ""
        if kind == "tool":
            name = "select" if chance.random() < 0.4 else chance.choice(TOOLS).name
        elif kind == "key":
            name = chance.choice(_KEYS)
        elif kind == "type":
            name = chance.choice(_TYPED)
        thing = chance.random() if chance.random() < 0.5 else -1.0
        yield Event(kind, at, name, chance.random() < 0.2, chance.random() < 0.1, thing)


class Walker:
    """Plays events on a desk with a plan.

    Parameters
    ----------
    desk : Desk
        The document.
    plan
        The plan, which gives its window and scale.
    take_up : callable or None
        Takes a tool up by its name and returns it; None makes it here.
    """

    def __init__(self, desk: Desk, plan, take_up: Callable[[str], Tool] | None = None) -> None:
        self.desk, self.plan = desk, plan
        self._take_up = take_up or self._make
        self._tool: Tool | None = None
        self._tool = self._take_up("select")

    def _make(self, name: str) -> Tool:
        if self._tool is not None:
            self._tool.end()
        tool = next(entry for entry in TOOLS if entry.name == name).make(self.desk, self.plan)
        tool.begin()
        return tool

    def pointer(self, event: Event) -> Pointer:
        x0, y0, x1, y1 = self.plan.window_m
        x_m, y_m = self._thing_at(event) or (x0 + event.at[0] * (x1 - x0), y0 + event.at[1] * (y1 - y0))
        scale = self.plan.px_per_m
        return Pointer(x_m, y_m, (x_m - x0) * scale, (y1 - y_m) * scale, event.shift, False, event.alt)

    def _thing_at(self, event: Event) -> tuple[float, float] | None:
        """Return a point a little beside the thing that an event is aimed at, if that is in the window."""
        things = dict(self.desk.things)
        if event.thing < 0.0 or not things:
            return None
        ids = sorted(things)
        point = point_of(self.desk.placed, things[ids[min(int(event.thing * len(ids)), len(ids) - 1)]], things)
        x0, y0, x1, y1 = self.plan.window_m
        if point is None or not (x0 <= point[0] <= x1 and y0 <= point[1] <= y1):
            return None
        beside = 4.0 / self.plan.px_per_m
        return point[0] + (event.at[0] - 0.5) * beside, point[1] + (event.at[1] - 0.5) * beside

    def play(self, event: Event, tool: Tool | None = None) -> None:
        """Do one event, with the tool that is in hand unless another is named."""
        tool, pointer = tool or self._tool, self.pointer(event)
        if event.kind == "tool":
            self._tool = self._take_up(event.name)
        elif event.kind in ("move", "press", "release", "double"):
            getattr(tool, event.kind)(pointer)
        elif event.kind == "key":
            if event.name == "Escape":
                tool.cancel()
            else:
                tool.key(event.name, shift=event.shift, alt=event.alt)
        elif event.kind == "type":
            tool.typed(event.name)
        elif event.kind == "select":
            ids = sorted(self.desk.things)
            self.desk.select(ids[int(event.at[0] * len(ids)) :][: 1 + int(event.at[1] * 3)])
        elif event.kind == "undo" and self.desk.document.history.undo_label:
            self.desk.undo()
        elif event.kind == "redo" and self.desk.document.history.redo_label:
            self.desk.redo()
