"""Where a user keeps gear types of their own."""

from __future__ import annotations

from pathlib import Path

import platformdirs

__all__ = ["user_gear_folder", "user_gear_folders"]


def user_gear_folder() -> Path:
    """Return the folder in which a user may put catalogue files of their own; it need not exist.

    Examples
    --------
    >>> user_gear_folder().name
    'gear'
    """
    return Path(platformdirs.user_data_path("survey-app", appauthor=False)) / "gear"


def user_gear_folders() -> tuple[Path, ...]:
    """Return the user's folder as an argument for `load_catalogue`: empty where the folder does not exist."""
    folder = user_gear_folder()
    return (folder,) if folder.is_dir() else ()
