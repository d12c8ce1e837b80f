"""Figures at the edges of their ranges give numbers or nulls with a reason, never a fault of the program."""

from __future__ import annotations

import pytest

from survey_app.site.network import CameraTarget
from survey_app.site.place import PlanePoint
from tests.assess.network_site import yard
from tests.laws import checked


@pytest.mark.parametrize("angle_deg", [0.1, 179.9, 180.0])
def test_camera_that_sees_half_of_everything_has_no_density_and_says_so(angle_deg: float) -> None:
    sketch = yard(1)
    target = CameraTarget(position=PlanePoint(x_m=170.0, y_m=0.0), width_m=10.0)
    sketch.change("cameras", "C1", target=target, angle_of_view_deg=angle_deg)
    (row,) = checked(sketch.site()).cameras
    assert (row.px_per_m is None) == (angle_deg == 180.0)
    reasons = {reason.field: reason.sentence for reason in row.null_reasons}
    assert ("px_per_m" in reasons) == (angle_deg == 180.0)


def test_recorder_with_next_to_no_disk_keeps_next_to_nothing() -> None:
    sketch = yard(1)
    sketch.change("head_ends", "home", disks_tb=0.001, days_wanted_days=30.0)
    assessment = checked(sketch.site())
    assert 0.0 < assessment.head_ends[0].days < 0.1
    assert "days-short" in {finding.code for finding in assessment.findings}


@pytest.mark.parametrize("fraction", [0.0, 5e-324, 1e-300, 1.0])
def test_recorder_that_records_next_to_nothing_has_days_or_null(fraction: float) -> None:
    sketch = yard(1)
    sketch.change("head_ends", "home", recording_fraction=fraction)
    assert (checked(sketch.site()).head_ends[0].days is None) == (fraction < 1.0)
