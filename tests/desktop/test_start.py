"""What the start of the window does before and after Qt is there."""

from __future__ import annotations

import gc
import subprocess
import sys

import pytest

from survey_app.desktop.shell.application import Lasting
from survey_app.session.document import Document
from survey_app.site.edits import rename
from tests.desktop.desks import demo, demo_desk

_LOADED = """
import sys
from survey_app.desktop.shell.application import load_before_qt
load_before_qt()
print([name for name in sys.modules if name.startswith(("PySide6", "shiboken6", "pyqtgraph"))])
before = set(sys.modules)
import survey_app.desktop.shell.window
print(sorted(name for name in sys.modules if name.startswith("survey_app.")
             and not name.startswith("survey_app.desktop") and name not in before))
"""


def test_all_that_needs_no_qt_is_loaded_before_it():
    done = subprocess.run([sys.executable, "-c", _LOADED], capture_output=True, text=True, check=True)
    of_qt, late = done.stdout.splitlines()
    assert of_qt == "[]"
    assert late == "[]", f"name what loads these in application._WITHOUT_QT: {late}"


@pytest.fixture
def searched():
    """Search everything for garbage again after a test."""
    yield
    gc.unfreeze()


@pytest.mark.usefixtures("searched")
def test_document_is_left_out_of_searches_for_garbage_once_it_is_assessed(qtbot):
    desk = demo_desk("boatyard")
    site, assessment = demo("boatyard")
    lasting = Lasting(desk)
    desk.assessed.connect(lasting.leave_out)
    before = gc.get_freeze_count()
    desk.put_assessment(desk.site, assessment)
    first = gc.get_freeze_count()
    assert first > before
    desk.perform(lambda one: rename(one, one.design.structures[0].id, "yard-office"))
    desk.put_assessment(desk.site, assessment)
    # what was left out is freed as always when nothing holds it
    assert gc.get_freeze_count() <= first
    desk.replace_document(Document.new(site))
    between = gc.get_freeze_count()
    desk.put_assessment(desk.site, assessment)
    assert gc.get_freeze_count() > between
