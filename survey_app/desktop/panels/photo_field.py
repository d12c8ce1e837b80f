"""The photograph of a row of evidence: chosen from a file, copied into the site's assets, shown small."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon, QPixmap
from PySide6.QtWidgets import QFileDialog, QPushButton, QWidget

from survey_app.desktop.canvas.raster import read_picture
from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.editors import Editor, plain_reason
from survey_app.errors import InputError, SurveyError

__all__ = ["PhotoField", "thumbnail"]

_WIDE_PX, _HIGH_PX = 96, 72


def _ask_file(parent: QWidget) -> Path | None:
    path, _ = QFileDialog.getOpenFileName(parent, "A photograph", "", "Photographs (*.png *.jpg *.jpeg)")
    return Path(path) if path else None


def thumbnail(desk: Desk, name: str) -> QPixmap | None:
    """Return a photograph of the site's assets, small; None where there is none that can be read."""
    if not name or desk.document.asset_home is None:
        return None
    try:
        picture = read_picture(desk.document.shelf.path(name))
    except SurveyError:
        return None
    if picture is None:
        return None
    how = Qt.TransformationMode.SmoothTransformation
    return QPixmap.fromImage(picture.scaled(_WIDE_PX, _HIGH_PX, Qt.AspectRatioMode.KeepAspectRatio, how))


class PhotoField(Editor):
    """A button with the photograph on it; it asks for a file, and with one there offers to take it off.

    Parameters
    ----------
    desk : Desk
        The open document.

    Attributes
    ----------
    ask_file : callable
        Asks a person for a file: (parent) -> Path or None.
    """

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        self.choose = QPushButton()
        super().__init__(self.choose, parent)
        self._desk = desk
        self._name = ""
        self.ask_file: Callable[[QWidget], Path | None] = _ask_file
        self.off = QPushButton("Take off")
        self.off.setProperty("part", "link")
        self.off.setAccessibleName("take the photograph off")
        layout = self.layout()
        assert layout is not None
        layout.addWidget(self.off)
        self.choose.setIconSize(QSize(_WIDE_PX, _HIGH_PX))
        self.choose.clicked.connect(self._choose)
        self.off.clicked.connect(lambda: self.given.emit(""))

    def show_value(self, value: Any, *, several: bool) -> None:
        name = "" if several else str(value or "")
        if name == self._name and self.choose.text():
            return
        self._name = name
        small = thumbnail(self._desk, name)
        self.choose.setIcon(QIcon(small) if small is not None else QIcon())
        self.choose.setText("" if small is not None else "file is missing" if name else "Choose …")
        self.choose.setToolTip(name)
        self.off.setVisible(bool(name))

    def _choose(self) -> None:
        path = self.ask_file(self)
        if path is None:
            return
        try:
            if read_picture(path) is None:
                raise InputError("is no photograph that can be shown", where=path.name, remedy="take a PNG or JPEG")
            name = self._desk.document.copy_asset(path)
        except SurveyError as error:
            self.refused.emit(plain_reason(error))
            return
        self.given.emit(name)
