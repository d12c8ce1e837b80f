"""Cameras and head ends: rates, pixels, storage; hand-worked figures and those that the trade prints."""

from __future__ import annotations

import pytest

from survey_app.assess.demand import camera_rates
from survey_app.assess.pipeline import assess
from survey_app.site.network import CameraTarget, Stream
from survey_app.site.place import PlanePoint
from tests.assess.network_site import Sketch, yard


def office(count: int, rate: float = 4.0) -> Sketch:
    """Cameras on an existing network that leads to the recorder."""
    sketch = yard(0)
    for number in range(0, count, 7):
        sketch.device(f"sw{number}", "switch-mains", structure="office", fed_from="board")
        before = "core" if number == 0 else f"sw{number - 7}"
        sketch.wire(f"w-sw{number}", before, f"sw{number}", outdoors=False, gear=None)
        for camera in range(number, min(number + 6, count)):
            sketch.camera(f"D{camera}", stream=Stream(rate_mbps=rate))
            sketch.wire(f"w-D{camera}", f"sw{number}", f"D{camera}", medium="existing", outdoors=False)
    return sketch


def test_eighteen_cameras_of_four_megabits_fill_what_the_trade_says():
    # 18 x 4 Mbit/s = 777.6 GB a day
    sketch = office(21)
    row = assess(sketch.site()).head_ends[0]
    assert row.channels_used == 18
    assert row.gb_per_day == pytest.approx(777.6)
    assert row.input_mbps == pytest.approx(18 * 4 * 1.06)
    # 32 TB, nine tenths usable, filled to nine tenths
    assert row.days == pytest.approx(32000.0 * 0.81 / 777.6)
    assert row.disks == 4


def test_recording_on_movement_keeps_longer():
    sketch = office(5)
    whole = assess(sketch.site()).head_ends[0]
    sketch.change("head_ends", "home", recording_fraction=0.5)
    half = assess(sketch.site()).head_ends[0]
    assert half.days == pytest.approx(2 * whole.days)
    assert half.input_mbps == whole.input_mbps


@pytest.mark.parametrize(
    ("stream", "day", "night", "stored", "network"),
    [
        (Stream(), 4.0, 4.0, 4.0, 4.24),
        (Stream(mode="constant", rate_mbps=6.0), 6.0, 6.0, 6.0, 6.36),
        (Stream(rate_mbps=3.0, viewers=2), 3.0, 3.0, 3.0, 9.54),
        (Stream(mode="variable", rate_mbps=2.0), 4.0, 5.2, 2.3, 5.512),
        (Stream(mode="variable", rate_mbps=2.0, night_factor=2.0), 4.0, 8.0, 3.0, 8.48),
    ],
)
def test_rates_by_mode_of_the_stream(stream, day, night, stored, network):
    sketch = yard(1)
    sketch.change("cameras", "C1", stream=stream)
    rate = camera_rates(sketch.job())["C1"]
    assert (rate.day_mbps, rate.night_mbps) == pytest.approx((day, night))
    assert rate.stored_mbps == pytest.approx(stored)
    assert rate.peak_mbps == pytest.approx(network)


def test_an_analogue_camera_takes_the_rate_of_its_encoder():
    sketch = yard(0)
    sketch.device("enc", "encoder4", structure="office", fed_from="board")
    sketch.wire("w-enc", "core", "enc")
    sketch.camera("old", analogue=True)
    sketch.wire("w-old", "old", "enc")
    assert camera_rates(sketch.job())["old"].day_mbps == 3.0


def camera_row(**more: object):
    sketch = yard(1)
    target = CameraTarget(position=PlanePoint(x_m=150.0, y_m=60.0), width_m=more.pop("width_m", 10.0), height_m=5.5)  # type: ignore[arg-type]
    sketch.change("cameras", "C1", target=target, height_m=5.5, **more)
    return next(row for row in assess(sketch.site()).cameras if row.id == "C1")


def test_pixels_at_sixty_metres_through_a_wide_lens_only_monitor():
    # 2688 px, 96 degrees, 60 m: scene 133 m, 20 px/m
    row = camera_row(angle_of_view_deg=96.0, purpose="identify")
    assert row.target_distance_m == pytest.approx(60.0)
    assert row.px_per_m == pytest.approx(20.17, abs=0.01)
    assert row.purpose_met == "monitor"


def test_without_an_angle_the_scene_is_the_wanted_width_as_far_as_the_lens_goes():
    # 28 degrees at 60 m is 29.9 m: the lens cannot show less
    assert camera_row(width_m=40.0).px_per_m == pytest.approx(2688 / 40.0)
    assert camera_row(width_m=10.0).px_per_m == pytest.approx(2688 / 29.92, rel=1e-3)


def test_a_camera_without_a_target_says_why_it_has_no_pixels():
    row = next(row for row in assess(yard(1).site()).cameras if row.id == "C1")
    assert row.px_per_m is None
    assert {reason.field: reason.kind for reason in row.null_reasons}["px_per_m"] == "not_applicable"


def test_routes_say_what_is_narrow_and_how_late_it_is():
    row = next(row for row in assess(yard(1).site()).routes if row.camera == "C1")
    assert [leg.id for leg in row.legs] == ["w-C1", "w-tap", "w-S", "A-S", "w-A", "w-plug", "w-core"]
    assert row.head_end == "home"
    directions = {leg.id: leg.direction for leg in row.legs}
    assert directions["A-S"] == "to_access_point"
    assert directions["w-C1"] == "b_to_a"
    assert row.bottleneck_mbps == min(leg.carries_mbps for leg in row.legs)
    # contention, lightly loaded: at most 2 ms; four devices on the way of 0.05 ms each
    assert row.latency_ms == pytest.approx(2.0 + 4 * 0.05)
