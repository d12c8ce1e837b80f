"""The menus of checking, of paper and of help."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from survey_app.desktop.shell.actions import ActionEntry
from survey_app.desktop.shell.band import BAND_PAGES
from survey_app.site.mount import Mount
from survey_app.site.network import Camera, Device, Supply, Wire
from survey_app.site.radio import Hop, Radio

if TYPE_CHECKING:
    from survey_app.desktop.shell.window import Window

__all__ = ["CHECK_ACTIONS", "HELP_ACTIONS", "PAPER_ACTIONS"]

_BAND_WORDS = {
    "section": "Section along the hop",
    "register": "Register of everything",
    "hops": "Hop schedule",
    "routes": "Routes of the cameras",
    "tally": "Tally of the equipment",
    "coverage": "Coverage of the radios",
    "plan pictures": "Plan pictures",
    "alternatives": "Alternatives",
    "ground heights": "Ground heights",
    "cells": "Cells, and what fails",
    "what if": "What if",
}
_MORE_KEYS = {"cells": "Ctrl+Shift+C", "what if": "Ctrl+Shift+U"}
"""Ctrl with a digit calls the first nine pages; these are the keys of the others."""
_FAILING = (Radio, Hop, Wire, Device, Supply, Mount)
_SHEETS = (
    ("mounting", "Mounting sheets"),
    ("bench", "Bench sheets"),
    ("schedule", "Hop schedule"),
    ("network", "Network"),
    ("tally", "Tally"),
    ("cover", "Cover"),
)


def _band(name: str, window: Window) -> None:
    if not window.on_plan:
        window.show_page(window.canvas)
    window.sheet.show_band(True)
    window.band.show_page(name)


def _is_band(name: str, window: Window) -> bool:
    return window.band.page == name and window.sheet.band_open


def _preview(document: str, window: Window) -> None:
    window.preview.open(document)
    window.show_page(window.preview)


def _selected_sheet(window: Window) -> None:
    window.preview.open_selected()
    window.show_page(window.preview)


def _has_sheet(window: Window) -> bool:
    rows = window.desk.rows
    return rows is not None and any(one in rows.radios for one in window.desk.selection)


def _can_be_seen(window: Window) -> bool:
    things = window.desk.things
    chosen = [things[one] for one in window.desk.selection if one in things]
    return window.on_plan and sum(isinstance(one, Radio | Mount | Camera) for one in chosen) == 1


def _may_fail(window: Window) -> bool:
    things, rows = window.desk.things, window.desk.rows
    chosen = window.desk.selection
    return rows is not None and len(chosen) == 1 and isinstance(things.get(chosen[0]), _FAILING)


def _suppose(window: Window) -> None:
    """Show what happens if the selected thing fails, with the list of what is other then."""
    from survey_app.assess.what_if import Fails

    subject = window.desk.selection[0]
    _band("what if", window)
    window.desk.suppose(Fails(subject))


def _record(window: Window) -> None:
    if window.notes.can_record:
        window.show_page(window.canvas)
        window.notes.record(window.desk.selection[0])


CHECK_ACTIONS: tuple[ActionEntry, ...] = (
    ActionEntry("check.next", "Check", "Next finding", lambda w: w.step_finding(1), ("F4",)),
    ActionEntry("check.previous", "Check", "Finding before", lambda w: w.step_finding(-1), ("Shift+F4",)),
    ActionEntry("check.flags", "Check", "Flag notes", lambda w: w.show_notes()),
    ActionEntry(
        "check.record",
        "Check",
        "Record what was seen or read",
        _record,
        ("Ctrl+Shift+E",),
        enabled=lambda w: w.notes.can_record,
    ),
    ActionEntry(
        "check.seen_from",
        "Check",
        "From where it is seen",
        lambda w: w.take_up("seen from"),
        ("Ctrl+Shift+V",),
        enabled=_can_be_seen,
    ),
    ActionEntry(
        "check.fails",
        "Check",
        "What if this fails?",
        _suppose,
        ("Ctrl+Shift+F",),
        enabled=_may_fail,
        rule_above=True,
    ),
    ActionEntry(
        "check.leave_if",
        "Check",
        "Leave what if",
        lambda w: w.bars.what_if.leave(),
        ("Esc",),
        enabled=lambda w: w.desk.supposed is not None,
    ),
    *(
        ActionEntry(
            f"check.{name}",
            "Check",
            _BAND_WORDS[name],
            partial(_band, name),
            (_MORE_KEYS.get(name, f"Ctrl+{n}"),),
            checked=partial(_is_band, name),
            rule_above=n == 1,
        )
        for n, name in enumerate(BAND_PAGES, start=1)
    ),
)
"""Actions of the menu Check."""

PAPER_ACTIONS: tuple[ActionEntry, ...] = (
    *(
        ActionEntry(f"paper.{name}", "Paper", words, partial(_preview, name), ("Ctrl+P",) if n == 0 else ())
        for n, (name, words) in enumerate(_SHEETS)
    ),
    ActionEntry(
        "paper.selected", "Paper", "Sheet of the selected radio", _selected_sheet, ("Ctrl+Shift+M",), enabled=_has_sheet
    ),
    ActionEntry(
        "paper.set",
        "Paper",
        "Write the whole set",
        lambda w: w.preview.write_set(),
        rule_above=True,
        enabled=lambda w: w.desk.document.path is not None,
    ),
)
"""Actions of the menu Paper."""

HELP_ACTIONS: tuple[ActionEntry, ...] = (
    ActionEntry("help.why", "Help", "Why this number?", lambda w: w.explain_focus(), ("F1",)),
    ActionEntry("help.keys", "Help", "Keys", lambda w: w.show_keys(), ("Ctrl+K",)),
    ActionEntry("help.about", "Help", "About", lambda w: w.say_about()),
)
"""Actions of the menu Help."""
