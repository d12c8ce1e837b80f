"""The form of the selection: what is shown, what typing does, what stays."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.entries import Entry
from survey_app.desktop.panels.field_words import FIRST, SITE_FIRST
from survey_app.desktop.panels.form import FigureRow
from survey_app.desktop.panels.particulars import Particulars
from survey_app.paper.rounding import bearing, number
from survey_app.session.document import Document
from survey_app.site.edits import add_spot_heights, change, change_design
from survey_app.site.network import CameraTarget
from survey_app.site.place import GeoPoint, PlanePoint
from survey_app.site.relief import SpotHeight
from tests.desktop.panel_desks import catalogue, choose, demo, desk_of, open_folds, reassess, shown_in, tick, type_into
from tests.site.full_site import full_site


def panel_on(qtbot, desk: Desk, *ids: str) -> Particulars:
    panel = Particulars(desk, catalogue())
    qtbot.addWidget(panel)
    desk.select(ids)
    return panel


def figure(panel: Particulars, label: str) -> FigureRow:
    return next(row for row in panel.form.figures if row.figure.label == label)


def test_head_names_the_kind_and_the_id(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "G")
    assert panel.head_words == ("SELECTED HOP", "G")
    desk.select(["A-G"])
    assert panel.head_words == ("SELECTED ACCESS POINT", "A-G")
    desk.select([])
    assert panel.head_words == ("THE SITE", "")


def test_things_of_several_kinds_are_listed_by_kind(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "ST-A", "G", "ST-B")
    assert panel.head_words == ("3 SELECTED", "several kinds")
    assert panel.listed_words == "station: ST-A, ST-B\nhop: G"
    desk.select(["G"])
    assert panel.listed_words == ""


def test_figures_of_a_hop_are_those_of_the_assessment_rounded_as_on_paper(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "G")
    hop = demo("boatyard")[1].hop("G")
    assert figure(panel, "bearing at ST-gate, true").text == bearing(hop.ends.station.bearing_true_deg)
    assert figure(panel, "distance").text.startswith(f"{number(hop.distance_m, 1)}\N{NO-BREAK SPACE}m")
    assert figure(panel, "reading at ST-gate").text == "−40 ±4\N{NO-BREAK SPACE}dBm"
    assert figure(panel, "clearance").text == "1.72 × first zone, not seen"


def test_stale_figures_stand_in_brackets_until_the_answer_comes(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "G")
    before = figure(panel, "tilt at ST-gate").text
    type_into(panel.form.field("height_m", "gate"), "9")
    assert desk.things["gate"].height_m == 9.0
    assert figure(panel, "tilt at ST-gate").text == f"[{before}]"
    reassess(desk)
    after = figure(panel, "tilt at ST-gate").text
    assert not after.startswith("[")
    assert after != before


def test_typed_height_is_one_step_that_undo_takes_back(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "gate")
    site = desk.site
    type_into(panel.form.field("height_m"), "7.25 m")
    assert desk.things["gate"].height_m == 7.25
    assert shown_in(panel.form.field("height_m")) == "7.25 m"
    desk.undo()
    assert desk.site is site
    assert shown_in(panel.form.field("height_m")) == "6.0 m"


def test_feet_are_read_and_shown_where_the_site_has_feet(qtbot):
    desk = desk_of("boatyard")
    assert desk.perform(lambda site: change_design(site, units="feet"))
    reassess(desk)
    panel = panel_on(qtbot, desk, "gate")
    assert shown_in(panel.form.field("height_m")) == "19.69 ft"
    type_into(panel.form.field("height_m"), "20")
    assert desk.things["gate"].height_m == pytest.approx(6.096)
    type_into(panel.form.field("height_m"), "19 ft 6 in")
    assert desk.things["gate"].height_m == pytest.approx(5.9436)
    type_into(panel.form.field("height_m"), "6 m")
    assert desk.things["gate"].height_m == 6.0
    type_into(panel.form.field("height_m"), "4000")
    assert panel.form.field("height_m").reason == "4000 ft is too large, at most 3281 ft."
    # what is looked at and left alone is not changed by rounding
    QTest.keyClick(panel.form.field("height_m").editor.inner, Qt.Key.Key_Escape)
    QTest.keyClick(panel.form.field("height_m").editor.inner, Qt.Key.Key_Return)
    assert desk.things["gate"].height_m == 6.0


def test_refused_value_stays_while_the_rest_of_the_form_follows(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "gate")
    row = panel.form.field("height_m")
    type_into(row, "2000")
    assert row.reason == "2000.0 is too large, at most 1000 m."
    desk.perform(lambda site: change(site, "gate", name="Gate, new column"))
    assert shown_in(panel.form.field("name")) == "Gate, new column"
    assert shown_in(row) == "2000"
    assert row.reason
    type_into(row, "8")
    assert row.reason == ""
    assert desk.things["gate"].height_m == 8.0


def test_another_selection_forgets_what_was_refused(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "gate")
    type_into(panel.form.field("height_m"), "2000")
    desk.select(["fuel"])
    assert panel.form.field("height_m").reason == ""
    assert shown_in(panel.form.field("height_m")) == f"{desk.things['fuel'].height_m} m"
    desk.select(["gate"])
    assert shown_in(panel.form.field("height_m")) == "6.0 m"


def test_gear_of_the_catalogue_is_found_by_a_part_of_its_name_and_comes_with_its_copy(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "A-G")
    known = {row.id for row in desk.site.design.gear}
    new = next(item for item in catalogue().of_kind("radio") if item.id not in known)
    site = desk.site
    type_into(panel.form.field("gear"), new.name)
    assert desk.things["A-G"].gear == new.id
    assert new.id in {row.id for row in desk.site.design.gear}
    desk.undo()
    assert desk.site is site


def test_the_list_of_gear_offers_only_the_kind_that_fits_with_its_beam(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "A-G")
    panel.show()
    combo = panel.form.field("gear").editor.inner
    combo.setFocus()
    combo.showPopup()
    combo.hidePopup()
    words = [combo.itemText(number) for number in range(combo.count())]
    assert len(words) == len(catalogue().of_kind("radio"))
    assert any(word.startswith("Bowline P16, ") and "16 dBi" in word for word in words)
    panel.close()


def test_mount_is_chosen_by_name(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "ST-gate")
    type_into(panel.form.field("mount"), "Fuel pole")
    assert panel.form.field("mount").reason == ""
    assert desk.things["ST-gate"].mount == "fuel"


def test_camera_that_is_hung_leaves_its_position(qtbot):
    desk = Desk(Document(full_site()))
    panel = panel_on(qtbot, desk, "eye-2")
    type_into(panel.form.field("mount"), "roof-mount")
    assert (desk.things["eye-2"].mount, desk.things["eye-2"].position) == ("roof-mount", None)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("10, 20", PlanePoint(x_m=10.0, y_m=20.0)),
        ("10.5 -20 m", PlanePoint(x_m=10.5, y_m=-20.0)),
        ("100, 50 ft", PlanePoint(x_m=30.48, y_m=15.24)),
        ("56.3 N, 11.8 E", GeoPoint(lat_deg=56.3, lon_deg=11.8)),
    ],
)
def test_position_is_typed_in_metres_or_as_latitude_and_longitude(qtbot, text, place):
    desk = Desk(Document(full_site()))
    panel = panel_on(qtbot, desk, "gate-pole")
    type_into(panel.form.field("position"), text)
    assert desk.things["gate-pole"].position == place


def test_aim_by_hand_comes_and_goes_with_its_bearing(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "A-G")
    type_into(panel.form.field("aim.bearing_deg"), "281.5")
    assert desk.things["A-G"].aim.bearing_deg == 281.5
    type_into(panel.form.field("aim.tilt_deg"), "-2")
    assert desk.things["A-G"].aim.tilt_deg == -2.0
    type_into(panel.form.field("aim.bearing_deg"), "")
    assert desk.things["A-G"].aim is None
    assert all(row.entry.path != "aim.tilt_deg" for row in panel.form.fields)


def test_target_of_a_camera_comes_with_a_scene(qtbot):
    desk = Desk(Document(full_site()))
    panel = panel_on(qtbot, desk, "eye-2")
    type_into(panel.form.field("target.position"), "30, 40")
    assert desk.things["eye-2"].target == CameraTarget(position=PlanePoint(x_m=30.0, y_m=40.0), width_m=10.0)


def test_several_things_show_what_they_share_and_change_in_one_step(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "gate", "fuel", "office-west")
    assert panel.head_words == ("3 SELECTED, MOUNT", "")
    assert shown_in(panel.form.field("height_m")) == ""
    assert panel.form.field("height_m").editor.inner.placeholderText() == "several"
    assert all(row.entry.path not in ("id", "name") for row in panel.form.fields)
    site = desk.site
    type_into(panel.form.field("height_m"), "5.5")
    assert [desk.things[one].height_m for one in ("gate", "fuel", "office-west")] == [5.5, 5.5, 5.5]
    desk.undo()
    assert desk.site is site


def test_several_things_are_all_left_alone_where_one_refuses(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "gate", "fuel")
    site = desk.site
    type_into(panel.form.field("height_m"), "5000")
    assert panel.form.field("height_m").reason
    assert desk.site is site


def test_nothing_selected_shows_the_site(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk)
    type_into(panel.form.field("name"), "Inner basin")
    type_into(panel.form.field("revision"), "D")
    type_into(panel.form.field("as_of"), "2027-03-01")
    type_into(panel.form.field("region"), "EU")
    type_into(panel.form.field("plane.anchor"), "55.5, 12.25")
    type_into(panel.form.field("defaults.margin_near_db"), "12")
    choose(panel.form.field("paper"), 0)
    design = desk.site.design
    assert (design.name, design.revision, design.as_of.isoformat(), design.region) == (
        "Inner basin", "D", "2027-03-01", "EU",
    )  # fmt: skip
    assert (design.plane.anchor.lat_deg, design.plane.anchor.lon_deg) == (55.5, 12.25)
    assert design.defaults.margin_near_db == 12.0
    assert design.paper == "a4"
    type_into(panel.form.field("plane.anchor"), "")
    assert desk.site.design.plane.anchor is None


def test_id_is_renamed_with_all_that_names_it(qtbot):
    desk = desk_of("college")
    panel = panel_on(qtbot, desk, "tower-corner")
    users = [radio.id for radio in desk.site.design.radios if radio.mount == "tower-corner"]
    type_into(panel.form.field("id"), "corner")
    assert {desk.things[one].mount for one in users} == {"corner"}


def test_f1_asks_why_of_a_figure_and_of_a_typed_value(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "G")
    asked: list[tuple[str, str]] = []
    desk.explained.connect(lambda subject, quantity: asked.append((subject, quantity)))
    QTest.keyClick(figure(panel, "distance").findChild(type(panel.form.folds["more"].button)), Qt.Key.Key_F1)
    QTest.keyClick(panel.form.field("height_m", "gate").editor.inner, Qt.Key.Key_F1)
    assert asked == [("G", "distance_m"), ("gate", "height_m")]


def test_focus_stays_in_the_field_when_the_site_changes(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "A-G")
    panel.resize(300, 600)
    panel.show()
    qtbot.waitExposed(panel)
    line = panel.form.field("power_ceiling_dbm").editor.inner
    line.setFocus()
    desk.perform(lambda site: change(site, "A-G", name="Office to gate, new"))
    assert panel.form.field("power_ceiling_dbm").editor.inner is line
    type_into(panel.form.field("aim.bearing_deg"), "280")
    assert panel.form.field("aim.bearing_deg").entry.value == 280.0
    panel.close()


def test_tick_is_a_step_with_a_name(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk, "A-G")
    open_folds(panel.form)
    tick(panel.form.field("isolation"))
    assert desk.things["A-G"].isolation is True
    assert "isolation" in desk.document.history.undo_label


def test_every_curated_field_exists():
    from survey_app.desktop.panels.entries import entries_of, site_entries

    site = full_site()
    seen: dict[str, set[str]] = {}
    from survey_app.desktop.panels.field_words import kind_of
    from survey_app.site.collection import every_thing

    for _, _, thing in every_thing(site.design):
        seen.setdefault(kind_of(thing), set()).update(entry.path for entry in entries_of(site, thing))
    for kind, paths in FIRST.items():
        assert set(paths) <= seen[kind], kind
    shown: list[Entry] = list(site_entries(site))
    assert set(SITE_FIRST) <= {entry.path for entry in shown}


def test_rows_are_never_squeezed_where_the_form_is_low(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk)
    panel.resize(268, 150)
    panel.show()
    desk.select(["P-C"])
    qtbot.waitUntil(lambda: all(row.height() >= 16 for row in panel.form.figures if not row.figure.folded))
    assert panel.inside.height() > panel.view.height()


def test_particulars_of_the_site_say_what_the_ground_is(qtbot):
    desk = desk_of("boatyard")
    panel = panel_on(qtbot, desk)
    assert panel.listed_words == "ground: assumed flat"
    corners = ((-300, -300, 1.0), (300, -300, 2.0), (300, 300, 3.0), (-300, 300, 2.0))
    spots = [SpotHeight(position=PlanePoint(x_m=x, y_m=y), height_m=h) for x, y, h in corners]
    desk.perform(lambda site: add_spot_heights(site, spots))
    assert panel.listed_words == "ground: 4 spot heights, heights over site datum, sigma 0.02 m"
