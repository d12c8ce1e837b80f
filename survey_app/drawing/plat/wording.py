"""Figures of the plan in words: a true minus sign, a space before the unit, half rounded away from zero."""

from __future__ import annotations

from survey_app.site.thing import Thing

__all__ = ["bearing_words", "height_words", "length_words", "level_words", "number_words", "short_name", "tilt_words"]

_MINUS = "\N{MINUS SIGN}"
_THIN = "\N{THIN SPACE}"
_FOOT_M = 0.3048


def number_words(value: float, places: int = 1) -> str:
    """Return a figure with a true minus sign and a thin space for thousands.

    Examples
    --------
    >>> number_words(1690.04), number_words(-50.6, 0), number_words(-0.04)
    ('1\u2009690.0', '−51', '0.0')
    """
    scale = 10**places
    size = int(abs(value) * scale + 0.5 + 1e-9)
    whole = f"{size // scale:,}".replace(",", _THIN)
    text = f"{whole}.{size % scale:0{places}d}" if places else whole
    return f"{_MINUS}{text}" if value < 0 and size else text


def bearing_words(value_deg: float) -> str:
    """Return a bearing to 0.1°.

    Examples
    --------
    >>> bearing_words(127.62), bearing_words(359.96)
    ('127.6°', '0.0°')
    """
    tenths = int((value_deg % 360.0) * 10.0 + 0.5 + 1e-9) % 3600
    return f"{tenths // 10}.{tenths % 10}°"


def length_words(value_m: float, *, feet: bool = False, places: int = 1) -> str:
    """Return a length with its unit; feet are whole.

    Examples
    --------
    >>> length_words(295.42), length_words(295.42, feet=True), length_words(412.3, places=0)
    ('295.4 m', '969 ft', '412 m')
    """
    return f"{number_words(value_m / _FOOT_M, 0)} ft" if feet else f"{number_words(value_m, places)} m"


def height_words(value_m: float, *, feet: bool = False) -> str:
    """Return a height without its unit, to 0.1 m or to a foot with its sign.

    Examples
    --------
    >>> height_words(6.42), height_words(6.42, feet=True)
    ('6.4', '21 ft')
    """
    return length_words(value_m, feet=True) if feet else number_words(value_m, 1)


def tilt_words(value_deg: float) -> str:
    """Return a tilt with its direction.

    Examples
    --------
    >>> tilt_words(-2.04), tilt_words(1.0), tilt_words(0.04)
    ('2.0° down', '1.0° up', 'level')
    """
    tenths = int(abs(value_deg) * 10.0 + 0.5 + 1e-9)
    if tenths == 0:
        return "level"
    return f"{tenths // 10}.{tenths % 10}° {'up' if value_deg > 0 else 'down'}"


def level_words(value_dbm: float) -> str:
    """Return a level to 1 dB with its unit.

    Examples
    --------
    >>> level_words(-50.6)
    '−51 dBm'
    """
    return f"{number_words(value_dbm, 0)} dBm"


def short_name(thing: Thing) -> str:
    """Return the name of a thing where it is short, else its id."""
    return thing.name if thing.name and len(thing.name) <= 16 else thing.id
