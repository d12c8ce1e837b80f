"""Brings files of older versions up to the present one, step by step.

A step turns the plain tree of one version into that of the next. What a file leaves out stands for the default of its
own version: a step that follows a changed default writes the old value in.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from survey_app.site.atomic import write_atomically
from survey_app.site.fault import Fault, FileFaultsError
from survey_app.site.site import FORMAT, VERSION
from survey_app.site.validation import shown

__all__ = ["STEPS", "keep_original", "migrate", "version_of"]

Step = Callable[[dict[str, Any]], dict[str, Any]]

STEPS: Mapping[int, Step] = {}
"""The step that leaves each version; version 1 is the first and the present one."""

_VERSION = re.compile(rb'"version"\s*:\s*(\d{1,6})\b')


def version_of(tree: Any, source: str, *, newest: int = VERSION) -> int:
    """Return the version of a file's plain tree, or say why it is none that can be read.

    Examples
    --------
    >>> version_of({"format": "survey-site", "version": 1}, "site.json")
    1
    """
    if not isinstance(tree, dict):
        raise FileFaultsError(source, [Fault("", "is no site: an object with 'format' and 'version' is needed")])
    if tree.get("format") != FORMAT:
        given = f"{shown(tree['format'])} is given" if "format" in tree else "is missing"
        raise FileFaultsError(source, [Fault("format", f"{given}, '{FORMAT}' is needed")])
    version = tree.get("version")
    if type(version) is not int or version < 1:
        given = f"{shown(version)} is given" if "version" in tree else "is missing"
        needed = "the whole number 1" if newest == 1 else f"a whole number from 1 to {newest}"
        raise FileFaultsError(source, [Fault("version", f"{given}, {needed} is needed")])
    if version > newest:
        sentence = f"the file has version {version} and was made by a newer version of the program"
        raise FileFaultsError(
            source, [Fault("version", sentence)], remedy=f"this one reads up to version {newest}, install the newer one"
        )
    return version


def migrate(
    tree: dict[str, Any], source: str, *, steps: Mapping[int, Step] = STEPS, newest: int = VERSION
) -> dict[str, Any]:
    """Return the plain tree of a file brought up to the newest version; the given tree is not changed.

    Raises
    ------
    FileFaultsError
        The version is none that can be read, or a step met something that its version never had.
    """
    version = version_of(tree, source, newest=newest)
    while version < newest:
        try:
            tree = {**steps[version](tree), "version": version + 1}
        except (KeyError, TypeError, AttributeError, IndexError, ValueError) as error:
            sentence = f"the file says version {version}, but is not built like one ({type(error).__name__})"
            raise FileFaultsError(source, [Fault("version", sentence)]) from error
        version += 1
    return tree


def keep_original(path: Path, *, newest: int = VERSION) -> Path | None:
    """Before a file of an older version is replaced, keep it beside the new one.

    Returns
    -------
    Path or None
        Where the original is kept (`site.version-1.json`), or None where nothing had to be kept. An original that is
        already there is never replaced.
    """
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        return None
    found = _VERSION.search(data)
    if found is None or int(found.group(1)) >= newest:
        return None
    kept = path.with_name(f"{path.stem}.version-{int(found.group(1))}{path.suffix}")
    if not kept.exists():
        write_atomically(kept, data)
    return kept
