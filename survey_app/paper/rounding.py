"""Figures as people read them: rounded once, with a true minus sign, unit after a space."""

from __future__ import annotations

__all__ = [
    "bearing",
    "declination",
    "degrees",
    "feet_and_inches",
    "level",
    "magnetic_tenths",
    "metres",
    "number",
    "signed_tenths",
    "tenths",
    "tilt",
    "tilt_tenths",
]

_MINUS = "\N{MINUS SIGN}"
_THIN = "\N{THIN SPACE}"
_INCH_M = 0.0254
_TIED = "\N{NO-BREAK SPACE}"


def tenths(value: float) -> int:
    """Return a figure in whole tenths, half a tenth rounded away from zero.

    Printed sums are formed of these, so that an installer who adds them up finds them right.

    Examples
    --------
    >>> tenths(307.649), tenths(-14.62), tenths(0.25)
    (3076, -146, 3)
    """
    size = int(abs(value) * 10.0 + 0.5 + 1e-9)
    return size if value >= 0.0 else -size


def signed_tenths(size: int) -> str:
    """Return tenths as a figure with one place and a true minus sign.

    Examples
    --------
    >>> signed_tenths(-146), signed_tenths(0)
    ('−14.6', '0.0')
    """
    sign = _MINUS if size < 0 else ""
    return f"{sign}{abs(size) // 10}.{abs(size) % 10}"


def bearing(value_deg: float) -> str:
    """Return a bearing to 0.1°, 0.0 to 359.9.

    Examples
    --------
    >>> bearing(307.649), bearing(359.96)
    ('307.6°', '0.0°')
    """
    return f"{signed_tenths(tenths(value_deg) % 3600)}°"


def magnetic_tenths(true_deg: float, declination_deg: float) -> int:
    """Return the printed magnetic bearing in tenths: printed true minus printed declination, exactly.

    Examples
    --------
    >>> magnetic_tenths(123.34, -14.62), magnetic_tenths(0.4, 1.9)
    (1379, 3585)
    """
    return (tenths(true_deg) - tenths(declination_deg)) % 3600


def declination(value_deg: float) -> str:
    """Return a declination with its hemisphere.

    Examples
    --------
    >>> declination(-14.62), declination(1.9), declination(0.02)
    ('14.6° W', '1.9° E', '0.0°')
    """
    size = tenths(value_deg)
    side = "" if size == 0 else " E" if size > 0 else " W"
    return f"{signed_tenths(abs(size))}°{side}"


def degrees(value_deg: float, places: int = 1) -> str:
    """Return an angle of which only the size counts.

    Examples
    --------
    >>> degrees(54.0, 0), degrees(-0.44)
    ('54°', '0.4°')
    """
    return f"{signed_tenths(abs(tenths(value_deg)))}°" if places else f"{number(abs(value_deg), 0)}°"


def tilt_tenths(size: int) -> str:
    """Return a tilt of so many tenths in words.

    Examples
    --------
    >>> tilt_tenths(-32), tilt_tenths(10), tilt_tenths(0)
    ('3.2° down', '1.0° up', 'level')
    """
    if size == 0:
        return "level"
    return f"{signed_tenths(abs(size))}° {'up' if size > 0 else 'down'}"


def tilt(value_deg: float) -> str:
    """Return a tilt in words.

    Examples
    --------
    >>> tilt(-3.24), tilt(0.04)
    ('3.2° down', 'level')
    """
    return tilt_tenths(tenths(value_deg))


def level(value_dbm: float) -> str:
    """Return a level to 1 dB, without its unit.

    Examples
    --------
    >>> level(-50.6), level(0.2)
    ('−51', '0')
    """
    return number(value_dbm, 0)


def number(value: float, places: int) -> str:
    """Return a figure with a true minus sign and a thin space for thousands; half rounds away from zero.

    Examples
    --------
    >>> number(1690.0, 0), number(-0.04, 1), number(2.5, 0)
    ('1\u2009690', '0.0', '3')
    """
    scale = 10**places
    size = int(abs(value) * scale + 0.5 + 1e-9)
    whole = f"{size // scale:,}".replace(",", _THIN)
    text = f"{whole}.{size % scale:0{places}d}" if places else whole
    return f"{_MINUS}{text}" if value < 0 and size else text


def metres(value_m: float, places: int = 1) -> str:
    """Return a length in metres; figure and unit stay on one line.

    Examples
    --------
    >>> metres(6.04), metres(295.4, 0)
    ('6.0\xa0m', '295\xa0m')
    """
    return f"{number(value_m, places)}{_TIED}m"


def feet_and_inches(value_m: float) -> str:
    """Return a length in feet and whole inches.

    Examples
    --------
    >>> feet_and_inches(6.0), feet_and_inches(0.3048 * 2.999)
    ('19 ft 8 in', '3 ft 0 in')
    """
    inches = int(abs(value_m) / _INCH_M + 0.5)
    sign = _MINUS if value_m < 0 and inches else ""
    return f"{sign}{inches // 12} ft {inches % 12} in"
