"""The inks of the screen by their names, for day and for night; the only place where a colour is written down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QGuiApplication, QPalette

from survey_app.errors import InternalError

__all__ = ["DAY", "NIGHT", "Lights", "Palette", "colour", "contrast", "current", "lights"]

_RADIO_TINT, _CAMERA_TINT, _ZONE_TINT, _CROWN = 0.045, 0.06, 0.06, 0.75

_DAY = {
    "paper": "#FBFAF4",
    "card": "#FFFFFF",
    "desk": "#E4E2D8",
    "ink": "#1A1A1A",
    "ink 2": "#5A5A57",
    "ink 3": "#9A9992",
    "hair": "#D9D7CC",
    "building": "#F2F0E6",
    "water fill": "#F0F5F6",
    "water": "#4A7F9E",
    "radio": "#0072B2",
    "camera": "#00795A",
    "wire": "#A3527C",
    "trees": "#3F6B3A",
    "stop": "#D55E00",
    "warn": "#E69F00",
    "on warn": "#1A1A1A",
    "hover": "#56B4E9",
    "grip": "#F0E442",
    "marker": "#F0E442",
}
_NIGHT = {
    "paper": "#12171B",
    "card": "#1A2126",
    "desk": "#0A0D0F",
    "ink": "#E6E2D6",
    "ink 2": "#A9A89F",
    "ink 3": "#6F726F",
    "hair": "#2B3338",
    "building": "#1B2227",
    "water fill": "#151F26",
    "water": "#5F93AD",
    "radio": "#56B4E9",
    "camera": "#33C69B",
    "wire": "#DB93B8",
    "trees": "#7FA878",
    "stop": "#FF8A3D",
    "warn": "#E69F00",
    "on warn": "#1A1A1A",
    "hover": "#56B4E9",
    "grip": "#F0E442",
    "marker": "#F0E442",
}


@dataclass(frozen=True, eq=False)
class Palette:
    """Colours by the names that pens and parts of the window use.

    Attributes
    ----------
    name : str
        "day" or "night".
    inks : mapping of str to QColor
        Every ink; tints and the selection marker let through what lies under them.
    """

    name: str
    inks: Mapping[str, QColor]

    @staticmethod
    def day() -> Palette:
        """Return the palette of warm white paper."""
        return DAY

    @staticmethod
    def night() -> Palette:
        """Return the palette of blue-black paper."""
        return NIGHT

    @property
    def is_night(self) -> bool:
        """Whether letters are lighter than the paper."""
        return self.name == "night"

    def colour(self, ink: str) -> QColor:
        """Return a colour by its name.

        Raises
        ------
        InternalError
            The palette has no such ink.
        """
        try:
            return self.inks[ink]
        except KeyError:
            raise InternalError(f"the palette has no ink called '{ink}'") from None

    def for_widgets(self) -> QPalette:
        """Return the colours that widgets take where nothing else is said."""
        colours = QPalette()
        role = QPalette.ColorRole
        for one, ink in (
            (role.Window, "card"), (role.Base, "card"), (role.AlternateBase, "card"), (role.Button, "card"),
            (role.WindowText, "ink"), (role.Text, "ink"), (role.ButtonText, "ink"), (role.BrightText, "ink"),
            (role.PlaceholderText, "ink 2"), (role.Mid, "ink 3"), (role.Midlight, "hair"), (role.Light, "hair"),
            (role.Dark, "ink 2"), (role.Shadow, "ink"), (role.Highlight, "selected row"),
            (role.HighlightedText, "ink"), (role.ToolTipBase, "card"), (role.ToolTipText, "ink"), (role.Link, "radio"),
        ):  # fmt: skip
            colours.setColor(one, self.colour(ink))
        for one in (role.WindowText, role.Text, role.ButtonText):
            colours.setColor(QPalette.ColorGroup.Disabled, one, self.colour("ink 2"))
        return colours


def _palette(name: str, plain: dict[str, str], marker: float) -> Palette:
    inks = {ink: QColor(written) for ink, written in plain.items()}
    inks["radio tint"] = _thinned(inks["radio"], _RADIO_TINT)
    inks["zone tint"] = _thinned(inks["radio"], _ZONE_TINT)
    inks["camera tint"] = _thinned(inks["camera"], _CAMERA_TINT)
    inks["crown"] = _thinned(inks["paper"], _CROWN)
    inks["selection"] = _thinned(inks["marker"], marker)
    inks["selected row"] = _over(inks["selection"], inks["card"])
    return Palette(name, inks)


def _thinned(colour: QColor, part: float) -> QColor:
    thin = QColor(colour)
    thin.setAlphaF(part)
    return thin


def _over(upper: QColor, lower: QColor) -> QColor:
    """Return what is seen where one colour lies over an opaque one."""
    part = upper.alphaF()
    return QColor.fromRgbF(
        *(
            part * a + (1.0 - part) * b
            for a, b in zip(upper.getRgbF()[:3], lower.getRgbF()[:3], strict=True)  # type: ignore[index]
        )
    )


DAY = _palette("day", _DAY, 0.85)
NIGHT = _palette("night", _NIGHT, 0.34)


def contrast(one: QColor, other: QColor) -> float:
    """Return the contrast ratio of two opaque colours, 1 to 21 (WCAG 2, relative luminance).

    Examples
    --------
    >>> round(contrast(QColor("#000000"), QColor("#ffffff")), 1)
    21.0
    """
    darker, lighter = sorted((_luminance(one), _luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: QColor) -> float:
    def linear(part: float) -> float:
        return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)

    return 0.2126 * linear(colour.redF()) + 0.7152 * linear(colour.greenF()) + 0.0722 * linear(colour.blueF())


class Lights(QObject):
    """Which palette the window shows: day, night, or what the system has ("system")."""

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._choice = "system"
        self._shown = DAY
        self._follows = False

    @property
    def choice(self) -> str:
        """What a person chose: "day", "night" or "system"."""
        return self._choice

    @property
    def palette(self) -> Palette:
        """The palette that is shown."""
        return self._shown

    def choose(self, choice: str) -> None:
        """Show day or night, or follow the system."""
        if choice not in ("day", "night", "system"):
            raise InternalError(f"there is no light called '{choice}'")
        self._choice = choice
        self._follow()
        self._settle()

    def _follow(self) -> None:
        application = QGuiApplication.instance()
        if isinstance(application, QGuiApplication) and not self._follows:
            application.styleHints().colorSchemeChanged.connect(self._settle)
            self._follows = True

    def _settle(self) -> None:
        shown = {"day": DAY, "night": NIGHT}.get(self._choice) or _of_system()
        if shown is not self._shown:
            self._shown = shown
            self.changed.emit()


def _of_system() -> Palette:
    application = QGuiApplication.instance()
    if not isinstance(application, QGuiApplication):
        return DAY
    return NIGHT if application.styleHints().colorScheme() == Qt.ColorScheme.Dark else DAY


@lru_cache(maxsize=1)
def lights() -> Lights:
    """Return the one place that knows which palette is shown; its `changed` says when to paint again."""
    return Lights()


def current() -> Palette:
    """Return the palette that is shown now."""
    return lights().palette


def colour(ink: str) -> QColor:
    """Return a colour of the palette that is shown now."""
    return current().colour(ink)
