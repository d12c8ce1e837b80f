"""A random walk through the whole window: from a seed, real mouse, key and wheel events, figures, forms and actions.

The plan gets the events of `tests.desktop.walk`; beside them buttons, tables and fields are used wherever they stand,
actions are triggered, the window is resized, lit otherwise, and steps are taken back.
"""

from __future__ import annotations

import random
import sys
import time
import traceback
import warnings
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, QtMsgType, qInstallMessageHandler
from PySide6.QtGui import QColor, QImage, QKeyEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractItemView,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QMenu,
    QMenuBar,
    QPlainTextEdit,
    QWidget,
)

from survey_app.assess.pipeline import assess
from survey_app.desktop.shell.window import Window
from survey_app.site.references import check_references
from survey_app.site.site import Site
from tests.desktop.walk import Event, Walker, events

__all__ = ["WindowWalker", "faults_noted", "sound", "still_chooser"]

_LEAVING = frozenset({"site.open", "site.save_as", "site.quit"})
"""Actions that open the system's choosers or end the window."""
_SIZES = ((1280, 720), (1366, 768), (1600, 1000), (1920, 1080))
_WORDS = (
    "", "0", "-1", "3.5", "1e400", "nan", "٣", "12' 6\"", "9999999999", "5 kg", "a", "Ä" * 200, "<b>x</b>", "43.5, -69",
    "P1", "-0", "1,5", "\t", "%s", "A1", "no", "90", "2026-12-01", "\u202e", "10 m", "'; --",
)  # fmt: skip
_KEYS = {
    "Enter": Qt.Key.Key_Return,
    "Backspace": Qt.Key.Key_Backspace,
    "Delete": Qt.Key.Key_Delete,
    "Left": Qt.Key.Key_Left,
    "Right": Qt.Key.Key_Right,
    "Up": Qt.Key.Key_Up,
    "Down": Qt.Key.Key_Down,
    "Escape": Qt.Key.Key_Escape,
    "Tab": Qt.Key.Key_Tab,
    "F2": Qt.Key.Key_F2,
}
_KINDS = ("plan", "act", "poke", "write", "undo", "redo", "wheel", "drag view", "resize", "settle", "clipboard")
_WEIGHTS = (58.0, 8.0, 12.0, 9.0, 1.5, 2.0, 2.0, 1.0, 0.5, 3.0, 0.5)
_LEFT = Qt.MouseButton.LeftButton
_SETTLED_S = 120.0


def sound(site: Site) -> bool:
    """Whether the whole site passes its constructor and its references hold."""
    return Site.model_validate_json(site.model_dump_json()) == site and check_references(site) == ()


@contextmanager
def faults_noted() -> Iterator[list[str]]:
    """Collect what goes wrong where nobody can catch it: exceptions in handlers, Qt's own warnings, ours."""
    faults: list[str] = []

    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        faults.append("".join(traceback.format_exception(kind, error, trace)))

    def message(kind: QtMsgType, _context: object, text: str) -> None:
        # the platform without a screen says this of every window that wants the focus
        if kind != QtMsgType.QtDebugMsg and "does not support" not in text:
            faults.append(f"Qt: {text}")
        if kind == QtMsgType.QtFatalMsg:
            print(text, file=sys.stderr, flush=True)

    before = sys.excepthook
    sys.excepthook = hook
    handler = qInstallMessageHandler(message)
    try:
        with warnings.catch_warnings():
            warnings.filterwarnings("error", module=r"survey_app\..*")
            yield faults
    finally:
        sys.excepthook = before
        qInstallMessageHandler(handler)


def still_chooser(window: Window, folder: Path) -> None:
    """Answer every question of the system's choosers without showing it: nothing is left, files of ours are found."""
    folder.mkdir(parents=True, exist_ok=True)
    picture = folder / "plan.png"
    image = QImage(64, 48, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    image.save(str(picture))
    choosers: Any = window.choosers
    choosers.site_to_open = lambda _folder: None
    choosers.folder_to_save = lambda _folder, _name: None
    choosers.unsaved = lambda _name: "stay"
    window.preview.ask_file = lambda _parent, _suggested: folder / "sheets.pdf"
    window.preview.ask_printer = lambda _parent, _pages: None
    window.start_page.ask_folder = lambda _parent, _title: None
    pictures: Any = window.band.widget("plan pictures")
    pictures.ask_file = lambda _parent: picture
    table = folder / "heights.csv"
    table.write_text("x_m,y_m,height_m\n0,0,1\n120,10,3.5\n40,150,0\n90,90,2\n", encoding="utf-8")
    heights: Any = window.band.widget("ground heights")
    heights.ask_file = lambda _parent: table


class WindowWalker:
    """Plays events on a shown window.

    Parameters
    ----------
    window : Window
        The window; its choosers answer by themselves.
    seed : int
        The same seed gives the same chances; what is clicked also depends on what is shown.
    faults : list of str
        What went wrong where nobody catches it; the walk stops at the first.
    """

    def __init__(self, window: Window, seed: int, faults: list[str]) -> None:
        self.window = window
        self.faults = faults
        self.chance = random.Random(seed)
        self.trail: deque[str] = deque(maxlen=40)
        self.played = 0
        self._aims = Walker(window.desk, window.canvas, lambda _name: None)  # type: ignore[arg-type,return-value]
        self._plan_events = events(seed, sys.maxsize)
        self._adopt()

    def _adopt(self) -> None:
        """Take the present document as the one whose steps are counted."""
        self.document = self.window.desk.document
        self.first = self.document.site

    # -- the walk

    def walk(self, count: int, *, check_every: int = 500) -> None:
        """Play events; look at the whole site every so often."""
        for _ in range(count):
            self.step()
            if self.played % check_every == 0:
                assert sound(self.window.desk.site), self.story()
        assert sound(self.window.desk.site), self.story()

    def step(self) -> None:
        """Play one event and look for what must never be."""
        kind = self.chance.choices(_KINDS, _WEIGHTS)[0]
        if not self.window.on_plan and kind in ("plan", "drag view", "wheel"):
            kind = "back" if self.chance.random() < 0.3 else "poke"
        self._note(kind)
        getattr(self, f"_{kind.replace(' ', '_')}")()
        self._close_popups()
        QApplication.processEvents()
        self.played += 1
        if self.window.desk.document is not self.document:
            self._adopt()
        assert not self.faults, self.story()
        assert self.window.trouble.count == 0, self.story()
        assert QApplication.activeModalWidget() is None, self.story()
        assert self.window.isVisible(), self.story()

    def _note(self, words: str) -> None:
        self.trail.append(f"{self.played} {words}")

    def story(self) -> str:
        """Return what was done last, and what went wrong."""
        return "\n".join((*self.trail, f"tool {self.window.tool_name}", *self.faults[:3]))

    # -- on the plan

    def _plan(self) -> None:
        event = next(self._plan_events)
        self._note(f"  {event}")
        if event.kind == "tool":
            self.window.take_up(event.name)
        elif event.kind == "select":
            ids = sorted(self.window.desk.things)
            self.window.desk.select(ids[int(event.at[0] % 1.0 * len(ids)) :][: 1 + int(abs(event.at[1]) * 3)])
        elif event.kind in ("undo", "redo"):
            self._trigger(f"edit.{event.kind}")
        elif event.kind == "key":
            QTest.keyClick(self.window.canvas, _KEYS[event.name], _modifiers(event))
        elif event.kind == "type":
            _type(self.window.canvas, event.name)
        else:
            self._mouse(event)

    def _mouse(self, event: Event) -> None:
        view = self.window.canvas.viewport()
        pointer = self._aims.pointer(event)
        at = QPoint(*(round(one) for one in self.window.canvas.frame.px(pointer.x_m, pointer.y_m)))
        held = _modifiers(event)
        if event.kind == "move":
            QTest.mouseMove(view, at)
        elif event.kind == "press":
            QTest.mousePress(view, _LEFT, held, at)
        elif event.kind == "release":
            QTest.mouseRelease(view, _LEFT, held, at)
        else:
            QTest.mouseDClick(view, _LEFT, held, at)

    def _place(self, widget: QWidget) -> QPoint:
        return QPoint(self.chance.randrange(max(widget.width(), 1)), self.chance.randrange(max(widget.height(), 1)))

    def _wheel(self) -> None:
        view = self.window.canvas.viewport()
        at = QPointF(self._place(view))
        turn = QPoint(0, self.chance.choice((-480, -120, -1, 0, 120, 480)))
        event = QWheelEvent(
            at,
            view.mapToGlobal(at),
            QPoint(),
            turn,
            Qt.MouseButton.NoButton,
            Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QApplication.sendEvent(view, event)
        if self.chance.random() < 0.2:
            self._trigger("view.whole")

    def _drag_view(self) -> None:
        view = self.window.canvas.viewport()
        QTest.mousePress(view, Qt.MouseButton.MiddleButton, Qt.KeyboardModifier.NoModifier, self._place(view))
        QTest.mouseMove(view, self._place(view))
        QTest.mouseRelease(view, Qt.MouseButton.MiddleButton, Qt.KeyboardModifier.NoModifier, self._place(view))

    # -- around it

    def _trigger(self, action_id: str) -> None:
        self._note(f"  {action_id}")
        self.window.menus.action(action_id).trigger()

    def _act(self) -> None:
        actions = sorted(one.objectName() for one in self.window.menus.actions())
        self._trigger(self.chance.choice([one for one in actions if one not in _LEAVING]))

    def _shown(self, *kinds: type[QWidget]) -> list[QWidget]:
        canvas = self.window.canvas
        return [
            one
            for kind in kinds or (QWidget,)
            for one in self.window.findChildren(kind)
            if one.isVisible() and one.isEnabled() and one is not canvas and not canvas.isAncestorOf(one)
        ]

    def _poke(self) -> None:
        """Click, double click or drag at something beside the plan."""
        # a menu that is pulled down from its bar waits for a person in a loop of its own
        found = [
            one
            for one in self._shown()
            if not isinstance(one, QMenu | QMenuBar) and not isinstance(one.parent(), QMenuBar) and not one.isWindow()
        ]
        inmost = [one for one in found if not any(child.isWidgetType() for child in one.children())]
        widget = self.chance.choice(inmost or found)
        at = self._place(widget)
        self._note(f"  {type(widget).__name__} {widget.accessibleName()!r} {getattr(widget, 'text', str)()!r:.60}")
        how = self.chance.random()
        if how < 0.75:
            QTest.mouseClick(widget, _LEFT, Qt.KeyboardModifier.NoModifier, at)
        elif how < 0.88:
            QTest.mouseDClick(widget, _LEFT, Qt.KeyboardModifier.NoModifier, at)
        else:
            end = self._place(widget)
            QTest.mousePress(widget, _LEFT, Qt.KeyboardModifier.NoModifier, at)
            QTest.mouseMove(widget, end)
            QTest.mouseRelease(widget, _LEFT, Qt.KeyboardModifier.NoModifier, end)

    def _write(self) -> None:
        """Type into a field beside the plan."""
        fields = self._shown(QLineEdit, QPlainTextEdit, QAbstractSpinBox, QAbstractItemView, QComboBox)
        if not fields:
            return
        field = self.chance.choice(fields)
        text = self.chance.choice(_WORDS)
        end = self.chance.choice((Qt.Key.Key_Return, Qt.Key.Key_Tab, Qt.Key.Key_Escape, Qt.Key.Key_Down, None))
        self._note(f"  {type(field).__name__} {field.accessibleName()!r} {text!r:.30} {end}")
        field.setFocus()
        if not isinstance(field, QAbstractItemView):
            QTest.keyClick(field, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
        elif self.chance.random() < 0.5:
            QTest.keyClick(field, Qt.Key.Key_F2)
        _type(field, text)
        if end is not None:
            QTest.keyClick(field, end)

    def _undo(self) -> None:
        self._trigger("edit.undo")

    def _redo(self) -> None:
        self._trigger("edit.redo")

    def _resize(self) -> None:
        self.window.resize(*self.chance.choice(_SIZES))

    def _clipboard(self) -> None:
        QApplication.clipboard().setText(self.chance.choice(_WORDS) * self.chance.choice((1, 50)))

    def _back(self) -> None:
        page: QWidget = self.window.pages.currentWidget()
        QTest.keyClick(page, Qt.Key.Key_Escape)
        self.window.show_page(self.window.canvas)

    def _close_popups(self) -> None:
        for _ in range(5):
            popup = QApplication.activePopupWidget()
            if popup is None:
                return
            if not isinstance(popup, QMenu) and self.chance.random() < 0.5:
                QTest.keyClick(popup, Qt.Key.Key_Down)
                QTest.keyClick(popup, Qt.Key.Key_Return)
            popup.hide()
            QApplication.processEvents()

    # -- what must hold

    def _settle(self) -> None:
        # while an event is supposed nothing can be changed: a walk would stand still
        self.window.desk.leave_event()
        _wait(lambda: self.window.desk.is_fresh or bool(self.faults) or self.window.trouble.count > 0)

    def check_end(self) -> None:
        """Every step leads back and forth, and the assessment that came is that of a cold start."""
        desk = self.window.desk
        desk.leave_event()
        last, history = desk.site, desk.document.history
        steps = len(history.labels)
        for _ in range(steps):
            desk.undo()
        assert history.undo_label is None
        assert desk.site.design is self.first.design, self.story()
        for _ in range(steps):
            desk.redo()
        assert desk.site.design is last.design, self.story()
        assert desk.site.evidence is last.evidence, self.story()
        self._settle()
        assert not self.faults, self.story()
        assert self.window.trouble.count == 0, self.story()
        assert desk.is_fresh, self.story()
        assert desk.assessment is not None
        cold = assess(desk.site)
        assert desk.assessment.model_dump_json() == cold.model_dump_json(), self.story()


def _modifiers(event: Event) -> Qt.KeyboardModifier:
    held = Qt.KeyboardModifier.NoModifier
    if event.shift:
        held |= Qt.KeyboardModifier.ShiftModifier
    if event.alt:
        held |= Qt.KeyboardModifier.AltModifier
    return held


def _type(widget: QWidget, text: str) -> None:
    """Type any letters; the test library itself knows ASCII alone."""
    for letter in text:
        if letter.isascii():
            QTest.keyClick(widget, letter)
            continue
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            event = QKeyEvent(kind, Qt.Key.Key_unknown, Qt.KeyboardModifier.NoModifier, letter)
            QApplication.sendEvent(widget, event)


def _wait(holds: Callable[[], bool]) -> None:
    end = time.monotonic() + _SETTLED_S
    while not holds() and time.monotonic() < end:
        QApplication.processEvents()
        time.sleep(0.002)
