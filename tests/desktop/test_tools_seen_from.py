"""From where a thing is seen: marks with least heights, a press hangs a mount that high, one step to undo."""

from __future__ import annotations

import numpy as np
import pytest

from survey_app.assess.camera_sight import line_of_sight
from survey_app.assess.coverage import places_that_see, what_stands
from survey_app.assess.job import Job
from survey_app.drawing.shapes import Path
from survey_app.site.mount import Mount
from tests.desktop.desks import demo
from tests.desktop.tool_hand import Hand

pytestmark = pytest.mark.desktop


@pytest.fixture
def hand(qapp, qtbot):
    hand = Hand(demo("boatyard")[0])
    yield hand
    hand.tool.end()


def _look(hand, qtbot, *chosen):
    hand.desk.select(chosen)
    tool = hand.take("seen from")
    qtbot.waitUntil(lambda: not tool.is_busy, timeout=60000)
    return tool


def test_marked_places_are_those_of_the_assessment_and_a_press_hangs_a_mount_as_high(hand, qtbot):
    tool = _look(hand, qtbot, "ST-gate", "shed", "office")
    job = Job(hand.site)
    spot = job.placed.mounts[job.radios["ST-gate"].mount]
    edges, _ = places_that_see(
        job, what_stands(job), np.array([spot.x_m, spot.y_m, spot.elevation_m]), structures={"shed", "office"}
    )
    runs = [run for one in edges for run in one.runs]
    lines = [shape for shape in tool.overlay.shapes if isinstance(shape, Path)]
    assert len(lines) == len(runs) > 0
    (x0, y0), (x1, y1) = lines[0].points
    middle = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
    assert "sees ST-gate" in hand.hover(*middle)
    before = {one.id for one in hand.design.mounts}
    hand.press(*middle)
    (new,) = [one for one in hand.design.mounts if one.id not in before]
    assert isinstance(new, Mount)
    assert new.height_reference == "eaves"
    owner = next(one for one in edges if one.structure == new.structure and one.edge == new.place.edge)
    run = next(run for run in owner.runs if run.start_m - 1e-3 <= new.place.along_m <= run.end_m + 1e-3)
    part = (new.place.along_m - run.start_m) / (run.end_m - run.start_m)
    least = run.least_at_start_m + part * (run.least_at_end_m - run.least_at_start_m) - owner.eaves_m
    assert least - 1e-6 <= new.height_m <= least + 0.011
    assert hand.steps == (f"Hang mount {new.id} where it sees ST-gate",)
    hand.desk.undo()
    assert {one.id for one in hand.design.mounts} == before


def test_of_a_camera_its_target_is_to_be_seen(hand, qtbot):
    camera = next(one for one in hand.design.cameras if one.target is not None)
    tool = _look(hand, qtbot, camera.id, "shed", "office")
    job = Job(hand.site)
    _, middle = line_of_sight(job.placed, camera.id, camera.target)
    edges, _ = places_that_see(job, what_stands(job), np.array(middle), structures={"shed", "office"})
    lines = [shape for shape in tool.overlay.shapes if isinstance(shape, Path)]
    assert len(lines) == sum(len(one.runs) for one in edges) > 0
    (x0, y0), (x1, y1) = lines[0].points
    assert f"sees the target of {camera.id}" in hand.hover((x0 + x1) / 2.0, (y0 + y1) / 2.0)


def test_beside_the_marks_nothing_is_hung(hand, qtbot):
    _look(hand, qtbot, "ST-gate", "shed")
    before = hand.site
    hand.press(400.0, 400.0)
    assert hand.site is before


def test_without_a_thing_to_see_the_tool_says_what_to_select(hand, qtbot):
    tool = _look(hand, qtbot)
    assert "Select one radio" in tool.overlay.words
    tool = _look(hand, qtbot, "ST-gate", "ST-A")
    assert "Select one radio" in tool.overlay.words


def test_esc_goes_back_to_selecting(hand, qtbot):
    tool = _look(hand, qtbot, "ST-gate", "shed")
    assert tool.cancel()
