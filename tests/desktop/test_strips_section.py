"""The strip under the plan: what it shows of which selection, its spot, and how stale numbers stand."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QImage

from survey_app.desktop.strips.section_strip import SectionStrip
from survey_app.drawing.section import RouteScene, SectionScene
from survey_app.drawing.shapes import Words
from survey_app.session.document import Document
from survey_app.site.edits import set_revision
from tests.desktop.desks import demo, demo_desk


@pytest.fixture
def desk():
    desk = demo_desk("boatyard")
    yield desk
    desk.document.close()


@pytest.fixture
def strip(qtbot, desk):
    strip = SectionStrip(desk)
    qtbot.addWidget(strip)
    strip.resize(1234, 258)
    strip.show()
    return strip


def _texts(strip):
    return [shape.text for shape in strip._drawing.shapes if isinstance(shape, Words)]


def test_selected_hop_is_shown_with_its_title_and_ends(strip, desk):
    desk.select(("S-B",))
    assert "SECTION ALONG S-B" in _texts(strip)
    assert "A-S 12.5" in _texts(strip)
    assert "S-B" in strip.accessibleDescription()


def test_station_shows_its_hop_and_an_access_point_keeps_the_one_shown(strip, desk):
    desk.select(("ST-A",))
    assert strip.hop == "S-A"
    desk.select(("S-B",))
    desk.select(("A-S",))
    assert strip.hop == "S-B"


def test_camera_shows_its_route_and_then_the_last_hop_comes_back(strip, desk):
    desk.select(("P-C",))
    desk.select(("cam-a-1",))
    assert isinstance(strip.scene, RouteScene)
    assert "narrowest" in _texts(strip)
    desk.select(())
    assert isinstance(strip.scene, SectionScene)
    assert strip.hop == "P-C"


def test_pointer_on_the_strip_shows_the_same_spot_of_the_plan(qtbot, strip, desk):
    desk.select(("S-B",))
    frame = strip._sheet.frame
    at = QPoint(round(frame.x(55.0) * 4), 100)
    with qtbot.waitSignal(strip.spot_m) as told:
        qtbot.mouseMove(strip, at)
    radios = desk.rows.radios
    near, far = radios["A-S"], radios["ST-B"]
    part = frame.distance_m(at.x() / 4.0) / strip.scene.profile.length_m
    x, y = told.args[0]
    assert x == pytest.approx(near.x_m + part * (far.x_m - near.x_m))
    assert y == pytest.approx(near.y_m + part * (far.y_m - near.y_m))
    with qtbot.waitSignal(strip.spot_m) as gone:
        qtbot.mouseMove(strip, QPoint(2, 100))
    assert gone.args[0] is None


def test_keys_move_the_spot_and_say_what_stands_there(qtbot, strip, desk):
    desk.select(("S-B",))
    strip.setFocus()
    qtbot.keyClick(strip, Qt.Key.Key_End)
    assert strip.spot_words().startswith("110.1 m from A-S, ray 7.5")
    qtbot.keyClick(strip, Qt.Key.Key_Home)
    for _ in range(3):
        qtbot.keyClick(strip, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert strip.spot_words() == "33.0 m from A-S, ray 11.0, ground 2.0, Paint shed 10.0"
    qtbot.keyClick(strip, Qt.Key.Key_Escape)
    assert strip.spot_words() == ""


def test_arrows_take_the_next_hop_and_come_round(qtbot, strip, desk):
    ids = [row.id for row in desk.assessment.hops]
    desk.select((ids[0],))
    qtbot.keyClick(strip, Qt.Key.Key_Down)
    assert desk.selection == (ids[1],)
    qtbot.keyClick(strip, Qt.Key.Key_Up)
    qtbot.keyClick(strip, Qt.Key.Key_Up)
    assert desk.selection == (ids[-1],)


def test_numbers_of_an_earlier_state_stand_in_brackets_until_the_new_ones_come(strip, desk):
    desk.select(("S-B",))
    desk.perform(lambda site: set_revision(site, "B"))
    assert "A-S (12.5)" in _texts(strip)
    assert any(text.startswith("(A-S to ST-B") for text in _texts(strip))
    _, assessment = demo("boatyard")
    desk.put_assessment(desk.site, assessment)
    assert "A-S 12.5" in _texts(strip)


def test_another_document_takes_the_former_section_away(strip, desk):
    from survey_app.site.new import new_site

    desk.select(("S-B",))
    former = desk.document
    desk.replace_document(Document.new(new_site("Empty", as_of=desk.site.design.as_of)))
    former.close()
    assert strip.scene is None
    assert "No hop to show yet" in strip.words()


@pytest.mark.parametrize("size", [(878, 190), (1178, 258), (2224, 258), (420, 150)])
def test_something_is_painted_at_every_size(strip, desk, size):
    desk.select(("S-B",))
    strip.resize(*size)
    picture = strip.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    colours = {picture.pixel(x, y) for x in range(0, size[0], 3) for y in range(0, size[1], 3)}
    assert len(colours) > 4
