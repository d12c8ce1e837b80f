"""The list of flag notes: one model, painted by one delegate, so that hundreds stay quick."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import (
    QAbstractListModel,
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QFontMetrics, QKeyEvent, QMouseEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from survey_app.desktop.letters import NAME_PX, NOTE_PX, font
from survey_app.desktop.palette import current
from survey_app.desktop.panels.flag_marks import paint_flag
from survey_app.desktop.panels.guide_pages import source_words, title_of
from survey_app.desktop.panels.own_keys import keeps
from survey_app.desktop.panels.scale import px_of, scale_of
from survey_app.desktop.panels.values import true_minus

if TYPE_CHECKING:
    from survey_app.assess.record import Finding

__all__ = ["FINDING", "FlagList", "FlagModel", "spoken"]

FINDING = int(Qt.ItemDataRole.UserRole)
_LEFT_PX, _RIGHT_PX, _PAD_PX = 34, 4, 6
_WRAP = int(Qt.TextFlag.TextWordWrap)
_KEPT = 4000
_LEAST_PX = 84
Index = QModelIndex | QPersistentModelIndex


def spoken(finding: Finding) -> str:
    """Return a finding as one text, for those who hear it and for copying."""
    words = f"{finding.number} {finding.severity}, {finding.subject}, {title_of(finding.code)}. {_body(finding)}"
    accepted = finding.accepted
    return f"{words} {_accepted_words(finding)}" if accepted is not None else words


def _body(finding: Finding) -> str:
    cure = f" {finding.cures[0].text}" if finding.cures else ""
    return true_minus(f"{finding.message}{cure}")


def _accepted_words(finding: Finding) -> str:
    accepted = finding.accepted
    return "" if accepted is None else f"Accepted: {accepted.by}, {accepted.on.isoformat()}, {accepted.reason}"


class FlagModel(QAbstractListModel):
    """Findings that pass the filter, in the order of their numbers."""

    def __init__(self, parent: Any = None) -> None:
        super().__init__(parent)
        self._all: tuple[Finding, ...] = ()
        self._shown: tuple[Finding, ...] = ()
        self._passes: Callable[[Finding], bool] = lambda _finding: True

    @property
    def shown(self) -> tuple[Finding, ...]:
        """Findings in the list."""
        return self._shown

    def put(self, findings: tuple[Finding, ...], passes: Callable[[Finding], bool]) -> None:
        """Show the findings that pass; the list is left alone where that changes nothing."""
        shown = tuple(one for one in findings if passes(one))
        if shown == self._shown:
            return
        self.beginResetModel()
        self._all, self._shown = findings, shown
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - the signature that Qt asks for
        return 0 if parent.isValid() else len(self._shown)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        finding = self._shown[index.row()]
        if role == FINDING:
            return finding
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return spoken(finding)
        return None


class _Delegate(QStyledItemDelegate):
    """Paints flag, subject and fault bold, measure and cure plain, source italic."""

    def __init__(self, view: QListView) -> None:
        super().__init__(view)
        self._view = view
        self._heights: dict[tuple[Any, ...], tuple[int, ...]] = {}

    def _parts(self, finding: Finding, width: int) -> list[tuple[Any, str, str, int]]:
        scale = scale_of(self._view)
        plain = font(NOTE_PX * scale)
        parts = [
            (font(NAME_PX * scale, bold=True), f"{finding.subject} {_lower(title_of(finding.code))}", "ink"),
            (plain, _body(finding), "ink"),
            (font(NOTE_PX * scale, italic=True), _source(finding), "ink 2"),
        ]
        if finding.accepted is not None:
            parts.append((plain, _accepted_words(finding), "ink 2"))
        key = (finding.id, finding.message, finding.accepted, len(finding.cures), width, scale)
        if key not in self._heights:
            if len(self._heights) > _KEPT:
                self._heights.clear()
            self._heights[key] = tuple(
                QFontMetrics(face).boundingRect(QRect(0, 0, width, 10000), _WRAP, words).height()
                for face, words, _ in parts
            )
        return [(*part, height) for part, height in zip(parts, self._heights[key], strict=True)]

    def sizeHint(self, _option: QStyleOptionViewItem, index: Index) -> QSize:
        width = self._view.viewport().width()
        parts = self._parts(index.data(FINDING), max(40, width - px_of(self._view, _LEFT_PX) - _RIGHT_PX))
        return QSize(width, max(px_of(self._view, 34), sum(height for *_, height in parts) + 2 * _PAD_PX))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        finding: Finding = index.data(FINDING)
        palette = current()
        area: QRect = option.rect
        state: QStyle.StateFlag = option.state
        painter.save()
        if state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area.adjusted(0, 1, 0, -1), palette.colour("selected row"))
        paint_flag(
            painter,
            QPointF(area.left() + px_of(self._view, 14), area.top() + px_of(self._view, 18)),
            finding.severity,
            str(finding.number),
            10.0 * scale_of(self._view),
            accepted=finding.accepted is not None,
        )
        top, left = area.top() + _PAD_PX, px_of(self._view, _LEFT_PX)
        width = max(40, area.width() - left - _RIGHT_PX)
        for face, words, ink, height in self._parts(finding, width):
            painter.setFont(face)
            painter.setPen(palette.colour(ink))
            painter.drawText(QRect(area.left() + left, top, width, height + 2), _WRAP, words)
            top += height
        painter.setPen(QPen(palette.colour("hair"), 1.0))
        painter.drawLine(area.bottomLeft(), area.bottomRight())
        painter.restore()


def _lower(title: str) -> str:
    # the subject's id stands before it; words that are capitals as such stay
    return title if title[:2].isupper() else title[:1].lower() + title[1:]


def _source(finding: Finding) -> str:
    edition = f", {finding.edition}" if finding.edition else ""
    return f"{source_words(finding.source)}{edition}"


class FlagList(QListView):
    """The list; `chosen` comes with a finding that was clicked or entered."""

    chosen = Signal(object)
    came_to = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.flags = FlagModel(self)
        self.setModel(self.flags)
        self.setItemDelegate(_Delegate(self))
        self.setProperty("part", "flags")
        self.setAccessibleName("flag notes")
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setMinimumHeight(_LEAST_PX)

    def current_finding(self) -> Finding | None:
        """Return the finding that the list stands at."""
        index = self.currentIndex()
        return index.data(FINDING) if index.isValid() else None

    def stand_at(self, finding_id: str | None) -> None:
        """Stand at a finding, if it is in the list."""
        for row, finding in enumerate(self.flags.shown):
            if finding.id == finding_id:
                self.setCurrentIndex(self.flags.index(row))
                return

    def currentChanged(self, now: Index, before: Index) -> None:
        super().currentChanged(now, before)
        self._show_current()
        self.came_to.emit(now.data(FINDING) if now.isValid() else None)

    def event(self, event: QEvent) -> bool:
        return keeps(event, (Qt.Key.Key_Return, Qt.Key.Key_Enter)) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._choose()
        else:
            super().keyPressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        super().mouseReleaseEvent(event)
        if self.indexAt(event.position().toPoint()).isValid():
            self._choose()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()
        self._show_current()

    def _show_current(self) -> None:
        now = self.currentIndex()
        if now.isValid():
            self.scrollTo(now)
            # of one that is higher than the list the head is read first
            if self.visualRect(now).height() > self.viewport().height():
                self.scrollTo(now, QAbstractItemView.ScrollHint.PositionAtTop)

    def _choose(self) -> None:
        finding = self.current_finding()
        if finding is not None:
            self.chosen.emit(finding)
