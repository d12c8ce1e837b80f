"""Bench sheets: every row of the bench, the label, spares; secrets only where they were handed over."""

from __future__ import annotations

import datetime
import re
from functools import cache

import pytest

from survey_app.assess.record import Assessment, TallyRow
from survey_app.paper.bench import bench_pdf
from survey_app.paper.bench_order import change_order_lines
from survey_app.paper.bench_rows import backup_name, proofs_of, settings_of, spare_reasons
from survey_app.paper.sources import Sources
from survey_app.site.edits import change
from survey_app.site.evidence import BenchProof, Evidence
from survey_app.site.radio import Hop, Radio
from survey_app.site.secrets import Secret, Secrets
from survey_app.site.site import Site
from tests.paper.demo_site import demo
from tests.paper.page_laws import crossed_rules, cut_words, stray_words, touching_words, without_mark
from tests.paper.page_text import page_count, words_of
from tests.paper.sample_site import direction_row, end_row, hop_row, radio_row, sample_assessment, sample_site

HIGH = {"a4": 277.0, "letter": 259.4}


@cache
def bench(name: str, paper: str) -> bytes:
    return bench_pdf(*demo(name), paper)


def all_words(pdf: bytes) -> str:
    return " ".join(words_of(pdf, page) for page in range(page_count(pdf)))


def settings(name: str, radio: str, secret: Secret | None = None) -> dict[str, str | None]:
    sources = Sources(*demo(name))
    row = sources.radios[radio]
    unit, air = settings_of(sources, row, secret or Secret(of=radio))
    return dict(unit) | dict(air)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", ["boatyard", "college", "mill"])
def test_pages_of_the_demo_sites_keep_the_laws_of_the_page(name, paper):
    _, assessment = demo(name)
    pdf = bench(name, paper)
    assert stray_words(pdf, 180.0, HIGH[paper]) == []
    assert touching_words(pdf) == []
    assert crossed_rules(pdf) == []
    assert cut_words(pdf) == []
    assert without_mark(pdf, assessment.checksum, "REV.", assessment.site, "BENCH") == []


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", ["boatyard", "college", "mill"])
def test_every_radio_of_the_demo_sites_has_one_page_and_every_spare_unit_another(name, paper):
    _, assessment = demo(name)
    pdf = bench(name, paper)
    gears = {row.gear for row in assessment.radios}
    spares = sum(int(line.spare) for line in assessment.tally if line.gear in gears)
    assert page_count(pdf) == len(assessment.radios) + spares
    order = sorted(assessment.radios, key=lambda row: row.sheet_number)
    for page, row in enumerate(order):
        words = words_of(pdf, page)
        assert row.label in words
        assert f"{page + 1} of {len(order)}" in words
    assert "spare 1 of 1" in words_of(pdf, len(order))


def test_every_row_that_the_bench_needs_is_on_the_sheet():
    words = words_of(bench_pdf(*demo("boatyard")))
    for row in (
        "firmware", "country code", "default address", "its own address", "its own name", "VLAN", "time server", "bridge mode",
        "isolation", "lock to far end", "backup file", "network name", "protection", "pass phrase", "channel", "width",
        "power for aiming", "power in service", "target level", "distance setting", "SERIAL NUMBER",
        "HARDWARE ADDRESS, WIRE", "HARDWARE ADDRESS, RADIO", "BENCH PASSED BY", "DATE AND TIME", "UP",
    ):  # fmt: skip
        assert row in words


def test_distance_setting_is_at_least_a_tenth_over_the_farthest_far_end():
    for radio, hops in (("A-P", ("P-W", "P-C", "P-E")), ("ST-gate", ("G",))):
        set_to = int(re.match(r"([\d\u2009]+)", settings("boatyard", radio)["distance setting"])[1])
        _, assessment = demo("boatyard")
        farthest = max(assessment.hop(hop).distance_m for hop in hops)
        assert 1.1 * farthest <= set_to < 1.1 * farthest + 1.0


def test_powers_and_levels_are_those_of_the_assessment():
    _, assessment = demo("boatyard")
    row = assessment.radio("ST-gate")
    found = settings("boatyard", "ST-gate")
    assert found["power for aiming"] == f"fixed {row.tx_power_total_dbm:.0f} dBm, all chains"
    auto = assessment.hop("G").ends.access_point.expected_reading_auto_dbm
    assert found["target level"] == f"−{abs(round(auto))} dBm at A-G"


def test_unknown_settings_leave_lines_to_write_on():
    found = settings("boatyard", "A-G")
    assert [name for name, value in found.items() if value is None] == [
        "firmware", "VLAN", "time server", "login, password", "lock to far end", "pass phrase",
    ]  # fmt: skip


def test_lock_is_printed_once_the_far_end_was_typed_back():
    site = sample_site(
        radios=(
            Radio(id="A1", role="access_point", gear="panel", mount="mount-a", hardware_address="02:00:00:00:00:0A"),
            Radio(id="S1", role="station", gear="panel", mount="mount-s"),
        ),
        hops=(Hop(id="H1", access_point="A1", station="S1"),),
    )
    sources = Sources(site, sample_assessment(site, radios=(radio_row("S1"),)))
    assert dict(settings_of(sources, radio_row("S1"), Secret(of="S1"))[0])["lock to far end"] == "02:00:00:00:00:0A"


def test_pass_phrase_is_blank_unless_it_was_handed_over():
    site, assessment = demo("boatyard")
    secrets = Secrets(rows=(Secret(of="A-G", pass_phrase="seven small boats", login="yard", password="tide=9"),))
    assert "seven small boats" not in all_words(bench_pdf(site, assessment))
    words = all_words(bench_pdf(site, assessment, "a4", secrets))
    assert words.count("seven small boats") == 1
    assert "yard / tide=9" in words


def test_proof_says_what_is_right_from_gear_and_assessment():
    sources = Sources(*demo("boatyard"))
    proofs = proofs_of(sources, sources.radios["ST-gate"])
    assert proofs[0].text == "Paired with A-G at the least power, 3 m apart, faces turned away from each other."
    assert proofs[0].right == "never over −30 dBm"
    demand = sources.hops["G"].directions.to_access_point.demand_mbps
    assert proofs[1].right.startswith(f"over {demand:.1f} to the access point")
    volts = sources.radios["ST-gate"].supply_v
    assert (proofs[3].right, proofs[3].unit) == (f"about {volts:.1f} V", "V")
    assert "of cable on the drum" in proofs[3].text.replace("\xa0", " ")


def test_radar_channel_adds_its_watch_to_the_restart_and_the_settings():
    sources = Sources(*demo("college"))
    row = sources.radios["A-T"]
    assert "the radar watch takes 600 s" in proofs_of(sources, row)[2].right
    assert settings("college", "A-T")["radar watch"].startswith("listens 600 s")


def test_spare_stands_in_for_every_radio_of_its_type_cell_by_cell():
    sources = Sources(*demo("boatyard"))
    rows = [row for row in sources.assessment.radios if row.gear_name == "Bowline P16"]
    reasons = spare_reasons(sources, rows)
    assert "Any station of cell A-P" in [words for words, _ in reasons]
    assert sorted(row.id for _, found in reasons for row in found) == sorted(row.id for row in rows)
    pdf = bench_pdf(*demo("boatyard"))
    words = words_of(pdf, len(sources.assessment.radios))
    assert "Any station of cell A-P" in words
    assert all(row.label in words for row in rows)


def test_several_spares_of_a_type_have_a_sheet_each():
    site = sample_site()
    line = TallyRow(
        item=1, group="Radios", gear="panel", what="panel", for_ids=(), status="buy", need=3.0, spare=2.0, order=5.0,
        unit="piece", how_counted="one a radio", by_whom="installer", parts=(),
    )  # fmt: skip
    pdf = bench_pdf(site, sample_assessment(site, tally=(line,)))
    assert page_count(pdf) == 5
    assert "spare 2 of 2" in words_of(pdf, 4)


def test_recorded_proof_is_printed():
    site = sample_site()
    when = datetime.datetime(2026, 11, 20, 9, 30, tzinfo=datetime.UTC)
    proof = BenchProof(at=when, by="M. Tidewater", radio="S1", passed=True, serial="K7-22", revision="B")
    found = sample_assessment(site)
    site = Site(design=site.design, evidence=Evidence(bench=(proof,)))
    assert "Recorded: passed on 2026-11-20, by M. Tidewater, revision B, serial K7-22." in all_words(
        bench_pdf(site, found)
    )


def test_radio_with_a_stop_is_held_on_its_bench_sheet():
    site, assessment = demo("college")
    stopped = next(f for f in assessment.findings if f.severity == "stop" and f.subject == "A-O")
    pdf = bench_pdf(site, assessment)
    page = assessment.radio("A-O").sheet_number - 1
    assert f"Held by finding {stopped.number}:" in words_of(pdf, page)
    assert "STATUS held" in words_of(pdf, page)
    assert "STATUS for work" in words_of(pdf, assessment.radio("ST-pump").sheet_number - 1)


def test_names_that_are_long_or_look_like_markup_break_nothing():
    site = sample_site(name="#set page(width: 1mm) $x$ \\ مرحبا 🚧 " + "W" * 200)
    label = "#let a = 1 $ \\ שלום 🚧 " + "W" * 250
    found = sample_assessment(site)
    rows = tuple(row.model_copy(update={"label": label}) for row in found.radios)
    pdf = bench_pdf(site, sample_assessment(site, radios=rows))
    assert stray_words(pdf, 180.0, 277.0) == []
    assert touching_words(pdf) == []
    assert "#let a = 1 $" in all_words(pdf)


def test_backup_name_uses_letters_that_every_system_takes():
    site = sample_site(name="Café / Yard: north")
    sources = Sources(site, sample_assessment(site))
    assert backup_name(sources, "S1*") == "cafe-yard-north-c-s1"


def test_same_site_gives_the_same_bytes_and_an_empty_one_says_so():
    site, assessment = demo("boatyard")
    assert bench_pdf(site, assessment) == bench_pdf(site, assessment)
    bare = sample_site(radios=(), hops=())
    nothing = dict.fromkeys(("radios", "hops", "cells", "routes", "tally"), ())
    assert "No radio is drawn yet." in all_words(bench_pdf(bare, sample_assessment(bare, **nothing)))


def running(name: str, *radios: str) -> tuple[Site, Assessment]:
    site = demo(name)[0]
    for radio in radios:
        site = change(site, radio, status="hung").after
    return site, demo(name)[1]


def test_on_a_live_system_the_far_end_is_changed_first_and_this_one_in_its_turn():
    sources = Sources(*running("mill", "A-C1", "ST-C1", "A-C2", "ST-C2"))
    lines = {key: change_order_lines(sources, sources.radios[key]) for key in ("A-C1", "ST-C1", "A-E")}
    assert lines["A-E"] == []
    (near,), (far,) = lines["A-C1"], lines["ST-C1"]
    assert near.startswith("On a live system change the far end first: ST-C1, then this end (A-C1). Never channel and")
    assert far.startswith("On a live system change the far end first: this end (ST-C1), then A-C1. ")
    sources = Sources(*running("boatyard", "A-P", "ST-W", "ST-C", "ST-E"))
    (hub,) = change_order_lines(sources, sources.radios["A-P"])
    assert "first: ST-C, ST-E and ST-W, then this end (A-P)." in hub
    assert hub.split(":")[1][:20] in all_words(bench_pdf(sources.site, sources.assessment))


def test_station_that_brings_video_to_a_far_access_point_is_the_near_end():
    sources = Sources(*running("college", "A-R", "ST-farm", "ST-lamb"))
    (line,) = change_order_lines(sources, sources.radios["A-R"])
    assert "first: ST-lamb, then this end (A-R), then ST-farm." in line


def test_hop_whose_other_end_is_not_up_yet_runs_not():
    sources = Sources(*running("boatyard", "A-P"))
    assert change_order_lines(sources, sources.radios["A-P"]) == []


def test_radio_without_figures_still_has_a_sheet_with_empty_lines():
    site = sample_site()
    blind = radio_row(
        "S1", tx_power_total_dbm=None, tx_power_auto_dbm=None, tx_power_full_dbm=None, antenna_gain_dbi=None,
        channel=None, centre_mhz=None, supply_v=None, cable_m=None, radar_wait_s=None,
    )  # fmt: skip
    dumb = end_row("A1", 127.6, -2.0, expected_reading_auto_dbm=None)
    hop = hop_row("H1", "S1", dumb, end_row("S1", 307.6, 2.0), 295.4)
    hop = hop.model_copy(update={"directions": hop.directions.model_copy(update={"to_station": direction_row()})})
    found = sample_assessment(site, radios=(blind,), hops=(hop,), tally=())
    values = dict(settings_of(Sources(site, found), blind, Secret(of="S1"))[1])
    assert [values[name] for name in ("channel", "power for aiming", "target level", "antenna gain")] == [None] * 4
    assert page_count(bench_pdf(site, found)) == 1
