"""How several things are named in one sentence."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["joined", "verb"]

_MOST_SHOWN = 4


def joined(words: Sequence[str]) -> str:
    """Return words as one phrase: "A", "A and B", "A, B, C and 3 more".

    Examples
    --------
    >>> joined(["A", "B", "C"]), joined(["A", "B", "C", "D", "E", "F"])
    ('A, B and C', 'A, B, C, D and 2 more')
    """
    if len(words) <= 1:
        return "".join(words)
    if len(words) <= _MOST_SHOWN:
        return f"{', '.join(words[:-1])} and {words[-1]}"
    return f"{', '.join(words[:_MOST_SHOWN])} and {len(words) - _MOST_SHOWN} more"


def verb(words: Sequence[str], one: str, many: str) -> str:
    """Return the verb that fits one thing or several."""
    return one if len(words) == 1 else many
