"""Raising a mount: by how much, in one step with what it adds up to."""

from __future__ import annotations

import pytest

from survey_app.data import demo_sites_folder
from survey_app.errors import UsageError
from survey_app.session.history import History
from survey_app.site.edits import change, raise_mount
from survey_app.site.file import read_site


@pytest.fixture(scope="module")
def site():
    return read_site(demo_sites_folder() / "boatyard")


def _mount(site):
    return site.design.mounts[0]


def test_steps_of_one_mount_make_one_step_that_says_their_sum(site):
    history, mount = History(site), _mount(site)
    for by_m in (0.1, 0.1, -1.0, 0.1, 0.1):
        history.apply(raise_mount(history.current, mount.id, by_m))
    assert _mount(history.current).height_m == pytest.approx(mount.height_m - 0.6)
    assert history.undo_label == f"Lower Mount {mount.title} by 0.6 m"
    assert history.undo() is site


def test_named_pole_mount_is_called_by_its_name(site):
    named = change(site, _mount(site).id, name="Mount on Pole 3").after
    assert raise_mount(named, _mount(site).id, 0.6).label == "Raise Mount on Pole 3 by 0.6 m"


def test_nothing_but_the_mount_is_another_thing(site):
    after = raise_mount(site, _mount(site).id, 0.5).after
    assert after.design.structures is site.design.structures
    assert after.design.mounts[1:] == site.design.mounts[1:]


def test_what_is_no_mount_is_refused(site):
    with pytest.raises(UsageError, match="not a mount"):
        raise_mount(site, site.design.radios[0].id, 0.1)
