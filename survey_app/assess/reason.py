"""A number with what it is made from, and the documents that such numbers cite."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

from survey_app.data import shared_folder

__all__ = ["Origin", "Reason", "documents"]

Origin = Literal["computed", "site", "gear", "rule"]

_SOURCE_LINE = re.compile(r"- \[([A-Z0-9]+)\] (.*)")


@dataclass(frozen=True, slots=True)
class Reason:
    """A number with what it is made from.

    Attributes
    ----------
    name : str
        Whose number it is and which.
    value : object
        The value; None where there is none.
    unit : str
        Its unit; empty for plain numbers and words.
    origin : {"computed", "site", "gear", "rule"}
        Whether it was computed, or stands in the site file, in the site's copy of a gear type, or in a region's rules.
    says : str
        The rule in words; for what was not computed, where it stands.
    source, section, document : str
        Key of the document, section in it, and the document itself; empty where there is nothing to cite.
    missing : str
        Why there is no value.
    inputs : tuple of Reason
        What it is made from.
    """

    name: str
    value: Any
    unit: str
    origin: Origin
    says: str
    source: str = ""
    section: str = ""
    document: str = ""
    missing: str = ""
    inputs: tuple[Reason, ...] = ()


@lru_cache(maxsize=1)
def documents() -> Mapping[str, str]:
    """Return every document of the list of references by its key.

    Examples
    --------
    >>> documents()["P525"][:41]
    'ITU-R, *Recommendation P.525-4, calculati'
    """
    text = (shared_folder() / "references.md").read_text(encoding="utf-8")
    return {match[1]: match[2] for match in map(_SOURCE_LINE.fullmatch, text.splitlines()) if match}
