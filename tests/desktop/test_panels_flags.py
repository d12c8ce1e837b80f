"""Flag notes: counts, filters, going there, cures that are undone, acceptance and its withdrawal, the guide."""

from __future__ import annotations

import datetime

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QStyleOptionViewItem

from survey_app.desktop.desk import Desk
from survey_app.desktop.palette import DAY
from survey_app.desktop.panels.flag_marks import paint_flag
from survey_app.desktop.panels.flag_notes import FlagNotes
from survey_app.desktop.panels.guide_pages import page_text, source_words, title_of
from survey_app.session.document import Document
from tests.desktop.panel_desks import catalogue, demo, desk_of, reassess


def notes_on(qtbot, desk: Desk) -> FlagNotes:
    notes = FlagNotes(desk, catalogue())
    qtbot.addWidget(notes)
    notes.resize(280, 600)
    notes.show()
    notes.card.today = lambda: datetime.date(2026, 12, 3)
    return notes


def numbers(notes: FlagNotes) -> list[int]:
    return [finding.number for finding in notes.list.flags.shown]


def stand_at(notes: FlagNotes, code: str):
    found = next(one for one in notes.list.flags.shown if one.code == code)
    notes.list.stand_at(found.id)
    return found


def click(button) -> None:
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def test_counts_are_written_out_and_every_finding_is_listed_by_number(qtbot):
    notes = notes_on(qtbot, desk_of("mill"))
    assert notes.count_words == "5 stops, 8 warns, 4 notes"
    assert numbers(notes) == list(range(1, 18))
    words = notes.list.flags.index(0).data()
    assert words.startswith("1 stop, A-T, Indoor band used outdoors. Channel 36:")
    notes.close()


def test_filter_by_severity_and_by_selection(qtbot):
    desk = desk_of("mill")
    notes = notes_on(qtbot, desk)
    QTest.keyClick(notes.kind, Qt.Key.Key_Down)
    assert {finding.severity for finding in notes.list.flags.shown} == {"stop"}
    QTest.keyClick(notes.kind, Qt.Key.Key_Home)
    desk.select(["plug-c1"])
    QTest.keyClick(notes.of_selection, Qt.Key.Key_Space)
    shown = notes.list.flags.shown
    assert shown
    assert all("plug-c1" in (one.subject, one.second_subject, *one.concerns) for one in shown)
    desk.select([])
    assert numbers(notes) == []
    assert notes.list.isHidden()
    notes.close()


def test_click_on_a_note_goes_there(qtbot):
    desk = desk_of("mill")
    notes = notes_on(qtbot, desk)
    wanted: list[object] = []
    desk.wanted.connect(wanted.append)
    spot = notes.list.visualRect(notes.list.flags.index(1)).center()
    QTest.mouseClick(notes.list.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    finding = notes.list.flags.shown[1]
    assert desk.selection[0] == finding.subject
    assert wanted == [desk.selection]
    notes.close()


def test_enter_on_a_note_goes_there_too(qtbot):
    desk = desk_of("mill")
    notes = notes_on(qtbot, desk)
    notes.list.setCurrentIndex(notes.list.flags.index(2))
    QTest.keyClick(notes.list, Qt.Key.Key_Return)
    assert desk.selection[0] == notes.list.flags.shown[2].subject
    notes.close()


def test_cure_is_applied_by_its_button_ends_the_finding_and_is_undone(qtbot):
    desk = desk_of("college")
    notes = notes_on(qtbot, desk)
    site = desk.site
    finding = stand_at(notes, "band-not-outdoors")
    (button,) = notes.card.cure_buttons
    assert button.words == finding.cures[0].text == button.accessibleName()
    click(button)
    assert desk.things["A-R"].channel == 104
    assert notes.count_words.startswith("[")
    reassess(desk)
    assert all(one.code != "band-not-outdoors" for one in notes.list.flags.shown)
    desk.undo()
    assert desk.site is site
    notes.close()


def test_every_cure_of_the_demos_that_is_an_edit_is_offered_and_undone(qtbot):
    for name in ("boatyard", "college", "mill"):
        desk = desk_of(name)
        notes = notes_on(qtbot, desk)
        site = desk.site
        said: list[str] = []
        desk.said.connect(said.append)
        for finding in demo(name)[1].findings:
            notes.list.stand_at(finding.id)
            edits = [cure for cure in finding.cures if cure.edit is not None]
            shown = [cure for cure in finding.cures if cure.edit is not None or cure.evidence is not None]
            words = [button.words for button in notes.card.cure_buttons]
            assert len(words) == len(shown)
            assert [words[number] for number, cure in enumerate(shown) if cure.edit] == [cure.text for cure in edits]
            for number, cure in enumerate(edits):
                click(notes.card.cure_buttons[number])
                assert desk.site is not site, f"{name}: {cure.text} {said}"
                desk.undo()
                assert desk.site is site
        notes.close()


def test_accepting_needs_a_reason_and_a_name_and_is_withdrawn(qtbot):
    desk = desk_of("mill")
    notes = notes_on(qtbot, desk)
    finding = stand_at(notes, "not-checked")
    click(notes.card.accept)
    assert notes.card.form.isVisible()
    notes.card.name.clear()
    click(notes.card.confirm)
    assert notes.card.refusal.text() == "A reason is needed, it is printed with the finding."
    QTest.keyClicks(notes.card.reason, "seen from the roof, no lamp at hand")
    click(notes.card.confirm)
    assert notes.card.refusal.text() == "A name is needed, it is printed with the finding."
    assert desk.site.design.accepted == demo("mill")[0].design.accepted
    QTest.keyClicks(notes.card.name, "B. Holm")
    QTest.keyClick(notes.card.name, Qt.Key.Key_Return)
    (row,) = desk.site.design.accepted
    assert (row.finding, row.by, row.on) == (finding.id, "B. Holm", datetime.date(2026, 12, 3))
    reassess(desk)
    now = stand_at(notes, "not-checked")
    assert now.accepted is not None
    assert now.number == finding.number
    assert notes.count_words == "5 stops, 8 warns, 4 notes"
    assert "Accepted: B. Holm, 2026-12-03, seen from the roof, no lamp at hand" in notes.list.currentIndex().data()
    assert notes.card.accept.isHidden()
    click(notes.card.withdraw)
    assert desk.site.design.accepted == ()
    reassess(desk)
    assert stand_at(notes, "not-checked").accepted is None
    notes.close()


@pytest.mark.parametrize("code", ["band-not-outdoors", "wrong-supply", "wet-injector"])
def test_what_is_illegal_or_dangerous_cannot_be_accepted_and_says_so(qtbot, code):
    notes = notes_on(qtbot, desk_of("mill"))
    stand_at(notes, code)
    assert notes.card.accept.isHidden()
    assert notes.card.why_not == "It is illegal or dangerous: it cannot be accepted, only cured."
    stand_at(notes, "no-volts")
    assert notes.card.accept.isVisible()
    assert notes.card.why_not == ""
    notes.close()


def test_lapsed_acceptance_is_listed_and_withdrawn(qtbot):
    from survey_app.site.edits import accept_finding
    from survey_app.site.site import AcceptedFinding

    desk = desk_of("mill")
    notes = notes_on(qtbot, desk)
    assert notes.lapsed.isHidden()
    row = AcceptedFinding(
        finding="thin-margin:gone", reason="r", by="me", on=datetime.date(2026, 1, 1), severity="warn"
    )
    desk.perform(lambda site: accept_finding(site, row))
    reassess(desk)
    assert notes.lapsed.isVisible()
    notes.lapsed.button.setChecked(True)
    (button,) = notes.lapsed_rows
    assert button.accessibleName() == "withdraw the acceptance of thin-margin:gone"
    click(button)
    assert desk.site.design.accepted == ()
    reassess(desk)
    assert notes.lapsed.isHidden()
    notes.close()


def test_list_stays_at_its_finding_when_numbers_change(qtbot):
    desk = desk_of("college")
    notes = notes_on(qtbot, desk)
    finding = stand_at(notes, "not-checked")
    notes.list.stand_at(next(one.id for one in notes.list.flags.shown if one.code == "band-not-outdoors"))
    cure = notes.card.cure_buttons[0]
    notes.list.stand_at(finding.id)
    notes.list.stand_at(next(one.id for one in notes.list.flags.shown if one.code == "band-not-outdoors"))
    cure = notes.card.cure_buttons[0]
    click(cure)
    notes.list.stand_at(finding.id)
    reassess(desk)
    now = notes.list.current_finding()
    assert now.id == finding.id
    assert now.number == finding.number - 1
    notes.close()


def test_unchecked_site_says_so(qtbot):
    notes = notes_on(qtbot, Desk(Document(demo("mill")[0])))
    assert notes.count_words == ""
    assert notes._empty.text() == "The site has not been checked yet."
    notes.close()


def test_guide_button_asks_for_the_page_of_the_code(qtbot):
    notes = notes_on(qtbot, desk_of("mill"))
    asked: list[str] = []
    notes.guide_wanted.connect(asked.append)
    stand_at(notes, "no-volts")
    click(notes.card.guide)
    assert asked == ["no-volts"]
    notes.close()


def test_every_finding_of_the_demos_has_a_page_a_title_and_a_source_in_words():
    for name in ("boatyard", "college", "mill"):
        for finding in demo(name)[1].findings:
            assert "has no page" not in page_text(finding.code)
            assert title_of(finding.code) != finding.code
            assert source_words(finding.source)
            assert len(source_words(finding.source)) < 80


def test_hundreds_of_findings_make_no_widget_each(qtbot):
    desk = desk_of("mill")
    notes = notes_on(qtbot, desk)
    few = len(notes.findChildren(object))
    found = desk.assessment
    many = tuple(
        one.model_copy(update={"id": f"{one.id}-{copy}", "number": copy * 20 + one.number})
        for copy in range(40)
        for one in found.findings
    )
    desk.put_assessment(desk.site, found.model_copy(update={"findings": many}))
    assert len(notes.list.flags.shown) == len(many) == 40 * len(found.findings) > 500
    assert len(notes.findChildren(object)) == few
    notes.close()


def test_notes_are_as_high_as_their_words(qtbot):
    notes = notes_on(qtbot, desk_of("college"))
    delegate, option = notes.list.itemDelegate(), QStyleOptionViewItem()
    for number in range(notes.list.flags.rowCount()):
        index = notes.list.flags.index(number)
        assert delegate.sizeHint(option, index).height() >= 34
    wide = delegate.sizeHint(option, notes.list.flags.index(1)).height()
    notes.resize(200, 600)
    assert delegate.sizeHint(option, notes.list.flags.index(1)).height() > wide
    notes.close()


@pytest.mark.parametrize(("severity", "ink"), [("stop", "stop"), ("warn", "warn"), ("note", "card")])
def test_flag_has_the_ink_of_its_severity_and_a_shape_of_its_own(qtbot, severity, ink):
    image = QImage(60, 60, QImage.Format.Format_RGB32)
    image.fill(DAY.colour("paper"))
    painter = QPainter(image)
    paint_flag(painter, QPoint(30, 30).toPointF(), severity, "", 20.0)
    painter.end()
    assert image.pixelColor(30, 34).name() == DAY.colour(ink).name()
    corners = {"stop": (30 - 17, 30 - 17), "warn": (30 - 17, 30 - 10), "note": (30 - 17, 30 - 17)}
    assert image.pixelColor(*corners[severity]).name() == DAY.colour("paper").name()
    lower_corner = image.pixelColor(11, 46).name() != DAY.colour("paper").name()
    assert lower_corner == (severity == "warn")
