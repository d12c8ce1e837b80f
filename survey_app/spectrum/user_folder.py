"""Where a user keeps radio rules of their own."""

from __future__ import annotations

from pathlib import Path

import platformdirs

__all__ = ["user_regions_folder"]


def user_regions_folder() -> Path:
    """Return the folder in which a user may put region files of their own, for `load_regions`; it need not exist.

    Examples
    --------
    >>> user_regions_folder().name
    'spectrum'
    """
    return Path(platformdirs.user_data_path("survey-app", appauthor=False)) / "spectrum"
