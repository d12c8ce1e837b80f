"""What stopped or misled somebody who sat down at the window for the first time."""

from __future__ import annotations

import datetime

import pytest
from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtGui import QFontMetrics, QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QFileDialog

from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.canvas.marks import pointer
from survey_app.desktop.canvas.whereabouts import whereabouts
from survey_app.desktop.letters import font
from survey_app.desktop.palette import current
from survey_app.desktop.shell.application import Judge
from survey_app.desktop.shell.choosers import Choosers
from survey_app.desktop.shell.instruments import Instruments
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.symbols import IN_COLUMN, instruments_of_tools, symbol_of
from survey_app.desktop.shell.window import Window
from survey_app.desktop.tools.all_tools import OTHER_TOOLS, TOOLS
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.shapes import Words
from survey_app.session.document import Document
from survey_app.site.new import new_site
from survey_app.site.radio import Radio
from tests.desktop.test_tools_place import with_shed_and_pole
from tests.desktop.tool_hand import Hand

pytestmark = pytest.mark.desktop


@pytest.fixture
def hand(qapp) -> Hand:
    return Hand()


def test_a_bearing_counts_from_the_pole_that_was_placed_last(hand):
    hand.take("pole")
    hand.press(150, 40)
    hand.type("90 60")
    assert [(one.position.x_m, one.position.y_m) for one in hand.design.structures] == [(150.0, 40.0), (210.0, 40.0)]


def test_degrees_without_letters_are_refused_with_the_way_to_write_them(hand):
    hand.take("pole")
    hand.type("51.2009, -2.3975", enter=False)
    assert "43.55 N, 69.6 W" in hand.words


def test_a_radio_that_was_hung_is_selected_and_not_its_mount(hand):
    with_shed_and_pole(hand)
    hand.take("station")
    hand.press(40, 3)
    assert [type(hand.desk.things[one]) for one in hand.desk.selection] == [Radio]


def two_stations(hand: Hand) -> None:
    with_shed_and_pole(hand)
    hand.take("pole")
    hand.press(40, 30)
    hand.take("access point")
    hand.press(10.2, 3)
    hand.take("station")
    hand.press(40, 3)
    hand.press(40, 30)
    assert hand.desk.selection == ("S2",)


def test_a_hop_is_dragged_from_where_it_is_pressed_though_another_station_is_selected(hand):
    two_stations(hand)
    hand.take("hop")
    hand.drag((40, 3), (10.3, 3))
    assert [(one.access_point, one.station) for one in hand.design.hops] == [("A1", "S1")]


def test_a_hop_from_the_selected_station_needs_one_press(hand):
    two_stations(hand)
    hand.take("hop")
    hand.press(10.3, 3)
    assert [(one.access_point, one.station) for one in hand.design.hops] == [("A1", "S2")]


def test_a_board_that_feeds_a_switch_is_said_and_the_switch_shows_it(hand):
    hand.take("switch")
    hand.press(10, 0)
    hand.take("supply")
    hand.press(30, 0)
    hand.take("wire")
    hand.press(30, 0)
    hand.press(10, 0)
    (switch,) = hand.design.devices
    assert switch.fed_from == "Q1"
    assert hand.desk.selection == (switch.id,)
    assert hand.heard[-1] == "Board 1 feeds Switch 1."


def test_the_marker_of_a_wire_without_a_route_goes_where_the_wire_is_drawn(hand):
    hand.take("switch")
    hand.press(10, 0)
    hand.press(30, 12)
    hand.take("wire")
    hand.press(10, 0)
    hand.press(30, 12)
    where = whereabouts(hand.desk, hand.design.wires[0].id)
    assert where is not None
    assert where.points == ((10.0, 0.0), (20.0, 0.0), (20.0, 12.0), (30.0, 12.0))


@pytest.mark.parametrize("x_px", [40.0, 400.0, 900.0])
def test_a_long_sentence_beside_the_pointer_begins_inside_the_plan(qapp, x_px):
    frame = Frame(0.0, 0.0, 2.0, 1000.0, 500.0, 4.0)
    sentence = "a comma may part two figures or stand before decimals; write decimals after a point, and " * 2
    lines = [one for one in pointer(frame, x_px, 250.0, sentence) if isinstance(one, Words)]
    assert " ".join(line.text for line in lines) == sentence
    for line in lines:
        width_mm = letters_width_mm(line.text, line.height_mm)
        left_mm = line.offset_mm[0] - (width_mm if line.align == "end" else 0.0)
        assert x_px + left_mm * frame.px_per_mm >= frame.left_px


def test_an_instrument_with_the_focus_keeps_its_symbol(qtbot):
    column = Instruments(instruments_of_tools())
    qtbot.addWidget(column)
    column.resize(66, 700)
    column.show()
    qtbot.waitExposed(column)
    button = column.findChildren(type(next(iter(column._buttons.values()))))[1]
    plain = _dark(button)
    column.activateWindow()
    button.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.waitUntil(button.hasFocus)
    assert plain > 20
    assert _dark(button) >= plain


@pytest.mark.parametrize("entry", [*TOOLS, *OTHER_TOOLS], ids=lambda entry: entry.name)
def test_whichever_tool_is_in_hand_one_instrument_says_so(qtbot, entry):
    # tools without an instrument of their own used to mark none
    column = Instruments(instruments_of_tools())
    qtbot.addWidget(column)
    column.mark(entry.name, min(entry.word, entry.name, key=len), entry.key, entry.place)
    buttons = column.findChildren(QAbstractButton)
    (marked,) = [one for one in buttons if one.isChecked()]
    assert marked.shown_word in (entry.word, entry.name)
    assert marked.shown_key == entry.key
    assert entry.name in marked.accessibleName() or entry.word in marked.accessibleName()
    assert QFontMetrics(font(12)).horizontalAdvance(marked.shown_word) <= 66
    column.mark("select", "select", "S", "")
    assert [one.accessibleName() for one in buttons] == [one.word for one in instruments_of_tools()]


@pytest.mark.parametrize("entry", TOOLS[IN_COLUMN:], ids=lambda entry: entry.name)
def test_tool_without_an_instrument_shows_its_own_symbol_in_its_place(qtbot, entry):
    column = Instruments(instruments_of_tools())
    qtbot.addWidget(column)
    column.resize(column.sizeHint())
    column.mark(entry.name, "other", "", entry.place)
    lent = column.grab().toImage()
    column.mark(entry.name, "other", "", entry.place, symbol_of(entry.name))
    assert column.grab().toImage() != lent


def _dark(button) -> int:
    """Count the pixels of ink inside the ring of the focus."""
    image = QImage(button.size(), QImage.Format.Format_ARGB32)
    image.fill(current().colour("card"))
    painter = QPainter(image)
    button.render(painter, QPoint())
    painter.end()
    inner = QRectF(image.rect()).adjusted(6, 6, -6, -6).toRect()
    return sum(
        image.pixelColor(x, y).lightness() < 120
        for x in range(inner.left(), inner.right())
        for y in range(inner.top(), inner.bottom())
    )


def test_the_folder_of_a_new_site_need_not_exist_yet(qapp, monkeypatch, tmp_path):
    asked = []

    def answer(_parent, _title, start, **_options):
        asked.append(start)
        return str(tmp_path / "not-there-yet"), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", answer)
    assert Choosers(None).folder_to_save(str(tmp_path), "quarry-yard") == tmp_path / "not-there-yet"
    assert asked == [str(tmp_path / "quarry-yard")]


def test_the_start_page_takes_the_name_and_claims_no_site(qtbot):
    empty = new_site("New site", as_of=datetime.date(2026, 12, 1))
    window = Window(Document.new(empty), Judge(), Preferences(), start=True)
    qtbot.addWidget(window)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.focusWidget() is window.start_page.form.name)
    QTest.keyClicks(window.start_page.form.name, "Quarry yard")
    assert window.start_page.form.name.text() == "Quarry yard"
    assert window.windowTitle() == "Survey App"
    assert window.strip.sentence == ""
    QTest.keyClick(window.start_page.form.name, Qt.Key.Key_Return)
    assert window.windowTitle().startswith("Quarry yard")
    assert window.strip.sentence.startswith("Press selects")
    window.take_up("pole")
    QTest.keyClicks(window.canvas, "80;5")
    QTest.keyClick(window.canvas, Qt.Key.Key_Return)
    assert len(window.desk.site.design.structures) == 1
    assert window.strip.sentence == "Press where the pole stands, or type x; y."
    window.choosers.unsaved = lambda _name: "discard"
    window.close()


def test_after_an_answer_the_keys_of_the_tools_work_again(qtbot):
    window = Window(Document.new(new_site("Yard", as_of=datetime.date(2026, 12, 1))), Judge(), Preferences())
    qtbot.addWidget(window)
    window.show()
    window.activateWindow()
    window.notice.ask("Unsaved work was found.", (("Recover it", lambda: None), ("Set it aside", lambda: None)))
    window.notice.buttons[0].setFocus()
    qtbot.waitUntil(window.notice.buttons[0].hasFocus)
    QTest.keyClick(window.notice.buttons[0], Qt.Key.Key_Space)
    assert QApplication.focusWidget() is window.canvas
    window.choosers.unsaved = lambda _name: "discard"
    window.close()


def test_every_menu_opens_with_a_letter_of_its_own(qtbot):
    window = Window(Document.new(new_site("Yard", as_of=datetime.date(2026, 12, 1))), Judge(), Preferences())
    qtbot.addWidget(window)
    titles = [action.text() for action in window.strip.menus.actions()]
    letters = [title[title.index("&") + 1].upper() for title in titles]
    assert letters == ["S", "E", "P", "C", "A", "V", "H"]
    window.choosers.unsaved = lambda _name: "discard"
    window.close()
