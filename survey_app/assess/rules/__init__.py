"""Design checks: one small function per code; each takes a view and yields drafts."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft
from survey_app.assess.rules import (
    aiming,
    air,
    beam,
    bracket,
    evidence,
    labels,
    legal,
    level,
    mounting,
    neighbours,
    network,
    sight,
    supply,
    unit,
    video,
)
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES", "all_drafts"]

_MODULES = (
    legal,
    unit,
    level,
    beam,
    neighbours,
    aiming,
    bracket,
    sight,
    air,
    evidence,
    mounting,
    labels,
    supply,
    network,
    video,
)

RULES = tuple(rule for module in _MODULES for rule in module.RULES)
"""Every rule, in the order in which they are asked."""

CODES: dict[str, str] = {code: title for module in _MODULES for code, title in module.CODES.items()}
"""Every code with its title."""


def all_drafts(view: View) -> Iterator[Draft]:
    """Ask every rule."""
    for rule in RULES:
        yield from rule(view)
