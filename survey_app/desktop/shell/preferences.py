"""What a person set once and finds again: kept by the system's own settings."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QByteArray, QSettings

__all__ = ["Preferences"]

_HUES = ("day", "night", "system")
_SCALES = (100, 125, 150, 175, 200)


class Preferences:
    """Preferences with their ranges; a damaged or foreign value counts as not set."""

    def __init__(self) -> None:
        self._settings = QSettings(QSettings.Format.IniFormat, QSettings.Scope.UserScope, "survey-app", "desktop")

    def _choice(self, key: str, allowed: tuple[Any, ...], default: Any) -> Any:
        value = self._settings.value(key, default)
        if isinstance(default, int) and isinstance(value, str) and value.isdigit():
            value = int(value)
        return value if value in allowed else default

    @property
    def hue(self) -> str:
        """`day`, `night` or `system`: which palette the window takes."""
        return str(self._choice("view/hue", _HUES, "system"))

    @hue.setter
    def hue(self, value: str) -> None:
        self._settings.setValue("view/hue", value)

    @property
    def scale_percent(self) -> int:
        """Size of letters, symbols and lines on the screen. [%]"""
        return int(self._choice("view/scale_percent", _SCALES, 100))

    @scale_percent.setter
    def scale_percent(self, value: int) -> None:
        self._settings.setValue("view/scale_percent", value)

    @property
    def hop_words(self) -> str:
        """What is written along hops: `bearing`, `level` or `load`."""
        return str(self._choice("view/hop_words", ("bearing", "level", "load"), "bearing"))

    @hop_words.setter
    def hop_words(self, value: str) -> None:
        self._settings.setValue("view/hop_words", value)

    @property
    def hidden_layers(self) -> frozenset[str]:
        """Layers of the plan that are switched off."""
        text = self._settings.value("view/hidden_layers", "")
        # names have blanks in them
        return frozenset(str(text).split(";")) if text else frozenset()

    @hidden_layers.setter
    def hidden_layers(self, value: frozenset[str]) -> None:
        self._settings.setValue("view/hidden_layers", ";".join(sorted(value)))

    @property
    def every_shadow(self) -> bool:
        """Whether shadows of every access point are shown, and not of the selected radios alone."""
        return bool(self._choice("view/every_shadow", ("no", "yes"), "no") == "yes")

    @every_shadow.setter
    def every_shadow(self, value: bool) -> None:
        self._settings.setValue("view/every_shadow", "yes" if value else "no")

    @property
    def heard_lines(self) -> bool:
        """Whether lines lead from a selected radio to those for which it waits."""
        return bool(self._choice("view/heard_lines", ("no", "yes"), "no") == "yes")

    @heard_lines.setter
    def heard_lines(self, value: bool) -> None:
        self._settings.setValue("view/heard_lines", "yes" if value else "no")

    @property
    def author(self) -> str:
        """Name that acceptances and readings are signed with."""
        return str(self._settings.value("person/author", ""))

    @author.setter
    def author(self, value: str) -> None:
        self._settings.setValue("person/author", value)

    @property
    def last_folder(self) -> str:
        """Where the last site was opened or saved."""
        return str(self._settings.value("files/last_folder", ""))

    @last_folder.setter
    def last_folder(self, value: str) -> None:
        self._settings.setValue("files/last_folder", value)

    def geometry(self, name: str) -> QByteArray | None:
        """Return the kept size or division of a part of the window."""
        value = self._settings.value(f"window/{name}")
        return value if isinstance(value, QByteArray) and not value.isEmpty() else None

    def keep_geometry(self, name: str, value: QByteArray) -> None:
        """Keep the size or division of a part of the window."""
        self._settings.setValue(f"window/{name}", value)

    def write(self) -> None:
        """Write to the disk now."""
        self._settings.sync()
