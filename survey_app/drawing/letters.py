"""How wide a line of letters is, read from the fonts that travel with the program."""

from __future__ import annotations

import struct
from functools import lru_cache

from survey_app.data import resources_folder
from survey_app.errors import InternalError

__all__ = ["CAPITAL_EM", "letters_width_mm", "wrapped"]

CAPITAL_EM = 0.76
"""Height of a capital in parts of the em; font size = height / CAPITAL_EM."""

_FONTS = ("B612-Regular.otf", "DejaVuSans.ttf")
_UNKNOWN_EM = 0.65


def letters_width_mm(text: str, height_mm: float) -> float:
    """Return the width of a line set in capitals of `height_mm`.

    All weights of the drafting face share their widths, so weight does not matter. Shaped scripts may come narrower.

    Parameters
    ----------
    text : str
        One line.
    height_mm : float
        Height of a capital. [mm]

    Returns
    -------
    float
        Advance width. [mm]

    Examples
    --------
    >>> round(letters_width_mm("307.6°", 20.0), 1)
    84.2
    """
    tables = [_advances(name) for name in _FONTS]
    em = 0.0
    for letter in text:
        code = ord(letter)
        em += next((table[code] for table in tables if code in table), _UNKNOWN_EM)
    return em * height_mm / CAPITAL_EM


def wrapped(text: str, height_mm: float, width_mm: float) -> tuple[str, ...]:
    """Return words broken into lines that fit a width; a word that is longer than a line is broken itself.

    Parameters
    ----------
    text : str
        Words parted by spaces.
    height_mm, width_mm : float
        Height of a capital, and the width to fill. [mm]

    Returns
    -------
    tuple of str
        At least one line.

    Examples
    --------
    >>> wrapped("gland down, drip loop", 2.5, 24.0)
    ('gland down,', 'drip loop')
    """
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if letters_width_mm(longer, height_mm) <= width_mm:
            line = longer
            continue
        if line:
            lines.append(line)
        while letters_width_mm(word, height_mm) > width_mm and len(word) > 1:
            fitting = next(
                n for n in range(len(word), 0, -1) if n == 1 or letters_width_mm(word[:n], height_mm) <= width_mm
            )
            lines.append(word[:fitting])
            word = word[fitting:]
        line = word
    return (*lines, line) if line or not lines else tuple(lines)


@lru_cache(maxsize=4)
def _advances(name: str) -> dict[int, float]:
    """Read code point -> advance in em from the `cmap` and `hmtx` tables of an OpenType file."""
    data = (resources_folder() / "fonts" / name).read_bytes()
    count = struct.unpack_from(">H", data, 4)[0]
    tables = {
        data[12 + 16 * i : 16 + 16 * i].decode("ascii"): struct.unpack_from(">L", data, 20 + 16 * i)[0]
        for i in range(count)
    }
    units = struct.unpack_from(">H", data, tables["head"] + 18)[0]
    metrics = struct.unpack_from(">H", data, tables["hhea"] + 34)[0]
    advances = struct.unpack_from(">" + "Hh" * metrics, data, tables["hmtx"])[::2]
    return {
        code: advances[min(glyph, metrics - 1)] / units for code, glyph in _glyph_of_code(data, tables["cmap"]).items()
    }


def _glyph_of_code(data: bytes, cmap: int) -> dict[int, int]:
    """Read the character map of the basic plane (format 4)."""
    count = struct.unpack_from(">H", data, cmap + 2)[0]
    for i in range(count):
        at = cmap + struct.unpack_from(">L", data, cmap + 8 + 8 * i)[0]
        if struct.unpack_from(">H", data, at)[0] == 4:
            return _format_4(data, at)
    raise InternalError("a font of the program has no character map", remedy="install the program again")


def _format_4(data: bytes, at: int) -> dict[int, int]:
    segments = struct.unpack_from(">H", data, at + 6)[0] // 2
    row = f">{segments}H"
    ends = struct.unpack_from(row, data, at + 14)
    starts = struct.unpack_from(row, data, at + 16 + 2 * segments)
    deltas = struct.unpack_from(row, data, at + 16 + 4 * segments)
    offsets_at = at + 16 + 6 * segments
    offsets = struct.unpack_from(row, data, offsets_at)
    glyphs: dict[int, int] = {}
    for i, (start, end, delta, offset) in enumerate(zip(starts, ends, deltas, offsets, strict=True)):
        for code in range(start, min(end, 0xFFFE) + 1):
            if offset:
                glyph = struct.unpack_from(">H", data, offsets_at + 2 * i + offset + 2 * (code - start))[0]
                glyph = (glyph + delta) & 0xFFFF if glyph else 0
            else:
                glyph = (code + delta) & 0xFFFF
            if glyph:
                glyphs[code] = glyph
    return glyphs
