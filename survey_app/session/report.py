"""What is kept when the program itself fails: a report in the user's state folder instead of a traceback."""

from __future__ import annotations

import datetime
import os
import platform
import sys
import tempfile
import traceback
from collections.abc import Sequence
from pathlib import Path

__all__ = ["keep_report", "reports_folder"]


def reports_folder() -> Path:
    """Return the folder that keeps reports of internal errors; it need not exist.

    Examples
    --------
    >>> reports_folder().name
    'reports'
    """
    import platformdirs

    return Path(platformdirs.user_state_path("survey-app", appauthor=False)) / "reports"


def keep_report(error: BaseException, arguments: Sequence[str]) -> Path | None:
    """Write a report of an error that should not have happened.

    Parameters
    ----------
    error : BaseException
        What was raised.
    arguments : sequence of str
        Arguments of the command.

    Returns
    -------
    Path or None
        Where it lies; None where no folder would take it.
    """
    import survey_app

    now = datetime.datetime.now(datetime.UTC)
    text = "\n".join(
        (
            f"survey-app {survey_app.__version__}, Python {platform.python_version()}, {platform.platform()}",
            f"{now.isoformat(timespec='seconds')}",
            f"arguments: {list(arguments)!r}",
            f"recursion limit {sys.getrecursionlimit()}",
            "",
            *traceback.format_exception(error),
        )
    )
    name = f"{now.strftime('%Y%m%d-%H%M%S')}-{os.getpid()}.txt"
    for find in (reports_folder, lambda: Path(tempfile.gettempdir()) / "survey-app-reports"):
        try:
            folder = find()
            folder.mkdir(parents=True, exist_ok=True)
            path = folder / name
            path.write_text(text, encoding="utf-8", errors="backslashreplace")
        except (OSError, RuntimeError):  # the second: no home folder can be told
            continue
        return path
    return None
