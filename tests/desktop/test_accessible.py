"""Whoever listens instead of looking: each widget that takes the focus, and each button, says what it is."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QApplication,
    QComboBox,
    QDialog,
    QHeaderView,
    QLabel,
    QLineEdit,
    QSpinBox,
    QWidget,
)

from survey_app.data import demo_sites_folder
from survey_app.desktop.shell.application import Judge
from survey_app.desktop.shell.band import BAND_PAGES
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.trouble import TroubleDialog
from survey_app.desktop.shell.window import Window
from survey_app.session.document import Document
from survey_app.site.file import read_site

pytestmark = pytest.mark.desktop

KINDS = ("ST-A", "A-P", "shed-mast", "cam-gate-1", "hoist-shed", "fuel-pole", "tree", "laid-up", "line-road", "w-g",
         "switch-shed", "board-office", "head-end", "P-C", "water-tower", "n-hoist", "boundary", "harbour")  # fmt: skip


@pytest.fixture
def window(qtbot: Any) -> Iterator[Window]:
    """The whole window with the boatyard in it, assessed."""
    site = read_site(demo_sites_folder() / "boatyard" / "site.json")
    window = Window(Document.new(site), Judge(), Preferences())
    window.choosers.unsaved = lambda _name: "discard"  # type: ignore[method-assign]
    window.resize(1600, 1000)
    window.show()
    qtbot.addWidget(window)
    qtbot.waitUntil(lambda: window.desk.is_fresh, timeout=20000)
    yield window
    window.close()


def _is_part(widget: QWidget) -> bool:
    """Whether a widget is an inner part of a ready-made one, which speaks for it."""
    if widget.objectName().startswith("qt_"):
        return True
    parent = widget.parentWidget()
    if isinstance(widget, QHeaderView) or (isinstance(widget, QLineEdit) and isinstance(parent, QComboBox | QSpinBox)):
        return True
    # a label is read as it stands, a pane of a scrolled area is the area
    if isinstance(widget, QLabel) or (isinstance(parent, QAbstractScrollArea) and widget is parent.viewport()):
        return True
    # the list that a box of choices opens speaks by its rows
    return parent is not None and parent.metaObject().className().startswith("QComboBoxPrivate")


def _speaks(widget: QWidget) -> bool:
    if widget.accessibleName().strip():
        return True
    # a label that names the field by its buddy speaks for it
    top: QObject = widget.window()
    return any(label.buddy() is widget and label.text().strip() for label in top.findChildren(QLabel))


def _silent(root: QWidget) -> list[str]:
    found = []
    for widget in [root, *root.findChildren(QWidget)]:
        asked = isinstance(widget, QAbstractButton) or widget.focusPolicy() != Qt.FocusPolicy.NoFocus
        if not asked or _is_part(widget):
            continue
        words = widget.text() if isinstance(widget, QAbstractButton) else ""
        if not words.strip() and not _speaks(widget):
            found.append(f"{type(widget).__name__} {widget.objectName()} in {type(widget.parentWidget()).__name__}")
    return found


def test_every_widget_of_the_window_says_what_it_is(window: Window, qtbot: Any) -> None:
    for page in BAND_PAGES:
        window.band.show_page(page)
    assert _silent(window) == []
    assert len(window.findChildren(QAbstractButton)) > 40


def test_form_of_each_kind_says_what_its_fields_are(window: Window) -> None:
    known = window.desk.things
    for thing in (*KINDS, ""):
        assert not thing or thing in known, thing
        window.desk.select((thing,) if thing else ())
        for fold in window.notes.particulars.form.folds.values():
            fold.button.setChecked(True)
        QApplication.processEvents()
        assert _silent(window.notes) == [], thing
    window.desk.select(("ST-A", "ST-B"))
    assert _silent(window.notes) == []


def test_why_guide_finding_notice_and_pages_say_what_they_are(window: Window) -> None:
    window.notes.flags.list.setCurrentIndex(window.notes.flags.list.flags.index(0))
    window.desk.explained.emit("ST-A", "bearing_true_deg")
    assert window.desk.assessment is not None
    window.notes.show_guide(window.desk.assessment.findings[0].code)
    window.notice.ask("Take it up?", [("Yes", lambda: None), ("No", lambda: None)])
    window.show_start_page()
    window.show_keys()
    assert _silent(window) == []


def test_dialog_of_trouble_says_what_it_is(qtbot: Any, tmp_path: Path) -> None:
    dialog: QDialog = TroubleDialog("It broke.", "The site is safe.", "report", str(tmp_path))
    qtbot.addWidget(dialog)
    assert _silent(dialog) == []


def test_a_silent_widget_is_found(qtbot: Any) -> None:
    root = QWidget()
    qtbot.addWidget(root)
    QLineEdit(root)
    area = QAbstractScrollArea(root)
    area.setAccessibleName("an area")
    assert _silent(root) == ["QLineEdit  in QWidget"]
