"""The notes column: particulars, flag notes and line types; folded to a spine where the window is narrow."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QMouseEvent, QMoveEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QApplication, QFrame, QHBoxLayout, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.palette import lights
from survey_app.desktop.panels.evidence_words import parts_of
from survey_app.desktop.panels.flag_marks import FlagCount, count_words
from survey_app.desktop.panels.flag_notes import FlagNotes
from survey_app.desktop.panels.form import FieldRow, FigureRow, heading
from survey_app.desktop.panels.guide_pages import GuidePage
from survey_app.desktop.panels.line_types import LineTypes
from survey_app.desktop.panels.own_keys import keeps
from survey_app.desktop.panels.particulars import Particulars
from survey_app.desktop.panels.scale import px_of
from survey_app.desktop.panels.why import WhyPage

if TYPE_CHECKING:
    from survey_app.assess.record import Severity
    from survey_app.gear.catalogue import Catalogue

__all__ = ["COLUMN_PX", "SPINE_PX", "NotesColumn", "Spine"]

COLUMN_PX, SPINE_PX = 300, 36
_LEGEND_FROM_PX = 600
_FORM_PART = 0.56
_SEVERITIES: tuple[Severity, ...] = ("stop", "warn", "note")


class Spine(QFrame):
    """What is left of the notes column in a narrow window: three shapes with their counts."""

    pressed = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setProperty("part", "page")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFixedWidth(SPINE_PX)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.counts = {severity: FlagCount(severity) for severity in _SEVERITIES}
        box = QVBoxLayout(self)
        box.setContentsMargins(1, 8, 1, 8)
        box.setSpacing(6)
        for one in self.counts.values():
            one.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            box.addWidget(one)
        box.addStretch(1)
        desk.assessed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the counts of the newest assessment."""
        found = self._desk.assessment
        sizes = [found.count(severity) if found is not None else 0 for severity in _SEVERITIES]
        for severity, size in zip(_SEVERITIES, sizes, strict=True):
            self.counts[severity].say(size)
        words = count_words(*sizes)
        self.setAccessibleName(f"notes, folded: {words}")
        self.setToolTip(f"{words}. F6 opens the notes.")

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self.pressed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.pressed.emit()
        else:
            super().keyPressEvent(event)


class _Body(QFrame):
    """The column itself, in its place or over the plan."""

    closed = Signal()
    grown = Signal(int)
    over = False

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("notes")
        self.setAccessibleName("notes")
        self.setProperty("part", "page")
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.grown.emit(event.size().height())

    def event(self, event: QEvent) -> bool:
        return (self.over and keeps(event, (Qt.Key.Key_Escape,))) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if self.over and event.key() == Qt.Key.Key_Escape:
            self.closed.emit()
        else:
            super().keyPressEvent(event)


class NotesColumn(QWidget):
    """The column at the right of the plan.

    `fold(True)` leaves a spine; `turn` (F6) then opens the column over the plan and closes it again. Unfolded, `turn`
    shows and hides it.

    Parameters
    ----------
    desk : Desk
        The open document.
    catalogue : Catalogue
        Gear types that can be chosen.
    """

    laid_over = Signal(int)
    """So much of the plan is covered at its right; 0 where nothing is. [px]"""
    _laid_out = Signal()

    def __init__(self, desk: Desk, catalogue: Catalogue, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._folded = False
        self._put_by = False
        self.spine = Spine(desk)
        self.body = _Body()
        self.particulars = Particulars(desk, catalogue)
        self.flags = FlagNotes(desk, catalogue)
        self.lines = LineTypes()
        self.why = WhyPage(desk)
        self.guide = GuidePage()
        self.pages = QStackedWidget()
        for page in (self._notes_page(), self.why, self.guide):
            self.pages.addWidget(page)
        inner = QVBoxLayout(self.body)
        inner.setContentsMargins(16, 10, 16, 8)
        inner.addWidget(self.pages)
        self._box = QHBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(0)
        self._box.addWidget(self.body)
        self._box.addWidget(self.spine)
        self.spine.hide()
        self.setFixedWidth(COLUMN_PX)
        self.spine.pressed.connect(self.turn)
        self.body.closed.connect(self.turn)
        # in a low window what is found matters more than what the lines mean
        self.body.grown.connect(lambda _height: self._share())
        self.body.grown.connect(lambda height: self.legend.setVisible(height >= px_of(self, _LEGEND_FROM_PX)))
        desk.explained.connect(self.explain)
        self.flags.guide_wanted.connect(self.show_guide)
        self.flags.record_wanted.connect(self.record)
        self.why.back.connect(self.show_notes)
        self.guide.back.connect(self.show_notes)
        lights().changed.connect(self._repaint)

    def _notes_page(self) -> QWidget:
        page = QWidget()
        box = QVBoxLayout(page)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(6)
        self.split = QSplitter(Qt.Orientation.Vertical)
        self.split.setChildrenCollapsible(False)
        self.split.setHandleWidth(9)
        self.split.addWidget(self.particulars)
        self.split.addWidget(self.flags)
        self.split.setSizes([500, 400])
        self._shared_by_hand = False
        self.split.splitterMoved.connect(self._keep_share)
        self.particulars.inside.installEventFilter(self)
        # once what is new in the form has its size
        self._laid_out.connect(self._share, Qt.ConnectionType.QueuedConnection)
        rule = QFrame()
        rule.setProperty("part", "rule")
        self.legend = QWidget()
        legend = QVBoxLayout(self.legend)
        legend.setContentsMargins(0, 0, 0, 0)
        legend.setSpacing(6)
        for widget in (heading("line types"), rule, self.lines):
            legend.addWidget(widget)
        box.addWidget(self.split, 1)
        box.addWidget(self.legend)
        self.particulars.setMinimumHeight(110)
        return page

    def _repaint(self) -> None:
        self.update()
        for one in (self.lines, self.flags.list.viewport(), *self.spine.counts.values()):
            one.update()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._set_width()

    def _set_width(self) -> None:
        self.spine.setFixedWidth(px_of(self, SPINE_PX))
        self.setFixedWidth(px_of(self, SPINE_PX if self._folded else COLUMN_PX))
        self._follow()

    @property
    def is_folded(self) -> bool:
        """Whether only the spine stands in its place."""
        return self._folded

    @property
    def is_open(self) -> bool:
        """Whether the notes can be seen."""
        return not self.body.isHidden()

    def fold(self, folded: bool) -> None:
        """Leave a spine in a narrow window, or put the whole column back."""
        if folded == self._folded:
            return
        self._folded = folded
        self.spine.setVisible(folded)
        self._set_width()
        window = self.window()
        if folded:
            self._box.removeWidget(self.body)
            self.body.setParent(window)
            self.body.over = True
            self.body.hide()
            window.installEventFilter(self)
        else:
            window.removeEventFilter(self)
            self.body.over = False
            self._box.insertWidget(0, self.body)
            self.body.setMinimumSize(0, 0)
            self.body.show()
        self._put_by = False
        self.laid_over.emit(self.covered_px)

    @property
    def covered_px(self) -> int:
        """How much of the plan the open column covers. [px]"""
        return px_of(self, COLUMN_PX) if self._folded and self.is_open else 0

    def turn(self) -> None:
        """Open or close the notes (F6)."""
        if self._folded:
            self._turn_over()
        else:
            self.setVisible(self.isHidden())
        if self.is_open and self.isVisible():
            self.body.setFocus()

    def _turn_over(self) -> None:
        opens = self.body.isHidden()
        if opens:
            self._lay_over()
            self.body.show()
            self.body.raise_()
        else:
            self.body.hide()
            self.spine.setFocus()
        self.laid_over.emit(self.covered_px)

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if self._folded and self.is_open and not event.spontaneous():
            # another page is shown, or the plan alone: what lies over the plan goes with its spine
            self._put_by = True
            self.body.hide()
            self.laid_over.emit(0)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._put_by:
            self._put_by = False
            self._lay_over()
            self.body.show()
            self.body.raise_()
            self.laid_over.emit(self.covered_px)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._follow()

    def moveEvent(self, event: QMoveEvent) -> None:
        super().moveEvent(event)
        self._follow()

    def _follow(self) -> None:
        if self._folded and self.is_open:
            self._lay_over()

    def _lay_over(self) -> None:
        corner = self.mapTo(self.window(), QPoint(0, 0))
        width = px_of(self, COLUMN_PX)
        self.body.setGeometry(corner.x() - width, corner.y(), width, self.height())

    def _keep_share(self) -> None:
        self._shared_by_hand = True

    def _share(self) -> None:
        """Give a short form what it needs and the flag notes the rest, until somebody shares it otherwise."""
        sizes = self.split.sizes()
        whole = sum(sizes)
        form = min(self.particulars.wanted_px, round(_FORM_PART * whole))
        if not self._shared_by_hand and whole > 0 and form != sizes[0]:
            self.split.setSizes([form, whole - form])

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.particulars.inside:
            if event.type() in (QEvent.Type.LayoutRequest, QEvent.Type.Resize):
                self._laid_out.emit()
            return False
        if event.type() == QEvent.Type.Resize:
            self._follow()
        return super().eventFilter(watched, event)

    def open(self) -> None:
        """Make the notes visible."""
        if self.isHidden() or (self._folded and self.body.isHidden()):
            self.turn()

    def explain(self, subject: str, quantity: str) -> None:
        """Show why a number is what it is."""
        if self.why.ask(subject, quantity):
            self.pages.setCurrentWidget(self.why)
            self.open()

    def ask_about_focus(self) -> bool:
        """Ask why the value that has the focus is what it is.

        Returns
        -------
        bool
            Whether a value of the form has the focus.
        """
        widget = QApplication.focusWidget()
        while widget is not None and not isinstance(widget, FieldRow | FigureRow):
            widget = widget.parentWidget()
        if widget is None:
            return False
        widget.ask()
        return True

    def show_guide(self, code: str) -> None:
        """Show the guide's page on a finding."""
        self.guide.show_code(code)
        self.pages.setCurrentWidget(self.guide)
        self.open()

    @property
    def can_record(self) -> bool:
        """Whether one thing is selected of which something can be seen, read or built on site."""
        chosen = self._desk.selection
        return len(chosen) == 1 and bool(parts_of(self._desk.site, self._desk.things[chosen[0]]))

    def record(self, thing_id: str, evidence: str = "") -> None:
        """Open the form in which evidence of a thing is recorded."""
        self.show_notes()
        self.open()
        self.particulars.record(thing_id, evidence)

    def show_notes(self) -> None:
        """Show particulars and flag notes."""
        self.pages.setCurrentIndex(0)
