"""The demo sites that travel with the program, and how one of them is copied out."""

from __future__ import annotations

import contextlib
import re
import shutil
import tempfile
from pathlib import Path
from typing import NamedTuple

from survey_app.data import demo_sites_folder
from survey_app.errors import OutputError
from survey_app.site.file import site_file

__all__ = ["Demo", "copy_demo", "demos"]

_MOST_COPIES = 1000


class Demo(NamedTuple):
    """A complete site of our own invention."""

    name: str
    """Name of its folder."""
    sentence: str
    """What it is, in its own page's first words."""
    folder: Path


def demos() -> tuple[Demo, ...]:
    """Return the demo sites, by name."""
    return tuple(
        Demo(folder.name, _first_words(folder), folder)
        for folder in sorted(demo_sites_folder().iterdir())
        if (folder / "site.json").is_file()
    )


def copy_demo(demo: Demo, parent: Path) -> Path:
    """Copy a demo site into a new folder of its name inside a folder.

    Parameters
    ----------
    demo : Demo
        Which one.
    parent : Path
        Where the new folder is made; where its name is taken, a number follows it.

    Returns
    -------
    Path
        The copy's site file.

    Raises
    ------
    OutputError
        It cannot be copied; nothing half done stays.
    """
    try:
        made = Path(tempfile.mkdtemp(prefix=f".{demo.name}-", dir=parent))
        try:
            shutil.copytree(demo.folder, made, dirs_exist_ok=True, copy_function=shutil.copyfile)
            made.chmod(0o755)
            target = _moved(made, parent, demo.name)
        except BaseException:
            with contextlib.suppress(OSError):
                shutil.rmtree(made)
            raise
    except (OSError, shutil.Error) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise OutputError(
            f"the site cannot be copied here ({reason})", where=str(parent), remedy="choose another folder"
        ) from error
    return site_file(target)


def _moved(made: Path, parent: Path, name: str) -> Path:
    for number in range(1, _MOST_COPIES):
        target = parent / (name if number == 1 else f"{name}-{number}")
        if target.exists():
            continue
        with contextlib.suppress(FileExistsError):
            return made.rename(target)
    raise OutputError(f"there are too many copies of '{name}' already", where=str(parent))


def _first_words(folder: Path) -> str:
    """Return the first sentence that a demo site's own page says about it."""
    page = folder / "README.md"
    text = page.read_text(encoding="utf-8") if page.is_file() else ""
    lines = [line.strip() for line in text.splitlines() if line.strip() and not line.startswith("#")]
    sentence = re.match(r".*?[.:](?= |$)", " ".join(lines[:6]))
    return sentence[0].replace(":", ".") if sentence else ""
