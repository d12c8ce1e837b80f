"""Who hears whom, as it is asked for: the levels of the record, and for whom a radio waits."""

from __future__ import annotations

import math

import numpy as np
import pytest

from survey_app.assess.hearing import who_hears
from survey_app.assess.pipeline import assess
from survey_app.physics.decibels import dbm_to_mw, mw_to_dbm
from survey_app.spectrum.regions import load_regions
from tests.assess.test_rules_radio import second_cell_across
from tests.plot import one_hop


def test_the_loudest_of_each_other_cell_adds_up_to_what_the_record_says() -> None:
    site = second_cell_across(157).site()
    found, record = who_hears(site, load_regions()), assess(site, load_regions())
    for hop in record.hops:
        for hearer, way in (
            (hop.access_point, hop.directions.to_access_point),
            (hop.station, hop.directions.to_station),
        ):
            n = found.rows[hearer]
            loudest: dict[str | None, float] = {}
            for k, key in enumerate(found.cells):
                if found.is_other(n, k):
                    loudest[key] = max(loudest.get(key, -math.inf), float(found.level_dbm[n, k]))
            together = float(mw_to_dbm(np.sum(dbm_to_mw(np.array(list(loudest.values()))))))
            assert way.interference_dbm is not None
            # scanned neighbours come on top
            assert way.interference_dbm >= together - 1e-6


def test_a_radio_waits_for_another_cell_on_its_channel_and_not_for_one_far_off_it() -> None:
    near, apart = who_hears(second_cell_across(157).site()), who_hears(second_cell_across(165).site())
    waited = dict(near.waited_for("A"))
    assert list(waited) == ["B"]
    n, k = near.rows["A"], near.rows["B"]
    assert waited["B"] == near.level_dbm[n, k]
    assert near.over_noise_db[n, k] == pytest.approx(waited["B"] - near.noise_dbm[n])
    assert apart.waited_for("A") == ()
    assert near.waited_for("nobody") == ()


def test_own_stations_are_not_others() -> None:
    found = who_hears(one_hop().site())
    assert found.waits.any()
    assert found.waited_for("A") == ()
    assert not found.is_other(found.rows["A"], found.rows["S"])
