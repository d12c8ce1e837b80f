"""Demo sites with their assessments, read once."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.site.edits import change_design
from survey_app.site.file import read_site
from survey_app.site.site import Site

_DEMO = Path(__file__).resolve().parents[2] / "demo_sites"


@lru_cache(maxsize=8)
def demo(name: str, units: str = "both") -> tuple[Site, Assessment]:
    site = change_design(read_site(_DEMO / name), units=units).after
    return site, assess(site)
