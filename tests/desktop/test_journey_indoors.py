"""A hall drawn by hand with real mouse and keys: its wall and door take from a hop what they are made of."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import Qt

from survey_app.desktop.shell.application import Judge
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.window import Window
from survey_app.session.document import Document
from survey_app.site.new import new_site
from survey_app.site.place import Anchor
from tests.desktop.hand import Hand
from tests.desktop.panel_desks import choose, type_into

pytestmark = pytest.mark.desktop

SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def hand(qtbot: Any) -> Iterator[Hand]:
    """A hand at a window with an empty anchored site."""
    at = Anchor(lat_deg=56.3, lon_deg=11.8)
    site = new_site("Cooperage", as_of=datetime.date(2026, 12, 1), anchor=at, region="EU", country="DK")
    window = Window(Document.new(site), Judge(), Preferences())
    window.choosers.unsaved = lambda _name: "discard"  # type: ignore[method-assign]
    window.resize(1600, 1000)
    window.show()
    qtbot.addWidget(window)
    hand = Hand(window, qtbot)
    hand.look(15, 8, 20.0)
    yield hand
    window.close()


def _draw_hall(hand: Hand) -> None:
    hand.key(Qt.Key.Key_R)
    for corner in ((0, 0), (30, 0), (15, 16)):
        hand.click(*corner)
    hand.key(Qt.Key.Key_R, SHIFT)
    for corner in ((0, 0), (30, 0), (15, 16)):
        hand.click(*corner)
    hand.key(Qt.Key.Key_J)
    hand.click(14, 0)
    hand.click(14, 16)
    hand.key(Qt.Key.Key_Return)
    hand.key(Qt.Key.Key_Y)
    hand.type("3")
    hand.key(Qt.Key.Key_Return)
    hand.click(14, 8)


def _hang_and_join(hand: Hand) -> None:
    hand.key(Qt.Key.Key_A)
    hand.click(4, 8)
    hand.key(Qt.Key.Key_N)
    hand.click(26, 8)
    hand.key(Qt.Key.Key_H)
    hand.drag((26, 8), (15, 9), (4, 8))
    hand.key(Qt.Key.Key_Escape)


def _form(hand: Hand, thing: str) -> Any:
    """Return the form of a thing that somebody picks."""
    hand.window.desk.select((thing,))
    particulars = hand.window.notes.particulars
    particulars.settle()
    return particulars.form


def _set(hand: Hand, thing: str, path: str, value: str) -> None:
    """Choose in the particulars of a thing, as a hand does."""
    row = _form(hand, thing).field(path)
    choose(row, row.editor.choices.index(value))


def _through_walls(hand: Hand, hop: str) -> str:
    """Return what the particulars of the hop say of the walls; empty where they say nothing."""
    hand.settle()
    figures = {row._name.text(): row.text for row in _form(hand, hop).figures}
    return figures.get("through walls", "")


def test_a_hop_through_a_door_loses_what_the_door_is_made_of(hand: Hand) -> None:
    desk = hand.window.desk
    start = desk.site
    _draw_hall(hand)
    design = desk.site.design
    assert (len(design.rooms), len(design.walls), len(design.openings)) == (1, 1, 1)
    assert design.openings[0].width_m == pytest.approx(3.0)
    _hang_and_join(hand)
    assert len(desk.site.design.hops) == 1
    assert [mount.place.kind for mount in desk.site.design.mounts] == ["point", "point"]
    # low enough for the door, which is 2.1 m high
    for mount in desk.site.design.mounts:
        type_into(_form(hand, mount.id).field("height_m"), "1.5")
    type_into(_form(hand, desk.site.design.hops[0].access_point).field("channel"), "100")
    hop, door = desk.site.design.hops[0].id, desk.site.design.openings[0].id
    told = {}
    for material in ("timber", "glass", "steel"):
        _set(hand, door, "material", material)
        assert desk.site.design.openings[0].material == material
        told[material] = _through_walls(hand, hop)
    assert len(set(told.values())) == 3
    assert all("dB" in words for words in told.values())
    _set(hand, door, "state", "open")
    assert _through_walls(hand, hop) == ""
    while desk.document.history.undo_label is not None:
        hand.key(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert desk.site.design == start.design
