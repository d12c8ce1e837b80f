"""What the trade says about reach, asked of the product as a user would: common practice, no source (PRACTICE).

Two panels of 18 dBi with the power and sensitivity of one usual unit, 20 MHz, 15 dB of margin, no rise of the noise,
free space: full rate about 2 km, several stations some 7 km, one small stream about 18 km, and only where the region
takes nothing away for the gain. The figures are worked out anew from the printed loss formula of P525 at 5800 MHz.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from survey_app.assess.pair_reach import FIGURES, PairReach, Unit, pair_reach, range_at_margin_m
from survey_app.gear import load_catalogue
from survey_app.site.gear_type import RadioType
from survey_app.spectrum import load_regions

# (id, region, several stations, channel, full rate km, several stations km, one small stream km)
NINE = (
    ("no-back-off", "US", False, 161, 2.06, 7.3, 18.4),
    ("hub-36-dbm", "US", True, 161, 1.46, 3.67, 8.2),
    ("europe-30-dbm", "EU", False, None, 0.73, 1.84, 4.1),
)
FREQUENCY_MHZ = 5800.0


def panel() -> Unit:
    gear = load_catalogue().find("bowline-p18")
    assert isinstance(gear, RadioType)
    assert gear.pattern is not None
    assert gear.pattern.gain_dbi == 18.0
    return Unit(gear, gear.pattern)


def answer(region: str, *, several: bool, channel: int | None) -> PairReach:
    return pair_reach(
        panel(), panel(), load_regions().find(region),
        wanted_mbps=10.0, several_stations=several, margin_db=15.0, rise_db=0.0, channel=channel,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("case", "region", "several", "channel", "full", "middle", "small"), NINE, ids=[r[0] for r in NINE]
)
def test_nine_figures_of_the_trade(
    case: str, region: str, several: bool, channel: int | None, full: float, middle: float, small: float
) -> None:
    """PRACTICE: within 2 %; a channel elsewhere in the band is brought to 5800 MHz by its wavelength."""
    found = answer(region, several=several, channel=channel)
    assert tuple(figure.words for figure in found.figures) == tuple(words for words, _ in FIGURES)
    at_5800 = [figure.reach_m / 1000.0 * found.centre_mhz / FREQUENCY_MHZ for figure in found.figures]
    assert at_5800 == pytest.approx([full, middle, small], rel=0.02)


def test_without_the_limits_every_region_gives_the_first_three() -> None:
    for _, region, several, channel, *_ in NINE:
        found = answer(region, several=several, channel=channel)
        free = [figure.without_limits_m / 1000.0 * found.centre_mhz / FREQUENCY_MHZ for figure in found.figures]
        assert free == pytest.approx([2.06, 7.3, 18.4], rel=0.02)


def test_sentence_says_why_they_shrink_and_by_which_rule() -> None:
    assert "take nothing away" in answer("US", several=False, channel=161).sentences[0]
    hub = answer("US", several=True, channel=161).sentences[0]
    assert "18 dBm of its 25 dBm" in hub
    assert "15.407(a)(3)" in hub
    assert "12 dBm of its 25 dBm" in answer("EU", several=False, channel=None).sentences[0]


def test_reach_is_the_inverse_of_the_printed_loss_formula() -> None:
    """P525, 2019, section 2.2: 32.4478 + 20 log f (MHz) + 20 log d (km)."""
    level = np.linspace(70.0, 150.0, 81)
    reach_km = range_at_margin_m(level, FREQUENCY_MHZ, 15.0) / 1000.0
    loss_db = 32.4478 + 20.0 * math.log10(FREQUENCY_MHZ) + 20.0 * np.log10(reach_km)
    np.testing.assert_allclose(loss_db, level - 15.0, atol=1e-3)
