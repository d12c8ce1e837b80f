"""Which rows permit a channel; what nobody permits is not permitted."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.spectrum import RuleSet, load_regions, power_limits, resolve, why_not
from survey_app.spectrum.rules import BandRow, Place, Region, Topology

REGIONS = load_regions()
US, EU, UK, CA, AU = (REGIONS.find(code) for code in ("US", "EU", "UK", "CA", "AU"))
TOPOLOGIES: tuple[Topology, ...] = ("multipoint_hub", "point_to_point", "client")
PLACES: tuple[Place, ...] = ("indoor", "outdoor")


def _with_rows(region: Region, rows: tuple[BandRow, ...]) -> Region:
    return Region(**{**{name: getattr(region, name) for name in Region.model_fields}, "rows": rows})


def _changed(region: Region, row_id: str, **changes: Any) -> Region:
    rows = tuple(
        BandRow(**{**{name: getattr(row, name) for name in BandRow.model_fields}, **changes})
        if row.id == row_id
        else row
        for row in region.rows
    )
    return _with_rows(region, rows)


USABLE = [pytest.param(region, row, id=row.id) for region in REGIONS.regions for row in region.rows if row.usable]


@pytest.mark.parametrize(("region", "row"), USABLE)
def test_removed_row_leaves_no_rule_and_never_a_default(region: Region, row: BandRow) -> None:
    without = _with_rows(region, tuple(other for other in region.rows if other.id != row.id))
    place: Place = "indoor" if row.place == "both" else row.place
    centre = (row.low_mhz + row.high_mhz) / 2
    before = resolve(region, place, row.topologies[0], centre, 10.0, True)
    assert before is not None
    assert before.row_ids == row.id
    assert resolve(without, place, row.topologies[0], centre, 10.0, True) is None
    refusal = why_not(without, place, row.topologies[0], centre, 10.0, True)
    assert refusal is not None
    if refusal.kind in ("no_rule", "wrong_topology"):
        assert "No rule is known" in refusal.sentence
        assert "not allowed" in refusal.sentence


@pytest.mark.parametrize(("region", "row"), USABLE)
def test_row_set_to_not_verified_is_not_used_and_says_so(region: Region, row: BandRow) -> None:
    doubtful = _changed(region, row.id, verified=False)
    place: Place = "indoor" if row.place == "both" else row.place
    centre = (row.low_mhz + row.high_mhz) / 2
    assert resolve(doubtful, place, row.topologies[0], centre, 10.0, True) is None
    refusal = why_not(doubtful, place, row.topologies[0], centre, 10.0, True)
    assert refusal is not None
    assert "nobody has verified it" in refusal.sentence


REFUSED: list[tuple[Region, Place, Topology, float, float, bool, str]] = [
    (EU, "outdoor", "point_to_point", 5180.0, 20.0, True, "wrong_place"),
    (UK, "outdoor", "multipoint_hub", 5785.0, 20.0, True, "wrong_place"),
    (US, "outdoor", "point_to_point", 6000.0, 20.0, True, "not_used"),
    (US, "indoor", "point_to_point", 5885.0, 20.0, True, "wrong_topology"),
    (AU, "outdoor", "client", 5620.0, 20.0, True, "no_rule"),
    (EU, "outdoor", "client", 5975.0, 20.0, True, "no_rule"),
    (AU, "outdoor", "client", 5862.5, 25.0, True, "closed"),
    (EU, "outdoor", "client", float("nan"), 20.0, True, "no_rule"),
    (EU, "outdoor", "client", 5500.0, 0.0, True, "no_rule"),
]


@pytest.mark.parametrize(("region", "place", "topology", "centre", "width", "control", "kind"), REFUSED)
def test_refusal_names_what_stands_in_the_way(
    region: Region, place: Place, topology: Topology, centre: float, width: float, control: bool, kind: str
) -> None:
    assert resolve(region, place, topology, centre, width, control) is None
    refusal = why_not(region, place, topology, centre, width, control)
    assert refusal is not None
    assert refusal.kind == kind
    assert refusal.sentence.endswith(".")
    assert (refusal.source is None) == (kind == "no_rule")


def test_refusal_outdoors_in_britain_also_says_why_the_licensed_row_is_off() -> None:
    refusal = why_not(UK, "outdoor", "point_to_point", 5785.0 - 40, 20.0, True)
    assert refusal is not None
    assert "indoors only" in refusal.sentence
    assert "IR 2007" in refusal.sentence


def test_refusal_is_none_where_the_channel_is_permitted() -> None:
    assert why_not(EU, "outdoor", "client", 5500.0, 20.0, True) is None


def test_row_that_needs_power_control_is_refused_without_it() -> None:
    strict = _changed(
        EU,
        "eu.5470",
        limits=EU.rows[2].limits.__class__(eirp_dbm=30.0),
    )
    assert strict.rows[2].id == "eu.5470"
    refusal = why_not(strict, "outdoor", "client", 5500.0, 20.0, False)
    assert refusal is not None
    assert refusal.kind == "needs_power_control"
    assert resolve(strict, "outdoor", "client", 5500.0, 20.0, True) is not None


def test_closed_part_of_a_band_is_kept_empty() -> None:
    notched = _changed(US, "us.unii3.ptp", closed_mhz=((5795.0, 5815.0),))
    assert resolve(notched, "outdoor", "point_to_point", 5805.0, 20.0, True) is None
    assert resolve(notched, "outdoor", "point_to_point", 5785.0, 20.0, True) is not None  # touches, does not overlap
    refusal = why_not(notched, "outdoor", "point_to_point", 5805.0, 20.0, True)
    assert refusal is not None
    assert refusal.kind == "closed"


@pytest.mark.parametrize(
    ("region", "centre", "width", "row_ids"),
    [
        (US, 5720.0, 20.0, "us.unii2c+us.unii3.multipoint"),
        (US, 5710.0, 40.0, "us.unii2c+us.unii3.multipoint"),
        (US, 5690.0, 80.0, "us.unii2c+us.unii3.multipoint"),
        (US, 5250.0, 160.0, "us.unii1.hub+us.unii2a"),
        (UK, 5720.0, 20.0, "uk.5470"),
        (AU, 5720.0, 20.0, "au.5650+au.5725"),
        (CA, 5720.0, 20.0, "ca.5470+ca.5725"),
    ],
)
def test_channel_in_two_bands_needs_a_row_in_each(region: Region, centre: float, width: float, row_ids: str) -> None:
    rules = resolve(region, "outdoor", "multipoint_hub", centre, width, True)
    assert rules is not None
    assert rules.row_ids == row_ids
    if "+" in row_ids:
        assert "two bands, of which the tighter limit holds" in rules.sentence
        alone = [
            power_limits([rules.__class__(**{**dict(rules), "rows": (row,)})], 10.0).limit_conducted_dbm[0]
            for row in rules.rows
        ]
        assert power_limits([rules], 10.0).limit_conducted_dbm[0] == min(alone)


def test_rule_set_is_a_valid_record() -> None:
    rules = resolve(US, "outdoor", "client", 5720, 20, False)
    assert rules is not None
    assert rules == RuleSet(**dict(rules))


def test_channel_over_a_gap_between_bands_is_not_permitted() -> None:
    assert resolve(US, "outdoor", "client", 5410.0, 160.0, True) is None


def test_unverified_relief_of_canada_falls_back_to_the_general_rule_of_the_same_document() -> None:
    rules = resolve(CA, "outdoor", "point_to_point", 5785.0, 20.0, True)
    assert rules is not None
    assert rules.row_ids == "ca.5725"
    assert float(power_limits([rules], 19.0).limit_eirp_dbm[0]) == pytest.approx(36.0)


def test_fields_from_memory_are_named() -> None:
    rules = resolve(CA, "outdoor", "client", 5500.0, 20.0, True)
    assert rules is not None
    assert "ca.5470: limits.density" in rules.from_memory
    assert rules.notes


def test_sentence_of_the_multipoint_hub_reads_as_the_rule_does() -> None:
    rules = resolve(US, "outdoor", "multipoint_hub", 5785.0, 20.0, True)
    assert rules is not None
    assert rules.sentence.startswith(
        "Point to multipoint in 5725-5850 MHz: 30 dBm conducted, less 1 dB for each dB of gain over 6 dBi "
        "(47 CFR 15.407(a)(3)(i), text of 2024-02-06"
    )
    assert rules.source == "CFR15407"
    assert rules.rules_edition == "US rules, checked 2026-11"


def test_sentence_without_power_control_says_so() -> None:
    rules = resolve(EU, "outdoor", "client", 5500.0, 20.0, False)
    assert rules is not None
    assert "27 dBm EIRP without power control" in rules.sentence
    assert "density" not in rules.sentence


def test_sentence_of_a_narrow_channel_names_the_density() -> None:
    rules = resolve(EU, "outdoor", "client", 5500.0, 10.0, True)
    assert rules is not None
    assert "17 dBm EIRP in any 1 MHz" in rules.sentence


def test_sentence_of_the_outdoor_hub_names_the_elevation_mask_only_outdoors() -> None:
    outdoors = resolve(US, "outdoor", "multipoint_hub", 5180.0, 20.0, True)
    indoors = resolve(US, "indoor", "multipoint_hub", 5180.0, 20.0, True)
    assert outdoors is not None
    assert indoors is not None
    assert "21 dBm EIRP above 30° of elevation" in outdoors.sentence
    assert "elevation" not in indoors.sentence
    canada = resolve(CA, "outdoor", "client", 5260.0, 20.0, True)
    assert canada is not None
    assert "an elevation mask beyond 23.01 dBm EIRP" in canada.sentence


def test_radar_sentence_is_empty_without_a_duty() -> None:
    rules = resolve(US, "outdoor", "client", 5785.0, 20.0, True)
    assert rules is not None
    assert (rules.radar_sentence, rules.radar_wait_s, rules.radar_outage_s, rules.non_occupancy_min) == ("", 0, 0, 0)
    radar = resolve(EU, "outdoor", "client", 5620.0, 20.0, True)
    assert radar is not None
    assert "600 s" in radar.radar_sentence
    assert "610 s" in radar.radar_sentence


def test_radar_duty_within_a_part_of_a_band_holds_there_only() -> None:
    row = EU.row("eu.5725.bfwa")
    assert row is not None
    own = _changed(EU, row.id, verified=True, provenance="printed", disabled="")
    within = resolve(own, "outdoor", "client", 5785.0, 20.0, True)
    beyond = resolve(own, "outdoor", "client", 5862.5, 20.0, True)
    assert within is not None
    assert beyond is not None
    assert within.row_ids == beyond.row_ids == "eu.5725.bfwa"
    assert within.radar_duty
    assert not beyond.radar_duty
    assert resolve(own, "outdoor", "client", 5785.0, 20.0, False) is not None  # the weak row needs no power control
    wide = resolve(own, "outdoor", "client", 5785.0, 40.0, True)
    assert wide is not None
    assert wide.row_ids == "eu.5725.srd"


@given(
    region=st.sampled_from(REGIONS.regions),
    place=st.sampled_from(PLACES),
    topology=st.sampled_from(TOPOLOGIES),
    channel=st.integers(30, 185),
    width=st.sampled_from([5.0, 10.0, 20.0, 40.0, 80.0, 160.0]),
    control=st.booleans(),
)
def test_either_rows_cover_the_whole_channel_or_a_reason_is_given(
    region: Region, place: Place, topology: Topology, channel: int, width: float, control: bool
) -> None:
    centre = 5000.0 + 5 * channel
    rules = resolve(region, place, topology, centre, width, control)
    refusal = why_not(region, place, topology, centre, width, control)
    assert (rules is None) != (refusal is None)
    if rules is None:
        return
    reached = centre - width / 2
    for row in rules.rows:
        assert row.usable
        assert topology in row.topologies
        assert row.place in (place, "both")
        assert row.low_mhz <= reached
        reached = row.high_mhz
    assert reached >= centre + width / 2
    # dropping power control never permits more
    if control:
        without = resolve(region, place, topology, centre, width, False)
        if without is not None:
            low, high = (float(power_limits([r], 16.0).limit_eirp_dbm[0]) for r in (without, rules))
            assert low <= high + 1e-9
