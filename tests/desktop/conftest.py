"""Every desktop test starts with fresh settings and may leave no thread, timer or window behind."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
pytest.importorskip("PySide6.QtWidgets")


@pytest.fixture(scope="session", autouse=True)
def _prepared() -> None:
    """Have the loops over rays ready, as the window's own thread does: a drag asks them within a frame."""
    from survey_app.ground.first_use import prepare_geometry

    prepare_geometry()


@pytest.fixture(autouse=True)
def fresh_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Settings and state lie in a folder of this test alone."""
    from PySide6.QtCore import QSettings

    for form in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(form, QSettings.Scope.UserScope, str(tmp_path / "settings"))
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


@pytest.fixture(autouse=True)
def nothing_left(qapp: object, fresh_settings: None) -> Iterator[None]:
    """Fail a test that leaves a thread, a running timer or a window."""
    from PySide6.QtCore import QCoreApplication, QEvent, QTimer
    from PySide6.QtWidgets import QApplication

    threads = set(threading.enumerate())
    yield
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    QCoreApplication.processEvents()
    shown = [window for window in QApplication.topLevelWidgets() if window.isVisible()]
    timers = [
        timer
        for window in QApplication.topLevelWidgets()
        for timer in window.findChildren(QTimer)
        if timer.isActive() and window.isVisible()
    ]
    left = [one for one in threading.enumerate() if one not in threads and not one.daemon]
    for window in shown:
        window.close()
    assert not shown, f"windows left: {shown}"
    assert not timers, f"timers left: {timers}"
    assert not left, f"threads left: {left}"
