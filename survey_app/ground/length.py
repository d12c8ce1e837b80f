"""Lengths as people type and read them: metres, feet, feet and inches."""

from __future__ import annotations

import re
from typing import Literal

from survey_app.errors import UsageError
from survey_app.ground.parse import PLAIN_MARKS

__all__ = ["FOOT_M", "MOST_M", "Units", "length_text", "parse_length", "plain_text"]

Units = Literal["metric", "feet", "both"]
"""Units that people of a site read; with "both" a bare figure is in metres."""

FOOT_M = 0.3048
"""An international foot. [m]"""

MOST_M = 1e6
"""No length or coordinate of a plan is greater. [m]"""

_NUMBER = r"[0-9]{1,9}(?:\.[0-9]{1,9})?|\.[0-9]{1,9}"
_METRES = re.compile(rf"(?P<sign>[+-]?)(?P<value>{_NUMBER}) ?(?P<unit>m|metres?|cm|mm)?")
_FEET = re.compile(
    rf"(?P<sign>[+-]?)(?:(?P<feet>{_NUMBER}) ?(?:'|ft|feet|foot))?(?: ?(?P<inches>{_NUMBER}) ?(?:\"|in|inch|inches))?"
)
_PART_M = {"cm": 0.01, "mm": 0.001}


def plain_text(text: str) -> str:
    """Return a text in plain characters with single blanks, as keyboards without typographers would have it."""
    plain = text.translate(PLAIN_MARKS).replace("''", '"')
    return re.sub(" +", " ", plain).strip()


def parse_length(text: str, units: Units = "metric", *, where: str = "length") -> float:
    """Read a length.

    Parameters
    ----------
    text : str
        A figure, in feet where the site's units are feet and else in metres; or a figure with its unit: ``12.5 m``,
        ``80 cm``, ``12'``, ``12' 6"``, ``6 ft 3 in``. Decimals stand after a point.
    units : {"metric", "feet", "both"}
        Units of the site.
    where : str
        What is asked for, for the sentence.

    Returns
    -------
    float
        [m]

    Raises
    ------
    UsageError
        The text is no length, or longer than any plan.

    Examples
    --------
    >>> parse_length("12.5"), round(parse_length("12' 6\\""), 4), round(parse_length("10", "feet"), 3)
    (12.5, 3.81, 3.048)
    >>> parse_length("12,5")
    Traceback (most recent call last):
        ...
    survey_app.errors.UsageError: length '12,5': decimals stand after a comma; write them after a point.
    """
    shown = f"{where} {text if len(text) <= 40 else text[:39] + '…'!r}"
    plain = plain_text(text).lower()
    if re.fullmatch(r"[+-]?[0-9]+,[0-9]+.*", plain):
        raise UsageError("decimals stand after a comma", where=shown, remedy="write them after a point")
    length_m = _metres(plain, units)
    if length_m is None:
        raise UsageError("this is not a length", where=shown, remedy="write a figure such as 12.5, 12.5 m or 12' 6\"")
    if abs(length_m) > MOST_M:
        raise UsageError("no plan is so large", where=shown, remedy="give at most 1 000 km")
    return length_m


def _metres(plain: str, units: Units) -> float | None:
    match = _METRES.fullmatch(plain)
    if match is not None:
        unit = match["unit"]
        part_m = FOOT_M if unit is None and units == "feet" else _PART_M.get(unit or "", 1.0)
        return _signed(match["sign"], float(match["value"]) * part_m)
    match = _FEET.fullmatch(plain)
    if match is None or (match["feet"] is None and match["inches"] is None):
        return None
    inches = float(match["inches"] or 0)
    if match["feet"] is not None and inches >= 12:
        return None
    return _signed(match["sign"], (float(match["feet"] or 0) + inches / 12.0) * FOOT_M)


def _signed(sign: str, value: float) -> float:
    # adding zero keeps a negative zero out
    return (-value if sign == "-" else value) + 0.0


def length_text(length_m: float, units: Units = "metric", decimals: int = 1) -> str:
    """Return a length with its unit; both of them where the site has both.

    Examples
    --------
    >>> length_text(295.37), length_text(3.048, "feet"), length_text(3.048, "both"), length_text(-0.01)
    ('295.4 m', '10.0 ft', '3.0 m (10.0 ft)', '0.0 m')
    """
    metres, feet = (f"{round(value, decimals) + 0.0:.{decimals}f}" for value in (length_m, length_m / FOOT_M))
    words = {"metric": f"{metres} m", "feet": f"{feet} ft", "both": f"{metres} m ({feet} ft)"}[units]
    return words.replace("-", "−")
