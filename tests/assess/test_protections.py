"""What protection costs: an old cipher in figures worked by hand, beside a new station."""

from __future__ import annotations

import pytest

from survey_app.assess.protections import protection_choices
from survey_app.errors import UnknownNameError
from survey_app.site.gear_type import RadioType
from tests.assess.rule_case import catalogue, regions
from tests.plot import Plot, one_hop


def with_old_station() -> Plot:
    """The station's type runs TKIP at most; the access point runs everything."""
    plot = one_hop(cameras=3)
    for key in ("A", "S"):
        plot.set("radios", key, power_mode="fixed")
    panel = catalogue().find("bowline-p16")
    assert isinstance(panel, RadioType)
    new = {**dict(panel), "protections": ("wpa2_aes", "wpa_tkip", "wep", "none")}
    old = {**new, "id": "old-panel", "name": "Old panel", "protections": ("wpa_tkip", "wep")}
    plot.more_gear += [RadioType(**new), RadioType(**old)]
    plot.set("radios", "S", gear="old-panel", protection="wpa_tkip")
    return plot


def test_old_cipher_and_new_station_stand_side_by_side_in_figures() -> None:
    """By hand: TKIP bars the faster mode, 54 Mbit/s are left: 54 x 0.55 = 29.7 alone; a cap between two rates of the
    table falls to the cap. Three cameras, 12.744 Mbit/s: 12.744 / 54 / 0.55 = 0.4291. With AES 130 Mbit/s: 71.5 alone
    and 0.1782.
    """
    strong, tkip, wep = protection_choices(with_old_station().site(), "H-S", regions())
    assert (strong.protection, strong.station_gear) == ("wpa2_aes", "bowline-p16")
    assert (strong.rate_mbps, strong.carries_mbps) == (pytest.approx(130.0), pytest.approx(71.5))
    assert strong.load_fraction == pytest.approx(0.1782, abs=1e-4)
    assert (tkip.protection, tkip.station_gear) == ("wpa_tkip", None)
    assert (tkip.rate_mbps, tkip.carries_mbps) == (pytest.approx(54.0), pytest.approx(29.7))
    assert tkip.load_fraction == pytest.approx(0.4291, abs=1e-4)
    assert wep.protection == "wep"


def test_units_that_both_run_the_strongest_have_no_need_of_another_station() -> None:
    choices = protection_choices(one_hop().site(), "H-S", regions())
    assert choices
    assert all(row.station_gear is None for row in choices)


def test_hop_that_is_not_there_is_refused() -> None:
    with pytest.raises(UnknownNameError):
        protection_choices(one_hop().site(), "no", regions())
