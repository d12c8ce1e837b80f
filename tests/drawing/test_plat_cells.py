"""Cells on the plan: their channels written, and lines to radios of other cells for which one waits."""

from __future__ import annotations

import numpy as np
import pytest

from survey_app.drawing.plat.plat import plat, plat_lines
from survey_app.drawing.plat.view import HeardLine, Wish
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Strokes
from tests.drawing.plat_sites import DEMOS, demo_scene, texts, view_of


@pytest.mark.parametrize("name", DEMOS)
def test_every_cell_says_its_channel_where_the_plan_is_not_small(name: str) -> None:
    scene = demo_scene(name)
    told = texts(plat(scene, view_of(scene, 2.0, size_px=(4000.0, 3000.0)), Wish()))
    hubs = [row for row in scene.radio_rows.values() if row.role == "access_point"]
    for row in hubs:
        assert any(words.endswith(f"ch {row.channel}/{row.width_mhz:.0f}") for words in told), row.id


def test_a_cell_whose_words_find_no_room_keeps_its_channel() -> None:
    """On the boatyard's whole plan the channel of the gate's cell stands alone: what it hangs on has no room."""
    scene = demo_scene("boatyard")
    told = texts(plat(scene, view_of(scene, 1.07, size_px=(1130.0, 450.0)), Wish()))
    assert "ch 157/20" in told
    assert not any(words.endswith(" ch 157/20") for words in told)


def test_lines_lead_to_what_is_heard_with_the_level_along_them() -> None:
    scene = demo_scene("boatyard")
    view = view_of(scene, 2.0, size_px=(1600.0, 1000.0))
    heard = (HeardLine("ST-A", "ST-gate", -78.6), HeardLine("ST-A", "A-P", -76.2), HeardLine("ST-A", "gone", -70.0))
    found = plat(scene, view, Wish(heard=heard))
    (lines,) = [one for one in found.shapes if isinstance(one, Strokes) and one.role is Role.HEARD]
    assert int(np.count_nonzero(lines.joined)) == 2
    assert "hears ST-gate −79 dBm" in texts(found)
    # it keeps clear of the symbols at both ends
    at = np.array(scene.layout(view.mm_per_m, view.tier).radios["ST-A"].at)
    assert np.hypot(*(lines.points[0] - at)) * view.mm_per_m == pytest.approx(3.2)
    assert any(one.role is Role.HEARD for one in plat_lines(scene, view, Wish(heard=heard)) if isinstance(one, Strokes))
    assert not any(isinstance(one, Strokes) and one.role is Role.HEARD for one in plat(scene, view, Wish()).shapes)
