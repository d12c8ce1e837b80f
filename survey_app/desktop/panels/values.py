"""Values of fields as people read and type them: units, feet at the edge, positions, dates, choices."""

from __future__ import annotations

import datetime
import re
from typing import Any

from survey_app.errors import UsageError
from survey_app.ground.parse import Position as GeoPosition
from survey_app.ground.parse import parse_position, position_text
from survey_app.site.place import GeoPoint, PlanePoint
from survey_app.site.shape import FieldShape

__all__ = [
    "choice_words",
    "is_position",
    "null_words",
    "read_position",
    "read_value",
    "true_minus",
    "unit_word",
    "written_position",
    "written_value",
]

_FOOT_M = 0.3048
_MOST = 60
_MINUS = "\N{MINUS SIGN}"
_HYPHEN_AS_MINUS = re.compile(r"(?<![^\s(±])-(?=\d)")
_UNIT_WORDS = {
    "degree": "°",
    "1": "",
    "day": "days",
    "year": "years",
    "minute": "min",
    "1/day": "a day",
    "1/s": "a second",
}
_LONG_WORDS = {"m": "metres", "degree": "degrees", "mm": "millimetres", "ft": "feet"}
_NUMBER = re.compile(r"[+-]?(?:[0-9]{1,15}(?:\.[0-9]{0,15})?|\.[0-9]{1,15})")
_FEET = re.compile(r"(?P<sign>[+-]?)(?P<feet>[0-9]{1,9}) ?(?:ft|') ?(?P<inches>[0-9]{1,2}(?:\.[0-9]+)?) ?(?:in|\"|'')?")
_GEOGRAPHIC = re.compile(r"[nsew°'\"]", re.IGNORECASE)
_PLAIN = str.maketrans({"−": "-", "–": "-", "\u00a0": " ", "\u2009": " ", "\u202f": " ", "′": "'", "″": '"'})


def true_minus(words: str) -> str:
    """Return words in which a hyphen before a figure is a true minus sign.

    Examples
    --------
    >>> true_minus("heard at -44 dBm on 2026-11-02")
    'heard at −44 dBm on 2026-11-02'
    """
    return _HYPHEN_AS_MINUS.sub(_MINUS, words)


def is_position(shape: FieldShape) -> bool:
    """Return whether a field holds one position of the plan."""
    return list(shape.records) == ["plane", "geographic"] and not shape.lists


def unit_word(unit: str | None, *, feet: bool = False) -> str:
    """Return a unit as it stands behind a figure.

    Examples
    --------
    >>> unit_word("m"), unit_word("m", feet=True), unit_word("degree"), unit_word("1")
    ('m', 'ft', '°', '')
    """
    if unit is None:
        return ""
    return "ft" if feet and unit == "m" else _UNIT_WORDS.get(unit, unit)


def choice_words(choice: Any) -> str:
    """Return one of a field's choices in words.

    Examples
    --------
    >>> choice_words("access_point"), choice_words(True), choice_words(20)
    ('access point', 'yes', '20')
    """
    if isinstance(choice, bool):
        return "yes" if choice else "no"
    return str(choice).replace("_", " ")


def null_words(shape: FieldShape) -> str:
    """Return what an empty field stands for, as its meaning has it.

    Examples
    --------
    >>> from survey_app.site.radio import Radio
    >>> from survey_app.site.shape import fields_of
    >>> null_words(fields_of(Radio)["width_mhz"]), null_words(fields_of(Radio)["label"])
    ('site default', 'its id')
    """
    found = re.search(r"(?:null|empty) = ([^;]+)", shape.meaning)
    return found[1].strip().replace("`", "") if found else "none" if shape.nullable else ""


def written_value(shape: FieldShape, value: Any, *, feet: bool = False) -> str:
    """Return a value as it stands in its field; empty for none.

    Examples
    --------
    >>> from survey_app.site.mount import Mount
    >>> from survey_app.site.shape import fields_of
    >>> shape = fields_of(Mount)["height_m"]
    >>> written_value(shape, 6.0), written_value(shape, 6.0, feet=True), written_value(shape, None)
    ('6.0 m', '19.69 ft', '')
    """
    if value is None:
        return ""
    if shape.lists and shape.holds == "number":
        return ", ".join(_written_number(shape._replace(unit=None), one, feet=feet) for one in value)
    if shape.holds in ("number", "whole number"):
        return _written_number(shape, value, feet=feet)
    if shape.lists:
        return ", ".join(str(one) for one in value)
    if isinstance(value, datetime.datetime | datetime.date):
        return value.isoformat()
    return choice_words(value) if shape.holds in ("choice", "true or false") else str(value)


def _written_number(shape: FieldShape, value: float, *, feet: bool) -> str:
    if feet and shape.unit == "m":
        figure = f"{value / _FOOT_M:.2f}"
    elif isinstance(value, int):
        figure = str(value)
    else:
        figure = f"{value:.12g}"
        if shape.unit == "m" and "." not in figure and "e" not in figure:
            figure += ".0"
    figure = figure.replace("-", _MINUS)
    unit = unit_word(shape.unit, feet=feet)
    return f"{figure}{unit}" if unit == "°" else f"{figure} {unit}".rstrip()


def read_value(shape: FieldShape, text: str, *, feet: bool = False) -> Any:
    """Read what was typed into a field.

    Parameters
    ----------
    shape : FieldShape
        What the field holds; positions are read by `read_position`.
    text : str
        What was typed; a unit may stand behind a figure.
    feet : bool
        Whether a length without a unit is in feet.

    Raises
    ------
    UsageError
        It is not what the field holds. Ranges in metres are left to the edit; those in feet are judged here, in feet.

    Examples
    --------
    >>> from survey_app.site.mount import Mount
    >>> from survey_app.site.shape import fields_of
    >>> shape = fields_of(Mount)["height_m"]
    >>> read_value(shape, "6"), read_value(shape, "20 ft"), round(read_value(shape, "19 ft 8 in"), 3)
    (6.0, 6.096, 5.994)
    """
    plain = text.translate(_PLAIN).strip()
    if not plain and shape.nullable:
        return None
    if shape.lists and shape.holds == "number":
        return _read_numbers(shape, plain, text, feet=feet)
    if shape.holds in ("number", "whole number"):
        return _read_number(shape, plain, text, feet=feet)
    if shape.lists:
        return tuple(one for one in re.split(r"[,;\s]+", plain) if one)
    if shape.holds == "date":
        return _read_date(plain)
    # words stay as they were typed, but for blanks round them
    return text.strip()


def _needed(shape: FieldShape, *, feet: bool) -> str:
    unit = "ft" if feet and shape.unit == "m" else shape.unit
    words = _LONG_WORDS.get(unit or "", unit_word(unit))
    return f"a {shape.holds}{f' in {words}' if words else ''} is needed"


def _quoted(text: str) -> str:
    shown = "".join(one for one in text.strip() if one.isprintable())
    return f"'{shown}'" if len(shown) <= _MOST else f"'{shown[:_MOST]}…'"


def _read_number(shape: FieldShape, plain: str, text: str, *, feet: bool) -> float | int:
    if not plain:
        raise UsageError(f"nothing is given, {_needed(shape, feet=feet)}")
    both = _FEET.fullmatch(plain) if shape.unit == "m" else None
    if both is not None:
        size = (float(both["feet"]) + float(both["inches"]) / 12.0) * _FOOT_M
        return _in_range(shape, -size if both["sign"] == "-" else size, feet=True)
    in_feet = feet
    figure = plain
    for unit in sorted(_spellings(shape), key=len, reverse=True):
        if unit and plain.casefold().endswith(unit.casefold()):
            figure = plain[: -len(unit)].strip()
            in_feet = unit in ("ft", "'")
            break
    if re.fullmatch(r"[+-]?[0-9]+,[0-9]+", figure):
        raise UsageError(f"{_quoted(text)} has a comma in it", remedy="write decimals after a point")
    if _NUMBER.fullmatch(figure) is None:
        raise UsageError(f"{_quoted(text)} is not a number, {_needed(shape, feet=feet)}")
    number = float(figure)
    if shape.holds == "whole number":
        if not number.is_integer():
            raise UsageError(f"{figure} is not whole, {_needed(shape, feet=feet)}")
        return int(number)
    return _in_range(shape, number * _FOOT_M, feet=True) if in_feet and shape.unit == "m" else number


def _read_numbers(shape: FieldShape, plain: str, text: str, *, feet: bool) -> tuple[float, ...]:
    """Read figures one after the other; a comma between two digits could be either and is refused."""
    if re.search(r"[0-9],[0-9]", plain):
        raise UsageError(f"{_quoted(text)} has a comma in a figure", remedy="write them as '-58, -61'")
    units = {unit.casefold() for unit in _spellings(shape)}
    parts = [part for part in re.split(r"[,;/\s]+|\band\b", plain) if part and part.casefold() not in units]
    one = shape._replace(lists=0)
    return tuple(float(_read_number(one, part, part, feet=feet)) for part in parts)


def _spellings(shape: FieldShape) -> tuple[str, ...]:
    extra = {"m": ("ft", "'", "metres", "metre"), "degree": ("deg", "degrees"), "Mbit/s": ("Mbps",)}
    own = shape.unit if shape.unit != "1" else ""
    return (unit_word(shape.unit), own or "", *extra.get(shape.unit or "", ()))


def _in_range(shape: FieldShape, value_m: float, *, feet: bool) -> float:
    """Judge a length that was given in feet in feet, so that the sentence speaks of what was typed."""
    low, high = shape.bounds.get("ge"), shape.bounds.get("le")
    shown = f"{value_m / _FOOT_M:.6g} ft"
    if feet and low is not None and value_m < low:
        raise UsageError(f"{shown} is too small, at least {low / _FOOT_M:.4g} ft")
    if feet and high is not None and value_m > high:
        raise UsageError(f"{shown} is too large, at most {high / _FOOT_M:.4g} ft")
    return round(value_m, 6)


def _read_date(plain: str) -> datetime.date:
    given = f"{_quoted(plain)} is not a date" if plain else "nothing is given"
    sentence = f"{given}, year-month-day such as 2026-12-01 is needed"
    if not re.fullmatch(r"\d{4}-\d\d-\d\d", plain, re.ASCII):
        raise UsageError(sentence)
    try:
        return datetime.date.fromisoformat(plain)
    except ValueError:
        raise UsageError(sentence) from None


def written_position(position: PlanePoint | GeoPoint | None, *, feet: bool = False) -> str:
    """Return a position as it stands in its field.

    Examples
    --------
    >>> written_position(PlanePoint(x_m=440.0, y_m=92.25))
    '440.0, 92.25 m'
    """
    if position is None:
        return ""
    if isinstance(position, GeoPoint):
        return position_text(GeoPosition(position.lat_deg, position.lon_deg), decimals=7)
    if feet:
        return f"{position.x_m / _FOOT_M:.2f}, {position.y_m / _FOOT_M:.2f} ft".replace("-", _MINUS)
    x, y = (text if "." in text else f"{text}.0" for text in (f"{position.x_m:.12g}", f"{position.y_m:.12g}"))
    return f"{x}, {y} m".replace("-", _MINUS)


def read_position(
    text: str, now: PlanePoint | GeoPoint | None, *, feet: bool = False, nullable: bool = False
) -> PlanePoint | GeoPoint | None:
    """Read a position: right and up in metres of the plane, or latitude and longitude.

    A bare pair of figures is read as what stood there; `m` or `ft` at the end means the plane, a hemisphere letter or
    a degree mark the earth.

    Raises
    ------
    UsageError
        It is neither.

    Examples
    --------
    >>> read_position("440, 92", None)
    PlanePoint(x_m=440.0, y_m=92.0)
    >>> read_position("43.55 N, 69.6 W", None)
    GeoPoint(lat_deg=43.55, lon_deg=-69.6)
    """
    plain = text.translate(_PLAIN).strip()
    if not plain and nullable:
        return None
    if not plain:
        raise UsageError("nothing is given, a position is needed", remedy="write it as '440.0, 92.0 m' or LAT, LON")
    on_plane = re.search(r"(?<![a-z])(m|ft)$", plain, re.IGNORECASE)
    bare = plain[: on_plane.start()].strip() if on_plane else plain
    geographic = not on_plane and (_GEOGRAPHIC.search(bare) is not None or isinstance(now, GeoPoint))
    if geographic:
        try:
            found = parse_position(bare)
        except UsageError as error:
            raise UsageError(error.what, remedy=error.remedy) from None
        return GeoPoint(lat_deg=found.lat_deg, lon_deg=found.lon_deg)
    parts = [part for part in re.split(r"[,;\s]+", bare) if part]
    if len(parts) != 2 or any(_NUMBER.fullmatch(part) is None for part in parts):
        raise UsageError(f"{_quoted(text)} is not a position", remedy="write it as '440.0, 92.0 m' or LAT, LON")
    scale = _FOOT_M if (on_plane[1].casefold() == "ft" if on_plane else feet) else 1.0
    x_m, y_m = (float(part) * scale for part in parts)
    if max(abs(x_m), abs(y_m)) > 1e6:
        raise UsageError("that is more than 1000 km from the plane's origin")
    return PlanePoint(x_m=x_m if scale == 1.0 else round(x_m, 6), y_m=y_m if scale == 1.0 else round(y_m, 6))
