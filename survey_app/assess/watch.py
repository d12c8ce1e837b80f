"""Watches what a piece of work reads, so that the answer can be kept until one of these things is another.

Nothing has to be listed by hand, and so nothing can be forgotten: the work gets the stage behind glass. Every field,
look-up and array element that it takes out is noted with its value; absences are noted too.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping, Sequence
from types import FunctionType, MethodType
from typing import Any

import numpy as np
from numpy.lib.mixins import NDArrayOperatorsMixin

from survey_app.assess.same import same
from survey_app.site.evidence import Evidence
from survey_app.site.site import Design, Site

__all__ = ["Noted", "Watch"]

_ROOMS = ("survey_app.assess.", "survey_app.ground.place")
_TOPS = (Site, Design, Evidence)
_ABSENT = object()

_Path = tuple[str, ...]
_Reads = dict[tuple[_Path, str], set[Any]]
Noted = list[tuple[_Path, str, frozenset[Any]]]
"""What was read: path from the stage, how (`value`, `item`, `element`, `whole`), and the keys or places."""


class Watch:
    """One stage of one assessment behind glass.

    Parameters
    ----------
    stage : object
        A dataclass that holds all that the work may read.
    before : Watch or None
        The same stage of the assessment before, by which every kept answer was made or found to hold.
    """

    def __init__(self, stage: Any, before: Watch | None = None) -> None:
        self._reads: _Reads = {}
        self._raw: dict[_Path, Any] = {(): stage}
        self._changes: dict[tuple[_Path, str], set[Any] | None] = {}
        self._before = before._raw[()] if before is not None else _ABSENT
        self.glass: Any = _Thing(stage, (), self)

    def record(self) -> None:
        """Begin to note what is read, for another piece of work."""
        self._reads = {}

    def note(self, path: _Path, how: str, key: Any = None) -> None:
        """Note that something was read."""
        keys = self._reads.get((path, how))
        if keys is None:
            keys = self._reads[path, how] = set()
        keys.add(key)

    def noted(self) -> Noted:
        """Return what was read since `record`."""
        return [(path, how, frozenset(keys)) for (path, how), keys in self._reads.items()]

    def forget_before(self) -> None:
        """Let the assessment before go: all answers hold by this one."""
        self._before = _ABSENT

    def holds(self, noted: Noted) -> bool:
        """Return whether everything that was read, and held in the assessment before, is still the same now."""
        for path, how, keys in noted:
            try:
                changed = self._changes[path, how]
            except KeyError:
                changed = self._changes[path, how] = self._compare(path, how)
            if changed is None or (changed and not changed.isdisjoint(keys)):
                return False
        return True

    def _compare(self, path: _Path, how: str) -> set[Any] | None:
        """Return which keys or places of a collection hold something else than before; None = all of it counts."""
        now: Any = self._at(path)
        before: Any = self._before
        for name in path:
            before = getattr(before, name, _ABSENT)
        if now is before:
            return set()
        if how in ("value", "whole"):
            return set() if same(before, now) else None
        if type(now) is not type(before):
            return None
        if how == "item":
            keys = dict.fromkeys((*before, *now))
            return {key for key in keys if not same(before.get(key, _ABSENT), now.get(key, _ABSENT))}
        if isinstance(now, np.ndarray):
            return _rows_that_differ(before, now)
        shorter, longer = sorted((len(before), len(now)))
        return {n for n in range(shorter) if not same(before[n], now[n])} | set(range(shorter, longer))

    def _at(self, path: _Path) -> Any:
        found = self._raw.get(path, _ABSENT)
        if found is _ABSENT:
            found = self._raw[path] = getattr(self._at(path[:-1]), path[-1])
        return found

    def wrap(self, raw: Any, path: _Path) -> Any | None:
        """Return a collection or a part of the stage behind glass; None for what is read as one value."""
        if isinstance(raw, Mapping):
            return _Mapping(raw, path, self)
        if isinstance(raw, np.ndarray):
            return _Array(raw, path, self)
        if type(raw) in (tuple, list):
            return _Sequence(raw, path, self)
        kind = type(raw)
        if isinstance(raw, _TOPS) or (dataclasses.is_dataclass(raw) and kind.__module__.startswith(_ROOMS)):
            return _Thing(raw, path, self)
        return None


def _rows_that_differ(before: Any, now: Any) -> set[Any] | None:
    """Return the rows of an array that differ in any bit from those before; None where the rows are of another kind."""
    if before.dtype != now.dtype or before.shape[1:] != now.shape[1:]:
        return None
    if before.dtype.kind not in "fiub":
        return None
    shorter, longer = sorted((len(before), len(now)))
    bits = [np.ascontiguousarray(a[:shorter]).view(np.uint8).reshape(shorter, -1) for a in (before, now)]
    differ = np.flatnonzero((bits[0] != bits[1]).any(axis=1)) if shorter else np.zeros(0, dtype=np.intp)
    return {*differ.tolist(), *range(shorter, longer)}


class _Thing:
    """A part of the stage: its methods run behind the glass as well."""

    def __init__(self, raw: Any, path: _Path, watch: Watch) -> None:
        self._raw, self._path, self._watch, self._parts = raw, path, watch, dict[str, Any]()

    def __getattr__(self, name: str) -> Any:
        part = self._parts.get(name)
        if part is not None:
            return part
        declared = getattr(type(self._raw), name, None)
        if isinstance(declared, FunctionType):
            return MethodType(declared, self)
        if isinstance(declared, property) and declared.fget is not None:
            return declared.fget(self)
        raw, path = getattr(self._raw, name), (*self._path, name)
        part = self._watch.wrap(raw, path)
        if part is not None:
            self._parts[name] = part
            return part
        self._watch.note(path, "value")
        return raw


class _Mapping(Mapping[Any, Any]):
    """A mapping of the stage."""

    def __init__(self, raw: Mapping[Any, Any], path: _Path, watch: Watch) -> None:
        self._raw, self._path, self._watch = raw, path, watch

    def _look(self, key: Any) -> Any:
        found = self._raw.get(key, _ABSENT)
        self._watch.note(self._path, "item", key)
        return found

    def __getitem__(self, key: Any) -> Any:
        found = self._look(key)
        if found is _ABSENT:
            raise KeyError(key)
        return found

    def get(self, key: Any, default: Any = None) -> Any:
        found = self._look(key)
        return default if found is _ABSENT else found

    def __contains__(self, key: object) -> bool:
        return self._look(key) is not _ABSENT

    def _all(self) -> Mapping[Any, Any]:
        self._watch.note(self._path, "whole")
        return self._raw

    def __iter__(self) -> Iterator[Any]:
        return iter(self._all())

    def __len__(self) -> int:
        return len(self._all())

    def values(self) -> Any:
        return self._all().values()

    def items(self) -> Any:
        return self._all().items()


class _Sequence(Sequence[Any]):
    """A tuple or list of the stage."""

    def __init__(self, raw: Sequence[Any], path: _Path, watch: Watch) -> None:
        self._raw, self._path, self._watch = raw, path, watch

    def _all(self) -> Sequence[Any]:
        self._watch.note(self._path, "whole")
        return self._raw

    def __getitem__(self, key: Any) -> Any:
        if isinstance(key, slice):
            return self._all()[key]
        if key < 0:
            return self._all()[key]
        found = self._raw[key]
        self._watch.note(self._path, "element", int(key))
        return found

    def __iter__(self) -> Iterator[Any]:
        return iter(self._all())

    def __len__(self) -> int:
        return len(self._all())


class _Array(NDArrayOperatorsMixin):
    """An array of the stage; elements and picked rows are noted one by one, everything else as the whole."""

    def __init__(self, raw: Any, path: _Path, watch: Watch) -> None:
        self._raw, self._path, self._watch = raw, path, watch

    def _all(self) -> Any:
        self._watch.note(self._path, "whole")
        return self._raw

    def __getitem__(self, key: Any) -> Any:
        if type(key) is int and key >= 0:
            found = self._raw[key]
            self._watch.note(self._path, "element", key)
            return found
        index = np.asarray(key) if isinstance(key, list | np.ndarray | int | np.integer) else None
        if index is None or index.dtype.kind not in "iu" or index.size == 0 or index.min() < 0:
            return self._all()[key]
        found = self._raw[key]
        for place in index.ravel().tolist():
            self._watch.note(self._path, "element", place)
        return found

    def __len__(self) -> int:
        return len(self._all())

    def __iter__(self) -> Iterator[Any]:
        return iter(self._all())

    def __array__(self, dtype: Any = None, copy: bool | None = None) -> Any:
        return np.array(self._all(), dtype=dtype, copy=copy)

    def __array_ufunc__(self, ufunc: Any, method: str, *inputs: Any, **options: Any) -> Any:
        plain = [part._all() if isinstance(part, _Array) else part for part in inputs]
        return getattr(ufunc, method)(*plain, **options)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._all(), name)
