"""Editors of one value each: a line, a list of choices, a list to search, a tick, several lines."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPaintEvent, QWheelEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QCompleter,
    QHBoxLayout,
    QLineEdit,
    QPlainTextEdit,
    QSizePolicy,
    QStyle,
    QStyleOptionComboBox,
    QStylePainter,
    QWidget,
)

from survey_app.desktop.panels.own_keys import keeps
from survey_app.errors import SurveyError, UsageError

__all__ = ["ChoiceEditor", "Editor", "LineEditor", "SearchEditor", "TextEditor", "TickEditor", "plain_reason"]

SEVERAL = "several"
_LINES = 3
_WIDEST = 420


class Editor(QWidget):
    """The editor of one value.

    `given` comes with a new value when somebody has set one, `refused` with the sentence why one cannot be read;
    `let_go` when what was typed was taken back.
    """

    given = Signal(object)
    refused = Signal(str)
    let_go = Signal()

    def __init__(self, inner: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.inner = inner
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(inner)
        self.setFocusProxy(inner)

    @property
    def is_dirty(self) -> bool:
        """Whether something stands there that the site does not have."""
        return False

    def show_value(self, value: Any, *, several: bool) -> None:
        """Show the site's value; `several` where the things differ."""
        raise NotImplementedError

    def say_name(self, name: str, description: str) -> None:
        """Say what the editor is for, to those who do not see it."""
        self.inner.setAccessibleName(name)
        self.inner.setAccessibleDescription(description)
        self.inner.setToolTip(description)

    def mark_refused(self, refused: bool) -> None:
        """Mark that what stands there was refused."""
        self.inner.setProperty("refused", refused)
        self.inner.style().unpolish(self.inner)
        self.inner.style().polish(self.inner)


class _Line(QLineEdit):
    """A line that gives what was typed with Enter or when it loses the focus; Esc takes it back."""

    done = Signal()
    back = Signal()

    def event(self, event: QEvent) -> bool:
        own = (Qt.Key.Key_Return, Qt.Key.Key_Enter, *((Qt.Key.Key_Escape,) if self.isModified() else ()))
        return keeps(event, own) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.done.emit()
        elif event.key() == Qt.Key.Key_Escape and self.isModified():
            self.back.emit()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.done.emit()


class LineEditor(Editor):
    """One line of text that is read as a value.

    Parameters
    ----------
    read : callable
        Turns what was typed, and the value that stood there, into a value, or raises a SurveyError.
    write : callable
        Turns a value into text.
    empty_words : str
        What an empty line stands for.
    """

    def __init__(
        self,
        read: Callable[[str, Any], Any],
        write: Callable[[Any], str],
        empty_words: str = "",
        parent: QWidget | None = None,
    ) -> None:
        self._line = _Line()
        super().__init__(self._line, parent)
        self._read, self._write, self._empty_words = read, write, empty_words
        self._shown = ""
        self._value: Any = None
        self._line.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._line.done.connect(self._give)
        self._line.back.connect(self._take_back)

    @property
    def is_dirty(self) -> bool:
        return self._line.text() != self._shown

    @property
    def text(self) -> str:
        """What stands in the line."""
        return self._line.text()

    def show_value(self, value: Any, *, several: bool) -> None:
        self._value = value
        self._shown = "" if several else self._write(value)
        self._line.setPlaceholderText(SEVERAL if several else self._empty_words)
        self._line.setText(self._shown)
        # the beginning says more than the end where a name is longer than its field
        self._line.setCursorPosition(0)

    def _give(self) -> None:
        if not self.is_dirty:
            return
        try:
            value = self._read(self._line.text(), self._value)
        except SurveyError as error:
            self.refused.emit(plain_reason(error))
            return
        self.given.emit(value)

    def _take_back(self) -> None:
        self._line.setText(self._shown)
        self.let_go.emit()


class TextEditor(Editor):
    """Several lines of free words; given when the focus leaves, or with Ctrl+Enter."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self._edit = QPlainTextEdit()
        super().__init__(self._edit, parent)
        self._shown = ""
        self._edit.setTabChangesFocus(True)
        self._edit.setFixedHeight(self._edit.fontMetrics().lineSpacing() * _LINES + 12)
        self._edit.installEventFilter(self)

    @property
    def is_dirty(self) -> bool:
        return self._edit.toPlainText() != self._shown

    def show_value(self, value: Any, *, several: bool) -> None:
        self._shown = "" if several else str(value or "")
        self._edit.setPlaceholderText(SEVERAL if several else "")
        self._edit.setPlainText(self._shown)

    def eventFilter(self, watched: Any, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusOut:
            self._give()
        elif isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.key() == Qt.Key.Key_Escape and self.is_dirty:
                self._edit.setPlainText(self._shown)
                self.let_go.emit()
                return True
            ctrl = event.modifiers() & Qt.KeyboardModifier.ControlModifier
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and ctrl:
                self._give()
                return True
        return super().eventFilter(watched, event)

    def _give(self) -> None:
        if self.is_dirty:
            self.given.emit(self._edit.toPlainText())


class _Combo(QComboBox):
    """A list of choices that the wheel moves only while it has the focus: a form is scrolled over it."""

    came = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setMinimumContentsLength(4)

    def paintEvent(self, _event: QPaintEvent) -> None:
        # values stand at the right, as in the lines above and below
        painter = QStylePainter(self)
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        if self.isEditable():
            return
        area = self.style().subControlRect(
            QStyle.ComplexControl.CC_ComboBox, option, QStyle.SubControl.SC_ComboBoxEditField, self
        )
        words = option.currentText if self.currentIndex() >= 0 else self.placeholderText()
        shown = self.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, area.width())
        role = option.palette.ColorRole.Text if self.currentIndex() >= 0 else option.palette.ColorRole.PlaceholderText
        painter.setPen(option.palette.color(role))
        painter.drawText(area, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, shown)

    def focusInEvent(self, event: QFocusEvent) -> None:
        self.came.emit()
        super().focusInEvent(event)

    def showPopup(self) -> None:
        self.came.emit()
        self.view().setTextElideMode(Qt.TextElideMode.ElideRight)
        widest = self.view().sizeHintForColumn(0) + 24
        self.view().setMinimumWidth(max(self.width(), min(widest, _WIDEST)))
        super().showPopup()

    def wheelEvent(self, event: QWheelEvent) -> None:
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()


class ChoiceEditor(Editor):
    """One of a few values.

    Parameters
    ----------
    choices : sequence of (value, words)
        What can be chosen, in order.
    """

    def __init__(self, choices: Sequence[tuple[Any, str]], parent: QWidget | None = None) -> None:
        self._combo = _Combo()
        super().__init__(self._combo, parent)
        self._values = [value for value, _ in choices]
        for _, words in choices:
            self._combo.addItem(words)
        self._combo.setPlaceholderText(SEVERAL)
        self._combo.activated.connect(self._give)

    @property
    def choices(self) -> list[Any]:
        """What can be chosen."""
        return list(self._values)

    def show_value(self, value: Any, *, several: bool) -> None:
        number = -1 if several else next((n for n, one in enumerate(self._values) if _same(one, value)), -1)
        self._combo.setCurrentIndex(number)

    def _give(self, number: int) -> None:
        self.given.emit(self._values[number])


def _same(one: Any, other: Any) -> bool:
    return type(one) is type(other) and one == other


class SearchEditor(Editor):
    """One of many named things, found by typing a part of its name.

    Parameters
    ----------
    choices : callable
        Returns what can be chosen now, in order, each as value and words; asked when somebody comes to the field.
    what : str
        What one of them is, with its article, for the sentence that refuses: `a mount`.
    """

    def __init__(
        self, choices: Callable[[], Sequence[tuple[Any, str]]], what: str, parent: QWidget | None = None
    ) -> None:
        self._combo = _Combo()
        super().__init__(self._combo, parent)
        self._choices = choices
        self._listed: list[tuple[Any, str]] = []
        self._completer: QCompleter | None = None
        self._what = what
        self._shown = ""
        self._combo.setEditable(True)
        self._combo.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        line = _Line(self._combo)
        line.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._combo.setLineEdit(line)
        self._combo.came.connect(self._fill)
        self._combo.activated.connect(self._give_number)
        line.done.connect(self._give_text)
        line.back.connect(self._take_back)

    def _fill(self) -> None:
        """List what can be chosen now; the text in the field stays."""
        listed = list(self._choices())
        if listed == self._listed:
            return
        self._listed = listed
        text = self._combo.currentText()
        self._combo.clear()
        words = [one for _, one in listed]
        self._combo.addItems(words)
        completer = QCompleter(words, self._combo)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.activated.connect(self._give_text)
        self._combo.setCompleter(completer)
        # the line lets go of the one before, and nobody else would ever remove it
        if self._completer is not None:
            self._completer.deleteLater()
        self._completer = completer
        self._combo.setCurrentIndex(next((n for n, one in enumerate(words) if _short(one) == text), -1))
        self._combo.setEditText(text)

    @property
    def is_dirty(self) -> bool:
        return self._combo.currentText() != self._shown

    def say_name(self, name: str, description: str) -> None:
        super().say_name(name, description)
        line = self._combo.lineEdit()
        if line is not None:
            line.setAccessibleName(name)
            line.setAccessibleDescription(description)

    def show_value(self, value: Any, *, several: bool) -> None:
        choices = self._choices() if not several else ()
        self._shown = next((_short(words) for one, words in choices if one == value), str(value or ""))
        if several:
            self._shown = ""
        self._combo.setEditText(self._shown)
        line = self._combo.lineEdit()
        if line is not None:
            line.setPlaceholderText(SEVERAL if several else "")
            line.setCursorPosition(0)
            line.setModified(False)

    def _give_number(self, number: int) -> None:
        self.given.emit(self._listed[number][0])

    def _give_text(self, _: Any = None) -> None:
        text = self._combo.currentText()
        if text == self._shown:
            return
        try:
            value = self._find(text)
        except SurveyError as error:
            self.refused.emit(plain_reason(error))
            return
        self.given.emit(value)

    def _find(self, text: str) -> Any:
        wanted = text.strip().casefold()
        for value, words in self._choices():
            names = (words, _short(words)) if value is None else (str(value), words, _short(words))
            if wanted in (name.casefold() for name in names):
                return value
        near = [value for value, words in self._choices() if wanted and wanted in words.casefold()]
        if len(near) == 1:
            return near[0]
        why = f"{len(near)} have it in their names" if near else f"no such {self._what.partition(' ')[2]} is known"
        shown = text.strip()[:40]
        raise UsageError(
            f"'{shown}': {why}, {self._what} is needed" if shown else f"nothing is given, {self._what} is needed"
        )

    def _take_back(self) -> None:
        self._combo.setEditText(self._shown)
        self.let_go.emit()


def _short(words: str) -> str:
    """Return the name out of a name with what it is."""
    return words.partition(", ")[0]


class TickEditor(Editor):
    """Yes or no."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self._tick = QCheckBox()
        super().__init__(self._tick, parent)
        layout = self.layout()
        if layout is not None:
            layout.setAlignment(self._tick, Qt.AlignmentFlag.AlignRight)
        self._tick.clicked.connect(self._give)

    def show_value(self, value: Any, *, several: bool) -> None:
        self._tick.setTristate(several)
        self._tick.setCheckState(
            Qt.CheckState.PartiallyChecked if several else Qt.CheckState.Checked if value else Qt.CheckState.Unchecked
        )

    def _give(self) -> None:
        self._tick.setTristate(False)
        self.given.emit(self._tick.isChecked())


def plain_reason(error: SurveyError) -> str:
    """Return why a value is refused, as it stands at its field: one sentence without the place."""
    words = error.what
    if error.remedy and error.remedy != "the site is unchanged":
        words = f"{words}; {error.remedy}"
    words = words[:1].upper() + words[1:]
    return words if words.endswith(("?", ".")) else f"{words}."
