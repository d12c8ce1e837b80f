"""The menu of changes: undo, copies, arrangement, removal, selection."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from survey_app.desktop.shell.actions import ActionEntry
from survey_app.desktop.tools import arranging, clipboard
from survey_app.desktop.tools.measure import MeasureTool
from survey_app.site.edits import fill_addresses
from survey_app.site.edits.arranging import Alignment

if TYPE_CHECKING:
    from survey_app.desktop.shell.window import Window

__all__ = ["EDIT_ACTIONS"]


def _selected(window: Window) -> bool:
    return bool(window.desk.selection) and window.on_plan


def _several(window: Window) -> bool:
    return len(window.desk.selection) > 1 and window.on_plan


def _many(window: Window) -> bool:
    return len(window.desk.selection) > 2 and window.on_plan


def _copy(window: Window) -> None:
    tool = window.canvas.tool
    if isinstance(tool, MeasureTool) and tool.text():
        clipboard.copy_text(tool.text())
        window.desk.say("The legs are on the clipboard as text.")
    else:
        clipboard.copy(window.desk)


def _can_copy(window: Window) -> bool:
    return _selected(window) or (window.on_plan and window.tool_name == "measure")


def _undo_words(window: Window) -> str:
    label = window.desk.document.history.undo_label
    return f"Undo: {label}" if label else "Undo"


def _redo_words(window: Window) -> str:
    label = window.desk.document.history.redo_label
    return f"Do again: {label}" if label else "Do again"


def _align(side: Alignment, window: Window) -> None:
    arranging.align_selection(window.desk, side)


def _plan_channels(window: Window) -> None:
    from survey_app.desktop.strips.cells_page import CellsPage

    if not window.on_plan:
        window.show_page(window.canvas)
    window.sheet.show_band(True)
    window.band.show_page("cells")
    page = window.band.widget("cells")
    if isinstance(page, CellsPage):
        page.show_plan()


def _give_addresses(window: Window) -> None:
    """Give what needs an address the next free one; without a plan of addresses, show where it is written."""
    desk = window.desk
    before = desk.site
    if not desk.perform(fill_addresses):
        if before.design.addressing is None:
            window.show_site_particulars()
    elif desk.site is before:
        desk.say("Everything that needs an address has one.")
    else:
        desk.say(f"{desk.document.history.undo_label}.")


def _can_edit(window: Window) -> bool:
    return not window.desk.document.is_read_only


_SIDES: tuple[tuple[Alignment, str], ...] = (
    ("left", "Left edges"),
    ("right", "Right edges"),
    ("top", "Upper edges"),
    ("bottom", "Lower edges"),
    ("middle_x", "On one upright line"),
    ("middle_y", "On one level line"),
)

EDIT_ACTIONS: tuple[ActionEntry, ...] = (
    ActionEntry(
        "edit.undo",
        "Edit",
        "Undo",
        lambda w: w.desk.undo(),
        ("Ctrl+Z",),
        enabled=lambda w: w.desk.document.history.undo_label is not None,
        title_now=_undo_words,
    ),
    ActionEntry(
        "edit.redo",
        "Edit",
        "Do again",
        lambda w: w.desk.redo(),
        ("Ctrl+Shift+Z", "Ctrl+Y"),
        enabled=lambda w: w.desk.document.history.redo_label is not None,
        title_now=_redo_words,
    ),
    ActionEntry("edit.copy", "Edit", "Copy", _copy, ("Ctrl+C",), enabled=_can_copy, rule_above=True),
    ActionEntry(
        "edit.paste",
        "Edit",
        "Paste",
        lambda w: clipboard.paste(w.desk, w.canvas.middle_m),
        ("Ctrl+V",),
        enabled=lambda w: w.on_plan,
    ),
    ActionEntry(
        "edit.duplicate",
        "Edit",
        "Duplicate",
        lambda w: arranging.duplicate_selection(w.desk),
        ("Ctrl+D",),
        enabled=_selected,
    ),
    ActionEntry(
        "edit.duplicate_along",
        "Edit",
        "Duplicate along a line",
        lambda w: w.take_up("row"),
        ("Ctrl+Shift+D",),
        enabled=_selected,
    ),
    ActionEntry("edit.rotate", "Edit", "Rotate", lambda w: w.take_up("rotate"), ("Ctrl+R",), enabled=_selected),
    ActionEntry(
        "edit.aims",
        "Edit",
        "Aim as computed",
        lambda w: arranging.compute_aims(w.desk),
        ("Ctrl+Shift+R",),
        enabled=_selected,
    ),
    *(
        ActionEntry(f"edit.align_{side}", "Edit/Align", words, partial(_align, side), enabled=_several)
        for side, words in _SIDES
    ),
    ActionEntry(
        "edit.distribute",
        "Edit/Align",
        "Equal distances",
        lambda w: arranging.distribute_selection(w.desk),
        enabled=_many,
        rule_above=True,
    ),
    ActionEntry(
        "edit.lock",
        "Edit",
        "Lock or unlock",
        lambda w: arranging.lock_selection(w.desk),
        ("Ctrl+L",),
        enabled=_selected,
    ),
    ActionEntry(
        "edit.remove", "Edit", "Remove", lambda w: arranging.remove_selection(w.desk), ("Delete",), enabled=_selected
    ),
    ActionEntry("edit.channels", "Edit", "Plan channels…", _plan_channels, enabled=_can_edit, rule_above=True),
    ActionEntry("edit.addresses", "Edit", "Give addresses", _give_addresses, enabled=_can_edit),
    ActionEntry(
        "edit.all",
        "Edit",
        "Select everything",
        lambda w: w.desk.select(w.desk.things),
        ("Ctrl+A",),
        enabled=lambda w: w.on_plan,
        rule_above=True,
    ),
    ActionEntry(
        "edit.kind",
        "Edit",
        "Select all of this kind",
        lambda w: arranging.select_kind(w.desk),
        ("Ctrl+Shift+A",),
        enabled=_selected,
    ),
    ActionEntry(
        "edit.none", "Edit", "Select nothing", lambda w: w.desk.select(()), ("Ctrl+Shift+N",), enabled=_selected
    ),
)
"""Actions of the menu Edit."""
