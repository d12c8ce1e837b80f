"""Whether anybody looked along the hop."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft, work_on_site
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES"]

CODES = {"not-checked": "Nobody looked along it", "not-seen": "The far end was not seen"}


def not_checked(view: View) -> Iterator[Draft]:
    """No sight in evidence, and no obstruction computed: said, never shown as clear."""
    for hop in view.hops.values():
        if hop.sight_checked in ("seen", "seen_with_lamp"):
            continue
        looked = hop.sight_checked == "not_seen"
        yield Draft(
            code="not-seen" if looked else "not-checked",
            severity="warn",
            subject=hop.id,
            message=(
                f"On the walk the far end was not seen ({hop.sight_by}, {hop.sight_on}): trust the walk, not the drawing."
                if looked
                else "Nobody has looked along this hop, and nothing in its way has been computed."
            ),
            source="PRACTICE",
            hop=hop.id,
            place=view.at_hop(hop.id),
            cures=(
                work_on_site("Look along it with a lamp or mirror from the mount's height, and record it as seen."),
            ),
        )


RULES = (not_checked,)
