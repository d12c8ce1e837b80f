"""Tools on the real plan: real mouse and keys, what the person sees and what stands on the site."""

from __future__ import annotations

import datetime

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from survey_app.desktop.canvas.canvas import PlatCanvas
from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.desk import Desk
from survey_app.desktop.tools.all_tools import tool_named
from survey_app.session.document import Document
from survey_app.site.new import new_site
from tests.desktop.walk import Walker, events

pytestmark = pytest.mark.desktop

NO = Qt.KeyboardModifier.NoModifier
LEFT = Qt.MouseButton.LeftButton


class Bench:
    """A plan of 900 x 600 px at 20 px for a metre with the origin in its middle."""

    def __init__(self, qtbot) -> None:
        self.desk = Desk(Document(new_site("Yard", as_of=datetime.date(2026, 12, 1))))
        self.canvas = PlatCanvas(self.desk)
        qtbot.addWidget(self.canvas)
        self.canvas.resize(900, 600)
        self.canvas.show()
        self.canvas.tool_wanted.connect(self.take)
        old = self.canvas.frame
        self.canvas.show_frame(Frame(0.0, 0.0, 20.0, old.width_px, old.height_px, 4.0, old.left_px, old.top_px))
        self.canvas.setFocus()

    def take(self, name: str) -> None:
        self.canvas.set_tool(tool_named(name).make(self.desk, self.canvas))

    def px(self, x_m: float, y_m: float) -> QPoint:
        x, y = self.canvas.frame.px(x_m, y_m)
        return QPoint(round(x), round(y))

    def press(self, x_m: float, y_m: float, keys=NO) -> None:
        QTest.mouseMove(self.canvas.viewport(), self.px(x_m, y_m))
        QTest.mouseClick(self.canvas.viewport(), LEFT, keys, self.px(x_m, y_m))
        self.seen()

    def seen(self) -> None:
        """Let the plan be painted, as it is between two things that a hand does."""
        self.canvas.grab()

    def drag(self, start, end, keys=NO) -> None:
        view = self.canvas.viewport()
        QTest.mousePress(view, LEFT, keys, self.px(*start))
        for part in (0.3, 0.6, 1.0):
            x, y = (a + (b - a) * part for a, b in zip(start, end, strict=True))
            QTest.mouseMove(view, self.px(x, y))
        QTest.mouseRelease(view, LEFT, keys, self.px(*end))

    def key(self, *keys: Qt.Key, held=NO) -> None:
        for key in keys:
            QTest.keyClick(self.canvas, key, held)
        self.seen()

    def type(self, text: str) -> None:
        QTest.keyClicks(self.canvas, text)
        self.key(Qt.Key.Key_Return)

    @property
    def structures(self):
        return self.desk.site.design.structures


@pytest.fixture
def bench(qtbot) -> Bench:
    return Bench(qtbot)


def test_a_pole_is_pressed_on_the_plan_and_dragged(bench):
    bench.take("pole")
    bench.press(5, 3)
    at = bench.structures[0].position
    assert (at.x_m, at.y_m) == (5.0, 3.0)
    bench.key(Qt.Key.Key_Escape)
    assert bench.canvas.tool.name == "select"
    bench.drag((5, 3), (9, 6))
    at = bench.structures[0].position
    assert (at.x_m, at.y_m) == (9.0, 6.0)
    assert bench.desk.document.history.labels == ("Add Pole 1", "Move Pole 1 by 5.0 m")


def test_typed_figures_are_taken_by_keys(bench):
    bench.take("building")
    for text in ("0; 0", "90 12", "0 8"):
        bench.type(text)
    bench.key(Qt.Key.Key_Return)
    assert [(p.x_m, p.y_m) for p in bench.structures[0].outline] == [(0, 0), (12, 0), (12, 8)]


def test_the_keyboard_alone_draws_a_building_a_pole_radios_and_their_hop(bench):
    key, ten = Qt.Key, Qt.KeyboardModifier.ShiftModifier
    bench.take("building")
    bench.key(key.Key_Return)
    bench.key(key.Key_Right, held=ten)
    bench.key(key.Key_Return)
    bench.key(key.Key_Up, key.Key_Up, key.Key_Up)
    bench.key(key.Key_Return)
    bench.key(key.Key_Return)
    assert [(p.x_m, p.y_m) for p in bench.structures[0].outline] == [(0, 0), (10, 0), (10, 3)]
    bench.take("access point")
    bench.key(key.Key_Down)
    bench.key(key.Key_Return)
    assert bench.desk.site.design.mounts[0].place.along_m == 2.0
    bench.take("pole")
    bench.key(key.Key_Right, held=ten)
    bench.key(key.Key_Return)
    bench.take("station")
    bench.key(key.Key_Return)
    bench.take("hop")
    bench.key(key.Key_Return)
    bench.key(key.Key_Left, held=ten)
    bench.key(key.Key_Return)
    assert [(hop.access_point, hop.station) for hop in bench.desk.site.design.hops] == [("A1", "S1")]


def test_the_overlay_is_seen_on_the_plan(bench):
    bench.take("rectangle")
    bench.press(0, 0)
    bench.press(10, 0)
    QTest.mouseMove(bench.canvas.viewport(), bench.px(4, 5))
    noted = bench.canvas.recorded()
    assert any("5.0 m deep, 50 m²" in words for words in noted.words())


@pytest.mark.parametrize("seed", [11])
def test_a_walk_on_the_real_plan_raises_nothing(bench, seed):
    def take(name: str):
        bench.take(name)
        return bench.canvas.tool

    walker = Walker(bench.desk, bench.canvas, take)
    for event in events(seed, 250):
        walker.play(event, tool=bench.canvas.tool)
        bench.canvas.refresh()
    assert bench.desk.document.history.labels
