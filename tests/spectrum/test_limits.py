"""Power limits of many radios at once."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.spectrum import (
    BINDING_TERMS,
    RuleSet,
    correlated_chain_gain_db,
    elevation_limit_dbm,
    load_regions,
    power_limits,
    resolve,
)
from survey_app.spectrum.rules import Place, Topology

REGIONS = load_regions()
US, EU, CA = (REGIONS.find(code) for code in ("US", "EU", "CA"))


def _us(topology: Topology, centre: float = 5785.0, width: float = 20.0, control: bool = True) -> RuleSet:
    rules = resolve(US, "outdoor", topology, centre, width, control)
    assert rules is not None
    return rules


MANY: list[RuleSet | None] = [
    _us("multipoint_hub"),
    _us("point_to_point", 5180.0),
    None,
    _us("client", 5720.0, control=False),
    resolve(EU, "outdoor", "client", 5500.0, 10.0, False),
    resolve(CA, "outdoor", "multipoint_hub", 5260.0, 20.0, True),
]


def test_no_rule_gives_no_limit() -> None:
    limits = power_limits([None], 19.0)
    assert np.isnan(limits.limit_conducted_dbm[0])
    assert np.isnan(limits.limit_eirp_dbm[0])
    assert limits.binding[0] == ""
    assert limits.binding_row == ("",)


def test_no_radio_gives_empty_arrays() -> None:
    limits = power_limits([], [])
    assert limits.limit_conducted_dbm.shape == limits.limit_eirp_dbm.shape == limits.binding.shape == (0,)
    assert limits.binding_row == ()


def test_many_radios_at_once_equal_each_alone_bit_for_bit() -> None:
    gain = np.array([19.0, 25.0, 10.0, 12.5, 16.0, 9.0])
    loss = np.array([0.0, 0.7, 0.0, 1.4, 0.3, 0.0])
    chains = np.array([0.0, 0.0, 3.0, 3.0103, 0.0, 3.0103])
    together = power_limits(MANY, gain, loss, chains)
    backwards = power_limits(MANY[::-1], gain[::-1], loss[::-1], chains[::-1])
    for i, rules in enumerate(MANY):
        alone = power_limits([rules], gain[i], loss[i], chains[i])
        for name in ("limit_conducted_dbm", "limit_eirp_dbm", "binding"):
            np.testing.assert_array_equal(getattr(together, name)[i], getattr(alone, name)[0])
            np.testing.assert_array_equal(getattr(together, name)[i], getattr(backwards, name)[len(MANY) - 1 - i])
        assert together.binding_row[i] == alone.binding_row[0]


@pytest.mark.parametrize(
    ("rules", "gain", "term", "row"),
    [
        (_us("multipoint_hub"), 5.0, "conducted", "us.unii3.multipoint"),
        (_us("multipoint_hub"), 6.0, "conducted", "us.unii3.multipoint"),
        (_us("multipoint_hub"), 19.0, "gain back-off", "us.unii3.multipoint"),
        (_us("client", 5260.0, control=False), 19.0, "eirp", "us.unii2a"),
        (_us("client", 5260.0, width=10.0), 5.0, "density", "us.unii2a"),
        (_us("client", 5720.0), 19.0, "gain back-off", "us.unii2c"),
        (resolve(EU, "outdoor", "client", 5500.0, 20.0, True), 19.0, "eirp", "eu.5470"),
        (resolve(EU, "outdoor", "client", 5500.0, 10.0, True), 19.0, "density", "eu.5470"),
        (resolve(CA, "outdoor", "client", 5260.0, 20.0, True), 3.0, "conducted", "ca.5250"),
        (resolve(CA, "outdoor", "client", 5260.0, 20.0, True), 16.0, "eirp", "ca.5250"),
    ],
)
def test_binding_term_and_row_are_named(rules: RuleSet, gain: float, term: str, row: str) -> None:
    limits = power_limits([rules], gain)
    assert limits.binding[0] == term
    assert term in BINDING_TERMS
    assert limits.binding_row == (row,)


def test_feeder_gives_back_its_loss_where_the_gain_binds() -> None:
    bare, fed = (power_limits([_us("multipoint_hub")], 17.0, loss) for loss in (0.0, 0.7))
    assert float(fed.limit_conducted_dbm[0] - bare.limit_conducted_dbm[0]) == pytest.approx(0.7)
    assert float(fed.limit_eirp_dbm[0]) == pytest.approx(36.0)


def test_feeder_never_lifts_the_radio_above_the_conducted_limit() -> None:
    limits = power_limits([_us("multipoint_hub")] * 3, [0.0, 6.0, 6.5], [3.0, 3.0, 3.0])
    assert limits.limit_conducted_dbm.tolist() == [30.0, 30.0, 30.0]
    assert limits.binding.tolist() == ["conducted"] * 3
    assert limits.limit_eirp_dbm.tolist() == [27.0, 33.0, 33.5]


def test_feeder_gives_back_its_loss_under_an_eirp_limit() -> None:
    limits = power_limits([resolve(EU, "outdoor", "client", 5500.0, 20.0, True)], 17.0, 0.7)
    assert float(limits.limit_conducted_dbm[0]) == pytest.approx(30 - 17 + 0.7)
    assert float(limits.limit_eirp_dbm[0]) == pytest.approx(30.0)


def test_correlated_chains_count_as_gain() -> None:
    plain, joined = (power_limits([_us("multipoint_hub")], 17.0, 0.0, extra) for extra in (0.0, 3.0103))
    assert float(plain.limit_conducted_dbm[0] - joined.limit_conducted_dbm[0]) == pytest.approx(3.0103)
    assert float(joined.limit_eirp_dbm[0]) == pytest.approx(36.0)
    assert [round(float(x), 2) for x in correlated_chain_gain_db([1, 2, 4])] == [0.0, 3.01, 6.02]
    assert np.isnan(correlated_chain_gain_db(0))


def test_occupied_width_is_the_cautious_choice_for_density() -> None:
    rules = resolve(EU, "outdoor", "client", 5500.0, 20.0, True)
    cautious = power_limits([rules], 0.0, density_width_mhz=17.8125)
    assert float(cautious.limit_eirp_dbm[0]) == pytest.approx(17 + 12.507, abs=0.001)
    assert cautious.binding[0] == "density"


@pytest.mark.parametrize(
    ("gain", "loss", "chain_gain", "width"),
    [
        (float("nan"), 0.0, 0.0, None),
        (19.0, float("nan"), 0.0, None),
        (19.0, -1.0, 0.0, None),
        (19.0, 0.0, float("nan"), None),
        (19.0, 0.0, 0.0, float("nan")),
        (19.0, 0.0, 0.0, 0.0),
    ],
)
def test_unusable_element_gives_nan_and_spares_its_neighbours(
    gain: float, loss: float, chain_gain: float, width: float | None
) -> None:
    rules = [_us("point_to_point"), _us("point_to_point")]
    widths = None if width is None else [width, 20.0]
    limits = power_limits(rules, [gain, 19.0], [loss, 0.0], [chain_gain, 0.0], widths)
    assert np.isnan(limits.limit_conducted_dbm[0])
    assert np.isnan(limits.limit_eirp_dbm[0])
    assert limits.binding[0] == limits.binding_row[0] == ""
    assert float(limits.limit_eirp_dbm[1]) == 49.0


def test_arrays_of_another_length_raise() -> None:
    with pytest.raises(ValueError, match="broadcast"):
        power_limits([_us("client")], [1.0, 2.0])


@given(
    rules=st.sampled_from([rules for rules in MANY if rules is not None]),
    gain=st.floats(0, 35),
    more=st.floats(0, 10),
    loss=st.floats(0, 5),
)
def test_more_gain_never_raises_power_nor_lowers_eirp(rules: RuleSet, gain: float, more: float, loss: float) -> None:
    limits = power_limits([rules, rules], [gain, gain + more], loss)
    assert limits.limit_conducted_dbm[1] <= limits.limit_conducted_dbm[0] + 1e-9
    assert limits.limit_eirp_dbm[1] >= limits.limit_eirp_dbm[0] - 1e-9
    np.testing.assert_allclose(
        limits.limit_eirp_dbm, limits.limit_conducted_dbm - loss + np.array([gain, gain + more]), rtol=0, atol=1e-9
    )


@given(gain=st.floats(0, 35), centre=st.sampled_from([5180.0, 5260.0, 5500.0, 5785.0]))
def test_hub_is_never_permitted_more_than_point_to_point(gain: float, centre: float) -> None:
    hub, link = (power_limits([_us(use, centre)], gain) for use in ("multipoint_hub", "point_to_point"))
    assert hub.limit_eirp_dbm[0] <= link.limit_eirp_dbm[0] + 1e-9


def test_elevation_mask_holds_above_30_degrees_outdoors_for_the_hub_only() -> None:
    hub, link = _us("multipoint_hub", 5180.0), _us("point_to_point", 5180.0)
    angles = [-90.0, 0.0, 29.9, 30.1, 90.0, float("nan"), 91.0]
    expected = [np.inf, np.inf, np.inf, 21.0, 21.0, np.nan, np.nan]
    np.testing.assert_array_equal(elevation_limit_dbm(hub, angles, 36.0), expected)
    assert np.isposinf(elevation_limit_dbm(link, 60.0, 36.0))
    indoors = resolve(US, "indoor", "multipoint_hub", 5180.0, 20.0, True)
    assert indoors is not None
    assert np.isposinf(elevation_limit_dbm(indoors, 60.0, 36.0))


@pytest.mark.parametrize(
    ("angle", "dbw_per_mhz"),
    [(0.0, -13.0), (8.0, -13.0), (20.0, -13 - 0.716 * 12), (40.0, -35.9), (42.0, -38.34), (45.0, -42.0), (80.0, -42.0)],
)
def test_elevation_mask_by_density_is_summed_over_the_channel(angle: float, dbw_per_mhz: float) -> None:
    # from memory: the figures of the mask are marked so in the row
    rules = resolve(CA, "outdoor", "client", 5260.0, 20.0, True)
    assert rules is not None
    expected_dbm = dbw_per_mhz + 30 + 10 * np.log10(20)
    assert float(elevation_limit_dbm(rules, angle, 30.0)) == pytest.approx(expected_dbm, abs=0.02)


def test_elevation_mask_spares_a_weak_radio() -> None:
    rules = resolve(CA, "outdoor", "client", 5260.0, 20.0, True)
    assert rules is not None
    assert np.isposinf(elevation_limit_dbm(rules, 60.0, 23.0))
    assert np.isfinite(elevation_limit_dbm(rules, 60.0, 23.1))


def test_elevation_limit_of_a_channel_in_two_bands_is_the_tighter() -> None:
    rules = resolve(US, "outdoor", "multipoint_hub", 5250.0, 160.0, True)
    assert rules is not None
    assert float(elevation_limit_dbm(rules, 45.0, 36.0)) == 21.0


@pytest.mark.parametrize("place", ["indoor", "outdoor"])
def test_every_permitted_channel_has_a_finite_conducted_or_eirp_limit(place: Place) -> None:
    for region in REGIONS.regions:
        for number in range(30, 185):
            rules = resolve(region, place, "client", 5000.0 + 5 * number, 20.0, True)
            if rules is not None:
                assert np.isfinite(power_limits([rules], 16.0).limit_eirp_dbm[0])
