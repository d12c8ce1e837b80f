"""The sheets in the window: the very bytes that paper gets, page by page, printed, saved, written as a set."""

from __future__ import annotations

import threading

import pypdfium2 as pdfium
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtPrintSupport import QPrinter

from survey_app.desktop.strips.pdf_pages import PdfPages
from survey_app.desktop.strips.preview import Preview
from survey_app.desktop.strips.worker import Worker
from survey_app.paper.paper_set import PAPER_FILES
from survey_app.site.edits import set_revision
from tests.desktop.desks import demo, demo_desk, saved_desk


@pytest.fixture
def desk():
    desk = demo_desk("mill")
    yield desk
    desk.document.close()


@pytest.fixture
def preview(qtbot, desk):
    preview = Preview(desk)
    qtbot.addWidget(preview)
    preview.resize(1280, 686)
    preview.show()
    yield preview
    preview.stop()


def _wait(qtbot, preview):
    qtbot.waitUntil(lambda: not preview.is_busy, timeout=60_000)


def _open(qtbot, preview, name):
    preview.open(name)
    _wait(qtbot, preview)


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("cover", "cover.pdf"),
        ("mounting", "mounting-sheets.pdf"),
        ("bench", "bench-sheets.pdf"),
        ("schedule", "hop-schedule.pdf"),
        ("network", "network.pdf"),
        ("tally", "tally.pdf"),
    ],
)
def test_what_is_shown_are_the_bytes_that_paper_gets(qtbot, preview, name, file):
    _open(qtbot, preview, name)
    site, assessment = demo("mill")
    assert preview._pages.data == PAPER_FILES[file](site, assessment, site.design.paper)
    assert preview.page_count == len(pdfium.PdfDocument(preview._pages.data))
    assert preview.document == name


def test_page_is_drawn_at_device_pixels_and_fits(qtbot, preview):
    _open(qtbot, preview, "mounting")
    size = preview._pages.size_mm(0)
    ratio = preview.devicePixelRatioF()
    for fit in ("page", "width"):
        preview.view.set_fit(fit)
        picture = preview.view.picture
        assert picture.width() == pytest.approx(size.width() * preview.view.px_per_mm * ratio, abs=1.0)
        room = preview.view.maximumViewportSize()
        assert picture.width() / ratio <= room.width()
        if fit == "page":
            assert picture.height() / ratio <= room.height()
    dark = sum(
        picture.pixelColor(x, y).lightness() < 80
        for x in range(0, picture.width(), 7)
        for y in range(0, picture.height(), 7)
    )
    assert dark > 100


def test_keys_turn_pages_and_zoom_and_escape_gives_the_plan_back(qtbot, preview):
    _open(qtbot, preview, "mounting")
    preview.view.setFocus()
    qtbot.keyClick(preview.view, Qt.Key.Key_PageDown)
    assert preview.page == 1
    assert preview.bar.number.value() == 2
    assert preview.column.thumbs.currentRow() == 1
    qtbot.keyClick(preview.view, Qt.Key.Key_PageUp)
    qtbot.keyClick(preview.view, Qt.Key.Key_PageUp)
    assert preview.page == 0
    before = preview.view.px_per_mm
    qtbot.keyClick(preview.view, Qt.Key.Key_Plus)
    assert preview.view.px_per_mm == pytest.approx(1.25 * before)
    with qtbot.waitSignal(preview.closed):
        qtbot.keyClick(preview.view, Qt.Key.Key_Escape)


def test_page_number_and_thumbnails_lead_to_a_page(qtbot, preview):
    _open(qtbot, preview, "mounting")
    preview.bar.number.setValue(3)
    assert preview.page == 2
    preview.column.thumbs.setCurrentRow(1)
    assert preview.page == 1
    qtbot.waitUntil(lambda: not preview.column.thumbs.item(preview.page_count - 1).icon().isNull())


@pytest.mark.parametrize("radio", ["A-T", "ST-cart"])
def test_sheet_of_the_selected_radio_opens(qtbot, preview, desk, radio):
    desk.select((radio,))
    preview.open_selected()
    _wait(qtbot, preview)
    words = preview._pages.words(preview.page)
    assert words.split()[0] == radio or radio in words[:200]
    row = next(row for row in desk.assessment.radios if row.id == radio)
    assert f"{row.sheet_number} of {len(desk.assessment.radios)}" in words


def test_stale_design_is_said_and_the_new_sheet_follows(qtbot, preview, desk):
    _open(qtbot, preview, "cover")
    former = preview._pages.data
    desk.perform(lambda site: set_revision(site, "Q"))
    assert "has changed since" in preview.foot.sentence.text()
    from survey_app.assess.pipeline import assess

    desk.put_assessment(desk.site, assess(desk.site))
    _wait(qtbot, preview)
    assert preview._pages.data != former


def test_work_that_is_called_off_shows_nothing_and_leaves_no_thread(qtbot, preview):
    preview.open("mounting")
    assert preview.is_busy
    qtbot.mouseClick(preview.foot.cancel, Qt.MouseButton.LeftButton)
    assert preview.foot.sentence.text() == "Called off."
    preview.stop()
    assert not [thread for thread in threading.enumerate() if thread.name == "worker"]
    assert preview.page_count == 0


def test_saved_pdf_is_the_one_that_is_shown(qtbot, preview, tmp_path):
    _open(qtbot, preview, "tally")
    asked = []
    preview.ask_file = lambda _parent, suggested: asked.append(suggested) or tmp_path / "out.pdf"
    qtbot.mouseClick(preview.bar.save, Qt.MouseButton.LeftButton)
    assert (tmp_path / "out.pdf").read_bytes() == preview._pages.data
    assert asked == ["mill-A-tally.pdf"]
    preview.ask_file = lambda _parent, _suggested: tmp_path / "out.pdf" / "inside-a-file.pdf"
    qtbot.mouseClick(preview.bar.save, Qt.MouseButton.LeftButton)
    assert "out.pdf" in preview.foot.sentence.text()
    assert "Saved" not in preview.foot.sentence.text()


def test_pages_go_to_the_printer_at_their_true_size(qtbot, preview, tmp_path):
    _open(qtbot, preview, "mounting")
    target = tmp_path / "printed.pdf"

    def printer(_parent, pages):
        made = QPrinter()
        made.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        made.setOutputFileName(str(target))
        made.setResolution(150)
        made.setFromTo(1, min(pages, 2))
        return made

    preview.ask_printer = printer
    qtbot.mouseClick(preview.bar.print, Qt.MouseButton.LeftButton)
    _wait(qtbot, preview)
    assert preview.foot.sentence.text() == "2 pages went to the printer."
    printed = PdfPages(target.read_bytes())
    assert len(printed) == 2
    assert printed.size_mm(0).width() == pytest.approx(preview._pages.size_mm(0).width(), abs=0.5)
    # the black head of the sheet lies where it lay
    for pages in (printed, preview._pages):
        picture = pages.picture(0, 2.0).convertToFormat(QImage.Format.Format_Grayscale8)
        assert picture.pixelColor(50, 50).lightness() < 100
    printed.close()


def test_whole_set_is_written_once_and_never_over_what_was_issued(qtbot, tmp_path):
    desk = saved_desk("mill", tmp_path / "yard")
    preview = Preview(desk)
    qtbot.addWidget(preview)
    preview.show()
    said = []
    desk.said.connect(said.append)
    qtbot.mouseClick(preview.bar.write_set, Qt.MouseButton.LeftButton)
    _wait(qtbot, preview)
    folder = tmp_path / "yard" / "paper" / "A"
    assert {file.name for file in folder.iterdir()} == set(PAPER_FILES)
    assert "9 files" in said[-1]
    (folder / "tally.csv").write_text("issued")
    qtbot.mouseClick(preview.bar.write_set, Qt.MouseButton.LeftButton)
    _wait(qtbot, preview)
    assert "was issued here and differs" in preview.foot.sentence.text()
    assert (folder / "tally.csv").read_text() == "issued"
    preview.stop()
    desk.document.close()


def test_site_that_was_never_saved_has_no_folder_for_a_set(qtbot, preview):
    preview.write_set()
    assert "Save the site first" in preview.foot.sentence.text()


def test_work_that_a_newer_one_replaces_answers_nothing(qtbot):
    worker = Worker()
    go = threading.Event()
    answers = []
    worker.done.connect(lambda number, made: answers.append((number, made)))

    def slow(progress):
        go.wait(10)
        progress(1, 1)
        return "slow"

    worker.start(slow)
    second = worker.start(lambda _progress: "quick")
    qtbot.waitUntil(lambda: bool(answers))
    go.set()
    worker.stop()
    qtbot.wait(1)
    assert answers == [(second, "quick")]
