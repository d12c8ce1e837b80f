"""`import`: a relief comes into a site's folder, whole or not at all."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from survey_app.ground.place import place
from survey_app.ground.relief.opening import open_site
from survey_app.session.document import Document
from survey_app.site import edits, read_site, write_site
from survey_app.site.mount import Mount
from survey_app.site.place import PlanePoint, PolePlace
from survey_app.site.structure import Pole
from tests.cli.process import Cli
from tests.ground.relief_files import geotiff, heights_on, utm_frame

TABLE = "x,y,h\n-50,-50,2\n150,-50,4\n-50,150,2\n150,150,4\n"


@pytest.fixture
def yard(cli: Cli, tmp_path: Path) -> Path:
    """Return a site with two poles, one of them with a foot that was written down."""
    folder = tmp_path / "yard"
    assert cli("new", "Yard", "--at", "43.55,-69.6", "--region", "US", "--date", "2026-12-01", "-o", folder).status == 0
    site = read_site(folder)
    for key, base_m in (("free", None), ("fixed", 9.0)):
        pole = Pole(id=key, kind="pole", position=PlanePoint(x_m=50.0, y_m=0.0), base_m=base_m)
        site = edits.add_structure(site, pole).after
    write_site(site, folder)
    return folder


def hills(path: Path) -> Path:
    frame = utm_frame(5.0, 120, 120)
    return geotiff(path, heights_on(frame, 120, 120), frame)


def test_grid_comes_in_and_what_was_understood_is_said(cli: Cli, yard: Path, tmp_path: Path) -> None:
    found = cli("import", yard, hills(tmp_path / "hills.tif"), "--datum", "NAVD88", "--offset", "-20", "--source", "county lidar", "--surveyed", "2024-05-01")  # fmt: skip
    assert (found.status, found.out) == (0, f"{yard / 'site.json'}\n")
    assert "placed by EPSG:26919 NAD83 / UTM zone 19N" in found.err
    assert "-20.000 m are added" in found.err
    design = json.loads((yard / "site.json").read_text())["design"]
    assert design["relief"]["vertical_datum"] == "NAVD88"
    assert [path.name for path in (yard / "assets").iterdir()] == [design["relief"]["file"]]
    placed = place(open_site(yard))
    assert placed.feet_m["fixed"] == 9.0
    assert placed.feet_m["free"] == pytest.approx(float(placed.ground.heights_m(50.0, 0.0)))
    assert -5.0 < placed.feet_m["free"] < 10.0
    assert "county lidar of 2024-05-01" in placed.ground.words


def test_table_comes_in_and_check_stands_on_it(cli: Cli, yard: Path, tmp_path: Path) -> None:
    table = tmp_path / "levels.csv"
    table.write_text(TABLE)
    assert cli("import", yard, table).status == 0
    assert place(open_site(yard)).feet_m == {"free": pytest.approx(3.0), "fixed": 9.0}
    assert cli("check", yard).status in (0, 1)


def test_second_import_takes_the_place_of_the_first(cli: Cli, yard: Path, tmp_path: Path) -> None:
    table = tmp_path / "levels.csv"
    table.write_text(TABLE)
    assert cli("import", yard, hills(tmp_path / "hills.tif"), "--datum", "NAVD88").status == 0
    assert cli("import", yard, table).status == 0
    assert place(open_site(yard)).feet_m["free"] == pytest.approx(3.0)


def test_refused_file_leaves_everything_as_it_was(cli: Cli, yard: Path, tmp_path: Path) -> None:
    before = (yard / "site.json").read_bytes()
    frame = utm_frame(5.0, 120, 120)
    rows = heights_on(frame, 120, 120)
    rows[60, 60] = np.nan
    gap = geotiff(tmp_path / "gap.tif", rows, frame)
    found = cli("import", yard, gap, "--datum", "NAVD88")
    assert (found.status, found.out) == (3, "")
    assert found.err.count("\n") == 1
    assert "1 of 14400 points have no height" in found.err
    assert (yard / "site.json").read_bytes() == before
    assert not (yard / "assets").exists()
    assert cli("import", yard, gap, "--datum", "NAVD88", "--voids", "fill").status == 0


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("{yard}",), "Missing argument"),
        (("{yard}", "no-such.tif"), "there is no such file"),
        (("no-such-site", "{table}"), "no such site"),
        (("{yard}", "{other}"), ".tif, .tiff, .asc, .csv are read"),
        (("{yard}", "{table}", "--margin", "-5"), "--margin"),
        (("{yard}", "{table}", "--voids", "guess"), "--voids"),
        (("{yard}", "{table}", "--surveyed", "May"), "--surveyed"),
        (("{yard}", "{table}", "--crs", "EPSG:4"), "is not a grid that is known here"),
        (("{yard}", "{table}", "--height-unit", "fathom"), "--height-unit"),
    ],
)
def test_wrong_use_ends_with_2_and_writes_nothing(
    cli: Cli, yard: Path, tmp_path: Path, arguments: tuple[str, ...], words: str
) -> None:
    table, other = tmp_path / "levels.csv", tmp_path / "levels.xyz"
    table.write_text(TABLE)
    other.write_text(TABLE)
    before = (yard / "site.json").read_bytes()
    names = {"yard": yard, "table": table, "other": other}
    found = cli("import", *(one.format(**names) for one in arguments))
    assert (found.status, found.out) == (2, "")
    assert words in found.err
    assert (yard / "site.json").read_bytes() == before


def test_site_that_is_open_in_a_window_is_left_alone(cli: Cli, yard: Path, tmp_path: Path) -> None:
    table = tmp_path / "levels.csv"
    table.write_text(TABLE)
    open_there = Document.open(yard)
    try:
        before = (yard / "site.json").read_bytes()
        found = cli("import", yard, table)
        assert found.status == 2
        assert "is open in another window" in found.err
        assert (yard / "site.json").read_bytes() == before
    finally:
        open_there.close()


def test_scans_come_in_from_several_files_all_or_none(cli: Cli, yard: Path, tmp_path: Path) -> None:
    site = read_site(yard)
    for key in ("m1", "m2"):
        site = edits.add_mount(site, Mount(id=key, structure="free", place=PolePlace(kind="pole"), height_m=4.0)).after
    write_site(site, yard)
    tables = []
    for key, level in (("m1", "-71,5"), ("m2", "-80")):
        table = tmp_path / f"{key}.csv"
        table.write_text(f"mount;time;channel;level_dbm;busy_percent\n{key};2026-11-20T12:00+00:00;36;{level};12\n")
        tables.append(table)
    found = cli("import", yard, *tables, "--by", "Kim")
    assert (found.status, found.out) == (0, f"{yard / 'site.json'}\n")
    assert "A scan at m1 of 2026-11-20" in found.err
    assert [(row.mount, row.by, row.rows[0].level_dbm) for row in read_site(yard).evidence.scans] == [
        ("m1", "Kim", -71.5),
        ("m2", "Kim", -80.0),
    ]
    tables[1].write_text("mount;time;channel;level_dbm\nm9;2026-11-20T12:00;36;-80\n")
    found = cli("import", yard, *tables)
    assert found.status == 3
    assert "the site has no mount 'm9'" in found.err
    assert len(read_site(yard).evidence.scans) == 2


def test_scan_without_time_asks_for_it(cli: Cli, yard: Path, tmp_path: Path) -> None:
    table = tmp_path / "scan.csv"
    table.write_text("channel,level\n36,-80\n")
    found = cli("import", yard, table, "--mount", "m1")
    assert found.status == 3
    assert "nothing says when it was taken; say so with --taken" in found.err
