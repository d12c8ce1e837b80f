"""Pages of the guide that findings lead to: their heads, and the page itself as rendered text."""

from __future__ import annotations

import re
from functools import lru_cache

from PySide6.QtCore import Signal
from PySide6.QtGui import QTextBlockFormat, QTextCharFormat, QTextCursor, QTextFormat
from PySide6.QtWidgets import QPushButton, QTextBrowser, QVBoxLayout, QWidget

from survey_app.data import resources_folder
from survey_app.desktop.letters import DATA_PX, SELECTED_PX, font
from survey_app.desktop.panels.form import heading
from survey_app.desktop.panels.scale import scale_of

__all__ = ["GuidePage", "page_text", "source_words", "title_of"]


@lru_cache(maxsize=256)
def page_text(code: str) -> str:
    """Return the guide's page on a finding, as Markdown; one sentence where there is none."""
    path = resources_folder() / "guide" / "findings" / f"{code}.md"
    if not path.is_file():
        return f"# {code}\n\nThe guide has no page on this."
    return path.read_text(encoding="utf-8")


@lru_cache(maxsize=256)
def title_of(code: str) -> str:
    """Return the head of the guide's page on a finding.

    Examples
    --------
    >>> title_of("not-checked")
    'Nobody looked along it'
    """
    first = page_text(code).partition("\n")[0]
    return first.removeprefix("#").strip() or code


@lru_cache(maxsize=256)
def source_words(key: str) -> str:
    """Return a document of the list of references in a few words.

    Examples
    --------
    >>> source_words("P525"), source_words("PRACTICE")
    ('ITU-R, Recommendation P.525-4', 'common practice')
    """
    if key in _WORDS:
        return _WORDS[key]
    from survey_app.assess.explain import documents

    document = documents().get(key, "")
    author, star, rest = document.partition("*")
    if not star:
        return key
    title = rest.partition("*")[0].partition(",")[0]
    names = [name.strip() for name in author.split(",") if name.strip()]
    people = len(names) > 1 and re.match(r"[A-Z]\. ", names[0]) is not None
    first = f"{names[0]} and others" if people else ", ".join(names)
    return f"{first}, {title.strip()}" if first else title.strip()


_WORDS = {"PRACTICE": "common practice", "OWN": "rules of the user's own", "MEMORY": "working knowledge"}
_SIZES = {0: DATA_PX, 1: SELECTED_PX, 2: DATA_PX}
_INDENT_PX = 14.0
_ABOVE_HEAD_PX, _ABOVE_PX = 12.0, 4.0


class GuidePage(QWidget):
    """One page of the guide in the notes column."""

    back = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._back = QPushButton("Back to the notes")
        self._back.setAccessibleName("back to the notes")
        self._back.clicked.connect(self.back)
        self.text = QTextBrowser()
        self.text.setAccessibleName("page of the guide")
        self.text.setOpenLinks(False)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(heading("guide"))
        box.addWidget(self.text, 1)
        box.addWidget(self._back)

    def show_code(self, code: str) -> None:
        """Show the page on a finding."""
        self.text.setMarkdown(page_text(code))
        self._set_letters()
        self._back.setFocus()

    def _set_letters(self) -> None:
        """Set the sizes of the drafting face: the page's own heads are too large for the column."""
        page = self.text.document()
        page.setIndentWidth(_INDENT_PX)
        block = page.begin()
        while block.isValid():
            cursor = QTextCursor(block)
            cursor.select(QTextCursor.SelectionType.BlockUnderCursor)
            letters = QTextCharFormat()
            level = block.blockFormat().headingLevel()
            letters.setFont(font(_SIZES.get(level, DATA_PX) * scale_of(self), bold=level > 0))
            letters.setProperty(QTextFormat.Property.FontSizeAdjustment, 0)
            cursor.mergeCharFormat(letters)
            room = QTextBlockFormat()
            above = _ABOVE_HEAD_PX if level else _ABOVE_PX
            room.setTopMargin(0.0 if block == page.begin() else above * scale_of(self))
            cursor.mergeBlockFormat(room)
            block = block.next()
        self.text.moveCursor(QTextCursor.MoveOperation.Start)
