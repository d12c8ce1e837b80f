"""The plan on the screen, driven with real wheel, mouse and key events."""

from __future__ import annotations

import datetime

import numpy as np
import pytest
from pyproj import CRS, Transformer
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QImage, QKeyEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from survey_app.desktop.canvas.canvas import PlatCanvas
from survey_app.desktop.desk import Desk
from survey_app.desktop.palette import DAY, NIGHT, lights
from survey_app.desktop.tools.tool import Overlay, Tool
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path
from survey_app.session.document import Document
from survey_app.site.edits import move_by
from survey_app.site.mount import Mount
from survey_app.site.place import Anchor, GeoPoint, PlanePoint, PolePlace
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Design, Landmark, Plane, Site
from survey_app.site.structure import Building, Pole
from tests.desktop.plain_drawer import PlainDrawer

_ANCHOR = Anchor(lat_deg=52.1, lon_deg=4.3, rotation_deg=12.0)


def small_site() -> Site:
    poles = {"p1": (0.0, 0.0), "p2": (200.0, 100.0)}
    outline = ((40.0, 20.0), (80.0, 20.0), (80.0, 60.0), (40.0, 60.0))
    return Site(
        design=Design(
            name="Test yard",
            as_of=datetime.date(2026, 12, 1),
            invented=True,
            plane=Plane(anchor=_ANCHOR),
            structures=(
                *(
                    Pole(kind="pole", id=key, position=PlanePoint(x_m=x, y_m=y), height_m=6.0)
                    for key, (x, y) in poles.items()
                ),
                Pole(kind="pole", id="p3", position=GeoPoint(lat_deg=52.1011, lon_deg=4.3014), height_m=6.0),
                Building(
                    kind="building",
                    id="shed",
                    outline=tuple(PlanePoint(x_m=x, y_m=y) for x, y in outline),
                    eaves_height_m=5.0,
                ),
            ),
            mounts=tuple(
                Mount(id=f"m{n}", structure=f"p{n}", place=PolePlace(kind="pole"), height_m=5.0) for n in (1, 2)
            ),
            radios=(
                Radio(id="a1", mount="m1", role="access_point", gear="clove-s20"),
                Radio(id="s1", mount="m2", role="station", gear="bowline-p16"),
            ),
            hops=(Hop(id="h1", access_point="a1", station="s1"),),
            landmarks=(Landmark(id="tower", name="Tower", position=PlanePoint(x_m=2500.0, y_m=0.0)),),
        )
    )


class Noting(Tool):
    """A tool that notes what reaches it."""

    name = "noting"

    def __init__(self, desk, plan):
        super().__init__(desk, plan)
        self.heard = []
        self.takes_keys = False
        self.takes_text = False

    def press(self, pointer):
        self.heard.append(("press", pointer))

    def move(self, pointer):
        self.heard.append(("move", pointer))

    def release(self, pointer):
        self.heard.append(("release", pointer))

    def double(self, pointer):
        self.heard.append(("double", pointer))

    def key(self, name, *, shift=False, control=False, alt=False):
        if self.takes_keys:
            self.heard.append(("key", name))
        return self.takes_keys

    def typed(self, text):
        if self.takes_text:
            self.heard.append(("typed", text))
            self.overlay = Overlay(typed=self.overlay.typed + text)
        return self.takes_text


@pytest.fixture
def by_day():
    lights().choose("day")
    yield
    lights().choose("day")


@pytest.fixture
def desk(qtbot):
    return Desk(Document(small_site()))


@pytest.fixture
def canvas(qtbot, desk, by_day):
    made = PlatCanvas(desk, drawer=PlainDrawer())
    qtbot.addWidget(made)
    made.resize(700, 480)
    made.show()
    qtbot.waitExposed(made)
    QApplication.processEvents()
    yield made
    made.close()


def wheel(canvas, at, notches, keys=Qt.KeyboardModifier.NoModifier):
    event = QWheelEvent(
        QPointF(at), canvas.mapToGlobal(QPointF(at)), QPoint(), QPoint(0, 120 * notches),
        Qt.MouseButton.NoButton, keys, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(canvas.viewport(), event)


def picture(canvas) -> QImage:
    return canvas.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)


def near(colour: QColor, other: QColor) -> bool:
    return max(abs(a - b) for a, b in zip(colour.getRgb()[:3], other.getRgb()[:3], strict=True)) <= 6


def at_px(canvas, x_m, y_m) -> QPoint:
    x, y = canvas.frame.px(x_m, y_m)
    return QPoint(round(x), round(y))


# -- where things are


def test_whole_site_is_in_view_at_first_without_the_far_landmark(canvas):
    x0, y0, x1, y1 = canvas.window_m
    assert x0 < 0.0 < 200.0 < x1
    assert y0 < 0.0 < 100.0 < y1
    assert x1 < 1000.0


def test_pyqtgraphs_own_box_has_the_same_idea_of_where_the_plane_lies(canvas):
    for step in (1.0, 3.0, 40.0):
        canvas.zoom(step, 321.0, 123.0)
        canvas.repaint()
        found = canvas.box.mapViewToScene(QPointF(40.0, 20.0))
        assert (found.x(), found.y()) == pytest.approx(canvas.frame.px(40.0, 20.0), abs=0.05)


def test_what_is_anchored_stands_where_pyproj_puts_it(canvas):
    noted = {one.subject: one.points_px[0] for one in canvas.recorded().symbols("pole")}
    plane = CRS.from_proj4(f"+proj=aeqd +lat_0={_ANCHOR.lat_deg} +lon_0={_ANCHOR.lon_deg} +ellps=WGS84 +units=m")
    east, north = Transformer.from_crs("EPSG:4979", plane, always_xy=True).transform(4.3014, 52.1011)
    turn = np.radians(_ANCHOR.rotation_deg)
    # plan north points 12° to the east of true north
    x_m, y_m = east * np.cos(turn) - north * np.sin(turn), east * np.sin(turn) + north * np.cos(turn)
    zero = noted["p1"]
    assert noted["p3"][0] - zero[0] == pytest.approx(x_m * canvas.px_per_m, abs=0.01)
    assert zero[1] - noted["p3"][1] == pytest.approx(y_m * canvas.px_per_m, abs=0.01)


def test_wheel_enlarges_at_the_pointer(canvas):
    at = QPoint(500, 150)
    before, scale = canvas.frame.m(500.0, 150.0), canvas.px_per_m
    wheel(canvas, at, 1)
    wheel(canvas, at, 2)
    assert canvas.px_per_m == pytest.approx(scale * 1.2**3)
    assert canvas.frame.m(500.0, 150.0) == pytest.approx(before, abs=1e-9)
    wheel(canvas, at, -3)
    assert canvas.px_per_m == pytest.approx(scale)


def test_middle_button_and_space_bar_move_the_plane(canvas, desk):
    tool = Noting(desk, canvas)
    canvas.set_tool(tool)
    point = canvas.frame.m(300.0, 200.0)
    QTest.mousePress(canvas.viewport(), Qt.MouseButton.MiddleButton, pos=QPoint(300, 200))
    QTest.mouseMove(canvas.viewport(), QPoint(340, 190))
    QTest.mouseRelease(canvas.viewport(), Qt.MouseButton.MiddleButton, pos=QPoint(340, 190))
    assert canvas.frame.m(340.0, 190.0) == pytest.approx(point, abs=1e-9)
    QTest.keyPress(canvas, Qt.Key.Key_Space)
    QTest.mousePress(canvas.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(340, 190))
    QTest.mouseMove(canvas.viewport(), QPoint(300, 200))
    QTest.mouseRelease(canvas.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(300, 200))
    QTest.keyRelease(canvas, Qt.Key.Key_Space)
    assert canvas.frame.m(300.0, 200.0) == pytest.approx(point, abs=1e-9)
    assert not [event for event, _ in tool.heard if event == "press"]


def test_keys_zoom_pan_and_come_home(canvas):
    home = canvas.frame
    QTest.keyClicks(canvas, "+")
    assert canvas.px_per_m == pytest.approx(home.px_per_m * 1.5)
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    assert canvas.frame.x_m > home.x_m
    QTest.keyClick(canvas, Qt.Key.Key_Up)
    assert canvas.frame.y_m > home.y_m
    QTest.keyClicks(canvas, "-")
    assert canvas.px_per_m == pytest.approx(home.px_per_m)
    QTest.keyClick(canvas, Qt.Key.Key_Home)
    assert canvas.frame == home
    QTest.keyClicks(canvas, "+0")
    assert canvas.frame == home


def test_scale_reaches_from_a_kilometre_to_ten_centimetres(canvas):
    while canvas.window_m[2] - canvas.window_m[0] < 1000.0:
        wheel(canvas, QPoint(350, 240), -1)
    while canvas.window_m[2] - canvas.window_m[0] > 0.1:
        wheel(canvas, QPoint(350, 240), 1)
    canvas.repaint()
    assert canvas.recorded().words()


def test_resizing_keeps_the_whole_site_until_somebody_moves_the_view(canvas):
    canvas.resize(1000, 700)
    x0, _, x1, _ = canvas.window_m
    assert x0 < 0.0
    assert x1 > 200.0
    canvas.zoom(4.0)
    middle, scale = canvas.middle_m, canvas.px_per_m
    canvas.resize(700, 480)
    assert canvas.middle_m == middle
    assert canvas.px_per_m == scale


def test_what_is_wanted_comes_into_view(canvas, desk):
    canvas.show_frame(canvas.frame.panned(5000.0, 0.0))
    desk.show(("h1",))
    x0, y0, x1, y1 = canvas.window_m
    canvas.show_frame(canvas.frame.panned(5000.0, 0.0))
    desk.show(("p2",))
    x0, y0, x1, y1 = canvas.window_m
    assert x0 < 200.0 < x1
    assert y0 < 100.0 < y1
    assert desk.selection == ("p2",)


def test_scale_is_told_as_one_to_so_many(canvas, qtbot):
    with qtbot.waitSignal(canvas.scale_changed) as told:
        canvas.zoom(1.25)
    assert told.args[0] == pytest.approx(4000.0 / canvas.px_per_m)


# -- what is seen


def test_outline_is_painted_where_its_metres_are(canvas):
    canvas.zoom(2.0)
    image = picture(canvas)
    left, middle, outside = (at_px(canvas, *p) for p in ((40.0, 40.0), (60.0, 50.0), (60.0, 75.0)))
    assert near(image.pixelColor(middle), DAY.colour("building"))
    assert near(image.pixelColor(outside), DAY.colour("paper"))
    darkest = min(image.pixelColor(left + QPoint(d, 0)).lightness() for d in (-1, 0, 1))
    assert darkest < 90


def test_night_has_dark_paper_at_once(canvas):
    lights().choose("night")
    image = picture(canvas)
    assert near(image.pixelColor(at_px(canvas, 60.0, 75.0)), NIGHT.colour("paper"))
    assert near(image.pixelColor(at_px(canvas, 50.0, 55.0)), NIGHT.colour("building"))


def test_frame_north_and_scale_are_always_there(canvas):
    for factor in (1.0, 30.0, 0.001):
        canvas.zoom(factor)
        words = canvas.recorded().words()
        assert "N" in words
        assert any(word.endswith(" m") for word in words)
        assert any(word.endswith((" E", " W")) for word in words)
        assert canvas.recorded().symbols("north")


def test_pointer_shows_its_coordinates_and_ticks_on_all_margins(canvas):
    QTest.mouseMove(canvas.viewport(), at_px(canvas, 100.0, 50.0))
    noted = canvas.recorded()
    x_m, y_m = canvas.frame.m(*[float(v) for v in at_px(canvas, 100.0, 50.0).toTuple()])
    assert any(word.startswith(f"{x_m:.1f}"[:-2]) and word.endswith(" N") for word in noted.words()), noted.words()
    assert len([one for one in noted.of_role(Role.HOVER) if one.kind == "path"]) == 4
    (cross,) = noted.symbols("pointer")
    assert cross.points_px[0] == pytest.approx(canvas.frame.px(x_m, y_m), abs=0.01)


def test_selection_is_marked_without_making_the_plan_again(canvas, desk):
    canvas.repaint()
    made = canvas.sheet.made
    clear = picture(canvas).pixelColor(at_px(canvas, 36.9, 40.0))
    desk.select(["shed"])
    assert canvas.sheet.made == made
    marked = picture(canvas)
    assert canvas.sheet.made == made
    beside = marked.pixelColor(at_px(canvas, 40.0, 40.0) - QPoint(4, 0))
    assert near(clear, DAY.colour("paper"))
    assert beside.blue() < 140 < beside.red()
    desk.select(["a1"])
    assert len(canvas.recorded().symbols("grips")) == 1
    desk.select(["h1"])
    assert [one.points_m[0] for one in canvas.recorded().symbols("grips")] == [(0.0, 0.0), (200.0, 100.0)]


def test_hover_waits_and_then_rings_without_making_the_plan_again(canvas, desk, qtbot):
    canvas.repaint()
    made = canvas.sheet.made
    desk.hover("p2")
    assert not canvas.recorded().symbols("hovered")
    qtbot.waitUntil(lambda: bool(canvas.recorded().symbols("hovered")), timeout=2000)
    assert canvas.recorded().symbols("hovered")[0].points_m == ((200.0, 100.0),)
    assert canvas.sheet.made == made
    desk.hover(None)
    qtbot.waitUntil(lambda: not canvas.recorded().symbols("hovered"), timeout=2000)


def test_moving_the_view_makes_nothing_until_it_rests(canvas, qtbot):
    canvas.repaint()
    slow(canvas)
    made = canvas.sheet.made
    for _ in range(5):
        canvas.pan(12.0, -7.0)
        wheel(canvas, QPoint(300, 200), 1)
        canvas.repaint()
    assert canvas.sheet.made == made
    qtbot.waitUntil(lambda: canvas.sheet.made == made + 1, timeout=2000)
    assert canvas.sheet.base.is_crisp(canvas.frame)


def slow(canvas):
    """Let the plan take long to make, as that of a large site does."""
    from dataclasses import replace

    while not canvas.sheet.settle_beyond(canvas.frame, 1.0):
        pass
    canvas.sheet._base = replace(canvas.sheet.base, took_s=1.0)


def test_edge_is_never_blank_however_far_the_view_jumps(canvas):
    canvas.zoom(8.0, *canvas.frame.px(0.0, 0.0))
    canvas.repaint()
    canvas.rested()
    slow(canvas)
    made = canvas.sheet.made
    x, y = canvas.frame.px(60.0, 50.0)
    canvas.pan(350.0 - x, 240.0 - y)
    image = picture(canvas)
    assert canvas.sheet.made == made
    assert near(image.pixelColor(at_px(canvas, 60.0, 50.0)), DAY.colour("building"))


def test_edit_is_seen_at_once(canvas, desk):
    canvas.zoom(2.0)
    canvas.repaint()
    assert desk.perform(lambda site: move_by(site, "shed", dx_m=60.0, dy_m=0.0))
    image = picture(canvas)
    assert near(image.pixelColor(at_px(canvas, 60.0, 50.0)), DAY.colour("paper"))
    assert near(image.pixelColor(at_px(canvas, 120.0, 48.0)), DAY.colour("building"))


def test_lifting_makes_the_plan_once_for_a_whole_drag(canvas, desk):
    tool = Noting(desk, canvas)
    canvas.set_tool(tool)
    canvas.repaint()
    made = canvas.sheet.made
    for n in range(6):
        corners = ((300.0 + n, 0.0), (310.0 + n, 0.0), (310.0 + n, 9.0))
        tool.overlay = Overlay(shapes=(Path(Role.POLE, corners, closed=True),), lifted=frozenset({"p2"}), words="9.2 m")
        canvas.refresh()
        canvas.repaint()
    assert canvas.sheet.made == made + 1
    noted = canvas.recorded()
    assert "p2" not in [one.subject for one in noted.symbols("pole")]
    assert any((305.0, 0.0) in one.points_m for one in noted.of_role(Role.POLE))
    tool.overlay = Overlay()
    canvas.refresh()
    canvas.repaint()
    assert canvas.sheet.made == made + 2
    assert "p2" in [one.subject for one in canvas.recorded().symbols("pole")]


def test_refusal_has_its_bar_and_its_words_beside_the_pointer(canvas, desk):
    tool = Noting(desk, canvas)
    canvas.set_tool(tool)
    QTest.mouseMove(canvas.viewport(), QPoint(300, 200))
    plain = len(canvas.recorded().symbols("pointer")[0].shape.parts)
    tool.overlay = Overlay(words="both are stations", refused=True, typed="127.6 295")
    noted = canvas.recorded()
    assert "both are stations" in noted.words()
    assert "127.6 295" in noted.words()
    assert noted.symbols("typed")
    assert len(noted.symbols("pointer")[0].shape.parts) == plain + 2


def test_words_that_fit_on_neither_side_of_the_pointer_are_broken_into_lines(canvas, desk):
    tool = Noting(desk, canvas)
    canvas.set_tool(tool)
    frame = canvas.frame
    QTest.mouseMove(canvas.viewport(), QPoint(round(frame.left_px + frame.width_px / 2.0), 200))
    words = "105.1 m, 129.8° plan, 129.8° true, 144.4° magnetic; 202.1 m in all, in line with the zone of the berth"
    tool.overlay = Overlay(words=f"{words}, {words}")
    written = [one for one in canvas.recorded().noted if one.text and one.text in f"{words}, {words}"]
    lines = [one for one in written if len(one.text.split()) > 3]
    assert len(lines) > 1
    assert " ".join(one.text for one in lines) == f"{words}, {words}"


def test_figures_beside_the_pointer_stand_on_ground_and_coordinates_do_not(canvas, desk):
    tool = Noting(desk, canvas)
    canvas.set_tool(tool)
    QTest.mouseMove(canvas.viewport(), QPoint(300, 200))
    assert not canvas.recorded().symbols("ground")
    tool.overlay = Overlay(words="9.2 m")
    (ground,) = canvas.recorded().symbols("ground")
    ((low_left, _, high_right, _),) = [part.points for part in ground.shape.parts]
    assert low_left[0] > 0.0
    assert high_right[0] - low_left[0] > letters_width_mm("9.2 m", 2.4)


def test_words_leave_the_corner_of_scale_bar_and_north_free(canvas, desk):
    kept = canvas.sheet.wish.kept_free
    assert len(kept) == 3
    frame = canvas.frame
    for x, y, half_width, half_height in kept:
        assert x - half_width + 0.01 >= 0.0
        assert y - half_height + 0.01 >= 0.0
        assert x + half_width < frame.width_px / frame.px_per_mm
    canvas.zoom(1.3)
    # the bar has another length now
    assert canvas.sheet.wish.kept_free[0] != kept[0]


def test_plan_that_is_covered_at_its_right_ends_there_and_stays(canvas):
    before = canvas.frame
    canvas.cover_right(200.0)
    after = canvas.frame
    assert after.width_px == before.width_px - 200.0
    assert after.px(0.0, 0.0) == pytest.approx(before.px(0.0, 0.0))
    canvas.rested()
    assert canvas.sheet.base.frame.width_px == after.width_px
    canvas.cover_right(0.0)
    assert canvas.frame.window_m == pytest.approx(before.window_m)


def test_words_beside_the_pointer_turn_to_the_inside_at_the_edge(canvas, desk):
    QTest.mouseMove(canvas.viewport(), QPoint(200, 200))
    assert {one.shape.align for one in canvas.recorded().noted if one.text.endswith(" N")} >= {"start"}
    QTest.mouseMove(canvas.viewport(), QPoint(672, 200))
    beside = [one for one in canvas.recorded().noted if one.points_px and one.points_px[0] == (672.0, 200.0)]
    assert {one.shape.align for one in beside if one.kind == "words"} == {"end"}


# -- the tool in use


def test_mouse_reaches_the_tool_in_metres(canvas, desk):
    tool = Noting(desk, canvas)
    canvas.set_tool(tool)
    QTest.mousePress(
        canvas.viewport(), Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier, at_px(canvas, 100.0, 50.0)
    )
    QTest.mouseMove(canvas.viewport(), at_px(canvas, 120.0, 50.0))
    QTest.mouseRelease(canvas.viewport(), Qt.MouseButton.LeftButton, pos=at_px(canvas, 120.0, 50.0))
    assert [event for event, _ in tool.heard] == ["press", "move", "release"]
    pressed = tool.heard[0][1]
    assert pressed.at == pytest.approx((100.0, 50.0), abs=1.0 / canvas.px_per_m)
    assert pressed.shift
    assert not pressed.control


def test_keyboard_alone_places_to_the_tenth_of_a_metre(canvas, desk):
    tool = Noting(desk, canvas)
    canvas.set_tool(tool)
    start = tuple(round(v) for v in canvas.middle_m)
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    QTest.keyClick(canvas, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    for _ in range(3):
        QTest.keyClick(canvas, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    QTest.keyClick(canvas, Qt.Key.Key_Return)
    events = [event for event, _ in tool.heard]
    assert events == ["move"] * 5 + ["press", "release"]
    assert tool.heard[-1][1].at == (start[0] + 11.0, start[1] + 0.3)
    assert not tool.heard[-1][1].alt


def test_keyboards_cursor_takes_the_plane_along_at_the_edge(canvas, desk):
    canvas.set_tool(Noting(desk, canvas))
    for _ in range(60):
        QTest.keyClick(canvas, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    (cross,) = canvas.recorded().symbols("pointer")
    assert cross.points_px[0][0] <= canvas.frame.left_px + canvas.frame.width_px - 19.0


def test_figures_go_to_the_tool_before_they_zoom(canvas, desk):
    tool = Noting(desk, canvas)
    canvas.set_tool(tool)
    canvas.zoom(2.0)
    scale = canvas.px_per_m
    tool.takes_text = True
    QTest.keyClicks(canvas, "10 5")
    assert "".join(text for event, text in tool.heard if event == "typed") == "10 5"
    assert canvas.px_per_m == scale
    letter = QKeyEvent(QKeyEvent.Type.ShortcutOverride, Qt.Key.Key_N, Qt.KeyboardModifier.NoModifier, "N")
    letter.ignore()
    QApplication.sendEvent(canvas, letter)
    assert letter.isAccepted()


def test_letters_stay_shortcuts_while_nothing_is_typed(canvas, desk):
    canvas.set_tool(Noting(desk, canvas))
    letter = QKeyEvent(QKeyEvent.Type.ShortcutOverride, Qt.Key.Key_N, Qt.KeyboardModifier.NoModifier, "N")
    letter.ignore()
    QApplication.sendEvent(canvas, letter)
    assert not letter.isAccepted()


def test_right_button_asks_for_the_menu_of_what_lies_there(canvas, qtbot):
    with qtbot.waitSignal(canvas.menu_wanted) as asked:
        QTest.mouseClick(canvas.viewport(), Qt.MouseButton.RightButton, pos=at_px(canvas, 200.0, 100.0))
    assert asked.args == ["p2"]


def test_plan_says_what_it_shows_to_those_who_cannot_see_it(canvas, desk):
    assert canvas.accessibleName() == "Plan"
    assert "nothing selected" in canvas.accessibleDescription()
    desk.select(["p1", "p2"])
    assert "2 selected: p1, p2" in canvas.accessibleDescription()


def test_another_document_is_shown_whole(canvas, desk):
    canvas.zoom(50.0)
    desk.replace_document(Document(small_site()))
    x0, _, x1, _ = canvas.window_m
    assert x0 < 0.0
    assert x1 > 200.0


def test_layers_and_words_that_are_switched_reach_the_drawing(canvas):
    canvas.hide_layers({"wedges"})
    canvas.write_along_hops("level")
    canvas.repaint()
    wish = canvas.sheet.wish
    assert wish.hidden == {"wedges"}
    assert wish.hop_words == "level"
