"""Desks with a demo site on them, assessed once for all tests."""

from __future__ import annotations

import shutil
from functools import lru_cache
from pathlib import Path

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.data import demo_sites_folder
from survey_app.desktop.desk import Desk
from survey_app.session.document import Document
from survey_app.site.file import read_site
from survey_app.site.site import Site


@lru_cache(maxsize=8)
def demo(name: str) -> tuple[Site, Assessment]:
    """Return a demo site and its assessment."""
    site = read_site(demo_sites_folder() / name)
    return site, assess(site)


def demo_desk(name: str) -> Desk:
    """Return a desk with a demo site that was never saved, assessed."""
    site, assessment = demo(name)
    desk = Desk(Document.new(site))
    desk.put_assessment(desk.site, assessment)
    return desk


def saved_desk(name: str, folder: Path) -> Desk:
    """Return a desk with a copy of a demo site in a folder, assessed."""
    shutil.copytree(demo_sites_folder() / name, folder)
    _, assessment = demo(name)
    desk = Desk(Document.open(folder))
    desk.put_assessment(desk.site, assessment)
    return desk
