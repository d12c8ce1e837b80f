"""What is typed while something is placed: where a point lies, in one of six ways that cannot be mistaken.

============================  ==================================================================================
``12.5; 40``                  coordinates: x and y of the plane, parted by a semicolon
``by 12.5; -3``               from the last point: so far right and up
``127.6 295``                 from the last point: bearing, a blank, distance
``P3 127.6 295``              from a thing: its id, bearing, distance
``P3``                        where that thing is
``295``                       so far from the last point, in the direction of the pointer
``43.55 N, 69.6 W``           latitude and longitude, with both hemisphere letters
============================  ==================================================================================

Lengths are metres, or feet where the site's units are feet; either may be marked (``12 m``, ``12'``, ``12' 6"``).
Decimals stand after a point: a comma parts nothing but latitude and longitude. Bearings count clockwise from the north
that is in force on the plan, 0 to 360. What was understood is printed back by `Typed.words`.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Collection, Mapping
from typing import Literal, NamedTuple

from survey_app.errors import UnknownNameError, UsageError
from survey_app.ground.length import MOST_M, Units, length_text, parse_length, plain_text
from survey_app.ground.parse import Position, parse_position, position_text
from survey_app.ground.plane import Plane, to_plane

__all__ = ["Typed", "parse_typed", "point_of"]

Point = tuple[float, float]
_FORMS = "write '127.6 295' (bearing, distance), '12.5; 40' (x; y), 'P3 127.6 295' (from a thing) or '43.55 N, 69.6 W'"
_MOST = 120
_DEGREES = re.compile(r"[0-9.,;+\-°'\" nsew]*[0-9][0-9.,;+\-°'\" nsew]*", re.IGNORECASE)
_FIGURE = re.compile(r"[+-]?(?:[0-9]{1,9}(?:\.[0-9]{0,9})?|\.[0-9]{1,9})°?")


class Typed(NamedTuple):
    """What was understood.

    Attributes
    ----------
    kind : str
        "coordinates", "offset", "polar", "length", "degrees" or "thing".
    x_m, y_m : float
        Coordinates, or how far right and up. [m]
    bearing_deg : float
        Of "polar", 0 <= bearing < 360. [deg]
    length_m : float
        Of "polar" and "length". [m]
    position : Position or None
        Of "degrees".
    thing : str
        Id of the thing that it counts from, or that is meant; empty = the last point.
    words : str
        It said back: "295.0 m at 127.6° from P3".
    """

    kind: Literal["coordinates", "offset", "polar", "length", "degrees", "thing"]
    x_m: float = 0.0
    y_m: float = 0.0
    bearing_deg: float = 0.0
    length_m: float = 0.0
    position: Position | None = None
    thing: str = ""
    words: str = ""


def parse_typed(text: str, *, units: Units = "metric", things: Collection[str] = ()) -> Typed:
    """Read what was typed.

    Parameters
    ----------
    text : str
        In one of the ways that stand at the head of this module.
    units : {"metric", "feet", "both"}
        Units of the site.
    things : collection of str
        Ids of the things that may be named.

    Raises
    ------
    UnknownNameError
        A thing is named that is not there; the nearest is offered.
    UsageError
        The text is none of those.

    Examples
    --------
    >>> parse_typed("127.6 295").words
    '295.0 m at 127.6° from the last point'
    >>> parse_typed("12.5; -40").words
    'x 12.50 m, y −40.00 m'
    >>> parse_typed("P3 90 12' 6\\"", things=["P3"]).words
    '3.8 m at 90.0° from P3'
    """
    plain = plain_text(text)
    if not plain:
        raise UsageError("nothing is typed", where="position", remedy=_FORMS)
    if len(plain) > _MOST:
        raise UsageError(f"a position has no more than {_MOST} characters", where="position", remedy=_FORMS)
    head, _, rest = plain.partition(" ")
    known = _known(head, things)
    if known is not None:
        return _from_thing(known, rest, units)
    if (
        _DEGREES.fullmatch(plain)
        and re.search("[ns]", plain, re.IGNORECASE)
        and re.search("[ew]", plain, re.IGNORECASE)
    ):
        position = parse_position(plain)
        return Typed("degrees", position=position, words=position_text(position))
    if ";" in plain:
        return _coordinates(plain, units)
    if _FIGURE.fullmatch(head) and rest and _is_length_start(rest):
        return _polar(head, rest, "", units)
    if head[0].isalpha():
        raise _unknown(head, things)
    if "," in plain:
        raise UsageError(
            "a comma may part two figures or stand before decimals",
            where=f"position {plain!r}",
            remedy="write '12.5; 40' for x and y, '43.55 N, 69.6 W' for latitude and longitude",
        )
    try:
        length_m = parse_length(plain, units)
    except UsageError:
        raise UsageError("this says no place", where=f"position {plain!r}", remedy=_FORMS) from None
    if length_m < 0:
        raise UsageError("a length is not negative", where=f"position {plain!r}", remedy=_FORMS)
    return Typed("length", length_m=length_m, words=f"{length_text(length_m, units)} towards the pointer")


def _known(head: str, things: Collection[str]) -> str | None:
    if head in things:
        # '12 40' is a bearing and a distance also where a thing is called 12
        return None if _FIGURE.fullmatch(head) else head
    same = [one for one in things if one.casefold() == head.casefold()]
    return same[0] if len(same) == 1 and not _FIGURE.fullmatch(head) else None


def _unknown(head: str, things: Collection[str]) -> UsageError:
    close = difflib.get_close_matches(head[:40], list(things), n=1)
    remedy = f"did you mean '{close[0]}'" if close else _FORMS
    return UnknownNameError(f"the plan has nothing with the id '{head[:40]}'", where="position", remedy=remedy)


def _is_length_start(rest: str) -> bool:
    # of 12 m and 12 ft 6 in the second word is the unit of the first
    return rest[0] in "0123456789.+-"


def _from_thing(thing: str, rest: str, units: Units) -> Typed:
    if not rest:
        return Typed("thing", thing=thing, words=f"at {thing}")
    head, _, tail = rest.partition(" ")
    if not tail:
        raise UsageError("a bearing or a distance is missing", where=f"position '{thing} {rest}'", remedy=_FORMS)
    return _polar(head, tail, thing, units)


def _polar(bearing: str, distance: str, thing: str, units: Units) -> Typed:
    where = f"bearing {bearing!r}"
    if not _FIGURE.fullmatch(bearing):
        raise UsageError("this is not a bearing in degrees", where=where, remedy=_FORMS)
    bearing_deg = float(bearing.rstrip("°"))
    if not 0.0 <= bearing_deg <= 360.0:
        raise UsageError("a bearing is from 0 to 360", where=where, remedy="it comes first, the distance after it")
    length_m = parse_length(distance, units, where="distance")
    if length_m < 0:
        raise UsageError("a distance is not negative", where=f"distance {distance!r}", remedy="turn the bearing round")
    origin = thing or "the last point"
    words = f"{length_text(length_m, units)} at {bearing_deg % 360.0:.1f}° from {origin}"
    return Typed("polar", bearing_deg=bearing_deg % 360.0, length_m=length_m, thing=thing, words=words)


def _coordinates(plain: str, units: Units) -> Typed:
    offset = plain[:2].lower() == "by"
    parts = [part.strip() for part in (plain[2:] if offset else plain).split(";")]
    if len(parts) != 2 or not all(parts):
        raise UsageError("two figures are needed, x and y", where=f"position {plain!r}", remedy=_FORMS)
    x_m, y_m = (
        parse_length(_bare(part, axis), units, where=axis) for part, axis in zip(parts, ("x", "y"), strict=True)
    )
    right, up = length_text(x_m, units, 2), length_text(y_m, units, 2)
    words = f"{right} right and {up} up from the last point" if offset else f"x {right}, y {up}"
    return Typed("offset" if offset else "coordinates", x_m=x_m, y_m=y_m, words=words)


def _bare(part: str, axis: str) -> str:
    """Return a coordinate without the letter that may stand before it: `x 12.5`, `y=40`."""
    return re.sub(rf"^{axis} ?=? ?", "", part, flags=re.IGNORECASE)


def point_of(
    typed: Typed,
    *,
    last: Point | None = None,
    pointer: Point | None = None,
    points: Mapping[str, Point] | None = None,
    plane: Plane | None = None,
    north_deg: float = 0.0,
) -> Point:
    """Return the point of the plane that was typed.

    Parameters
    ----------
    typed : Typed
        What was understood.
    last : (x, y) or None
        The point placed last. [m]
    pointer : (x, y) or None
        Where the pointer is, for a bare length. [m]
    points : mapping of str to (x, y) or None
        Where things are. [m]
    plane : Plane or None
        Where the plane lies on the earth, for latitude and longitude.
    north_deg : float
        Plan bearing of the north that typed bearings count from. [deg]

    Raises
    ------
    UsageError
        What it counts from is not there, or the point lies off every plan.

    Examples
    --------
    >>> x_m, y_m = point_of(parse_typed("90 12"), last=(3.0, 4.0))
    >>> round(x_m, 9), round(y_m, 9)
    (15.0, 4.0)
    """
    if typed.kind == "degrees" and typed.position is not None:
        if plane is None:
            raise UsageError(
                "the plane is not tied to the earth", where="position", remedy="set its anchor first, or give metres"
            )
        x, y = to_plane(plane, typed.position.lat_deg, typed.position.lon_deg)
        at = float(x), float(y)
    elif typed.kind == "coordinates":
        at = typed.x_m, typed.y_m
    else:
        at = _from_origin(typed, _origin(typed, last, points or {}), pointer, north_deg)
    if not max(abs(at[0]), abs(at[1])) <= MOST_M:
        raise UsageError("that is off the plan", where="position", remedy="it reaches 1 000 km from its origin")
    return at


def _origin(typed: Typed, last: Point | None, points: Mapping[str, Point]) -> Point:
    if typed.thing:
        found = points.get(typed.thing)
        if found is None or not all(map(math.isfinite, found)):
            raise UsageError(f"'{typed.thing}' has no point on the plan", where="position", remedy="take another thing")
        return found
    if last is None:
        raise UsageError(
            "there is no last point to count from", where="position", remedy="give x; y, or begin with a thing's id"
        )
    return last


def _from_origin(typed: Typed, origin: Point, pointer: Point | None, north_deg: float) -> Point:
    if typed.kind == "thing":
        return origin
    if typed.kind == "offset":
        return origin[0] + typed.x_m, origin[1] + typed.y_m
    if typed.kind == "polar":
        turn = math.radians(typed.bearing_deg + north_deg)
        return origin[0] + typed.length_m * math.sin(turn), origin[1] + typed.length_m * math.cos(turn)
    if pointer is None or pointer == origin:
        raise UsageError("no direction is shown", where="position", remedy="move the pointer, or give a bearing too")
    part = typed.length_m / math.dist(origin, pointer)
    return origin[0] + (pointer[0] - origin[0]) * part, origin[1] + (pointer[1] - origin[1]) * part
