"""Sets a sheet: a template of resources/sheets, data as JSON, the fonts that travel with the program.

Words are data and never markup. The same data give the same bytes on any day: the PDF carries no date of its own.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
import threading
import unicodedata
from collections.abc import Iterable
from functools import lru_cache
from itertools import chain
from pathlib import Path
from typing import Any

from survey_app.data import resources_folder
from survey_app.errors import InternalError

__all__ = ["PAPERS", "PDF_LOCK", "clean", "joined", "press"]

PDF_LOCK = threading.RLock()
"""Held by whoever calls the PDF library: it knows no threads, and sheets are made on one while another shows them."""

PAPERS: dict[str, tuple[float, float, float]] = {"a4": (210.0, 297.0, 277.0), "letter": (215.9, 279.4, 259.4)}
"""Width and height of the paper, and height of the frame on an upright sheet. [mm]"""

_REPLACEMENT = "\N{REPLACEMENT CHARACTER}"
_BREAK = "\N{ZERO WIDTH SPACE}"
_LONGEST_WORD = 16
_FILE_ID = re.compile(rb"/ID\[<[0-9A-F]{32}><[0-9A-F]{32}>\]")
_PARTS = re.compile(r"(?<=-)(?=[^-\d])")
_PIECES = re.compile(rf".{{1,{_LONGEST_WORD}}}-$|.{{1,{_LONGEST_WORD}}}")
_THIN_IN_FIGURE = re.compile("(?<=[0-9])\N{THIN SPACE}(?=[0-9])")
_HYPHEN_AS_MINUS = re.compile(r"(?<![^\s(±])-(?=\d)")


def press(template: str, data: dict[str, Any]) -> bytes:
    """Return the PDF of a template filled with data.

    Parameters
    ----------
    template : str
        Name of a file of resources/sheets without its ending.
    data : dict
        What the template reads; every string in it is cleaned first.

    Returns
    -------
    bytes
        The PDF.

    Raises
    ------
    InternalError
        The template could not be set.
    """
    import typst

    files = dict(_sheet_files())
    files["main.typ"] = files[f"{template}.typ"]
    files["data.json"] = json.dumps(_cleaned(data), ensure_ascii=False).encode("utf-8")
    try:
        made = typst.compile(files, font_paths=_fonts(), ignore_system_fonts=True, timestamp=0, pdf_tags=False)
    except RuntimeError as error:
        raise InternalError(f"the sheet '{template}' could not be set: {error}", remedy="please report it") from error
    return bytes(made)


def joined(parts: Iterable[bytes]) -> bytes:
    """Return several PDFs as one.

    Many pages set at once take time and memory that grow faster than their number; set in parts and joined they do not.

    Parameters
    ----------
    parts : iterable of bytes
        PDFs, in order; a single one is returned as it is.

    Returns
    -------
    bytes
        One PDF; the same parts give the same bytes on any day.
    """
    found = iter(parts)
    first = next(found)
    second = next(found, None)
    if second is None:
        return first
    import pypdfium2 as pdfium

    with PDF_LOCK:
        whole = pdfium.PdfDocument.new()
    for part in chain((first, second), found):
        with PDF_LOCK:
            source = pdfium.PdfDocument(part)
            whole.import_pages(source)
            source.close()
    buffer = io.BytesIO()
    with PDF_LOCK:
        whole.save(buffer)
        whole.close()
    return _with_own_id(buffer.getvalue())


def _with_own_id(pdf: bytes) -> bytes:
    """Name the file by its content: the library draws its identifier by lot."""
    marks = list(_FILE_ID.finditer(pdf))
    if not marks:
        raise InternalError("the joined sheets carry no identifier", remedy="please report it")
    mark = marks[-1]
    rest = pdf[: mark.start()] + pdf[mark.end() :]
    name = hashlib.sha256(rest).hexdigest()[:32].upper().encode("ascii")
    return pdf[: mark.start()] + b"/ID[<" + name + b"><" + name + b">]" + pdf[mark.end() :]


@lru_cache(maxsize=65536)
def clean(text: str) -> str:
    """Return words that cannot harm a page.

    Controls and line ends become spaces, marks that turn the reading direction of what follows become the replacement
    character, words longer than a line get places to break, a hyphen before a figure becomes a true minus sign, and a
    thin space between figures one at which no line ends.

    Examples
    --------
    >>> clean("heard at -44 dBm on 2026-11-02")
    'heard at −44 dBm on 2026-11-02'
    >>> clean("jetty\\x07 no. 3\\n")
    'jetty no. 3'
    """
    letters = []
    for letter in unicodedata.normalize("NFC", text):
        kind = unicodedata.category(letter)
        if letter in "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069" or kind in ("Cs", "Co", "Cn"):
            letters.append(_REPLACEMENT)
        elif kind in ("Cc", "Zl", "Zp"):
            letters.append(" ")
        elif kind != "Cf" or letter in "\u200c\u200d":
            letters.append(letter)
    tied = _THIN_IN_FIGURE.sub("\N{NARROW NO-BREAK SPACE}", "".join(letters))
    words = _HYPHEN_AS_MINUS.sub("\N{MINUS SIGN}", tied).split(" ")
    return " ".join(_breakable(word) for word in words if word)


def _breakable(word: str) -> str:
    if len(word) <= _LONGEST_WORD:
        return word
    # a line ends after a hyphen by itself, but not before a figure: no place of ours there, which costs the letter
    # before it its own typeface
    return "".join(_BREAK.join(_PIECES.findall(part)) for part in _PARTS.split(word))


def _cleaned(value: Any) -> Any:
    if isinstance(value, str):
        return value if value.startswith("<svg ") else clean(value)
    if isinstance(value, dict):
        return {key: _cleaned(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_cleaned(item) for item in value]
    return value


@lru_cache(maxsize=1)
def _sheet_files() -> tuple[tuple[str, bytes], ...]:
    folder: Path = resources_folder() / "sheets"
    return tuple((path.name, path.read_bytes()) for path in sorted(folder.iterdir()) if path.suffix in (".typ", ".svg"))


@lru_cache(maxsize=1)
def _fonts() -> Any:
    import typst

    return typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[resources_folder() / "fonts"]
    )
