"""Addresses from the window: the plan in the form of the site, then all of them in one step."""

from __future__ import annotations

import pytest

from survey_app.desktop.panels.changing import change_of_site
from survey_app.desktop.panels.entries import site_entries
from survey_app.errors import UsageError
from tests.desktop.desks import demo


def test_form_of_the_site_offers_the_plan_of_addresses_before_there_is_one() -> None:
    site = demo("boatyard")[0]
    assert site.design.addressing is None
    found = {entry.path: entry for entry in site_entries(site) if entry.path.startswith("addressing.")}
    assert [entry.label for entry in found.values()] == [
        "block for management",
        "block for video",
        "kept free at its start",
        "names in the network",
    ]
    assert {entry.group for entry in found.values()} == {"addresses in the network"}


def test_block_is_set_and_the_other_one_kept() -> None:
    site = change_of_site(demo("boatyard")[0], "addressing.management", "10.20.0.0/24").after
    site = change_of_site(site, "addressing.video", "10.20.1.0/24").after
    plan = site.design.addressing
    assert plan is not None
    assert (plan.management, plan.video, plan.reserved) == ("10.20.0.0/24", "10.20.1.0/24", 10)


def test_block_that_is_none_is_refused() -> None:
    with pytest.raises(UsageError, match="does not begin at its first address"):
        change_of_site(demo("boatyard")[0], "addressing.video", "10.20.1.9/24")
