"""Makes an empty site."""

from __future__ import annotations

import datetime

from survey_app.site.place import Anchor
from survey_app.site.site import Design, Plane, Site

__all__ = ["new_site"]


def new_site(
    name: str,
    *,
    as_of: datetime.date,
    anchor: Anchor | None = None,
    region: str | None = None,
    country: str | None = None,
) -> Site:
    """Return an empty site that can be saved and checked.

    Parameters
    ----------
    name : str
        Name of the site.
    as_of : datetime.date
        Planned date of installation.
    anchor : Anchor or None
        Where the plane lies on the earth; None = plan north only.
    region, country : str or None
        Region of the radio rules and country; None = not chosen.

    Examples
    --------
    >>> new_site("Yard", as_of=datetime.date(2026, 12, 1), region="EU").design.revision
    'A'
    """
    design = Design(name=name, as_of=as_of, region=region, country=country, plane=Plane(anchor=anchor))
    return Site(design=design)
