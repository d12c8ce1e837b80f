"""Buttons and heads of strips and pages: words in the drafting face, flat, each with a name for those who listen."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel, QPushButton

from survey_app.desktop import letters

__all__ = ["head_label", "sentence_label", "word_button"]


def word_button(words: str, name: str, *, checkable: bool = False) -> QPushButton:
    """Return a button with words.

    Parameters
    ----------
    words : str
        What stands on it.
    name : str
        What it does, for those who listen.
    checkable : bool
        Whether it stays down.
    """
    button = QPushButton(words)
    button.setAccessibleName(name)
    button.setCheckable(checkable)
    button.setAutoDefault(False)
    button.setFont(letters.font(letters.DATA_PX))
    return button


def head_label(words: str) -> QLabel:
    """Return a head in tracked capitals."""
    label = QLabel(words)
    label.setFont(letters.head_font())
    label.setProperty("part", "head")
    label.setContentsMargins(0, 6, 0, 0)
    return label


class _Reason(QLabel):
    """Why something is refused; not there, nor its bar, while nothing is."""

    def __init__(self, words: str) -> None:
        super().__init__(words)
        self.setVisible(False)

    def setText(self, words: str) -> None:
        """Say why, or nothing."""
        super().setText(words)
        self.setVisible(bool(words))


def sentence_label(words: str = "", part: str = "") -> QLabel:
    """Return a label that breaks its lines.

    Parameters
    ----------
    words : str
        What it says.
    part : str
        How the window's style sheet letters it: "name" of a field, "soft" remark, "reason" why something is refused.
    """
    label = _Reason(words) if part == "reason" else QLabel(words)
    label.setWordWrap(True)
    label.setFont(letters.font(letters.NOTE_PX if part in ("soft", "reason") else letters.NAME_PX))
    label.setProperty("part", part)
    return label
