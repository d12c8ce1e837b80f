"""The shipped rows themselves: complete, consistent, honest about what nobody saw."""

from __future__ import annotations

import re

import pytest

from survey_app.data import shared_folder
from survey_app.spectrum import STANDARD_CHANNELS, load_regions
from survey_app.spectrum.rules import BandRow, Region

REGIONS = load_regions()
ROWS = [pytest.param(region, row, id=row.id) for region in REGIONS.regions for row in region.rows]


@pytest.mark.parametrize(("region", "row"), ROWS)
def test_row_when_shipped_names_document_edition_and_date(region: Region, row: BandRow) -> None:
    assert row.document
    assert row.section
    assert row.edition
    assert re.match(r"^\d{4}", row.date)
    assert row.document in row.citation
    assert row.edition in row.citation
    assert row.id.startswith(region.region.lower() + ".")


@pytest.mark.parametrize(("region", "row"), ROWS)
def test_source_of_row_stands_in_the_list_of_references(region: Region, row: BandRow) -> None:
    references = (shared_folder() / "references.md").read_text(encoding="utf-8")
    assert f"\n- [{row.source}] " in references
    assert row.source != "OWN"


@pytest.mark.parametrize(("region", "row"), ROWS)
def test_row_from_memory_when_shipped_is_switched_off_with_a_sentence(region: Region, row: BandRow) -> None:
    if row.provenance == "memory":
        assert not row.verified
        assert row.disabled
    if not row.usable:
        assert row.why_not_usable.endswith(".")
        assert len(row.why_not_usable) > 60


@pytest.mark.parametrize(("region", "row"), ROWS)
def test_row_above_5900_mhz_when_shipped_is_switched_off(region: Region, row: BandRow) -> None:
    assert row.high_mhz < 10000
    if row.low_mhz >= 5895:
        assert not row.usable


@pytest.mark.parametrize(("region", "row"), ROWS)
def test_radar_band_has_the_duty_in_every_row(region: Region, row: BandRow) -> None:
    if row.high_mhz <= 5350 and row.low_mhz >= 5250:
        assert row.radar is not None
    if row.low_mhz >= 5470 and row.high_mhz <= 5730:
        assert row.radar is not None


@pytest.mark.parametrize(("region", "row"), ROWS)
def test_channel_list_of_a_5_ghz_row_holds_every_channel_that_fits(region: Region, row: BandRow) -> None:
    if not row.usable or row.low_mhz < 5000:
        return
    for part in row.channels:
        fitting = {
            number
            for number in STANDARD_CHANNELS[part.width_mhz]
            if row.low_mhz <= 5000 + 5 * number - part.width_mhz / 2
            and 5000 + 5 * number + part.width_mhz / 2 <= row.high_mhz
        }
        assert fitting <= set(part.channels)
        assert set(part.channels) <= set(STANDARD_CHANNELS[part.width_mhz])


def test_citation_when_edition_holds_the_date_says_it_once() -> None:
    row = REGIONS.find("US").row("us.unii3.multipoint")
    assert row is not None
    assert row.citation.startswith("47 CFR 15.407(a)(3)(i), text of 2024-02-06")
    assert row.citation.count("2024") == 1


def test_unverified_row_without_a_reason_gets_one() -> None:
    row = REGIONS.find("US").row("us.unii3.ptp")
    assert row is not None
    doubtful = BandRow(**{**{name: getattr(row, name) for name in BandRow.model_fields}, "verified": False})
    assert not doubtful.usable
    assert "us.unii3.ptp" in doubtful.why_not_usable
    assert "not used" in doubtful.why_not_usable
