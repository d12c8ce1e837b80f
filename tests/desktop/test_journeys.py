"""Journeys through the real window: mouse, keys, and what a person then sees and holds in the hand."""

from __future__ import annotations

import datetime
import math
import re
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from geographiclib.geodesic import Geodesic
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from survey_app.desktop.shell.application import Judge
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.window import Window
from survey_app.desktop.tools.grips import grips_of
from survey_app.gear.catalogue import load_catalogue
from survey_app.session.document import Document
from survey_app.site.edits import add, add_gear, join
from survey_app.site.file import read_site
from survey_app.site.mount import Mount
from survey_app.site.new import new_site
from survey_app.site.place import Anchor, PlanePoint, PolePlace
from survey_app.site.radio import Radio
from survey_app.site.site import Site
from survey_app.site.structure import Pole
from tests.desktop.hand import Hand

pytestmark = pytest.mark.desktop

LAT, LON = 56.3, 11.8
SHIFT = Qt.KeyboardModifier.ShiftModifier


def _window(qtbot: Any, document: Document) -> Window:
    window = Window(document, Judge(), Preferences())
    window.choosers.unsaved = lambda _name: "discard"  # type: ignore[method-assign]
    window.resize(1600, 1000)
    window.show()
    qtbot.addWidget(window)
    return window


@pytest.fixture
def hand(qtbot: Any) -> Iterator[Hand]:
    """A hand at a window with an empty anchored site."""
    site = new_site(
        "Quarry yard",
        as_of=datetime.date(2026, 12, 1),
        anchor=Anchor(lat_deg=LAT, lon_deg=LON),
        region="EU",
        country="DK",
    )
    window = _window(qtbot, Document.new(site))
    hand = Hand(window, qtbot)
    hand.look(60, 40, 5.0)
    yield hand
    window.close()


def _draw_yard(hand: Hand) -> None:
    """Three buildings, two poles, a camera, radios and their hop, all by hand."""
    hand.key(Qt.Key.Key_B)
    for x, y in ((0, 0), (20, 0), (20, 12), (0, 12)):
        hand.click(x, y, SHIFT)
    hand.key(Qt.Key.Key_Return)
    for corners in (((40, 0), (55, 0), (55, 10), (40, 10)), ((80, 40), (95, 40), (95, 55), (80, 55))):
        for x, y in corners:
            hand.click(x, y)
        hand.key(Qt.Key.Key_Return)
    hand.key(Qt.Key.Key_P)
    hand.click(30, 60)
    hand.click(110, 20)
    hand.key(Qt.Key.Key_A)
    hand.click(30, 60)
    hand.key(Qt.Key.Key_N)
    hand.click(110, 20)
    hand.key(Qt.Key.Key_H)
    hand.drag((110, 20), (70, 40), (30, 60))
    hand.key(Qt.Key.Key_C)
    hand.drag((110, 20), (100, 10), (90, 5))


def test_from_an_empty_plane_to_a_sheet_whose_bearing_is_that_of_the_ellipsoid(hand: Hand, tmp_path: Path) -> None:
    _draw_yard(hand)
    design = hand.window.desk.site.design
    kinds = [structure.kind for structure in design.structures]
    assert kinds == ["building", "building", "building", "pole", "pole"]
    assert (len(design.cameras), len(design.radios), len(design.hops)) == (1, 2, 1)
    hand.settle()
    hand.window.choosers.folder_to_save = lambda _folder, _name: tmp_path / "yard"  # type: ignore[method-assign]
    hand.window.menus.action("site.save").trigger()
    assert hand.window.desk.document.is_saved
    assert read_site(tmp_path / "yard").design == design
    hand.window.menus.action("paper.mounting").trigger()
    preview = hand.window.preview
    hand.qtbot.waitUntil(lambda: preview.page_count >= 2 and not preview.is_busy, timeout=60_000)
    preview.ask_file = lambda _parent, _suggested: tmp_path / "sheets.pdf"
    preview.save_pdf()
    pages = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(tmp_path / "sheets.pdf")]
    placed = hand.window.desk.placed
    (hop,) = design.hops
    spots = {radio.id: placed.mounts[radio.mount] for radio in design.radios}
    a, s = spots[hop.access_point], spots[hop.station]
    there = Geodesic.WGS84.Inverse(a.lat_deg, a.lon_deg, s.lat_deg, s.lon_deg)["azi1"] % 360.0
    back = Geodesic.WGS84.Inverse(s.lat_deg, s.lon_deg, a.lat_deg, a.lon_deg)["azi1"] % 360.0
    for bearing in (there, back):
        words = f"{bearing:.1f}".replace(".", r"\.")
        assert any(re.search(rf"(?<!\d){words}", page) for page in pages), (words, pages[0][:400])


def test_undoing_everything_leads_back_to_the_very_first_site(hand: Hand) -> None:
    desk = hand.window.desk
    first = desk.site
    _draw_yard(hand)
    drawn = desk.site
    assert drawn is not first
    steps = len(desk.document.history.labels)
    for _ in range(steps):
        hand.window.menus.action("edit.undo").trigger()
    assert desk.site is first
    for _ in range(steps):
        hand.window.menus.action("edit.redo").trigger()
    assert desk.site is drawn


def test_labels_on_the_plan_carry_the_numbers_of_the_assessment(hand: Hand) -> None:
    _draw_yard(hand)
    hand.settle()
    (hop,) = hand.window.desk.assessment.hops
    words = hand.canvas.recorded().words()
    bearing = f"{hop.ends.access_point.bearing_true_deg:.1f}°"
    distance = f"{hop.ground_distance_m:.1f} m"
    assert any(bearing in word and distance in word for word in words), words


def _pair() -> Site:
    """A sector and a panel at the same height, the panel 150 m to the east."""
    catalogue = load_catalogue()
    site = new_site(
        "Test range", as_of=datetime.date(2026, 12, 1), anchor=Anchor(lat_deg=LAT, lon_deg=LON), region="EU"
    )
    for gear in ("clove-s20", "bowline-p16"):
        site = add_gear(site, catalogue.find(gear)).after
    for key, role, gear, x_m in (("A1", "access_point", "clove-s20", 0.0), ("S1", "station", "bowline-p16", 150.0)):
        pole = Pole(kind="pole", id=f"P-{key}", position=PlanePoint(x_m=x_m, y_m=0.0), height_m=10.0)
        mount = Mount(id=f"M-{key}", structure=pole.id, place=PolePlace(kind="pole"), height_m=9.0)
        radio = Radio(id=key, role=role, gear=gear, mount=mount.id, channel=100 if role == "access_point" else None)
        for thing in (pole, mount, radio):
            site = add(site, thing).after
    return join(site, "A1", "S1").after


def _sector_loss_db(turn_deg: float) -> float:
    """Return what the far end on the horizon loses of the sector of `_pair`, from an independent library.

    [F1336] ITU-R F.1336-5 (2019), recommends 3.1.2 and 3.5, as pycraf has them: 20 dBi, 90 by 4 degrees, 2 degrees of
    built-in downtilt that the bracket takes up. Within the main lobe the average pattern is the peak one.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it and its dependencies announce their own deprecations at import
        from astropy import units
        from pycraf import antenna
    deg, one = units.deg, units.dimensionless_unscaled
    gain = antenna.imt_advanced_sectoral_avg_sidelobe_pattern_400_to_6000_mhz(
        turn_deg * deg,
        0.0 * deg,
        20.0 * antenna.imt.cnv.dB,
        90.0 * deg,
        4.0 * deg,
        *(0.7 * one, 0.8 * one, 0.7 * one),
        tilt_m=-2.0 * deg,
        tilt_e=2.0 * deg,
    )
    return 20.0 - float(gain.value)


@pytest.mark.parametrize("turn_deg", [30.0, 45.0])
def test_turning_a_sector_by_its_handle_shows_the_loss_of_the_recommendation(qtbot: Any, turn_deg: float) -> None:
    loss_db = _sector_loss_db(turn_deg)
    window = _window(qtbot, Document.new(_pair()))
    hand = Hand(window, qtbot)
    hand.settle()
    hand.look(60, 0, 5.0)
    hand.click(0, 0)
    if "A1" not in window.desk.selection:
        window.desk.select(["A1"])
    hand.settle()
    (grip,) = [one for one in grips_of(window.desk, hand.canvas.px_per_m) if one.kind == "boresight"]
    assert grip.at[1] == pytest.approx(0.0, abs=0.5)  # it looks east, at its station
    view, reach = hand.canvas.viewport(), grip.at[0]
    hand.move(*grip.at)
    QTest.mousePress(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, hand.px(*grip.at))
    for part in (0.4, 0.8, 1.0):
        angle = math.radians(90.0 + turn_deg * part)
        there = hand.px(reach * math.sin(angle), reach * math.cos(angle))
        QTest.mouseMove(view, there)
    QTest.keyClicks(hand.canvas, f"{90.0 + turn_deg:.1f}")
    words = " ".join(hand.canvas.recorded().words())
    shown = re.search(r"S1 loses ([0-9.]+) dB", words)
    assert shown is not None, words
    assert float(shown[1]) == pytest.approx(loss_db, abs=0.06)
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, there)
    hand.settle()
    end = window.desk.rows.hops["H1"].ends.access_point
    assert end.pointing_loss_db == pytest.approx(loss_db, abs=0.005)
    assert window.desk.document.history.undo_label == f"Aim A1 at {90.0 + turn_deg:.1f}° true"
    window.close()
