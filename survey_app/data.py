"""Finds the data that travels with the program, in a clone and in an installed wheel alike."""

from __future__ import annotations

from pathlib import Path

from survey_app.errors import InternalError

__all__ = ["demo_sites_folder", "resources_folder", "shared_folder"]

_PACKAGE = Path(__file__).resolve().parent


def _folder(name: str) -> Path:
    for candidate in (_PACKAGE / "_data" / name, _PACKAGE.parent / name):
        if candidate.is_dir():
            return candidate
    raise InternalError(f"the program's own folder '{name}' is missing", remedy="install the program again")


def shared_folder() -> Path:
    """Return the folder with the engineering data (gear, spectrum rules, tables, schema, references)."""
    return _folder("shared")


def resources_folder() -> Path:
    """Return the folder with what people look at (fonts, sheet templates, guide)."""
    return _folder("resources")


def demo_sites_folder() -> Path:
    """Return the folder with the complete sites of our own invention."""
    return _folder("demo_sites")
