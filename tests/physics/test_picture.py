from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics import picture


@given(st.integers(320, 8000), st.sampled_from(list(picture.PURPOSES_PX_PER_M)))
def test_widest_scene_of_a_purpose_just_reaches_it(width: int, purpose: str) -> None:
    scene = float(picture.widest_scene_m(width, picture.required_px_per_m(purpose)))
    assert picture.purpose_reached(float(picture.px_per_m(width, scene * (1 - 1e-9)))) == purpose
    assert picture.purpose_reached(float(picture.px_per_m(width, scene * (1 + 1e-9)))) != purpose


@pytest.mark.parametrize(
    ("density", "expected"), [(12.4, None), (math.nan, None), (24.9, "monitor"), (5000, "inspect")]
)
def test_purpose_below_the_least_is_none(density: float, expected: str | None) -> None:
    assert picture.purpose_reached(density) == expected


@given(st.floats(1, 170), st.floats(1, 200))
def test_scene_grows_with_the_distance(view: float, distance: float) -> None:
    assert float(picture.scene_width_m(view, 2 * distance)) == pytest.approx(
        2 * float(picture.scene_width_m(view, distance))
    )


def test_right_angle_sees_twice_its_distance() -> None:
    assert float(picture.scene_width_m(90, 7)) == pytest.approx(14)


@given(st.floats(0.1, 100), st.floats(1, 1000), st.floats(0.5, 1), st.floats(0.5, 1))
def test_disks_for_some_days_last_those_days(days: float, per_day: float, formatted: float, fill: float) -> None:
    disks = picture.storage_needed_tb(days, per_day, formatted, fill)
    assert float(picture.recording_days(disks, per_day, formatted, fill)) == pytest.approx(days, rel=1e-12)


def test_storage_is_a_day_of_bits() -> None:
    assert float(picture.storage_gb_per_day(1.0)) == pytest.approx(1e6 * 86_400 / 8 / 1e9)
    assert float(picture.storage_gb_per_day(4.0, 0.25)) == pytest.approx(10.8)


@given(st.floats(100, 9000))
def test_deeper_layers_add_more(payload: float) -> None:
    ip, ethernet, wire = (float(picture.overhead_factor(payload, layer)) for layer in ("ip", "ethernet", "wire"))
    assert 1 < ip < ethernet < wire


@pytest.mark.parametrize(
    ("function", "match"),
    [
        (lambda: picture.required_px_per_m("admire"), "recognise"),
        (lambda: picture.overhead_factor(1400, "tcp"), "ethernet"),
    ],
)
def test_unknown_names_are_refused_with_the_known_ones(function: object, match: str) -> None:
    with pytest.raises(UnknownNameError, match=match):
        function()  # type: ignore[operator]


@pytest.mark.parametrize(
    "value",
    [
        picture.video_rate_mbps(0, 720, 15, 0.1),
        picture.video_rate_mbps(1280, 720, 15, -0.1),
        picture.overhead_factor(0),
        picture.demand_mbps(-1),
        picture.demand_mbps(4, 0.9),
        picture.demand_mbps(4, night_factor=0.5),
        picture.demand_mbps(4, viewers=-1),
        picture.scene_width_m(180, 10),
        picture.scene_width_m(60, 0),
        picture.px_per_m(2688, 0),
        picture.storage_gb_per_day(4, 1.1),
        picture.recording_days(10, 0),
        picture.recording_days(10, 100, 1.2),
        picture.storage_needed_tb(30, math.nan),
    ],
)
def test_out_of_domain_is_nan(value: float) -> None:
    assert math.isnan(value)
