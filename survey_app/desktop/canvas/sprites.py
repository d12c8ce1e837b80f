"""Lines of letters drawn once and kept: a plan repeats the same words in every frame."""

from __future__ import annotations

import math
from collections import OrderedDict
from functools import lru_cache
from typing import NamedTuple

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPainterPath, QPen, QPixmap, QTransform

from survey_app.desktop.letters import FAMILIES, load_fonts
from survey_app.drawing.letters import CAPITAL_EM

__all__ = ["Sprite", "Sprites"]

_DRAWN_EM_PX = 128
_HALO_EM = 0.42
_MOST_BYTES = 48_000_000


class Sprite(NamedTuple):
    """A picture of a line of letters and where its middle lies in it, both in device pixels."""

    pixmap: QPixmap
    middle_x: float
    middle_y: float


class Sprites:
    """Lines of letters by all that they look like; those not used for longest go first.

    Parameters
    ----------
    most_bytes : int
        What all pictures together may take.
    """

    def __init__(self, most_bytes: int = _MOST_BYTES) -> None:
        self._kept: OrderedDict[tuple[object, ...], Sprite] = OrderedDict()
        self._most_bytes = most_bytes
        self.bytes = 0
        self.made = 0

    def sprite(
        self,
        text: str,
        em_px: float,
        turn_deg: float,
        ink: QColor,
        halo: QColor | None,
        *,
        bold: bool = False,
        italic: bool = False,
    ) -> Sprite:
        """Return a line of letters, turned clockwise.

        Parameters
        ----------
        text : str
            One line.
        em_px : float
            Size of the em in device pixels. [px]
        turn_deg : float
            Rounded to a twentieth of a degree. [deg]
        ink, halo : QColor
            Of the letters, and of the ground cleared behind them; None clears nothing.
        bold, italic : bool
            Weight and slant.
        """
        turn = round(turn_deg * 20.0) / 20.0
        key = (text, em_px, turn, ink.rgba(), None if halo is None else halo.rgba(), bold, italic)
        found = self._kept.get(key)
        if found is not None:
            self._kept.move_to_end(key)
            return found
        made = _drawn(_letters(text, bold, italic), em_px, turn, ink, halo)
        self._kept[key] = made
        self.made += 1
        self.bytes += _bytes(made)
        while self.bytes > self._most_bytes and len(self._kept) > 1:
            _, gone = self._kept.popitem(last=False)
            self.bytes -= _bytes(gone)
        return made


def _bytes(sprite: Sprite) -> int:
    return sprite.pixmap.width() * sprite.pixmap.height() * 4


@lru_cache(maxsize=8)
def _face(bold: bool, italic: bool) -> QFont:
    load_fonts()
    face = QFont(list(FAMILIES))
    face.setPixelSize(_DRAWN_EM_PX)
    face.setBold(bold)
    face.setItalic(italic)
    face.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return face


@lru_cache(maxsize=4096)
def _letters(text: str, bold: bool, italic: bool) -> QPainterPath:
    """Return letters in parts of the em, the middle of the line at the origin."""
    path = QPainterPath()
    path.addText(QPointF(0.0, 0.0), _face(bold, italic), text)
    bounds = path.boundingRect()
    scale = 1.0 / _DRAWN_EM_PX
    shifted = QTransform.fromScale(scale, scale)
    shifted.translate(-bounds.center().x(), CAPITAL_EM * _DRAWN_EM_PX / 2.0)
    return shifted.map(path)


def _drawn(letters: QPainterPath, em_px: float, turn_deg: float, ink: QColor, halo: QColor | None) -> Sprite:
    path = QTransform().rotate(turn_deg).scale(em_px, em_px).map(letters)
    bounds = path.boundingRect()
    rim = (_HALO_EM * em_px / 2.0 if halo is not None else 0.0) + 1.5
    left, top = math.floor(bounds.left() - rim), math.floor(bounds.top() - rim)
    width, height = math.ceil(bounds.right() + rim) - left, math.ceil(bounds.bottom() + rim) - top
    pixmap = QPixmap(max(width, 1), max(height, 1))
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(-left, -top)
    if halo is not None:
        pen = QPen(halo, _HALO_EM * em_px)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.strokePath(path, pen)
    painter.fillPath(path, ink)
    painter.end()
    return Sprite(pixmap, float(-left), float(-top))
