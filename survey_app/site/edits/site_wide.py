"""What holds for the whole site: name, date, region, plane, figures of judgement."""

from __future__ import annotations

import datetime
from typing import Any

from pydantic import ValidationError

from survey_app.errors import UsageError
from survey_app.site.edits.edit import Edit
from survey_app.site.edits.naming import field_words
from survey_app.site.edits.sharing import rebuilt, with_fields
from survey_app.site.place import Anchor
from survey_app.site.prices import PriceList
from survey_app.site.relief import Relief
from survey_app.site.shape import fields_of
from survey_app.site.site import Design, Site
from survey_app.site.validation import faults_of

__all__ = [
    "change_design",
    "set_anchor",
    "set_as_of",
    "set_defaults",
    "set_prices",
    "set_region",
    "set_relief",
    "set_revision",
]


def change_design(site: Site, **fields: Any) -> Edit:
    """Set fields of the design that are no collections: name, revision, as_of, units, paper, region and the like.

    Raises
    ------
    UsageError
        There is no such field, it is a collection, or a value is refused.
    """
    shapes = fields_of(Design)
    label = f"Set {field_words(fields)} of the site"
    rows = [name for name in fields if name in shapes and shapes[name].lists]
    if rows:
        raise UsageError(f"'{rows[0]}' is a collection, its rows are edited one by one", where=label)
    design = site.design
    needed = {"name": design.name, "as_of": design.as_of}
    try:
        checked = Design(**{**needed, **fields})
    except ValidationError as error:
        fault = faults_of(error, Design)[0]
        raise UsageError(fault.sentence, where=f"{label}, {fault.place}", remedy="the site is unchanged") from None
    new = {name: getattr(checked, name) for name in fields}
    if all(getattr(design, name) == value for name, value in new.items()):
        return Edit(label, site, site, ())
    after = with_fields(site, design=with_fields(design, **new))
    return Edit(label, site, after, (), merge_key=f"site {' '.join(sorted(fields))}")


def set_region(site: Site, region: str | None, country: str | None = None) -> Edit:
    """Set the region of the radio rules and, where one is given, the country."""
    fields: dict[str, Any] = {"region": region}
    if country is not None:
        fields["country"] = country
    return change_design(site, **fields)


def set_as_of(site: Site, as_of: datetime.date) -> Edit:
    """Set the planned date of installation."""
    return change_design(site, as_of=as_of)


def set_revision(site: Site, revision: str) -> Edit:
    """Set the revision of the design."""
    return change_design(site, revision=revision)


def set_anchor(site: Site, anchor: Anchor | None) -> Edit:
    """Tie the plane to the earth, or untie it. Positions in metres of the plane stay as they are written."""
    plane = rebuilt(site.design.plane, "plane", anchor=anchor)
    return change_design(site, plane=plane)._replace(label="Set anchor of the plane", merge_key="")


def set_defaults(site: Site, **fields: Any) -> Edit:
    """Set figures of judgement that hold for the whole site."""
    defaults = rebuilt(site.design.defaults, "defaults", **fields)
    edit = change_design(site, defaults=defaults)
    return edit._replace(
        label=f"Set {field_words(fields)} of the site", merge_key=f"defaults {' '.join(sorted(fields))}"
    )


def set_relief(site: Site, relief: Relief | None) -> Edit:
    """Give the site a relief in the place of the one that it has, or none: the ground is then assumed flat."""
    edit = change_design(site, relief=relief)
    return edit._replace(label="Set relief" if relief is not None else "Remove relief", merge_key="")


def set_prices(site: Site, prices: PriceList | None) -> Edit:
    """Give the site a list of prices and its currency, or take the list away; the currency then stays."""
    fields: dict[str, Any] = {"price_list": prices}
    if prices is not None:
        fields["currency"] = prices.currency
    edit = change_design(site, **fields)
    return edit._replace(label="Set prices" if prices is not None else "Remove prices", merge_key="")
