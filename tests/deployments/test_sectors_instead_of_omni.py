"""Several sectors instead of the omni: the same stations in three cells."""

from __future__ import annotations

import pytest

from tests.deployments.ground import assessed_at, cell, codes
from tests.deployments.hub import omni, sectors


def test_three_sectors_have_three_airs() -> None:
    """Four cameras a cell: 16.992 / 130 / 0.45 = 0.29046, a third of the omni's 0.87138."""
    found, one = assessed_at(sectors()), assessed_at(omni())
    loads = [cell(found, key).load_fraction for key in ("A1", "A2", "A3")]
    assert loads == pytest.approx([0.29046] * 3, abs=1e-5)
    assert sum(load or 0.0 for load in loads) == pytest.approx(cell(one, "A").load_fraction)
    assert "cell-full" not in codes(found, "stop", "warn", "note")


def test_three_sectors_have_room_where_the_omni_has_none() -> None:
    """60 % less its own 29.046 % and the 4 % of a neighbour are 26.954 %, of 0.45 of the air 0.12129; over
    4.24848 / 130 = 0.032681 that is 3.71: three in each cell.
    """
    found = assessed_at(sectors())
    assert [row.more_cameras for row in found.cells] == [3, 3, 3]


def test_losing_the_hub_darkens_all_and_losing_a_sector_a_third() -> None:
    """The omni carries twelve cameras, each sector four."""
    one = {row.subject: len(row.dark) for row in assessed_at(omni()).failures}
    three = {row.subject: len(row.dark) for row in assessed_at(sectors()).failures}
    assert (one["A"], three["A1"], three["A2"], three["A3"]) == (12, 4, 4, 4)
