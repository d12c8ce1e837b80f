"""Limits toward the sky lower a hub's power where its pattern reaches up, and only there."""

from __future__ import annotations

import numpy as np
import pytest

from survey_app.assess.gain import gain_toward_dbi
from survey_app.assess.job import Job
from survey_app.assess.numbers import Numbers, numbers
from survey_app.site.radio import AimByHand
from tests.assess.rule_case import assessed, regions
from tests.plot import Plot, sector

SKY_DBM = 21.0
"""Outdoors in 5150-5250 MHz a US hub sends at most 125 mW EIRP above 30 degrees [CFR15407], (a)(1)(i)."""


def hub(gear: str, channel: int, tilt_deg: float | None = None) -> Plot:
    plot = sector(85.0, 95.0, gear=gear, channel=channel, ceiling=None)
    if tilt_deg is not None:
        plot.set("radios", "A", aim=AimByHand(bearing_deg=90.0, north="plan", tilt_deg=tilt_deg))
    return plot


def found(plot: Plot) -> tuple[Numbers, int]:
    job = Job(plot.site())
    rows = numbers(job, regions())
    return rows, rows.radios.row["A"]


def most_toward_the_sky_dbm(rows: Numbers, n: int) -> float:
    """Return the most EIRP above 30 degrees at the power that the law leaves, by looking everywhere."""
    bearing, upward = np.meshgrid(np.arange(0.0, 360.0, 3.0), np.arange(30.0, 90.1, 0.5))
    aim, bracket = np.full(bearing.shape, rows.aims.bearing_deg[n]), np.full(bearing.shape, rows.aims.bracket_deg[n])
    gain = gain_toward_dbi(rows.radios, np.full(bearing.shape, n), bearing, upward, aim, bracket)
    return float(rows.law.conducted_dbm[n] - rows.radios.feeder_loss_db[n] + np.max(gain))


@pytest.mark.parametrize("tilt_deg", [0.0, 5.0, 12.0, 25.0])
def test_hub_when_its_beam_is_lifted_may_send_less(tilt_deg: float) -> None:
    rows, n = found(hub("bowline-p16", 36, tilt_deg))
    plain, _ = found(hub("bowline-p16", 149, tilt_deg))
    assert rows.law.conducted_dbm[n] < plain.law.conducted_dbm[n]
    assert rows.law.binding[n] == "elevation mask"
    assert most_toward_the_sky_dbm(rows, n) == pytest.approx(SKY_DBM, abs=0.1)


def test_hub_with_a_flat_beam_keeps_its_limit() -> None:
    rows, n = found(hub("clove-s20", 36))
    assert rows.law.conducted_dbm[n] == pytest.approx(16.0)
    assert rows.law.binding[n] == "gain back-off"
    assert most_toward_the_sky_dbm(rows, n) < SKY_DBM


def test_limit_along_the_axis_falls_with_the_power() -> None:
    rows, n = found(hub("bowline-p16", 36, 12.0))
    assert rows.law.eirp_dbm[n] == pytest.approx(rows.law.conducted_dbm[n] + 16.0)


def test_ceiling_over_the_mask_is_found_and_its_cure_keeps_to_it() -> None:
    plot = hub("bowline-p16", 36, 12.0)
    plot.set("radios", "A", power_ceiling_dbm=18.0)
    (over,) = (row for row in assessed(plot.site()).findings if row.code == "over-limit")
    assert "toward the sky" in over.message
    assert over.limit is not None
    assert over.limit < 18.0


def test_full_power_without_a_ceiling_keeps_to_the_mask_by_itself() -> None:
    found_rows = assessed(hub("bowline-p16", 36, 12.0).site())
    row = found_rows.radio("A")
    assert row.tx_power_full_dbm is not None
    assert row.conducted_limit_dbm is not None
    assert row.tx_power_full_dbm <= row.conducted_limit_dbm
    assert [one.code for one in found_rows.findings if one.code == "over-limit"] == []
