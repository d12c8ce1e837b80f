"""Addresses: given once in order, kept when things come and go, refused when a block is too small."""

from __future__ import annotations

import ipaddress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.errors import UsageError
from survey_app.site.addressing import block_of
from survey_app.site.edits import change, fill_addresses, remove, set_address_plan
from survey_app.site.edits.addressing import addressed_things
from survey_app.site.network import Device
from survey_app.site.site import Site
from tests.plot import sector


def yard() -> Site:
    return sector(60.0, 90.0, 120.0, cameras=3).site()


def addresses(site: Site) -> dict[str, str]:
    return {thing.id: thing.address for _, thing in addressed_things(site)}


def test_radios_and_cameras_take_theirs_from_two_blocks() -> None:
    site = fill_addresses(set_address_plan(yard(), "10.20.0.0/24", "10.20.1.0/24", reserved=10).after).after
    found = addresses(site)
    assert all(found.values())
    assert len(set(found.values())) == len(found)
    for network, thing in addressed_things(site):
        block = ipaddress.ip_network("10.20.0.0/24" if network == "management" else "10.20.1.0/24")
        assert ipaddress.ip_address(thing.address) in block
    assert found[site.design.radios[0].id] == "10.20.0.11"


def test_what_has_an_address_keeps_it_when_others_come_and_go() -> None:
    site = fill_addresses(set_address_plan(yard(), "10.20.0.0/24", "10.20.1.0/24").after).after
    before = addresses(site)
    gone = site.design.cameras[0].id
    less = remove(site, gone, cascade=True).after
    assert fill_addresses(less).after is less, "nothing is left to give"
    freed = change(less, site.design.cameras[1].id, address="").after
    after = addresses(fill_addresses(freed).after)
    assert {key: value for key, value in after.items() if key != site.design.cameras[1].id} == {
        key: value for key, value in before.items() if key not in (gone, site.design.cameras[1].id)
    }
    assert after[site.design.cameras[1].id] == before[gone], "the first free one"


def test_block_that_is_too_small_gives_nothing_to_anybody() -> None:
    site = set_address_plan(yard(), "10.20.0.0/30", "10.20.1.0/24", reserved=0).after
    with pytest.raises(UsageError, match=r"management block 10\.20\.0\.0/30 has no address left for"):
        fill_addresses(site)
    assert not any(addresses(site).values())


def test_overlapping_blocks_never_give_one_address_twice() -> None:
    site = fill_addresses(set_address_plan(yard(), "10.0.0.0/24", "10.0.0.0/25", reserved=0).after).after
    found = list(addresses(site).values())
    assert len(set(found)) == len(found)


@pytest.mark.parametrize("text", ["10.0.0.0", "10.0.0.5/24", "10.0.0.0/33", "10.0.0.0/31", "x", "::/64", "10.0.0.0/4"])
def test_block_that_is_none_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(UsageError, match="addresses, management"):
        set_address_plan(yard(), text)


def test_site_without_a_plan_is_told_so() -> None:
    with pytest.raises(UsageError, match="has no plan of addresses"):
        fill_addresses(yard())


@settings(max_examples=30)
@given(st.integers(8, 30), st.integers(0, 2**32 - 1))
def test_blocks_are_those_of_the_standard_library(length: int, number: int) -> None:
    network = ipaddress.ip_network((number, length), strict=False)
    assert block_of(str(network)) == network


def test_server_that_signs_radios_in_has_a_management_address() -> None:
    plot = sector(60.0, 90.0, 120.0, cameras=1)
    plot.add("devices", Device(id="names", gear="wicket-1", structure="office"))
    assert ("management", "names") in [(network, thing.id) for network, thing in addressed_things(plot.site())]
