"""Names in the network: the pattern of the site filled in, fit for a network, and no two alike."""

from __future__ import annotations

import re
from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.site.edits import set_address_plan
from survey_app.site.network_names import names_in_network
from survey_app.site.site import Site
from tests.plot import sector


@cache
def yard() -> Site:
    return sector(60.0, 90.0, 120.0, cameras=3).site()


def named(pattern: str) -> dict[str, str]:
    return names_in_network(set_address_plan(yard(), "10.20.0.0/24", name_pattern=pattern).after)


def test_pattern_is_filled_with_kind_id_and_mount() -> None:
    radio, camera = yard().design.radios[0], yard().design.cameras[0]
    assert named("{kind}-{id}")[radio.id] == f"radio-{radio.id}"
    assert named("quay.{mount}.{id}")[radio.id] == f"quay.{radio.mount}.{radio.id}"
    assert named("{kind}-{id}")[camera.id] == f"camera-{camera.id}"


def test_site_without_a_plan_names_its_things_all_the_same() -> None:
    radio = yard().design.radios[0]
    assert yard().design.addressing is None
    assert names_in_network(yard())[radio.id] == f"radio-{radio.id}"


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=120))
@settings(max_examples=60, deadline=None)
def test_any_pattern_gives_names_that_a_network_takes_and_no_two_alike(pattern: str) -> None:
    names = named(pattern)
    assert len({name.lower() for name in names.values()}) == len(names)
    assert all(re.fullmatch(r"[A-Za-z0-9]([A-Za-z0-9.-]{0,61}[A-Za-z0-9])?", name) for name in names.values())
