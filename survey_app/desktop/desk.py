"""What all parts of a window share: the open document, its assessment, what is selected and what hovers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from survey_app.desktop.supposed import REFUSAL, Supposed
from survey_app.errors import SurveyError
from survey_app.ground.place import Placed, place
from survey_app.session.document import Document
from survey_app.site.collection import every_thing
from survey_app.site.edits.edit import Edit
from survey_app.site.site import Site
from survey_app.site.thing import Thing

if TYPE_CHECKING:
    from survey_app.assess.hearing import Hearing
    from survey_app.assess.record import Assessment, CameraRow, CellRow, Finding, HopRow, MountRow, RadioRow
    from survey_app.assess.what_if import Event

__all__ = ["Desk", "Rows"]


class Rows:
    """An assessment by id; made once per assessment."""

    def __init__(self, assessment: Assessment) -> None:
        self.assessment = assessment

    @cached_property
    def radios(self) -> Mapping[str, RadioRow]:
        """Radios by id."""
        return {row.id: row for row in self.assessment.radios}

    @cached_property
    def hops(self) -> Mapping[str, HopRow]:
        """Hops by id."""
        return {row.id: row for row in self.assessment.hops}

    @cached_property
    def mounts(self) -> Mapping[str, MountRow]:
        """Mounts by id."""
        return {row.id: row for row in self.assessment.mounts}

    @cached_property
    def cells(self) -> Mapping[str, CellRow]:
        """Cells by id."""
        return {row.id: row for row in self.assessment.cells}

    @cached_property
    def cameras(self) -> Mapping[str, CameraRow]:
        """Cameras by id."""
        return {row.id: row for row in self.assessment.cameras}

    @cached_property
    def findings_of(self) -> Mapping[str, tuple[Finding, ...]]:
        """Findings by the things that they are about."""
        found: dict[str, list[Finding]] = {}
        for finding in self.assessment.findings:
            for one in dict.fromkeys((finding.subject, finding.second_subject, *finding.concerns)):
                if one:
                    found.setdefault(one, []).append(finding)
        return {key: tuple(rows) for key, rows in found.items()}


class Desk(QObject):
    """One open document as the parts of its window see it.

    Parts read from here and hand edits in; they never speak to each other. A refused edit is said in one sentence and
    changes nothing.
    """

    document_changed = Signal()
    """Another document lies here, or its path or saved state has changed."""
    site_changed = Signal()
    """The site has another value: an edit, undo, redo."""
    assessed = Signal()
    """`assessment` is of the present site (`is_fresh`)."""
    went_stale = Signal()
    """The site has changed and its assessment has not come yet."""
    selection_changed = Signal()
    hover_changed = Signal()
    said = Signal(str)
    """One sentence for the person at the window."""
    wanted = Signal(object)
    """Ids of things that the plan should bring into view."""
    explained = Signal(str, str)
    """Subject and quantity: somebody asks "why this number?"."""
    event_asked = Signal(object)
    """Somebody asks what an event would do; None: nobody any more."""
    hearing_asked = Signal()
    """Somebody wants to know who hears whom on the present site."""
    hearing_came = Signal()
    """`hearing` is known of the present site."""
    supposed_changed = Signal()
    """`supposed` is another: an event is asked about, answered, or left."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._assessment: Assessment | None = None
        self._rows: Rows | None = None
        self._assessed_site: Site | None = None
        self._placed: tuple[Site, Placed] | None = None
        self._things: tuple[Site, dict[str, Thing]] | None = None
        self._selection: tuple[str, ...] = ()
        self._hovered: str | None = None
        self._supposed: Supposed | None = None
        self._hearing: tuple[Site, Hearing] | None = None

    # -- the document

    @property
    def document(self) -> Document:
        """The open document."""
        return self._document

    @property
    def site(self) -> Site:
        """The site as it is now."""
        return self._document.site

    @property
    def placed(self) -> Placed:
        """Where everything of the present site is."""
        site = self.site
        if self._placed is None or self._placed[0] is not site:
            self._placed = (site, place(site))
        return self._placed[1]

    @property
    def things(self) -> Mapping[str, Thing]:
        """Every thing of the present design by its id."""
        site = self.site
        if self._things is None or self._things[0].design is not site.design:
            self._things = (site, {thing.id: thing for _, _, thing in every_thing(site.design)})
        return self._things[1]

    def replace_document(self, document: Document) -> None:
        """Put another document on the desk."""
        self._document = document
        self._assessment = self._rows = self._assessed_site = None
        self._selection, self._hovered = (), None
        self.leave_event()
        self.document_changed.emit()
        self.selection_changed.emit()
        self._changed()

    def apply(self, edit: Edit) -> bool:
        """Apply an edit; a refusal is said and changes nothing.

        Returns
        -------
        bool
            Whether it was applied.
        """
        return self.perform(lambda _site: edit)

    def perform(self, make: Callable[[Site], Edit]) -> bool:
        """Make an edit from the present site and apply it; a refusal is said and changes nothing."""
        if self._refuses():
            return False
        try:
            edit = make(self.site)
            self._document.apply(edit)
        except SurveyError as error:
            self.said.emit(error.sentence())
            return False
        for remark in edit.remarks[:1]:
            self.said.emit(f"{edit.label}: {remark}.")
        self._changed()
        return True

    def undo(self) -> None:
        """Take the last step back."""
        self._step(self._document.undo)

    def redo(self) -> None:
        """Do again what was undone last."""
        self._step(self._document.redo)

    def _step(self, step: Callable[[], Site]) -> None:
        if self._refuses():
            return
        try:
            step()
        except SurveyError as error:
            self.said.emit(error.sentence())
            return
        self._changed()

    def refresh(self) -> None:
        """Tell all parts that the document has another value: it was recovered or taken over."""
        self._changed()

    def _refuses(self) -> bool:
        if self._supposed is not None:
            self.said.emit(REFUSAL)
        return self._supposed is not None

    def _changed(self) -> None:
        # what was supposed was supposed of another value
        self.leave_event()
        known = self.things
        before = self._selection
        # what is gone is selected no more, before anybody is told of the new value
        self._selection = tuple(one for one in before if one in known)
        if self._hovered is not None and self._hovered not in known:
            self._hovered = None
        self.site_changed.emit()
        if self._assessed_site is not self.site:
            self.went_stale.emit()
        if self._selection != before:
            self.selection_changed.emit()
        self.document_changed.emit()

    # -- the assessment

    @property
    def assessment(self) -> Assessment | None:
        """The newest assessment, which may be of an earlier value of the site; None before the first."""
        return self._assessment

    @property
    def rows(self) -> Rows | None:
        """The newest assessment by id."""
        return self._rows

    @property
    def is_fresh(self) -> bool:
        """Whether the assessment is of the present site."""
        return self._assessment is not None and self._assessed_site is self.site

    def put_assessment(self, site: Site, assessment: Assessment) -> None:
        """Take the answer of an assessment; one of an older site is dropped."""
        if site is not self.site:
            return
        self._assessment, self._assessed_site, self._rows = assessment, site, Rows(assessment)
        self.assessed.emit()

    # -- what if

    @property
    def supposed(self) -> Supposed | None:
        """The event that the window shows instead of the site as it is; while there is one nothing can be changed."""
        return self._supposed

    def suppose(self, event: Event) -> None:
        """Ask what an event would do, and show it; the site and its history stay as they are."""
        self.put_supposed(Supposed(event))
        self.event_asked.emit(event)

    def put_supposed(self, supposed: Supposed) -> None:
        """Take what is known of the event by now."""
        self._supposed = supposed
        self.supposed_changed.emit()

    def leave_event(self) -> None:
        """Show the site as it is again."""
        if self._supposed is not None:
            self._supposed = None
            self.event_asked.emit(None)
            self.supposed_changed.emit()

    # -- who hears whom

    @property
    def hearing(self) -> Hearing | None:
        """Who hears whom on the present site; None while nobody has asked or it has not come yet."""
        known = self._hearing
        return known[1] if known is not None and known[0] is self.site else None

    def ask_hearing(self) -> None:
        """Ask who hears whom; `hearing_came` tells when it is known."""
        if self.hearing is None:
            self.hearing_asked.emit()

    def put_hearing(self, site: Site, hearing: Hearing) -> None:
        """Take who hears whom; an answer for an older site is dropped."""
        if site is self.site:
            self._hearing = (site, hearing)
            self.hearing_came.emit()

    # -- what is looked at

    @property
    def selection(self) -> tuple[str, ...]:
        """Ids of the selected things, in the order in which they were selected."""
        return self._selection

    def select(self, ids: Iterable[str]) -> None:
        """Select these things and no others."""
        known = self.things
        selection = tuple(one for one in dict.fromkeys(ids) if one in known)
        if selection != self._selection:
            self._selection = selection
            self.selection_changed.emit()

    def toggle(self, thing_id: str) -> None:
        """Add a thing to the selection, or take it out."""
        others = [one for one in self._selection if one != thing_id]
        self.select(others if len(others) < len(self._selection) else [*others, thing_id])

    @property
    def hovered(self) -> str | None:
        """Id of the thing under the pointer, on the plan or in a list."""
        return self._hovered

    def hover(self, thing_id: str | None) -> None:
        """Say what is under the pointer."""
        if thing_id != self._hovered:
            self._hovered = thing_id
            self.hover_changed.emit()

    def show(self, ids: Iterable[str]) -> None:
        """Select things and bring them into view."""
        chosen = tuple(ids)
        self.select(chosen)
        self.wanted.emit(chosen)

    def say(self, sentence: str) -> None:
        """Say one sentence to the person at the window."""
        self.said.emit(sentence)
