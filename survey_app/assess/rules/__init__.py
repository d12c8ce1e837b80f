"""Design checks: one small function per code; each takes a view and yields drafts."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from survey_app.assess.findings import Draft
from survey_app.assess.memo import Fresh
from survey_app.assess.rules import (
    addressing,
    aiming,
    air,
    beam,
    bracket,
    chance,
    drawn,
    evidence,
    inside,
    labels,
    leaves,
    legal,
    level,
    mounting,
    neighbours,
    network,
    same_channel,
    sight,
    supply,
    targets,
    traffic,
    unit,
    video,
    water,
    way,
    ways,
)
from survey_app.assess.rules.each import AboutEach
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES", "all_drafts"]

_MODULES = (
    legal,
    unit,
    level,
    beam,
    neighbours,
    same_channel,
    aiming,
    bracket,
    sight,
    chance,
    way,
    leaves,
    traffic,
    drawn,
    inside,
    water,
    targets,
    air,
    evidence,
    mounting,
    labels,
    addressing,
    supply,
    network,
    ways,
    video,
)

RULES = tuple(rule for module in _MODULES for rule in module.RULES)
"""Every rule, in the order in which they are asked."""

CODES: dict[str, str] = {code: title for module in _MODULES for code, title in module.CODES.items()}
"""Every code with its title."""


def all_drafts(view: View, memo: Fresh) -> Iterator[Draft]:
    """Ask every rule: those about one thing each for every thing, the others once for the whole site."""
    whole = []
    for rule in RULES:
        if isinstance(rule, AboutEach):
            names = tuple(rule.of(view))
            given = [(name,) for name in names]
            for drafts in memo.watched(f"rule {rule.__name__}", view, names, given, rule.drafts):
                yield from drafts
        else:
            whole.append(rule)
    for drafts in memo.watched("rules of the whole site", view, whole, [(rule,) for rule in whole], _asked):
        yield from drafts


def _asked(view: View, rule: Callable[[View], Iterator[Draft]]) -> tuple[Draft, ...]:
    return tuple(rule(view))
