"""What an event does, in a sentence and as rows of a table."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from survey_app.desktop.panels.sheet_table import Cell, Column, Row
from survey_app.desktop.panels.values import true_minus
from survey_app.paper.rounding import number

if TYPE_CHECKING:
    from survey_app.assess.record import Finding
    from survey_app.assess.what_if import Changed, WhatIf

__all__ = ["IF_COLUMNS", "if_rows", "if_sentence"]

IF_COLUMNS = (
    Column("what", strong=True),
    Column("which"),
    Column("before"),
    Column("after", strong=True),
    Column("change", figures=True),
    Column("in words"),
)
_NOTHING = Cell("")


def if_sentence(answer: WhatIf) -> str:
    """Return what an event does in one or two sentences: the event, then how many cameras feel it."""
    parts = []
    if answer.dark:
        lasting = "until somebody acts" if answer.outage_s is None else f"for {number(answer.outage_s, 0)} s"
        parts.append(f"{_count(answer.dark)} dark {lasting}, {_recorded(len(answer.unrecorded), len(answer.dark))}")
    if answer.moved:
        parts.append(f"{_count(answer.moved)} home by another way")
    if answer.slower:
        parts.append(f"{_count(answer.slower)} slower")
    felt = "; ".join(parts) if parts else "no camera goes dark or gets slower"
    return f"{true_minus(answer.event)} {felt[:1].upper()}{felt[1:]}."


def _count(cameras: tuple[str, ...]) -> str:
    return "1 camera" if len(cameras) == 1 else f"{len(cameras)} cameras"


def _recorded(lost: int, dark: int) -> str:
    if lost == 0:
        return "recorded at the camera"
    return "not recorded" if lost == dark else f"{lost} of them not recorded"


def if_rows(answer: WhatIf) -> tuple[Row, ...]:
    """Return one row for each camera that feels an event, each figure and finding that is other then."""
    return (*_cameras(answer), *(_figure(row) for row in answer.figures), *_findings(answer))


def _cameras(answer: WhatIf) -> Iterator[Row]:
    for key in answer.dark:
        after = "dark, not recorded" if key in answer.unrecorded else "dark, recorded at the camera"
        yield _row(key, "video", "comes home", after)
    ways = {row.camera: row for row in answer.ways}
    for key in answer.moved:
        if key in ways:
            yield _row(key, "way home over", *_parted(ways[key].before, ways[key].after))
    for key in answer.slower:
        yield _row(key, "video", "comes home", "slower: over something too full")
    for key, channel in answer.moved_to:
        yield _row(key, "channel", "as planned", str(channel))


def _parted(before: tuple[str, ...], after: tuple[str, ...]) -> tuple[str, str]:
    """Return the legs of two ways that are not the same at both ends: what is alike says nothing."""
    same = 0
    while before[same : same + 1] == after[same : same + 1] and same < len(before):
        same += 1
    one, other = list(before[same:]), list(after[same:])
    while one and other and one[-1] == other[-1]:
        del one[-1], other[-1]
    return " › ".join(one) or "fewer legs", " › ".join(other) or "fewer legs"


def _row(key: str, which: str, before: str, after: str) -> Row:
    return Row((Cell(key, key), Cell(which, which), Cell(before), Cell(after), _NOTHING, _NOTHING), (key,))


def _figure(row: Changed) -> Row:
    before, after = _with_unit(row.before, row.unit), _with_unit(row.after, row.unit)
    change = _NOTHING
    if row.before is not None and row.after is not None:
        step = row.after - row.before
        sign = "+" if step > 0.0 else ""
        change = Cell(f"{sign}{number(step, 1)}", step)
    return Row((Cell(row.id, row.id), Cell(row.quantity, row.quantity), before, after, change, _NOTHING), (row.id,))


def _with_unit(value: float | None, unit: str) -> Cell:
    return Cell("none") if value is None else Cell(f"{number(value, 1)} {unit}", value)


def _findings(answer: WhatIf) -> Iterator[Row]:
    if answer.change is not None:
        for finding in answer.change.new_findings:
            yield _finding(finding, "none", finding.severity)
        for finding in answer.change.gone_findings:
            yield _finding(finding, finding.severity, "gone")


def _finding(finding: Finding, before: str, after: str) -> Row:
    words = true_minus(finding.message)
    ids = tuple(one for one in (finding.subject, finding.second_subject) if one)
    figures = (Cell(finding.subject, finding.subject), Cell("finding", "finding"), Cell(before), Cell(after), _NOTHING)
    return Row((*figures, Cell(words, words)), ids)
