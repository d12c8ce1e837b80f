"""Spot heights from a table of text: checked and turned into a relief."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from pathlib import Path

import numpy as np

from survey_app.errors import InputError, UsageError
from survey_app.exchange.drawn_extent import drawn_points
from survey_app.exchange.imported import ImportedRelief, ReliefWishes
from survey_app.exchange.relief_grid import HIGHEST_M, LOWEST_M, PLAN
from survey_app.exchange.table_text import number_of, read_table
from survey_app.ground.grid import from_grid
from survey_app.ground.relief.of_design import UNIT_M, surface_of
from survey_app.ground.relief.surface import LevelGround
from survey_app.site.edits.sharing import with_fields
from survey_app.site.place import GeoPoint, HeightKnown, PlanePoint, Position
from survey_app.site.relief import SpotHeight, SpotRelief
from survey_app.site.site import Site

__all__ = ["import_spots"]

_MOST_ROWS = 20_000
_NAMES = {
    "x": ("x", "x_m", "e", "east", "easting"),
    "y": ("y", "y_m", "n", "north", "northing"),
    "lat": ("lat", "lat_deg", "latitude"),
    "lon": ("lon", "lon_deg", "long", "longitude"),
    "h": ("h", "h_m", "z", "height", "height_m"),
    "sigma": ("sigma", "sigma_m"),
}
_SURVEY_SIGMA_M = 0.02


def import_spots(path: Path, site: Site, wishes: ReliefWishes) -> ImportedRelief:
    """Read a table of points with heights as the relief of a site.

    Parameters
    ----------
    path : Path
        Text in UTF-8, columns parted by commas, semicolons or tabs, named in the first line: `x,y,h` in metres of the
        plan or of the map grid of `wishes`, or `lat,lon,h` in degrees; `sigma` besides, in metres, where it is known.
    site : Site
        The site.
    wishes : ReliefWishes
        What the table does not say itself.

    Raises
    ------
    InputError
        It is no such table, or its points make no surface under the site; the line is named.
    UsageError
        A wish that does not fit.
    """
    where = str(path)
    rows = list(_numbers(path))
    columns = set(rows[0][1]) if rows else set()
    if len(rows) < 3:
        raise InputError(f"it has {len(rows)} spot heights", where=where, remedy="three at least make a surface")
    unit_m = UNIT_M[wishes.height_unit or "metre"]
    offset_m = wishes.offset_m or 0.0
    positions = _positions(rows, wishes.reference, where)
    points = []
    for (line, row), position in zip(rows, positions, strict=True):
        height_m = row["h"] * unit_m + offset_m
        if not LOWEST_M <= height_m <= HIGHEST_M:
            raise InputError(f"a height of {row['h']:g} lies where no ground lies", where=f"{where}, line {line}")
        sigma_m = row.get("sigma", wishes.sigma_m if wishes.sigma_m is not None else math.nan)
        known = HeightKnown(how="survey") if math.isnan(sigma_m) else _known(sigma_m, f"{where}, line {line}")
        points.append(SpotHeight(position=position, height_m=height_m, known=known))
    relief = SpotRelief(
        kind="spots",
        points=tuple(points),
        vertical_datum=wishes.vertical_datum or SpotRelief.model_fields["vertical_datum"].default,
        source=wishes.source or path.name,
        dated=wishes.dated,
    )
    remarks = _remarks(site, relief, wishes, where, "degrees" if "lat" in columns else wishes.reference or PLAN)
    return ImportedRelief(relief, b"", tuple(remarks))


def _known(sigma_m: float, where: str) -> HeightKnown:
    if not 0.0 <= sigma_m <= 100.0:
        raise InputError(f"a standard deviation of {sigma_m:g} m is none", where=where, remedy="write 0 to 100 metres")
    return HeightKnown(how="survey", sigma_m=sigma_m)


def _positions(rows: list[tuple[int, dict[str, float]]], reference: str, where: str) -> list[Position]:
    if "lat" in rows[0][1]:
        if reference:
            raise UsageError("the table is in degrees already", where="--crs", remedy="leave --crs out")
        return [_degrees(row["lat"], row["lon"], f"{where}, line {line}") for line, row in rows]
    if reference and reference != PLAN:
        found = from_grid(reference, [row["x"] for _, row in rows], [row["y"] for _, row in rows])
        pairs = zip(rows, found.first.tolist(), found.second.tolist(), strict=True)
        return [_degrees(lat, lon, f"{where}, line {line}") for (line, _), lat, lon in pairs]
    positions: list[Position] = []
    for line, row in rows:
        if max(abs(row["x"]), abs(row["y"])) > 1e6:
            raise InputError(
                f"({row['x']:g}, {row['y']:g}) lies beyond the plan",
                where=f"{where}, line {line}",
                remedy="name their map grid with --crs",
            )
        positions.append(PlanePoint(x_m=row["x"], y_m=row["y"]))
    return positions


def _degrees(lat_deg: float, lon_deg: float, where: str) -> GeoPoint:
    if not (abs(lat_deg) <= 90.0 and abs(lon_deg) <= 180.0):
        raise InputError(f"latitude {lat_deg:g}, longitude {lon_deg:g} is no place on the earth", where=where)
    return GeoPoint(lat_deg=lat_deg, lon_deg=lon_deg)


def _numbers(path: Path) -> Iterator[tuple[int, dict[str, float]]]:
    """Yield the number of each line with its named numbers."""
    table = read_table(path, most_rows=_MOST_ROWS, remedy="import a grid instead")
    columns = table.columns(_NAMES)
    plan, earth = {"x", "y"} & set(columns), {"lat", "lon"} & set(columns)
    if "h" not in columns or len(plan) + len(earth) != 2 or len(plan) == 1:
        raise InputError(
            f"its columns are {', '.join(table.heads)[:80]!r}",
            where=f"{table.where}, first line",
            remedy="name them x,y,h or lat,lon,h in the first line",
        )
    for line, cells in table.rows(columns):
        yield line, _row(cells, f"{table.where}, line {line}")


def _row(cells: Mapping[str, str], where: str) -> dict[str, float]:
    row = {}
    for name, cell in cells.items():
        if name == "sigma" and not cell:
            continue
        value = number_of(cell)
        if value is None:
            raise InputError(
                f"{cell[:30]!r} is no number for {name}", where=where, remedy="write numbers with a decimal point"
            )
        row[name] = value
    return row


def _remarks(site: Site, relief: SpotRelief, wishes: ReliefWishes, where: str, placed_by: str) -> list[str]:
    surface = surface_of(with_fields(site.design, relief=relief))
    if isinstance(surface, LevelGround):
        # its own sentence says what is wrong with the points
        raise _SpotsError(surface.words, where)
    drawn = drawn_points(site)
    known = np.isfinite(surface.heights_m(drawn[:, 0], drawn[:, 1])) if len(drawn) else np.ones(1, bool)
    if not known.any():
        raise InputError(
            "the site lies outside of its spot heights", where=where, remedy="add spot heights round what is drawn"
        )
    heights = [point.height_m for point in relief.points]
    remarks = [
        f"{len(relief.points)} spot heights, placed by {placed_by}: the ground lies from {min(heights):.2f} to "
        f"{max(heights):.2f} m over the site datum ({site.design.plane.datum}).",
    ]
    if wishes.offset_m:
        remarks.append(f"{wishes.offset_m:+.3f} m were added to every height.")
    if not known.all():
        remarks.append(
            f"{int((~known).sum())} of {len(drawn)} drawn points lie outside of them: the ground there is not known."
        )
    return remarks


class _SpotsError(InputError):
    """Points that make no surface, in the words of the surface."""

    def __init__(self, sentence: str, where: str) -> None:
        what, _, remedy = sentence.removeprefix("relief: ").rstrip(".").partition("; ")
        super().__init__(what, where=where, remedy=remedy or None)
