"""The topology, not the antenna, decides."""

from __future__ import annotations

import pytest

from survey_app.spectrum import topology_of


@pytest.mark.parametrize(
    ("stations", "hub", "station"),
    [(1, "point_to_point", "point_to_point"), (2, "multipoint_hub", "client"), (9, "multipoint_hub", "client")],
)
def test_cell_size_decides_both_ends(stations: int, hub: str, station: str) -> None:
    assert topology_of("access_point", stations) == hub
    assert topology_of("station", stations) == station


def test_access_point_without_a_station_is_a_hub() -> None:
    assert topology_of("access_point", 0) == "multipoint_hub"


def test_station_with_a_named_certificate_is_point_to_point() -> None:
    assert (
        topology_of("station", 3, link_rule="certified_point_to_point", certificate="grant 12, 2025")
        == "point_to_point"
    )


@pytest.mark.parametrize("certificate", ["", "   "])
def test_station_without_a_named_certificate_stays_a_client(certificate: str) -> None:
    assert topology_of("station", 3, link_rule="certified_point_to_point", certificate=certificate) == "client"


def test_certificate_alone_changes_nothing() -> None:
    assert topology_of("station", 3, certificate="grant 12") == "client"


def test_certificate_never_changes_a_hub() -> None:
    assert (
        topology_of("access_point", 3, link_rule="certified_point_to_point", certificate="grant 12") == "multipoint_hub"
    )


def test_omnidirectional_hub_with_one_station_is_multipoint_at_both_ends() -> None:
    assert topology_of("access_point", 1, omnidirectional=True) == "multipoint_hub"
    assert topology_of("station", 1, omnidirectional=True) == "client"


def test_wrong_role_and_count_raise() -> None:
    with pytest.raises(ValueError, match="access point or a station"):
        topology_of("repeater", 1)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="fewer than no"):
        topology_of("station", -1)
