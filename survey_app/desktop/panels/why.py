"""Why this number? A figure with its rule, its document and what it is made from, level by level."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QLabel, QPushButton, QTreeWidget, QTreeWidgetItem, QVBoxLayout, QWidget

from survey_app.assess.explain import Explainer, Reason
from survey_app.assess.record import Assessment
from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.entries import Entry, entries_of, site_entries
from survey_app.desktop.panels.field_words import label_of
from survey_app.desktop.panels.form import description_of, heading
from survey_app.desktop.panels.values import written_position, written_value
from survey_app.errors import SurveyError, UnknownNameError
from survey_app.site.place import GeoPoint, PlanePoint
from survey_app.site.record import Record
from survey_app.site.site import Site

__all__ = ["WhyPage", "reason_value", "reason_words"]

_REASON = int(Qt.ItemDataRole.UserRole)
_MANY = 14
_ORIGINS = {"computed": "computed", "site": "in the site", "gear": "gear's figure", "rule": "radio rules"}


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


def reason_words(reason: Reason) -> str:
    """Return what a reason is called: whose number, and which, in words."""
    whose, comma, field = reason.name.rpartition(", ")
    return f"{whose}, {label_of(field)}" if comma else reason.name


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
        self.tree = QTreeWidget()
        self.tree.setColumnCount(1)
        self.tree.setHeaderHidden(True)
        self.tree.setWordWrap(True)
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
        self._say(f"{reason_words(reason)} = {reason_value(reason)}", f"{reason.says}{missing}{stale}", cited)

    def _say(self, figure: str, says: str, source: str) -> None:
        self.figure.setText(figure)
        self.says.setText(says)
        self.source.setText(source)
        self.source.setVisible(bool(source))

    def _fill_tree(self, reasons: tuple[Reason, ...]) -> None:
        self.tree.clear()
        for reason in reasons:
            self.tree.addTopLevelItem(_item(reason))
        self._made_from.setVisible(bool(reasons))
        self.tree.setVisible(bool(reasons))
        (self.tree if reasons else self._go_back).setFocus()

    def _fill(self, item: QTreeWidgetItem) -> None:
        """Make the items under one when it is opened: a tree may go far down."""
        reason: Reason = item.data(0, _REASON)
        first = item.child(0)
        if item.childCount() == 1 and first is not None and first.data(0, _REASON) is None:
            item.takeChildren()
            item.addChildren([_item(one) for one in reason.inputs])

    def _say_item(self, item: QTreeWidgetItem | None, _before: QTreeWidgetItem | None = None) -> None:
        if item is not None and isinstance(item.data(0, _REASON), Reason):
            self._say_reason(item.data(0, _REASON))


def _item(reason: Reason) -> QTreeWidgetItem:
    item = QTreeWidgetItem([f"{reason_words(reason)} = {reason_value(reason)}\n{_ORIGINS[reason.origin]}"])
    item.setData(0, _REASON, reason)
    item.setToolTip(0, reason.says)
    if reason.inputs:
        item.addChild(QTreeWidgetItem([""]))
    return item


def _title(document: str) -> str:
    """Return author, title, edition and date of a line of the list of references."""
    return document.partition("). ")[0].replace("*", "").rstrip(".") + (")" if "). " in document else "")
