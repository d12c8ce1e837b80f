"""Evidence in the window: seen, read, built; recorded once, never changed, never undone."""

from __future__ import annotations

import datetime

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from survey_app.assess.verdict import shown_limits
from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.evidence_part import EvidencePart
from survey_app.desktop.panels.moments import read_moment, written_moment
from survey_app.desktop.panels.notes_column import NotesColumn
from survey_app.desktop.panels.particulars import Particulars
from survey_app.desktop.shell.preferences import Preferences
from survey_app.errors import UsageError
from survey_app.session.document import Document
from survey_app.site.edits import change_design, remove
from tests.desktop.panel_desks import catalogue, choose, demo, desk_of, reassess, shown_in, type_into

NOW = datetime.datetime(2026, 12, 3, 10, 30, tzinfo=datetime.timezone(datetime.timedelta(hours=-5)))


def panel_on(qtbot, desk: Desk, *ids: str) -> Particulars:
    panel = Particulars(desk, catalogue())
    qtbot.addWidget(panel)
    panel.resize(270, 700)
    with qtbot.waitActive(panel):
        panel.show()
        panel.activateWindow()
    desk.select(ids)
    panel.settle()
    return panel


def opened(panel: Particulars, key: str) -> EvidencePart:
    part = next(one for one in panel.on_site.parts if one.part.key == key)
    part.clock = lambda: NOW
    part.button.setChecked(True)
    return part


def press(part: EvidencePart) -> None:
    QTest.mouseClick(part.record, Qt.MouseButton.LeftButton)


def lines(part: EvidencePart) -> list[str]:
    return [label.text() for label in part.lines]


def test_sight_is_recorded_and_cures_not_checked_and_undo_leaves_it(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "G")
    part = opened(panel, "sight")
    assert "not-checked:G" in {finding.id for finding in desk.assessment.findings}
    desk.apply(change_design(desk.site, name="Yard"))
    checksum_half = desk.site.design
    choose(part.fields["result"], 1)
    choose(part.fields["leaf"], 1)
    type_into(part.fields["by"], "A. Walker")
    type_into(part.fields["note"], "From the ladder.")
    press(part)
    row = desk.site.evidence.sights[-1]
    assert (row.hop, row.result, row.leaf, row.by, row.note) == (
        "G",
        "seen_with_lamp",
        "bare",
        "A. Walker",
        "From the ladder.",
    )
    assert (row.at, row.revision) == (NOW, desk.site.design.revision)
    assert desk.site.design is checksum_half
    desk.undo()
    assert desk.site.design.name != "Yard"
    assert desk.site.evidence.sights[-1] is row
    reassess(desk)
    assert "not-checked:G" not in {finding.id for finding in desk.assessment.findings}
    assert part.button.text() == "seen on site, 1 recorded: close"
    assert lines(part) == [
        "2026-12-03 10:30 −05:00, A. Walker, rev. A",
        "Seen with lamp or mirror, trees bare.\nFrom the ladder.",
    ]
    panel.close()


def test_every_missing_field_says_so_and_the_cursor_goes_to_the_first(qtbot):
    desk = desk_of("boatyard")
    part = opened(panel := panel_on(qtbot, desk, "G"), "sight")
    before = desk.site
    press(part)
    reasons = {name: row.reason for name, row in part.fields.items() if row.reason}
    assert reasons.keys() == {"result", "leaf", "by"}
    assert "name is needed" in reasons["by"]
    assert part.fields["result"].editor.inner.hasFocus()
    assert desk.site is before
    choose(part.fields["result"], 0)
    assert part.fields["result"].reason == ""
    panel.close()


def test_name_typed_last_is_remembered_by_the_next_form_and_the_next_start(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "G")
    part = opened(panel, "sight")
    assert shown_in(part.fields["by"]) == ""
    choose(part.fields["result"], 0)
    choose(part.fields["leaf"], 2)
    type_into(part.fields["by"], "A. Walker")
    press(part)
    assert Preferences().author == "A. Walker"
    assert shown_in(opened(panel, "reading:station").fields["by"]) == "A. Walker"
    panel.close()


@pytest.mark.parametrize(("below_db", "word"), [(0, "good"), (5, "low"), (20, "far too low")])
def test_reading_is_told_right_or_wrong_in_one_sentence(qtbot, below_db, word):
    desk = desk_of("boatyard")
    limits = shown_limits(demo("boatyard")[1].hop("G").ends.station)
    said: list[str] = []
    desk.said.connect(said.append)
    panel = panel_on(qtbot, desk, "G")
    part = opened(panel, "reading:station")
    level = f"{limits.expected_dbm - below_db:.0f}"
    type_into(part.fields["level_dbm"], level)
    type_into(part.fields["by"], "A. Reader")
    press(part)
    minus = level.replace("-", "−")
    assert said[-1].startswith(f"Recorded. {minus} dBm at ST-gate is {word}: ")
    assert f"{minus} dBm at ST-gate is {word}: " in lines(part)[1]
    row = desk.site.evidence.readings[-1]
    assert (row.hop, row.end, row.level_dbm, row.power_mode) == ("G", "station", float(level), "fixed")
    panel.close()


@pytest.mark.parametrize(
    ("name", "typed", "reason"),
    [
        ("level_dbm", "-500", "too small"),
        ("level_dbm", "strong", "not a number"),
        ("level_per_chain_dbm", "-58,5", "comma"),
        ("volts_v", "900", "too large"),
        ("at", "2027-01-01 10:00", "later than now"),
        ("at", "yesterday", "not a date and time"),
        ("by", "x" * 400, "too long"),
    ],
)
def test_wrong_value_is_refused_at_its_field_and_nothing_is_recorded(qtbot, name, typed, reason):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "G")
    part = opened(panel, "reading:access_point")
    before = desk.site
    type_into(part.fields["rate_mbps"], "130")
    type_into(part.fields["by"], "A. Reader")
    type_into(part.fields[name], typed)
    assert reason in part.fields[name].reason
    press(part)
    assert desk.site is before
    assert part.fields[name].editor.inner.hasFocus()
    panel.close()


def test_reading_without_a_figure_is_refused(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "G")
    part = opened(panel, "reading:station")
    type_into(part.fields["by"], "A. Reader")
    press(part)
    assert part.fields["level_dbm"].reason == "Nothing is given: at least one figure is needed."
    assert not desk.site.evidence.readings
    panel.close()


def test_row_older_than_the_newest_is_recorded_and_said_not_to_count(qtbot):
    desk = desk_of("boatyard")
    said: list[str] = []
    desk.said.connect(said.append)
    panel = panel_on(qtbot, desk, "S-A")
    part = opened(panel, "sight")
    choose(part.fields["result"], 2)
    choose(part.fields["leaf"], 0)
    type_into(part.fields["by"], "A. Walker")
    type_into(part.fields["at"], "2026-10-01 08:00 -04:00")
    assert shown_in(part.fields["at"]) == "2026-10-01 08:00 −04:00"
    press(part)
    assert said[-1] == "Recorded. What surveyor noted at 2026-10-22 09:00 −04:00 is newer and counts."
    assert lines(part)[0].startswith("2026-10-22 09:00")
    assert lines(part)[2].startswith("2026-10-01 08:00")
    panel.close()


def test_what_is_begun_waits_for_its_thing(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "G")
    type_into(opened(panel, "reading:station").fields["level_dbm"], "-41")
    desk.select(["S-A"])
    panel.settle()
    assert shown_in(opened(panel, "reading:station").fields["level_dbm"]) == ""
    desk.select(["G"])
    panel.settle()
    assert shown_in(opened(panel, "reading:station").fields["level_dbm"]) == "−41 dBm"
    desk.perform(lambda site: remove(site, "G", cascade=True))
    panel.settle()
    assert panel.on_site.parts == ()
    panel.close()


def test_what_is_begun_is_not_taken_to_another_site(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "G")
    type_into(opened(panel, "reading:station").fields["level_dbm"], "-41")
    desk.replace_document(Document(demo("boatyard")[0]))
    desk.select(["G"])
    panel.settle()
    assert shown_in(opened(panel, "reading:station").fields["level_dbm"]) == ""
    panel.close()


def test_height_that_is_begun_is_shown_in_the_units_that_people_read_now(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "gate")
    part = opened(panel, "as_built")
    type_into(part.fields["height_m"], "6.096 m")
    desk.apply(change_design(desk.site, units="feet"))
    panel.settle()
    assert shown_in(part.fields["height_m"]) == "20.00 ft"
    type_into(part.fields["height_m"], "10")
    type_into(part.fields["by"], "A. Rigger")
    press(part)
    assert desk.site.evidence.as_built[-1].height_m == pytest.approx(3.048)
    panel.close()


def test_read_only_document_refuses_and_keeps_what_was_typed(qtbot):
    site, assessment = demo("boatyard")
    document = Document(site)
    document.read_only_reason = "the site is open in another window"
    desk = Desk(document)
    desk.put_assessment(site, assessment)
    said: list[str] = []
    desk.said.connect(said.append)
    panel = panel_on(qtbot, desk, "gate")
    part = opened(panel, "as_built")
    type_into(part.fields["height_m"], "6.4")
    type_into(part.fields["by"], "A. Rigger")
    press(part)
    assert "another window" in said[-1]
    assert desk.site is site
    assert shown_in(part.fields["height_m"]) == "6.4 m"
    panel.close()


def test_as_built_of_mount_radio_and_camera(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "gate")
    camera = desk.site.design.cameras[0].id
    for thing, given in (
        ("gate", {"height_m": "21 ft"}),
        ("ST-gate", {"bearing_true_deg": "128", "tilt_deg": "-2", "power_dbm": "12", "channel": "100"}),
        (camera, {"height_m": "4.5", "bearing_true_deg": "90"}),
    ):
        desk.select([thing])
        panel.settle()
        part = opened(panel, "as_built")
        for name, text in given.items():
            type_into(part.fields[name], text)
        type_into(part.fields["reason"], "The gutter is lower.")
        type_into(part.fields["by"], "A. Rigger")
        press(part)
    built = {row.subject: row for row in desk.site.evidence.as_built}
    assert built["gate"].height_m == pytest.approx(6.4008)
    radio = built["ST-gate"]
    assert (radio.bearing_true_deg, radio.tilt_deg, radio.power_dbm, radio.channel) == (128.0, -2.0, 12.0, 100)
    assert built[camera].reason == "The gutter is lower."
    assert lines(part)[1] == "Height as built 4.5 m, bearing 90°, The gutter is lower."
    panel.close()


def test_bench_acceptance_and_walk_lift_how_well_a_hop_is_known(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "ST-gate")
    part = opened(panel, "bench")
    choose(part.fields["passed"], 0)
    type_into(part.fields["serial"], "0123")
    type_into(part.fields["by"], "A. Rigger")
    press(part)
    assert desk.site.evidence.bench[-1].passed is True
    desk.select(["G"])
    panel.settle()
    part = opened(panel, "acceptance")
    choose(part.fields["accepted"], 0)
    press(part)
    reassess(desk)
    assert desk.assessment.hop("G").maturity == "accepted"
    panel.close()


def test_keyboard_alone_records_a_sight(qtbot):
    desk = desk_of("boatyard")
    Preferences().author = "A. Walker"
    panel = panel_on(qtbot, desk, "G")
    assert panel.record("G", "sight")
    part = panel.on_site.part("sight")
    assert part.fields["result"].editor.inner.hasFocus()
    QTest.keyClick(part.fields["result"].editor.inner, Qt.Key.Key_Home)
    for name in ("leaf", "photo", "by", "at", "note"):
        QTest.keyClick(panel.focusWidget(), Qt.Key.Key_Tab)
        assert part.fields[name].editor.inner.hasFocus(), name
        if name == "leaf":
            QTest.keyClick(panel.focusWidget(), Qt.Key.Key_End)
    QTest.keyClick(panel.focusWidget(), Qt.Key.Key_Tab)
    assert part.record.hasFocus()
    QTest.keyClick(part.record, Qt.Key.Key_Space)
    row = desk.site.evidence.sights[-1]
    assert (row.hop, row.result, row.leaf, row.by) == ("G", "seen", "no_trees", "A. Walker")
    panel.close()


def test_flag_note_of_a_hop_not_checked_leads_to_its_form(qtbot):
    desk = desk_of("boatyard")
    column = NotesColumn(desk, catalogue())
    qtbot.addWidget(column)
    column.resize(300, 800)
    with qtbot.waitActive(column):
        column.show()
        column.activateWindow()
    column.flags.list.stand_at("not-checked:G")
    column.flags.card.show_finding(column.flags.list.current_finding())
    button = next(one for one in column.flags.card.cure_buttons if one.words == "Record what was seen along it")
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert desk.selection == ("G",)
    part = column.particulars.on_site.part("sight")
    assert part.fields["result"].editor.inner.hasFocus()
    qtbot.waitUntil(lambda: part.fields["result"].visibleRegion().boundingRect().height() > 10)
    column.close()


def test_only_what_somebody_can_see_or_read_on_site_can_be_recorded(qtbot):
    desk = desk_of("boatyard")
    column = NotesColumn(desk, catalogue())
    qtbot.addWidget(column)
    can = {}
    for name, ids in {"hop": ["G"], "two": ["G", "S-A"], "none": [], "building": ["office"], "mount": ["gate"]}.items():
        desk.select(ids)
        can[name] = column.can_record
    assert can == {"hop": True, "two": False, "none": False, "building": False, "mount": True}
    column.record("gate")
    assert [one.part.key for one in column.particulars.on_site.parts] == ["as_built", "scan", "walk"]
    assert column.particulars.on_site.parts[0].button.isChecked()


def test_every_field_has_a_name_that_says_what_it_is_of(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "G")
    names = []
    for one in panel.on_site.parts:
        one.button.setChecked(True)
        names += [row.editor.inner.accessibleName() for row in one.fields.values()]
        names.append(one.record.accessibleName())
    assert all(names)
    assert len(set(names)) == len(names)
    panel.close()


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("2026-12-01 14:30 +01:00", "2026-12-01 14:30 +01:00"),
        ("2026-12-01T14:30:05Z", "2026-12-01 14:30 +00:00"),
        ("2026-12-01 9:05 −0500", "2026-12-01 09:05 −05:00"),
        ("", ""),
    ],
)
def test_moment_is_read_as_it_is_written(text, shown):
    assert written_moment(read_moment(text, NOW)) == shown


@pytest.mark.parametrize(
    "text", ["2026-13-01 10:00", "25:00", "10", "2026-12-01", "0000-01-01 00:00", "2026-12-01 10:00 +99:00"]
)
def test_what_is_no_moment_is_refused(text):
    with pytest.raises(UsageError, match="not a date and time"):
        read_moment(text, NOW)


def test_time_alone_is_of_today():
    found = read_moment("0:05", datetime.datetime.now().astimezone().replace(hour=23))
    assert (found.hour, found.minute) == (0, 5)
    assert found.date() == datetime.datetime.now().date()
