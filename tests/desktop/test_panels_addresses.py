"""Addresses from the window: the plan in the form of the site, then all of them in one step."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from survey_app.data import demo_sites_folder
from survey_app.desktop.panels.changing import change_of_site
from survey_app.desktop.panels.entries import site_entries
from survey_app.desktop.shell.action_table import ACTIONS
from survey_app.desktop.shell.application import Judge
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.window import Window
from survey_app.errors import UsageError
from survey_app.session.document import Document
from survey_app.site.edits import set_address_plan
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


def test_menu_gives_addresses_in_one_step_that_can_be_undone(qtbot: Any, tmp_path: Path) -> None:
    folder = tmp_path / "site"
    shutil.copytree(demo_sites_folder() / "boatyard", folder)
    window = Window(Document.open(folder), Judge(), Preferences())
    window.choosers.unsaved = lambda _name: "discard"  # type: ignore[method-assign]
    qtbot.addWidget(window)
    window.resize(1280, 720)
    window.show()
    before = [radio.address for radio in window.desk.site.design.radios]
    give = next(entry for entry in ACTIONS if entry.id == "edit.addresses")
    give.run(window)
    assert window.desk.document.history.labels == (), "without a plan nothing is given"
    window.desk.perform(lambda site: set_address_plan(site, "10.20.0.0/24", "10.20.1.0/24"))
    give.run(window)
    assert window.desk.document.history.undo_label.startswith("Give ")
    assert [radio.address for radio in window.desk.site.design.radios][:2] == ["10.20.0.11", "10.20.0.12"]
    steps = len(window.desk.document.history.labels)
    give.run(window)
    assert len(window.desk.document.history.labels) == steps, "everything has one"
    window.desk.undo()
    assert [radio.address for radio in window.desk.site.design.radios] == before
    window.close()
