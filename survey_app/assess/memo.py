"""What is known from an earlier value of a site: answers with everything that they were made from."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Hashable, Mapping, Sequence
from typing import Any, TypeVar

import numpy as np

__all__ = ["Memo", "same"]

_T = TypeVar("_T")
_PLAIN = (str, int, bool, bytes, type(None))


def same(one: Any, other: Any) -> bool:
    """Return whether two inputs cannot be told apart: records are one object, scalars agree in type and in every bit.

    Parameters
    ----------
    one, other : object
        Records of the site or of an assessment; scalars, texts, arrays; tuples, mappings and dataclasses of them.

    Examples
    --------
    >>> same(0.0, -0.0), same(1, 1.0), same(float("nan"), float("nan")), same((1, "a"), (1, "a"))
    (False, False, True, True)
    """
    if one is other:
        return True
    kind = type(one)
    if kind is not type(other):
        return False
    if kind is float:
        return bool(one == other and math.copysign(1.0, one) == math.copysign(1.0, other)) or (
            one != one and other != other
        )
    if kind in _PLAIN:
        return bool(one == other)
    if isinstance(one, np.ndarray | np.generic):
        return bool(one.dtype == other.dtype and one.shape == other.shape and one.tobytes() == other.tobytes())
    if isinstance(one, tuple | list):
        return len(one) == len(other) and all(map(same, one, other))
    if isinstance(one, Mapping):
        return list(one) == list(other) and all(map(same, one.values(), other.values()))
    if dataclasses.is_dataclass(one):
        return all(same(getattr(one, f.name), getattr(other, f.name)) for f in dataclasses.fields(one))
    return False


class Memo:
    """Keeps the answers of the local stages of an assessment with what they were made from.

    Every entry holds the very records that it read; a look-up compares them by identity, so that a record that was
    thrown away and another in its place cannot be mistaken for each other. A session keeps one for its document; two
    assessments must not use it at once.

    Attributes
    ----------
    computed, kept : dict of str to int
        How many things each stage computed anew, and how many it found unchanged, since `start`.
    """

    def __init__(self) -> None:
        self.computed: dict[str, int] = {}
        self.kept: dict[str, int] = {}
        self._tables: dict[str, dict[Hashable, tuple[Any, Any]]] = {}

    def start(self) -> None:
        """Begin to count anew."""
        self.computed, self.kept = {}, {}

    def each(
        self, stage: str, names: Sequence[Hashable], inputs: Sequence[Any], make: Callable[[list[int]], Sequence[_T]]
    ) -> list[_T]:
        """Return one answer for each thing; those whose inputs have changed are made, all in one call.

        Parameters
        ----------
        stage : str
            Name of the stage.
        names : sequence of hashable
            Names of the things, each once.
        inputs : sequence of object
            Everything that the answer of each thing depends on, see `same`.
        make : callable
            Takes the places of the things that are to be made and returns their answers.
        """
        before = self._tables.get(stage, {})
        answers: list[Any] = [None] * len(names)
        stale = []
        for n, (name, given) in enumerate(zip(names, inputs, strict=True)):
            entry = before.get(name)
            if entry is not None and same(entry[0], given):
                answers[n] = entry[1]
            else:
                stale.append(n)
        if stale:
            for n, answer in zip(stale, make(stale), strict=True):
                answers[n] = answer
        self._tables[stage] = {
            name: (given, answer) for name, given, answer in zip(names, inputs, answers, strict=True)
        }
        self.computed[stage] = self.computed.get(stage, 0) + len(stale)
        self.kept[stage] = self.kept.get(stage, 0) + len(names) - len(stale)
        return answers
