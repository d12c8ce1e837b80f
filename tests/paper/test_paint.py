"""The black painter: metres become millimetres the right way up, nothing is coloured, nothing too thin for a copy."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from survey_app.drawing.plan import plan_clip
from survey_app.drawing.roles import PENS, Role
from survey_app.drawing.shapes import Arc, Disc, Drawing, Path, Symbol, Words
from survey_app.paper.paint import BLACK, black_picture
from tests.paper.sample_views import ACCESS_POINT, STATION

SVG = "{http://www.w3.org/2000/svg}"


def painted(*shapes, window=(0.0, 0.0, 40.0, 20.0), mm_per_m=2.0) -> ET.Element:
    return ET.fromstring(black_picture(Drawing(tuple(shapes), window, mm_per_m))["svg"])


def numbers(element: ET.Element) -> list[float]:
    return [float(n) for n in re.findall(r"-?\d+\.?\d*", element.get("d", ""))]


def test_up_on_the_plane_is_up_on_paper():
    (line,) = painted(Path(Role.HOP, ((5.0, 5.0), (5.0, 15.0)))).iter(f"{SVG}path")
    assert numbers(line) == [10.0, 30.0, 10.0, 10.0]


def test_symbols_keep_their_size_whatever_the_scale():
    symbol = Symbol("x", (10.0, 10.0), (Path(Role.FINE, ((0.0, 0.0), (0.0, 2.0))),), turn_deg=90.0)
    for mm_per_m in (0.5, 4.0):
        (line,) = painted(symbol, mm_per_m=mm_per_m).iter(f"{SVG}path")
        x0, y0, x1, y1 = numbers(line)
        assert (x1 - x0, y1 - y0) == pytest.approx((2.0, 0.0), abs=0.011)


def test_arc_begins_at_its_bearing_and_sweeps_clockwise():
    (line,) = painted(Arc(Role.TURN, (10.0, 10.0), 5.0, 0.0, 90.0)).iter(f"{SVG}path")
    x0, y0, _, _, _, large, clockwise, x1, y1 = numbers(line)
    assert (x0, y0, x1, y1) == pytest.approx((20.0, 10.0, 30.0, 20.0))
    assert (large, clockwise) == (0, 1)


def test_neighbours_of_one_role_become_one_element_but_fills_cover_what_is_below():
    strokes = [Path(Role.HATCH, ((float(i), 0.0), (float(i), 5.0))) for i in range(30)]
    assert len(list(painted(*strokes).iter(f"{SVG}path"))) == 1
    discs = [Disc(Role.SOLID, (float(i), 5.0), 1.0) for i in range(3)]
    assert len(list(painted(*discs).iter(f"{SVG}path"))) == 3


@pytest.mark.parametrize("scene", [STATION.plan, ACCESS_POINT.plan], ids=["station", "hub"])
def test_clip_is_painted_in_black_and_white_with_no_line_under_a_fifth_of_a_millimetre(scene):
    drawing, _ = plan_clip(scene, 88.0, 48.0)
    root = ET.fromstring(black_picture(drawing)["svg"])
    for element in root.iter(f"{SVG}path"):
        assert {element.get("fill"), element.get("stroke")} <= {"#000", "#fff", None}
        assert element.get("stroke-width") is None or float(element.get("stroke-width")) >= 0.2


def test_every_role_has_a_pen_whose_inks_the_palette_knows():
    assert set(PENS) == set(Role)
    assert {pen.ink for pen in PENS.values()} | {pen.fill for pen in PENS.values() if pen.fill} <= set(BLACK)


def test_words_are_set_from_the_left_end_of_their_baseline():
    def start_of(align: str) -> tuple[float, float]:
        words = Words(Role.WORDS, (10.0, 10.0), "307.6°", 2.0, align=align)
        (row,) = black_picture(Drawing((words,), (0.0, 0.0, 40.0, 20.0), 2.0))["words"]
        return row[1], row[2]

    assert start_of("start") == (20.0, 21.0)
    # at 20 mm these letters are 84.2 mm wide, so at 2 mm a tenth of that
    assert start_of("middle") == pytest.approx((20.0 - 4.21, 21.0), abs=0.02)
    assert start_of("end") == pytest.approx((20.0 - 8.42, 21.0), abs=0.02)
