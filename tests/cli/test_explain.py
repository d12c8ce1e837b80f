"""`explain`: trees that end in the site, the gear and the rules."""

from __future__ import annotations

import re
from pathlib import Path

from tests.cli.process import Cli


def test_aim_of_several_far_ends_is_the_common_one(cli: Cli, boatyard: Path) -> None:
    out = cli("explain", boatyard, "A-S", "bearing_true_deg").out
    found = re.match(r"radio A-S, bearing_true_deg = ([\d.]+) degree", out)
    assert found is not None
    assert abs(float(found[1]) - 123.3) <= 0.1
    assert "common aim" in out


def test_tree_goes_down_to_site_gear_and_rule(cli: Cli, boatyard: Path) -> None:
    out = cli("explain", boatyard, "A-S", "conducted_limit_dbm", "--depth", "3").out
    assert re.search(r"^ +design\.radios\[\d+\]\.channel = 149$", out, re.MULTILINE)
    assert re.search(r"^ +design\.gear\[\d+\] \(bowline-p19\)\.pattern\.gain_dbi = 19 dBi$", out, re.MULTILINE)
    assert re.search(r"^ +rule us\.[a-z0-9.]+ = .*\[CFR15407\]", out, re.MULTILINE)


def test_depth_is_heeded_and_offered(cli: Cli, boatyard: Path) -> None:
    shallow = cli("explain", boatyard, "S-A", "free_space_loss_db", "--depth", "0").out
    assert "see --depth" in shallow
    assert len(cli("explain", boatyard, "S-A", "free_space_loss_db", "--depth", "5").out) > len(shallow)


def test_field_of_both_ends_is_answered_for_both(cli: Cli, boatyard: Path) -> None:
    out = cli("explain", boatyard, "S-A", "rx_level_dbm", "--depth", "0").out
    assert "hop S-A, ends.access_point, rx_level_dbm" in out
    assert "hop S-A, ends.station, rx_level_dbm" in out
    one = cli("explain", boatyard, "S-A", "ends.station.rx_level_dbm", "--depth", "0").out
    assert "ends.access_point" not in one


def test_null_says_why(cli: Cli, boatyard: Path) -> None:
    assert "Nothing that is drawn cuts the ray" in cli("explain", boatyard, "G", "cut_at_m").out


def test_words_are_answered_too(cli: Cli, boatyard: Path) -> None:
    assert "15.407" in cli("explain", boatyard, "A-S", "limit_sentence").out


def test_finding_is_found_by_number_and_by_id(cli: Cli, college: Path) -> None:
    out = cli("explain", college, "finding:1").out
    assert out.startswith("1 stop")
    code = re.search(r"^finding (\S+), number", out, re.MULTILINE)
    assert code is not None
    assert cli("explain", college, code[1].rstrip(",")).out == out


def test_subject_alone_lists_all_its_numbers(cli: Cli, boatyard: Path) -> None:
    out = cli("explain", boatyard, "A-S").out
    for row in ("radio A-S, tilt_deg", "cell A-S, load_fraction", "supply A-S, volts_at_load"):
        assert row in out
    assert "mount" not in out.splitlines()[0].split(",")[0]


def test_least_moves_of_a_hop_are_answered_for_every_way(cli: Cli, boatyard: Path) -> None:
    out = cli("explain", boatyard, "S-B", "how_high_m", "--depth", "0").out
    up = re.search(r"hop S-B, how_high_m, station up = ([\d.]+) m$", out, re.MULTILINE)
    assert up is not None
    assert 0.0 < float(up[1]) < 1.0
    assert re.search(r"That is over its reference: b: \d+\.\d{3} m", out)
    over = cli("explain", boatyard, "S-B", "how_high_over_traffic_m", "--depth", "0").out
    assert "Lanes and yards count" in over
    assert "hop S-B, fresnel_clearance_ratio" in cli("explain", boatyard, "S-B", "how_high_m").out


def test_what_a_radio_serves_is_answered_by_rate_by_mount_and_by_area(cli: Cli, boatyard: Path) -> None:
    areas = cli("explain", boatyard, "A-S", "served_m2", "--depth", "0").out
    sizes = [float(size) for size in re.findall(r"served_m2 at .*= ([\d.e+]+) m2$", areas, re.MULTILINE)]
    assert len(sizes) >= 8
    assert sizes == sorted(sizes), "a lower rate reaches at least as far"
    mounts = cli("explain", boatyard, "A-S", "served_mounts", "--depth", "0").out
    assert {"a", "b"} <= set(re.findall(r"served_mounts, (\S+) = ", mounts))
    parts = cli("explain", boatyard, "A-S", "served_percent", "--depth", "0").out
    shares = [
        float(part) for part in re.findall(r"served_percent of hoist-lane at .*= ([\d.]+) %$", parts, re.MULTILINE)
    ]
    assert shares
    assert all(0.0 <= share <= 100.0 for share in shares)


def test_area_of_a_radio_indoors_is_that_inside_its_walls(cli: Cli, boatyard: Path) -> None:
    found = cli("explain", boatyard.parent / "mill", "A-I", "served_m2", "--depth", "0").out
    sizes = [float(size) for size in re.findall(r"served_m2 at .* = ([\d.]+) m2", found)]
    assert sizes
    assert max(sizes) <= 66.0 * 40.0, "the hall is smaller than that"


def test_quantities_on_request_are_offered_by_their_name(cli: Cli, boatyard: Path) -> None:
    assert "how_high_m" in cli("explain", boatyard, "S-A", "how_high").err
