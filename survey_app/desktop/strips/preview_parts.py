"""Bar, column and foot of the sheet preview: what is pressed, chosen and read there."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QSignalBlocker, QSize, Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListView,
    QListWidget,
    QListWidgetItem,
    QProgressBar,
    QPushButton,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from survey_app.desktop import letters
from survey_app.desktop.panels.scale import px_of
from survey_app.desktop.strips.sheet_document import SheetDocument
from survey_app.desktop.strips.words import head_label, word_button

__all__ = ["PreviewBar", "PreviewColumn", "PreviewFoot"]

_PX_PER_MM_TRUE = 4.0
_COLUMN_PX = 176


class PreviewBar(QWidget):
    """Pages, sizes, and where the sheet goes."""

    def __init__(self) -> None:
        super().__init__()
        self.before = word_button("Before", "Page before")
        self.after = word_button("Next", "Next page")
        self.number = QSpinBox()
        self.number.setAccessibleName("Page number")
        self.number.setKeyboardTracking(False)
        self.number.setFont(letters.font(letters.DATA_PX))
        self.count = QLabel()
        self.whole = word_button("Whole page", "Show the whole page", checkable=True)
        self.wide = word_button("Width", "Fit to the width", checkable=True)
        self.smaller = word_button("\N{MINUS SIGN}", "Smaller")
        self.larger = word_button("+", "Larger")
        self.percent = QLabel()
        self.print = word_button("Print …", "Print this document, Ctrl+Shift+P")
        self.save = word_button("Save as PDF …", "Save this document as PDF")
        self.write_set = word_button("Write the set", "Write the whole set into the site's folder")
        self.back = word_button("Back to the plan", "Back to the plan, Esc")
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 6, 12, 6)
        layout.setSpacing(6)
        for group in (
            (self.before, self.number, self.count, self.after),
            (self.whole, self.wide, self.smaller, self.percent, self.larger),
            (self.print, self.save, self.write_set),
        ):
            for widget in group:
                layout.addWidget(widget)
            layout.addSpacing(18)
        layout.addStretch(1)
        layout.addWidget(self.back)
        self._on_paper: tuple[QPushButton, ...] = (self.print, self.save, self.before, self.after)
        self.set_pages(0)

    def set_pages(self, count: int) -> None:
        """Say how many pages there are."""
        with QSignalBlocker(self.number):
            self.number.setRange(1, max(count, 1))
        self.number.setEnabled(count > 0)
        self.count.setText(f"of {count}" if count else "of none yet")
        for button in self._on_paper:
            button.setEnabled(count > 0)

    def show_page(self, page: int) -> None:
        """Say which page is shown, from 0."""
        with QSignalBlocker(self.number):
            self.number.setValue(page + 1)
        self.before.setEnabled(page > 0)
        self.after.setEnabled(page + 1 < self.number.maximum())

    def show_fit(self, fit: str, px_per_mm: float) -> None:
        """Say how large the page is shown; 100 % is a millimetre as wide as on the plan."""
        self.whole.setChecked(fit == "page")
        self.wide.setChecked(fit == "width")
        self.percent.setText(f"{100.0 * px_per_mm / _PX_PER_MM_TRUE:.0f} %")


class PreviewColumn(QWidget):
    """The documents, and the pages of the one that is shown."""

    def __init__(self, documents: Sequence[SheetDocument]) -> None:
        super().__init__()
        self.documents = QListWidget()
        self.documents.setAccessibleName("Documents")
        self.documents.addItems([one.title for one in documents])
        self.documents.setFont(letters.font(letters.DATA_PX))
        self.documents.setFrameShape(QListWidget.Shape.NoFrame)
        self.thumbs = QListWidget()
        self.thumbs.setAccessibleName("Pages")
        self.thumbs.setFont(letters.font(letters.NOTE_PX))
        self.thumbs.setFrameShape(QListWidget.Shape.NoFrame)
        self.thumbs.setFlow(QListView.Flow.TopToBottom)
        self.thumbs.setSpacing(2)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 4, 0, 8)
        layout.setSpacing(4)
        layout.addWidget(head_label("SHEETS"))
        layout.addWidget(self.documents)
        layout.addWidget(head_label("PAGES"))
        layout.addWidget(self.thumbs, 1)
        self._fit()

    def _fit(self) -> None:
        self.setFixedWidth(px_of(self, _COLUMN_PX))
        self.documents.setFixedHeight(px_of(self, self.documents.count() * 20 + 8))
        self.thumbs.setIconSize(QSize(px_of(self, 96), px_of(self, 96)))

    def changeEvent(self, event: QEvent) -> None:
        """Grow with the letters."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def take(self, row: int) -> None:
        """Mark the document that is shown."""
        with QSignalBlocker(self.documents):
            self.documents.setCurrentRow(row)

    def set_pages(self, count: int) -> None:
        """Make room for so many pages."""
        with QSignalBlocker(self.thumbs):
            self.thumbs.clear()
            for page in range(count):
                item = QListWidgetItem(str(page + 1))
                item.setTextAlignment(Qt.AlignmentFlag.AlignVCenter)
                item.setData(Qt.ItemDataRole.AccessibleTextRole, f"Page {page + 1} of {count}")
                item.setSizeHint(QSize(0, px_of(self, 108)))
                self.thumbs.addItem(item)

    def show_page(self, page: int) -> None:
        """Mark the page that is shown, from 0."""
        with QSignalBlocker(self.thumbs):
            self.thumbs.setCurrentRow(page)


class PreviewFoot(QWidget):
    """One sentence; while work is under way how far it is, and a way to call it off."""

    def __init__(self) -> None:
        super().__init__()
        self.sentence = QLabel()
        self.sentence.setFont(letters.font(letters.NAME_PX))
        self.sentence.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.bar = QProgressBar()
        self.bar.setAccessibleName("How far the sheets are")
        self.bar.setFixedSize(180, 14)
        self.bar.setTextVisible(False)
        self.cancel = word_button("Cancel", "Call off what is being made")
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 3, 12, 3)
        layout.setSpacing(10)
        layout.addWidget(self.sentence, 1)
        layout.addWidget(self.bar)
        layout.addWidget(self.cancel)
        self.setFixedHeight(34)
        self.say("")

    @property
    def is_busy(self) -> bool:
        """Whether work is under way."""
        return not self.cancel.isHidden()

    def begin(self, sentence: str) -> None:
        """Say what is being made."""
        self.sentence.setText(sentence)
        self.bar.setRange(0, 0)
        self.bar.show()
        self.cancel.show()

    def advance(self, done: int, whole: int) -> None:
        """Say how far it is."""
        self.bar.setRange(0, whole)
        self.bar.setValue(done)

    def say(self, sentence: str) -> None:
        """Say how it ended; nothing is under way."""
        self.sentence.setText(sentence)
        self.bar.hide()
        self.cancel.hide()
