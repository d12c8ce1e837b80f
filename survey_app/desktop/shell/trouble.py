"""The last door: an error that nobody foresaw is told in one dialog, and the window lives on."""

from __future__ import annotations

import sys
import threading
import traceback
from collections.abc import Callable
from types import TracebackType

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from survey_app.errors import SurveyError
from survey_app.session.report import keep_report

__all__ = ["Trouble", "TroubleDialog"]


class TroubleDialog(QDialog):
    """What happened, that the site is safe, and a button that copies the report."""

    def __init__(self, sentence: str, safe: str, report: str, where: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Something went wrong")
        self.setModal(False)
        self.report = report
        layout = QVBoxLayout(self)
        layout.setContentsMargins(20, 18, 20, 16)
        layout.setSpacing(12)
        for text, name in ((sentence, "what happened"), (safe, "the site"), (where, "the report")):
            label = QLabel(text)
            label.setWordWrap(True)
            label.setAccessibleName(name)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            layout.addWidget(label)
        row = QHBoxLayout()
        row.addStretch(1)
        self.copy = QPushButton("Copy the report")
        self.copy.clicked.connect(self._copy)
        self.go_on = QPushButton("Go on")
        self.go_on.setDefault(True)
        self.go_on.clicked.connect(self.accept)
        row.addWidget(self.copy)
        row.addWidget(self.go_on)
        layout.addLayout(row)
        self.setMinimumWidth(460)
        self.go_on.setFocus()

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(self.report)
        self.copy.setText("Copied")


class Trouble(QObject):
    """Catches what no other door caught, keeps a report, keeps the site, and tells it once.

    Parameters
    ----------
    keep : callable
        Writes the recovery of the open document and returns a sentence on where the work is.
    """

    _happened = Signal(object)

    def __init__(self, keep: Callable[[], str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._keep = keep
        self._window = parent
        self.dialog: TroubleDialog | None = None
        self.count = 0
        self._before: tuple[object, object] | None = None
        self._happened.connect(self.tell, Qt.ConnectionType.QueuedConnection)

    def install(self) -> None:
        """Be the last door of this process."""
        self._before = (sys.excepthook, threading.excepthook)
        sys.excepthook = self._hook
        threading.excepthook = self._thread_hook

    def remove(self) -> None:
        """Give the door back."""
        if self._before is not None:
            sys.excepthook, threading.excepthook = self._before  # type: ignore[assignment]
            self._before = None

    def _hook(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, error, trace)
            return
        self._happened.emit(error.with_traceback(trace))

    def _thread_hook(self, event: threading.ExceptHookArgs) -> None:
        if event.exc_value is not None:
            self._happened.emit(event.exc_value.with_traceback(event.exc_traceback))

    def tell(self, error: BaseException) -> None:
        """Show what happened; while it is shown, more of it is only counted."""
        self.count += 1
        if self.dialog is not None and self.dialog.isVisible():
            return
        try:
            safe = self._keep()
        except Exception as second:  # even this must not end the window
            safe = f"The site could not be kept ({type(second).__name__}); save it under another name now."
        path = keep_report(error, sys.argv)
        report = "".join(traceback.format_exception(error))
        if isinstance(error, SurveyError):
            sentence = error.sentence()
        else:
            sentence = (
                f"The program met an error of its own ({type(error).__name__}). The last step may not have happened."
            )
        where = f"A report lies in {path}." if path else "No folder would take a report; copy it from here."
        self.dialog = TroubleDialog(sentence, safe, report, where, self._window)
        self.dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
        self.dialog.show()
