"""Cells on paper: those of one channel together, how full their air is, what disturbs them most."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.record import CellRow, DirectionRow, HopRow
from survey_app.paper.flag_notes import flags_of
from survey_app.paper.ledger import Cell, Chain, Column, Empty, Group, Table, Words, held_words, over_rows
from survey_app.paper.rounding import number
from survey_app.paper.sources import Sources, why_null

__all__ = ["CELL_CODES", "cell_sentences", "cell_table"]

CELL_CODES = frozenset(
    {
        "band-not-outdoors", "carries-nothing", "cell-full", "channel-busy", "deaf-neighbour", "growth",
        "isolation-kills-relay", "multicast-flood", "no-channel", "no-rule-known", "nobody-can-read", "over-limit",
        "radar-wait", "same-channel-heard", "scan-stale", "unit-cannot", "weak-protection",
    }
)  # fmt: skip
"""Findings about the air of a cell and who may use it."""

_NONE = Words("none")
_NO_END = Words("no end")
_STATIONS_MM, _HEARD_MM, _WORST_MM = 32.0, 27.0, 28.0
_COLUMNS = (
    Column(("CELL",), 19, bold=True),
    Column(("WIDTH", "MHz"), 12, "right"),
    Column(("ACCESS",), 22),
    Column(("STATIONS",), _STATIONS_MM, rule=True, wraps=True),
    Column(("OWN",), 12, "right", rule=True),
    Column(("OTHERS",), 14, "right"),
    Column(("NEIGHBOURS",), 20, "right"),
    Column(("ALL",), 12, "right"),
    Column(("SHARES AIR WITH",), _HEARD_MM, wraps=True),
    Column(("DELAY", "ms"), 12, "right", rule=True),
    Column(("MORE", "CAMERAS"), 15, "right"),
    Column(("WORST INTERFERER",), _WORST_MM, rule=True, wraps=True),
    Column(("SINR", "dB"), 12, "right"),
    Column(("FLAGS",), 12, "middle", rule=True),
)
_FIGURES = ("load_fraction", "load_with_others_fraction", "delay_p99_ms", "more_cameras")


def cell_table(sources: Sources) -> Table | None:
    """Return the table of cells, by channel, then by cell; None where there is none."""
    cells = sources.assessment.cells
    if not cells:
        return None
    by_channel: dict[int | None, list[CellRow]] = {}
    for cell in sorted(cells, key=lambda row: (row.channel is None, row.channel or 0, row.id)):
        by_channel.setdefault(cell.channel, []).append(cell)
    return Table(
        columns=_COLUMNS,
        groups=tuple(
            Group(
                _channel_words(channel, rows),
                tuple(one for row in rows for one in over_rows(_row(sources, row), _COLUMNS)),
            )
            for channel, rows in by_channel.items()
        ),
        row_mm=6.2,
        head_mm=11.4,
        over=(("LOAD, % OF THE AIR THAT IT CAN USE", 4, 8),),
        title="CELLS",
        note="cells of one channel stand together; delay: 99 of 100 pictures are faster",
    )


def _channel_words(channel: int | None, rows: list[CellRow]) -> str:
    if channel is None:
        return "No channel is set"
    centre = next((row.centre_mhz for row in rows if row.centre_mhz is not None), None)
    middle = "" if centre is None else f", centre {centre:.0f} MHz"
    return f"Channel {channel}{middle}{f': {len(rows)} cells' if len(rows) > 1 else ''}"


def _row(sources: Sources, cell: CellRow) -> tuple[Cell, ...]:
    worst = _worst(sources, cell)
    return (
        Words(sources.name(cell.access_point)),
        Words(f"{cell.width_mhz:g}"),
        Words(cell.access),
        _names(sources, cell.stations, _STATIONS_MM),
        _percent(cell, "load_fraction"),
        Words(number(100.0 * cell.heard_fraction, 0)),
        Words("no scan") if cell.neighbours_fraction is None else _percent(cell, "neighbours_fraction"),
        _percent(cell, "load_with_others_fraction"),
        _names(sources, cell.heard_cells, _HEARD_MM),
        _NO_END if _waits_without_end(cell) else _figure(cell, "delay_p99_ms"),
        _figure(cell, "more_cameras"),
        _interferer(sources, worst),
        Empty(7) if worst is None else Words(number(worst[1].sinr_db or 0.0, 0)),
        flags_of(sources, CELL_CODES, {cell.id, cell.access_point, *cell.hops}),
    )


def _names(sources: Sources, keys: tuple[str, ...], width_mm: float) -> Cell:
    return Chain(tuple(held_words(sources.name(key), width_mm) for key in keys), commas=True) if keys else _NONE


def _percent(cell: CellRow, field: str) -> Cell:
    value = getattr(cell, field)
    return _missing(cell, field) if value is None else Words(number(100.0 * value, 0))


def _figure(cell: CellRow, field: str) -> Cell:
    value = getattr(cell, field)
    return _missing(cell, field) if value is None else Words(number(value, 0))


def _waits_without_end(cell: CellRow) -> bool:
    load = cell.load_with_others_fraction
    return cell.delay_p99_ms is None and load is not None and load >= 1.0


def _missing(cell: CellRow, field: str) -> Cell:
    return Empty(7) if why_null(cell.null_reasons, field)[0] == "unknown" else _NONE


def _directions(sources: Sources, cell: CellRow) -> Iterator[tuple[HopRow, DirectionRow]]:
    for key in cell.hops:
        hop = sources.hops.get(key)
        if hop is not None:
            yield hop, hop.directions.to_access_point
            yield hop, hop.directions.to_station


def _worst(sources: Sources, cell: CellRow) -> tuple[HopRow, DirectionRow] | None:
    """The direction in which noise and interference leave least of the signal."""
    known = [(hop, way) for hop, way in _directions(sources, cell) if way.sinr_db is not None]
    return min(known, key=lambda pair: pair[1].sinr_db or 0.0, default=None)


def _interferer(sources: Sources, worst: tuple[HopRow, DirectionRow] | None) -> Cell:
    if worst is None:
        return Empty(16)
    hop, way = worst
    if way.worst_interferer is None:
        return _NONE
    heard_by = hop.access_point if way is hop.directions.to_access_point else hop.station
    what, where = (held_words(sources.name(key), _WORST_MM) for key in (way.worst_interferer, heard_by))
    return Chain((what, f"at {where}"), commas=True)


def cell_sentences(sources: Sources) -> list[str]:
    """Return what the figures mean, and why some are missing: each sentence once, with its cells."""
    cells = sources.assessment.cells
    if not cells:
        return []
    why: dict[str, list[str]] = {}
    for cell in cells:
        missing = [field for field in _FIGURES if getattr(cell, field) is None]
        sentences = {why_null(cell.null_reasons, field)[1] for field in missing} - {"Unknown."}
        for sentence in sorted(sentences):
            why.setdefault(sentence, []).append(sources.name(cell.id))
    found = [f"Cells, no figure for {', '.join(names)}: {sentence}" for sentence, names in why.items()]
    if any(_worst(sources, cell) is None for cell in cells):
        found.append(
            "Cells, empty box under SINR: a channel, gear figures of both ends and a rule of the region make it known."
        )
    return [
        "Cells: others are those of the site that it hears, neighbours strange ones by the scans. SINR: the least of "
        "all directions of a cell, with what disturbs that direction most.",
        *found,
    ]
