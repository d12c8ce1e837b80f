"""A form: names on the left, values on the right; what is refused says why at its field."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from survey_app.desktop.panels.editors import Editor
from survey_app.desktop.panels.entries import Entry
from survey_app.desktop.panels.figures import Figure
from survey_app.desktop.panels.own_keys import keeps
from survey_app.desktop.panels.scale import px_of
from survey_app.desktop.panels.values import null_words, unit_word
from survey_app.errors import InternalError
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

    _reasoned = Signal()

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
        self._wide = is_wide(entry)
        if self._wide:
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
        # once the reason has its lines
        self._reasoned.connect(self._show_reason, Qt.ConnectionType.QueuedConnection)
        editor.let_go.connect(self.clear_reason)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and not self._wide:
            self.editor.setFixedWidth(px_of(self, _VALUE_PX))

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
        self._reasoned.emit()

    def _show_reason(self) -> None:
        """Scroll to where the reason can be read, where the form is scrolled at all."""
        above = self.parentWidget()
        while above is not None and not isinstance(above, QScrollArea):
            above = above.parentWidget()
        if isinstance(above, QScrollArea) and not self._reason.isHidden():
            inside = above.widget()
            layout = inside.layout() if inside is not None else None
            if layout is not None:
                layout.activate()
            above.ensureWidgetVisible(self._reason, 0, 4)

    def clear_reason(self) -> None:
        """Take the reason away."""
        if not self._reason.isHidden():
            self._reason.hide()
            self.editor.mark_refused(False)
            self.editor.inner.setAccessibleDescription(description_of(self.entry))

    def show_entry(self, entry: Entry, differs: bool, *, anew: bool) -> None:
        """Show another value of the same field; what was refused and stands there stays, unless it is `anew`."""
        if entry == self.entry and not anew and not self.reason and not differs:
            if self.editor.is_dirty:
                self.editor.show_value(entry.value, several=False)
            return
        if entry.label != self.entry.label:
            self._name.setText(entry.label)
            self.editor.say_name(entry.label, description_of(entry))
        self.entry = entry
        if self.reason and self.editor.is_dirty and not anew:
            return
        self.clear_reason()
        self.editor.show_value(entry.value, several=differs)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if keeps(event, (Qt.Key.Key_F1,)):
            return True
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and event.key() == Qt.Key.Key_F1:
            self.ask()
            return True
        return super().eventFilter(watched, event)

    def ask(self) -> None:
        """Ask why the value is what it is."""
        self._explain(self.entry.thing_id or "site", self.entry.path)


_WIDE = frozenset({"rows"})


def is_wide(entry: Entry) -> bool:
    """Return whether a value needs the whole width of the form: free words, latitude and longitude, tables."""
    words = entry.shape.bounds.get("max_length", 0) > 1000 and not entry.shape.lists
    return words or entry.path in _WIDE or isinstance(entry.value, GeoPoint | Anchor)


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
        self._look = (False, False)
        self.setProperty("part", "row")
        self._name = QLabel()
        self._name.setProperty("part", "name")
        self._name.setWordWrap(True)
        self._value = QPushButton()
        self._value.setProperty("part", "figure")
        self._value.clicked.connect(self.ask)
        self._value.installEventFilter(self)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 1, 0, 1)
        grid.setHorizontalSpacing(8)
        grid.addWidget(self._name, 0, 0)
        grid.addWidget(self._value, 0, 1, Qt.AlignmentFlag.AlignRight)
        grid.setColumnStretch(0, 1)
        # a part that is not shown yet takes no room, and the row would be squeezed
        for part in (self._name, self._value):
            part.show()
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
        look = (not fresh, figure.strong and fresh)
        if look != self._look:
            self._look = look
            self._value.setProperty("stale", look[0])
            self._value.setProperty("strong", look[1])
            self._value.style().unpolish(self._value)
            self._value.style().polish(self._value)
        self._value.setAccessibleName(f"{figure.label}: {figure.text}{'' if fresh else ', being computed'}")
        self._value.setToolTip(figure.why or "Why this number? Press F1.")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        asks = (Qt.Key.Key_F1, Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if keeps(event, asks):
            return True
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and event.key() in asks:
            self.ask()
            return True
        return super().eventFilter(watched, event)

    def ask(self) -> None:
        """Ask why the figure is what it is."""
        self._explain(self.figure.subject, self.figure.quantity)


class Fold(QWidget):
    """A head that opens and closes what stands under it; `turned` comes when somebody does."""

    turned = Signal(bool)

    def __init__(self, words: str, opened: bool = False) -> None:
        super().__init__()
        self._words = words
        self.button = QPushButton()
        self.button.setProperty("part", "fold")
        self.button.setCheckable(True)
        self.button.setChecked(opened)
        self._body = QWidget(self)
        self.rows = QVBoxLayout(self._body)
        self.rows.setContentsMargins(0, 0, 0, 0)
        self.rows.setSpacing(0)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 4, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.button)
        box.addWidget(self._body)
        self.button.toggled.connect(self._turn)
        self._say(opened)

    def say_words(self, words: str) -> None:
        """Call the head otherwise."""
        self._words = words
        self._say(self.button.isChecked())

    def _turn(self, opened: bool) -> None:
        self.turned.emit(opened)
        self._say(opened)

    def _say(self, opened: bool) -> None:
        self._body.setVisible(opened)
        self.button.setText(f"{self._words}: close" if opened else f"{self._words}: open")
        self.button.setAccessibleName(f"{self._words}, {'open' if opened else 'closed'}")


class Form(QWidget):
    """Rows of fields and figures; `given` comes with a row and its new value.

    What is folded is made when somebody opens it.

    Parameters
    ----------
    entries : sequence of (Entry, bool)
        The fields, and whether the things that they are of differ in them.
    editor_for : callable
        Makes an editor for a field.
    opened : set of str
        Names of folds that stand open; kept up to date.
    """

    given = Signal(object, object)
    asked = Signal(str, str)

    def __init__(
        self,
        entries: Sequence[tuple[Entry, bool]],
        editor_for: Callable[[Entry], Editor],
        opened: set[str],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._entries = tuple(entries)
        self._editor_for = editor_for
        self._opened = opened
        self._rows: dict[int, FieldRow] = {}
        self.figures: list[FigureRow] = []
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        for number, (entry, _) in enumerate(self._entries):
            if entry.first:
                box.addWidget(self._row(number))
        self._figures_box = QVBoxLayout()
        self._figures_box.setSpacing(0)
        box.addLayout(self._figures_box)
        self._more_figures = self._fold(_MORE_FIGURES)
        self._more_figures.hide()
        box.addWidget(self._more_figures)
        self.folds: dict[str, Fold] = {}
        for name in dict.fromkeys(_fold_of(entry) for entry, _ in self._entries if not entry.first):
            self.folds[name] = self._fold(name)
            box.addWidget(self.folds[name])
            if name in opened:
                self._fill(name)

    def _fold(self, name: str) -> Fold:
        fold = Fold(name, name in self._opened)
        fold.turned.connect(partial(self._turned, name))
        return fold

    def _turned(self, name: str, opened: bool) -> None:
        (self._opened.add if opened else self._opened.discard)(name)
        if opened and name in self.folds:
            self._fill(name)

    def _fill(self, name: str) -> None:
        for number, (entry, _) in enumerate(self._entries):
            if not entry.first and _fold_of(entry) == name and number not in self._rows:
                self.folds[name].rows.addWidget(self._row(number))

    def _row(self, number: int) -> FieldRow:
        entry, differs = self._entries[number]
        row = FieldRow(entry, self._editor_for(entry), differs, self.asked.emit)
        row.editor.given.connect(partial(self.given.emit, row))
        self._rows[number] = row
        return row

    @property
    def fields(self) -> list[FieldRow]:
        """Rows that are made, in the order of the fields."""
        return [self._rows[number] for number in sorted(self._rows)]

    def field(self, path: str, thing_id: str | None = None) -> FieldRow:
        """Return the row of a field; its fold is opened."""
        for number, (entry, _) in enumerate(self._entries):
            if entry.path == path and thing_id in (None, entry.thing_id):
                if number not in self._rows:
                    self.folds[_fold_of(entry)].button.setChecked(True)
                return self._rows[number]
        raise InternalError(f"the form has no field '{path}'")

    def show_entries(self, entries: Sequence[tuple[Entry, bool]], *, anew: bool) -> None:
        """Show other values of the same fields; `anew` those of another thing."""
        self._entries = tuple(entries)
        for number, row in self._rows.items():
            entry, differs = self._entries[number]
            row.show_entry(entry, differs, anew=anew)

    def show_figures(self, figures: Sequence[Figure], fresh: bool) -> None:
        """Show computed figures, the folded ones after the others."""
        ordered = [one for one in figures if not one.folded] + [one for one in figures if one.folded]
        if [one.folded for one in ordered] != [row.figure.folded for row in self.figures]:
            for row in self.figures:
                # it may be the sender of what is going on: hidden now, gone when the loop comes round
                row.hide()
                row.deleteLater()
            self.figures = [FigureRow(one, fresh, self.asked.emit) for one in ordered]
            for row in self.figures:
                (self._more_figures.rows if row.figure.folded else self._figures_box).addWidget(row)
                row.show()
        for row, figure in zip(self.figures, ordered, strict=True):
            row.show_figure(figure, fresh)
        self._more_figures.setVisible(any(one.folded for one in ordered))


def _fold_of(entry: Entry) -> str:
    return entry.group or "more"
