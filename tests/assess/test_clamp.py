"""Clamps are chosen by the measured pipe, its section, and the tilt that has to be set."""

from __future__ import annotations

import pytest

from survey_app.assess.clamp import choose_arm, choose_clamp, pipe_of
from survey_app.site.gear_part import Pattern
from survey_app.site.gear_type import RadioType
from survey_app.site.mount import Mount, Pipe
from survey_app.site.place import EdgePlace, PlanePoint, PolePlace
from survey_app.site.structure import Pole
from tests.assess.network_site import GEAR

P16 = next(item for item in GEAR if item.id == "p16")
assert isinstance(P16, RadioType)
NARROW = RadioType(
    **{
        **dict(P16),
        "pattern": Pattern(model="lobe", gain_dbi=20.0, azimuth_beamwidth_deg=90.0, elevation_beamwidth_deg=4.0),
    }
)


def _mount(**more: object) -> Mount:
    fields = {"id": "m", "structure": "s", "place": PolePlace(kind="pole"), "height_m": 5.0}
    return Mount(**{**fields, **more})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("diameter_mm", "section", "expected"),
    [
        (48.3, "round", "cleat30"),
        (60.3, "round", "cleat50"),
        (114.0, "round", "cleat90"),
        (140.0, "round", "cleat90"),
        (89.0, "tapered", "cleat90"),
        (89.0, "octagonal", "cleat90"),
        (60.3, "tapered", None),
        (20.0, "round", None),
    ],
)
def test_clamp_follows_diameter_and_section(diameter_mm, section, expected):
    mount = _mount(pipe=Pipe(diameter_mm=diameter_mm, section=section, measured=True))
    found = choose_clamp(mount, [P16], GEAR)
    assert (found.id if found else None) == expected


def test_a_narrow_beam_takes_the_fine_thread():
    mount = _mount(pipe=Pipe(diameter_mm=48.3))
    assert choose_clamp(mount, [P16], GEAR).id == "cleat30"
    assert choose_clamp(mount, [NARROW], GEAR).id == "cleat50"


def test_a_steep_tilt_takes_the_clamp_that_reaches_it():
    mount = _mount(pipe=Pipe(diameter_mm=50.0))
    assert choose_clamp(mount, [NARROW], GEAR, tilts_deg=[-22.0]).id == "cleat30"


def test_a_named_clamp_is_taken_even_if_it_does_not_fit():
    mount = _mount(pipe=Pipe(diameter_mm=140.0), bracket="cleat30")
    assert choose_clamp(mount, [P16], GEAR).id == "cleat30"


def test_a_column_without_a_recorded_pipe_is_measured_off_its_taper():
    column = Pole(
        id="s",
        kind="pole",
        position=PlanePoint(x_m=0.0, y_m=0.0),
        height_m=6.0,
        section="tapered",
        diameter_top_mm=76.0,
        diameter_foot_mm=114.0,
    )
    pipe = pipe_of(_mount(height_m=3.0), column)
    assert pipe is not None
    assert pipe.diameter_mm == pytest.approx(95.0)
    assert choose_clamp(_mount(height_m=3.0), [P16], GEAR, column).id == "cleat90"


def test_a_wall_takes_the_shortest_arm_that_reaches_and_a_clamp_for_its_tube():
    mount = _mount(place=EdgePlace(kind="edge", edge=0, along_m=1.0, stand_off_m=0.5))
    assert choose_arm(mount, GEAR).id == "arm600"
    assert choose_clamp(mount, [P16], GEAR).id == "cleat30"
