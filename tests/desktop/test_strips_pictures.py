"""Pictures under the plan: added, placed by typed points, faded, removed; every step undone."""

from __future__ import annotations

import pypdfium2 as pdfium
import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QLineEdit

from survey_app.desktop.strips.plan_picture import PlanPicturesPanel
from survey_app.ground.fit import fit_picture
from tests.desktop.desks import demo_desk, saved_desk


@pytest.fixture
def desk(tmp_path):
    desk = saved_desk("mill", tmp_path / "yard")
    yield desk
    desk.document.close()


@pytest.fixture
def panel(qtbot, desk):
    panel = PlanPicturesPanel(desk)
    qtbot.addWidget(panel)
    panel.resize(300, 700)
    panel.show()
    return panel


@pytest.fixture
def drawing(tmp_path):
    picture = QImage(800, 600, QImage.Format.Format_RGB32)
    picture.fill(Qt.GlobalColor.white)
    file = tmp_path / "ground floor.png"
    assert picture.save(str(file))
    return file


def _add(panel, file):
    panel.ask_file = lambda _parent: file
    panel.add_button.click()


def _type(qtbot, panel, row, column, text):
    table = panel.points
    table.setCurrentCell(row, column)
    table.editItem(table.item(row, column))
    editor = table.findChild(QLineEdit)
    editor.selectAll()
    qtbot.keyClick(editor, Qt.Key.Key_Delete)
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    # the table takes what was typed when the key has been dealt with, and lets the editor go
    QCoreApplication.processEvents()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def test_picture_is_copied_into_the_site_and_lies_under_the_plan(panel, desk, drawing, tmp_path):
    _add(panel, drawing)
    (picture,) = desk.site.design.plan_pictures
    assert (picture.name, picture.width_px, picture.height_px) == ("ground floor", 800, 600)
    assert (tmp_path / "yard" / "assets" / picture.file).read_bytes() == drawing.read_bytes()
    assert panel.list.currentItem().text() == "ground floor"
    desk.undo()
    assert desk.site.design.plan_pictures == ()
    assert panel.list.count() == 0
    assert "No picture" in panel.nothing.text()
    assert not panel.nothing.isHidden()


def test_typed_points_place_it_and_the_third_shows_what_is_left_over(qtbot, panel, desk, drawing):
    _add(panel, drawing)
    for column, text in ((0, "100"), (1, "500"), (2, "10"), (3, "20")):
        _type(qtbot, panel, 0, column, text)
    for column, text in ((0, "500"), (1, "500"), (2, "50"), (3, "20")):
        _type(qtbot, panel, 1, column, text)
    fit = fit_picture(panel.picture)
    assert fit.scale_m_per_px == pytest.approx(0.1)
    assert [float(one) for one in fit.to_plan(300.0, 500.0)] == pytest.approx([30.0, 20.0])
    assert "One pixel is 0.1 m" in panel.residual.text()
    assert [panel.points.item(row, 4).text() for row in (0, 1)] == ["0.00", "0.00"]
    panel.add_point_button.click()
    _type(qtbot, panel, 2, 2, "43")
    residual = fit_picture(panel.picture).residual_m
    assert [panel.points.item(row, 4).text() for row in range(3)] == [f"{one:.2f}" for one in residual]
    assert "Left over" in panel.residual.text()


@pytest.mark.parametrize("text", ["", "east", "1e9", "nan", "12,5"])
def test_wrong_figure_is_refused_in_words_and_changes_nothing(qtbot, panel, desk, drawing, text):
    _add(panel, drawing)
    before = desk.site
    _type(qtbot, panel, 0, 2, text)
    assert desk.site is before
    assert "is no number" in panel.reason.text()
    assert panel.points.item(0, 2).text() == text


def test_points_on_one_spot_are_refused_and_the_former_ones_stay(qtbot, panel, desk, drawing):
    _add(panel, drawing)
    before = desk.site
    _type(qtbot, panel, 0, 0, "800")
    _type(qtbot, panel, 0, 1, "0")
    assert desk.site is not before
    assert "one spot" in panel.reason.text()
    assert fit_picture(panel.picture)


def test_shear_needs_three_points(panel, desk, drawing):
    _add(panel, drawing)
    panel.fit.setCurrentIndex(1)
    panel.fit.activated.emit(1)
    assert panel.picture.fit == "similarity"
    assert "needs three known points" in panel.reason.text()
    assert panel.fit.currentData() == "similarity"


def test_strength_colours_and_removal_are_steps_of_the_history(qtbot, panel, desk, drawing):
    _add(panel, drawing)
    panel.opacity.setValue(80)
    panel.greyed.click()
    assert (panel.picture.opacity_fraction, panel.picture.greyed) == (0.8, False)
    desk.undo()
    assert panel.greyed.isChecked()
    desk.undo()
    assert panel.opacity.value() == 50
    panel.remove_button.click()
    assert desk.site.design.plan_pictures == ()
    desk.undo()
    assert panel.picture is not None


def test_page_of_a_pdf_is_chosen_and_a_page_that_is_not_there_refused(panel, desk, tmp_path):
    pdf = pdfium.PdfDocument.new()
    pdf.new_page(595, 842)
    pdf.new_page(842, 595)
    file = tmp_path / "plans.pdf"
    pdf.save(file)
    pdf.close()
    _add(panel, file)
    assert (panel.picture.page, panel.picture.dpi) == (1, 150.0)
    assert (panel.picture.width_px, panel.picture.height_px) == (1240, 1754)
    panel.page.setValue(2)
    assert (panel.picture.page, panel.picture.width_px) == (2, 1754)
    panel.page.setValue(3)
    assert panel.picture.page == 2
    assert "no page 3" in panel.reason.text()


@pytest.mark.parametrize(
    ("name", "data"), [("a.png", b"no picture"), ("a.pdf", b"%PDF-1.4 broken"), ("a.txt", b"words")]
)
def test_file_that_is_no_picture_is_refused_in_a_sentence(panel, desk, tmp_path, name, data):
    file = tmp_path / name
    file.write_bytes(data)
    before = desk.site
    _add(panel, file)
    assert desk.site is before
    assert name in panel.reason.text()


def test_site_that_was_never_saved_keeps_its_picture_until_it_is(qtbot, drawing):
    desk = demo_desk("mill")
    panel = PlanPicturesPanel(desk)
    qtbot.addWidget(panel)
    _add(panel, drawing)
    assert len(desk.site.design.plan_pictures) == 1
    desk.document.close()
