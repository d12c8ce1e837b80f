"""One kind of evidence of the selected thing: what is recorded, newest first, and the form for one row more."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from pydantic import ValidationError
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.editors import ChoiceEditor, Editor, LineEditor, TextEditor
from survey_app.desktop.panels.entries import Entry
from survey_app.desktop.panels.evidence_words import Line, Part, label_in, line_of, words_of_choice
from survey_app.desktop.panels.form import FieldRow, Fold, description_of
from survey_app.desktop.panels.moments import read_moment, written_moment
from survey_app.desktop.panels.photo_field import PhotoField, thumbnail
from survey_app.desktop.panels.scan_rows import ScanRows
from survey_app.desktop.panels.values import null_words, read_value, true_minus, written_value
from survey_app.desktop.shell.preferences import Preferences
from survey_app.session.moment import now
from survey_app.site.edits import add_evidence
from survey_app.site.record import Record
from survey_app.site.shape import FieldShape, fields_of
from survey_app.site.validation import faults_of

__all__ = ["EvidencePart"]

_SHOWN = 4
_TEXT = 1000
_FOR_GOOD = (
    'What is recorded stays as it is. Answer a wrong row with a new one that has "recorded in error" as its remark.'
)
_NEEDED = {
    "by": "a name is needed: whoever reads it must know whom to ask",
    "leaf": "say it: what is seen past bare trees may be hidden in June",
}


class EvidencePart(Fold):
    """A fold with the rows of one part and the form for a new one, which is made when somebody opens it.

    Parameters
    ----------
    desk : Desk
        The open document.
    part : Part
        What is recorded, of what.
    opened : bool
        Whether it stands open from the start.
    """

    recorded = Signal()
    """A row was recorded."""

    def __init__(self, desk: Desk, part: Part, opened: bool) -> None:
        super().__init__(part.words, opened)
        self.part = part
        self._desk = desk
        self.clock: Callable[[], datetime.datetime] = now
        self.fields: dict[str, FieldRow] = {}
        self.lines: list[QLabel] = []
        self._listed: Any = None
        self._lines_box = QVBoxLayout()
        self._lines_box.setContentsMargins(0, 6, 0, 6)
        self._lines_box.setSpacing(2)
        self.record = QPushButton("Record")
        self.record.setAccessibleName(f"record: {part.words}")
        self.all_rows = QPushButton()
        self.all_rows.setProperty("part", "link")
        self.all_rows.setCheckable(True)
        self.all_rows.hide()
        self.record.clicked.connect(self._record)
        self.all_rows.toggled.connect(self._all_or_some)
        self.turned.connect(self._made)
        self._made(opened)
        self.refresh()

    def _made(self, opened: bool) -> None:
        if not opened or self.fields:
            return
        for name in self.part.fields:
            self.fields[name] = row = self._row(name)
            self.rows.addWidget(row)
        end = QHBoxLayout()
        end.setContentsMargins(0, 4, 0, 4)
        end.addStretch(1)
        end.addWidget(self.record)
        self.rows.addLayout(end)
        self.rows.addWidget(_soft(_FOR_GOOD))
        self.rows.addLayout(self._lines_box)
        self.rows.addWidget(self.all_rows)
        self._listed = None
        self.refresh()

    # -- the form

    def _row(self, name: str) -> FieldRow:
        shape = fields_of(self.part.kind)[name]
        label = label_in(self.part, name)
        entry = Entry(self._subject, name, shape, self._first_value(name, shape), label, first=True)
        editor = self._editor(name, shape)
        row = FieldRow(entry, editor, False, lambda _subject, _path: self._desk.say(description_of(row.entry)))
        editor.say_name(f"{label}, {self.part.words}", description_of(entry))
        if isinstance(editor, ChoiceEditor) and isinstance(editor.inner, QComboBox):
            editor.inner.setPlaceholderText("choose")
        editor.given.connect(partial(self._give, name))
        return row

    @property
    def _subject(self) -> str:
        return next(iter(self.part.fixed.values()))

    @property
    def _feet(self) -> bool:
        return self._desk.site.design.units == "feet"

    def _editor(self, name: str, shape: FieldShape) -> Editor:
        if name == "photo":
            return PhotoField(self._desk)
        if name == "rows":
            return ScanRows()
        if shape.holds == "choice":
            return ChoiceEditor([(one, words_of_choice(one)) for one in shape.choices])
        if shape.holds == "true or false":
            return ChoiceEditor([(True, "yes"), (False, "no")])
        if shape.holds == "date and time":
            return LineEditor(lambda text, _now: read_moment(text, self.clock()), written_moment, "now")
        if shape.bounds.get("max_length", 0) > _TEXT:
            return TextEditor()
        built = self.part.key == "as_built" and name in self.part.any_of
        empty = "as designed" if built else null_words(shape)
        return LineEditor(
            lambda text, _now: read_value(shape, text, feet=self._feet),
            lambda value: written_value(shape, value, feet=self._feet),
            "" if empty == "none" else empty,
        )

    def _first_value(self, name: str, shape: FieldShape) -> Any:
        """What stands in an empty form: the name typed last, and what the record takes by itself."""
        if name == "by":
            return Preferences().author
        return None if shape.required or name in _NEEDED else shape.default

    @property
    def is_begun(self) -> bool:
        """Whether somebody has put in something that is not recorded yet."""
        return any(
            row.editor.is_dirty or row.reason or row.entry.value != self._first_value(name, row.entry.shape)
            for name, row in self.fields.items()
            if name != "by"
        )

    def first_editor(self) -> QWidget:
        """Return the editor of the first field; the fold is opened."""
        self.button.setChecked(True)
        return self.fields[self.part.fields[0]].editor.inner

    def _give(self, name: str, value: Any) -> None:
        row = self.fields[name]
        if fault := self._faults({**self._given(), name: value}).get(name):
            row.refuse(fault)
            return
        row.clear_reason()
        row.show_entry(replace(row.entry, value=value), differs=False, anew=True)

    def _given(self) -> dict[str, Any]:
        """Return what is given, as the record takes it."""
        given = {name: row.entry.value for name, row in self.fields.items()}
        revision = self._desk.site.design.revision
        return {**self.part.fixed, **given, "at": given["at"] or self.clock(), "revision": revision}

    def _faults(self, given: dict[str, Any]) -> dict[str, str]:
        """Return what is wrong, by field."""
        found: dict[str, str] = {}
        try:
            self.part.kind(**given)
        except ValidationError as error:
            for fault in faults_of(error, self.part.kind):
                head = fault.place.partition("[")[0]
                if head in self.fields:
                    found.setdefault(head, _said(fault.sentence))
        return found

    def _missing(self, given: dict[str, Any]) -> dict[str, str]:
        found = {}
        for name in self.part.fields:
            value = given[name]
            needed = name in _NEEDED or fields_of(self.part.kind)[name].required
            if needed and (value is None or value == "" or (isinstance(value, str) and not value.strip())):
                found[name] = _said(_NEEDED.get(name, "choose one"))
        asked = self.part.any_of
        if asked and all(given[name] in (None, "", ()) for name in asked):
            found[asked[0]] = _said(
                "nothing is given: at least one figure is needed" if len(asked) > 1 else "nothing is given"
            )
        return found

    def _record(self) -> None:
        # what stands in a field is given when the field is left, which a click alone does not do on every system
        self.record.setFocus()
        refused = next((row for row in self.fields.values() if row.reason and row.editor.is_dirty), None)
        given = self._given()
        faults = {} if refused is not None else {**self._faults(given), **self._missing(given)}
        for name, row in self.fields.items():
            if name in faults:
                row.refuse(faults[name])
                refused = refused or row
        if refused is not None:
            refused.editor.inner.setFocus()
            return
        self._keep(self.part.kind(**given))

    def _keep(self, row: Record) -> None:
        if not self._desk.perform(lambda site: add_evidence(site, row)):  # type: ignore[arg-type]
            return
        Preferences().author = str(getattr(row, "by"))  # noqa: B009 - every row of evidence has who
        for name, one in self.fields.items():
            one.clear_reason()
            one.show_entry(replace(one.entry, value=self._first_value(name, one.entry.shape)), differs=False, anew=True)
        self.refresh()
        self._desk.say(self._told(row))
        self.recorded.emit()

    def _told(self, row: Any) -> str:
        """Return what the person is told: whether the row counts, and of a reading whether it is right."""
        newest = self.part.noted(self._desk.site.evidence)[0]
        if newest is not row and newest.at > row.at:
            return f"Recorded. What {newest.by} noted at {written_moment(newest.at)} is newer and counts."
        line = self._line(row)
        return f"Recorded. {true_minus(line.verdict or line.what)}"

    # -- what is there

    def _line(self, row: Any) -> Line:
        rows = self._desk.rows
        hop = rows.hops.get(self._subject) if rows is not None else None
        return line_of(self.part, row, feet=self._feet, hop=hop)

    def refresh(self) -> None:
        """List what is recorded, newest first, as it is judged by the newest assessment."""
        noted = self.part.noted(self._desk.site.evidence)
        self.say_words(f"{self.part.words}, {len(noted)} recorded" if noted else self.part.words)
        if not self.fields:
            return
        shown = noted if self.all_rows.isChecked() else noted[:_SHOWN]
        listed = [self._line(row) for row in shown]
        self.all_rows.setVisible(len(noted) > _SHOWN)
        self.all_rows.setText("the newest only" if self.all_rows.isChecked() else f"{len(noted) - _SHOWN} older")
        if listed != self._listed:
            self._listed = listed
            self._show_lines(listed)
        for row in self.fields.values():
            if not row.editor.is_dirty:
                # metres may have become feet
                row.editor.show_value(row.entry.value, several=False)

    def _show_lines(self, listed: list[Line]) -> None:
        for label in self.lines:
            label.hide()
            label.deleteLater()
        self.lines = []
        for line in listed:
            words = "\n".join(true_minus(one) for one in (line.what, line.verdict, line.note) if one)
            for text, kind in ((line.head, "soft"), (words, "said")):
                self.lines.append(label := _words(text, kind))
                self._lines_box.addWidget(label)
                label.show()
            small = thumbnail(self._desk, line.photo)
            if small is not None:
                self.lines.append(label := QLabel())
                label.setPixmap(small)
                label.setAccessibleName(f"photograph, {line.head}")
                self._lines_box.addWidget(label)
                label.show()

    def _all_or_some(self, _every: bool) -> None:
        self.refresh()


def _said(sentence: str) -> str:
    words = sentence[:1].upper() + sentence[1:]
    return words if words.endswith((".", "?")) else f"{words}."


def _soft(words: str) -> QLabel:
    return _words(words, "soft")


def _words(words: str, kind: str) -> QLabel:
    label = QLabel(words)
    label.setProperty("part", kind)
    label.setWordWrap(True)
    label.setIndent(0)
    return label
