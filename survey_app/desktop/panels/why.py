"""Why this number? A figure with its rule, its document and what it is made from, level by level."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFont, QFontMetrics, QKeyEvent, QPainter, QPen, QPolygonF, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QLabel,
    QPushButton,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from survey_app.desktop.desk import Desk
from survey_app.desktop.letters import NAME_PX, NOTE_PX, font
from survey_app.desktop.palette import current
from survey_app.desktop.panels.entries import Entry, entries_of, site_entries
from survey_app.desktop.panels.field_words import label_of
from survey_app.desktop.panels.form import description_of, heading
from survey_app.desktop.panels.own_keys import keeps
from survey_app.desktop.panels.scale import scale_of
from survey_app.desktop.panels.values import written_position, written_value
from survey_app.errors import SurveyError, UnknownNameError
from survey_app.site.place import GeoPoint, PlanePoint
from survey_app.site.record import Record
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.assess.explain import Explainer, Reason
    from survey_app.assess.record import Assessment

__all__ = ["WhyPage", "reason_value", "reason_words"]

_REASON = int(Qt.ItemDataRole.UserRole)
_MANY = 14
_ORIGINS = {"site": "typed in the site", "gear": "figure of the type", "rule": "row of the radio rules"}
_WRAP = int(Qt.TextFlag.TextWordWrap)
Index = QModelIndex | QPersistentModelIndex


def reason_value(reason: Reason) -> str:
    """Return the value of a reason with its unit."""
    unit = f" {reason.unit}" if reason.unit not in ("", "1", "degree") and reason.value is not None else ""
    degree = "°" if reason.unit == "degree" and reason.value is not None else ""
    return f"{_words(reason.value)}{degree}{unit}"


def _words(value: Any) -> str:
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6g}".replace("-", "\N{MINUS SIGN}")
    if isinstance(value, Record):
        return ", ".join(f"{name.replace('_', ' ')} {_words(part)}" for name, part in value if part is not None)
    if isinstance(value, tuple):
        shown = "; ".join(_words(part) for part in value[:_MANY])
        return f"({shown}{'; …' if len(value) > _MANY else ''})"
    return str(value)


_SLOTS = {
    "ends.access_point": "at the access point",
    "ends.station": "at the station",
    "directions.to_access_point": "towards the access point",
    "directions.to_station": "towards the station",
}
_IN_DESIGN = re.compile(r"design\.(?:([a-z_]+)\[(\d+)\](?: \(([^)]*)\))?\.)?(.+)")


def reason_words(reason: Reason, site: Site) -> str:
    """Return what a reason is called: whose number, and which, in words."""
    found = _IN_DESIGN.fullmatch(reason.name)
    if found is None:
        parts = reason.name.split(", ")
        words = [_SLOTS.get(part, part.replace("_", " ")) for part in parts[:-1]]
        return ", ".join([*words, label_of(parts[-1])])
    collection, number, gear_id, field = found.groups()
    if collection is None:
        return f"the site, {label_of(field)}"
    row = getattr(site.design, collection)[int(number)]
    whose = f"type {gear_id}" if gear_id else f"{collection.removesuffix('s').replace('_', ' ')} {row.id}"
    return f"{whose}, {label_of(field)}"


class _Delegate(QStyledItemDelegate):
    """Paints a reason on as many lines as it needs: name, then value bold and where it comes from."""

    def __init__(self, tree: QTreeWidget) -> None:
        super().__init__(tree)
        self._tree = tree

    def _faces(self) -> tuple[QFont, QFont]:
        scale = scale_of(self._tree)
        return font(NOTE_PX * scale), font(NAME_PX * scale, bold=True)

    def _area(self, index: Index) -> int:
        depth, parent = 1, index.parent()
        while parent.isValid():
            depth, parent = depth + 1, parent.parent()
        return max(60, self._tree.viewport().width() - depth * self._tree.indentation() - 6)

    def _heights(self, index: Index, width: int) -> tuple[int, int]:
        name, value = index.data(Qt.ItemDataRole.DisplayRole).split("\n", 1)
        box = QRect(0, 0, width, 10000)
        plain, bold = self._faces()
        return (
            QFontMetrics(plain).boundingRect(box, _WRAP, name).height(),
            QFontMetrics(bold).boundingRect(box, _WRAP, value).height(),
        )

    def sizeHint(self, _option: QStyleOptionViewItem, index: Index) -> QSize:
        width = self._area(index)
        return QSize(width, sum(self._heights(index, width)) + 7)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        palette = current()
        painter.save()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(option.rect, palette.colour("selected row"))
        name, value = index.data(Qt.ItemDataRole.DisplayRole).split("\n", 1)
        width = self._area(index)
        first, second = self._heights(index, width)
        left, top = option.rect.left() + 3, option.rect.top() + 2
        plain, bold = self._faces()
        for words, face, ink, height in ((name, plain, "ink 2", first), (value, bold, "ink", second)):
            painter.setFont(face)
            painter.setPen(palette.colour(ink))
            painter.drawText(QRect(left, top, width, height + 2), _WRAP, words)
            top += height
        painter.setPen(QPen(palette.colour("hair"), 1.0))
        painter.drawLine(option.rect.bottomLeft(), option.rect.bottomRight())
        painter.restore()


class _Tree(QTreeWidget):
    """A tree whose branches are small triangles in ink."""

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Take the focus without going to the first row: nobody has asked about that yet."""
        was_nowhere = not self.currentIndex().isValid()
        blocked = self.blockSignals(True)
        super().focusInEvent(event)
        if was_nowhere:
            self.setCurrentIndex(QModelIndex())
        self.blockSignals(blocked)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def drawBranches(self, painter: QPainter, rect: QRect, index: Index) -> None:
        if not self.model().hasChildren(index):
            return
        middle = QPointF(rect.right() - 5.0, rect.top() + 10.0)
        down = self.isExpanded(index)
        corners = ((-3.5, -2.0), (3.5, -2.0), (0.0, 3.5)) if down else ((-2.0, -3.5), (-2.0, 3.5), (3.5, 0.0))
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(current().colour("ink 2"))
        painter.drawPolygon(QPolygonF([middle + QPointF(x, y) for x, y in corners]))
        painter.restore()


class WhyPage(QWidget):
    """The answer to "why this number?", in the notes column.

    Parameters
    ----------
    desk : Desk
        The open document; its `explained` asks.
    """

    back = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._explainer: tuple[Site, Assessment, Explainer] | None = None
        self.setAccessibleName("why this number")
        self.figure, self.says, self.source = QLabel(), QLabel(), QLabel()
        self.figure.setProperty("part", "strong")
        self.source.setProperty("part", "soft")
        for label in (self.figure, self.says, self.source):
            label.setWordWrap(True)
            label.setTextInteractionFlags(
                Qt.TextInteractionFlag.TextSelectableByMouse | Qt.TextInteractionFlag.TextSelectableByKeyboard
            )
            label.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.tree = _Tree()
        self.tree.setColumnCount(1)
        self.tree.setHeaderHidden(True)
        self.tree.setItemDelegate(_Delegate(self.tree))
        self.tree.setIndentation(12)
        self.tree.setAccessibleName("what it is made from")
        self._go_back = QPushButton("Back to the notes")
        self._go_back.setAccessibleName("back to the notes")
        rule = QFrame()
        rule.setProperty("part", "rule")
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(5)
        for widget in (heading("why this number?"), rule, self.figure, self.says, self.source):
            box.addWidget(widget)
        self._made_from = heading("made from")
        box.addWidget(self._made_from)
        box.addWidget(self.tree, 1)
        box.addWidget(self._go_back)
        self._go_back.clicked.connect(self.back)
        self.tree.currentItemChanged.connect(self._say_item)
        self.tree.itemExpanded.connect(self._fill)

    def event(self, event: QEvent) -> bool:
        return keeps(event, (Qt.Key.Key_Escape,)) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.back.emit()
        else:
            super().keyPressEvent(event)

    def ask(self, subject: str, quantity: str) -> bool:
        """Show why a number is what it is; a field that somebody typed says what it means.

        Returns
        -------
        bool
            Whether there is an answer; where there is none, the desk says why.
        """
        try:
            reasons = self._reasons(subject, quantity)
        except UnknownNameError as error:
            entry = self._entry(subject, quantity)
            if entry is None:
                self._desk.say(error.sentence())
                return False
            self._show_entry(entry)
            return True
        except SurveyError as error:
            self._desk.say(error.sentence())
            return False
        self._show_reasons(reasons)
        return True

    def _reasons(self, subject: str, quantity: str) -> tuple[Reason, ...]:
        found = self._desk.assessment
        if found is None:
            raise UnknownNameError("the site has not been checked yet", remedy="ask again in a moment")
        site = self._desk.site
        known = self._explainer
        if known is None or known[0] is not site or known[1] is not found:
            from survey_app.assess.explain import Explainer

            known = (site, found, Explainer(site, found))
            self._explainer = known
        if self._entry(subject, quantity) is not None:
            raise UnknownNameError("it was typed, not computed")
        return known[2].ask(subject, quantity)

    def _entry(self, subject: str, path: str) -> Entry | None:
        """Return the field that somebody typed, where the question is about one."""
        if subject == "site":
            entries = site_entries(self._desk.site)
        elif subject in self._desk.things:
            entries = entries_of(self._desk.site, self._desk.things[subject])
        else:
            return None
        return next((entry for entry in entries if entry.path == path and entry.thing_id in ("", subject)), None)

    def _show_entry(self, entry: Entry) -> None:
        value = entry.value
        if isinstance(value, PlanePoint | GeoPoint):
            shown = written_position(value)
        elif isinstance(value, Record):
            shown = _words(value)
        else:
            shown = written_value(entry.shape, value)
        whose = entry.thing_id or "the site"
        self._say(f"{whose}, {entry.label} = {shown or 'empty'}", f"It was typed. {description_of(entry)}", "")
        self._fill_tree(())

    def _show_reasons(self, reasons: tuple[Reason, ...]) -> None:
        first = reasons[0]
        self._say_reason(first)
        self._fill_tree(first.inputs if len(reasons) == 1 else reasons)

    def _say_reason(self, reason: Reason) -> None:
        stale = "" if self._desk.is_fresh else " It is being computed anew."
        missing = f" {reason.missing}" if reason.missing else ""
        cited = ", ".join(part for part in (_title(reason.document), reason.section) if part)
        self._say(
            f"{reason_words(reason, self._desk.site)} = {reason_value(reason)}", f"{reason.says}{missing}{stale}", cited
        )

    def _say(self, figure: str, says: str, source: str) -> None:
        self.figure.setText(figure)
        self.says.setText(says)
        self.source.setText(source)
        self.source.setVisible(bool(source))

    def _fill_tree(self, reasons: tuple[Reason, ...]) -> None:
        self.tree.clear()
        for reason in reasons:
            self.tree.addTopLevelItem(_item(reason, self._desk.site))
        self._made_from.setVisible(bool(reasons))
        self.tree.setVisible(bool(reasons))
        (self.tree if reasons else self._go_back).setFocus()

    def _fill(self, item: QTreeWidgetItem) -> None:
        """Make the items under one when it is opened: a tree may go far down."""
        reason: Reason = item.data(0, _REASON)
        first = item.child(0)
        if item.childCount() == 1 and first is not None and first.data(0, _REASON) is None:
            item.takeChildren()
            item.addChildren([_item(one, self._desk.site) for one in reason.inputs])

    def _say_item(self, item: QTreeWidgetItem | None, _before: QTreeWidgetItem | None = None) -> None:
        reason: Reason | None = item.data(0, _REASON) if item is not None else None
        if reason is not None:
            self._say_reason(reason)


def _item(reason: Reason, site: Site) -> QTreeWidgetItem:
    origin = "" if reason.origin == "computed" else f", {_ORIGINS[reason.origin]}"
    item = QTreeWidgetItem([f"{reason_words(reason, site)}\n{reason_value(reason)}{origin}"])
    item.setData(0, _REASON, reason)
    item.setToolTip(0, reason.says)
    if reason.inputs:
        item.addChild(QTreeWidgetItem(["\n"]))
    return item


def _title(document: str) -> str:
    """Return author, title, edition and date of a line of the list of references."""
    return document.partition("). ")[0].replace("*", "").rstrip(".") + (")" if "). " in document else "")
