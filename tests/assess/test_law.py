"""Which rule holds for a radio: by region, place, topology and antenna; what no row permits is not permitted."""

from __future__ import annotations

import pytest

from survey_app.assess.pipeline import assess
from survey_app.data import demo_sites_folder
from survey_app.site.file import read_site
from survey_app.spectrum.regions import Regions, load_regions
from survey_app.spectrum.rules import ChainRule, Region
from tests.assess.rule_case import assessed
from tests.plot import Plot, one_hop, sector


def test_station_of_a_cell_is_a_client_unless_its_certificate_says_otherwise() -> None:
    plain = sector(60.0, 90.0, ceiling=None, station_ceiling=None)
    assert assessed(plain.site()).radio("S1").topology == "client"
    assert assessed(plain.site()).radio("S1").eirp_limit_dbm == pytest.approx(36.0)
    named = sector(60.0, 90.0, ceiling=None, station_ceiling=None)
    named.set("radios", "S1", link_rule="certified_point_to_point", note="certificate INV-1, fixed point to point")
    row = assessed(named.site()).radio("S1")
    assert (row.topology, row.eirp_limit_dbm) == ("point_to_point", pytest.approx(46.0))
    unnamed = sector(60.0, 90.0, ceiling=None, station_ceiling=None)
    unnamed.set("radios", "S1", link_rule="certified_point_to_point")
    assert assessed(unnamed.site()).radio("S1").topology == "client"


def test_cell_of_an_omni_with_one_station_is_multipoint() -> None:
    plot = one_hop(ceiling=None)
    plot.set("radios", "A", gear="becket-c", antenna="rove-o12", feeder="tail-1")
    assert assessed(plot.site()).radio("A").topology == "multipoint_hub"


def with_feeders(count: int) -> Plot:
    plot = one_hop(region="EU", country="DK", channel=104, ceiling=None)
    plot.set("radios", "A", gear="becket-c", antenna="clove-a17", feeder="tail-1", feeder_count=count)
    return plot


def test_feeder_gives_back_what_it_takes_of_an_eirp_limit() -> None:
    """30 dBm EIRP in 5470-5725 MHz: each feeder of 0.7 dB lets the unit send 0.7 dB more."""
    for count in (0, 1, 3):
        row = assessed(with_feeders(count).site()).radio("A")
        assert row.feeder_loss_db == pytest.approx(0.7 * count)
        assert row.eirp_limit_dbm == pytest.approx(30.0)
        assert row.conducted_limit_dbm == pytest.approx(30.0 - 17.0 + 0.7 * count)


@pytest.mark.parametrize(
    ("region", "country", "channel", "place", "allowed"),
    [
        ("EU", "DK", 36, "outdoors", False),
        ("EU", "DK", 36, "sheltered", False),
        ("EU", "DK", 36, "indoors", True),
        ("US", "US", 36, "outdoors", True),
        ("AU", "AU", 124, "outdoors", False),
        ("CA", "CA", 149, "outdoors", True),
    ],
)
def test_place_and_band_decide_whether_there_is_a_rule(
    region: str, country: str, channel: int, place: str, allowed: bool
) -> None:
    plot = one_hop(region=region, country=country, channel=channel)
    for mount in ("m-office", "m-column"):
        plot.set("mounts", mount, environment=place)
    row = assessed(plot.site()).radio("A")
    assert (row.conducted_limit_dbm is not None) == allowed
    assert (row.limit_rule is not None) == allowed
    assert row.limit_sentence


def test_region_of_ones_own_works_without_code() -> None:
    """Two rows of a made-up country, in a folder of the user's own."""
    row = assessed(one_hop(region="FJORD", country=None, channel=104, ceiling=None).site()).radio("A")
    assert (row.limit_rule, row.eirp_limit_dbm) == ("fjord.low", pytest.approx(30.0))
    assert "Fjord radio rules" in row.limit_sentence


def uk(chains: ChainRule | None) -> Regions:
    region = load_regions().find("UK")
    return Regions(regions=(Region(**{**region.__dict__, "chains": chains}),))


def test_chains_into_like_antennas_add_to_the_gain_where_the_region_counts_them() -> None:
    """Indoors in the United Kingdom 23.01 dBm EIRP: 5 dBi leave 18.01 dBm; two chains counted, 3.01 dB less."""
    site = read_site(demo_sites_folder() / "mill")
    shipped = load_regions().find("UK").chains
    assert shipped is not None
    assert shipped.counted
    free_rule = ChainRule(counted=False, source="EN300328", provenance="secondary", note="No beam is formed.")
    counted, unsaid, free = (assess(site, uk(rule)) for rule in (shipped, None, free_rule))
    assert counted.radio("A-I").conducted_limit_dbm == pytest.approx(15.0, abs=0.01)
    assert unsaid.radio("A-I") == counted.radio("A-I")
    assert free.radio("A-I").conducted_limit_dbm == pytest.approx(18.01, abs=0.01)
    assert free.radio("A-I").tx_power_full_dbm == 18.0
    # a crossed pair adds nothing either way
    assert free.radio("A-C1") == counted.radio("A-C1")
