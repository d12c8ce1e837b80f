"""The one history of an open document: what was done, undone and done again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from survey_app.errors import UsageError
from survey_app.site.edits.edit import Edit
from survey_app.site.edits.sharing import with_fields
from survey_app.site.evidence import Evidence
from survey_app.site.shape import fields_of
from survey_app.site.site import Site

__all__ = ["History", "Step"]

_MOST_BYTES = 200_000_000
_ROW_BYTES = 8
_STEP_BYTES = 1500
"""What a step costs besides its changed collections: the new row, two top records, the label."""


class Step(NamedTuple):
    """One step of the history."""

    label: str
    before: Site
    after: Site
    merge_key: str
    size_bytes: int
    """About how much memory the step holds by itself."""


def _size_bytes(before: Site, after: Site) -> int:
    old, new = before.design.__dict__, after.design.__dict__
    rows = sum(len(value) for name, value in new.items() if type(value) is tuple and value is not old[name])
    return _STEP_BYTES + _ROW_BYTES * rows


class History:
    """The values of a site, from the first to the newest, shared and never copied.

    Undo and redo move the design between its earlier values. Evidence is append-only: whatever is undone, everything
    that was ever noted stays. Steps that only add evidence are therefore no steps of the history.

    Parameters
    ----------
    site : Site
        The document as opened; it counts as saved.
    most_bytes : int
        Steps are forgotten from the oldest on when they hold more memory than this.

    Examples
    --------
    >>> import datetime
    >>> from survey_app.site.edits import set_region
    >>> from survey_app.site.new import new_site
    >>> first = new_site("Yard", as_of=datetime.date(2026, 12, 1))
    >>> history = History(first)
    >>> history.apply(set_region(history.current, "EU")).design.region
    'EU'
    >>> history.undo_label, history.undo() is first
    ('Set region of the site', True)
    """

    def __init__(self, site: Site, *, most_bytes: int = _MOST_BYTES) -> None:
        self._current = site
        self._saved: Site | None = site
        self._done: list[Step] = []
        self._undone: list[Step] = []
        self._most_bytes = most_bytes
        self._size_bytes = 0
        self._sealed = True

    @property
    def current(self) -> Site:
        """The site as it is now."""
        return self._current

    @property
    def undo_label(self) -> str | None:
        """Name of the step that undo would take back; None = there is none."""
        return self._done[-1].label if self._done else None

    @property
    def redo_label(self) -> str | None:
        """Name of the step that redo would do again; None = there is none."""
        return self._undone[-1].label if self._undone else None

    @property
    def labels(self) -> tuple[str, ...]:
        """Names of the steps that can be undone, oldest first."""
        return tuple(step.label for step in self._done)

    def values(self) -> Iterator[Site]:
        """Yield every value that undo and redo can bring back, and the current one."""
        yield self._current
        for step in (*self._done, *self._undone):
            yield step.before
            yield step.after

    @property
    def is_saved(self) -> bool:
        """Whether the current site is the one that was saved last."""
        saved = self._saved
        return saved is not None and (self._current.design is saved.design and self._current.evidence is saved.evidence)

    def mark_saved(self, site: Site | None = None) -> None:
        """Remember that a site was written to its file: the current one, or the one that was handed to the writer."""
        self._saved = self._current if site is None else site
        self._sealed = True

    def mark_unsaved(self) -> None:
        """Remember that no file holds any of the values: a recovered document, or a file that went away."""
        self._saved = None

    def seal(self) -> None:
        """End the present step: the next edit makes a new one whatever its merge key."""
        self._sealed = True

    def apply(self, edit: Edit) -> Site:
        """Apply an edit and return the site as it then is.

        Parameters
        ----------
        edit : Edit
            An edit of the current design. One with the same merge key as the step before joins it.

        Raises
        ------
        UsageError
            The edit was made from an older design, or takes evidence away.
        """
        current = self._current
        if edit.before.design is not current.design:
            raise UsageError(
                "the site has changed since this step was prepared", where=edit.label, remedy="make the step again"
            )
        evidence = _appended(current.evidence, edit)
        if edit.after.design is current.design:
            self._current = _with_evidence(edit.after, evidence) if evidence is not current.evidence else current
            return self._current
        after = _with_evidence(edit.after, evidence)
        self._undone.clear()
        self._push(edit, current, after)
        self._current = after
        return after

    def _push(self, edit: Edit, before: Site, after: Site) -> None:
        last, label = self._done[-1] if self._done else None, edit.label
        if last is not None and edit.merge_key and edit.merge_key == last.merge_key and not self._sealed:
            self._done.pop()
            self._size_bytes -= last.size_bytes
            before = last.before
            label = edit.joined_label(before)
        step = Step(label, before, after, edit.merge_key, _size_bytes(before, after))
        self._sealed = False
        self._done.append(step)
        self._size_bytes += step.size_bytes
        forgotten = 0
        while self._size_bytes > self._most_bytes and forgotten < len(self._done) - 1:
            self._size_bytes -= self._done[forgotten].size_bytes
            forgotten += 1
        del self._done[:forgotten]

    def undo(self) -> Site:
        """Take the last step back and return the site as it then is; evidence stays.

        Raises
        ------
        UsageError
            There is nothing to undo.
        """
        if not self._done:
            raise UsageError("there is nothing to undo")
        step = self._done.pop()
        self._undone.append(step)
        self._size_bytes -= step.size_bytes
        return self._go_to(step.before)

    def redo(self) -> Site:
        """Do the step again that was undone last and return the site as it then is.

        Raises
        ------
        UsageError
            There is nothing to do again.
        """
        if not self._undone:
            raise UsageError("there is nothing to do again")
        step = self._undone.pop()
        self._done.append(step)
        self._size_bytes += step.size_bytes
        return self._go_to(step.after)

    def _go_to(self, site: Site) -> Site:
        self._sealed = True
        self._current = _with_evidence(site, self._current.evidence)
        return self._current


def _with_evidence(site: Site, evidence: Evidence) -> Site:
    return site if site.evidence is evidence else with_fields(site, evidence=evidence)


def _appended(evidence: Evidence, edit: Edit) -> Evidence:
    """Return the evidence with what an edit adds to it, also when more was noted since the edit was made."""
    old, new = edit.before.evidence, edit.after.evidence
    if new is old:
        return evidence
    added = {}
    for name in fields_of(Evidence):
        before, after = getattr(old, name), getattr(new, name)
        if after is before:
            continue
        if after[: len(before)] != before:
            raise UsageError("evidence is only ever added to", where=edit.label, remedy="note a new row instead")
        added[name] = (*getattr(evidence, name), *after[len(before) :]) if evidence is not old else after
    return new if evidence is old else with_fields(evidence, **added)
