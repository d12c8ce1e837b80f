"""Hostile files, vanishing folders, full disks and two windows: one sentence, nothing lost, and the window lives on."""

from __future__ import annotations

import datetime
import errno
import json
import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QColor, QDragEnterEvent, QDropEvent, QGuiApplication, QImage
from PySide6.QtWidgets import QApplication, QMessageBox, QPushButton

from survey_app.desktop.shell.application import Judge
from survey_app.desktop.shell.choosers import Choosers
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.window import Window
from survey_app.session.document import Document
from survey_app.session.orphans import orphans
from survey_app.session.state_folder import StateFolder
from survey_app.site import edits
from survey_app.site.file import read_site, site_to_bytes, write_site
from survey_app.site.new import new_site
from survey_app.site.place import PlanePoint
from survey_app.site.structure import Pole
from tests.site.full_site import full_site
from tests.site.test_hostile_files import CASES

pytestmark = pytest.mark.desktop

as_root = pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="nothing is read-only to who may do everything"
)


class Person:
    """Somebody at a window: what was said to them, what they answer, what they do.

    Parameters
    ----------
    window : Window
        The shown window.
    """

    def __init__(self, window: Window) -> None:
        self.window = window
        self.said: list[str] = []
        self.answer = "discard"
        self.folder: Path | None = None
        window.desk.said.connect(self.said.append)
        window.choosers.unsaved = lambda _name: self.answer  # type: ignore[method-assign]
        window.choosers.folder_to_save = lambda _folder, _name: self.folder  # type: ignore[method-assign]

    @property
    def desk(self) -> Any:
        """What lies on the desk."""
        return self.window.desk

    def add_pole(self, x_m: float = 5.0) -> None:
        """Do something that is worth saving."""
        pole = Pole(id=edits.fresh_id(self.desk.site, "P"), kind="pole", position=PlanePoint(x_m=x_m, y_m=3.0))
        assert self.desk.perform(lambda site: edits.add(site, pole))

    def act(self, action_id: str) -> None:
        """Choose from a menu."""
        self.window.menus.action(action_id).trigger()

    def choose(self, words: str) -> None:
        """Answer the question in the bar."""
        (button,) = [one for one in self.window.notice.buttons if one.text() == words]
        button.click()

    def drop(self, *paths: Path) -> None:
        """Drop files on the window, if it takes them."""
        data = QMimeData()
        data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
        no, left = Qt.KeyboardModifier.NoModifier, Qt.MouseButton.LeftButton
        copy = Qt.DropAction.CopyAction
        enter = QDragEnterEvent(QPoint(300, 300), copy, data, left, no)
        QApplication.sendEvent(self.window, enter)
        if enter.isAccepted():
            QApplication.sendEvent(self.window, QDropEvent(QPointF(300, 300), copy, data, left, no))

    def heard_one(self) -> str:
        """Return the one sentence that was said last."""
        assert self.said, "nothing was said"
        sentence = self.said[-1]
        assert "\n" not in sentence
        assert sentence.endswith((".", "?"))
        assert "Traceback" not in sentence
        assert self.window.trouble.count == 0
        self.said.clear()
        return sentence


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """A saved site."""
    write_site(full_site(), tmp_path / "yard")
    return tmp_path / "yard"


@pytest.fixture
def at(qtbot: Any) -> Iterator[Callable[[Document], Person]]:
    """Open windows, and close them in the end."""
    opened: list[Window] = []

    def make(document: Document) -> Person:
        window = Window(document, Judge(), Preferences())
        opened.append(window)
        window.resize(1280, 720)
        person = Person(window)
        window.show()
        qtbot.addWidget(window)
        window.opening.ask_what_waits()
        return person

    yield make
    for window in opened:
        window.choosers.unsaved = lambda _name: "discard"  # type: ignore[method-assign]
        window.close()
        assert window.trouble.count == 0


def _new() -> Document:
    return Document.new(new_site("Quarry yard", as_of=datetime.date(2026, 12, 1)))


# -- what is opened or dropped

HOSTILE: list[tuple[str, bytes]] = [(case[0], case[1]) for case in CASES]


def test_no_hostile_file_takes_the_place_of_the_site_at_hand(at: Any, tmp_path: Path) -> None:
    person = at(_new())
    person.add_pole()
    mine = person.desk.site
    for name, data in HOSTILE:
        folder = tmp_path / name
        folder.mkdir()
        (folder / "site.json").write_bytes(data)
        person.drop(folder)
        assert str(folder) in person.heard_one(), name
        assert person.desk.site is mine, name
    assert person.window.on_plan
    person.add_pole(9.0)
    person.act("edit.undo")
    assert person.desk.site is mine


def test_a_file_of_hundreds_of_megabytes_is_refused_at_once(at: Any, tmp_path: Path) -> None:
    person = at(_new())
    huge = tmp_path / "site.json"
    with huge.open("wb") as file:
        file.truncate(3 * 2**30)
    person.drop(huge)
    assert "larger than" in person.heard_one()


@pytest.mark.parametrize("kind", ["picture", "pdf", "nothing", "empty folder", "gone", "text", "device"])
def test_what_is_no_site_is_refused_in_one_sentence(at: Any, tmp_path: Path, kind: str) -> None:
    person = at(_new())
    mine = person.desk.site
    path = tmp_path / kind
    if kind == "picture":
        QImage(8, 8, QImage.Format.Format_RGB32).save(str(path), "PNG")
    elif kind == "pdf":
        path.write_bytes(b"%PDF-1.7\n1 0 obj\n")
    elif kind == "nothing":
        path.write_bytes(b"")
    elif kind == "empty folder":
        path.mkdir()
    elif kind == "text":
        path.write_text("site: yard", encoding="utf-16")
    elif kind == "device":
        if os.name == "nt":
            pytest.skip("no such thing here")
        path = Path("/dev/zero")
    person.drop(path)
    assert str(path) in person.heard_one()
    assert person.desk.site is mine


def test_a_site_that_is_dropped_is_opened(at: Any, yard: Path) -> None:
    person = at(_new())
    person.drop(yard)
    assert person.desk.document.lies_at(yard)
    person.drop(yard / "site.json")
    assert person.heard_one() == "That site is open here already."


def test_two_files_at_once_are_refused_in_one_sentence_wherever_they_are_dropped(at: Any, yard: Path) -> None:
    person = at(_new())
    mine = person.desk.site
    person.drop(yard, yard)
    assert "one site at a time" in person.heard_one()
    person.act("site.start")
    person.drop(yard, yard)
    assert "one site at a time" in person.heard_one()
    assert person.desk.site is mine


def test_a_site_with_the_longest_name_pushes_neither_menus_nor_window_apart(at: Any) -> None:
    person = at(_new())
    strip = person.window.strip
    before = (person.window.minimumSizeHint().width(), strip.menus.sizeHint().width())
    long = edits.change_design(person.desk.site, name="Wide " * 20, revision="R" * 8)
    site = long.after
    person.answer = "discard"
    assert person.window.opening.begin(site)
    QApplication.processEvents()
    assert person.window.width() == 1280
    assert person.window.minimumSizeHint().width() <= max(before[0], 1280)
    assert strip.menus.width() >= before[1]


# -- the clipboard


@pytest.mark.parametrize(
    "text",
    ["{", "[]", "null", "1" * 200_000, "[" * 50_000, "\x00\u202e", '{"format": "survey-site"}', "<b>P1</b>"],
    ids=["open", "list", "null", "digits", "deep", "signs", "site", "markup"],
)
def test_a_hostile_clipboard_changes_nothing(at: Any, text: str) -> None:
    person = at(_new())
    mine = person.desk.site
    QGuiApplication.clipboard().setText(text)
    person.act("edit.paste")
    assert len(person.heard_one()) < 400
    assert person.desk.site is mine


def test_a_copy_that_somebody_has_changed_is_refused_where_it_is_wrong(at: Any) -> None:
    person = at(_new())
    person.add_pole()
    person.act("edit.all")
    person.act("edit.copy")
    good = QGuiApplication.clipboard().text()
    for old, new in (('"pole"', '"castle"'), ("5.0", "1e999"), ("5.0", '"x"'), ('"id"', '"ID"'), ("3.0", "null")):
        bad = good.replace(old, new)
        if bad == good:
            continue
        mine = person.desk.site
        QGuiApplication.clipboard().setText(bad)
        person.act("edit.paste")
        person.heard_one()
        assert person.desk.site is mine, (old, new)
    QGuiApplication.clipboard().setText(good)
    person.act("edit.paste")
    assert len(person.desk.site.design.structures) == 2


# -- plan pictures


def _png(path: Path, width: int = 64, height: int = 48) -> Path:
    image = QImage(width, height, QImage.Format.Format_Grayscale8)
    image.fill(QColor("black"))
    image.save(str(path), "PNG")
    return path


def _wait_until_shown(person: Person, qtbot: Any) -> None:
    """Wait until a spot of the plan on which a black picture lies is dark."""
    canvas = person.window.canvas
    canvas.show_frame(replace(canvas.frame, x_m=20.0, y_m=20.0, px_per_m=20.0))
    before = canvas.viewport().grab().toImage()
    spot = QPoint(*(round(one) for one in canvas.frame.px(20.3, 20.3)))
    qtbot.waitUntil(lambda: canvas.viewport().grab().toImage().pixelColor(spot).lightness() < 160, timeout=60_000)
    assert not before.isNull()


def _wide_png(path: Path) -> Path:
    """A picture that says of itself to have thousands of millions of pixels."""
    import struct
    import zlib

    def part(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 0, 0, 0, 0)
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n" + part(b"IHDR", head) + part(b"IDAT", zlib.compress(b"\0")) + part(b"IEND", b"")
    )
    return path


def _pdf(path: Path, width_pt: float = 200.0, height_pt: float = 100.0) -> Path:
    import pypdfium2 as pdfium

    pdf = pdfium.PdfDocument.new()
    pdf.new_page(width_pt, height_pt)
    pdf.save(path)
    pdf.close()
    return path


def _locked_pdf(path: Path) -> Path:
    """A PDF that wants a word nobody has."""
    rows = (
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 200 100] >>",
        b"<< /Filter /Standard /V 1 /R 2 /P -4 /O <" + b"11" * 32 + b"> /U <" + b"22" * 32 + b"> >>",
    )
    data, table = b"%PDF-1.4\n", b"0000000000 65535 f \n"
    for number, row in enumerate(rows, start=1):
        table += b"%010d 00000 n \n" % len(data)
        data += b"%d 0 obj\n" % number + row + b"\nendobj\n"
    trailer = b"trailer\n<< /Size 5 /Root 1 0 R /Encrypt 4 0 R /ID [<" + b"33" * 16 + b"><" + b"33" * 16 + b">] >>\n"
    path.write_bytes(data + b"xref\n0 5\n" + table + trailer + b"startxref\n%d\n%%%%EOF\n" % len(data))
    return path


@pytest.fixture
def pictures(at: Any, yard: Path) -> tuple[Person, Any]:
    """A person at the page of plan pictures."""
    person = at(Document.open(yard))
    person.act("check.plan pictures")
    return person, person.window.band.widget("plan pictures")


def _add(pictures: tuple[Person, Any], path: Path) -> tuple[str, int]:
    person, panel = pictures
    before = len(person.desk.site.design.plan_pictures)
    panel.ask_file = lambda _parent: path
    panel.add_button.click()
    person.window.repaint()
    QApplication.processEvents()
    assert person.window.trouble.count == 0
    return panel.reason.text(), len(person.desk.site.design.plan_pictures) - before


@pytest.mark.parametrize(
    "name",
    ["empty.png", "text.png", "empty.pdf", "text.pdf", "cut.pdf", "locked.pdf", "gone.png", "folder.png", "vast"],
)
def test_what_is_no_picture_is_not_laid_under_the_plan(pictures: Any, tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    if name == "folder.png":
        path.mkdir()
    elif name == "cut.pdf":
        path.write_bytes(_pdf(path).read_bytes()[:120])
    elif name == "locked.pdf":
        _locked_pdf(path)
    elif name == "vast":
        path = _wide_png(tmp_path / "vast.png")
    elif not name.startswith("gone"):
        path.write_bytes(b"" if "empty" in name else b"this is no picture")
    sentence, more = _add(pictures, path)
    assert more == 0
    assert str(path) in sentence
    assert sentence.endswith(".")
    assert "\n" not in sentence


def test_a_page_as_large_as_a_house_is_refused(pictures: Any, tmp_path: Path) -> None:
    sentence, more = _add(pictures, _pdf(tmp_path / "vast.pdf", 14_000.0, 14_000.0))
    assert more == 0
    assert "pixels" in sentence


def test_a_picture_that_is_cut_off_is_said_to_be_unreadable(pictures: Any, tmp_path: Path) -> None:
    whole = _png(tmp_path / "whole.png", 640, 480).read_bytes()
    (tmp_path / "cut.png").write_bytes(whole[: len(whole) // 2])
    sentence, more = _add(pictures, tmp_path / "cut.png")
    assert more == 0
    assert "cannot be read" in sentence


def test_a_picture_of_a_hundred_megapixels_can_lie_under_the_plan(pictures: Any, tmp_path: Path, qtbot: Any) -> None:
    sentence, more = _add(pictures, _png(tmp_path / "large.png", 12_500, 8_000))
    assert (sentence, more) == ("", 1)
    _wait_until_shown(pictures[0], qtbot)


def test_a_picture_under_a_site_that_was_never_saved_is_shown(at: Any, tmp_path: Path, qtbot: Any) -> None:
    person = at(_new())
    person.act("check.plan pictures")
    panel = person.window.band.widget("plan pictures")
    assert _add((person, panel), _png(tmp_path / "plan.png")) == ("", 1)
    _wait_until_shown(person, qtbot)


# -- saving


def test_a_folder_that_vanishes_takes_nothing_away(at: Any, yard: Path) -> None:
    person = at(Document.open(yard))
    person.add_pole()
    mine = person.desk.site
    shutil.rmtree(yard)
    person.act("site.save")
    assert "no longer there" in person.window.notice.sentence
    person.choose("Open what is there")
    assert "no such site" in person.heard_one()
    assert person.desk.site is mine
    person.act("site.save")
    person.choose("Save beside it")
    person.heard_one()
    assert person.desk.document.is_saved
    assert read_site(person.desk.document.path) == mine


def _full(monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)


def test_a_full_disk_leaves_the_old_file_and_the_new_work(at: Any, yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    person = at(Document.open(yard))
    was = (yard / "site.json").read_bytes()
    person.add_pole()
    mine = person.desk.site
    with monkeypatch.context() as patch:
        _full(patch)
        person.act("site.save")
        assert "no space left" in person.heard_one()
        assert (yard / "site.json").read_bytes() == was
        assert not person.desk.document.is_saved
        person.answer = "save"
        assert not person.window.close()
        person.heard_one()
        assert person.window.isVisible()
    assert person.desk.site is mine
    person.act("site.save")
    assert person.heard_one().startswith("Saved in")
    assert read_site(yard) == mine


@as_root
def test_a_read_only_folder_is_said_and_another_can_be_taken(at: Any, yard: Path, tmp_path: Path) -> None:
    person = at(Document.open(yard))
    person.add_pole()
    yard.chmod(0o500)
    try:
        person.act("site.save")
        assert "cannot be written" in person.heard_one()
        person.folder = tmp_path / "elsewhere"
        person.act("site.save_as")
        assert person.heard_one().startswith("Saved in")
    finally:
        yard.chmod(0o700)
    assert read_site(tmp_path / "elsewhere") == person.desk.site


def test_a_folder_that_refuses_every_file_is_said(at: Any, yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    person = at(Document.open(yard))
    person.add_pole()
    real = os.open

    def refuse(path: Any, flags: int, *rest: Any, **more: Any) -> int:
        if str(yard) in str(path) and flags & os.O_CREAT:
            raise PermissionError(errno.EACCES, "Permission denied")
        return real(path, flags, *rest, **more)

    with monkeypatch.context() as patch:
        patch.setattr(os, "open", refuse)
        person.act("site.save")
        assert "permission denied" in person.heard_one()
    assert not person.desk.document.is_saved


def test_a_state_folder_that_cannot_be_written_is_said_and_work_goes_on(
    at: Any, yard: Path, tmp_path: Path, qtbot: Any
) -> None:
    state = StateFolder().path
    state.parent.mkdir(parents=True, exist_ok=True)
    state.write_text("this is no folder")
    person = at(Document.open(yard))
    person.add_pole()
    qtbot.waitUntil(lambda: any("cannot be kept" in one for one in person.said), timeout=10_000)
    person.act("site.start")
    person.window.show_page(person.window.canvas)
    person.act("site.save")
    assert person.heard_one().startswith("Saved in")
    assert read_site(yard) == person.desk.site


def test_the_second_window_only_reads_and_takes_over_when_the_first_has_gone(at: Any, yard: Path) -> None:
    first, second = at(Document.open(yard)), at(Document.open(yard))
    assert "here it can only be read" in second.window.notice.sentence
    mine = second.desk.site
    assert not second.desk.perform(lambda site: edits.set_revision(site, "Z"))
    assert "open in another window" in second.heard_one()
    second.choose("Take it over")
    assert "close it there first" in second.heard_one()
    first.add_pole()
    first.act("site.save")
    first.window.close()
    second.choose("Take it over")
    assert second.window.notice.sentence == ""
    assert second.desk.site is not mine
    second.add_pole(9.0)
    second.act("site.save")
    assert read_site(yard) == second.desk.site


def _changed_behind(person: Person, yard: Path) -> tuple[Any, Any]:
    theirs = edits.set_revision(read_site(yard), "THEIRS").after
    person.add_pole()
    write_site(theirs, yard)
    person.act("site.save")
    return person.desk.site, theirs


def test_a_file_changed_behind_our_back_can_be_kept_beside(at: Any, yard: Path) -> None:
    person = at(Document.open(yard))
    mine, theirs = _changed_behind(person, yard)
    assert "changed by somebody else" in person.window.notice.sentence
    assert [one.text() for one in person.window.notice.buttons] == ["Save beside it", "Open what is there"]
    person.choose("Save beside it")
    assert "-mine-" in person.heard_one()
    assert read_site(yard) == theirs
    assert read_site(person.desk.document.path) == mine


def test_a_file_changed_behind_our_back_can_be_opened_and_ours_lies_aside(at: Any, yard: Path) -> None:
    person = at(Document.open(yard))
    _, theirs = _changed_behind(person, yard)
    person.choose("Open what is there")
    assert person.desk.site == theirs
    assert list(StateFolder().aside.glob("*.recovery"))
    assert "What was not saved lies in" in person.heard_one()


def test_a_file_that_was_damaged_behind_our_back_is_not_opened(at: Any, yard: Path) -> None:
    person = at(Document.open(yard))
    person.add_pole()
    mine = person.desk.site
    (yard / "site.json").write_bytes(site_to_bytes(mine)[:300])
    person.act("site.save")
    assert "can no longer be read" in person.window.notice.sentence
    person.choose("Open what is there")
    person.heard_one()
    assert person.desk.site is mine


# -- leaving


@pytest.mark.parametrize("answer", ["save", "discard", "stay"])
def test_closing_with_unsaved_work_asks_and_does_as_it_is_told(at: Any, yard: Path, answer: str) -> None:
    person = at(Document.open(yard))
    person.add_pole()
    mine, was = person.desk.site, read_site(yard)
    person.answer = answer
    closed = person.window.close()
    assert closed == (answer != "stay")
    assert read_site(yard) == (mine if answer == "save" else was)
    if answer == "stay":
        assert person.desk.site is mine
        person.add_pole(9.0)
    assert not orphans()


def test_closing_with_nothing_to_save_asks_nothing(at: Any, yard: Path) -> None:
    person = at(Document.open(yard))
    person.add_pole()
    person.act("edit.undo")
    person.window.choosers.unsaved = None  # type: ignore[assignment]
    assert person.window.close()


@pytest.mark.parametrize(
    ("button", "answer"), [("Save", "save"), ("Leave without saving", "discard"), ("Stay", "stay")]
)
def test_the_question_about_unsaved_work_gives_what_was_pressed(at: Any, qtbot: Any, button: str, answer: str) -> None:
    from PySide6.QtCore import QTimer

    person = at(_new())

    def press() -> None:
        box = QApplication.activeModalWidget()
        assert isinstance(box, QMessageBox)
        (found,) = [one for one in box.findChildren(QPushButton) if one.text().replace("&", "") == button]
        found.click()

    QTimer.singleShot(0, press)
    assert Choosers(person.window).unsaved("Yard") == answer


def test_staying_keeps_the_site_when_another_is_dropped(at: Any, yard: Path) -> None:
    person = at(_new())
    person.add_pole()
    mine = person.desk.site
    person.answer = "stay"
    person.drop(yard)
    assert person.desk.site is mine
    person.answer = "discard"
    person.drop(yard)
    assert person.desk.document.lies_at(yard)


def test_a_site_of_ours_that_cannot_be_opened_again_stays_what_it_is(at: Any, yard: Path) -> None:
    """Opening is tried before the present site is left, so that a damaged file costs nothing."""
    person = at(Document.open(yard))
    tree = json.loads((yard / "site.json").read_bytes())
    tree["version"] = 99
    other = yard.parent / "other"
    other.mkdir()
    (other / "site.json").write_text(json.dumps(tree))
    mine = person.desk.site
    person.drop(other)
    person.heard_one()
    assert person.desk.site is mine
    person.add_pole()
    person.act("site.save")
    assert person.heard_one().startswith("Saved in")
