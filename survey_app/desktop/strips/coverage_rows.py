"""What a set of radios covers, as rows of tables: areas by rate, mounts with their rate, areas in which things move."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from survey_app.desktop.panels.sheet_table import Cell, Column, Row
from survey_app.paper.rounding import number

if TYPE_CHECKING:
    from survey_app.assess.coverage import BestOfMount, Together
    from survey_app.assess.record import AreaRow
    from survey_app.site.thing import Thing

__all__ = [
    "area_columns",
    "area_rows",
    "mount_columns",
    "mount_rows",
    "rate_columns",
    "rate_rows",
    "together_words",
]

_FOOT_M = 0.3048
_NONE, _UNKNOWN = Cell("none"), Cell("not known")


def _square(feet: bool) -> tuple[str, float]:
    return ("ft²", _FOOT_M**2) if feet else ("m²", 1.0)


def rate_columns(*, feet: bool) -> tuple[Column, ...]:
    """Return the heads of the areas by rate."""
    unit, _ = _square(feet)
    return (
        Column("Mbit/s,\nor better", figures=True, strong=True),
        Column(f"reached\n{unit}", figures=True),
        Column(f"and seen\n{unit}", figures=True),
        Column("seen\n%", figures=True),
    )


def rate_rows(found: Together, *, feet: bool) -> tuple[Row, ...]:
    """Return a row for every rate, the highest first."""
    _, unit_m2 = _square(feet)
    rows = []
    for one in found.rates:
        part = 100.0 * one.seen_m2 / one.reached_m2
        cells = (
            Cell(number(one.rate_mbps, 0), one.rate_mbps),
            Cell(number(one.reached_m2 / unit_m2, 0), one.reached_m2),
            Cell(number(one.seen_m2 / unit_m2, 0), one.seen_m2),
            Cell(number(part, 0), part),
        )
        rows.append(Row(cells, ()))
    return tuple(rows)


def mount_columns(*, feet: bool) -> tuple[Column, ...]:
    """Return the heads of the mounts."""
    return (
        Column("mount", strong=True),
        Column("best\nfrom"),
        Column("Mbit/s", figures=True),
        Column("level\ndBm", figures=True),
        Column("distance\nft" if feet else "distance\nm", figures=True),
        Column("way"),
        Column("also from"),
    )


def mount_rows(found: Together, *, feet: bool) -> tuple[Row, ...]:
    """Return a row for every mount; one that no radio serves says why."""
    return tuple(_mount_row(one, _FOOT_M if feet else 1.0) for one in found.mounts)


def _mount_row(one: BestOfMount, unit_m: float) -> Row:
    mount = one.mount
    also = ", ".join(one.also)
    cells = (
        Cell(mount.mount, mount.mount),
        Cell(one.radio, one.radio) if mount.served else _NONE,
        Cell(number(mount.rate_mbps, 0), mount.rate_mbps) if mount.served and mount.rate_mbps is not None else _NONE,
        _UNKNOWN if mount.level_dbm is None else Cell(number(mount.level_dbm, 0), mount.level_dbm),
        Cell(number(mount.distance_m / unit_m, 0), mount.distance_m),
        _way(one),
        Cell(also, also or None),
    )
    return Row(cells, (mount.mount,))


def _way(one: BestOfMount) -> Cell:
    mount = one.mount
    if mount.through:
        words = f"through {', '.join(mount.through)}"
        words = words if mount.served else f"too weak {words}"
    elif mount.seen is None:
        words = "ground not known"
    elif not mount.seen:
        words = f"hidden from {one.radio}"
    else:
        words = "seen" if mount.served else "seen, too weak"
    return Cell(words, words)


def area_columns(*, feet: bool) -> tuple[Column, ...]:
    """Return the heads of the areas in which something moves."""
    unit, _ = _square(feet)
    return (
        Column("area", strong=True),
        Column(unit, figures=True),
        Column("Mbit/s", figures=True),
        Column("served\n%", figures=True),
        Column("everywhere\nMbit/s", figures=True),
    )


def area_rows(
    found: Together, rows: tuple[AreaRow, ...], things: Mapping[str, Thing], *, feet: bool
) -> tuple[Row, ...]:
    """Return a row for every served area that one of the radios is for, then for every traffic area.

    Parameters
    ----------
    found : Together
        The radios.
    rows : tuple of AreaRow
        Served areas as they were assessed.
    things : mapping of str to Thing
        The site's, by id.
    feet : bool
        Lengths in feet.
    """
    _, unit_m2 = _square(feet)
    mine = [row for row in rows if set(row.access_points) & set(found.radios)]
    served = [
        _area_row(row.id, row.name, row.area_m2, unit_m2, row.needed_rate_mbps, _percent(row), row.rate_everywhere_mbps)
        for row in mine
    ]
    moving = [
        _area_row(one.id, _name(things, one.id), one.area_m2, unit_m2, one.rate_mbps, one.percent, one.everywhere_mbps)
        for one in found.areas
    ]
    return (*served, *moving)


def _percent(row: AreaRow) -> float | None:
    return None if row.served_fraction is None else 100.0 * row.served_fraction


def _name(things: Mapping[str, Thing], key: str) -> str:
    return things[key].title if key in things else key


def _area_row(
    key: str,
    name: str,
    area_m2: float | None,
    unit_m2: float,
    rate_mbps: float | None,
    percent: float | None,
    everywhere_mbps: float | None,
) -> Row:
    cells = (
        Cell(name, name),
        _UNKNOWN if area_m2 is None else Cell(number(area_m2 / unit_m2, 0), area_m2),
        _UNKNOWN if rate_mbps is None else Cell(number(rate_mbps, 0), rate_mbps),
        _UNKNOWN if percent is None else Cell(number(percent, 0), percent),
        _NONE if everywhere_mbps is None else Cell(number(everywhere_mbps, 0), everywhere_mbps),
    )
    return Row(cells, (key,))


def together_words(found: Together, *, feet: bool) -> str:
    """Return which radios these are and how high their far ends stand, in a sentence or two."""
    if not found.radios:
        return " ".join(found.refused) or "No radio is chosen."
    unit, unit_m = ("ft", _FOOT_M) if feet else ("m", 1.0)
    ends = (min(found.heights_m), max(found.heights_m))
    heights = dict.fromkeys(number(one / unit_m, 1) for one in ends)
    names = ", ".join(found.radios)
    served = sum(one.mount.served for one in found.mounts)
    return " ".join(
        (
            f"{names}: far ends {' to '.join(heights)} {unit} over the ground; "
            f"{served} of {len(found.mounts)} mounts served.",
            *found.refused,
        )
    )
