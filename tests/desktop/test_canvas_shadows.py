"""Shadows of the selected radio on the plan: they come after a moment, go with an edit, can be switched off."""

from __future__ import annotations

import pytest

from survey_app.assess.pipeline import assess
from survey_app.desktop.canvas.canvas import PlatCanvas
from survey_app.desktop.canvas.plat_drawer import PlatDrawer
from survey_app.desktop.desk import Desk
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Shape
from survey_app.site.edits import change
from tests.desktop.desks import demo_desk

pytestmark = pytest.mark.desktop


def shown(canvas: PlatCanvas) -> list[Role]:
    """Roles of all that the settled plan is made of."""
    drawer = canvas._drawer
    assert isinstance(drawer, PlatDrawer)
    canvas.rested()
    shapes: tuple[Shape, ...] = drawer.whole(canvas.sheet.view(canvas.frame), canvas.sheet.wish)
    return [role for shape in shapes if isinstance(role := getattr(shape, "role", None), Role)]


@pytest.fixture
def canvas(qtbot):
    desk = demo_desk("mill")
    canvas = PlatCanvas(desk)
    desk.setParent(canvas)
    qtbot.addWidget(canvas)
    canvas.resize(1000, 700)
    canvas.show()
    qtbot.waitExposed(canvas)
    yield canvas
    canvas.close()


def desk_of(canvas: PlatCanvas) -> Desk:
    return canvas._desk


def test_selected_radio_shows_its_shadows_after_a_moment(canvas, qtbot):
    assert Role.SHADOW not in shown(canvas)
    with qtbot.waitSignal(canvas.shadows.changed, timeout=20000):
        desk_of(canvas).select(["A-C2"])
    assert list(canvas.shadows.known) == ["A-C2"]
    assert Role.SHADOW in shown(canvas)
    desk_of(canvas).select(["ST-C2"])
    qtbot.waitUntil(lambda: not canvas.shadows.is_busy, timeout=20000)
    desk_of(canvas).select([])
    assert Role.SHADOW not in shown(canvas)
    # what was worked out for this site is kept
    desk_of(canvas).select(["A-C2"])
    assert Role.SHADOW in shown(canvas)


def test_an_edit_takes_shadows_away_until_they_are_true_again(canvas, qtbot):
    desk = desk_of(canvas)
    with qtbot.waitSignal(canvas.shadows.changed, timeout=20000):
        desk.select(["A-C2"])
    before = canvas.shadows.known["A-C2"].area
    assert desk.perform(lambda site: change(site, "mill", eaves_height_m=8.5))
    assert not canvas.shadows.known
    assert Role.SHADOW not in shown(canvas)
    with qtbot.waitSignal(canvas.shadows.changed, timeout=20000):
        desk.put_assessment(desk.site, assess(desk.site))
    assert canvas.shadows.known["A-C2"].area < before


def test_shadows_can_be_switched_off_and_are_not_worked_out_then(canvas, qtbot):
    canvas.hide_layers({"shadows"})
    desk_of(canvas).select(["A-C2"])
    assert not canvas.shadows.is_busy
    with qtbot.waitSignal(canvas.shadows.changed, timeout=20000):
        canvas.hide_layers(())
    assert Role.SHADOW in shown(canvas)
    canvas.hide_layers({"shadows"})
    assert Role.SHADOW not in shown(canvas)


def test_a_radio_indoors_has_no_shadows_on_the_plan(canvas, qtbot):
    with qtbot.waitSignal(canvas.shadows.changed, timeout=20000):
        desk_of(canvas).select(["A-I"])
    assert not canvas.shadows.known
    assert Role.SHADOW not in shown(canvas)


def test_nothing_is_worked_out_while_nobody_sees_the_plan(canvas, qtbot):
    canvas.hide()
    desk_of(canvas).select(["A-C2"])
    assert not canvas.shadows.is_busy
    with qtbot.waitSignal(canvas.shadows.changed, timeout=20000):
        canvas.show()
    assert "A-C2" in canvas.shadows.known


def test_shadows_of_every_access_point_are_cast_when_asked(canvas, qtbot):
    assert Role.SHADOW not in shown(canvas)
    with qtbot.waitSignal(canvas.shadows.changed, timeout=20000):
        canvas.cast_every(True)
    # one hangs indoors, and one has no place where its wanted rate is to be had
    rows = desk_of(canvas).rows.radios.values()
    hubs = {row.id for row in rows if row.role == "access_point" and row.reach_m is not None}
    assert set(canvas.shadows.known) == hubs - {"A-I"}
    assert len(canvas.shadows.known) == 3
    assert not canvas.shadows.is_busy
    assert Role.SHADOW in shown(canvas)
    canvas.cast_every(False)
    assert Role.SHADOW not in shown(canvas)


def test_shadows_are_cast_anew_for_another_height(canvas, qtbot):
    with qtbot.waitSignal(canvas.shadows.changed, timeout=20000):
        desk_of(canvas).select(["A-C2"])
    before = canvas.shadows.known["A-C2"].area
    canvas.cast_for_height(1.0)
    qtbot.waitUntil(lambda: "A-C2" in canvas.shadows.known, timeout=20000)
    assert canvas.shadows.known["A-C2"].area > before
