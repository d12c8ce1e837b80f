"""What the demo sites say of the way of their hops: every finding of these codes, and no other."""

from __future__ import annotations

import functools

import pytest

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.assess.rules import drawn, leaves, targets, traffic, water, way
from survey_app.data import demo_sites_folder
from survey_app.site.edits import perform
from survey_app.site.file import read_site
from tests.demo.hand import files

CODES = {code for module in (way, leaves, traffic, drawn, water, targets) for code in module.CODES}
Said = tuple[str, str, str, str | None]

FLAT: Said = ("note", "assumed-flat", "site", None)
ALWAYS: list[Said] = [
    ("warn", "water-ripple", "A-P", None),
    ("note", "moving-blocker", "F", "laid-up"),
    ("note", "leaf-and-growth", "G", None),
    ("note", "moving-blocker", "G", "lorry-lane"),
]
EXPECTED: dict[str, list[Said]] = {
    "boatyard/site.json": [
        ("warn", "moving-blocker", "S-A", "hoist-lane"),
        ("warn", "moving-blocker", "S-B", "hoist-lane"),
        ("warn", "not-clear", "S-B", None),
        *ALWAYS,
        FLAT,
    ],
    "boatyard/alternatives/cured.json": [
        *ALWAYS,
        ("note", "moving-blocker", "S-A", "hoist-lane"),
        ("note", "moving-blocker", "S-B", "hoist-lane"),
        FLAT,
    ],
    "college/site.json": [FLAT],
    "college/alternatives/omni.json": [FLAT],
    "college/alternatives/sectors.json": [FLAT],
    "college/alternatives/cured.json": [FLAT],
    "mill/site.json": [FLAT],
    "mill/alternatives/cured.json": [FLAT],
    "mill/alternatives/doubled.json": [FLAT],
    "mill/alternatives/relay.json": [FLAT],
}


@functools.cache
def _found(file: str) -> Assessment:
    return assess(read_site(demo_sites_folder() / file))


@pytest.mark.parametrize("file", files())
def test_findings_of_the_way_are_those_of_the_story(file: str) -> None:
    said = [(f.severity, f.code, f.subject, f.second_subject) for f in _found(file).findings if f.code in CODES]
    assert said == EXPECTED[file]


def test_panel_when_raised_to_eleven_metres_clears_hoist_and_paint_shed() -> None:
    """One edit, offered first by all three findings of the panel."""
    site = read_site(demo_sites_folder() / "boatyard/site.json")
    rows = [f for f in _found("boatyard/site.json").findings if f.severity == "warn" and f.subject in ("S-A", "S-B")]
    first = {row.cures[0] for row in rows}
    (cure,) = first
    assert cure.text == "Raise shed-east by 0.5 m, to 11.0 m: clears S-A and S-B."
    assert cure.edit is not None
    after = assess(perform(site, cure.edit, {one.name: one.value for one in cure.arguments}).after)
    assert [f.message for f in after.findings if f.severity != "note" and f.subject in ("S-A", "S-B")] == []


def test_harbour_moves_the_horizontal_chain_of_the_outer_jetties_as_by_hand() -> None:
    """Two rays over the tide of 3.2 m with the sector's own beam: +1.7 -2.2 dB; the middle hop looks along its jetty."""
    (row,) = (f for f in _found("boatyard/site.json").findings if f.code == "water-ripple")
    assert "P-W and P-E" in row.message
    assert "+1.7 -2.2 dB on the horizontal chain and +0.4 -0.5 dB on the vertical one" in row.message
    assert row.value == pytest.approx(3.9, abs=0.05)


def test_mill_corner_stands_a_whole_zone_beside_the_chain() -> None:
    hop = _found("mill/alternatives/cured.json").hop("C2")
    assert hop.clearance_obstacle == "mill"
    assert hop.clearance_m == pytest.approx(1.98, abs=0.01)
    assert hop.fresnel_clearance_ratio == pytest.approx(1.06, abs=0.01)
