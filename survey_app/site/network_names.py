"""What things are called in the network: the plan's pattern, filled with each thing's own words."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping

from survey_app.site.addressing import AddressPlan
from survey_app.site.edits.addressing import Addressed, addressed_things
from survey_app.site.network import Camera, Device
from survey_app.site.radio import Radio
from survey_app.site.site import Site

__all__ = ["kind_of", "names_in_network"]

_REFUSED = re.compile(r"[^A-Za-z0-9.]+")
_LONGEST = 63


def names_in_network(site: Site) -> dict[str, str]:
    """Return the name in the network of everything that has an address, by id.

    A name has letters, digits, hyphens and dots and at most 63 signs, as host names have ([RFC1123]_, 2.1). Where a
    pattern would give several things one name, each of them has its id added.

    Parameters
    ----------
    site : Site
        The document; without a plan of addresses the usual pattern holds.

    Examples
    --------
    >>> import datetime
    >>> from survey_app.site.new import new_site
    >>> names_in_network(new_site("Yard", as_of=datetime.date(2026, 12, 1)))
    {}
    """
    pattern = (site.design.addressing or AddressPlan()).name_pattern
    kinds = {row.id: row.kind for row in site.design.gear}
    things = [thing for _, thing in addressed_things(site)]
    named = {thing.id: _name(pattern, thing, kind_of(thing, kinds)) for thing in things}
    times = Counter(name.lower() for name in named.values())
    given: dict[str, str] = {}
    for key, name in named.items():
        own = name if name and times[name.lower()] == 1 else _plain(f"{name[: _LONGEST - len(key) - 1]}-{key}")
        given[key] = _free(own, {other.lower() for other in given.values()})
    return given


def kind_of(thing: Addressed, kinds: Mapping[str, str]) -> str:
    """Return what a thing is, in one word: radio, camera, or the kind of box that its gear type is.

    Parameters
    ----------
    thing : Radio, Camera or Device
        The thing.
    kinds : mapping of str to str
        Kind of each gear type of the site, by its id.
    """
    match thing:
        case Radio():
            return "radio"
        case Camera():
            return "camera"
        case Device():
            return kinds.get(thing.gear, "device")


def _name(pattern: str, thing: Addressed, kind: str) -> str:
    words = {"id": thing.id, "kind": kind, "mount": thing.mount or getattr(thing, "structure", None) or ""}
    return _plain(re.sub(r"\{(id|kind|mount)\}", lambda found: words[found[1]], pattern))


def _free(name: str, taken: set[str]) -> str:
    """The name, or with a number where ids differ in signs alone that a name cannot have."""
    number = 1
    free = name
    while free.lower() in taken:
        number += 1
        free = f"{name[: _LONGEST - 4]}-{number}"
    return free


def _plain(name: str) -> str:
    return _REFUSED.sub("-", name)[:_LONGEST].strip("-.")
