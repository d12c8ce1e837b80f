"""What stands in the window while no site is open: a title sheet on which one is begun, opened or taken up again."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

import survey_app
from survey_app.desktop import palette
from survey_app.desktop.panels.scale import px_of
from survey_app.desktop.strips.new_site_form import NewSiteForm
from survey_app.desktop.strips.row_button import RowButton
from survey_app.desktop.strips.words import head_label, sentence_label, word_button
from survey_app.errors import SurveyError
from survey_app.session.demos import Demo, copy_demo, demos
from survey_app.session.moment import said_moment
from survey_app.session.orphans import Orphan, orphans, recover, set_orphan_aside
from survey_app.session.recent import Recent, forget_site, recent_sites

__all__ = ["StartPage"]

_SHEET_PX = (1120, 660)
_RIM_PX = 28
_INSIDE_PX = 34
_TICK_PX = 40


def _ask_folder(parent: QWidget, title: str) -> Path | None:
    path = QFileDialog.getExistingDirectory(parent, title)
    return Path(path) if path else None


class StartPage(QWidget):
    """Begin, open, take up again.

    Attributes
    ----------
    ask_folder : callable
        Asks a person for a folder: (parent, title) -> Path or None.
    """

    begun = Signal(object)
    """A new site."""
    opened = Signal(object)
    """Path of a site to open."""
    recovered = Signal(object)
    """A document made of unsaved work."""
    browsed = Signal()
    """A person wants to look for a site to open."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.ask_folder: Callable[[QWidget, str], Path | None] = _ask_folder
        self.setAccessibleName("Start")
        self.setAcceptDrops(True)
        self.form = NewSiteForm()
        self.form.begun.connect(self.begun)
        self.open_button = word_button("Open a site …", "Look for a site to open")
        self.open_button.clicked.connect(self.browsed)
        self.trouble = sentence_label(part="reason")
        self._lists = QWidget()
        self._rows = QVBoxLayout(self._lists)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setSpacing(0)
        self._lay_out()
        palette.lights().changed.connect(self.update)
        # who comes here types the name of a site
        self.setFocusProxy(self.form.name)
        self.refresh()

    def _lay_out(self) -> None:
        title = QLabel("SITE SURVEY")
        title.setProperty("part", "title")
        under = sentence_label("cameras brought home over short radio hops")
        left = QVBoxLayout()
        left.setSpacing(6)
        for widget in (title, under):
            left.addWidget(widget)
        left.addSpacing(18)
        left.addWidget(head_label("BEGIN A SITE"))
        left.addWidget(self.form)
        left.addSpacing(16)
        left.addWidget(head_label("OPEN ONE"))
        left.addWidget(self.open_button, 0, Qt.AlignmentFlag.AlignLeft)
        left.addWidget(sentence_label("Or drop a site's folder, or its site.json, on this sheet.", "soft"))
        left.addWidget(self.trouble)
        left.addStretch(1)
        left.addWidget(sentence_label(f"Program {survey_app.__version__}. Works without a network.", "soft"))
        scroll = QScrollArea()
        scroll.setWidget(self._lists)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setAccessibleName("Sites")
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        # the sheet's own paper shows through
        scroll.setStyleSheet("QScrollArea, QScrollArea > QWidget > QWidget { background: transparent; }")
        self._sheet = QWidget(self)
        self._columns = sheet = QHBoxLayout(self._sheet)
        sheet.addLayout(left, 5)
        sheet.addWidget(scroll, 6)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(_RIM_PX, _RIM_PX, _RIM_PX, _RIM_PX)
        outer.addWidget(self._sheet, 0, Qt.AlignmentFlag.AlignCenter)

    def refresh(self) -> None:
        """Read again what was open last and what waits to be recovered."""
        while self._rows.count():
            item = self._rows.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                # gone when the loop comes round: until then it would show through the new rows
                widget.hide()
                widget.deleteLater()
        waiting, latest = orphans(), recent_sites()
        if waiting:
            self._head("NEVER SAVED")
            for orphan in waiting:
                self._add_orphan(orphan)
        self._head("OPEN LAST")
        for recent in latest:
            self._add_recent(recent)
        if not latest:
            self._rows.addWidget(sentence_label("None yet.", "soft"))
        self._head("DEMONSTRATIONS, OF OUR OWN INVENTION")
        for demo in demos():
            row = RowButton(demo.name.capitalize(), demo.sentence)
            row.clicked.connect(partial(self._take_demo, demo))
            self._rows.addWidget(row)
        self._rows.addStretch(1)

    def _head(self, words: str) -> None:
        head = head_label(words)
        if self._rows.count():
            head.setContentsMargins(0, px_of(self, 14), 0, 0)
        self._rows.addWidget(head)

    def rows(self) -> list[RowButton]:
        """Return the rows from top to bottom."""
        items = (self._rows.itemAt(n) for n in range(self._rows.count()))
        return [widget for item in items if item is not None and isinstance(widget := item.widget(), RowButton)]

    def _add_orphan(self, orphan: Orphan) -> None:
        row = RowButton(f"Recover {orphan.name}", f"kept {said_moment(orphan.at)}, last step: {orphan.step or 'none'}")
        row.clicked.connect(partial(self._recover, orphan))
        row.forgotten.connect(partial(self._set_aside, orphan))
        self._rows.addWidget(row)
        aside = word_button("Set aside", f"Set the unsaved work on {orphan.name} aside")
        aside.clicked.connect(partial(self._set_aside, orphan))
        self._rows.addWidget(aside, 0, Qt.AlignmentFlag.AlignLeft)

    def _add_recent(self, recent: Recent) -> None:
        where = str(recent.path) if recent.is_there else f"not there now: {recent.path}"
        row = RowButton(recent.name, where, soft=not recent.is_there)
        row.clicked.connect(partial(self._open_recent, recent))
        row.forgotten.connect(partial(self._forget, recent))
        self._rows.addWidget(row)

    # -- what is done

    def say(self, sentence: str) -> None:
        """Say one sentence on the sheet; an empty one takes it away."""
        self.trouble.setText(sentence)

    def _told(self, act: Callable[[], object]) -> object:
        """Do something; a refusal is said on the sheet."""
        self.say("")
        try:
            return act()
        except SurveyError as error:
            self.say(error.sentence())
            return None

    def _open_recent(self, recent: Recent) -> None:
        if recent.is_there:
            self.say("")
            self.opened.emit(recent.path)
        else:
            self.say(f"{recent.path} is not there now. Delete takes it off the list.")

    def _forget(self, recent: Recent) -> None:
        forget_site(recent.path)
        self.refresh()

    def _recover(self, orphan: Orphan) -> None:
        document = self._told(lambda: recover(orphan))
        if document is not None:
            self.recovered.emit(document)
        else:
            self.refresh()

    def _set_aside(self, orphan: Orphan) -> None:
        self._told(lambda: set_orphan_aside(orphan))
        self.refresh()

    def _take_demo(self, demo: Demo) -> None:
        parent = self.ask_folder(self, f"Where the copy of {demo.name} goes")
        if parent is None:
            return
        file = self._told(lambda: copy_demo(demo, parent))
        if file is not None:
            self.opened.emit(file)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take one file or folder."""
        if len(event.mimeData().urls()) == 1 and event.mimeData().urls()[0].isLocalFile():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open what was dropped."""
        event.acceptProposedAction()
        self.opened.emit(Path(event.mimeData().urls()[0].toLocalFile()))

    # -- how it is drawn

    def _fit(self) -> None:
        width = min(self.width() - 2 * _RIM_PX, px_of(self, _SHEET_PX[0]))
        height = min(self.height() - 2 * _RIM_PX, px_of(self, _SHEET_PX[1]))
        inside = px_of(self, _INSIDE_PX)
        self._columns.setContentsMargins(inside, inside, inside, inside)
        self._columns.setSpacing(2 * inside)
        self._sheet.setFixedSize(max(width, 400), max(height, 300))

    def changeEvent(self, event: QEvent) -> None:
        """Grow with the letters."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def resizeEvent(self, event: object) -> None:
        """Keep the sheet inside the window."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        self._fit()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the sheet with its double neatline on the desk."""
        inks = palette.current()
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), inks.colour("desk"))
            sheet = QRectF(self._sheet.geometry())
            painter.fillRect(sheet, inks.colour("paper"))
            inner = sheet.adjusted(14.0, 14.0, -14.0, -14.0)
            painter.setPen(QPen(inks.colour("ink"), 2.0))
            painter.drawRect(inner)
            painter.setPen(QPen(inks.colour("ink"), 0.8))
            painter.drawRect(inner.adjusted(-6.0, -6.0, 6.0, 6.0))
            for x in range(round(inner.left()) + _TICK_PX, round(inner.right()), _TICK_PX):
                painter.drawLine(QPointF(x, inner.top()), QPointF(x, inner.top() - 6.0))
                painter.drawLine(QPointF(x, inner.bottom()), QPointF(x, inner.bottom() + 6.0))
            for y in range(round(inner.top()) + _TICK_PX, round(inner.bottom()), _TICK_PX):
                painter.drawLine(QPointF(inner.left(), y), QPointF(inner.left() - 6.0, y))
                painter.drawLine(QPointF(inner.right(), y), QPointF(inner.right() + 6.0, y))
            middle = inner.left() + 0.47 * inner.width()
            painter.setPen(QPen(inks.colour("ink 3"), 1.0))
            painter.drawLine(round(middle), round(inner.top()), round(middle), round(inner.bottom()))
