"""How a quantity comes about: declared once per field of a row, never stored per value."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, NamedTuple

__all__ = ["Path", "Rule", "Segment", "paths_of", "rule"]


@dataclass(frozen=True, slots=True)
class Rule:
    """How one quantity comes about.

    Parameters
    ----------
    says : str
        The rule in one sentence.
    inputs : tuple of str
        Paths of what it is made from, see `paths_of`.
    source : str
        Key of shared/references.md; empty where the figure is copied, counted or subtracted and there is nothing to
        cite; `{field}` names a field of the row that holds the key.
    section : str
        Section of the document.
    unit : str or None
        Unit; None = what the field's name states.
    """

    says: str
    inputs: tuple[str, ...] = ()
    source: str = ""
    section: str = ""
    unit: str | None = None


def rule(says: str, inputs: str = "", source: str = "", section: str = "", unit: str | None = None) -> Rule:
    """Return a rule; its inputs are written with spaces between them."""
    return Rule(says, tuple(inputs.split()), source, section, unit)


class Segment(NamedTuple):
    """One step of a path: a field, and for a collection the field that holds the id of the row meant."""

    name: str
    key: str | None


class Path(NamedTuple):
    """Where an input is found."""

    scope: Literal["row", "site", "gear", "rule"]
    key: str | None
    """For `gear` and `rule`: the field that holds the id."""
    segments: tuple[Segment, ...]
    text: str


_SEGMENT = re.compile(r"([a-z][a-z0-9_]*)(?:\[\{([a-z0-9_.]+)\}\])?")


def paths_of(text: str) -> Iterator[Path]:
    """Yield the ways to find one input; the first that leads to a value is taken.

    Parameters
    ----------
    text : str
        `free_space_loss_db` (same row), `access_point.eirp_dbm` (a row that belongs to it), `site:defaults.width_mhz`,
        `site:mounts[{mount}].height_m` (a field of the design), `gear:{gear}.pattern.gain_dbi` (the site's copy of a gear
        type), `rule:{limit_rule}` (a row of the region's rules). Braces hold a field of the row itself, or of one that
        belongs to it. Ways are separated by `|`.

    Raises
    ------
    ValueError
        It is not written like that.

    Examples
    --------
    >>> [path.scope for path in paths_of("site:radios[{id}].width_mhz|site:defaults.width_mhz")]
    ['site', 'site']
    """
    for part in text.split("|"):
        scope, separator, rest = part.partition(":")
        if not separator:
            scope, rest = "row", part
        key = None
        if scope in ("gear", "rule"):
            match = re.match(r"\{([a-z0-9_.]+)\}\.?", rest)
            if match is None:
                raise ValueError(f"a path of {scope} begins with an id in braces, not {part!r}")
            key, rest = match[1], rest[match.end() :]
        elif scope not in ("row", "site"):
            raise ValueError(f"no path begins like {part!r}")
        segments = []
        for step in rest.split(".") if "[" not in rest else re.split(r"\.(?![^{]*\})", rest):
            found = _SEGMENT.fullmatch(step)
            if found is None and step:
                raise ValueError(f"{step!r} is no step of a path, in {part!r}")
            if found is not None:
                segments.append(Segment(found[1], found[2]))
        yield Path(scope, key, tuple(segments), part)  # type: ignore[arg-type]  # one of the four words, as checked
