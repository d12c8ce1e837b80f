"""The state of a thing on its symbol: dashed outline of what will come, two strokes across what is removed."""

from __future__ import annotations

from dataclasses import replace

from survey_app.drawing.roles import PENS, Role
from survey_app.drawing.shapes import Symbol
from survey_app.drawing.symbols import struck

__all__ = ["stands", "with_status"]


def stands(status: str) -> bool:
    """Whether a thing is there already: its id is underlined.

    Examples
    --------
    >>> stands("hung"), stands("planned")
    (True, False)
    """
    return status in ("existing", "hung", "accepted")


def with_status(symbol: Symbol, status: str) -> tuple[Symbol, ...]:
    """Return a symbol as its thing's state wants it."""
    if status == "later":
        outlines = tuple(replace(part, role=Role.LATER) for part in symbol.parts if PENS[part.role].width_mm > 0.0)
        return (replace(symbol, parts=outlines or symbol.parts),)
    if status == "removed":
        return symbol, replace(struck(symbol.at), subject=symbol.subject)
    return (symbol,)
