"""The state of things in the job, and findings that somebody accepts."""

from __future__ import annotations

import datetime
from collections.abc import Iterable

from survey_app.errors import UnknownNameError
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.moving import put_back, titled
from survey_app.site.edits.sharing import Found, find_all, rebuilt, with_rows
from survey_app.site.record import Record
from survey_app.site.site import AcceptedFinding, Site
from survey_app.site.thing import Status

__all__ = ["accept_finding", "rows_of", "set_locked", "set_status", "withdraw_acceptance"]


def set_status(site: Site, *ids: str, status: Status, later_date: datetime.date | None = None) -> Edit:
    """Set the state of things in the job; for `later` also when they are meant to come."""
    asked = find_all(site, ids)
    after, touched = put_back(
        site, rows_of(asked), lambda row: rebuilt(row, "Set status", status=status, later_date=later_date)
    )
    return finished(f"Set {titled(asked)} to {status}", site, after, touched)


def rows_of(asked: list[Found]) -> dict[str, dict[int, Record]]:
    """Return things as rows of their collections, by number."""
    rows: dict[str, dict[int, Record]] = {}
    for found in asked:
        rows.setdefault(found.collection.name, {})[found.number] = found.thing
    return rows


def set_locked(site: Site, ids: Iterable[str], locked: bool) -> Edit:
    """Lock things, so that they may not be moved or removed, or unlock them."""
    asked = find_all(site, ids)
    after, touched = put_back(
        site,
        rows_of(asked),
        lambda row: rebuilt(row, "Lock", locked=locked),
    )
    title = titled(asked) if asked else "nothing"
    return finished(f"{'Lock' if locked else 'Unlock'} {title}", site, after, touched)


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
