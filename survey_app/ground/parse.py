"""Positions as people type them, and back into text.

Latitude first; decimal degrees, degrees and minutes, or degrees, minutes and seconds, with a sign or a hemisphere
letter. Every way in which a text can be read is tried: one way is taken, two are refused with both printed.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from typing import NamedTuple

from survey_app.errors import UsageError

__all__ = ["PLAIN_MARKS", "Position", "parse_position", "position_text"]

_LONGEST = 120
_METRES_PER_FOOT = 0.3048
_LOWEST_M, _HIGHEST_M = -500.0, 9000.0

# What keyboards, word processors and web pages put where a plain character is meant.
PLAIN_MARKS = str.maketrans(
    {
        **dict.fromkeys("º˚∘", "°"),
        **dict.fromkeys("′’‘´ʹ`", "'"),
        **dict.fromkeys("″“”ʺ", '"'),
        **dict.fromkeys("−‐‑–", "-"),
        **dict.fromkeys("\t\n\r\u00a0\u2002\u2003\u2007\u2009\u202f", " "),
    }
)
_ALLOWED = re.compile(r"[0-9.,;+\-°'\" nsewdmft]*")

_ANGLE = re.compile(
    r"(?P<before>[nsew])? ?(?P<sign>[+-])? ?"
    r"(?P<degrees>[0-9]{1,3}(?:\.[0-9]+)?)"
    r"(?:(?P<degree_mark> ?[°d])? ?(?<![0-9])(?P<minutes>[0-9]{1,2}(?:\.[0-9]+)?)"
    r"(?:(?P<minute_mark> ?['m])? ?(?<![0-9])(?P<seconds>[0-9]{1,2}(?:\.[0-9]+)?)(?P<second_mark> ?[\"s])?"
    r"|(?P<last_minute_mark> ?['m])?)"
    r"|(?P<last_degree_mark> ?[°d])?)"
    r" ?(?P<after>[nsew])?"
)
_HEIGHT = re.compile(r"(?P<number>[+-]?[0-9]{1,5}(?:\.[0-9]+)?) ?(?P<unit>m|ft)?")


class Position(NamedTuple):
    """A point on the earth as it was understood.

    Attributes
    ----------
    lat_deg, lon_deg : float
        Latitude, north positive, and longitude, east positive. [deg]
    height_m : float or None
        Height, where one was given. [m]
    """

    lat_deg: float
    lon_deg: float
    height_m: float | None = None


class _Angle(NamedTuple):
    """An angle that was read: its value, its hemisphere letter or nothing, and whether it had a sign."""

    value_deg: float
    letter: str
    signed: bool


class _UnreadableError(Exception):
    """One way of reading a text that leads nowhere; the message says why."""


def parse_position(text: str, *, where: str | None = None, with_height: bool = False) -> Position:
    """Read a position: ``LAT,LON`` or ``LAT,LON,HEIGHT``.

    Parameters
    ----------
    text : str
        Such as ``"43.55,-69.6"``, ``"43 33 0 N, 69 36 0 W"``, ``"43°33.0'N 69°36.0'W"``, ``"43.55, -69.6, 12 m"``.
        Hemisphere letters stand with both angles or with neither; a height is in metres unless ``ft`` follows it.
    where : str, optional
        Name of the argument or the cell, for the sentence.
    with_height : bool, default False
        Whether a height has to stand there; what could also be read as two angles alone is then no longer in doubt.

    Returns
    -------
    Position
        Latitude -90 to 90, longitude -180 to 180 [deg], and the height or None [m].

    Raises
    ------
    UsageError
        The text cannot be read, or can be read in more than one way.

    Examples
    --------
    >>> parse_position("43 33 0 N, 69 36 0 W")
    Position(lat_deg=43.55, lon_deg=-69.6, height_m=None)
    >>> parse_position("44,9,12", with_height=True)
    Position(lat_deg=44.0, lon_deg=9.0, height_m=12.0)
    >>> parse_position("43,55 -69,6")
    Traceback (most recent call last):
        ...
    survey_app.errors.UsageError: '43,55 -69,6': decimals stand after a comma; write them after a point.
    """
    shown = repr(text if len(text) <= 60 else text[:57] + "...")
    place = f"{where} {shown}" if where else shown
    plain = _plain(text, place)
    found: set[Position] = set()
    reasons: list[str] = []
    for fields in _fields(plain):
        try:
            found.add(_position(fields))
        except _UnreadableError as reason:
            reasons.append(str(reason))
    decimal_comma = _decimal_comma_readings(plain)
    if with_height:
        found, bare = {one for one in found if one.height_m is not None}, found
        decimal_comma = {one for one in decimal_comma if one.height_m is not None}
        if bare and not (found or decimal_comma):
            raise UsageError("the height is missing", where=place, remedy="write LAT,LON,HEIGHT, the height in metres")
    if decimal_comma - found:
        if found:
            raise _ambiguous(found | decimal_comma, place)
        raise UsageError("decimals stand after a comma", where=place, remedy="write them after a point")
    if len(found) > 1:
        raise _ambiguous(found, place)
    if not found:
        why = next((said for said in reasons if said), "this is not a latitude and a longitude")
        raise UsageError(why, where=place, remedy="write LAT,LON such as 43.55,-69.6 or 43 33 0 N, 69 36 0 W")
    return found.pop()


def _ambiguous(found: set[Position], place: str) -> UsageError:
    readings = sorted(position_text(position) for position in found)
    return UsageError(
        f"this can be read as {' or as '.join(readings[:2])}",
        where=place,
        remedy="put a comma and a space between latitude and longitude, and decimals after a point",
    )


def _plain(text: str, place: str) -> str:
    """Return the text in lower case, in plain characters and with single spaces."""
    if len(text) > _LONGEST:
        raise UsageError(f"a position has no more than {_LONGEST} characters", where=place)
    plain = re.sub(" +", " ", text.translate(PLAIN_MARKS).replace("''", '"').strip().lower())
    if not plain:
        raise UsageError("the position is empty", where=place, remedy="write LAT,LON such as 43.55,-69.6")
    allowed = _ALLOWED.match(plain)
    end = allowed.end() if allowed else 0
    if end < len(plain):
        raise UsageError(f"{plain[end]!r} has no place in a position", where=place, remedy="write LAT,LON in degrees")
    return plain


def _fields(plain: str) -> Iterator[tuple[str, ...]]:
    """Yield the ways to cut the text into latitude, longitude and perhaps a height."""
    if "," in plain and ";" in plain:
        return
    if "," in plain or ";" in plain:
        yield tuple(field.strip() for field in re.split("[,;]", plain))
        return
    for cut in range(1, len(plain)):
        # a cut is made at a space, after a hemisphere letter and before one, never inside a figure
        if " " in plain[cut - 1 : cut + 1] or plain[cut - 1] in "nsew" or plain[cut] in "nsew":
            yield plain[:cut].strip(), plain[cut:].strip()
    if re.fullmatch(r"[^ ]+ [^ ]+ [^ ]+", plain):
        # three bare figures may be latitude, longitude and height: another reading, so that it is refused
        yield tuple(plain.split(" "))


def _decimal_comma_readings(plain: str) -> set[Position]:
    """Return what the text means where some of its commas stand before decimals."""
    commas = [match.start() for match in re.finditer(r"(?<=[0-9]),(?=[0-9])", plain)]
    found: set[Position] = set()
    for count in range(1, min(len(commas), 4) + 1):
        for chosen in itertools.combinations(commas[:4], count):
            read = "".join("." if place in chosen else letter for place, letter in enumerate(plain))
            for fields in _fields(read):
                try:
                    found.add(_position(fields))
                except _UnreadableError:
                    continue
    return found


def _position(fields: tuple[str, ...]) -> Position:
    if len(fields) not in (2, 3):
        raise _UnreadableError(f"this has {len(fields)} parts" if len(fields) > 3 else "")
    one, two = _angle(fields[0]), _angle(fields[1])
    height_m = _height_m(fields[2]) if len(fields) == 3 else None
    lat_deg, lon_deg = _in_order(one, two)
    if abs(lat_deg) > 90:
        swapped = ", and latitude comes first" if abs(lon_deg) <= 90 and not one.letter else ""
        raise _UnreadableError(f"latitude {lat_deg:g} is not between -90 and 90{swapped}")
    if abs(lon_deg) > 180:
        raise _UnreadableError(f"longitude {lon_deg:g} is not between -180 and 180")
    return Position(lat_deg, lon_deg, height_m)


def _in_order(one: _Angle, two: _Angle) -> tuple[float, float]:
    """Return latitude and longitude: as the letters say, else latitude first."""
    if bool(one.letter) != bool(two.letter):
        raise _UnreadableError("only one of the two angles has a hemisphere letter")
    if one.letter and (one.letter in "ns") == (two.letter in "ns"):
        raise _UnreadableError(f"both angles are {'latitudes' if one.letter in 'ns' else 'longitudes'}")
    if one.letter and one.letter in "ew":
        return two.value_deg, one.value_deg
    return one.value_deg, two.value_deg


def _angle(text: str) -> _Angle:
    match = _ANGLE.fullmatch(text)
    if match is None:
        raise _UnreadableError("")
    degrees, minutes, seconds = match["degrees"], match["minutes"], match["seconds"]
    for part, finer, name in ((degrees, minutes, "degrees"), (minutes, seconds, "minutes")):
        if finer is not None and "." in part:
            raise _UnreadableError(f"{name} with decimals cannot be followed by a finer part")
    for part, name in ((minutes, "minutes"), (seconds, "seconds")):
        if part is not None and float(part) >= 60:
            raise _UnreadableError(f"{part} {name} are not below 60")
    letter = _letter(match)
    value = float(degrees) + float(minutes or 0) / 60 + float(seconds or 0) / 3600
    negative = match["sign"] == "-" or letter in ("s", "w")
    # adding zero keeps a negative zero out
    return _Angle((-value if negative else value) + 0.0, letter, match["sign"] is not None)


def _letter(match: re.Match[str]) -> str:
    """Return the hemisphere letter; an ``s`` after the seconds may mark them or may mean south."""
    before, after = match["before"] or "", match["after"] or ""
    if (match["second_mark"] or "").strip() == "s" and not (before or after):
        spelled = "d" in (match["degree_mark"] or "") or "m" in (match["minute_mark"] or "")
        if spelled and not match["sign"]:
            raise _UnreadableError("the s at the end may mean seconds or south")
        after = "" if spelled else "s"
    if before and after:
        raise _UnreadableError("")
    if (before or after) and match["sign"]:
        raise _UnreadableError("an angle has a sign and a hemisphere letter")
    return before or after


def _height_m(text: str) -> float:
    match = _HEIGHT.fullmatch(text)
    if match is None:
        raise _UnreadableError(f"{text!r} is not a height in metres")
    height_m = float(match["number"]) * (_METRES_PER_FOOT if match["unit"] == "ft" else 1.0)
    if not _LOWEST_M <= height_m <= _HIGHEST_M:
        raise _UnreadableError(f"height {height_m:g} m is not between {_LOWEST_M:g} and {_HIGHEST_M:g}")
    return height_m + 0.0


def position_text(position: Position, *, style: str = "decimal", decimals: int | None = None) -> str:
    """Write a position so that a person sees what was understood, and so that it reads back as the same.

    Parameters
    ----------
    position : Position
        The position; angles are finite.
    style : {"decimal", "dms"}
        Decimal degrees, or degrees, minutes and seconds.
    decimals : int, optional
        Places after the point; 6 of a degree (0.1 m) or 2 of a second (0.3 m) unless given.

    Returns
    -------
    str
        Latitude, longitude and, where there is one, the height.

    Raises
    ------
    ValueError
        The style is not known.

    Examples
    --------
    >>> position_text(Position(43.55, -69.6, 12.0))
    '43.550000° N, 69.600000° W, 12 m'
    >>> position_text(Position(43.55, -69.6), style="dms")
    '43°33\\'00.00" N, 69°36\\'00.00" W'
    """
    if style not in ("decimal", "dms"):
        raise ValueError(f"style must be 'decimal' or 'dms', not {style!r}")
    parts = []
    for value, letters in ((position.lat_deg, "NS"), (position.lon_deg, "EW")):
        if style == "decimal":
            places = 6 if decimals is None else decimals
            angle, zero = f"{abs(value):.{places}f}°", round(abs(value), places) == 0
        else:
            places = 2 if decimals is None else decimals
            # rounded once, in the smallest unit, so that no 60 seconds are printed
            units = round(abs(value) * 3600 * 10**places)
            whole, fraction = divmod(units, 10**places)
            minutes, seconds = divmod(whole, 60)
            tail = f".{fraction:0{places}d}" if places else ""
            angle, zero = f"{minutes // 60}°{minutes % 60:02d}'{seconds:02d}{tail}\"", units == 0
        parts.append(f"{angle} {letters[1 if value < 0 and not zero else 0]}")
    if position.height_m is not None:
        parts.append(f"{round(position.height_m, 2) + 0.0:g} m")
    return ", ".join(parts)
