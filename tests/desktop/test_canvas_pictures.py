"""What the plan looks like: plan pictures below it, screens of every density, approved pictures."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from survey_app.desktop.canvas.canvas import PlatCanvas
from survey_app.desktop.canvas.raster import raster_of, read_page, read_picture
from survey_app.desktop.desk import Desk
from survey_app.desktop.palette import DAY, lights
from survey_app.session.document import Document
from survey_app.site.edits import add_plan_picture
from survey_app.site.place import PlanePoint
from survey_app.site.plan_picture import ControlPoint, PlanPicture
from tests.desktop.approved import make
from tests.desktop.plain_drawer import PlainDrawer
from tests.desktop.test_canvas import at_px, near, small_site

_ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(autouse=True)
def by_day():
    lights().choose("day")
    yield
    lights().choose("day")


def striped(path: Path) -> None:
    """A picture of 200 × 100: left half red, right half black."""
    image = QImage(200, 100, QImage.Format.Format_RGB32)
    image.fill(QColor("#ff0000"))
    painter = QPainter(image)
    painter.fillRect(QRectF(100, 0, 100, 100), QColor("#000000"))
    painter.end()
    assert image.save(str(path))


def with_picture(folder: Path, **fields) -> Desk:
    """The small site with a picture whose left edge lies on x = 300 m, a metre a pixel, upright."""
    document = Document(small_site())
    document.save(folder / "yard")
    points = (
        ControlPoint(x_px=0.0, y_px=0.0, position=PlanePoint(x_m=300.0, y_m=150.0)),
        ControlPoint(x_px=200.0, y_px=100.0, position=PlanePoint(x_m=500.0, y_m=50.0)),
    )
    row = PlanPicture(
        id="aerial",
        file=fields.pop("file", "aerial.png"),
        width_px=200,
        height_px=100,
        control_points=points,
        **{"opacity_fraction": 1.0, "greyed": False, **fields},
    )
    desk = Desk(document)
    assert desk.perform(lambda site: add_plan_picture(site, row))
    return desk


def shown(qtbot, desk) -> PlatCanvas:
    canvas = PlatCanvas(desk, drawer=PlainDrawer())
    qtbot.addWidget(canvas)
    canvas.resize(700, 480)
    canvas.show()
    canvas.show_window((0.0, 0.0, 500.0, 200.0))
    QApplication.processEvents()
    return canvas


def test_plan_picture_lies_where_its_points_say(qtbot, tmp_path):
    desk = with_picture(tmp_path)
    (tmp_path / "yard" / "assets").mkdir()
    striped(tmp_path / "yard" / "assets" / "aerial.png")
    canvas = shown(qtbot, desk)

    def colour(x_m, y_m):
        return canvas.grab().toImage().pixelColor(at_px(canvas, x_m, y_m))

    qtbot.waitUntil(lambda: near(colour(350.0, 100.0), QColor("#ff0000")), timeout=5000)
    assert near(colour(450.0, 100.0), QColor("#000000"))
    assert near(colour(291.0, 120.0), DAY.colour("paper"))
    assert near(colour(350.0, 155.0), DAY.colour("paper"))
    canvas.hide_layers({"picture"})
    assert near(colour(350.0, 100.0), DAY.colour("paper"))
    canvas.close()


def test_greyed_plan_picture_shows_half_as_strongly(qtbot, tmp_path):
    desk = with_picture(tmp_path, opacity_fraction=0.5, greyed=True)
    (tmp_path / "yard" / "assets").mkdir()
    striped(tmp_path / "yard" / "assets" / "aerial.png")
    canvas = shown(qtbot, desk)
    half = QColor(*(round(v / 2) for v in DAY.colour("paper").getRgb()[:3]))
    qtbot.waitUntil(lambda: near(canvas.grab().toImage().pixelColor(at_px(canvas, 450.0, 100.0)), half), timeout=5000)
    left = canvas.grab().toImage().pixelColor(at_px(canvas, 350.0, 100.0))
    assert left.saturation() < 20
    canvas.close()


def test_missing_plan_picture_is_a_box_with_its_name(qtbot, tmp_path):
    canvas = shown(qtbot, with_picture(tmp_path))
    image = canvas.grab().toImage()
    x, y = canvas.frame.px(300.0, 100.0)
    column = [image.pixelColor(round(x) + d, round(y) + n).lightness() for d in (-1, 0, 1) for n in range(-20, 20)]
    assert min(column) < 120
    canvas.close()


def test_large_picture_is_painted_from_the_half_that_is_needed(qtbot):
    image = QImage(4096, 2048, QImage.Format.Format_RGB32)
    image.fill(QColor("#204060"))
    raster = raster_of(image, greyed=False, inverted=False)
    assert [level.width() for level in raster.levels] == [4096, 2048, 1024, 512, 256]
    target = QImage(100, 100, QImage.Format.Format_RGB32)
    target.fill(QColor("#ffffff"))
    painter = QPainter(target)
    raster.paint(painter, np.array([[0.02, 0.0, 10.0], [0.0, 0.02, 10.0]]), QRectF(0, 0, 100, 100))
    painter.end()
    assert near(target.pixelColor(50, 30), QColor("#204060"))
    assert near(target.pixelColor(96, 30), QColor("#ffffff"))
    assert near(target.pixelColor(50, 54), QColor("#ffffff"))
    assert raster._level(0.02) == 4
    assert raster._level(0.3) == 1
    assert raster._level(3.0) == 0


def test_files_that_are_no_pictures_are_none(tmp_path):
    wrong = tmp_path / "a.png"
    wrong.write_bytes(b"not a picture")
    assert read_picture(wrong) is None
    assert read_picture(tmp_path / "nothing.png") is None
    assert read_page(wrong, 1, 100.0) is None


def test_page_of_a_pdf_is_drawn_at_its_dots_per_inch(tmp_path):
    import typst

    sheet = tmp_path / "sheet.pdf"
    sheet.write_bytes(
        typst.compile(
            b"#set page(width: 144pt, height: 72pt, margin: 0pt)\n#rect(width: 72pt, height: 72pt, fill: black)"
        )
    )
    page = read_page(sheet, 1, 144.0)
    assert page is not None
    assert (page.width(), page.height()) == (288, 144)
    assert page.pixelColor(60, 70).lightness() < 20
    assert page.pixelColor(240, 70).lightness() > 235
    assert read_page(sheet, 2, 144.0) is None


def on_screen(factor: float, folder: Path) -> QImage:
    """The plan by day on a screen of so many pixels to the unit: a process takes its density from its surroundings."""
    out = folder / f"{factor}.png"
    subprocess.run(
        [sys.executable, "-m", "tests.desktop.approved.make", "day", str(out)],
        cwd=_ROOT,
        check=True,
        env={
            **os.environ,
            "QT_SCALE_FACTOR": str(factor),
            "QT_QPA_PLATFORM": "offscreen",
            "PYTHONPATH": str(_ROOT),
        },
        timeout=60,
    )
    return QImage(str(out))


@pytest.fixture(scope="module")
def plain(tmp_path_factory) -> QImage:
    return on_screen(1.0, tmp_path_factory.mktemp("plain"))


@pytest.mark.parametrize("ratio", [1.5, 2.0])
def test_dense_screens_show_the_same_plan_with_more_pixels(plain, tmp_path, ratio):
    dense = on_screen(ratio, tmp_path)
    assert dense.width() == pytest.approx(plain.width() * ratio, abs=1)
    small = dense.scaled(plain.size(), mode=make.SMOOTH)
    assert make.difference(plain, small) < 0.02
    # as sharp as its pixels allow: an enlarged plain picture is softer
    assert make.sharpness(dense) > 1.15 * make.sharpness(plain.scaled(dense.size(), mode=make.SMOOTH))


@pytest.mark.parametrize("light", ["day", "night"])
def test_plan_looks_as_it_was_approved(qtbot, light):
    approved = QImage(str(make.FOLDER / f"plan-{light}.png"))
    found = make.picture(light)
    assert found.size() == approved.size()
    assert make.difference(found, approved) < 0.01, (
        "look at the picture; if it is right: python -m tests.desktop.approved.make"
    )


def test_difference_sees_a_missing_line(qtbot):
    found = make.picture("day")
    painter = QPainter(found)
    painter.fillRect(QRectF(0, 0, found.width(), found.height() / 8), DAY.colour("paper"))
    painter.end()
    assert make.difference(found, QImage(str(make.FOLDER / "plan-day.png"))) > 0.01
    assert math.isfinite(make.sharpness(found))
