"""What is known from an earlier value of a site: answers with everything that they were made from."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import Any, NamedTuple, TypeVar

from survey_app.assess.same import alike, same
from survey_app.assess.watch import Noted, Watch

__all__ = ["Fresh", "Memo"]

_T = TypeVar("_T")
_R = TypeVar("_R")


class _Entry(NamedTuple):
    """One answer with what it was made from: what was handed in, and what was read besides."""

    given: Any
    reads: Noted
    answer: Any


class Fresh:
    """Makes everything anew: how an assessment works that nobody keeps anything for."""

    def start(self) -> None:
        """Begin an assessment."""

    def each(
        self,
        stage: str,  # noqa: ARG002  # what a memo needs
        names: Sequence[Hashable],
        given: Sequence[Any],  # noqa: ARG002  # what a memo needs
        make: Callable[[list[int]], Sequence[_T]],
    ) -> list[_T]:
        """Return one answer for each thing.

        Parameters
        ----------
        stage : str
            Name of the stage.
        names : sequence of hashable
            Names of the things, each once.
        given : sequence of object
            Everything that the answer of each thing depends on, see `same`.
        make : callable
            Takes the places of the things that are to be made and returns their answers.
        """
        return list(make(list(range(len(names)))))

    def watched(
        self,
        stage: str,  # noqa: ARG002  # what a memo needs
        root: _R,
        names: Sequence[Hashable],  # noqa: ARG002  # what a memo needs
        given: Sequence[tuple[Any, ...]],
        make: Callable[..., _T],
    ) -> list[_T]:
        """Return one answer for each thing.

        Parameters
        ----------
        stage : str
            Name of the stage.
        root : object
            A dataclass with all that the work may read; nothing in it changes once it is made.
        names : sequence of hashable
            Names of the things, each once.
        given : sequence of tuple
            What else is handed to each piece of work.
        make : callable
            Takes the root and what is given, and returns the answer.
        """
        return [make(root, *handed) for handed in given]

    def held(self, name: str, make: Callable[[], _T]) -> _T:  # noqa: ARG002  # what a memo needs
        """Return something that a stage fills for itself and finds again: of an empty memo a new one.

        Parameters
        ----------
        name : str
            Its name.
        make : callable
            Makes an empty one.
        """
        return make()

    def settle(
        self,
        stage: str,  # noqa: ARG002  # what a memo needs
        names: Sequence[Hashable],  # noqa: ARG002  # what a memo needs
        rows: Iterable[_T],
    ) -> list[_T]:
        """Return the rows of a stage that is global by nature."""
        return list(rows)


class Memo(Fresh):
    """Keeps the answers of the local stages of an assessment with what they were made from.

    It holds the very records that were read; a look-up compares them by identity, so that a record that was thrown away
    and another in its place cannot be mistaken for each other. A session keeps one for its document; two
    assessments must not use it at once.

    Attributes
    ----------
    computed, kept : dict of str to int
        How many things each stage computed anew, and how many it found unchanged, in the last assessment.
    """

    def __init__(self) -> None:
        self.computed: dict[str, int] = {}
        self.kept: dict[str, int] = {}
        self._tables: dict[str, dict[Hashable, _Entry]] = {}
        self._watches: dict[str, Watch] = {}
        self._held: dict[str, Any] = {}

    def start(self) -> None:
        """Begin to count anew: another assessment begins."""
        self.computed, self.kept = {}, {}

    def forget(self) -> None:
        """Drop everything."""
        self._tables.clear()
        self._watches.clear()
        self._held.clear()

    def each(
        self, stage: str, names: Sequence[Hashable], given: Sequence[Any], make: Callable[[list[int]], Sequence[_T]]
    ) -> list[_T]:
        """Return one answer for each thing; those for which something else is given than before are made."""
        before = self._tables.get(stage, {})
        entries: list[_Entry | None] = [before.get(name) for name in names]
        stale = [n for n, entry in enumerate(entries) if entry is None or not same(entry.given, given[n])]
        if stale:
            for n, answer in zip(stale, make(stale), strict=True):
                entries[n] = _Entry(given[n], [], answer)
        return self._keep(stage, names, entries, len(stale))

    def watched(
        self,
        stage: str,
        root: _R,
        names: Sequence[Hashable],
        given: Sequence[tuple[Any, ...]],
        make: Callable[..., _T],
    ) -> list[_T]:
        """Return one answer for each thing; the work gets the root behind glass, see `watch`.

        An answer must hold nothing of the glass.
        """
        before = self._tables.get(stage, {})
        watch = Watch(root, self._watches.get(stage))
        entries: list[_Entry | None] = []
        stale = 0
        for name, handed in zip(names, given, strict=True):
            entry = before.get(name)
            if entry is None or not same(entry.given, handed) or not watch.holds(entry.reads):
                watch.record()
                answer = make(watch.glass, *handed)
                entry = _Entry(handed, watch.noted(), answer)
                stale += 1
            entries.append(entry)
        watch.forget_before()
        self._watches[stage] = watch
        return self._keep(stage, names, entries, stale)

    def held(self, name: str, make: Callable[[], _T]) -> _T:
        """Return something that a stage fills for itself and finds again."""
        if name not in self._held:
            self._held[name] = make()
        found: _T = self._held[name]
        return found

    def settle(self, stage: str, names: Sequence[Hashable], rows: Iterable[_T]) -> list[_T]:
        """Return rows that were made anew; where one says what the earlier one said, the earlier one.

        For stages that are global by nature: later stages find unchanged rows to be the same objects.
        """
        before = self._tables.get(stage, {})
        found: list[_T] = []
        for name, row in zip(names, rows, strict=True):
            entry = before.get(name)
            found.append(entry.answer if entry is not None and alike(entry.answer, row) else row)
        self._tables[stage] = {name: _Entry(None, [], row) for name, row in zip(names, found, strict=True)}
        return found

    def _keep(self, stage: str, names: Sequence[Hashable], entries: Sequence[_Entry | None], stale: int) -> list[Any]:
        known = [entry for entry in entries if entry is not None]
        self._tables[stage] = dict(zip(names, known, strict=True))
        self.computed[stage] = self.computed.get(stage, 0) + stale
        self.kept[stage] = self.kept.get(stage, 0) + len(known) - stale
        return [entry.answer for entry in known]
