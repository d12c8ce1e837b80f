"""A grid of heights from a file: checked, cut to what the site needs, and turned into a relief."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from survey_app.errors import InputError, UsageError
from survey_app.exchange.drawn_extent import drawn_points
from survey_app.exchange.imported import HeightUnit, ImportedRelief, ReliefWishes, TakenGrid
from survey_app.exchange.relief_remarks import change_remarks, grid_remarks
from survey_app.exchange.voids import filled
from survey_app.ground._arrays import FloatArray
from survey_app.ground.plane import Plane
from survey_app.ground.relief.geotiff import geotiff_bytes
from survey_app.ground.relief.of_design import UNIT_M
from survey_app.ground.relief.placing import MOST_POINTS, lattice_on, steps_at
from survey_app.ground.relief.raster import Raster, RasterFile, Window
from survey_app.site.asset import content_name
from survey_app.site.relief import GridRelief
from survey_app.site.site import Design, Site

__all__ = ["PLAN", "import_grid"]

PLAN = "plan"
"""What a person writes where the metres of a file are those of the plan."""

LOWEST_M, HIGHEST_M = -500.0, 9000.0
"""No ground on land lies lower or higher. [m]"""

_UNITS: dict[str, HeightUnit] = {
    "m": "metre",
    "metre": "metre",
    "metres": "metre",
    "meter": "metre",
    "meters": "metre",
    "ft": "foot",
    "foot": "foot",
    "feet": "foot",
    "international foot": "foot",
    "us-ft": "us_survey_foot",
    "ussurveyfoot": "us_survey_foot",
    "us survey foot": "us_survey_foot",
    "us_survey_foot": "us_survey_foot",
    "foot_us": "us_survey_foot",
}
_ASKED = 33
_FEET_PER_METRE = 1.0 / 0.3048


def import_grid(path: Path, site: Site, wishes: ReliefWishes) -> ImportedRelief:
    """Read a GeoTIFF or ASCII grid as the relief of a site.

    Parameters
    ----------
    path : Path
        The file. Only the part that the site needs is read, however large it is.
    site : Site
        The site, anchored where the grid lies on the earth.
    wishes : ReliefWishes
        What the file does not say itself.

    Raises
    ------
    InputError
        The file is no grid of heights, or one that cannot be trusted: no projection, no datum, points without a height,
        heights that no ground has, or it lies elsewhere.
    UsageError
        A wish that does not fit, or a site without an anchor.
    """
    where = str(path)
    plane = _plane(site.design)
    with RasterFile(path) as file:
        if file.rows < 2 or file.columns < 2:
            raise InputError(
                f"it has {file.columns} by {file.rows} points", where=where, remedy="two by two are needed"
            )
        frame = _frame(file, wishes, plane, where)
        taken = _decided(file, frame, plane, site, wishes, where)
        raster = replace(file.read(taken.window), reference=frame.reference)
    rows, voids = _heights(raster, taken, wishes, where)
    data = geotiff_bytes(replace(raster, rows=rows))
    offset_m = wishes.offset_m if wishes.offset_m is not None else 0.0 - site.design.plane.datum_elevation_m
    relief = GridRelief(
        kind="grid",
        file=content_name(data, ".tif"),
        grid=taken.name,
        height_unit=taken.unit,
        vertical_datum=taken.vertical_datum,
        datum_offset_m=offset_m,
        source=wishes.source or path.name,
        dated=wishes.dated,
        sigma_m=wishes.sigma_m if wishes.sigma_m is not None else GridRelief.model_fields["sigma_m"].default,
        voids="none" if voids == 0 else "filled" if wishes.voids == "fill" else "unknown",
        void_count=voids,
    )
    over_datum = Raster(rows * UNIT_M[taken.unit] + offset_m, raster.to_reference, raster.reference)
    lattice = lattice_on(plane, over_datum, "", relief.sigma_m)
    remarks = grid_remarks(site.design, relief, taken, lattice, has_offset=wishes.offset_m is not None)
    if raster.reference is not None and plane is not None:
        remarks += change_remarks(raster.reference, plane)
    return ImportedRelief(relief, data, tuple(remarks))


def _plane(design: Design) -> Plane | None:
    anchor = design.plane.anchor
    return Plane(anchor.lat_deg, anchor.lon_deg, anchor.rotation_deg) if anchor is not None else None


def _frame(file: RasterFile, wishes: ReliefWishes, plane: Plane | None, where: str) -> Raster:
    """Return the grid without its heights, placed as the file or the person says."""
    asked = wishes.reference
    if not file.is_placed:
        raise InputError("it does not say where its points lie", where=where, remedy="a georeferenced grid is needed")
    if file.reference is None and not asked:
        raise InputError(
            "it names no projection",
            where=where,
            remedy=f"name it with --crs such as EPSG:32630, or --crs {PLAN} where its metres are those of the plan",
        )
    if asked and file.reference is not None and asked.upper() != file.reference.upper():
        raise UsageError(f"the file itself says {file.reference_name}", where="--crs", remedy="leave --crs out")
    reference = file.reference if file.reference is not None else None if asked == PLAN else asked
    if reference is not None and plane is None:
        raise UsageError(
            "the grid lies on the earth and the plan is tied to no place there",
            where=where,
            remedy="give the site's plane its anchor first",
        )
    return Raster(np.empty((0, 0)), file.to_reference, reference)


def _decided(
    file: RasterFile, frame: Raster, plane: Plane | None, site: Site, wishes: ReliefWishes, where: str
) -> TakenGrid:
    datum = wishes.vertical_datum or file.vertical_datum
    if not datum:
        raise InputError(
            "it does not say what its heights count from", where=where, remedy="name its vertical datum with --datum"
        )
    said = file.height_unit.lower()
    unit = wishes.height_unit or (_UNITS.get(said) if said else "metre")
    if unit is None:
        raise InputError(
            f"its heights are in '{file.height_unit}', which is not known here",
            where=where,
            remedy="say --height-unit metre, foot or us_survey_foot",
        )
    window, outside, drawn = _window(file, frame, plane, site, wishes.margin_m, where)
    name = file.reference_name or wishes.reference
    is_whole = window == file.whole
    return TakenGrid(name, unit, bool(wishes.height_unit or said), datum, window, is_whole, outside, drawn)


def _window(
    file: RasterFile, frame: Raster, plane: Plane | None, site: Site, margin_m: float, where: str
) -> tuple[Window, int, int]:
    """Return the part of a grid that a site needs, how many drawn points lie outside, and how many are drawn."""
    points = drawn_points(site)
    drawn = len(points)
    if not drawn:
        points = np.zeros((1, 2))
    u, v = steps_at(plane, frame, points[:, 0], points[:, 1])
    inside = (u >= 0.0) & (u <= file.columns - 1.0) & (v >= 0.0) & (v <= file.rows - 1.0)
    if not inside.any():
        raise InputError(
            f"the site lies outside of it{_reach(file, frame)}",
            where=where,
            remedy="take the grid of the right place, and look at its projection",
        )
    low, high = points.min(axis=0) - margin_m, points.max(axis=0) + margin_m
    x, y = np.meshgrid(np.linspace(low[0], high[0], _ASKED), np.linspace(low[1], high[1], _ASKED))
    u, v = steps_at(plane, frame, x.ravel(), y.ravel())
    first = np.maximum(np.floor([np.nanmin(u), np.nanmin(v)]), 0).astype(np.int64)
    last = np.minimum(np.ceil([np.nanmax(u), np.nanmax(v)]), [file.columns - 1, file.rows - 1]).astype(np.int64)
    # two points at least each way, also where the site stands at the very border
    first = np.minimum(first, [file.columns - 2, file.rows - 2])
    last = np.maximum(last, first + 1)
    window = Window(int(first[0]), int(first[1]), int(last[0] - first[0]) + 1, int(last[1] - first[1]) + 1)
    if window.count > MOST_POINTS:
        raise InputError(
            f"the site with {margin_m:g} m round it has {window.count / 1e6:,.0f} million points of this grid, "
            f"at most {MOST_POINTS // 1_000_000} million are taken",
            where=where,
            remedy="take less with --margin, or a coarser grid",
        )
    return window, int((~inside).sum()) if drawn else 0, drawn


def _reach(file: RasterFile, frame: Raster) -> str:
    """Say where a grid reaches, in its own coordinates."""
    ends = np.array([[0.0, file.columns - 1.0, 0.0, file.columns - 1.0], [0.0, 0.0, file.rows - 1.0, file.rows - 1.0]])
    x, y = frame.to_reference[:, :2] @ ends + frame.to_reference[:, 2:]
    name = f" of {file.reference_name}" if file.reference_name else ""
    return f", it reaches from {x.min():.6g} to {x.max():.6g} east and from {y.min():.6g} to {y.max():.6g} north{name}"


def _heights(raster: Raster, taken: TakenGrid, wishes: ReliefWishes, where: str) -> tuple[FloatArray, int]:
    """Return the heights that are kept, in the file's unit, and how many points had none."""
    rows = raster.rows.copy()
    if wishes.void_mark is not None:
        rows[rows == wishes.void_mark] = np.nan
    void = np.isnan(rows)
    count = int(void.sum())
    if count == rows.size:
        raise InputError("no point of it has a height where the site is", where=where, remedy="take another grid")
    _check_plausible(rows, taken, where)
    if count and wishes.voids == "refuse":
        row, column = np.argwhere(void)[0]
        raise InputError(
            f"{count} of {rows.size} points have no height, the first {_spot(raster, column, row)}",
            where=where,
            remedy="say --voids fill to fill them from around them, or --voids unknown to leave them so",
        )
    if count and wishes.voids == "fill":
        rows = filled(rows)
        left = np.argwhere(np.isnan(rows))
        if len(left):
            raise InputError(
                f"{len(left)} points without a height lie at the border and cannot be filled, "
                f"the first {_spot(raster, left[0][1], left[0][0])}",
                where=where,
                remedy="say --voids unknown, or take less with --margin",
            )
    return rows, count


def _check_plausible(rows: FloatArray, taken: TakenGrid, where: str) -> None:
    unit_m = UNIT_M[taken.unit]
    for height in (float(np.nanmin(rows)), float(np.nanmax(rows))):
        if not LOWEST_M <= height * unit_m <= HIGHEST_M:
            feet = not taken.is_unit_said and LOWEST_M <= height / _FEET_PER_METRE <= HIGHEST_M
            hint = "say --height-unit foot if they are feet, or " if feet else ""
            raise InputError(
                f"a height in it is {height:.7g} {taken.unit.replace('_', ' ')}, where no ground lies",
                where=where,
                remedy=f"{hint}say --void-mark {height:.9g} if that means no height",
            )


def _spot(raster: Raster, column: int, row: int) -> str:
    """Say where a point of the grid is, in its own coordinates."""
    x, y = raster.to_reference @ (float(column), float(row), 1.0)
    return f"at {x:.8g} east, {y:.8g} north"
