"""The name of what was caught, for people."""

from __future__ import annotations

from survey_app.drawing.snap.candidate import Candidate
from survey_app.drawing.snap.field import SnapField
from survey_app.drawing.snap.lines import Line
from survey_app.drawing.snap.result import Kind

__all__ = ["length_text", "words_of"]

_FOOT_M = 0.3048


def length_text(length_m: float, *, feet: bool = False) -> str:
    """Return a rounded length with its unit, without decimals where it is whole.

    Examples
    --------
    >>> length_text(12.0), length_text(0.5), length_text(3.048, feet=True)
    ('12 m', '0.5 m', '10 ft')
    """
    value = round(length_m / _FOOT_M, 3) if feet else round(length_m, 3)
    return f"{value:g} {'ft' if feet else 'm'}"


def words_of(best: Candidate, field: SnapField, *, feet: bool = False) -> str:
    """Return the name of a candidate: `corner of BOAT SHED`, `90.0°, 12 m`."""
    name = field.names[best.owner] if best.owner >= 0 else ""
    length = length_text(best.length_m, feet=feet) if best.length_m is not None else ""
    match best.kind:
        case Kind.CORNER:
            return f"corner of {name}" if name else "first corner" if best.number == 0 else "corner of this line"
        case Kind.POINT:
            return name
        case Kind.MIDDLE:
            return f"middle of an edge of {name}"
        case Kind.FOOT:
            return f"square to an edge of {name}"
        case Kind.METRES:
            return length
        case Kind.GRID:
            return f"x {length_text(best.at[0], feet=feet)}, y {length_text(best.at[1], feet=feet)}".replace("-", "−")
        case Kind.CROSSING:
            return f"{_line_words(best.lines[1], field)}, {_line_words(best.lines[0], field)}"
        case _:
            return ", ".join(part for part in (_line_words(best.lines[0], field), length) if part)


def _line_words(line: Line, field: SnapField) -> str:
    name = field.names[line.owner] if line.owner >= 0 else ""
    match line.kind:
        case Kind.EDGE:
            return f"edge of {name}"
        case Kind.EXTENSION:
            return f"in line with {name}"
        case Kind.RIGHT_ANGLE:
            return "right angle"
        case Kind.PARALLEL:
            return "straight on"
        case _:
            return f"{line.bearing_deg:.1f}°"
