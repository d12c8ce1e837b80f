"""The flag notes: every finding with its flag, filters, and what can be done about the one at hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.accepting import FindingCard
from survey_app.desktop.panels.flag_list import FlagList
from survey_app.desktop.panels.flag_marks import count_words
from survey_app.desktop.panels.form import Fold, heading
from survey_app.site.edits import withdraw_acceptance

if TYPE_CHECKING:
    from survey_app.assess.record import Assessment, Finding
    from survey_app.gear.catalogue import Catalogue

__all__ = ["FlagNotes"]

_KINDS = (("all notes", ""), ("stops", "stop"), ("warns", "warn"), ("notes", "note"), ("accepted", "accepted"))


class FlagNotes(QWidget):
    """The list of findings.

    Parameters
    ----------
    desk : Desk
        The open document.
    catalogue : Catalogue
        Gear types that a cure may bring in.
    """

    guide_wanted = Signal(str)
    record_wanted = Signal(str, str)
    """Thing and kind of evidence: somebody wants to record what cures a finding."""

    def __init__(self, desk: Desk, catalogue: Catalogue, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setAccessibleName("flag notes")
        self._counts = QLabel()
        self._counts.setProperty("part", "soft")
        self.kind = QComboBox()
        self.kind.setAccessibleName("which flag notes")
        self.kind.addItems([words for words, _ in _KINDS])
        self.of_selection = QCheckBox("of the selection")
        self.of_selection.setAccessibleName("flag notes of the selection only")
        self.list = FlagList()
        self.card = FindingCard(desk, catalogue)
        self._empty = QLabel()
        self._empty.setProperty("part", "soft")
        self._empty.setWordWrap(True)
        self.lapsed = Fold("lapsed acceptances")
        self.lapsed_rows: list[QPushButton] = []
        self._lay_out()
        self.kind.activated.connect(self._filter)
        self.of_selection.clicked.connect(self._filter)
        self.list.chosen.connect(self._show)
        self.list.came_to.connect(self.card.show_finding)
        self.card.guide_wanted.connect(self.guide_wanted)
        self.card.record_wanted.connect(self.record_wanted)
        self.card.done.connect(self.list.setFocus)
        desk.assessed.connect(self.refresh)
        desk.went_stale.connect(self._say_counts)
        desk.document_changed.connect(self._forget)
        desk.selection_changed.connect(self._filter)
        self.refresh()

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.addWidget(heading("flag notes"))
        head.addStretch(1)
        head.addWidget(self._counts)
        rule = QFrame()
        rule.setProperty("part", "rule")
        filters = QHBoxLayout()
        filters.addWidget(self.kind)
        filters.addStretch(1)
        filters.addWidget(self.of_selection)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(3)
        box.addLayout(head)
        box.addWidget(rule)
        box.addLayout(filters)
        box.addWidget(self._empty)
        box.addWidget(self.list, 1)
        box.addWidget(self.card)
        box.addWidget(self.lapsed)

    def minimumSizeHint(self) -> QSize:
        """Room for what stands about the finding at hand: words that break are as high as the column is narrow."""
        hint, box = super().minimumSizeHint(), self.layout()
        if box is None or not box.hasHeightForWidth():
            return hint
        return QSize(hint.width(), max(hint.height(), box.minimumHeightForWidth(self.width())))

    @property
    def count_words(self) -> str:
        """How many findings there are, as it is shown."""
        return self._counts.text()

    def refresh(self) -> None:
        """Show the findings of the newest assessment; the list stays at the finding where it stood."""
        self._say_counts()
        self._filter()
        self._show_lapsed()

    def _findings(self) -> tuple[Finding, ...]:
        found = self._desk.assessment
        return found.findings if found is not None else ()

    def _forget(self) -> None:
        if self._desk.assessment is None and self.list.flags.shown:
            self.refresh()

    def _say_counts(self) -> None:
        found: Assessment | None = self._desk.assessment
        if found is None:
            self._counts.setText("")
            return
        words = count_words(*(found.count(severity) for severity in ("stop", "warn", "note")))
        fresh = self._desk.is_fresh
        self._counts.setText(words if fresh else f"[{words}]")
        face = self._counts.font()
        face.setItalic(not fresh)
        self._counts.setFont(face)

    def _filter(self) -> None:
        wanted = _KINDS[self.kind.currentIndex()][1]
        selected = frozenset(self._desk.selection) if self.of_selection.isChecked() else None

        def passes(finding: Finding) -> bool:
            if wanted == "accepted" and finding.accepted is None:
                return False
            if wanted not in ("", "accepted", finding.severity):
                return False
            return selected is None or not selected.isdisjoint(_about(finding))

        standing = self.list.current_finding()
        self.list.flags.put(self._findings(), passes)
        self.list.stand_at(standing.id if standing is not None else None)
        now = self.list.current_finding()
        self.card.show_finding(now)
        self._say_empty()

    def _say_empty(self) -> None:
        if self._desk.assessment is None:
            words = "The site has not been checked yet."
        elif not self._findings():
            words = "Nothing was found."
        elif not self.list.flags.shown:
            words = "No flag note is of this kind."
        else:
            words = ""
        self._empty.setText(words)
        self._empty.setVisible(bool(words))
        self.list.setVisible(not words)

    def _show(self, finding: Finding) -> None:
        known = self._desk.things
        self._desk.show(one for one in _about(finding) if one in known)

    def _show_lapsed(self) -> None:
        for row in self.lapsed_rows:
            row.hide()
            row.setParent(None)
            row.deleteLater()
        self.lapsed_rows = []
        while (item := self.lapsed.rows.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        found = self._desk.assessment
        words = found.stale_acceptances if found is not None else ()
        self.lapsed.setVisible(bool(words))
        for sentence in words:
            label = QLabel(f"{sentence}.")
            label.setWordWrap(True)
            label.setProperty("part", "soft")
            self.lapsed.rows.addWidget(label)
            accepted = next(
                (row.finding for row in self._desk.site.design.accepted if sentence.startswith(f"{row.finding}: ")),
                None,
            )
            if accepted is not None:
                button = QPushButton("Withdraw it")
                button.setAccessibleName(f"withdraw the acceptance of {accepted}")
                button.clicked.connect(lambda _checked=False, one=accepted: self._withdraw(one))
                self.lapsed_rows.append(button)
                self.lapsed.rows.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)

    def _withdraw(self, finding_id: str) -> None:
        self._desk.perform(lambda site: withdraw_acceptance(site, finding_id))


def _about(finding: Finding) -> tuple[str, ...]:
    ids = (finding.subject, finding.second_subject, *finding.concerns)
    return tuple(dict.fromkeys(one for one in ids if one))
