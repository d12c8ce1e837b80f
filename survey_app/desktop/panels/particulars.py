"""Particulars of the selection: a form whose fields are the site's, with the computed figures beside them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QApplication, QFrame, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.changing import change_field, in_one_step
from survey_app.desktop.panels.editors import plain_reason
from survey_app.desktop.panels.entries import Entry, entries_of, merged, site_entries
from survey_app.desktop.panels.field_words import kind_of, kind_words
from survey_app.desktop.panels.figures import Figure, figures_of, site_figures
from survey_app.desktop.panels.form import FieldRow, Form, heading, is_wide
from survey_app.desktop.panels.offers import editor_for
from survey_app.desktop.panels.on_site import OnSite
from survey_app.errors import SurveyError
from survey_app.site.edits.edit import Edit
from survey_app.site.edits.naming import field_words
from survey_app.site.thing import Thing

if TYPE_CHECKING:
    from survey_app.gear.catalogue import Catalogue

__all__ = ["Particulars"]

_KEPT_FORMS = 12
_MOST_LISTED = 40
_LATER_MS = 40
"""A click or a drag is seen before the form that follows it."""
_INKS = {"hop": "radio", "radio": "radio", "camera": "camera", "wire": "wire"}


class _Inside(QWidget):
    """What is scrolled: never lower than its rows, whose names may break into lines."""

    def minimumSizeHint(self) -> QSize:
        hint, box = super().minimumSizeHint(), self.layout()
        if box is None or not box.hasHeightForWidth():
            return hint
        return QSize(hint.width(), max(hint.height(), box.minimumHeightForWidth(self.width())))


class Particulars(QWidget):
    """The form of what is selected; of the site itself where nothing is.

    Parameters
    ----------
    desk : Desk
        The open document.
    catalogue : Catalogue
        Gear types that can be chosen.
    """

    _laid_out = Signal()

    def __init__(self, desk: Desk, catalogue: Catalogue, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._catalogue = desk, catalogue
        self._came_to: QWidget | None = None
        # once what was opened has its size
        self._laid_out.connect(self._bring_into_view, Qt.ConnectionType.QueuedConnection)
        self._form_is_old = self._figures_are_old = True
        self._due = QTimer(self)
        self._due.setSingleShot(True)
        self._due.setInterval(_LATER_MS)
        self._due.timeout.connect(self._in_time)
        self._signature: Any = None
        self._subjects: tuple[str, ...] | None = None
        self._head = heading("")
        self._id = QLabel()
        self._id.setProperty("part", "selected")
        self._id.setTextInteractionFlags(Qt.TextInteractionFlag.NoTextInteraction)
        head = QHBoxLayout()
        head.addWidget(self._head)
        head.addStretch(1)
        head.addWidget(self._id)
        rule = QFrame()
        rule.setProperty("part", "rule")
        self._opened: set[str] = set()
        self._forms: dict[Any, Form] = {}
        self._form = Form((), lambda entry: editor_for(desk, catalogue, entry), self._opened)
        self._listed = QLabel()
        self._listed.setProperty("part", "name")
        self._listed.setWordWrap(True)
        self._hint = QLabel("Why this number? Press F1.")
        self._hint.setProperty("part", "hint")
        self.inside = inside = _Inside()
        self._inner = inner = QVBoxLayout(inside)
        inner.setContentsMargins(0, 2, 0, 0)
        inner.setSpacing(2)
        inner.addWidget(self._listed)
        inner.addWidget(self._form)
        inner.addWidget(self._hint)
        self.on_site = OnSite(desk)
        inner.addWidget(self.on_site)
        inner.addStretch(1)
        self.view = QScrollArea()
        self.view.setWidget(inside)
        self.view.setWidgetResizable(True)
        self.view.setFrameShape(QFrame.Shape.NoFrame)
        self.view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.view.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(3)
        box.addLayout(head)
        box.addWidget(rule)
        box.addWidget(self.view, 1)
        self.setAccessibleName("particulars of the selection")
        desk.selection_changed.connect(self._form_later)
        desk.site_changed.connect(self._form_later)
        desk.assessed.connect(self._figures_later)
        desk.went_stale.connect(self._figures_later)

    # -- when

    def _form_later(self) -> None:
        self._form_is_old = True
        self._figures_later()

    def _figures_later(self) -> None:
        self._figures_are_old = True
        if self.isVisible() and not self._due.isActive():
            self._due.start()

    def _in_time(self) -> None:
        if QApplication.mouseButtons() != Qt.MouseButton.NoButton:
            # a drag goes on: what it does to the form is shown when it has ended
            self._due.start()
        else:
            self.settle()

    def settle(self) -> None:
        """Show the selection as it is, where that has not been done yet."""
        if self._form_is_old:
            self.refresh()
        elif self._figures_are_old:
            self._show_figures()
        else:
            return
        # what is new has its place before it is painted, from the rows up to the scrolled view
        QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest.value)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.settle()

    @property
    def form(self) -> Form:
        """The form of what is selected."""
        self.settle()
        return self._form

    @property
    def listed_words(self) -> str:
        """What is selected, by kind, where that is more than one thing; as it is shown."""
        self.settle()
        return self._listed.text()

    @property
    def wanted_px(self) -> int:
        """Height at which nothing of it has to be scrolled. [px]"""
        return (
            max(self.inside.sizeHint().height(), self.inside.minimumSizeHint().height())
            + self.height()
            - self.view.height()
        )

    @property
    def head_words(self) -> tuple[str, str]:
        """The head and the id beside it, as they are shown."""
        self.settle()
        return self._head.text(), self._id.text()

    def record(self, thing_id: str, evidence: str = "") -> bool:
        """Open the part in which evidence of a thing is recorded, with the cursor in its first field.

        Parameters
        ----------
        thing_id : str
            The thing, which is selected.
        evidence : str
            What is to be recorded: `sight`, `reading`, `as_built`; empty = what comes first.

        Returns
        -------
        bool
            Whether the thing has such a part.
        """
        self._desk.show((thing_id,))
        self.settle()
        part = self.on_site.part(evidence)
        if part is None:
            return False
        editor = part.first_editor()
        editor.setFocus()
        self._came_to = part
        self._laid_out.emit()
        return True

    def _bring_into_view(self) -> None:
        """Scroll to the part that was opened: as much of it as there is room for, from its head on."""
        if self._came_to is not None:
            top = self._came_to.mapTo(self.inside, QPoint(0, 0)).y()
            self.view.verticalScrollBar().setValue(top)

    def _things(self) -> list[Thing]:
        known = self._desk.things
        return [known[one] for one in self._desk.selection if one in known]

    def _entries(self, things: list[Thing]) -> tuple[tuple[Entry, bool], ...]:
        site = self._desk.site
        if not things:
            return tuple((entry, False) for entry in site_entries(site))
        if len(things) == 1:
            return tuple((entry, False) for entry in entries_of(site, things[0]))
        if len({kind_of(thing) for thing in things}) > 1:
            return ()
        return merged(tuple(entries_of(site, thing) for thing in things))

    def refresh(self) -> None:
        """Show the selection as it is now; fields that stay the same keep the focus."""
        self._form_is_old = False
        things = self._things()
        entries = self._entries(things)
        signature = (
            len(things) > 1,
            kind_words(things[0]) if things else "",
            tuple((entry.path, is_wide(entry)) for entry, _ in entries),
            self._desk.site.design.units,
        )
        subjects = tuple(thing.id for thing in things)
        self._say_head(things)
        self._list(things)
        self.on_site.show_thing(things[0] if len(things) == 1 else None)
        anew = subjects != self._subjects
        self._subjects = subjects
        if signature == self._signature:
            self._form.show_entries(entries, anew=anew)
        else:
            self._signature = signature
            self._change_form(entries, signature, keep=not anew)
        if anew:
            self.view.verticalScrollBar().setValue(0)
        self._show_figures()

    def _change_form(self, entries: tuple[tuple[Entry, bool], ...], signature: Any, *, keep: bool) -> None:
        """Put the form of these fields in its place: one that was made before, or a new one."""
        focus = next((row.entry.key for row in self._form.fields if row.editor.inner.hasFocus()), None)
        place = self.view.verticalScrollBar().value()
        form = self._forms.pop(signature, None)
        if form is None:
            form = Form(entries, lambda entry: editor_for(self._desk, self._catalogue, entry), self._opened)
            form.given.connect(self._give)
            form.asked.connect(self._desk.explained)
        else:
            form.show_entries(entries, anew=True)
        self._forms[signature] = form
        self._form.hide()
        self._form = form
        self._inner.insertWidget(1, form)
        form.show()
        while len(self._forms) > _KEPT_FORMS:
            old = self._forms.pop(next(iter(self._forms)))
            self._inner.removeWidget(old)
            old.deleteLater()
        if keep:
            self.view.verticalScrollBar().setValue(place)
            for row in form.fields:
                if row.entry.key == focus:
                    row.editor.inner.setFocus()

    def _say_head(self, things: list[Thing]) -> None:
        if not things:
            words, name, ink = "the site", "", "ink"
        elif len(things) == 1:
            words, name, ink = f"selected {kind_words(things[0])}", things[0].id, _INKS.get(kind_of(things[0]), "ink")
        else:
            kinds = {kind_words(thing) for thing in things}
            words = f"{len(things)} selected, {next(iter(kinds))}" if len(kinds) == 1 else f"{len(things)} selected"
            name, ink = ("" if len(kinds) == 1 else "several kinds"), "ink"
        self._head.setText(words.upper())
        self._id.setText(name)
        if self._id.property("ink") != ink:
            self._id.setProperty("ink", ink)
            self._id.style().unpolish(self._id)
            self._id.style().polish(self._id)

    def _list(self, things: list[Thing]) -> None:
        """Say which things are selected, by kind: several of them have no id in the head."""
        kinds: dict[str, list[str]] = {}
        for thing in things if len(things) > 1 else ():
            kinds.setdefault(kind_words(thing), []).append(thing.id)
        lines = [] if things else [self._ground_words()]
        for kind, ids in kinds.items():
            rest = f" and {len(ids) - _MOST_LISTED} more" if len(ids) > _MOST_LISTED else ""
            lines.append(f"{kind}: {', '.join(ids[:_MOST_LISTED])}{rest}")
        self._listed.setText("\n".join(lines))
        self._listed.setVisible(bool(lines))

    def _ground_words(self) -> str:
        """Say what the heights of the ground come from, and how well they are known."""
        ground = self._desk.placed.ground
        sigma = "" if math.isnan(ground.sigma_m) else f", sigma {ground.sigma_m:g} m"
        return f"ground: {ground.words}{sigma}"

    def _show_figures(self) -> None:
        self._figures_are_old = False
        rows = self._desk.rows
        things = self._things()
        figures: tuple[Figure, ...] = ()
        if rows is not None and len(things) < 2:
            units = self._desk.site.design.units
            figures = figures_of(rows, things[0].id, units) if things else site_figures(rows.assessment)
        self._form.show_figures(figures, self._desk.is_fresh)
        self._hint.setVisible(bool(figures))

    def _give(self, row: FieldRow, value: Any) -> None:
        try:
            edit = self._edit(row.entry, value)
        except SurveyError as error:
            row.refuse(plain_reason(error))
            return
        row.clear_reason()
        if edit.changes_nothing or not self._desk.apply(edit):
            row.editor.show_value(row.entry.value, several=False)
        # the hand is in the form: what it types next belongs to the fields as they now are
        self.settle()

    def _edit(self, entry: Entry, value: Any) -> Edit:
        desk, site = self._desk, self._desk.site
        # of what the form shows, which the selection may have left a moment ago
        things = [desk.things[one] for one in self._subjects or () if one in desk.things]
        if len(things) < 2:
            return change_field(site, desk.placed, entry, value, self._catalogue)
        makers = [
            lambda before, own=own: change_field(before, desk.placed, own, value, self._catalogue)
            for thing in things
            for own in entries_of(site, thing)
            if own.path == entry.path and own.thing_id == thing.id
        ]
        return in_one_step(site, makers, f"Set {field_words([entry.path])} of {len(things)} things")
