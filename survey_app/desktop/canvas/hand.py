"""From mouse and keys to the tool in use: what the tool does not take moves the view or the keyboard's cursor."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QInputDevice, QKeyEvent, QMouseEvent, QNativeGestureEvent, QWheelEvent

from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.tools.tool import Pointer, Tool

__all__ = ["Hand", "Moved", "is_letters"]

_NOTCH = 120.0
_FACTOR = 1.2
_KEY_FACTOR = 1.5
_PAN_PX = 80.0
_STEPS_M = {"plain": 1.0, "shift": 10.0, "alt": 0.1}
_NAMES = {
    Qt.Key.Key_Return: "Enter", Qt.Key.Key_Enter: "Enter", Qt.Key.Key_Backspace: "Backspace",
    Qt.Key.Key_Delete: "Delete", Qt.Key.Key_Left: "Left", Qt.Key.Key_Right: "Right", Qt.Key.Key_Up: "Up",
    Qt.Key.Key_Down: "Down", Qt.Key.Key_Home: "Home", Qt.Key.Key_End: "End", Qt.Key.Key_PageUp: "PageUp",
    Qt.Key.Key_PageDown: "PageDown", Qt.Key.Key_Insert: "Insert",
}  # fmt: skip
_WAYS = {"Left": (-1.0, 0.0), "Right": (1.0, 0.0), "Up": (0.0, 1.0), "Down": (0.0, -1.0)}


class Moved(Protocol):
    """What a hand may do to the view."""

    @property
    def frame(self) -> Frame:
        """Where the plane lies."""
        ...

    def zoom(self, factor: float, x_px: float | None = None, y_px: float | None = None) -> None:
        """Enlarge about a point."""
        ...

    def pan(self, dx_px: float, dy_px: float) -> None:
        """Move the plane."""
        ...

    def show_whole_site(self) -> None:
        """Show the whole site."""
        ...

    def refresh(self) -> None:
        """Paint again."""
        ...


class Hand:
    """Gives events to the tool; knows where the pointer is.

    Parameters
    ----------
    view : Moved
        The view that the hand moves.
    """

    def __init__(self, view: Moved) -> None:
        self._view = view
        self.tool: Tool | None = None
        self.at_px: tuple[float, float] | None = None
        """Where the pointer is in the window, None outside. [px]"""
        self.cursor_m: tuple[float, float] | None = None
        """Where the keyboard's cursor is on the plane; None while the mouse leads. [m]"""
        self._pan_from: QPointF | None = None
        self._space = False
        self._pressed = False

    @property
    def is_panning(self) -> bool:
        """Whether the plane is being moved."""
        return self._pan_from is not None

    @property
    def is_busy(self) -> bool:
        """Whether a button is down: what takes long waits."""
        return self._pan_from is not None or self._pressed

    def use(self, tool: Tool | None) -> None:
        """Put the tool away and take up another."""
        if self.tool is not None:
            self.tool.end()
        self.tool = tool
        self._pressed = False
        if tool is not None:
            tool.begin()
        self._view.refresh()

    # -- the mouse

    def press(self, event: QMouseEvent) -> None:
        """A button goes down."""
        at = event.position()
        middle = event.button() == Qt.MouseButton.MiddleButton
        if middle or (self._space and event.button() == Qt.MouseButton.LeftButton):
            self._pan_from = at
        elif event.button() == Qt.MouseButton.LeftButton and self.tool is not None:
            self._pressed = True
            self.tool.press(self._follow(event))
        self._view.refresh()

    def move(self, event: QMouseEvent) -> None:
        """The mouse moves."""
        at = event.position()
        if self._pan_from is not None:
            step = at - self._pan_from
            self._pan_from = at
            self.at_px = (at.x(), at.y())
            self._view.pan(step.x(), step.y())
            return
        pointer = self._follow(event)
        if self.tool is not None:
            self.tool.move(pointer)
        self._view.refresh()

    def release(self, event: QMouseEvent) -> None:
        """A button comes up."""
        if self._pan_from is not None:
            self._pan_from = None
        elif event.button() == Qt.MouseButton.LeftButton and self.tool is not None and self._pressed:
            self._pressed = False
            self.tool.release(self._follow(event))
        self._view.refresh()

    def double(self, event: QMouseEvent) -> None:
        """A button was pressed twice."""
        if event.button() == Qt.MouseButton.LeftButton and self.tool is not None:
            self.tool.double(self._follow(event))
        self._view.refresh()

    def leave(self) -> None:
        """The mouse has left the window."""
        self.at_px = None
        self._view.refresh()

    def wheel(self, event: QWheelEvent) -> None:
        """The wheel enlarges at the pointer; two fingers on a pad move the plane."""
        at = event.position()
        fine = event.pixelDelta()
        pad = event.device().type() == QInputDevice.DeviceType.TouchPad and not fine.isNull()
        if pad and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._view.pan(float(fine.x()), float(fine.y()))
            return
        turns = (event.angleDelta().y() or event.angleDelta().x()) / _NOTCH
        if turns:
            self._view.zoom(_FACTOR**turns, at.x(), at.y())

    def pinch(self, event: QNativeGestureEvent) -> bool:
        """Two fingers spread on a pad enlarge; return whether it was that gesture."""
        if event.gestureType() != Qt.NativeGestureType.ZoomNativeGesture:
            return False
        at = event.position()
        self._view.zoom(max(1.0 + event.value(), 0.2), at.x(), at.y())
        return True

    def _follow(self, event: QMouseEvent) -> Pointer:
        at = event.position()
        self.at_px, self.cursor_m = (at.x(), at.y()), None
        return self._pointer(at.x(), at.y(), event.modifiers())

    def _pointer(self, x_px: float, y_px: float, keys: Qt.KeyboardModifier) -> Pointer:
        x_m, y_m = self._view.frame.m(x_px, y_px)
        return _pointer_of(x_m, y_m, x_px, y_px, keys)

    # -- the keyboard

    def key(self, event: QKeyEvent) -> bool:
        """A key goes down; return whether it was taken."""
        taken = self._key(event)
        self._view.refresh()
        return taken

    def _key(self, event: QKeyEvent) -> bool:
        keys = event.modifiers()
        control = bool(keys & Qt.KeyboardModifier.ControlModifier)
        name = _NAMES.get(Qt.Key(event.key()), "")
        tool = self.tool
        if event.key() == Qt.Key.Key_Escape:
            return tool is not None and tool.cancel()
        if event.key() == Qt.Key.Key_Space and not (tool is not None and tool.overlay.typed):
            self._space = True
            return True
        if control and name in _WAYS:
            return self._pan_by(name)
        text = event.text()
        if tool is not None and not control:
            if not name and text and text.isprintable() and tool.typed(text):
                return True
            shift, alt = bool(keys & Qt.KeyboardModifier.ShiftModifier), bool(keys & Qt.KeyboardModifier.AltModifier)
            if tool.key(name or text.upper(), shift=shift, control=control, alt=alt):
                return True
        return self._of_view(name or text, event)

    def _of_view(self, name: str, event: QKeyEvent) -> bool:
        if name in ("+", "="):
            self._view.zoom(_KEY_FACTOR, *self._zoom_centre())
        elif name in ("-", "−", "_"):
            self._view.zoom(1.0 / _KEY_FACTOR, *self._zoom_centre())
        elif name in ("0", "Home"):
            self._view.show_whole_site()
        elif name in _WAYS:
            return self._step(name, event.modifiers()) if self._is_placing() else self._pan_by(name)
        elif name == "Enter" and self._is_placing():
            return self._press_at_cursor(event.modifiers())
        else:
            return False
        return True

    def _zoom_centre(self) -> tuple[float, float] | tuple[None, None]:
        return self._view.frame.px(*self.cursor_m) if self.cursor_m is not None else (None, None)

    def key_up(self, event: QKeyEvent) -> None:
        """A key comes up."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = False
            self._view.refresh()

    def wants_letters(self) -> bool:
        """Whether figures are being typed, so that letters are no shortcuts now."""
        return self.tool is not None and bool(self.tool.overlay.typed)

    def _is_placing(self) -> bool:
        return self.tool is not None and self.tool.name != "select"

    def _pan_by(self, name: str) -> bool:
        x, y = _WAYS[name]
        self._view.pan(-x * _PAN_PX, y * _PAN_PX)
        return True

    def _step(self, name: str, keys: Qt.KeyboardModifier) -> bool:
        """Move the keyboard's cursor by a metre, ten or a tenth, and the plane with it where it would leave."""
        which = "plain"
        if keys & Qt.KeyboardModifier.ShiftModifier:
            which = "shift"
        elif keys & Qt.KeyboardModifier.AltModifier:
            which = "alt"
        step = _STEPS_M[which]
        x_m, y_m = self.cursor_m or self._start()
        dx, dy = _WAYS[name]
        # tenths stay tenths, however many steps were made
        self.cursor_m = (round(x_m + dx * step, 6), round(y_m + dy * step, 6))
        self._bring_into_view()
        self._tell_cursor(keys)
        return True

    def _start(self) -> tuple[float, float]:
        frame = self._view.frame
        x_m, y_m = frame.m(*(self.at_px or frame.middle_px))
        return float(round(x_m)), float(round(y_m))

    def _bring_into_view(self) -> None:
        assert self.cursor_m is not None
        frame = self._view.frame
        x, y = frame.px(*self.cursor_m)
        left, top = frame.left_px, frame.top_px
        dx = max(left + 20.0 - x, 0.0) - max(x - (left + frame.width_px - 20.0), 0.0)
        dy = max(top + 20.0 - y, 0.0) - max(y - (top + frame.height_px - 20.0), 0.0)
        if dx or dy:
            self._view.pan(dx, dy)

    def _cursor_pointer(self, keys: Qt.KeyboardModifier) -> Pointer:
        assert self.cursor_m is not None
        x_px, y_px = self._view.frame.px(*self.cursor_m)
        # exactly where the cursor was put: shift and alt chose the step and say nothing to the tool
        plain = keys & ~(Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.AltModifier)
        return _pointer_of(*self.cursor_m, x_px, y_px, plain)._replace(by_keys=True)

    def _tell_cursor(self, keys: Qt.KeyboardModifier) -> None:
        if self.tool is not None:
            self.tool.move(self._cursor_pointer(keys))

    def _press_at_cursor(self, keys: Qt.KeyboardModifier) -> bool:
        if self.tool is None:
            return False
        if self.cursor_m is None:
            self.cursor_m = self._start()
        pointer = self._cursor_pointer(keys)
        self.tool.press(pointer)
        self.tool.release(pointer)
        return True


def is_letters(event: QEvent) -> bool:
    """Whether an event is a printable key without Ctrl or Alt: a shortcut that typed figures come before."""
    if not isinstance(event, QKeyEvent):
        return False
    held = event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier)
    return not held and bool(event.text()) and event.text().isprintable()


def _pointer_of(x_m: float, y_m: float, x_px: float, y_px: float, keys: Qt.KeyboardModifier) -> Pointer:
    return Pointer(
        x_m,
        y_m,
        x_px,
        y_px,
        shift=bool(keys & Qt.KeyboardModifier.ShiftModifier),
        control=bool(keys & Qt.KeyboardModifier.ControlModifier),
        alt=bool(keys & Qt.KeyboardModifier.AltModifier),
    )
