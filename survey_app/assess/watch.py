"""Watches what a piece of work reads, so that the answer can be kept until one of these things is another.

Nothing has to be listed by hand, and so nothing can be forgotten: the work gets the stage behind glass. Every field,
look-up and array element that it takes out is noted with its value; absences are noted too. What says of itself that
it is `UNWATCHED` only keeps answers of functions that depend on their arguments alone.
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
_Reads = dict[tuple[_Path, str, Any], Any]
"""What was read: path from the stage, how (`value`, `item`, `element`, `taken`, `whole`) and key; what was found."""

Noted = list[tuple[_Path, str, list[tuple[Any, Any]]]]
"""The same, one row for each collection and way of reading it: pairs of key and what was found."""


class Watch:
    """One stage of one assessment behind glass.

    Parameters
    ----------
    stage : object
        A dataclass that holds all that the work may read.
    """

    def __init__(self, stage: Any) -> None:
        self.reads: _Reads = {}
        self._raw: dict[_Path, Any] = {(): stage}
        self._lists: dict[_Path, list[Any]] = {}
        self._compared: dict[tuple[_Path, int], tuple[Any, bool]] = {}
        self.glass: Any = _Thing(stage, (), self)

    def record(self) -> _Reads:
        """Begin to note what is read, for another piece of work."""
        self.reads = {}
        return self.reads

    def noted(self, reads: _Reads) -> Noted:
        """Return what was read in the form in which it is kept."""
        rows: dict[tuple[_Path, str], list[tuple[Any, Any]]] = {}
        for (path, how, key), found in reads.items():
            rows.setdefault((path, how), []).append((key, found))
        return [(path, how, pairs) for (path, how), pairs in rows.items()]

    def holds(self, noted: Noted) -> bool:
        """Return whether everything that was read then is still the same now."""
        for path, how, pairs in noted:
            raw = self._at(path)
            if how == "item":
                if not all((now := raw.get(key, _ABSENT)) is before or same(now, before) for key, before in pairs):
                    return False
            elif how == "element":
                items = self._items(path, raw)
                count = len(items)
                for key, before in pairs:
                    now = items[key] if -count <= key < count else _ABSENT
                    if now is not before and not same(now, before):
                        return False
            elif how == "value":
                if raw is not pairs[0][1] and not same(raw, pairs[0][1]):
                    return False
            elif how == "taken":
                if not all(same(_taken(raw, key), before) for key, before in pairs):
                    return False
            elif not self._whole_holds(path, pairs[0][1], raw):
                return False
            else:
                # the newer of two equal collections is held on to, so that the older can go
                pairs[0] = (None, raw)
        return True

    def _at(self, path: _Path) -> Any:
        found = self._raw.get(path, _ABSENT)
        if found is _ABSENT:
            found = self._raw[path] = getattr(self._at(path[:-1]), path[-1])
        return found

    def _items(self, path: _Path, raw: Any) -> list[Any]:
        items = self._lists.get(path)
        if items is None:
            items = self._lists[path] = raw.tolist() if isinstance(raw, np.ndarray) else list(raw)
        return items

    def _whole_holds(self, path: _Path, before: Any, now: Any) -> bool:
        if before is now:
            return True
        known = self._compared.get((path, id(before)))
        if known is None:
            # the collection is kept beside the answer, so that its identity is not given to another meanwhile
            known = self._compared[path, id(before)] = (before, same(before, now))
        return known[1]

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


def _taken(raw: Any, key: tuple[tuple[int, ...], bytes]) -> Any:
    """Return the rows of an array that were picked; it may have become shorter meanwhile."""
    index = np.frombuffer(key[1], dtype=np.intp).reshape(key[0])
    return raw[index] if -len(raw) <= index.min() and index.max() < len(raw) else _ABSENT


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
        if getattr(type(raw), "UNWATCHED", False):
            return raw
        part = self._watch.wrap(raw, path)
        if part is not None:
            self._parts[name] = part
            return part
        self._watch.reads[path, "value", None] = raw
        return raw


class _Mapping(Mapping[Any, Any]):
    """A mapping of the stage."""

    def __init__(self, raw: Mapping[Any, Any], path: _Path, watch: Watch) -> None:
        self._raw, self._path, self._watch = raw, path, watch

    def _look(self, key: Any) -> Any:
        found = self._raw.get(key, _ABSENT)
        self._watch.reads[self._path, "item", key] = found
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
        self._watch.reads[self._path, "whole", None] = self._raw
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
        self._watch.reads[self._path, "whole", None] = self._raw
        return self._raw

    def __getitem__(self, key: Any) -> Any:
        if isinstance(key, slice):
            return self._all()[key]
        found = self._raw[key]
        self._watch.reads[self._path, "element", int(key)] = found
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
        self._watch.reads[self._path, "whole", None] = self._raw
        return self._raw

    def __getitem__(self, key: Any) -> Any:
        if isinstance(key, int | np.integer) and self._raw.ndim == 1:
            self._watch.reads[self._path, "element", int(key)] = self._raw[key].item()
            return self._raw[key]
        index = np.asarray(key) if isinstance(key, list | np.ndarray | int | np.integer) else None
        if index is None or index.dtype.kind not in "iu" or index.size == 0:
            return self._all()[key]
        found = self._raw[key]
        index = index.astype(np.intp)
        self._watch.reads[self._path, "taken", (index.shape, index.tobytes())] = found
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
