"""What was seen, read and built on site, of the selected thing: evidence, which is recorded and never changed."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.evidence_part import EvidencePart
from survey_app.desktop.panels.evidence_words import Part, parts_of
from survey_app.desktop.panels.form import heading
from survey_app.site.thing import Thing

__all__ = ["OnSite"]


class OnSite(QWidget):
    """The parts of evidence that the selected thing has; what somebody has begun to fill in waits for its thing.

    Parameters
    ----------
    desk : Desk
        The open document.
    """

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._document = desk.document
        self._thing: str | None = None
        self._opened: set[str] = set()
        self._parts: dict[str, tuple[EvidencePart, ...]] = {}
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 6, 0, 0)
        self._box.setSpacing(0)
        self._box.addWidget(heading("on site"))
        self.hide()
        desk.assessed.connect(self._judge)

    @property
    def parts(self) -> tuple[EvidencePart, ...]:
        """The parts of the selected thing."""
        return self._parts.get(self._thing or "", ())

    def part(self, key: str) -> EvidencePart | None:
        """Return the first part of a kind of evidence such as `reading`, or of any; None where it has none."""
        return next((one for one in self.parts if key in ("", one.part.key.partition(":")[0])), None)

    def show_thing(self, thing: Thing | None) -> None:
        """Show the parts of a thing; None = nothing, or several things, are selected."""
        if self._document is not self._desk.document:
            # what was begun for another site is not for this one, even where a thing has the same id
            self._document = self._desk.document
            for thing_id in list(self._parts):
                self._remove(thing_id)
        wanted = parts_of(self._desk.site, thing) if thing is not None else ()
        self._thing = thing.id if thing is not None else None
        self._let_go()
        shown = self.parts
        if tuple(one.part for one in shown) != wanted:
            self._remove(self._thing or "")
            shown = tuple(self._make(part) for part in wanted) if thing is not None else ()
            if thing is not None and shown:
                self._parts[thing.id] = shown
        for one in shown:
            one.show()
            one.refresh()
        self.setVisible(bool(shown))

    def _make(self, part: Part) -> EvidencePart:
        made = EvidencePart(self._desk, part, part.key in self._opened)
        made.turned.connect(lambda opened: (self._opened.add if opened else self._opened.discard)(part.key))
        self._box.addWidget(made)
        return made

    def _let_go(self) -> None:
        """Hide the parts of other things; those in which nobody has begun anything, or whose thing is gone, go."""
        for thing_id, parts in list(self._parts.items()):
            if thing_id == self._thing:
                continue
            for one in parts:
                one.hide()
            if thing_id not in self._desk.things or not any(one.is_begun for one in parts):
                self._remove(thing_id)

    def _remove(self, thing_id: str) -> None:
        for one in self._parts.pop(thing_id, ()):
            one.hide()
            self._box.removeWidget(one)
            one.deleteLater()

    def _judge(self) -> None:
        for one in self.parts:
            one.refresh()
