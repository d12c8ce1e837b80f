"""The drafting face on the screen: fonts that travel with the program, in pixels of the em."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtGui import QFont, QFontDatabase, QGuiApplication

from survey_app.data import resources_folder
from survey_app.errors import InternalError

__all__ = [
    "COORDINATE_PX",
    "DATA_PX",
    "FAMILIES",
    "HEAD_PX",
    "NAME_PX",
    "NOTE_PX",
    "RADIO_PX",
    "SELECTED_PX",
    "font",
    "head_font",
    "load_fonts",
]

FAMILIES = ("B612", "DejaVu Sans")
SELECTED_PX, RADIO_PX, DATA_PX, NAME_PX, NOTE_PX, COORDINATE_PX, HEAD_PX = 15.0, 14.0, 13.0, 12.0, 11.0, 10.5, 10.5
"""Sizes of the em: id of the selection, radio ids, data and menus, names and hop words, notes, coordinates, heads."""

_FILES = (
    "B612-Regular.otf", "B612-Bold.otf", "B612-Italic.otf", "B612-BoldItalic.otf",
    "DejaVuSans.ttf", "DejaVuSans-Bold.ttf",
)  # fmt: skip
# a face of one width answers to the same family name: only the files named here are loaded
_HEAD_TRACKING_PERCENT = 110.0


@lru_cache(maxsize=1)
def load_fonts() -> tuple[str, ...]:
    """Load the fonts that travel with the program, once.

    Returns
    -------
    tuple of str
        Families that are now known.

    Raises
    ------
    InternalError
        A font file is missing or damaged.
    """
    families: dict[str, None] = {}
    for name in _FILES:
        number = QFontDatabase.addApplicationFont(str(resources_folder() / "fonts" / name))
        if number < 0:
            raise InternalError(f"the program's own font {name} cannot be read", remedy="install the program again")
        families.update(dict.fromkeys(QFontDatabase.applicationFontFamilies(number)))
    return tuple(families)


def font(size_px: float, *, bold: bool = False, italic: bool = False, tracking_percent: float = 100.0) -> QFont:
    """Return a font for widgets.

    Parameters
    ----------
    size_px : float
        Size of the em, device-independent; where a platform sets whole pixels only, it rounds halves. [px]
    bold, italic : bool
        Weight and slant.
    tracking_percent : float
        Advance of each letter: capitals stand at 106 to 112. [%]
    """
    load_fonts()
    made = QFont(list(FAMILIES))
    if size_px == int(size_px):
        made.setPixelSize(int(size_px))
    else:
        screen = QGuiApplication.primaryScreen()
        made.setPointSizeF(size_px * 72.0 / (screen.logicalDotsPerInch() if screen else 96.0))
    made.setBold(bold)
    made.setItalic(italic)
    if tracking_percent != 100.0:
        made.setLetterSpacing(QFont.SpacingType.PercentageSpacing, tracking_percent)
    return made


def head_font() -> QFont:
    """Return the font of field heads: small capitals' size, tracked; the words are written in capitals."""
    return font(HEAD_PX, tracking_percent=_HEAD_TRACKING_PERCENT)
