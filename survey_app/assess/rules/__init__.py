"""Design checks: one small function per code; each takes a view and yields drafts."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft
from survey_app.assess.rules import aiming, air, legal, level, mounting, network, sight, supply, video
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES", "all_drafts"]

RULES = (
    *legal.RULES,
    *level.RULES,
    *aiming.RULES,
    *sight.RULES,
    *air.RULES,
    *mounting.RULES,
    *supply.RULES,
    *network.RULES,
    *video.RULES,
)
"""Every rule, in the order in which they are asked."""

CODES: dict[str, str] = {
    **legal.CODES,
    **level.CODES,
    **aiming.CODES,
    **sight.CODES,
    **air.CODES,
    **mounting.CODES,
    **supply.CODES,
    **network.CODES,
    **video.CODES,
}
"""Every code with its title."""


def all_drafts(view: View) -> Iterator[Draft]:
    """Ask every rule."""
    for rule in RULES:
        yield from rule(view)
