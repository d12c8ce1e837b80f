"""Several edits as one step, records made with a sentence for what is refused, and copies of gear carried along."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import ValidationError

from survey_app.errors import UsageError
from survey_app.site.copies import missing_copies
from survey_app.site.edits import Edit, add_gear
from survey_app.site.place import PlanePoint
from survey_app.site.record import Record
from survey_app.site.site import Site
from survey_app.site.validation import faults_of

if TYPE_CHECKING:
    from survey_app.gear.catalogue import Catalogue

__all__ = ["Make", "copies", "in_one_step", "made", "plane_point"]

Make = Callable[[Site], Edit]
R = TypeVar("R", bound=Record)

_PLACES = 3
"""Millimetres: finer than a hand or a tape."""


def made(kind: type[R], /, **values: Any) -> R:
    """Make a record.

    Raises
    ------
    UsageError
        A value is refused.
    """
    try:
        return kind(**values)
    except ValidationError as error:
        fault = faults_of(error, kind)[0]
        raise UsageError(fault.sentence, where=fault.place, remedy="the site is unchanged") from None


def plane_point(x_m: float, y_m: float) -> PlanePoint:
    """Return a point of the plane to the millimetre.

    Raises
    ------
    UsageError
        It is outside the range of the plane.
    """
    return made(PlanePoint, x_m=round(x_m, _PLACES) + 0.0, y_m=round(y_m, _PLACES) + 0.0)


def in_one_step(label: str, makes: Iterable[Make], *, merge_key: str = "") -> Make:
    """Return edits that follow each other as one, with one name and all that they touched."""
    parts = tuple(makes)

    def make(site: Site) -> Edit:
        after = site
        touched: list[str] = []
        remarks: list[str] = []
        for part in parts:
            edit = part(after)
            after = edit.after
            touched += edit.touched
            remarks += edit.remarks
        return Edit(label, site, after, tuple(dict.fromkeys(touched)), tuple(remarks), merge_key)

    return make


def copies(catalogue: Catalogue, gear_ids: Iterable[str]) -> Make:
    """Return the edit that gives a site its copies of gear types, and of what is counted with them."""
    wanted = tuple(gear_ids)

    def make(site: Site) -> Edit:
        carried = {row.id for row in site.design.gear}
        named = [catalogue.find(one) for one in dict.fromkeys(wanted) if one not in carried]
        more = [one for one in missing_copies(site.design, catalogue) if one.id not in {row.id for row in named}]
        steps = [lambda now, one=one: add_gear(now, one) for one in (*named, *more)]
        return in_one_step("Carry gear types", steps)(site)

    return make
