"""Positions moved by metres of the plane, also where they are in degrees."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.errors import UsageError
from survey_app.ground.plane import Plane, to_plane
from survey_app.ground.shifting import anywhere, in_metres
from survey_app.site import edits
from survey_app.site.place import Anchor, GeoPoint, PlanePoint
from tests.site.full_site import full_site
from tests.site.sound import sound

ANCHOR = Anchor(lat_deg=56.3, lon_deg=11.8, rotation_deg=-4.5)
PLANE = Plane(56.3, 11.8, -4.5)
METRES = st.floats(-5000.0, 5000.0)


@settings(max_examples=60, deadline=None)
@given(st.floats(-0.02, 0.02), st.floats(-0.02, 0.02), METRES, METRES)
def test_position_in_degrees_goes_as_far_on_the_plane_and_stays_in_degrees(
    lat_deg: float, lon_deg: float, dx_m: float, dy_m: float
) -> None:
    start = GeoPoint(lat_deg=56.3 + lat_deg, lon_deg=11.8 + lon_deg)
    end = anywhere(edits.by_metres(dx_m, dy_m), ANCHOR)(start)
    assert isinstance(end, GeoPoint)
    x0, y0 = to_plane(PLANE, start.lat_deg, start.lon_deg)
    x1, y1 = to_plane(PLANE, end.lat_deg, end.lon_deg)
    assert (float(x1 - x0), float(y1 - y0)) == pytest.approx((dx_m, dy_m), abs=1e-6)


def test_tree_with_a_mount_in_degrees_moves_duplicates_turns_and_is_copied() -> None:
    site = full_site()
    shift = anywhere(edits.by_metres(10.0, 0.0), ANCHOR)
    moved = sound(edits.move(site, ["lime"], shift))
    assert moved.design.structures[3].outline[0] == PlanePoint(x_m=-30.0, y_m=20.0)
    assert isinstance(moved.design.mounts[3].place.position, GeoPoint)
    sound(edits.duplicate(site, ["lime"], 10.0, 0.0, shift=shift))
    text = edits.copy_things(site, ["lime"], convert=in_metres(ANCHOR))
    pasted = sound(edits.paste(site, text, dx_m=1.0)).design.mounts[-1].place.position
    (x_m,), (y_m,) = to_plane(PLANE, [56.30001], [11.79999])
    assert (pasted.x_m, pasted.y_m) == pytest.approx((x_m + 1.0, y_m), abs=1e-9)


def test_degrees_without_an_anchor_are_refused() -> None:
    with pytest.raises(UsageError, match="not tied to the earth"):
        in_metres(None)(GeoPoint(lat_deg=1.0, lon_deg=2.0))
    point = PlanePoint(x_m=1.0, y_m=2.0)
    assert in_metres(None)(point) is point
