"""Tables of spot heights: what is understood, and refusals that name the line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from survey_app.errors import SurveyError
from survey_app.exchange.imported import ReliefWishes
from survey_app.exchange.spot_heights import import_spots
from survey_app.ground.plane import Plane, to_geographic
from survey_app.ground.relief.of_design import surface_of
from survey_app.site import edits
from tests.exchange.test_relief_grid import TURN_DEG, in_utm, yard
from tests.ground.relief_files import ANCHOR, UTM

CORNERS = ((-50.0, -50.0, 2.0), (150.0, -50.0, 4.0), (-50.0, 150.0, 2.0), (150.0, 150.0, 4.0))


def table(path: Path, text: str, encoding: str = "utf-8") -> Path:
    path.write_bytes(text.encode(encoding))
    return path


def ground(path: Path, **asked: Any) -> Any:
    found = import_spots(path, yard(), ReliefWishes(**asked))
    assert found.data == b""
    return surface_of(edits.set_relief(yard(), found.relief).after.design)


def _rows(head: str, rows: Any, parted: str = ",") -> str:
    return "\n".join([head, *(parted.join(f"{value:.9f}" for value in row) for row in rows)]) + "\n"


@pytest.mark.parametrize(
    "form", ["comma", "semicolon", "decimal comma", "tab", "bom", "blank lines", "other names and more columns"]
)
def test_metres_of_the_plan_are_read_in_any_usual_form(tmp_path: Path, form: str) -> None:
    parted = {"semicolon": ";", "decimal comma": ";", "tab": "\t"}.get(form, ",")
    text = _rows(parted.join("xyh"), CORNERS, parted)
    if form == "decimal comma":
        text = text.replace(".", ",")
    if form == "blank lines":
        text = "\n" + text.replace("\n", "\n\n")
    if form == "other names and more columns":
        text = "\n".join(
            ["Point,Easting,Northing,Height,Note", *(f"p{n},{x},{y},{h},kerb" for n, (x, y, h) in enumerate(CORNERS))]
        )
    surface = ground(table(tmp_path / "t.csv", ("\ufeff" if form == "bom" else "") + text))
    assert surface.heights_m(50.0, 20.0) == pytest.approx(3.0)


def test_degrees_and_a_map_grid_come_to_the_same_ground(tmp_path: Path) -> None:
    x, y, h = (np.array(one) for one in zip(*CORNERS, strict=True))
    lat, lon = to_geographic(Plane(*ANCHOR, TURN_DEG), x, y)
    degrees = ground(table(tmp_path / "d.csv", _rows("lat,lon,h", zip(lat, lon, h, strict=True))))
    utm = ground(table(tmp_path / "u.csv", _rows("x,y,h", zip(*in_utm(x, y), h, strict=True))), reference=UTM)
    for surface in (degrees, utm):
        assert surface.heights_m(50.0, 20.0) == pytest.approx(3.0, abs=1e-3)


def test_feet_offset_and_how_well_they_are_known(tmp_path: Path) -> None:
    text = _rows("x,y,h,sigma", [(*row, 0.05 * n) for n, row in enumerate(CORNERS)])
    found = import_spots(table(tmp_path / "t.csv", text), yard(), ReliefWishes(height_unit="foot", offset_m=10.0))
    assert [point.height_m for point in found.relief.points] == pytest.approx([10 + h * 0.3048 for _, _, h in CORNERS])
    assert [point.known.sigma_m for point in found.relief.points] == pytest.approx([0.0, 0.05, 0.1, 0.15])
    surface = surface_of(edits.set_relief(yard(), found.relief).after.design)
    assert surface.sigma_m == pytest.approx(0.15), "no better than its worst point"
    plain = import_spots(table(tmp_path / "p.csv", _rows("x,y,h", CORNERS)), yard(), ReliefWishes())
    assert (
        surface_of(edits.set_relief(yard(), plain.relief).after.design).sigma_m == yard().design.defaults.survey_sigma_m
    )


def test_things_beyond_the_spot_heights_are_counted(tmp_path: Path) -> None:
    site = yard(poles=((0.0, 0.0), (400.0, 0.0)))
    found = import_spots(table(tmp_path / "t.csv", _rows("x,y,h", CORNERS)), site, ReliefWishes())
    assert any("1 of 2 drawn points lie outside" in remark for remark in found.remarks)


GOOD = _rows("x,y,h", CORNERS)
BAD = {
    "empty": ("", "is empty"),
    "head only": ("x,y,h\n", "it has 0 spot heights"),
    "two points": ("x,y,h\n0,0,1\n1,1,1\n", "it has 2 spot heights"),
    "no head": ("0,0,1\n1,1,1\n2,3,1\n", "name them x,y,h or lat,lon,h"),
    "no height": ("x,y\n0,0\n", "name them x,y,h or lat,lon,h"),
    "mixed head": ("x,lat,h\n0,0,1\n", "name them x,y,h or lat,lon,h"),
    "column twice": ("x,y,h,z\n0,0,1,1\n", "two columns hold 'h'"),
    "thousands": ("x;y;h\n0;0;1,500.5\n1;1;1\n0;1;1\n", "line 2: '1,500.5' is no number for h"),
    "word": (GOOD.replace("\n150", "\nhere", 1), "line 3: 'here.000000000' is no number for x"),
    "not a number": ("x,y,h\n0,0,nan\n1,1,1\n0,1,1\n", "line 2: 'nan' is no number for h"),
    "row cut short": ("x,y,h\n0,0,1\n1,1\n0,1,1\n", "line 3: '' is no number for h"),
    "on one line": ("x,y,h\n0,0,1\n1,1,2\n2,2,3\n", "all spot heights lie on one line"),
    "one place twice": ("x,y,h\n0,0,1\n9,1,2\n0,0,3\n1,9,4\n", "spot heights 1 and 3 stand at one place"),
    "no latitude": ("lat,lon,h\n91,0,1\n1,1,2\n2,3,3\n", "line 2: latitude 91"),
    "no ground": ("x,y,h\n0,0,99999\n1,1,2\n2,3,3\n", "line 2: a height of 99999 lies where no ground lies"),
    "map grid for plan": ("x,y,h\n451536,4822057,1\n1,1,2\n2,3,3\n", "line 2: (451536, 4.82206e+06) lies beyond the plan"),
    "sigma below zero": ("x,y,h,sigma\n0,0,1,-1\n1,1,2,1\n2,3,3,1\n", "line 2: a standard deviation of -1 m is none"),
    "bytes": ("x,y,h\n0,0,\x00\n", "line 2"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_bad_table_is_refused_in_one_sentence(name: str, tmp_path: Path) -> None:
    text, words = BAD[name]
    with pytest.raises(SurveyError) as refused:
        import_spots(table(tmp_path / "t.csv", text), yard(), ReliefWishes())
    sentence = refused.value.sentence()
    assert words in sentence
    assert "\n" not in sentence
    assert sentence.endswith(".")


def test_other_bad_files_and_wishes_are_refused(tmp_path: Path) -> None:
    cases = [
        (table(tmp_path / "u.csv", GOOD, "utf-16"), {}, "is no text in UTF-8"),
        (tmp_path, {}, "is not a file"),
        (tmp_path / "none.csv", {}, "is not a file"),
        (table(tmp_path / "big.csv", GOOD + " " * (5 * 2**20)), {}, "is larger than 4 MiB"),
        (table(tmp_path / "many.csv", "x,y,h\n" + "1,2,3\n" * 20_001), {}, "more than 20,000 rows"),
        (table(tmp_path / "d.csv", "lat,lon,h\n1,2,3\n2,3,4\n3,5,5\n"), {"reference": UTM}, "in degrees already"),
        (table(tmp_path / "g.csv", GOOD), {"reference": "EPSG:4326"}, "is not a map grid"),
    ]
    for path, asked, words in cases:
        with pytest.raises(SurveyError, match=words):
            import_spots(path, yard(), ReliefWishes(**asked))


def test_site_outside_of_its_spot_heights_is_told(tmp_path: Path) -> None:
    with pytest.raises(SurveyError, match="the site lies outside of its spot heights"):
        import_spots(table(tmp_path / "t.csv", GOOD), yard(poles=((900.0, 900.0),)), ReliefWishes())
