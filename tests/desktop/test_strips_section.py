"""The strip under the plan: what it shows of which selection, its spot, and how stale numbers stand."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QImage

from survey_app.assess.pipeline import assess
from survey_app.desktop.strips.how_high import wants_raising
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
    yield strip
    strip.stop()  # as the window does when it closes


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


def _mount(desk, radio):
    mount = next(one.mount for one in desk.site.design.radios if one.id == radio)
    return desk.things[mount]


def _end(strip, end):
    return dict(strip._end_spots())[end].toPoint()


def test_station_dragged_up_shows_its_clearance_at_once_and_is_one_step_with_what_it_adds_up_to(qtbot, strip, desk):
    desk.select(("S-B",))
    before = _mount(desk, "ST-B").height_m
    assert "clear 0.65 m at 40.9 m" in _texts(strip)
    at = _end(strip, "end")
    scale = strip._sheet.frame.height_mm_per_m * 4.0
    qtbot.mousePress(strip, Qt.MouseButton.LeftButton, pos=at)
    for up_m in (0.2, 0.5, 1.0):
        qtbot.mouseMove(strip, at - QPoint(0, round(up_m * scale)))
        assert _mount(desk, "ST-B").height_m == before
    assert "0.88 of the first zone, 0.60 wanted" in _texts(strip)
    assert "ST-B 8.5" in _texts(strip)
    qtbot.mouseRelease(strip, Qt.MouseButton.LeftButton, pos=at - QPoint(0, round(1.0 * scale)))
    assert _mount(desk, "ST-B").height_m == pytest.approx(before + 1.0)
    assert desk.document.history.undo_label == f"Raise Mount {_mount(desk, 'ST-B').title} by 1.0 m"
    desk.undo()
    assert _mount(desk, "ST-B").height_m == before


def test_enter_takes_an_end_in_hand_and_arrows_raise_it_in_one_step(qtbot, strip, desk):
    desk.select(("S-B",))
    before = _mount(desk, "A-S").height_m
    qtbot.keyClick(strip, Qt.Key.Key_Return)
    assert "over ground: drag, Up and Down, or type a height" in strip.accessibleDescription()
    for _ in range(3):
        qtbot.keyClick(strip, Qt.Key.Key_Up)
    qtbot.keyClick(strip, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    assert _mount(desk, "A-S").height_m == pytest.approx(before - 0.7)
    assert desk.document.history.undo_label.startswith("Lower ")
    assert desk.document.history.undo_label.endswith(" by 0.7 m")
    assert "A-S 11.8" in _texts(strip)
    qtbot.keyClick(strip, Qt.Key.Key_Escape)
    qtbot.keyClick(strip, Qt.Key.Key_Down)
    assert strip.hop != "S-B"
    desk.undo()
    assert _mount(desk, "A-S").height_m == before


def test_typed_height_is_set_with_enter_and_forgotten_with_escape(qtbot, strip, desk):
    desk.select(("S-B",))
    for key in (Qt.Key.Key_Return, Qt.Key.Key_Return):
        qtbot.keyClick(strip, key)
    for letter in "9x.25":
        qtbot.keyClicks(strip, letter)
    assert "9.25 m over ground: Enter sets it" in strip.accessibleDescription()
    qtbot.keyClick(strip, Qt.Key.Key_Return)
    assert _mount(desk, "ST-B").height_m == 9.25
    qtbot.keyClicks(strip, "1")
    qtbot.keyClick(strip, Qt.Key.Key_Escape)
    assert _mount(desk, "ST-B").height_m == 9.25


def test_drag_given_up_changes_nothing(qtbot, strip, desk):
    desk.select(("S-B",))
    site, at = desk.site, _end(strip, "start")
    qtbot.mousePress(strip, Qt.MouseButton.LeftButton, pos=at)
    qtbot.mouseMove(strip, at - QPoint(0, 40))
    assert "A-S 12.5" not in _texts(strip)
    qtbot.keyClick(strip, Qt.Key.Key_Escape)
    qtbot.mouseRelease(strip, Qt.MouseButton.LeftButton, pos=at - QPoint(0, 40))
    assert desk.site is site
    assert "A-S 12.5" in _texts(strip)


def test_point_of_the_plan_over_the_hop_marks_the_section_and_one_beside_it_does_not(strip, desk):
    desk.select(("S-B",))
    x, y = strip.scene.spot_m(40.0)
    strip.show_point((x, y, 1.0))
    assert strip.spot_words().startswith("40.0 m from A-S")
    strip.show_point((x + 9.0, y + 9.0, 1.0))
    assert strip.spot_words() == ""


def test_hop_that_is_not_clear_offers_least_moves_and_one_press_clears_it(qtbot, strip, desk):
    desk.select(("S-B",))
    qtbot.waitUntil(lambda: not strip.how_high.is_busy, timeout=60000)
    words = [button.text() for button in strip.how_high.offers]
    assert words[0].startswith("raise the access point ")
    assert strip.how_high.isVisible()
    # the drawing ends above the line of offers
    assert strip._sheet.frame.height_mm * 4.0 <= strip.height() - strip.how_high.height() + 1
    strip.how_high.offers[0].click()
    assert len(desk.document.history.labels) == 1
    # what was worked out is of the site before
    assert not any(button.isEnabled() for button in strip.how_high.offers)
    desk.put_assessment(desk.site, assess(desk.site))
    free = desk.site.design.defaults.free_zone_fraction
    row = desk.rows.hops["S-B"]
    assert row.fresnel_clearance_ratio >= free - 1e-3
    assert wants_raising(row, free) is not False
    desk.undo()
    assert desk.site is demo("boatyard")[0]


def test_clear_hop_offers_nothing(qtbot, strip, desk):
    desk.select(("F",))
    assert not strip.how_high.is_busy
    assert not strip.how_high.isVisible()


def test_longer_pole_is_part_of_the_step(qtbot, strip, desk):
    desk.select(("S-A",))
    qtbot.waitUntil(lambda: not strip.how_high.is_busy, timeout=60000)
    button = next(one for one in strip.how_high.offers if "raise the station" in one.text())
    assert "on a pole of" in button.text()
    pole = desk.things[desk.things["ST-A"].mount].structure
    before = desk.things[pole].height_m
    button.click()
    assert desk.things[pole].height_m > before
    assert len(desk.document.history.labels) == 1
