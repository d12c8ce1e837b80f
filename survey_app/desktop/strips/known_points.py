"""The points that are known in a picture and on the plan, as a table that is typed into."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QEvent, QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from survey_app.desktop import letters
from survey_app.desktop.panels.scale import px_of
from survey_app.ground.plane import Plane
from survey_app.ground.ring import ring_on_plane
from survey_app.site.place import PlanePoint
from survey_app.site.plan_picture import ControlPoint

__all__ = ["KnownPoints"]

_HEADS = ("x, px", "y, px", "east, m", "north, m", "rest, m")
_REST = 4
_ROW_PX = 24


class KnownPoints(QTableWidget):
    """Pixels from the picture's upper left corner, metres on the plan, and what the fit leaves over."""

    typed = Signal(object)
    """New control points."""
    refused = Signal(str)
    """Why what was typed is none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(0, len(_HEADS), parent)
        self._points: tuple[ControlPoint, ...] = ()
        self.setAccessibleName("Known points")
        self.setHorizontalHeaderLabels(_HEADS)
        self.setFont(letters.font(letters.NOTE_PX))
        self.horizontalHeader().setFont(letters.font(letters.COORDINATE_PX))
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.verticalHeader().setVisible(False)
        self.verticalHeader().setDefaultSectionSize(_ROW_PX)
        self.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        self.setTabKeyNavigation(False)
        self.cellChanged.connect(self._changed)

    def changeEvent(self, event: QEvent) -> None:
        """Rows grow with the letters."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.verticalHeader().setDefaultSectionSize(px_of(self, _ROW_PX))

    def show_points(self, points: Sequence[ControlPoint], plane: Plane | None, rest_m: Sequence[float]) -> None:
        """Show points and what the fit leaves over at each; nothing stands there where there is no fit. [m]"""
        self._points = tuple(points)
        places = ring_on_plane(plane, [point.position for point in points])
        with QSignalBlocker(self):
            self.setRowCount(len(points))
            for row, (point, place) in enumerate(zip(points, places.tolist(), strict=True)):
                rest = f"{rest_m[row]:.2f}" if row < len(rest_m) else ""
                for column, words in enumerate((_figure(point.x_px), _figure(point.y_px), *map(_figure, place), rest)):
                    item = QTableWidgetItem(words)
                    item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                    if column == _REST:
                        item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEditable)
                    self.setItem(row, column, item)

    def _text(self, row: int, column: int) -> str:
        item = self.item(row, column)
        return item.text() if item is not None else ""

    def _changed(self, row: int, column: int) -> None:
        text = self._text(row, column)
        value = _number(text)
        if value is None:
            self.refused.emit(f"'{text}' is no number; a figure with a decimal point is needed.")
            return
        point = self._points[row]
        x_px, y_px, position = point.x_px, point.y_px, point.position
        if column == 0:
            x_px = value
        elif column == 1:
            y_px = value
        else:
            other = _number(self._text(row, 5 - column))
            if other is None:
                self.refused.emit("East and north are both needed.")
                return
            position = PlanePoint(x_m=value, y_m=other) if column == 2 else PlanePoint(x_m=other, y_m=value)
        changed = ControlPoint(x_px=x_px, y_px=y_px, position=position)
        self.typed.emit((*self._points[:row], changed, *self._points[row + 1 :]))


def _figure(value: float) -> str:
    return "" if math.isnan(value) else f"{value:.3f}".rstrip("0").rstrip(".")


def _number(text: str) -> float | None:
    plain = text.strip().replace("\N{MINUS SIGN}", "-").replace("\N{THIN SPACE}", "")
    try:
        value = float(plain)
    except ValueError:
        return None
    return value if math.isfinite(value) and abs(value) <= 1e6 else None
