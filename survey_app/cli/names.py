"""Offers the nearest names for one that is not known."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

__all__ = ["nearest"]


def nearest(word: str, names: Iterable[str], *, most: int = 4) -> str | None:
    """Return a remedy that offers the nearest of the known names; None where there are none.

    Examples
    --------
    >>> nearest("radoi", ["radio", "cable", "camera"]), nearest("xyz", ["radio", "cable"])
    ('did you mean radio?', 'known are cable, radio')
    """
    known = sorted(set(names))
    lower = {name.casefold(): name for name in known}
    wanted = word.strip().casefold()
    close = difflib.get_close_matches(wanted, lower, n=most, cutoff=0.5)
    close += [name for name in lower if wanted and wanted in name]
    found = list(dict.fromkeys(lower[name] for name in close))[:most]
    if found:
        return f"did you mean {' or '.join(found)}?"
    if not known:
        return None
    return f"known are {', '.join(known)}" if len(known) <= 12 else f"known are {', '.join(known[:12])} and more"
