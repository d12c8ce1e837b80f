"""What an event does to the things of a plan: a word at each of them, its id struck through where it is silent."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from survey_app.assess.what_if import WhatIf

__all__ = ["Felt", "felt_of", "with_break"]

Floats = NDArray[np.float64]
_BREAK_MM, _RISE_MM = 6.0, 1.9
_OF_LINE = 0.4
"""A break takes no more than this part of a line."""
_SUBJECTS = {"failure": "fails", "radar": "hears radar", "channel": "lost its channel"}


@dataclass(frozen=True, slots=True)
class Felt:
    """What an event does.

    Attributes
    ----------
    words : mapping of str to str
        What is written at a thing.
    struck : frozenset of str
        Things whose ids are struck through: they are dark or work no longer.
    silent : frozenset of str
        Hops and wires that carry nothing: their lines are broken.
    dark : frozenset of str
        Cameras that nobody sees: their views are not drawn.
    """

    words: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    struck: frozenset[str] = frozenset()
    silent: frozenset[str] = frozenset()
    dark: frozenset[str] = frozenset()

    @property
    def named(self) -> frozenset[str]:
        """Things that keep their words at every scale."""
        return frozenset(self.words)


def felt_of(answer: WhatIf) -> Felt:
    """Return what a plan writes of an event.

    Parameters
    ----------
    answer : WhatIf
        What the event does.
    """
    words = dict.fromkeys(answer.silent, "silent")
    if answer.subject is not None and answer.kind in _SUBJECTS:
        words[answer.subject] = _SUBJECTS[answer.kind]
    words |= {access_point: f"to ch {channel}" for access_point, channel in answer.moved_to}
    words |= dict.fromkeys(answer.moved, "another way")
    words |= dict.fromkeys(answer.slower, "slower")
    words |= dict.fromkeys(answer.dark, "dark")
    words |= dict.fromkeys(answer.unrecorded, "dark, not recorded")
    failed = {answer.subject} if answer.kind == "failure" and answer.subject is not None else set()
    return Felt(
        MappingProxyType(words),
        frozenset((*answer.silent, *answer.dark, *failed)),
        frozenset((*answer.silent, *failed)),
        frozenset(answer.dark),
    )


def with_break(line: Floats, mm_per_m: float) -> tuple[list[Floats], Floats]:
    """Return the two parts of a line that is broken in the middle of its longest stretch, and the sign between them.

    Parameters
    ----------
    line : ndarray of float, shape (n, 2)
        At least two points. [m]
    mm_per_m : float
        Scale. [mm/m]

    Returns
    -------
    parts : list of ndarray of float
        The line before the break and after it. [m]
    sign : ndarray of float, shape (4, 2)
        The zigzag that joins them: a break line of drawing practice. [m]
    """
    along = np.diff(line, axis=0)
    long = np.hypot(*along.T)
    k = int(np.argmax(long))
    length = max(float(long[k]), 1e-9)
    unit = along[k] / length
    side = np.array((-unit[1], unit[0]))
    half = min(_BREAK_MM / mm_per_m, _OF_LINE * length) / 2.0
    rise = min(_RISE_MM / mm_per_m, half)
    middle = (line[k] + line[k + 1]) / 2.0
    one, two = middle - unit * half, middle + unit * half
    sign = np.stack((one, middle - unit * half / 4.0 + side * rise, middle + unit * half / 4.0 - side * rise, two))
    return [np.vstack((line[: k + 1], one)), np.vstack((two, line[k + 1 :]))], sign
