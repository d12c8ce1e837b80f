"""The state of things in the job, and findings that somebody accepts."""

from __future__ import annotations

import datetime

from survey_app.errors import UnknownNameError
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.sharing import find_all, rebuilt, with_rows
from survey_app.site.record import Record
from survey_app.site.site import AcceptedFinding, Site
from survey_app.site.thing import Status

__all__ = ["accept_finding", "set_status", "withdraw_acceptance"]


def set_status(site: Site, *ids: str, status: Status, later_date: datetime.date | None = None) -> Edit:
    """Set the state of things in the job; for `later` also when they are meant to come."""
    puts: dict[str, dict[int, Record]] = {}
    asked = find_all(site, ids)
    touched = []
    for found in asked:
        thing = rebuilt(found.thing, found.title, status=status, later_date=later_date)
        if thing is not found.thing:
            puts.setdefault(found.collection.name, {})[found.number] = thing
            touched.append(thing.id)
    after = site
    for name, put in puts.items():
        after = with_rows(after, "design", name, put=put)
    title = asked[0].title if len(asked) == 1 else f"{len(asked)} things"
    return finished(f"Set {title} to {status}", site, after, tuple(touched))


def accept_finding(site: Site, accepted: AcceptedFinding) -> Edit:
    """Accept a finding with a reason; an earlier acceptance of the same finding is replaced."""
    earlier = {number for number, row in enumerate(site.design.accepted) if row.finding == accepted.finding}
    after = with_rows(site, "design", "accepted", add=(accepted,), drop=earlier)
    return Edit(f"Accept {accepted.finding}", site, after, ())


def withdraw_acceptance(site: Site, finding: str) -> Edit:
    """Take the acceptance of a finding back."""
    numbers = {number for number, row in enumerate(site.design.accepted) if row.finding == finding}
    if not numbers:
        raise UnknownNameError(f"the finding '{finding}' is not accepted", remedy="name one that is")
    return Edit(f"No longer accept {finding}", site, with_rows(site, "design", "accepted", drop=numbers), ())
