"""Mounting sheets: one page a radio, with the aim that the installer uses in the largest figures."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict
from typing import Any, Literal

from survey_app.drawing.dial import compass_dial, rose_of_stations, side_glyph
from survey_app.drawing.elevation import elevation_sketch
from survey_app.drawing.letters import cut_line, letters_width_mm, wrapped_to
from survey_app.drawing.level_scale import level_scale
from survey_app.drawing.plan import plan_clip
from survey_app.drawing.section import small_section
from survey_app.paper.mounting_layout import (
    ELEVATION_WIDTH_MM,
    PLAN_WIDTH_MM,
    Bands,
    bands_of,
    flag_lines,
    flag_width_mm,
    station_rows,
)
from survey_app.paper.mounting_view import AimFigure, MountingView
from survey_app.paper.paint import black_picture
from survey_app.paper.press import PAPERS, clean, joined, press

__all__ = ["mounting_pdf"]

_SMALL_TILT_LETTERS = 5
_TEXT_MM, _SMALL_MM = 2.5, 2.1
_CAUTION_MM, _STOP_MM, _AIM_SENTENCE_MM = 71.5, 101.0, 104.0
_FACT_MM, _FACT_END_MM = 22.0, 59.2
_TICKS_START_MM, _TICKS_END_MM, _TICK_BOX_MM, _TICK_GAP_MM = 32.0, 178.0, 4.5, 1.2
_AT_ONCE = 25  # sheets set in one go: more take memory, fewer repeat the fonts


def mounting_pdf(
    views: Sequence[MountingView],
    paper: Literal["a4", "letter"] = "a4",
    progress: Callable[[int, int], None] | None = None,
) -> bytes:
    """Return mounting sheets as one PDF, in the order given.

    Parameters
    ----------
    views : sequence of MountingView
        One a radio.
    paper : {"a4", "letter"}
        Paper size; the live width of 180 mm is the same on both.
    progress : callable or None
        Told how many sheets are done, of how many.

    Returns
    -------
    bytes
        The PDF; the same views give the same bytes on any day.

    Raises
    ------
    InternalError
        A sheet could not be set.
    """
    width, height, live = PAPERS[paper]
    head = {
        "title": f"Mounting sheets, {views[0].title.site if views else ''}",
        "paper": {"width": width, "height": height, "live": live},
    }

    def part(first: int) -> bytes:
        made = press("mounting", head | {"sheets": [_sheet(view, paper) for view in views[first : first + _AT_ONCE]]})
        if progress is not None:
            progress(min(first + _AT_ONCE, len(views)), len(views))
        return made

    return joined(part(first) for first in range(0, max(len(views), 1), _AT_ONCE))


def _sheet(view: MountingView, paper: Literal["a4", "letter"]) -> dict[str, Any]:
    bands = bands_of(view, paper)
    first, further = station_rows(bands, paper)
    stations = [asdict(row) for row in view.stations]
    rest = stations[first:]
    return {
        "sheet": view.sheet,
        "radio": view.radio,
        "role": view.role,
        "structure": view.structure,
        "looks": list(view.looks),
        "climb": view.climb,
        "stop": _stop(view),
        "ticks": _ticks(view.ticks),
        "aims": [_aim(aim) for aim in view.aims],
        "tilt": asdict(view.tilt) | {"small": len(view.tilt.value or "") >= _SMALL_TILT_LETTERS},
        "height": _side(view.height),
        "side": _side(view.side),
        "sweep": asdict(view.sweep),
        "level": _level(view),
        "stations": stations[:first],
        "more_stations": [rest[i : i + further] for i in range(0, len(rest), further)],
        "foot": list(bands.foot_lines),
        "facts": [{"head": column.head, "rows": [_fact(*row) for row in column.rows]} for column in view.facts],
        "flags": _flags(view, bands),
        "more_flags": bands.more_flags,
        "sight": view.sight,
        "cautions": [{"sign": c.sign, "head": c.head, "lines": _lines(c.text, _CAUTION_MM, 2)} for c in view.cautions],
        "codes": view.codes,
        "call": view.call,
        "boxes": [[asdict(box) for box in row] for row in view.boxes],
        "title": asdict(view.title),
        "bands": asdict(bands),
        **_pictures(view, bands),
    }


def _lines(text: str, width_mm: float, most: int) -> list[str]:
    """Break words for the installer into lines, so that the typesetter need not measure them."""
    return list(wrapped_to(clean(text), _TEXT_MM, width_mm, most))


def _stop(view: MountingView) -> dict[str, Any] | None:
    if view.stop is None:
        return None
    return {"number": view.stop.number, "lines": _lines(view.stop.text, _STOP_MM, 3)}


def _ticks(texts: Sequence[str]) -> list[dict[str, Any]]:
    """Spread the boxes to be ticked over their row; the longest words give way where they do not fit."""
    texts = [clean(text) for text in texts]
    widths = [letters_width_mm(text, _TEXT_MM) for text in texts]
    room = _TICKS_END_MM - _TICKS_START_MM - (_TICK_BOX_MM + _TICK_GAP_MM) * len(texts)
    most = max(widths, default=0.0)
    while sum(min(width, most) for width in widths) > room and most > 1.0:
        most -= 0.5
    kept = [min(width, most) for width in widths]
    gap = (room - sum(kept)) / max(len(texts) - 1, 1) + _TICK_GAP_MM
    placed, x = [], _TICKS_START_MM
    for text, width in zip(texts, kept, strict=True):
        placed.append({"x": round(x, 2), "text": cut_line(text, _TEXT_MM, width + 0.01)})
        x += _TICK_BOX_MM + width + gap
    return placed


def _fact(name: str, value: str | None) -> list[Any]:
    """A row of facts: name, value, where the value begins in its column, height of its letters."""
    if value is None:
        return [name, None, _FACT_MM, _TEXT_MM]
    words = clean(value)
    if letters_width_mm(words, _TEXT_MM) <= _FACT_END_MM - _FACT_MM:
        return [name, words, _FACT_MM, _TEXT_MM]
    # a value too long for its column begins right after its name
    start = 4.8 + letters_width_mm(name, _TEXT_MM)
    height = _TEXT_MM if letters_width_mm(words, _TEXT_MM) <= _FACT_END_MM - start else _SMALL_MM
    return [name, cut_line(words, height, _FACT_END_MM - start), round(start, 2), height]


def _aim(aim: AimFigure) -> dict[str, Any]:
    data = asdict(aim)
    data["unknown_lines"] = _lines(aim.unknown, _AIM_SENTENCE_MM, 3) if aim.unknown else []
    data["dial"] = black_picture(compass_dial(*aim.dial)) if aim.dial else None
    data["rose"] = black_picture(rose_of_stations(aim.rose)) if aim.rose else None
    return data


def _side(figure: Any) -> dict[str, Any]:
    data = asdict(figure)
    data["glyph"] = black_picture(side_glyph(figure.side_deg)) if figure.side_deg is not None else None
    return data


def _level(view: MountingView) -> dict[str, Any] | None:
    if view.level is None:
        return None
    data = asdict(view.level)
    window = view.level.window
    data["scale"] = black_picture(level_scale(window)) if window else None
    return data


def _flags(view: MountingView, bands: Bands) -> list[dict[str, Any]]:
    rows = []
    for index, flag in enumerate(view.flags[: len(bands.flags)]):
        lines = list(flag_lines(flag, flag_width_mm(index, view.sight), bands.flag_lines))
        rows.append({"number": flag.number, "severity": flag.severity, "accepted": flag.accepted, "lines": lines})
    return rows


def _pictures(view: MountingView, bands: Bands) -> dict[str, Any]:
    pictures: dict[str, Any] = {"plan": None, "section": None, "elevation": None}
    if view.plan is not None:
        clip, _ = plan_clip(view.plan, PLAN_WIDTH_MM, bands.pictures - bands.foot)
        pictures["plan"] = black_picture(clip)
    if view.section is not None and bands.shows_section:
        pictures["section"] = black_picture(small_section(view.section, ELEVATION_WIDTH_MM, bands.elevation))
    elif view.elevation is not None and bands.elevation > 0.0:
        pictures["elevation"] = black_picture(elevation_sketch(view.elevation, ELEVATION_WIDTH_MM, bands.elevation))
    return pictures
