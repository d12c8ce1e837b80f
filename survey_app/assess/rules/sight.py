"""Whether anybody looked along the hop."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft, work_on_site
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES"]

CODES = {"not-checked": "Nobody looked along it", "not-seen": "The far end was not seen"}

_SEEN = frozenset({"seen", "seen_with_lamp"})


@about_each("hops")
def not_checked(view: View, hop_id: str) -> Iterator[Draft]:
    """No sight in evidence, and no relief to hold the way against: said, never shown as clear."""
    hop = view.hops[hop_id]
    if hop.sight_checked in _SEEN or hop.sight_checked == "not_seen":
        return
    if hop.budget_basis == "checked":
        return  # what stands between was drawn on ground that somebody measured
    yield Draft(
        code="not-checked",
        severity="warn",
        subject=hop.id,
        message="Nobody has looked along this hop, and the ground under it is assumed.",
        source="PRACTICE",
        hop=hop.id,
        place=view.at_hop(hop.id),
        cures=(
            work_on_site(
                "Look along it with a lamp or mirror from the mount's height, and record it as seen.", "sight"
            ),
        ),
    )


def not_seen(view: View) -> Iterator[Draft]:
    """The walk did not see the far end: that counts more than a drawing that is clear."""
    for hop in view.hops.values():
        if hop.sight_checked != "not_seen":
            continue
        who = f" ({hop.sight_by}, {hop.sight_on})" if hop.sight_by else f" ({hop.sight_on})"
        yield Draft(
            code="not-seen",
            severity="warn",
            subject=hop.id,
            message=f"On the walk the far end was not seen{who}: trust the walk, not the drawing.",
            source="PRACTICE",
            hop=hop.id,
            place=view.at_hop(hop.id),
            cures=(
                work_on_site("Find what stands between, raise or move an end, and look again with a lamp.", "sight"),
            ),
        )


RULES = (not_checked, not_seen)
