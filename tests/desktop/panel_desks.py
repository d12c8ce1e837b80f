"""Desks with an assessment for the tests of the panels, and a hand that types into a form."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.data import demo_sites_folder
from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.editors import ChoiceEditor, LineEditor, SearchEditor, TextEditor, TickEditor
from survey_app.desktop.panels.form import FieldRow, Fold, Form
from survey_app.gear.catalogue import Catalogue, load_catalogue
from survey_app.session.document import Document
from survey_app.site.file import read_site
from survey_app.site.site import Site


@lru_cache(maxsize=1)
def catalogue() -> Catalogue:
    """Return the catalogue, read once."""
    return load_catalogue()


@lru_cache(maxsize=4)
def demo(name: str) -> tuple[Site, Assessment]:
    """Return a demo site with its assessment, made once."""
    site = read_site(demo_sites_folder() / name)
    return site, assess(site)


def desk_of(name: str) -> Desk:
    """Return a desk with a demo site, assessed."""
    site, assessment = demo(name)
    desk = Desk(Document(site))
    desk.put_assessment(site, assessment)
    return desk


def reassess(desk: Desk) -> None:
    """Assess the site as it now is."""
    desk.put_assessment(desk.site, assess(desk.site))


def open_folds(form: Form) -> None:
    """Open all that is folded."""
    for fold in form.findChildren(Fold):
        fold.button.setChecked(True)


def type_into(row: FieldRow, text: str) -> None:
    """Select what stands in a field, type over it and press Enter; long texts are pasted."""
    editor = row.editor
    if isinstance(editor, SearchEditor):
        target = editor.inner.lineEdit()
    else:
        assert isinstance(editor, LineEditor | TextEditor)
        target = editor.inner
    target.selectAll()
    QTest.keyClick(target, Qt.Key.Key_Delete)
    if len(text) > 60 or not text.isascii():
        QGuiApplication.clipboard().setText(text)
        QTest.keyClick(target, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    elif text:
        QTest.keyClicks(target, text)
    if isinstance(editor, TextEditor):
        QTest.keyClick(target, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    else:
        QTest.keyClick(target, Qt.Key.Key_Return)


def shown_in(row: FieldRow) -> str:
    """Return what stands in a field."""
    editor = row.editor
    if isinstance(editor, LineEditor):
        return editor.text
    if isinstance(editor, TextEditor):
        return editor.inner.toPlainText()
    return editor.inner.currentText()


def choose(row: FieldRow, number: int) -> None:
    """Choose an entry of a list with the keys."""
    combo = row.editor.inner
    assert isinstance(row.editor, ChoiceEditor)
    QTest.keyClick(combo, Qt.Key.Key_Home)
    for _ in range(number):
        QTest.keyClick(combo, Qt.Key.Key_Down)


def tick(row: FieldRow) -> None:
    """Tick or untick with the space bar."""
    assert isinstance(row.editor, TickEditor)
    QTest.keyClick(row.editor.inner, Qt.Key.Key_Space)
