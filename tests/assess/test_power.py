"""Power while aiming, at the most, and under automatic control: whole steps inside floor, ceiling, law and curve."""

from __future__ import annotations

import numpy as np
import pytest

from survey_app.assess.job import Job
from survey_app.assess.numbers import Numbers, numbers
from tests.assess.rule_case import assessed, regions
from tests.designs import good_design
from tests.plot import one_hop


@pytest.mark.parametrize(
    ("ceiling", "aiming", "full"),
    [
        (None, 21.0, 25.0),  # the curve at its highest rate, and at its lowest
        (19.0, 19.0, 19.0),
        (19.9, 19.0, 19.0),  # whole steps
        (23.0, 21.0, 23.0),
        (-5.0, 0.0, 0.0),  # a unit cannot send less than its floor
    ],
)
def test_power_while_aiming_is_the_least_of_ceiling_and_curve(
    ceiling: float | None, aiming: float, full: float
) -> None:
    row = assessed(one_hop(distance=2000.0, ceiling=ceiling).site()).radio("A")
    assert (row.tx_power_total_dbm, row.tx_power_full_dbm) == (aiming, full)


def test_power_under_an_eirp_limit_is_the_law_s() -> None:
    row = assessed(one_hop(region="EU", country="DK", channel=104, ceiling=None).site()).radio("A")
    assert (row.tx_power_total_dbm, row.eirp_dbm) == (14.0, pytest.approx(30.0))


def test_fixed_power_in_service_is_full_power() -> None:
    plot = one_hop(ceiling=12.0)
    plot.set("radios", "A", power_mode="fixed")
    row = assessed(plot.site()).radio("A")
    assert row.tx_power_auto_dbm == row.tx_power_full_dbm == 12.0


def _wanted_level_dbm(found: Numbers, hop: int, *, at_station: bool) -> float:
    sensitivity = found.rates.sensitivity_s_dbm if at_station else found.rates.sensitivity_a_dbm
    needed = sensitivity[hop, found.needed[hop]] + 3.0 + found.hops.wanted_margin_db[hop]
    return float(max(needed, -55.0))


@pytest.mark.parametrize("seed", range(40))
def test_automatic_power_is_just_enough_for_every_far_end(seed: int) -> None:
    """One step less would leave a far end short, unless floor or ceiling decides."""
    job = Job(good_design(seed).plot.site())
    found = numbers(job, regions())
    for n in range(len(found.radios.ids)):
        sent, floor, full = (
            float(row[n]) for row in (found.powers.service_dbm, found.radios.power_floor_dbm, found.powers.full_dbm)
        )
        rows = [h for h in range(len(found.hops.ids)) if n in (found.hops.access_point[h], found.hops.station[h])]
        spare = min(
            sent + found.path.path_gain_db[h] - _wanted_level_dbm(found, h, at_station=n == found.hops.access_point[h])
            for h in rows
        )
        assert floor <= sent <= full
        assert (sent - floor) / found.radios.power_step_db[n] == pytest.approx(
            round((sent - floor) / found.radios.power_step_db[n])
        )
        assert sent == full or spare >= -1e-6
        assert sent == floor or spare < found.radios.power_step_db[n] + 1e-6


def test_hop_whose_path_is_unknown_asks_for_no_power() -> None:
    from survey_app.assess.power import automatic_dbm

    job = Job(good_design(3).plot.site())
    found = numbers(job, regions())
    path = found.path.path_gain_db.copy()
    plain = automatic_dbm(
        found.radios, found.hops, found.rates, path, found.needed.astype(float), found.powers.full_dbm, -55.0, 3.0
    )
    path[0] = np.nan
    holed = automatic_dbm(
        found.radios, found.hops, found.rates, path, found.needed.astype(float), found.powers.full_dbm, -55.0, 3.0
    )
    untouched = [n for n in range(len(plain)) if n not in (found.hops.access_point[0], found.hops.station[0])]
    assert np.isfinite(holed).all()
    assert (holed[untouched] == plain[untouched]).all()
