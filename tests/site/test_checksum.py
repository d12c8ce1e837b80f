"""The checksum of a design."""

from __future__ import annotations

import datetime
import hashlib
import json
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from survey_app.site import Design, Site, checksum, edits
from survey_app.site.file import read_site, site_from_bytes, site_to_bytes
from survey_app.site.plain import plain
from tests.site.full_site import full_site
from tests.site.random_sites import sites


def test_checksum_is_that_of_the_canonical_text() -> None:
    design = Design(name="Büro", as_of=datetime.date(2026, 12, 1), region="EU")
    text = '{"as_of":"2026-12-01","name":"B\\u00fcro","region":"EU"}'
    digits = hashlib.sha256(text.encode()).hexdigest()[:12].upper()
    assert checksum(design) == f"{digits[:4]} {digits[4:8]} {digits[8:]}"
    assert re.fullmatch(r"[0-9A-F]{4} [0-9A-F]{4} [0-9A-F]{4}", checksum(design))


@pytest.mark.parametrize("demo", ["boatyard", "college", "mill"])
def test_checksum_of_a_demo_is_that_of_its_own_text_whatever_fields_were_added_since(demo: str) -> None:
    file = Path(__file__).parents[2] / "demo_sites" / demo / "site.json"
    written = json.loads(file.read_text(encoding="utf-8"))["design"]
    text = json.dumps(written, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    digits = hashlib.sha256(text.encode()).hexdigest()[:12].upper()
    assert checksum(read_site(file).design).replace(" ", "") == digits


def test_checksum_does_not_see_defaults_written_out() -> None:
    short = Design(name="Yard", as_of=datetime.date(2026, 12, 1))
    long = Design(name="Yard", as_of=datetime.date(2026, 12, 1), revision="A", units="metric", structures=())
    assert checksum(short) == checksum(long)


def test_checksum_changes_with_any_edit_of_the_design_and_comes_back_with_undo() -> None:
    site = full_site()
    changed = [
        edits.change(site, "gate-mount", height_m=6.001),
        edits.set_revision(site, "B"),
        edits.rename(site, "note", "note-2"),
        edits.remove_gear(site, "tie"),
        edits.withdraw_acceptance(site, "not-checked:hop"),
    ]
    sums = {checksum(edit.after.design) for edit in changed} | {checksum(site.design)}
    assert len(sums) == len(changed) + 1


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(sites())
def test_checksum_is_the_same_after_saving_and_loading(site: Site) -> None:
    loaded = site_from_bytes(site_to_bytes(site), "random")
    assert checksum(loaded.design) == checksum(site.design)
    assert plain(loaded) == plain(site)
