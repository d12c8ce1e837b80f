"""Makes menus, keys and the page of keys from the table of actions."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu

from survey_app.desktop.shell.action_table import ACTIONS
from survey_app.desktop.shell.actions import MENUS, ActionEntry

if TYPE_CHECKING:
    from survey_app.desktop.shell.window import Window

__all__ = ["Menus"]


_BESIDE = (
    "edit.copy",
    "edit.paste",
    "edit.duplicate",
    "edit.duplicate_along",
    "",
    "edit.rotate",
    "edit.aims",
    "edit.lock",
    "",
    "check.fails",
    "paper.selected",
    "view.selection",
    "",
    "edit.remove",
)
"""What the right button offers; an empty id is a rule."""


class Menus:
    """Every action of the window as Qt knows it.

    Keys of one letter belong to the plan and the instruments alone, so that a list can be searched by typing.
    """

    def __init__(self, window: Window) -> None:
        self._window = window
        self._made: dict[str, tuple[ActionEntry, QAction]] = {}
        self._menus: dict[str, QMenu] = {}
        self._beside = QMenu(window)
        self._beside.setAccessibleName("what is selected")
        for title in MENUS:
            self._menus[title] = window.strip.menus.addMenu(_lettered(title))
        for entry in ACTIONS:
            self._add(entry)
        for menu in self._menus.values():
            menu.aboutToShow.connect(self.refresh)
        self.refresh()

    def _menu(self, path: str) -> QMenu:
        if path not in self._menus:
            above, _, title = path.rpartition("/")
            self._menus[path] = self._menu(above).addMenu(title)
        return self._menus[path]

    def _add(self, entry: ActionEntry) -> None:
        window = self._window
        menu = self._menu(entry.menu)
        if entry.rule_above:
            menu.addSeparator()
        action = QAction(entry.title, window)
        action.setObjectName(entry.id)
        action.setShortcuts([QKeySequence(keys) for keys in entry.keys])
        action.setCheckable(entry.checked is not None)
        action.triggered.connect(partial(self._run, entry))
        if any(_is_plain(keys) for keys in entry.keys):
            action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            for widget in (window.canvas, window.instruments):
                widget.addAction(action)
        else:
            window.addAction(action)
        menu.addAction(action)
        self._made[entry.id] = (entry, action)

    def _run(self, entry: ActionEntry, _checked: bool = False) -> None:
        # a key can come while the action is not for now: the state is asked once more
        if entry.enabled(self._window):
            entry.run(self._window)
        self.refresh()

    def beside(self) -> QMenu:
        """Return the menu of what is selected, as the right button shows it."""
        self.refresh()
        menu = self._beside
        menu.clear()
        for action_id in _BESIDE:
            if action_id:
                menu.addAction(self.action(action_id))
            else:
                menu.addSeparator()
        return menu

    def action(self, action_id: str) -> QAction:
        """Return an action by its id.

        Raises
        ------
        KeyError
            There is no such action.
        """
        return self._made[action_id][1]

    def actions(self) -> tuple[QAction, ...]:
        """Return every action, in the order of the menus."""
        return tuple(action for _, action in self._made.values())

    def refresh(self) -> None:
        """Show which actions can be done now, which are on, and what undo would take back."""
        window = self._window
        for entry, action in self._made.values():
            action.setEnabled(entry.enabled(window))
            if entry.checked is not None:
                action.setChecked(entry.checked(window))
            if entry.title_now is not None:
                action.setText(entry.title_now(window))


def _lettered(title: str) -> str:
    """Return a menu's title with the letter that opens it with Alt marked; Place has the P of Paper."""
    return "P&aper" if title == "Paper" else f"&{title}"


def _is_plain(keys: str) -> bool:
    """Whether a key is one that types or moves: such keys belong to the plan alone; Esc leaves from anywhere."""
    last = keys.split("+")[-1]
    modified = any(name in keys for name in ("Ctrl+", "Alt+"))
    return not modified and last != "Esc" and not (len(last) > 1 and last[0] == "F" and last[1:].isdigit())
