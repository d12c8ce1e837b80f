"""Keys that a part of the window keeps for itself although a menu has them too."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence

__all__ = ["keeps"]


def keeps(event: QEvent, keys: Iterable[Qt.Key] = (), standard: Iterable[QKeySequence.StandardKey] = ()) -> bool:
    """Claim a key before menus get it; the part then receives it as a key press.

    Parameters
    ----------
    event : QEvent
        Any event of the part.
    keys, standard : iterable
        Plain keys, and keys that systems have in common such as copy.

    Returns
    -------
    bool
        Whether the event was such a key and is claimed.
    """
    if event.type() != QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
        return False
    plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
    if (plain and event.key() in tuple(keys)) or any(event.matches(one) for one in standard):
        event.accept()
        return True
    return False
