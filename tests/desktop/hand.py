"""A hand at the window: real mouse and key events, aimed in metres of the plane."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from survey_app.desktop.shell.window import Window

NO = Qt.KeyboardModifier.NoModifier
LEFT = Qt.MouseButton.LeftButton


class Hand:
    """What a person does at the plan.

    Parameters
    ----------
    window : Window
        The shown window.
    qtbot : object
        Waits.
    """

    def __init__(self, window: Window, qtbot: Any) -> None:
        self.window = window
        self.qtbot = qtbot

    @property
    def canvas(self) -> Any:
        """The plan."""
        return self.window.canvas

    def px(self, x_m: float, y_m: float) -> QPoint:
        """Return where a point of the plane lies in the plan's viewport."""
        x, y = self.canvas.frame.px(x_m, y_m)
        return QPoint(round(x), round(y))

    def look(self, x_m: float, y_m: float, px_per_m: float = 4.0) -> None:
        """Bring a point into the middle so that a pixel is a round part of a metre."""
        self.canvas.show_frame(replace(self.canvas.frame, x_m=x_m, y_m=y_m, px_per_m=px_per_m))

    def move(self, x_m: float, y_m: float) -> None:
        """Move the pointer."""
        QTest.mouseMove(self.canvas.viewport(), self.px(x_m, y_m))

    def click(self, x_m: float, y_m: float, modifiers: Qt.KeyboardModifier = NO) -> None:
        """Move there and click."""
        self.move(x_m, y_m)
        QTest.mouseClick(self.canvas.viewport(), LEFT, modifiers, self.px(x_m, y_m))

    def double(self, x_m: float, y_m: float) -> None:
        """Double click."""
        QTest.mouseDClick(self.canvas.viewport(), LEFT, NO, self.px(x_m, y_m))

    def drag(self, start: tuple[float, float], *ways: tuple[float, float], modifiers: Qt.KeyboardModifier = NO) -> None:
        """Press, move over some points, release at the last."""
        view = self.canvas.viewport()
        self.move(*start)
        QTest.mousePress(view, LEFT, modifiers, self.px(*start))
        for way in ways:
            QTest.mouseMove(view, self.px(*way))
        QTest.mouseRelease(view, LEFT, modifiers, self.px(*ways[-1]))

    def key(self, key: Qt.Key | str, modifiers: Qt.KeyboardModifier = NO) -> None:
        """Press a key on the plan."""
        QTest.keyClick(self.canvas, key, modifiers)  # type: ignore[call-overload]

    def type(self, text: str) -> None:
        """Type characters on the plan."""
        QTest.keyClicks(self.canvas, text)

    def settle(self) -> None:
        """Wait until the numbers are those of the site as it is."""
        self.qtbot.waitUntil(lambda: self.window.desk.is_fresh, timeout=20_000)
