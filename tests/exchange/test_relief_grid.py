"""Grids of heights from files: placed as another library places them, cut, filled, and refused in one sentence."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
from pyproj import Transformer
from rasterio.transform import Affine

from survey_app.errors import SurveyError
from survey_app.exchange import relief_grid
from survey_app.exchange.imported import ImportedRelief, ReliefWishes
from survey_app.exchange.relief_grid import import_grid
from survey_app.ground.plane import Plane, to_geographic
from survey_app.ground.relief.known import read_relief
from survey_app.ground.relief.lattice import Lattice
from survey_app.ground.relief.of_design import surface_of
from survey_app.site import Site, edits
from survey_app.site.new import new_site
from survey_app.site.place import Anchor, PlanePoint
from survey_app.site.structure import Pole
from tests.ground.relief_files import ANCHOR, EASTING, NORTHING, UTM, geotiff, heights_on, hilly, utm_frame

TURN_DEG = 20.0


def yard(*, anchored: bool = True, elevation_m: float = 0.0, poles: tuple[tuple[float, float], ...] = ()) -> Site:
    anchor = Anchor(lat_deg=ANCHOR[0], lon_deg=ANCHOR[1], rotation_deg=TURN_DEG) if anchored else None
    site = new_site("Yard", as_of=datetime.date(2026, 12, 1), anchor=anchor)
    plane = site.design.plane
    site = edits.change_design(site, plane=type(plane)(anchor=anchor, datum_elevation_m=elevation_m)).after
    for n, (x, y) in enumerate(poles):
        site = edits.add_structure(site, Pole(id=f"p{n}", kind="pole", position=PlanePoint(x_m=x, y_m=y))).after
    return site


def wishes(**fields: Any) -> ReliefWishes:
    return ReliefWishes(**{"vertical_datum": "NAVD88", **fields})


def sample(path: Path, *, step_m: float = 5.0, columns: int = 120, rows: int = 100, turn_deg: float = 0.0) -> Path:
    frame = utm_frame(step_m, columns, rows, turn_deg=turn_deg)
    return geotiff(path, heights_on(frame, columns, rows), frame)


def laid(site: Site, found: ImportedRelief, folder: Path) -> Any:
    """Return the surface of a site with an imported relief, read back from its folder."""
    after = edits.set_relief(site, found.relief).after
    if found.data:
        (folder / "assets").mkdir(exist_ok=True)
        (folder / "assets" / found.relief.file).write_bytes(found.data)
    assert read_relief(after.design, folder) is None
    return surface_of(after.design)


def in_utm(x_m: np.ndarray, y_m: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the grid position of points of the plane by pyproj's own azimuthal equidistant projection."""
    plane = f"+proj=aeqd +lat_0={ANCHOR[0]} +lon_0={ANCHOR[1]} +datum=WGS84"
    turn = np.radians(TURN_DEG)
    east, north = x_m * np.cos(turn) + y_m * np.sin(turn), y_m * np.cos(turn) - x_m * np.sin(turn)
    lon, lat = Transformer.from_crs(plane, "EPSG:4326", always_xy=True).transform(east, north)
    return Transformer.from_crs("EPSG:4326", UTM, always_xy=True).transform(lon, lat)


@pytest.mark.parametrize("turn_deg", [0.0, 33.0], ids=["upright", "rotated"])
def test_heights_on_the_plan_are_those_that_the_file_has_there(tmp_path: Path, turn_deg: float) -> None:
    path = sample(tmp_path / "hills.tif", turn_deg=turn_deg)
    found = import_grid(path, yard(), wishes())
    surface = laid(yard(), found, tmp_path)
    x, y = np.random.default_rng(3).uniform(-150.0, 150.0, (2, 400))
    easting, northing = in_utm(x, y)
    # bilinear between the middles of cells, written out on the file's own numbers
    with rasterio.open(path) as file:
        u, v = ~file.transform @ (easting, northing)
        u, v, rows = np.asarray(u) - 0.5, np.asarray(v) - 0.5, file.read(1)
        nearest = np.array([value[0] for value in file.sample(zip(easting, northing, strict=True))])
    column, row = np.floor(u).astype(int), np.floor(v).astype(int)
    right, down = u - column, v - row
    upper = (1 - right) * rows[row, column] + right * rows[row, column + 1]
    lower = (1 - right) * rows[row + 1, column] + right * rows[row + 1, column + 1]
    heights = surface.heights_m(x, y)
    assert np.abs(heights - ((1 - down) * upper + down * lower)).max() < 1e-3
    assert np.abs(heights - nearest).max() < 0.6, "the library's own sample is the nearest point"
    assert np.abs(heights - hilly(easting - EASTING, northing - NORTHING)).max() < 0.08


def test_map_grid_is_a_straight_lattice_on_the_plan_to_a_millimetre(tmp_path: Path) -> None:
    surface = laid(yard(), import_grid(sample(tmp_path / "h.tif"), yard(), wishes()), tmp_path)
    assert isinstance(surface, Lattice)
    assert surface.resampled_m == 0.0
    assert 0.0 < surface.shift_m < 1e-3


def _degrees(path: Path, *, half_deg: float, count: int) -> Path:
    frame = Affine.translation(ANCHOR[1] - half_deg, ANCHOR[0] + half_deg) @ Affine.scale(
        2 * half_deg / count, -2 * half_deg / count
    )
    u, v = np.meshgrid(np.arange(count) + 0.5, np.arange(count) + 0.5)
    lon, lat = frame @ (u, v)
    x, y = Transformer.from_crs("EPSG:4326", UTM, always_xy=True).transform(lon, lat)
    return geotiff(
        path, 60.0 + 30.0 * np.sin((x - EASTING) / 900.0) + 20.0 * np.cos((y - NORTHING) / 700.0), frame, "EPSG:4326"
    )


def test_grid_of_degrees_over_a_wide_area_is_sampled_anew_and_says_how_far_off_it_is(tmp_path: Path) -> None:
    path = _degrees(tmp_path / "wide.tif", half_deg=0.15, count=400)
    found = import_grid(path, yard(), wishes(margin_m=9000.0))
    surface = laid(yard(), found, tmp_path)
    assert surface.resampled_m > 0.0
    assert any("sampled anew" in remark and f"{surface.resampled_m:.2f} m" in remark for remark in found.remarks)
    x, y = np.random.default_rng(4).uniform(-8000.0, 8000.0, (2, 500))
    easting, northing = in_utm(x, y)
    true = 60.0 + 30.0 * np.sin((easting - EASTING) / 900.0) + 20.0 * np.cos((northing - NORTHING) / 700.0)
    # half of a cell's bow twice: once in the file's own surface, once in what was sampled from it
    assert np.abs(surface.heights_m(x, y) - true).max() < 2.5 * surface.resampled_m + 0.05


def test_grid_of_degrees_round_a_site_is_used_as_it_is(tmp_path: Path) -> None:
    path = _degrees(tmp_path / "near.tif", half_deg=0.15, count=400)
    surface = laid(yard(), import_grid(path, yard(), wishes(margin_m=300.0)), tmp_path)
    assert surface.resampled_m == 0.0
    lat, lon = to_geographic(Plane(*ANCHOR, TURN_DEG), 40.0, -70.0)
    with rasterio.open(path) as file:
        u, v = ~file.transform @ (float(lon), float(lat))
        rows = file.read(1)
    at = rows[int(v - 0.5) : int(v - 0.5) + 2, int(u - 0.5) : int(u - 0.5) + 2]
    right, down = (u - 0.5) % 1.0, (v - 0.5) % 1.0
    expected = np.array([1 - down, down]) @ at @ np.array([1 - right, right])
    assert surface.heights_m(40.0, -70.0) == pytest.approx(expected, abs=0.02)


def test_metres_of_the_plan_need_no_anchor(tmp_path: Path) -> None:
    (tmp_path / "plan.asc").write_text("ncols 3\nnrows 2\nxllcorner -5\nyllcorner -5\ncellsize 10\n1 2 3\n4 5 6\n")
    found = import_grid(tmp_path / "plan.asc", yard(anchored=False), wishes(reference="plan", vertical_datum="quay"))
    surface = laid(yard(anchored=False), found, tmp_path)
    assert found.relief.grid == "plan"
    # cells of 10 m from (-5, -5): the middle of the lower left one is the origin
    assert surface.heights_m([0.0, 10.0, 20.0, 5.0], [0.0, 0.0, 10.0, 5.0]).tolist() == pytest.approx([4, 5, 3, 3])


def test_ascii_grid_takes_its_projection_from_the_file_beside_it(tmp_path: Path) -> None:
    frame = utm_frame(5.0, 40, 40)
    geotiff(tmp_path / "grid.asc", heights_on(frame, 40, 40).astype("float32"), frame, driver="AAIGrid")
    assert (tmp_path / "grid.prj").exists()
    found = import_grid(tmp_path / "grid.asc", yard(), wishes(margin_m=50.0))
    assert "UTM zone 19N" in found.relief.grid
    surface = laid(yard(), found, tmp_path)
    assert surface.heights_m(0.0, 0.0) == pytest.approx(
        float(hilly(*(np.array(in_utm(np.zeros(1), np.zeros(1))) - [[EASTING], [NORTHING]]))[0]), abs=0.05
    )


def test_offset_unit_and_datum_come_from_the_file_or_the_person(tmp_path: Path) -> None:
    frame = utm_frame(5.0, 60, 60)
    heights = heights_on(frame, 60, 60)
    plain = laid(yard(), import_grid(geotiff(tmp_path / "m.tif", heights, frame), yard(), wishes()), tmp_path)
    feet = geotiff(tmp_path / "ft.tif", heights / 0.3048, frame, unit="ft")
    found = import_grid(feet, yard(elevation_m=12.5), wishes())
    assert (found.relief.height_unit, found.relief.datum_offset_m) == ("foot", -12.5)
    surface = laid(yard(elevation_m=12.5), found, tmp_path)
    assert surface.heights_m(3.0, 4.0) == pytest.approx(float(plain.heights_m(3.0, 4.0)) - 12.5, abs=1e-5)
    compound = geotiff(tmp_path / "c.tif", heights, frame, "EPSG:26919+5703")
    found = import_grid(compound, yard(), ReliefWishes(offset_m=2.0))
    assert (found.relief.vertical_datum, found.relief.datum_offset_m) == ("NAVD88 height", 2.0)


def test_feet_that_nobody_declared_are_asked_about(tmp_path: Path) -> None:
    frame = utm_frame(5.0, 60, 60)
    path = geotiff(tmp_path / "ft.tif", (heights_on(frame, 60, 60) + 102.0) / 0.3048, frame)
    found = import_grid(path, yard(elevation_m=122.0), wishes())
    assert any("3.3 times as high" in remark and "--height-unit foot" in remark for remark in found.remarks)
    said = import_grid(path, yard(elevation_m=122.0), wishes(height_unit="foot"))
    assert not any("times as high" in remark for remark in said.remarks)
    mountain = geotiff(tmp_path / "high.tif", heights_on(frame, 60, 60) + 12_000.0, frame)
    with pytest.raises(SurveyError, match=r"--height-unit foot"):
        import_grid(mountain, yard(), wishes())


def test_only_what_the_site_needs_is_kept_of_a_huge_grid(tmp_path: Path) -> None:
    frame = utm_frame(1.0, 50_000, 50_000)
    path = tmp_path / "huge.tif"
    with rasterio.open(
        path, "w", driver="GTiff", width=50_000, height=50_000, count=1, dtype="float32", crs=UTM, transform=frame,
        tiled=True, sparse_ok=True, bigtiff="yes",
    ):  # fmt: skip
        pass
    assert path.stat().st_size < 10e6, "ten gigabytes of heights, none of them written"
    found = import_grid(path, yard(poles=((0.0, 0.0), (120.0, 40.0))), wishes(margin_m=100.0))
    surface = laid(yard(), found, tmp_path)
    rows, columns = surface.rows_m.shape
    assert 320 < columns < 500
    assert 240 < rows < 500
    assert "part that the site needs" in found.remarks[0]
    with pytest.raises(SurveyError) as refused:
        import_grid(path, yard(), wishes(margin_m=5000.0))
    assert "million points" in refused.value.sentence()
    assert "--margin" in refused.value.sentence()


def _with_gap(path: Path, gap: tuple[slice, slice], **more: Any) -> Path:
    frame = utm_frame(5.0, 60, 60)
    heights = heights_on(frame, 60, 60).astype("float32")
    heights[gap] = more.pop("mark", -9999.0)
    return geotiff(path, heights, frame, **more)


MIDDLE = (slice(20, 24), slice(30, 35))


def test_points_without_a_height_are_refused_with_count_and_place(tmp_path: Path) -> None:
    path = _with_gap(tmp_path / "gap.tif", MIDDLE, nodata=-9999.0)
    with pytest.raises(SurveyError) as refused:
        import_grid(path, yard(), wishes())
    sentence = refused.value.sentence()
    assert "20 of 3600 points have no height" in sentence
    x, y = utm_frame(5.0, 60, 60) @ (30.5, 20.5)
    assert f"{x:.8g} east, {y:.8g} north" in sentence
    assert "--voids fill" in sentence


@pytest.mark.parametrize("how", ["declared", "nan", "marked"])
def test_gaps_are_filled_on_request_and_said_so(tmp_path: Path, how: str) -> None:
    mark = float("nan") if how == "nan" else -9999.0
    path = _with_gap(tmp_path / "gap.tif", MIDDLE, mark=mark, **({"nodata": -9999.0} if how == "declared" else {}))
    found = import_grid(path, yard(), wishes(voids="fill", void_mark=-9999.0 if how == "marked" else None))
    assert (found.relief.voids, found.relief.void_count) == ("filled", 20)
    assert any(remark == "20 points without a height were filled from around them." for remark in found.remarks)
    surface = laid(yard(), found, tmp_path)
    assert np.isfinite(surface.rows_m).all()
    frame = utm_frame(5.0, 60, 60)
    assert np.abs(surface.rows_m - heights_on(frame, 60, 60))[MIDDLE].max() < 1.2


def test_gaps_of_a_plane_are_filled_with_the_plane(tmp_path: Path) -> None:
    frame = utm_frame(5.0, 60, 60)
    u, v = np.meshgrid(np.arange(60.0), np.arange(60.0))
    heights = 5.0 + 0.25 * u - 0.5 * v
    gappy = heights.copy()
    gappy[10, 10] = gappy[30:40, 20:22] = gappy[33, 22:50] = np.nan
    surface = laid(
        yard(), import_grid(geotiff(tmp_path / "p.tif", gappy, frame), yard(), wishes(voids="fill")), tmp_path
    )
    assert np.abs(surface.rows_m - heights).max() < 1e-4


def test_gaps_left_unknown_stay_unknown(tmp_path: Path) -> None:
    path = _with_gap(tmp_path / "gap.tif", MIDDLE, nodata=-9999.0)
    found = import_grid(path, yard(), wishes(voids="unknown"))
    assert found.relief.voids == "unknown"
    assert np.isnan(laid(yard(), found, tmp_path).rows_m).sum() == 20


def test_things_beyond_the_grid_are_counted(tmp_path: Path) -> None:
    site = yard(poles=((0.0, 0.0), (10.0, 10.0), (4000.0, 0.0)))
    found = import_grid(sample(tmp_path / "h.tif"), site, wishes())
    assert any("1 of 3 drawn points lie outside" in remark for remark in found.remarks)


def test_same_grid_gives_the_same_name_and_another_another(tmp_path: Path) -> None:
    one = import_grid(sample(tmp_path / "a.tif"), yard(), wishes())
    same = import_grid(sample(tmp_path / "b.tif"), yard(), wishes())
    other = import_grid(sample(tmp_path / "c.tif", step_m=4.0), yard(), wishes())
    assert one.data == same.data
    assert one.relief.file == same.relief.file != other.relief.file


def _picture(path: Path) -> Path:
    return geotiff(path, np.zeros((3, 20, 20), np.uint8), utm_frame(5.0, 20, 20), photometric="rgb")


def _hills(path: Path, **more: Any) -> Path:
    frame = more.pop("frame", utm_frame(5.0, 60, 60))
    rows = more.pop("rows", heights_on(utm_frame(5.0, 60, 60), 60, 60))
    return geotiff(path, rows, frame, **more)


def _text(path: Path, text: str) -> Path:
    path.write_text(text)
    return path


BAD = {
    "no projection": (lambda p: _hills(p, reference=None), {}, "names no projection"),
    "wrong zone": (lambda p: _hills(p, reference="EPSG:32633"), {}, "the site lies outside of it"),
    "southern half": (lambda p: _hills(p, reference="EPSG:32719"), {}, "the site lies outside of it"),
    "degrees for metres": (lambda p: _hills(p, reference="EPSG:4326"), {}, "the site lies outside of it"),
    "unknown projection": (lambda p: _hills(p, reference=None), {"reference": "EPSG:999999"}, "is not a grid that is known"),
    "local projection": (
        lambda p: _hills(p, reference='LOCAL_CS["works",UNIT["metre",1]]'),
        {},
        "cannot be joined|does not reach|is not a grid that is known",
    ),
    "projection said twice": (_hills, {"reference": "EPSG:32633"}, "the file itself says EPSG:26919"),
    "not placed": (lambda p: _hills(p, frame=Affine.identity(), reference=None), {}, "does not say where its points lie"),
    "cells without a size": (
        lambda p: _hills(p, frame=Affine(0, 0, EASTING, 0, 0, NORTHING)),
        {},
        "size of its cells is missing|does not say where",
    ),
    "one point": (lambda p: _hills(p, rows=np.array([[1.0]])), {}, "it has 1 by 1 points"),
    "one row": (lambda p: _hills(p, rows=np.ones((1, 9))), {}, "it has 9 by 1 points"),
    "no height at all": (lambda p: _hills(p, rows=np.full((60, 60), np.nan)), {}, "no point of it has a height"),
    "no datum": (_hills, {"vertical_datum": ""}, "does not say what its heights count from"),
    "unknown unit": (lambda p: _hills(p, unit="fathom"), {}, "in 'fathom'"),
    "mark that nobody declared": (lambda p: _with_gap(p, MIDDLE), {}, "--void-mark -9999"),
    "gap at the border": (
        lambda p: _with_gap(p, (slice(0, 5), slice(0, 5)), nodata=-9999.0),
        {"voids": "fill"},
        "cannot be filled",
    ),
    "picture": (_picture, {}, "3 bands"),
    "empty": (lambda p: _text(p, ""), {}, "cannot be read as a grid"),
    "text": (lambda p: _text(p, "x,y,h\n1,2,3\n"), {}, "cannot be read as a grid"),
    "letters for heights": (
        lambda p: _text(p, "ncols 2\nnrows 2\nxllcorner -1\nyllcorner -1\ncellsize 1\na b\nc d\n"),
        {"reference": "plan"},
        "letters among its heights",
    ),
    "cut short": (lambda p: _cut(_hills(p)), {}, "cannot be read as a grid"),
    "folder": (lambda p: p.mkdir() or p, {}, "is not a file"),
    "missing": (lambda p: p, {}, "no such file"),
}  # fmt: skip


def _cut(path: Path) -> Path:
    path.write_bytes(path.read_bytes()[:3000])
    return path


@pytest.mark.parametrize("name", BAD)
def test_bad_grid_is_refused_in_one_sentence(name: str, tmp_path: Path) -> None:
    make, asked, words = BAD[name]
    path = make(tmp_path / "bad.tif")
    with pytest.raises(SurveyError, match=words) as refused:
        import_grid(path, yard(), wishes(**asked))
    sentence = refused.value.sentence()
    assert sentence.endswith(".")
    assert "\n" not in sentence
    assert refused.value.exit_status in (2, 3)


def test_grid_on_the_earth_needs_an_anchored_plan(tmp_path: Path) -> None:
    with pytest.raises(SurveyError, match="tied to no place"):
        import_grid(sample(tmp_path / "h.tif"), yard(anchored=False), wishes())


def test_file_beside_the_grid_cannot_make_the_library_open_another(tmp_path: Path) -> None:
    # a description of a virtual grid under the name of a real one would be followed by a library that guesses
    other = sample(tmp_path / "other.tif")
    text = f'<VRTDataset rasterXSize="9" rasterYSize="9"><VRTRasterBand dataType="Float32" band="1"><SimpleSource><SourceFilename>{other}</SourceFilename></SimpleSource></VRTRasterBand></VRTDataset>'
    with pytest.raises(SurveyError, match="cannot be read as a grid"):
        import_grid(_text(tmp_path / "h.tif", text), yard(), wishes())


def test_names_of_units_are_all_of_a_known_length() -> None:
    from survey_app.ground.relief.of_design import UNIT_M

    assert set(relief_grid._UNITS.values()) == set(UNIT_M)
