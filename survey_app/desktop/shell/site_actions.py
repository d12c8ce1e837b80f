"""The menu of the document: new, open, save, alternatives, leave."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.desktop.shell.actions import ActionEntry

if TYPE_CHECKING:
    from survey_app.desktop.shell.window import Window

__all__ = ["SITE_ACTIONS"]


def _can_edit(window: Window) -> bool:
    return not window.desk.document.is_read_only


def _is_on_disk(window: Window) -> bool:
    return window.desk.document.path is not None


def _show_band(window: Window, name: str) -> None:
    if not window.on_plan:
        window.show_page(window.canvas)
    window.sheet.show_band(True)
    window.band.show_page(name)


SITE_ACTIONS: tuple[ActionEntry, ...] = (
    ActionEntry("site.start", "Site", "New or recent…", lambda w: w.show_start_page(), ("Ctrl+N",)),
    ActionEntry("site.open", "Site", "Open…", lambda w: w.opening.ask_and_open(), ("Ctrl+O",)),
    ActionEntry(
        "site.save", "Site", "Save", lambda w: w.opening.save(), ("Ctrl+S",), enabled=_can_edit, rule_above=True
    ),
    ActionEntry("site.save_as", "Site", "Save in another folder…", lambda w: w.opening.save_as(), ("Ctrl+Shift+S",)),
    ActionEntry(
        "site.alternatives",
        "Site",
        "Alternatives",
        lambda w: _show_band(w, "alternatives"),
        enabled=_is_on_disk,
        rule_above=True,
    ),
    ActionEntry("site.pictures", "Site", "Plan pictures", lambda w: _show_band(w, "plan pictures")),
    ActionEntry(
        "site.ground", "Site", "Bring in ground heights…", lambda w: _show_band(w, "ground heights"), enabled=_can_edit
    ),
    ActionEntry(
        "site.particulars", "Site", "Particulars of the site", lambda w: w.show_site_particulars(), ("Ctrl+I",)
    ),
    ActionEntry("site.quit", "Site", "Leave", lambda w: w.close(), ("Ctrl+Q",), rule_above=True),
)
"""Actions of the menu Site."""
