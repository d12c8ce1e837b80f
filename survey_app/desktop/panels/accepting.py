"""What can be done about one finding: apply a cure, accept it with a reason and a name, read the guide."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QLineEdit, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.changing import made, with_gear
from survey_app.desktop.panels.editors import plain_reason
from survey_app.desktop.panels.values import true_minus
from survey_app.desktop.shell.preferences import Preferences
from survey_app.errors import SurveyError, UsageError
from survey_app.site.edits import accept_finding, perform, withdraw_acceptance
from survey_app.site.edits.edit import Edit
from survey_app.site.site import AcceptedFinding, Site

if TYPE_CHECKING:
    from survey_app.assess.record import Cure, Finding
    from survey_app.gear.catalogue import Catalogue

__all__ = ["FindingCard", "WrapButton", "apply_cure"]

_SIDE_PX, _TOP_PX = 8, 5
_WRAP = int(Qt.TextFlag.TextWordWrap)
_RECORD_WORDS = {"sight": "Record what was seen along it", "reading": "Record a reading"}
NOT_ACCEPTABLE = "It is illegal or dangerous: it cannot be accepted, only cured."


class WrapButton(QPushButton):
    """A button whose words may take several lines."""

    def __init__(self, words: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.words = words
        """What stands on it."""
        self.setAccessibleName(words)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def lines_px(self, width_px: int) -> int:
        """Return how high the words are in a button of a width. [px]"""
        box = QRect(0, 0, max(40, width_px - 2 * _SIDE_PX), 10000)
        return self.fontMetrics().boundingRect(box, _WRAP, self.words).height()

    def sizeHint(self) -> QSize:
        width = max(self.width(), 120)
        return QSize(width, self.lines_px(width) + 2 * _TOP_PX)

    def minimumSizeHint(self) -> QSize:
        return QSize(120, self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.setFixedHeight(self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setPen(self.palette().color(QPalette.ColorRole.ButtonText))
        painter.drawText(self.rect().adjusted(_SIDE_PX, _TOP_PX, -_SIDE_PX, -_TOP_PX), _WRAP, self.words)
        painter.end()


def apply_cure(site: Site, cure: Cure, catalogue: Catalogue) -> Edit:
    """Return the edit that a cure asks for; a gear type that the site does not carry yet comes along.

    Raises
    ------
    SurveyError
        The edit refuses.
    """
    arguments = {argument.name: argument.value for argument in cure.arguments}
    start = site
    for value in arguments.values():
        if isinstance(value, str):
            start = with_gear(start, value, catalogue)
    edit = perform(start, cure.edit or "", arguments)
    return edit if start is site else edit._replace(before=site)


class FindingCard(QFrame):
    """The actions for the finding at which the list stands."""

    guide_wanted = Signal(str)
    record_wanted = Signal(str, str)
    done = Signal()
    """A cure was applied."""

    def __init__(self, desk: Desk, catalogue: Catalogue, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._catalogue = desk, catalogue
        self._finding: Finding | None = None
        self.today: Callable[[], datetime.date] = datetime.date.today
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 4, 0, 0)
        self._box.setSpacing(4)
        self._cures = QVBoxLayout()
        self._cures.setSpacing(4)
        self.cure_buttons: list[WrapButton] = []
        self.accept = QPushButton("Accept, with a reason")
        self.withdraw = QPushButton("Withdraw acceptance")
        self.guide = QPushButton("Guide")
        self._why_not = _soft("")
        actions = QHBoxLayout()
        actions.setSpacing(6)
        for button in (self.accept, self.withdraw, self.guide):
            actions.addWidget(button)
        actions.addStretch(1)
        self._box.addLayout(self._cures)
        self._box.addWidget(self._why_not)
        self._box.addLayout(actions)
        self._make_form()
        self.accept.clicked.connect(self._open)
        self.withdraw.clicked.connect(self._withdraw)
        self.guide.clicked.connect(self._guide)
        self.show_finding(None)

    def _make_form(self) -> None:
        self.form = QWidget()
        rows = QVBoxLayout(self.form)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(3)
        self.reason, self.name = QLineEdit(), QLineEdit()
        self.reason.setPlaceholderText("why it may stand")
        self.name.setPlaceholderText("who accepts it")
        self.reason.setAccessibleName("reason for accepting")
        self.name.setAccessibleName("name of who accepts")
        self.refusal = QLabel()
        self.refusal.setProperty("part", "reason")
        self.refusal.setWordWrap(True)
        self.confirm, cancel = QPushButton("Accept"), QPushButton("Cancel")
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        for widget in (cancel, self.confirm):
            buttons.addWidget(widget)
        for row in (self.reason, self.name, self.refusal):
            rows.addWidget(row)
        rows.addLayout(buttons)
        self._box.addWidget(self.form)
        self.reason.returnPressed.connect(self.name.setFocus)
        self.name.returnPressed.connect(self._accept)
        self.confirm.clicked.connect(self._accept)
        cancel.clicked.connect(self._close)

    @property
    def why_not(self) -> str:
        """Why the finding cannot be accepted; empty where it can."""
        return self._why_not.text()

    def show_finding(self, finding: Finding | None) -> None:
        """Show what can be done about a finding; a form that somebody fills in for it stays open."""
        same = finding is not None and self._finding is not None and finding.id == self._finding.id
        self._finding = finding
        self.setVisible(finding is not None)
        self._show_cures(finding)
        if finding is None:
            return
        from survey_app.assess.findings import may_be_accepted

        may = may_be_accepted(finding.code, finding.severity)
        self._why_not.setText("" if may else NOT_ACCEPTABLE)
        self._why_not.setVisible(not may)
        self.withdraw.setVisible(finding.accepted is not None)
        if not same or finding.accepted is not None:
            self.form.hide()
        self.accept.setVisible(may and finding.accepted is None and self.form.isHidden())
        self.guide.setAccessibleName(f"guide page on {finding.code}")

    def _show_cures(self, finding: Finding | None) -> None:
        for button in self.cure_buttons:
            button.hide()
            button.setParent(None)
            button.deleteLater()
        self.cure_buttons = []
        for cure in finding.cures if finding is not None else ():
            made = self._cure_button(cure)
            if made is not None:
                self.cure_buttons.append(made)
                self._cures.addWidget(made)

    def _cure_button(self, cure: Cure) -> WrapButton | None:
        """Return the button that does a cure, or goes to where its evidence is recorded; None for other work."""
        if cure.edit is not None:
            button = WrapButton(true_minus(cure.text))
            button.setToolTip("Do it; undo takes it back.")
            button.clicked.connect(lambda _checked=False: self._cure(cure))
            return button
        if cure.evidence is not None:
            button = WrapButton(_RECORD_WORDS[cure.evidence])
            button.setToolTip(cure.text)
            button.clicked.connect(lambda _checked=False: self._record(cure))
            return button
        return None

    def _record(self, cure: Cure) -> None:
        if self._finding is not None and cure.evidence is not None:
            self.record_wanted.emit(self._finding.subject, cure.evidence)

    def _cure(self, cure: Cure) -> None:
        if self._desk.perform(lambda site: apply_cure(site, cure, self._catalogue)):
            # the button goes with its finding: without a word the focus would land on the first tool
            self.done.emit()

    def _open(self) -> None:
        self.reason.clear()
        self.name.setText(self.name.text() or Preferences().author or self._desk.site.design.drawn_by)
        self.refusal.hide()
        self.form.show()
        self.accept.hide()
        self.reason.setFocus()

    def _close(self) -> None:
        self.form.hide()
        self.show_finding(self._finding)
        self.accept.setFocus()

    def _accept(self) -> None:
        finding = self._finding
        if finding is None:
            return
        try:
            row = _accepted(finding, self.reason.text().strip(), self.name.text().strip(), self.today())
            edit = accept_finding(self._desk.site, row)
        except SurveyError as error:
            self.refusal.setText(plain_reason(error))
            self.refusal.show()
            return
        if self._desk.apply(edit):
            Preferences().author = row.by
            self.form.hide()

    def _withdraw(self) -> None:
        finding = self._finding
        if finding is not None:
            self._desk.perform(lambda site: withdraw_acceptance(site, finding.id))

    def _guide(self) -> None:
        if self._finding is not None:
            self.guide_wanted.emit(self._finding.code)


def _accepted(finding: Finding, reason: str, by: str, on: datetime.date) -> AcceptedFinding:
    if not reason:
        raise UsageError("a reason is needed, it is printed with the finding")
    if not by:
        raise UsageError("a name is needed, it is printed with the finding")
    return made(
        AcceptedFinding,
        finding=finding.id,
        reason=reason,
        by=by,
        on=on,
        severity=finding.severity,
        value=finding.value,
        limit=finding.limit,
        unit=finding.unit,
        edition=finding.edition,
    )


def _soft(words: str) -> QLabel:
    label = QLabel(words)
    label.setProperty("part", "soft")
    label.setWordWrap(True)
    return label
