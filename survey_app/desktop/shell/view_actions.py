"""The menu of what is shown and how."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from survey_app.desktop.palette import lights
from survey_app.desktop.shell.actions import ActionEntry
from survey_app.drawing.plat.tiers import LAYERS
from survey_app.site.edits import change_design

if TYPE_CHECKING:
    from survey_app.desktop.shell.window import Window

__all__ = ["VIEW_ACTIONS"]

_STEP = 1.5
_HUES = (("day", "Day"), ("night", "Night"), ("system", "As the system"))
_SCALES = (100, 125, 150, 175, 200)
_UNITS = (("metric", "Metres"), ("feet", "Feet"), ("both", "Metres, and feet on paper"))


def _hue(hue: str, window: Window) -> None:
    window.preferences.hue = hue
    lights().choose(hue)


def _layer(name: str, window: Window) -> None:
    hidden = window.preferences.hidden_layers ^ {name}
    window.preferences.hidden_layers = hidden
    window.canvas.hide_layers(hidden)


def _every_shadow(window: Window) -> None:
    every = not window.preferences.every_shadow
    window.preferences.every_shadow = every
    window.canvas.cast_every(every)


def _heard(window: Window) -> None:
    wanted = not window.preferences.heard_lines
    window.preferences.heard_lines = wanted
    window.canvas.show_heard(wanted)
    if wanted:
        window.desk.say("Select a radio: lines lead to those of other cells for which it waits.")


def _words(words: str, window: Window) -> None:
    window.preferences.hop_words = words
    window.canvas.write_along_hops(words)


def _scale(percent: int, window: Window) -> None:
    window.preferences.scale_percent = percent
    window.desk.say("The new size of letters and lines holds from the next start on.")


def _units(units: str, window: Window) -> None:
    window.desk.perform(lambda site: change_design(site, units=units))


def _is_hue(hue: str, window: Window) -> bool:
    return window.preferences.hue == hue


def _is_shown(name: str, window: Window) -> bool:
    return name not in window.preferences.hidden_layers


def _is_words(words: str, window: Window) -> bool:
    return window.preferences.hop_words == words


def _is_scale(percent: int, window: Window) -> bool:
    return window.preferences.scale_percent == percent


def _is_units(units: str, window: Window) -> bool:
    return window.desk.site.design.units == units


VIEW_ACTIONS: tuple[ActionEntry, ...] = (
    ActionEntry("view.nearer", "View", "Nearer", lambda w: w.canvas.zoom(_STEP), ("Ctrl++", "Ctrl+=")),
    ActionEntry("view.farther", "View", "Farther", lambda w: w.canvas.zoom(1.0 / _STEP), ("Ctrl+-",)),
    ActionEntry("view.whole", "View", "Whole site", lambda w: w.canvas.show_whole_site(), ("Ctrl+0",)),
    ActionEntry(
        "view.selection",
        "View",
        "Selection",
        lambda w: w.desk.wanted.emit(w.desk.selection),
        ("Ctrl+.",),
        enabled=lambda w: bool(w.desk.selection),
    ),
    ActionEntry(
        "view.notes",
        "View",
        "Notes column",
        lambda w: w.sheet.turn_notes(),
        ("F6",),
        enabled=lambda w: w.on_plan,
        checked=lambda w: w.sheet.notes_open,
        rule_above=True,
    ),
    ActionEntry(
        "view.band",
        "View",
        "Band under the plan",
        lambda w: w.sheet.show_band(not w.sheet.band_open),
        ("F7",),
        enabled=lambda w: w.on_plan,
        checked=lambda w: w.sheet.band_open,
    ),
    ActionEntry(
        "view.tall",
        "View",
        "Tall band",
        lambda w: w.sheet.show_tall(not w.sheet.band_tall),
        ("Shift+F7",),
        enabled=lambda w: w.on_plan and w.sheet.band_open,
        checked=lambda w: w.sheet.band_tall,
    ),
    ActionEntry(
        "view.title",
        "View",
        "Title block",
        lambda w: w.sheet.show_title(not w.sheet.title_open),
        ("F8",),
        enabled=lambda w: w.on_plan,
        checked=lambda w: w.sheet.title_open,
    ),
    ActionEntry(
        "view.alone",
        "View",
        "Plan alone",
        lambda w: w.sheet.show_alone(not w.sheet.is_alone),
        ("Tab",),
        enabled=lambda w: w.on_plan,
        checked=lambda w: w.sheet.is_alone,
    ),
    *(
        ActionEntry(f"view.{hue}", "View/Light", words, partial(_hue, hue), checked=partial(_is_hue, hue))
        for hue, words in _HUES
    ),
    *(
        ActionEntry(
            f"view.layer_{name}",
            "View/Layers",
            name.capitalize(),
            partial(_layer, name),
            checked=partial(_is_shown, name),
        )
        for name in LAYERS
    ),
    ActionEntry(
        "view.every_shadow",
        "View/Layers",
        "Shadows of every access point",
        _every_shadow,
        checked=lambda w: w.preferences.every_shadow,
        rule_above=True,
    ),
    ActionEntry(
        "view.heard",
        "View/Layers",
        "Radios that the selected one hears",
        _heard,
        ("Ctrl+Shift+H",),
        checked=lambda w: w.preferences.heard_lines,
    ),
    ActionEntry(
        "view.words_bearing",
        "View/Words along hops",
        "Bearing, distance, tilt",
        partial(_words, "bearing"),
        checked=partial(_is_words, "bearing"),
    ),
    ActionEntry(
        "view.words_level",
        "View/Words along hops",
        "Level and rate",
        partial(_words, "level"),
        checked=partial(_is_words, "level"),
    ),
    ActionEntry(
        "view.words_load",
        "View/Words along hops",
        "Load of hops and wires",
        partial(_words, "load"),
        checked=partial(_is_words, "load"),
    ),
    *(
        ActionEntry(
            f"view.units_{units}",
            "View/Units of the site",
            words,
            partial(_units, units),
            checked=partial(_is_units, units),
        )
        for units, words in _UNITS
    ),
    *(
        ActionEntry(
            f"view.scale_{percent}",
            "View/Size of letters and lines",
            f"{percent} %",
            partial(_scale, percent),
            checked=partial(_is_scale, percent),
        )
        for percent in _SCALES
    ),
)
"""Actions of the menu View."""
