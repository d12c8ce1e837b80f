"""What an action is: declared once, it drives menus, keys and the page of keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from survey_app.desktop.shell.window import Window

__all__ = ["MENUS", "ActionEntry", "always"]

MENUS = ("Site", "Edit", "Place", "Check", "Paper", "View", "Help")
"""Menus from left to right."""


def always(_window: Window) -> bool:
    """Whether an action can be done: it always can."""
    return True


@dataclass(frozen=True, slots=True)
class ActionEntry:
    """One action.

    Attributes
    ----------
    id : str
        `menu.name`, stable.
    menu : str
        One of `MENUS`; with a slash the name of a menu inside it: `View/Layers`.
    title : str
        Words in the menu.
    run : callable
        Plain function of the window.
    keys : tuple of str
        Shortcuts; the first is shown in the menu.
    enabled : callable
        Whether it can be done now.
    checked : callable or None
        For an action that is on or off: whether it is on.
    title_now : callable or None
        Words that depend on the state, such as the name of the step to undo.
    rule_above : bool
        Whether a rule stands above it in the menu.
    """

    id: str
    menu: str
    title: str
    run: Callable[[Window], object]
    keys: tuple[str, ...] = ()
    enabled: Callable[[Window], bool] = field(default=always)
    checked: Callable[[Window], bool] | None = None
    title_now: Callable[[Window], str] | None = None
    rule_above: bool = False
