"""Hostile files, vanishing folders, full disks and two windows: one sentence, nothing lost, and the window lives on."""

from __future__ import annotations

import datetime
import errno
import json
import os
import shutil
from collections.abc import Callable, Iterator
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
from survey_app.site.place import PlanePoint, PolePlace
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
        window.choosers.folder_to_save = lambda _folder: self.folder  # type: ignore[method-assign]

    @property
    def desk(self) -> Any:
        """What lies on the desk."""
        return self.window.desk

    def add_pole(self, x_m: float = 5.0) -> None:
        """Do something that is worth saving."""
        pole = Pole(id="", name="", place=PlanePoint(x_m=x_m, y_m=3.0)) if False else _pole(self.desk, x_m)
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


def _pole(desk: Any, x_m: float) -> Pole:
    return Pole(id=edits.fresh_id(desk.site, "P"), place=PolePlace(position=PlanePoint(x_m=x_m, y_m=3.0)))


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
