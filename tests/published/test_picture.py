"""Video rates, picture density and storage against the outside world.

Each row says where its expectation comes from:

* P: printed in the source, or in a copy of its text that is named
* D: worked out by hand from the source's formula
* C: common practice, no source
"""

from __future__ import annotations

import pytest

from survey_app.physics import picture


def test_video_rate_matches_the_printed_example() -> None:
    """P: H264REST, 2009, as quoted on several pages: 1280 x 720, 24 a second, motion 2 x 0.07: 3 096 576 bit/s."""
    assert float(picture.video_rate_mbps(1280, 720, 24, 2 * 0.07)) * 1e6 == pytest.approx(3_096_576, abs=1)


def test_single_pictures_take_about_one_bit_a_pixel() -> None:
    """P: UFC402102, 2006, figure 4-13: 640 x 480 at 10 a second takes 3.07 Mbit/s."""
    assert float(picture.video_rate_mbps(640, 480, 10, 1.0)) == pytest.approx(3.07, abs=0.005)


# D: the product, Mbit/s at 0.05, 0.07, 0.10 and 0.14 bit a pixel (the four values C)
RATES = [
    (1280, 720, 10, (0.46, 0.65, 0.92, 1.29)),
    (1280, 720, 15, (0.69, 0.97, 1.38, 1.94)),
    (1280, 720, 25, (1.15, 1.61, 2.30, 3.23)),
    (1920, 1080, 10, (1.04, 1.45, 2.07, 2.90)),
    (1920, 1080, 15, (1.56, 2.18, 3.11, 4.35)),
    (1920, 1080, 25, (2.59, 3.63, 5.18, 7.26)),
    (2688, 1520, 10, (2.04, 2.86, 4.09, 5.72)),
    (2688, 1520, 15, (3.06, 4.29, 6.13, 8.58)),
    (2688, 1520, 25, (5.11, 7.15, 10.21, 14.30)),
    (2592, 1944, 10, (2.52, 3.53, 5.04, 7.05)),
    (2592, 1944, 15, (3.78, 5.29, 7.56, 10.58)),
    (2592, 1944, 25, (6.30, 8.82, 12.60, 17.64)),
    (3840, 2160, 10, (4.15, 5.81, 8.29, 11.61)),
    (3840, 2160, 15, (6.22, 8.71, 12.44, 17.42)),
    (3840, 2160, 25, (10.37, 14.52, 20.74, 29.03)),
]


@pytest.mark.parametrize(("width", "height", "rate", "expected"), RATES)
def test_video_rates_of_usual_cameras(width: int, height: int, rate: int, expected: tuple[float, ...]) -> None:
    found = picture.video_rate_mbps(width, height, rate, list(picture.BITS_PER_PIXEL.values()))
    assert found.tolist() == pytest.approx(expected, abs=0.0051)


@pytest.mark.parametrize(
    ("payload", "ip", "ethernet", "wire"),
    [(1200, 1.0333, 1.0483, 1.0650), (1400, 1.0286, 1.0414, 1.0557), (1448, 1.0276, 1.0401, 1.0539)],
)
def test_headers_add_what_their_lengths_say(payload: int, ip: float, ethernet: float, wire: float) -> None:
    """D: RFC3550 12, RFC 768 8, RFC 791 20; IEEE8023 14 + 4, then 8 + 12 octets."""
    found = [float(picture.overhead_factor(payload, layer)) for layer in ("ip", "ethernet", "wire")]
    assert found == pytest.approx([ip, ethernet, wire], abs=0.00006)
    assert picture.OVERHEAD_FACTOR == 1.06  # C
    assert picture.TUNNEL_OVERHEAD_FACTOR == 1.10  # C


@pytest.mark.parametrize(
    ("purpose", "density", "mm_per_px"),
    [
        ("monitor", 12.5, 80),
        ("detect", 25.0, 40),
        ("observe", 62.5, 16),
        ("recognise", 125.0, 8),
        ("identify", 250.0, 4),
        ("inspect", 1000.0, 1),
    ],
)
def test_densities_of_the_purposes(purpose: str, density: float, mm_per_px: float) -> None:
    """P: EN62676, 2014 / 2015, secondary pages, which print both columns."""
    assert picture.required_px_per_m(purpose) == density
    assert 1000 / density == mm_per_px
    assert picture.purpose_reached(density) == purpose


def test_wide_lens_far_from_its_target_only_monitors() -> None:
    """D: 2688 px, 96 deg, 60 m: scene 133 m, 20 px/m; to identify it may be 10.8 m wide at most."""
    scene = picture.scene_width_m(96, 60)
    density = picture.px_per_m(2688, scene)
    assert float(scene) == pytest.approx(133, abs=0.5)
    assert float(density) == pytest.approx(20, abs=0.5)
    assert picture.purpose_reached(float(density)) == "monitor"
    assert float(picture.widest_scene_m(2688, picture.required_px_per_m("identify"))) == pytest.approx(10.8, abs=0.05)


def test_storage_of_four_megabits() -> None:
    """D: 86 400 / 8 / 1000 = 10.8 GB a day for one Mbit/s; 4 Mbit/s: 43.2 GB = 40.2 GiB."""
    found = float(picture.storage_gb_per_day(4))
    assert found == pytest.approx(43.2, abs=1e-9)
    assert found * 1e9 / 2**30 == pytest.approx(40.2, abs=0.05)


def test_eighteen_cameras_fill_23_terabytes_in_thirty_days() -> None:
    """D: 18 x 4 x 10.8 = 777.6 GB a day; 30 days 23.3 TB."""
    per_day = picture.storage_gb_per_day(18 * 4.0)
    assert float(per_day) == pytest.approx(777.6, abs=1e-9)
    assert float(picture.storage_needed_tb(30, per_day, 1.0, 1.0)) == pytest.approx(23.3, abs=0.05)


def test_recorder_of_four_bays_looks_back_38_days() -> None:
    """D: 670 GB a day on 28.8 TB usable, filled to 0.9 (C)."""
    assert int(picture.recording_days(28.8, 670, formatted_fraction=1.0)) == 38


@pytest.mark.parametrize(
    ("video_mbps", "viewers", "night", "expected"), [(4, 0, 1.0, 4.24), (4, 1, 1.0, 8.48), (4, 0, 1.3, 5.512)]
)
def test_demand_of_a_camera(video_mbps: float, viewers: int, night: float, expected: float) -> None:
    """D with C: times 1.06, times 1 + viewers, times 1.3 at night where nothing caps it."""
    found = picture.demand_mbps(video_mbps, viewers=viewers, night_factor=night)
    assert float(found) == pytest.approx(expected, abs=1e-9)
