"""A form: names on the left, values on the right; what is refused says why at its field."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from survey_app.desktop.panels.editors import Editor
from survey_app.desktop.panels.entries import Entry
from survey_app.desktop.panels.figures import Figure
from survey_app.desktop.panels.values import null_words, unit_word
from survey_app.site.place import Anchor, GeoPoint

__all__ = ["FieldRow", "FigureRow", "Fold", "Form", "heading", "is_wide"]

_VALUE_PX = 136
_MORE_FIGURES = "more figures"


def heading(words: str) -> QLabel:
    """Return the head of a section, in capitals."""
    label = QLabel(words.upper())
    label.setProperty("part", "head")
    return label


class FieldRow(QFrame):
    """One field that can be edited: its name, its editor, and why a value was refused."""

    def __init__(self, entry: Entry, editor: Editor, differs: bool, explain: Callable[[str, str], None]) -> None:
        super().__init__()
        self.entry, self.editor = entry, editor
        self._explain = explain
        self.setProperty("part", "row")
        self._name = QLabel(entry.label)
        self._name.setProperty("part", "name")
        self._name.setWordWrap(True)
        self._name.setBuddy(editor)
        self._reason = QLabel()
        self._reason.setProperty("part", "reason")
        self._reason.setWordWrap(True)
        self._reason.hide()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 1, 0, 1)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(1)
        if is_wide(entry):
            grid.addWidget(self._name, 0, 0, 1, 2)
            grid.addWidget(editor, 1, 0, 1, 2)
        else:
            grid.addWidget(self._name, 0, 0)
            grid.addWidget(editor, 0, 1)
            editor.setFixedWidth(_VALUE_PX)
        grid.addWidget(self._reason, 2, 0, 1, 2)
        grid.setColumnStretch(0, 1)
        editor.say_name(entry.label, description_of(entry))
        editor.show_value(entry.value, several=differs)
        editor.inner.installEventFilter(self)
        editor.refused.connect(self.refuse)
        editor.let_go.connect(self.clear_reason)

    @property
    def reason(self) -> str:
        """Why what stands there was refused; empty where it was not."""
        return self._reason.text() if not self._reason.isHidden() else ""

    def refuse(self, sentence: str) -> None:
        """Say at the field why what stands there is refused; it stays as it was typed."""
        self._reason.setText(sentence)
        self._reason.show()
        self.editor.mark_refused(True)
        self.editor.inner.setAccessibleDescription(f"refused: {sentence}")

    def clear_reason(self) -> None:
        """Take the reason away."""
        if not self._reason.isHidden():
            self._reason.hide()
            self.editor.mark_refused(False)
            self.editor.inner.setAccessibleDescription(description_of(self.entry))

    def show_entry(self, entry: Entry, differs: bool) -> None:
        """Show another value of the same field; what was refused and stands there stays."""
        self.entry = entry
        if self.reason and self.editor.is_dirty:
            return
        self.clear_reason()
        self.editor.show_value(entry.value, several=differs)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and event.key() == Qt.Key.Key_F1:
            self._explain(self.entry.thing_id or "site", self.entry.path)
            return True
        return super().eventFilter(watched, event)


def is_wide(entry: Entry) -> bool:
    """Return whether a value needs the whole width of the form: free words, latitude and longitude."""
    words = entry.shape.bounds.get("max_length", 0) > 1000 and not entry.shape.lists
    return words or isinstance(entry.value, GeoPoint | Anchor)


def description_of(entry: Entry) -> str:
    """Return what a field means, with its unit and range, as one sentence."""
    shape = entry.shape
    low, high = shape.bounds.get("ge"), shape.bounds.get("le", shape.bounds.get("lt"))
    unit = unit_word(shape.unit)
    words = shape.meaning
    if low is not None and high is not None:
        words += f"; {low:g} to {high:g} {unit}".rstrip()
    empty = null_words(shape)
    return f"{words}." if not empty or "=" in shape.meaning else f"{words}; may be empty."


class FigureRow(QFrame):
    """One computed figure; a click, Enter or F1 asks why it is so."""

    def __init__(self, figure: Figure, fresh: bool, explain: Callable[[str, str], None]) -> None:
        super().__init__()
        self._explain = explain
        self.setProperty("part", "row")
        self._name = QLabel()
        self._name.setProperty("part", "name")
        self._name.setWordWrap(True)
        self._value = QPushButton()
        self._value.setProperty("part", "figure")
        self._value.clicked.connect(self._ask)
        self._value.installEventFilter(self)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 1, 0, 1)
        grid.setHorizontalSpacing(8)
        grid.addWidget(self._name, 0, 0)
        grid.addWidget(self._value, 0, 1, Qt.AlignmentFlag.AlignRight)
        grid.setColumnStretch(0, 1)
        self.show_figure(figure, fresh)

    @property
    def text(self) -> str:
        """The value as it is shown."""
        return self._value.text()

    def show_figure(self, figure: Figure, fresh: bool) -> None:
        """Show a figure; in brackets while it is not yet true."""
        self.figure = figure
        self._name.setText(figure.label)
        self._value.setText(figure.text if fresh else f"[{figure.text}]")
        font = self._value.font()
        font.setBold(figure.strong and fresh)
        font.setItalic(not fresh)
        self._value.setFont(font)
        self._value.setProperty("stale", not fresh)
        self._value.style().unpolish(self._value)
        self._value.style().polish(self._value)
        self._value.setAccessibleName(f"{figure.label}: {figure.text}{'' if fresh else ', being computed'}")
        self._value.setToolTip(figure.why or "Why this number? Press F1.")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        asks = (Qt.Key.Key_F1, Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and event.key() in asks:
            self._ask()
            return True
        return super().eventFilter(watched, event)

    def _ask(self) -> None:
        self._explain(self.figure.subject, self.figure.quantity)


class Fold(QWidget):
    """A head that opens and closes what stands under it."""

    def __init__(self, words: str, opened: bool = False) -> None:
        super().__init__()
        self._words = words
        self.button = QPushButton()
        self.button.setProperty("part", "fold")
        self.button.setCheckable(True)
        self.button.setChecked(opened)
        self._body = QWidget()
        self.rows = QVBoxLayout(self._body)
        self.rows.setContentsMargins(0, 0, 0, 0)
        self.rows.setSpacing(0)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 4, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.button)
        box.addWidget(self._body)
        self.button.toggled.connect(self._turn)
        self._turn(opened)

    def _turn(self, opened: bool) -> None:
        self._body.setVisible(opened)
        self.button.setText(f"{self._words}: close" if opened else f"{self._words}: open")
        self.button.setAccessibleName(f"{self._words}, {'open' if opened else 'closed'}")


class Form(QWidget):
    """Rows of fields and figures; `given` comes with a field and its new value."""

    given = Signal(object, object)
    asked = Signal(str, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fields: list[FieldRow] = []
        self.figures: list[FigureRow] = []
        self._opened: set[str] = set()
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(0)
        self._figures_box = QVBoxLayout()
        self._more_figures = Fold(_MORE_FIGURES)

    def field(self, path: str, thing_id: str | None = None) -> FieldRow:
        """Return the row of a field."""
        return next(row for row in self.fields if row.entry.path == path and thing_id in (None, row.entry.thing_id))

    def build(self, entries: Sequence[tuple[Entry, bool]], editor_for: Callable[[Entry], Editor]) -> None:
        """Make the rows anew; folds that stood open stay open."""
        for fold in self.findChildren(Fold):
            (self._opened.add if fold.button.isChecked() else self._opened.discard)(fold.objectName())
        self._clear()
        folds: dict[str, Fold] = {}
        for entry, differs in entries:
            row = FieldRow(entry, editor_for(entry), differs, self.asked.emit)
            row.editor.given.connect(partial(self.given.emit, row))
            self.fields.append(row)
            if entry.first:
                self._box.addWidget(row)
                continue
            name = entry.group or "more"
            if name not in folds:
                folds[name] = Fold(name, name in self._opened)
                folds[name].setObjectName(name)
            folds[name].rows.addWidget(row)
        self._figures_box = QVBoxLayout()
        self._figures_box.setSpacing(0)
        self._box.addLayout(self._figures_box)
        self._more_figures = Fold(_MORE_FIGURES, _MORE_FIGURES in self._opened)
        self._more_figures.setObjectName(_MORE_FIGURES)
        self._more_figures.hide()
        for fold in (self._more_figures, *folds.values()):
            self._box.addWidget(fold)

    def _clear(self) -> None:
        self.fields, self.figures = [], []
        while (item := self._box.takeAt(0)) is not None:
            inner = item.layout()
            while inner is not None and (one := inner.takeAt(0)) is not None:
                _put_away(one.widget())
            _put_away(item.widget())

    def show_entries(self, entries: Sequence[tuple[Entry, bool]]) -> None:
        """Show other values of the same fields."""
        for row, (entry, differs) in zip(self.fields, entries, strict=True):
            row.show_entry(entry, differs)

    def show_figures(self, figures: Sequence[Figure], fresh: bool) -> None:
        """Show computed figures, the folded ones after the others."""
        ordered = [one for one in figures if not one.folded] + [one for one in figures if one.folded]
        if [one.folded for one in ordered] != [row.figure.folded for row in self.figures]:
            for row in self.figures:
                _put_away(row)
            self.figures = [FigureRow(one, fresh, self.asked.emit) for one in ordered]
            for row in self.figures:
                (self._more_figures.rows if row.figure.folded else self._figures_box).addWidget(row)
        for row, figure in zip(self.figures, ordered, strict=True):
            row.show_figure(figure, fresh)
        self._more_figures.setVisible(any(one.folded for one in ordered))


def _put_away(widget: Any) -> None:
    if isinstance(widget, QWidget):
        # it may be the sender of what is going on: hidden now, gone when the loop comes round
        widget.hide()
        widget.setParent(None)
        widget.deleteLater()
