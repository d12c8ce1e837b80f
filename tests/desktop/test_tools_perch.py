"""Where things hang: what the plan offers under the pointer."""

from __future__ import annotations

import datetime

import pytest

from survey_app.desktop.tools.perch import perch_at
from survey_app.ground.place import place
from survey_app.site.edits import add
from survey_app.site.new import new_site
from survey_app.site.place import LONGEST_ALONG_M, EdgePlace, PlanePoint
from survey_app.site.structure import Building

pytestmark = pytest.mark.desktop


def test_wall_longer_than_a_mount_may_lie_along_offers_nothing_beyond():
    long_m = 2.0 * LONGEST_ALONG_M
    corners = ((0.0, 0.0), (long_m, 0.0), (long_m, 10.0), (0.0, 10.0))
    wall = Building(id="wall", kind="building", outline=tuple(PlanePoint(x_m=x, y_m=y) for x, y in corners))
    site = add(new_site("Yard", as_of=datetime.date(2026, 12, 1)), wall).after
    near = perch_at(site, place(site), (40.0, -0.5), 2.0)
    assert near is not None
    assert isinstance(near.place, EdgePlace)
    assert near.place.along_m == pytest.approx(40.0)
    assert perch_at(site, place(site), (1.2 * LONGEST_ALONG_M, -0.5), 2.0) is None
