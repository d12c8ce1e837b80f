"""All actions of the window, in the order of the menus."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from survey_app.desktop.shell.actions import ActionEntry
from survey_app.desktop.shell.check_actions import CHECK_ACTIONS, HELP_ACTIONS, PAPER_ACTIONS
from survey_app.desktop.shell.edit_actions import EDIT_ACTIONS
from survey_app.desktop.shell.site_actions import SITE_ACTIONS
from survey_app.desktop.shell.symbols import IN_COLUMN
from survey_app.desktop.shell.view_actions import VIEW_ACTIONS
from survey_app.desktop.tools.all_tools import TOOLS

if TYPE_CHECKING:
    from survey_app.desktop.shell.window import Window

__all__ = ["ACTIONS"]


def _take_up(name: str, window: Window) -> None:
    window.take_up(name)


def _in_hand(name: str, window: Window) -> bool:
    return window.tool_name == name


def _on_plan(window: Window) -> bool:
    return window.on_plan


PLACE_ACTIONS: tuple[ActionEntry, ...] = tuple(
    ActionEntry(
        f"place.{tool.name.replace(' ', '_')}",
        "Place" if number < IN_COLUMN else "Place/More",
        tool.name.capitalize(),
        partial(_take_up, tool.name),
        (tool.key,) if tool.key else (),
        enabled=_on_plan,
        checked=partial(_in_hand, tool.name),
    )
    for number, tool in enumerate(TOOLS)
)

ACTIONS: tuple[ActionEntry, ...] = (
    *SITE_ACTIONS,
    *EDIT_ACTIONS,
    *PLACE_ACTIONS,
    *CHECK_ACTIONS,
    *PAPER_ACTIONS,
    *VIEW_ACTIONS,
    *HELP_ACTIONS,
)
"""Every action, once."""
