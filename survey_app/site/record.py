"""The base of every record of the document, and the words that describe a field once."""

import datetime
import re
from typing import Annotated, Any

from pydantic import AwareDatetime, BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints, ValidationInfo

__all__ = ["Day", "Id", "Moment", "Name", "Record", "Text", "said", "unit_of"]


class Record(BaseModel):
    """A frozen value: unknown fields, wrong types and infinite numbers are refused; collections are tuples.

    Its checks are made when the first one is read or made, not when its module is loaded, and its annotations are no
    strings to be evaluated: a window and a short command start without paying for what they do not use.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False, defer_build=True)


def said(meaning: str, **bounds: Any) -> Any:
    """Describe a field once: its meaning and its range; the unit stands in the field's name.

    Parameters
    ----------
    meaning : str
        What the field means, as a sentence without a full stop.
    **bounds
        `ge`, `gt`, `le`, `lt`, `min_length`, `max_length`, as pydantic knows them.
    """
    return Field(description=meaning, **bounds)


Id = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.\-]{0,39}$")]
"""A short slug, unique in the site: letters, digits, `-`, `_`, `.`; at most 40."""

Name = Annotated[str, StringConstraints(max_length=300, pattern=r"^[^\x00-\x08\x0a-\x1f\x7f]*$")]
"""Free words of one line for people; any script, no control characters."""

Text = Annotated[str, StringConstraints(max_length=4000, pattern=r"^[^\x00-\x08\x0b-\x1f\x7f]*$")]
"""Free words of several lines for people."""

_WRITTEN_DAY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_WRITTEN_MOMENT = re.compile(r"\d{4}-\d\d-\d\d[Tt ]\d\d:\d\d.*", re.ASCII)


def _day(value: Any, info: ValidationInfo) -> Any:
    # read here: left to the library, seconds since 1970 in quotes would pass for a date
    if info.mode != "json" or not isinstance(value, str):
        return value
    if not _WRITTEN_DAY.fullmatch(value):
        raise ValueError("a date such as '2026-12-01' is needed")
    return datetime.date.fromisoformat(value)


def _moment(value: Any, info: ValidationInfo) -> Any:
    if info.mode != "json" or not isinstance(value, str):
        return value
    if not _WRITTEN_MOMENT.fullmatch(value):
        raise ValueError("a date and time with its offset such as '2026-12-01T14:30:00+01:00' is needed")
    return datetime.datetime.fromisoformat(value)


Day = Annotated[datetime.date, BeforeValidator(_day)]
"""A date, written year-month-day."""

Moment = Annotated[AwareDatetime, BeforeValidator(_moment)]
"""A date and time with its offset from UTC."""

_UNITS = (
    # what one unit has for another stands before the units that its name ends in
    ("_w_per_m2", "W/m²"),
    ("_k_per_w", "K/W"),
    ("_percent_per_k", "%/K"),
    ("_mm_per_hour", "mm/h"),
    ("_hours_per_day", "h/day"),
    ("_m_per_year", "m/year"),
    ("_per_day", "1/day"),
    ("_db_per_m", "dB/m"),
    ("_ohm_per_km", "ohm/km"),
    ("_percent", "%"),
    ("_fraction", "1"),
    ("_factor", "1"),
    ("_dbm", "dBm"),
    ("_dbi", "dBi"),
    ("_db", "dB"),
    ("_mbps", "Mbit/s"),
    ("_mhz", "MHz"),
    ("_deg", "degree"),
    ("_mm", "mm"),
    ("_m2", "m²"),
    ("_m", "m"),
    ("_us", "µs"),
    ("_ms", "ms"),
    ("_s", "s"),
    ("_hours", "h"),
    ("_days", "day"),
    ("_years", "year"),
    ("_min", "minute"),
    ("_wh", "Wh"),
    ("_w", "W"),
    ("_v", "V"),
    ("_ah", "Ah"),
    ("_ohm", "ohm"),
    ("_kg", "kg"),
    ("_k", "K"),
    ("_c", "°C"),
    ("_nm", "N m"),
    ("_n", "N"),
    ("_tb", "TB"),
    ("_px", "px"),
    ("_dpi", "1/inch"),
    ("_fps", "1/s"),
)


def unit_of(field_name: str) -> str | None:
    """Return the unit that a field's name states, or None for a plain number, a word or a reference.

    Examples
    --------
    >>> unit_of("height_m"), unit_of("rx_level_dbm"), unit_of("heat_k_per_w"), unit_of("storeys")
    ('m', 'dBm', 'K/W', None)
    """
    for suffix, unit in _UNITS:
        if f"_{field_name}".endswith(suffix):
            return unit
    return None
